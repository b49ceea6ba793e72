//! The roll through its public interface: checker, brute force, properties, errors.

mod roll_check;

use std::collections::HashMap;

use cutting::roll::{Blank, Error, Job, Plan, Roll, Solver, Steps, Turn, limits, solve};
use proptest::prelude::*;
use quantity::{Length, Money};
use roll_check::check;

fn mm(n: i64) -> Length {
    Length::from_mm(n)
}

fn blank(across: i64, along: i64, count: u32) -> Blank {
    Blank {
        across: mm(across),
        along: mm(along),
        count,
        turn: Turn::May,
    }
}

fn roll(width: i64, price: i64) -> Roll {
    Roll {
        width: mm(width),
        price: Money::from_hundredths(price),
        available: None,
    }
}

fn job(rolls: Vec<Roll>, blanks: Vec<Blank>) -> Job {
    Job {
        rolls,
        blanks,
        gap: Length::ZERO,
        selvedge: Length::ZERO,
        price_per: mm(1000),
        step: Length::ZERO,
    }
}

#[track_caller]
fn solved(job: &Job, steps: u64) -> Plan {
    let plan = solve(job, Steps(steps)).expect("the job has a plan");
    check(job, &plan);
    plan
}

#[track_caller]
fn refused(job: &Job, error: &Error, text: &str) {
    let found = solve(job, Steps(100)).expect_err("the job has a fault");
    assert_eq!(&found, error);
    assert_eq!(found.to_string(), text);
}

// By hand.

#[test]
fn two_blanks_lie_side_by_side() {
    // 700 + 10 + 690 = 1400 between selvedges of 50 on a roll of 1500; length 900.
    let mut job = job(
        vec![roll(1500, 1250)],
        vec![blank(700, 900, 1), blank(690, 900, 1)],
    );
    job.gap = mm(10);
    job.selvedge = mm(50);
    let plan = solved(&job, 100);
    assert_eq!(plan.lengths, [mm(900)]);
    // 0.9 × 12.50 = 11.25
    assert_eq!(plan.cost, Money::from_hundredths(1125));
    assert!(plan.proven);
    assert_eq!(plan.remnants, []);
}

#[test]
fn one_millimetre_more_of_gap_needs_a_second_row() {
    let mut job = job(
        vec![roll(1500, 1250)],
        vec![blank(700, 900, 1), blank(690, 900, 1)],
    );
    job.gap = mm(11);
    job.selvedge = mm(50);
    // Turned, 900 across: 690 + 11 + 700.
    assert_eq!(solved(&job, 100).lengths, [mm(1401)]);
}

#[test]
fn turning_saves_cloth_unless_the_weave_forbids_it() {
    let mut job = job(vec![roll(1400, 1000)], vec![blank(1000, 650, 2)]);
    // Turned: 650 + 650 ≤ 1400, length 1000; not turned: 2 × 650.
    assert_eq!(solved(&job, 100).lengths, [mm(1000)]);
    job.blanks[0].turn = Turn::MayNot;
    assert_eq!(solved(&job, 100).lengths, [mm(1300)]);
}

#[test]
fn blanks_are_shared_between_rolls_where_that_is_cheapest() {
    // 2000 needs the wide roll (20 a metre), 1000 × 1000 is cheaper on the narrow one (8).
    let rolls = vec![roll(1000, 800), roll(2000, 2000)];
    let plan = solved(
        &job(rolls, vec![blank(2000, 2000, 1), blank(1000, 1000, 2)]),
        100,
    );
    // Wide: 2 m × 20 = 40; narrow: 2 m × 8 = 16; on the wide roll alone 3 m = 60.
    assert_eq!(plan.cost, Money::from_hundredths(5600));
    assert_eq!(plan.lengths, [mm(2000), mm(2000)]);
    assert!(plan.proven);
}

