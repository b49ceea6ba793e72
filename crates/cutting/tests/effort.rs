//! How far so many steps get: no job may need more of them, or be left further from its bound,
//! than is written in `data/effort.json`.
//!
//! Steps are counted, not timed, so the figures are the same on every machine. They come from this
//! crate and say nothing of right or wrong, which the other tests do; they notice a search that
//! has become slower or looks in the wrong place. `BATTENBOOK_WRITE_EFFORT=1` writes them anew.

#[path = "../examples/instance/mod.rs"]
mod instance;
#[path = "boards_check/random.rs"]
mod random;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use cutting::{boards, roll};
use instance::Instance;
use quantity::{Length, Money};
use random::{Random, pieces, saw, stock};
use serde::{Deserialize, Serialize};

/// Where a search is when it is done, or has had all the steps it may take.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
struct Reached {
    steps: u64,
    cost: i64,
    bound: i64,
    /// Boards of the plan; nought for cloth.
    boards: u32,
    /// Costs after each step, summed: less where a good plan comes sooner.
    costs: i64,
    /// Bounds after each step, summed: more where a good bound comes sooner.
    bounds: i64,
}

impl Reached {
    fn is_no_worse_than(&self, other: &Self) -> bool {
        self.steps <= other.steps
            && self.cost <= other.cost
            && self.bound >= other.bound
            && self.boards <= other.boards
            && self.costs <= other.costs
            && self.bounds >= other.bounds
    }
}

fn here(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(path)
}

/// Compares with the file, or writes a part of it.
#[track_caller]
fn compare(part: &str, found: &BTreeMap<String, Reached>) {
    let path = here(&format!("effort/{part}.json"));
    if std::env::var_os("BATTENBOOK_WRITE_EFFORT").is_some() {
        let text = serde_json::to_string_pretty(found).expect("plain numbers");
        fs::write(&path, text + "\n").expect("written");
        return;
    }
    let text = fs::read_to_string(path).expect("there");
    let known: BTreeMap<String, Reached> = serde_json::from_str(&text).expect("as written here");
    assert!(known.keys().eq(found.keys()), "other jobs than in the file");
    for (name, found) in found {
        let known = &known[name];
        assert!(
            found.is_no_worse_than(known),
            "{name}: {found:?}, it was {known:?}"
        );
    }
}

fn boards(job: &boards::Job, most: u64) -> Option<Reached> {
    let mut solver = boards::Solver::new(job).ok()?;
    let (mut steps, mut next) = (0, 0);
    let (mut costs, mut bounds) = (0, 0);
    loop {
        let done = solver.step(boards::Steps(u64::from(steps > 0))).done;
        let over = done || steps == most;
        // A look takes time, so ever fewer of them.
        if steps == next || over {
            let plan = solver.best();
            costs += plan.cost.as_hundredths();
            bounds += plan.bound.as_hundredths();
            next += 1 + steps / 16;
            if over {
                return Some(Reached {
                    steps,
                    cost: plan.cost.as_hundredths(),
                    bound: plan.bound.as_hundredths(),
                    boards: plan.boards.iter().map(|b| b.count).sum(),
                    costs,
                    bounds,
                });
            }
        }
        steps += 1;
    }
}

fn cloth(job: &roll::Job, most: u64) -> Reached {
    let mut solver = roll::Solver::new(job).expect("every blank fits");
    let mut progress = solver.step(roll::Steps(0));
    let (mut steps, mut costs, mut bounds) = (0, 0, 0);
    loop {
        costs += progress.cost.as_hundredths();
        bounds += progress.bound.as_hundredths();
        if progress.done || steps == most {
            break;
        }
        progress = solver.step(roll::Steps(1));
        steps += 1;
    }
    Reached {
        steps,
        cost: progress.cost.as_hundredths(),
        bound: progress.bound.as_hundredths(),
        boards: 0,
        costs,
        bounds,
    }
}

#[test]
fn the_class_instances() {
    let mut found = BTreeMap::new();
    let most = [
        ("c1", 2_000),
        ("c2", 40_000),
        ("c3", 40_000),
        ("c4", 60_000),
    ];
    for (class, most) in most {
        for kind in ["a", "b", "off", "std", "mit", "mitoff"] {
            let name = format!("{class}_{kind}");
            let Ok(text) = fs::read_to_string(here(&format!("{name}.json"))) else {
                continue;
            };
            let instance: Instance = serde_json::from_str(&text).expect("the documented format");
            found.extend(boards(&instance.to_job(), most).map(|r| (name, r)));
        }
    }
    assert_eq!(found.len(), 13);
    compare("class", &found);
}

