//! A checker of roll plans that shares nothing with the solver: plain nanometres, cut by cut.

use cutting::roll::{Job, Plan, Turn, Way};

/// A rectangle on a roll: left, top, right, bottom in nanometres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Rect {
    roll: usize,
    x: [i64; 2],
    y: [i64; 2],
}

impl Rect {
    fn holds(&self, other: &Self) -> bool {
        self.roll == other.roll
            && self.x[0] <= other.x[0]
            && other.x[1] <= self.x[1]
            && self.y[0] <= other.y[0]
            && other.y[1] <= self.y[1]
    }

    fn apart(&self, other: &Self, gap: i64) -> bool {
        self.roll != other.roll
            || self.x[1] + gap <= other.x[0]
            || other.x[1] + gap <= self.x[0]
            || self.y[1] + gap <= other.y[0]
            || other.y[1] + gap <= self.y[0]
    }
}

/// Panics with the reason if the plan is not a valid one for the job.
#[track_caller]
pub(crate) fn check(job: &Job, plan: &Plan) {
    let blanks = places(job, plan);
    counts(job, plan);
    inside_and_apart(job, &blanks);
    let used = lengths(job, plan, &blanks);
    costs(job, plan, &used);
    let pieces = cut(job, plan, &blanks, &used);
    // Largest first, equal ones in their place along the roll.
    assert!(plan.remnants.is_sorted_by_key(|r| {
        let area = i128::from(r.w.as_nm()) * i128::from(r.h.as_nm());
        (-area, r.roll, r.y, r.x)
    }));
    for r in &plan.remnants {
        let rect = Rect {
            roll: r.roll,
            x: [r.x.as_nm(), (r.x + r.w).as_nm()],
            y: [r.y.as_nm(), (r.y + r.h).as_nm()],
        };
        assert!(rect.x[0] < rect.x[1] && rect.y[0] < rect.y[1]);
        assert!(
            pieces.contains(&rect),
            "remnant {rect:?} is no piece that falls off"
        );
        assert!(blanks.iter().all(|b| b.apart(&rect, 0)));
    }
}

fn places(job: &Job, plan: &Plan) -> Vec<Rect> {
    plan.placed
        .iter()
        .map(|p| {
            let b = &job.blanks[p.blank];
            assert!(!p.turned || b.turn == Turn::May, "turned against the weave");
            let (w, h) = if p.turned {
                (b.along, b.across)
            } else {
                (b.across, b.along)
            };
            Rect {
                roll: p.roll,
                x: [p.x.as_nm(), (p.x + w).as_nm()],
                y: [p.y.as_nm(), (p.y + h).as_nm()],
            }
        })
        .collect()
}

fn counts(job: &Job, plan: &Plan) {
    for (i, b) in job.blanks.iter().enumerate() {
        let n = plan.placed.iter().filter(|p| p.blank == i).count();
        assert_eq!(n, b.count as usize, "blank {i}");
    }
}

fn inside_and_apart(job: &Job, blanks: &[Rect]) {
    for (i, a) in blanks.iter().enumerate() {
        let selvedge = job.selvedge.as_nm();
        let width = job.rolls[a.roll].width.as_nm();
        assert!(a.x[0] >= selvedge && a.x[1] <= width - selvedge, "{a:?}");
        assert!(a.y[0] >= 0);
        for b in &blanks[..i] {
            assert!(a.apart(b, job.gap.as_nm()), "{a:?} too near {b:?}");
        }
    }
}

fn lengths(job: &Job, plan: &Plan, blanks: &[Rect]) -> Vec<i64> {
    let used: Vec<i64> = (0..job.rolls.len())
        .map(|r| {
            let ends = blanks.iter().filter(|b| b.roll == r).map(|b| b.y[1]);
            ends.max().unwrap_or(0)
        })
        .collect();
    let told: Vec<i64> = plan.lengths.iter().map(|l| l.as_nm()).collect();
    assert_eq!(used, told);
    let over: i64 = used
        .iter()
        .zip(&job.rolls)
        .map(|(&u, r)| r.available.map_or(0, |a| (u - a.as_nm()).max(0)))
        .sum();
    assert_eq!(over, plan.missing.as_nm());
    used
}

fn costs(job: &Job, plan: &Plan, used: &[i64]) {
    let cost: i128 = used
        .iter()
        .zip(&job.rolls)
        .map(|(&u, r)| {
            let step = job.step.as_nm().max(1);
            let mut bought = i128::from((u + step - 1) / step) * i128::from(step);
            // Never more than the roll has.
            if let Some(all) = r.available.map(|a| a.as_nm()).filter(|&all| u <= all) {
                bought = bought.min(i128::from(all));
            }
            let per = i128::from(job.price_per.as_nm());
            (bought * i128::from(r.price.as_hundredths()) + per - 1) / per
        })
        .sum();
    assert_eq!(cost, i128::from(plan.cost.as_hundredths()));
    assert!(plan.bound <= plan.cost);
    if plan.proven {
        assert_eq!(plan.bound, plan.cost);
        assert_eq!(plan.bound_length.as_nm(), used.iter().sum::<i64>());
    }
}

/// Makes the cuts one after the other; in the end every blank is a piece of its own, exactly to
/// size. Returns the pieces.
fn cut(job: &Job, plan: &Plan, blanks: &[Rect], used: &[i64]) -> Vec<Rect> {
    // A roll goes on for ever unless its first cut takes the used length off.
    let mut pieces: Vec<Rect> = (0..job.rolls.len())
        .map(|roll| Rect {
            roll,
            x: [0, job.rolls[roll].width.as_nm()],
            y: [0, i64::MAX],
        })
        .collect();
    for c in &plan.cuts {
        let (at, lane) = (c.at.as_nm(), c.lane.as_nm());
        let extent = [c.from.as_nm(), c.to.as_nm()];
        let of = |p: &Rect| match c.way {
            Way::Across => (p.x, p.y),
            Way::Along => (p.y, p.x),
        };
        let i = pieces
            .iter()
            .position(|p| {
                let (along_cut, across_cut) = of(p);
                p.roll == c.roll && along_cut == extent && across_cut[0] < at && at < across_cut[1]
            })
            .unwrap_or_else(|| panic!("{c:?} goes through no piece from edge to edge"));
        let piece = pieces.swap_remove(i);
        for b in blanks.iter().filter(|b| piece.holds(b)) {
            let (_, b) = of(b);
            assert!(b[1] <= at || b[0] >= at + lane, "{c:?} cuts into a blank");
        }
        let end = of(&piece).1[1];
        for part in [[of(&piece).1[0], at], [(at + lane).min(end), end]] {
            let mut rect = piece;
            match c.way {
                Way::Across => rect.y = part,
                Way::Along => rect.x = part,
            }
            if part[0] < part[1] {
                pieces.push(rect);
            }
        }
    }
    for b in blanks {
        assert!(pieces.contains(b), "{b:?} is not cut free to size");
    }
    for (roll, &u) in used.iter().enumerate() {
        if u > 0 {
            assert!(
                pieces
                    .iter()
                    .any(|p| p.roll == roll && p.y == [u, i64::MAX])
            );
        }
    }
    pieces
}