#[test]
fn what_is_left_on_a_cheap_roll_is_used_up_first() {
    let mut rolls = vec![roll(1000, 0), roll(1000, 1000)];
    rolls[0].available = Some(mm(2500));
    let plan = solved(&job(rolls, vec![blank(1000, 800, 4)]), 100);
    // Three of 800 fit 2500, the fourth is bought.
    assert_eq!(plan.lengths, [mm(2400), mm(800)]);
    assert_eq!(plan.cost, Money::from_hundredths(800));
    assert!(plan.proven);
}

#[test]
fn whole_steps_are_priced_on_each_roll() {
    // One below the other on the narrow roll, 1020 + 1010 = 2030; side by side on the wide one,
    // 1020.
    let blanks = vec![blank(1020, 1020, 1), blank(1010, 1010, 1)];
    let mut job = job(vec![roll(1050, 1000), roll(2100, 1995)], blanks);
    // Any length: 2.03 × 10 = 20.30 against 1.02 × 19.95 = 20.349.
    assert_eq!(solved(&job, 1_000).cost, Money::from_hundredths(2030));
    // Half metres: 2.5 × 10 = 25 against 1.5 × 19.95 = 29.925.
    job.step = mm(500);
    assert_eq!(solved(&job, 1_000).cost, Money::from_hundredths(2500));
    // Steps of 1025: 2.05 × 10 = 20.50 against 1.025 × 19.95 = 20.44875, asked 20.45.
    job.step = mm(1025);
    let plan = solved(&job, 1_000);
    assert_eq!(plan.cost, Money::from_hundredths(2045));
    assert_eq!(plan.lengths, [mm(0), mm(1020)]);
    assert!(plan.proven);
}

#[test]
fn the_remnant_lies_beside_the_narrow_end() {
    let plan = solved(
        &job(vec![roll(2000, 1000)], vec![blank(1400, 1400, 2)]),
        100,
    );
    assert_eq!(plan.lengths, [mm(2800)]);
    // 600 wide over the whole length, in one piece.
    assert_eq!(plan.remnants.len(), 1);
    let r = plan.remnants[0];
    assert_eq!((r.w, r.h), (mm(600), mm(2800)));
}

/// Size and place of each remnant in millimetres: across, along, x, y.
fn remnants(plan: &Plan) -> Vec<[i64; 4]> {
    let whole = |l: Length| l.as_nm() / 1_000_000;
    plan.remnants
        .iter()
        .map(|r| [whole(r.w), whole(r.h), whole(r.x), whole(r.y)])
        .collect()
}

/// Blanks that may not be turned.
fn fixed(sizes: &[(i64, i64)]) -> Vec<Blank> {
    sizes
        .iter()
        .map(|&(across, along)| Blank {
            turn: Turn::MayNot,
            ..blank(across, along, 1)
        })
        .collect()
}

/// What is left of a roll of 2 m after blanks that may not be turned.
fn left_of_two_metres(sizes: &[(i64, i64)]) -> Vec<[i64; 4]> {
    let job = job(vec![roll(2000, 1000)], fixed(sizes));
    remnants(&solved(&job, 1_000))
}

#[test]
fn the_narrow_end_is_tied_together_for_the_largest_remnant() {
    // No two fit side by side. Beside the last two, 800 × 700 (of 1200 × 400 and 1000 × 300), which
    // is more than 1000 × 300 beside the last and 200 × 1200 beside all three.
    let found = left_of_two_metres(&[(1000, 300), (1200, 400), (1800, 500)]);
    let expected = [
        [800, 700, 1200, 500],
        [200, 500, 1800, 0],
        [200, 300, 1000, 900],
    ];
    assert_eq!(found, expected);
    // Beside all three, 500 × 1100, is more than 600 × 700 and 700 × 300.
    let found = left_of_two_metres(&[(1300, 300), (1400, 400), (1500, 400)]);
    let expected = [
        [500, 1100, 1500, 0],
        [100, 700, 1400, 400],
        [100, 300, 1300, 800],
    ];
    assert_eq!(found, expected);
    // Beside the last, 800 × 900, is more than 300 × 1300 and 100 × 1700.
    let found = left_of_two_metres(&[(1200, 900), (1700, 400), (1900, 400)]);
    let expected = [
        [800, 900, 1200, 800],
        [300, 400, 1700, 400],
        [100, 400, 1900, 0],
    ];
    assert_eq!(found, expected);
}

