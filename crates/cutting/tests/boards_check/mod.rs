//! Checks a plan from its drawing alone; shares no code with the solver.

use cutting::boards::{Board, Ends, Job, Placed, Plan, Saw, Trim, Waste};
use quantity::Length;

/// A trapezoid's extent along both edges of the board, in nanometres: near edge, far edge.
fn outline(job: &Job, placed: &Placed) -> [(i64, i64); 2] {
    let piece = &job.pieces[placed.piece];
    let from = placed.at.as_nm();
    let to = from + piece.length.as_nm();
    if piece.ends == Ends::Square {
        return [(from, to), (from, to)];
    }
    let face = job.saw.face.as_nm();
    let long = (from, to);
    let short = (from + face, to - face);
    if placed.turned {
        [short, long]
    } else {
        [long, short]
    }
}

/// Rough ends to be cut off, left and right.
pub(crate) fn trims(saw: &Saw) -> (i64, i64) {
    match saw.trim {
        Trim::PerEnd(t) => (t.as_nm(), t.as_nm()),
        Trim::Once(t) => (0, t.as_nm()),
    }
}

/// Every fault of a board, in words.
fn board_faults(job: &Job, board: &Board) -> Vec<String> {
    let mut faults = Vec::new();
    let stock = &job.stock[board.stock];
    let (left, right) = trims(&job.saw);
    let end = stock.length.as_nm() - right;
    for placed in &board.placed {
        let piece = &job.pieces[placed.piece];
        let (from, to) = (placed.at.as_nm(), placed.at.as_nm() + piece.length.as_nm());
        if from < left || to > end {
            faults.push(format!("piece {} leaves the board", placed.piece));
        }
        if placed.turned && !piece.turnable {
            faults.push(format!("piece {} can't be turned", placed.piece));
        }
        for bad in &stock.bad {
            if from < bad.to.as_nm() && to > bad.from.as_nm() {
                faults.push(format!("piece {} lies on a bad stretch", placed.piece));
            }
        }
    }
    for pair in board.placed.windows(2) {
        let [a, b] = [outline(job, &pair[0]), outline(job, &pair[1])];
        let mitred = |p: &Placed| job.pieces[p.piece].ends == Ends::Mitred;
        let gap = (b[0].0 - a[0].1).min(b[1].0 - a[1].1);
        let bounding =
            pair[1].at.as_nm() - pair[0].at.as_nm() - job.pieces[pair[0].piece].length.as_nm();
        // Two slanting ends side by side are parted by one slanting cut; all else by a square one.
        let parted = if mitred(&pair[0]) && mitred(&pair[1]) && pair[0].turned != pair[1].turned {
            gap >= job.saw.mitre_kerf.as_nm()
        } else {
            bounding >= job.saw.kerf.as_nm()
        };
        if !parted {
            faults.push(format!(
                "no room for the cut before piece {}",
                pair[1].piece
            ));
        }
    }
    let waste = &board.waste;
    let wood: i64 = board
        .placed
        .iter()
        .map(|p| {
            let [near, far] = outline(job, p);
            (near.1 - near.0 + far.1 - far.0) / 2
        })
        .sum();
    let all = wood
        + [waste.kerf, waste.wedge, waste.trim, waste.bad, waste.offcut]
            .iter()
            .map(|w| w.as_nm())
            .sum::<i64>();
    if all != stock.length.as_nm() {
        faults.push(format!("pieces and waste add up to {all} nm"));
    }
    if [waste.kerf, waste.wedge, waste.trim, waste.bad, waste.offcut]
        .iter()
        .any(|w| w.as_nm() < 0)
    {
        faults.push("negative waste".into());
    }
    faults
}

/// Panics unless the plan does the job.
#[track_caller]
pub(crate) fn assert_sound(job: &Job, plan: &Plan) {
    let mut made = vec![0u32; job.pieces.len()];
    let mut used = vec![0u32; job.stock.len()];
    let mut cost = 0;
    for board in &plan.boards {
        let faults = board_faults(job, board);
        assert!(faults.is_empty(), "{faults:?} in {board:?} of {job:?}");
        used[board.stock] += board.count;
        cost += job.stock[board.stock].price.as_hundredths() * i64::from(board.count);
        for placed in &board.placed {
            made[placed.piece] += board.count;
        }
    }
    for m in &plan.missing {
        made[m.piece] += m.count;
    }
    for (piece, made) in job.pieces.iter().zip(&made) {
        assert_eq!(piece.count, *made, "{plan:?} of {job:?}");
    }
    for (index, stock) in job.stock.iter().enumerate() {
        assert!(stock.limit.is_none_or(|l| used[index] <= l));
        let carried = stock.origin == cutting::boards::Origin::AtHand
            || job.saw.longest.is_none_or(|l| stock.length <= l);
        assert!(used[index] == 0 || carried, "too long to carry");
        let bought = plan.buy.iter().find(|b| b.0 == index).map_or(0, |b| b.1);
        assert_eq!(bought, used[index]);
    }
    for of in [
        |w: &Waste| w.kerf,
        |w: &Waste| w.wedge,
        |w: &Waste| w.trim,
        |w: &Waste| w.bad,
        |w: &Waste| w.offcut,
    ] {
        let boards = plan.boards.iter();
        let all: Length = boards.map(|b| of(&b.waste) * i64::from(b.count)).sum();
        assert_eq!(of(&plan.waste), all);
    }
    let longest = plan.boards.iter().map(|b| b.longest_offcut).max();
    let longest = longest.filter(|&l| l >= job.saw.keep);
    assert_eq!(plan.longest_offcut, longest.unwrap_or(Length::ZERO));
    assert_eq!(cost, plan.cost.as_hundredths());
    assert!(plan.bound <= plan.cost);
    assert_eq!(
        plan.proven && plan.missing.is_empty(),
        plan.bound == plan.cost && plan.missing.is_empty()
    );
}