#[test]
fn random_boards() {
    let mut random = Random(11);
    let mut found = BTreeMap::new();
    for case in 0..120 {
        let lines = 1 + case % 4;
        let mut stock = stock(&mut random, lines);
        stock.push(boards::Stock::bought(
            Length::from_mm(1500),
            Money::from_hundredths(700 + random.below(100)),
        ));
        let pieces = (0..1 + case % 8)
            .flat_map(|_| pieces(&mut random, 9))
            .collect();
        let job = boards::Job {
            stock,
            pieces,
            saw: saw(&mut random),
        };
        found.extend(boards(&job, 3_000).map(|r| (format!("{case:03}"), r)));
    }
    assert!(found.len() > 90, "{}", found.len());
    compare("boards", &found);
}

#[test]
fn frames_with_braces() {
    let mm = Length::from_mm;
    let mut random = Random(15);
    let mut found = BTreeMap::new();
    for case in 0..24_u64 {
        let kerf = Length::from_nm((2 + random.below(3)) * 500_000);
        let face = mm(35 + random.below(3) * 5);
        let mut pieces = Vec::new();
        for _ in 0..2 + case {
            let frames = 1 + random.below(1 + case) as u32;
            let (width, height) = (300 + random.below(100) * 10, 300 + random.below(80) * 10);
            let bar = |length, ends, turnable, count| boards::Piece {
                length,
                count,
                ends,
                turnable,
            };
            for side in [width, height] {
                pieces.push(bar(mm(side), boards::Ends::Mitred, true, 2 * frames));
            }
            if width.max(height) > 700 {
                let inner = mm(width.min(height)) - face * 2 + mm(20);
                pieces.push(bar(inner, boards::Ends::Square, false, frames));
                // The long edge of a brace: its leg by √2, a length unlike all the others.
                let brace = mm(120).times_sqrt2();
                pieces.push(bar(brace, boards::Ends::Mitred, true, 4 * frames));
            }
        }
        let lengths = [
            (1800, 525),
            (2400, 765),
            (3000, 920),
            (3600, 1035),
            (4800, 1350),
        ];
        let stock = |&(length, price)| {
            let price = Money::from_hundredths(price + random.below(40));
            boards::Stock::bought(mm(length), price)
        };
        let job = boards::Job {
            stock: lengths.iter().map(stock).collect(),
            pieces,
            saw: boards::Saw {
                kerf,
                mitre_kerf: kerf.times_sqrt2(),
                trim: boards::Trim::PerEnd(mm(5)),
                face,
                longest: None,
                keep: mm(300),
            },
        };
        found.extend(boards(&job, 20_000).map(|r| (format!("{case:03}"), r)));
    }
    assert_eq!(found.len(), 24);
    compare("braces", &found);
}

/// A roll of 2.1 m and perhaps others, with so many lines of blanks.
fn cloth_job(random: &mut Random, rolls: u64, lines: u64, copies: u64) -> roll::Job {
    let mm = Length::from_mm;
    let rolls = (0..rolls)
        .map(|_| roll::Roll {
            width: mm(1400 + random.below(8) * 100),
            price: Money::from_hundredths(900 + random.below(900)),
            available: (random.below(3) == 0).then(|| mm(1000 + random.below(9) * 250)),
        })
        .chain([roll::Roll {
            width: mm(2100),
            price: Money::from_hundredths(2100),
            available: None,
        }])
        .collect();
    let blanks = (0..lines)
        .map(|_| roll::Blank {
            across: mm(300 + random.below(30) * 50),
            along: mm(300 + random.below(30) * 50),
            count: 1 + random.below(copies) as u32,
            turn: match random.below(3) {
                0 => roll::Turn::MayNot,
                _ => roll::Turn::May,
            },
        })
        .collect();
    roll::Job {
        rolls,
        blanks,
        gap: mm(random.below(3) * 5),
        selvedge: mm(random.below(2) * 10),
        price_per: mm(1000),
        step: mm(random.below(3) * 50),
    }
}

#[test]
fn random_cloth() {
    let mut random = Random(12);
    let mut found = BTreeMap::new();
    for case in 0..144_u64 {
        let job = cloth_job(&mut random, case / 12 % 4, 1 + case % 12, 4);
        found.insert(format!("{case:03}"), cloth(&job, 40));
    }
    compare("cloth", &found);
}

#[test]
fn much_random_cloth() {
    let mut random = Random(14);
    let mut found = BTreeMap::new();
    for case in 0..24_u64 {
        let job = cloth_job(&mut random, case % 4, 8 + case % 6, 6);
        found.insert(format!("{case:03}"), cloth(&job, 400));
    }
    compare("much-cloth", &found);
}

#[test]
fn cloth_to_its_proof() {
    let mut random = Random(13);
    let mut found = BTreeMap::new();
    for case in 0..60_u64 {
        let job = cloth_job(&mut random, case % 3, 6 + case % 5, 1);
        let reached = cloth(&job, 20_000);
        assert_eq!(reached.cost, reached.bound, "{job:?}");
        found.insert(format!("{case:03}"), reached);
    }
    compare("proofs", &found);
}