#[test]
fn a_narrow_end_far_from_the_wide_one_is_still_seen() {
    // Beside the last 1000 × 400; beside all 100 × 2700, beside the last two 200 × 700.
    let found = left_of_two_metres(&[(1900, 2000), (1800, 300), (1000, 400)]);
    let expected = [
        [1000, 400, 1000, 2300],
        [100, 2300, 1900, 0],
        [100, 300, 1800, 2000],
    ];
    assert_eq!(found, expected);
}

#[test]
fn lanes_count_in_what_is_the_largest_remnant() {
    let mut job = job(vec![roll(2000, 1000)], Vec::new());
    job.gap = mm(10);
    // Beside both 190 × 631 = 119 890, beside the second 990 × 121 = 119 790.
    job.blanks = fixed(&[(1800, 500), (1000, 121)]);
    let expected = [[190, 631, 1810, 0], [790, 121, 1010, 510]];
    assert_eq!(remnants(&solved(&job, 100)), expected);
    // 190 × 632 = 120 080, 990 × 122 = 120 780.
    job.blanks = fixed(&[(1800, 500), (1000, 122)]);
    let expected = [[990, 122, 1010, 510], [190, 500, 1810, 0]];
    assert_eq!(remnants(&solved(&job, 100)), expected);
    // Side by side: beside both 180 × 900 = 162 000; after the second, with what is beside it,
    // 790 × 205 = 161 950.
    job.rolls[0].width = mm(1500);
    job.blanks = fixed(&[(700, 900), (600, 685)]);
    let expected = [[180, 900, 1320, 0], [600, 205, 710, 695]];
    assert_eq!(remnants(&solved(&job, 100)), expected);
    // 790 × 206 = 162 740.
    job.blanks = fixed(&[(700, 900), (600, 684)]);
    let expected = [[790, 206, 710, 694], [180, 684, 1320, 0]];
    assert_eq!(remnants(&solved(&job, 100)), expected);
}

#[test]
fn whole_steps_are_asked_for_or_what_is_left() {
    let mut rolls = vec![roll(1000, 1000); 2];
    rolls[1].available = Some(mm(1300));
    let mut job = job(rolls, vec![blank(500, 500, 1)]);
    job.step = mm(500);
    assert_eq!(job.bought(0, mm(1200)), mm(1500));
    assert_eq!(job.bought(0, mm(1500)), mm(1500));
    // The second roll ends at 1300; what it does not hold is said in whole steps.
    assert_eq!(job.bought(1, mm(900)), mm(1000));
    assert_eq!(job.bought(1, mm(1200)), mm(1300));
    assert_eq!(job.bought(1, mm(1301)), mm(1500));
    job.step = Length::ZERO;
    assert_eq!(job.bought(0, mm(1201)), mm(1201));
}

#[test]
fn what_is_beside_the_last_blank_stays_with_the_larger_part() {
    // 700 + 600 side by side. Right of both 200 × 900, but right of the first 800 × 900, of which
    // the second takes 600 × 400: 800 × 500 after it, 200 × 400 beside it.
    let blanks = fixed(&[(700, 900), (600, 400)]);
    let mut job = job(vec![roll(1500, 1000)], blanks);
    let plan = solved(&job, 100);
    assert_eq!(plan.lengths, [mm(900)]);
    assert_eq!(remnants(&plan), [[800, 500, 700, 400], [200, 400, 1300, 0]]);
    // Lanes of 10 and selvedges of 20: right of the first 1500 − 710 = 790, after the second
    // 900 − 410 = 490, beside it 790 − 610 = 180.
    job.gap = mm(10);
    job.selvedge = mm(20);
    job.rolls[0].width = mm(1540);
    let expected = [[790, 490, 730, 410], [180, 400, 1340, 0]];
    assert_eq!(remnants(&solved(&job, 100)), expected);
    // 700 × 900 right of both is more than 600 × 500 after the second and more than 1300 × 100.
    job.gap = Length::ZERO;
    job.selvedge = Length::ZERO;
    job.rolls[0].width = mm(2000);
    job.blanks = fixed(&[(700, 900), (600, 800)]);
    let plan = solved(&job, 100);
    assert_eq!(remnants(&plan), [[700, 900, 1300, 0], [600, 100, 700, 800]]);
}

