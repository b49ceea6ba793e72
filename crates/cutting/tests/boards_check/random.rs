//! Random jobs for boards, the same on every machine.

use cutting::boards::{Ends, Origin, Piece, Saw, Stock, Stretch, Trim};
use quantity::{Length, Money};

/// A linear congruential generator (constants of Knuth's MMIX, from memory).
pub(crate) struct Random(pub(crate) u64);

impl Random {
    pub(crate) fn below(&mut self, n: u64) -> i64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % n) as i64
    }
}

pub(crate) fn saw(random: &mut Random) -> Saw {
    let kerf = random.below(3) * 1_500_000;
    let trim = Length::from_mm(random.below(3) * 5);
    Saw {
        kerf: Length::from_nm(kerf),
        // kerf × √2, exact to the nanometre, so that lengths have no common step
        mitre_kerf: Length::from_nm(kerf).times_sqrt2(),
        trim: if random.below(2) == 0 {
            Trim::PerEnd(trim)
        } else {
            Trim::Once(trim)
        },
        face: Length::from_mm(20 + random.below(4) * 10),
        longest: (random.below(5) == 0).then(|| Length::from_mm(1200)),
        keep: Length::from_mm(100),
    }
}

pub(crate) fn stock(random: &mut Random, lines: i64) -> Vec<Stock> {
    (0..lines)
        .map(|_| {
            let length = Length::from_mm(500 + random.below(12) * 80);
            let at_hand = random.below(3) == 0;
            Stock {
                length,
                price: Money::from_hundredths(if at_hand {
                    random.below(2) * 50
                } else {
                    200 + random.below(60) * 10
                }),
                limit: (at_hand || random.below(4) == 0).then(|| 1 + random.below(3) as u32),
                bad: if random.below(4) == 0 {
                    let from = Length::from_mm(random.below(400));
                    vec![Stretch {
                        from,
                        to: from + Length::from_mm(1 + random.below(60)),
                    }]
                } else {
                    vec![]
                },
                origin: if at_hand {
                    Origin::AtHand
                } else {
                    Origin::Bought
                },
            }
        })
        .collect()
}

pub(crate) fn pieces(random: &mut Random, most: i64) -> Vec<Piece> {
    let mut left = 2 + random.below(most as u64 - 1);
    let mut pieces = Vec::new();
    while left > 0 {
        let count = 1 + random.below(left.min(3) as u64);
        left -= count;
        pieces.push(Piece {
            length: Length::from_mm(120 + random.below(45) * 10),
            count: count as u32,
            ends: if random.below(2) == 0 {
                Ends::Square
            } else {
                Ends::Mitred
            },
            turnable: random.below(4) > 0,
        });
    }
    pieces
}