#[test]
fn inches_and_millimetres_mix() {
    let inch = |n| Length::INCH * n;
    let mut job = job(
        vec![Roll {
            width: inch(60),
            ..roll(1, 1000)
        }],
        vec![blank(500, 700, 3)],
    );
    job.blanks.push(Blank {
        across: inch(24),
        along: inch(36),
        ..blank(1, 1, 2)
    });
    job.gap = Length::from_inch_64ths(8);
    assert!(solved(&job, 1_000).proven);
}

// Faults.

#[test]
fn faults_of_the_job_are_named() {
    let good = job(vec![roll(1400, 1000)], vec![blank(500, 500, 1)]);
    let with = |change: &dyn Fn(&mut Job)| {
        let mut job = good.clone();
        change(&mut job);
        job
    };
    refused(
        &with(&|j| j.blanks.clear()),
        &Error::NothingToCut,
        "no blank is asked for",
    );
    refused(
        &with(&|j| j.blanks[0].count = 0),
        &Error::NothingToCut,
        "no blank is asked for",
    );
    refused(
        &with(&|j| j.rolls.clear()),
        &Error::NoRoll,
        "no roll is given to cut from",
    );
    for bad in [
        Length::ZERO,
        -mm(1),
        limits::SMALLEST - Length::from_nm(1),
        limits::LARGEST + Length::from_nm(1),
        Length::from_nm(i64::MIN),
        Length::from_nm(i64::MAX),
    ] {
        let text = "blank 0: each side must be from 0.1 mm to 100 m";
        refused(
            &with(&|j| j.blanks[0].across = bad),
            &Error::BlankSize { blank: 0 },
            text,
        );
        refused(
            &with(&|j| j.blanks[0].along = bad),
            &Error::BlankSize { blank: 0 },
            text,
        );
    }
    refused(
        &with(&|j| j.rolls[0].width = Length::ZERO),
        &Error::RollWidth { roll: 0 },
        "roll 0: width must be above zero, up to 100 m",
    );
    refused(
        &with(&|j| j.selvedge = mm(700)),
        &Error::NothingBetweenSelvedges { roll: 0 },
        "roll 0: the selvedges leave nothing of its width",
    );
    refused(
        &with(&|j| j.rolls[0].price = Money::from_hundredths(-1)),
        &Error::RollPrice { roll: 0 },
        "roll 0: price must be from zero to one million",
    );
    refused(
        &with(&|j| j.rolls[0].available = Some(-mm(1))),
        &Error::RollAvailable { roll: 0 },
        "roll 0: what is on it must be from zero to 100 km",
    );
    refused(
        &with(&|j| j.gap = -mm(1)),
        &Error::Gap,
        "gap between blanks must be from zero to 100 m",
    );
    refused(
        &with(&|j| j.selvedge = -mm(1)),
        &Error::Selvedge,
        "selvedge must be from zero to 100 m",
    );
    refused(
        &with(&|j| j.price_per = mm(99)),
        &Error::PricePer,
        "a price must be for 0.1 m to 100 m",
    );
    refused(
        &with(&|j| j.step = -mm(1)),
        &Error::Step,
        "step must be from zero to 100 m",
    );
    let many = "at most 5000 blanks and 20 rolls";
    refused(&with(&|j| j.blanks[0].count = 5001), &Error::TooMany, many);
    refused(
        &with(&|j| j.rolls = vec![roll(1400, 1000); 21]),
        &Error::TooMany,
        many,
    );
}

#[test]
fn the_stated_limits_are_still_within() {
    let mut job = job(
        vec![roll(1400, 1000); limits::ROLLS],
        vec![blank(500, 500, 1)],
    );
    solved(&job, 1);
    job.rolls.truncate(1);
    job.blanks[0].count = limits::BLANKS;
    // Two by two: 2500 rows of 500 mm.
    assert_eq!(solved(&job, 1).lengths, [mm(1_250_000)]);
    job.blanks[0].count = 1;
    for at_limit in [
        |j: &mut Job| j.rolls[0].available = Some(limits::ROLL),
        |j: &mut Job| j.rolls[0].price = Money::from_hundredths(limits::PRICE),
        |j: &mut Job| j.rolls[0].width = limits::LARGEST,
        |j: &mut Job| j.blanks[0].along = limits::LARGEST,
        |j: &mut Job| j.blanks[0].along = limits::SMALLEST,
        |j: &mut Job| j.price_per = limits::PRICE_PER,
        |j: &mut Job| j.step = limits::LARGEST,
        // Just fits between the selvedges.
        |j: &mut Job| j.selvedge = mm(450),
    ] {
        let mut job = job.clone();
        at_limit(&mut job);
        solved(&job, 1);
    }
    // A nanometre more is too much.
    let nm = Length::from_nm(1);
    let mut beyond = job.clone();
    beyond.rolls[0].available = Some(limits::ROLL + nm);
    assert_eq!(
        solve(&beyond, Steps(1)).unwrap_err(),
        Error::RollAvailable { roll: 0 }
    );
    beyond = job.clone();
    beyond.selvedge = mm(450) + nm;
    let width = mm(1400) + nm * 2;
    assert_eq!(
        solve(&beyond, Steps(1)).unwrap_err(),
        Error::BlankTooWide { blank: 0, width }
    );
}

#[test]
fn a_blank_wider_than_every_roll_says_which_roll_would_do() {
    let mut job = job(
        vec![roll(1400, 1), roll(1600, 1)],
        vec![blank(500, 500, 1), blank(1800, 1700, 1)],
    );
    job.selvedge = mm(20);
    // The shorter side, 1700, and twice 20.
    refused(
        &job,
        &Error::BlankTooWide {
            blank: 1,
            width: mm(1740),
        },
        "blank 1 is wider than every roll; a roll 1740 mm wide would do",
    );
    job.blanks[1].turn = Turn::MayNot;
    refused(
        &job,
        &Error::BlankTooWide {
            blank: 1,
            width: mm(1840),
        },
        "blank 1 is wider than every roll; a roll 1840 mm wide would do",
    );
    job.rolls.push(roll(1840, 1));
    solved(&job, 100);
}

#[test]
fn missing_cloth_is_measured() {
    let mut job = job(vec![roll(1000, 100)], vec![blank(900, 900, 3)]);
    job.rolls[0].available = Some(mm(2700));
    solved(&job, 100);
    job.rolls[0].available = Some(mm(2500));
    refused(
        &job,
        &Error::NotEnoughCloth {
            missing: mm(200),
            proven: true,
        },
        "not enough cloth on the rolls: 200 mm missing",
    );
}

// Brute force: every guillotine division at every whole position.

struct Brute {
    sides: Vec<(i64, i64, bool)>,
    gap: i64,
    known: HashMap<(i64, i64, u32), bool>,
}

impl Brute {
    /// Whether these blanks can be cut from `w × h`.
    fn cuts(&mut self, w: i64, h: i64, set: u32) -> bool {
        if set == 0 {
            return true;
        }
        if w <= 0 || h <= 0 {
            return false;
        }
        if let Some(&known) = self.known.get(&(w, h, set)) {
            return known;
        }
        let mut found = false;
        if set.is_power_of_two() {
            let (a, b, turn) = self.sides[set.trailing_zeros() as usize];
            found = (a <= w && b <= h) || (turn && b <= w && a <= h);
        } else {
            let mut part = (set - 1) & set;
            while part > 0 && !found {
                found = (1..w)
                    .any(|x| self.cuts(x, h, part) && self.cuts(w - x - self.gap, h, set & !part))
                    || (1..h).any(|y| {
                        self.cuts(w, y, part) && self.cuts(w, h - y - self.gap, set & !part)
                    });
                part = (part - 1) & set;
            }
        }
        self.known.insert((w, h, set), found);
        found
    }

    fn length(&mut self, w: i64, set: u32) -> Option<i64> {
        let most: i64 = self.sides.iter().map(|s| s.0.max(s.1) + self.gap).sum();
        (0..=most).find(|&h| self.cuts(w, h, set))
    }
}

/// Least missing, cost and length over all ways to share the blanks between the rolls.
fn brute(job: &Job) -> (i64, i64, i64) {
    let whole = |l: Length| l.as_nm() / 1_000_000;
    let mut sides = Vec::new();
    for b in &job.blanks {
        for _ in 0..b.count {
            sides.push((whole(b.across), whole(b.along), b.turn == Turn::May));
        }
    }
    let full = (1_u32 << sides.len()) - 1;
    let mut brute = Brute {
        sides,
        gap: whole(job.gap),
        known: HashMap::new(),
    };
    let none = (i64::MAX, i64::MAX, i64::MAX);
    let mut best = vec![none; full as usize + 1];
    best[0] = (0, 0, 0);
    for r in &job.rolls {
        let width = whole(r.width - job.selvedge * 2);
        let mut next = vec![none; full as usize + 1];
        for set in 0..=full {
            let Some(h) = brute.length(width, set) else {
                continue;
            };
            let over = r.available.map_or(0, |a| (h - whole(a)).max(0));
            let price = r.price.as_hundredths();
            let step = whole(job.step).max(1);
            let mut bought = (h + step - 1) / step * step;
            // Never more than the roll has.
            if let Some(all) = r.available.map(whole).filter(|&all| h <= all) {
                bought = bought.min(all);
            }
            let per = whole(job.price_per);
            let cost = (bought * price + per - 1) / per;
            for before in 0..=full {
                let (o, c, l) = best[before as usize];
                if before & set == 0 && o != i64::MAX {
                    let entry = &mut next[(before | set) as usize];
                    *entry = (*entry).min((o + over, c + cost, l + h));
                }
            }
        }
        best = next;
    }
    best[full as usize]
}

fn found(job: &Job, steps: u64) -> (Plan, (i64, i64, i64)) {
    let mut solver = Solver::new(job).expect("the job is sound");
    solver.step(Steps(steps));
    let plan = solver.best();
    check(job, &plan);
    let whole = |l: Length| l.as_nm() / 1_000_000;
    let length = whole(plan.lengths.iter().copied().sum());
    let score = (whole(plan.missing), plan.cost.as_hundredths(), length);
    (plan, score)
}

prop_compose! {
    fn small_blank(side: i64)(a in 1..=side, b in 1..=side, count in 1_u32..3, may: bool) -> Blank {
        let turn = if may { Turn::May } else { Turn::MayNot };
        Blank { turn, ..blank(a, b, count) }
    }
}

prop_compose! {
    fn small_job(side: i64, blanks: usize, rolls: usize)(
        blanks in prop::collection::vec(small_blank(side), 1..=blanks),
        rolls in prop::collection::vec((0..4_i64, 0..3_i64, prop::option::of(0..12_i64)), 1..=rolls),
        gap in 0..2_i64,
        selvedge in 0..2_i64,
        step in 0..5_i64,
        per in 900..1100_i64,
    ) -> Job {
        let rolls = rolls.iter().map(|&(more, price, available)| Roll {
            available: available.map(mm),
            ..roll(side + 2 * selvedge + more, price * 1000)
        }).collect();
        Job {
            rolls,
            blanks,
            gap: mm(gap),
            selvedge: mm(selvedge),
            price_per: mm(per),
            step: mm(step),
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn small_jobs_are_proven_as_brute_force_finds_them(job in small_job(5, 3, 2)) {
        prop_assume!(job.blanks.iter().map(|b| b.count).sum::<u32>() <= 5);
        let (plan, score) = found(&job, 10_000);
        prop_assert!(plan.proven);
        prop_assert_eq!(score, brute(&job));
    }

    #[test]
    fn first_plan_and_bound_never_pass_brute_force(job in small_job(6, 3, 3)) {
        prop_assume!(job.blanks.iter().map(|b| b.count).sum::<u32>() <= 5);
        let plan = Solver::new(&job).expect("the job is sound").best();
        check(&job, &plan);
        let (missing, cost, length) = brute(&job);
        if plan.missing == mm(missing) {
            prop_assert!(plan.cost.as_hundredths() >= cost);
        }
        prop_assert!(plan.missing >= mm(missing));
        prop_assert!(plan.bound.as_hundredths() <= cost);
        prop_assert!(plan.bound_length <= mm(length));
    }

    #[test]
    fn the_search_alone_keeps_to_the_rules(job in small_job(40, 9, 3), steps in 1..300_u64) {
        let (plan, _) = found(&job, steps);
        prop_assert!(plan.bound <= plan.cost);
    }

    #[test]
    fn more_rolls_never_cost_more(job in small_job(9, 4, 2), more in 0..4_i64, price in 0..3_i64) {
        let (plan, few) = found(&job, 5_000);
        let mut richer = job.clone();
        richer.rolls.push(roll(9 + 2 + more, price * 1000));
        let (_, many) = found(&richer, 5_000);
        prop_assert!(plan.proven);
        prop_assert!(many <= few);
    }

    #[test]
    fn the_order_of_the_list_changes_nothing(job in small_job(9, 4, 2), turn in 0..4_usize) {
        let (_, score) = found(&job, 5_000);
        let mut other = job.clone();
        let n = other.blanks.len();
        other.blanks.rotate_left(turn % n);
        other.rolls.reverse();
        prop_assert_eq!(found(&other, 5_000).1, score);
    }

    #[test]
    fn a_larger_scale_gives_the_same_picture(job in small_job(9, 4, 1), scale in 2..50_i64) {
        let (plan, _) = found(&job, 5_000);
        let mut large = job.clone();
        large.gap = large.gap * scale;
        large.selvedge = large.selvedge * scale;
        large.step = large.step * scale;
        large.price_per = large.price_per * scale;
        for r in &mut large.rolls {
            r.width = r.width * scale;
            r.available = r.available.map(|a| a * scale);
        }
        for b in &mut large.blanks {
            b.across = b.across * scale;
            b.along = b.along * scale;
        }
        let (big, _) = found(&large, 5_000);
        let grown: Vec<Length> = plan.lengths.iter().map(|&l| l * scale).collect();
        prop_assert_eq!(big.lengths, grown);
    }

    #[test]
    fn doubling_every_count_at_most_doubles_the_cost(job in small_job(9, 3, 1)) {
        let mut job = job;
        job.gap = Length::ZERO;
        job.rolls[0].available = None;
        let (_, once) = found(&job, 5_000);
        for b in &mut job.blanks {
            b.count *= 2;
        }
        let (_, twice) = found(&job, 5_000);
        prop_assert!(twice.1 <= 2 * once.1 && twice.2 <= 2 * once.2);
    }

    #[test]
    fn any_numbers_give_a_plan_or_an_error(
        width: i64, price: i64, available: Option<i64>, across: i64, along: i64, count in 0_u32..20,
        gap in prop_oneof![Just(0), any::<i64>()], selvedge in prop_oneof![Just(0), any::<i64>()],
        step in prop_oneof![Just(0), any::<i64>()],
    ) {
        for shift in [0, 10, 20, 30, 40] {
            let nm = |n: i64| Length::from_nm(n >> shift);
            let job = Job {
                rolls: vec![Roll {
                    width: nm(width),
                    price: Money::from_hundredths(price >> shift),
                    available: available.map(nm),
                }],
                blanks: vec![Blank { across: nm(across), along: nm(along), count, turn: Turn::May }],
                gap: nm(gap),
                selvedge: nm(selvedge),
                price_per: mm(1000),
                step: nm(step),
            };
            if let Ok(plan) = solve(&job, Steps(50)) {
                check(&job, &plan);
            }
        }
    }
}
