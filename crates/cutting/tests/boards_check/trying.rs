//! The best plan of a small job by trying all, and all patterns of a small job; shares no code
//! with the solver.

use std::collections::HashMap;

use cutting::boards::{Ends, Job, Saw, Stock};

use super::boards_check::trims;

/// Usable stretches of a board.
fn runs(stock: &Stock, saw: &Saw) -> Vec<i64> {
    let (left, right) = trims(saw);
    let length = stock.length.as_nm();
    let mut bad: Vec<(i64, i64)> = stock
        .bad
        .iter()
        .map(|b| {
            (
                b.from.as_nm(),
                b.to.as_nm().max(b.from.as_nm() + saw.kerf.as_nm()),
            )
        })
        .collect();
    bad.push((i64::MIN, left));
    bad.push((length - right, i64::MAX));
    bad.sort_unstable();
    let mut free = Vec::new();
    let mut from = left;
    for (start, end) in bad {
        if start > from {
            free.push(start - from);
        }
        from = from.max(end);
    }
    free
}

/// Whether pieces lie in a stretch, by the formula of the instances' description.
fn fit_run(job: &Job, pieces: &[usize], room: i64) -> bool {
    let saw = &job.saw;
    let nests = |p: &&usize| job.pieces[**p].ends == Ends::Mitred && job.pieces[**p].turnable;
    let (face, kerf, mitre) = (saw.face.as_nm(), saw.kerf.as_nm(), saw.mitre_kerf.as_nm());
    let length = |p: &usize| job.pieces[*p].length.as_nm();
    let nested: Vec<&usize> = pieces.iter().filter(nests).collect();
    let others: Vec<&usize> = pieces.iter().filter(|p| !nests(p)).collect();
    if nested.is_empty() {
        let n = others.len() as i64;
        return others.iter().map(|p| length(p)).sum::<i64>() + kerf * (n - 1) <= room;
    }
    nested.iter().map(|p| length(p) - face + mitre).sum::<i64>()
        + others.iter().map(|p| length(p) + kerf).sum::<i64>()
        + face
        - mitre
        <= room
}

/// Whether single pieces `set` (a bit each) fit a board with these runs.
fn fit(job: &Job, singles: &[usize], set: u32, runs: &[i64]) -> bool {
    let chosen = |s: u32| -> Vec<usize> {
        (0..singles.len())
            .filter(|i| s >> i & 1 == 1)
            .map(|i| singles[i])
            .collect()
    };
    let Some((&room, rest)) = runs.split_first() else {
        return set == 0;
    };
    let mut part = set;
    loop {
        if (part == 0 || fit_run(job, &chosen(part), room)) && fit(job, singles, set & !part, rest)
        {
            return true;
        }
        if part == 0 {
            return false;
        }
        part = (part - 1) & set;
    }
}

/// Least (cost, boards) of a small job by trying everything, `None` if it can't be done.
pub(crate) fn exhaustive(job: &Job) -> Option<(i64, u32)> {
    let singles: Vec<usize> = job
        .pieces
        .iter()
        .enumerate()
        .flat_map(|(i, p)| std::iter::repeat_n(i, p.count as usize))
        .collect();
    assert!(singles.len() <= 10);
    let all = (1u32 << singles.len()) - 1;
    let stock: Vec<(usize, Vec<bool>)> = job
        .stock
        .iter()
        .enumerate()
        .filter(|(_, s)| {
            s.origin == cutting::boards::Origin::AtHand
                || job.saw.longest.is_none_or(|l| s.length <= l)
        })
        .map(|(i, s)| {
            let runs = runs(s, &job.saw);
            (
                i,
                (0..=all)
                    .map(|set| fit(job, &singles, set, &runs))
                    .collect(),
            )
        })
        .collect();
    let used = vec![0u32; job.stock.len()];
    let mut known = HashMap::new();
    cheapest(job, &stock, all, used, &mut known)
}

type Known = HashMap<(u32, Vec<u32>), Option<(i64, u32)>>;

fn cheapest(
    job: &Job,
    stock: &[(usize, Vec<bool>)],
    left: u32,
    used: Vec<u32>,
    known: &mut Known,
) -> Option<(i64, u32)> {
    if left == 0 {
        return Some((0, 0));
    }
    if let Some(&best) = known.get(&(left, used.clone())) {
        return best;
    }
    let first = left & left.wrapping_neg();
    let mut best: Option<(i64, u32)> = None;
    for (index, fits) in stock {
        let line = &job.stock[*index];
        if line.limit.is_some_and(|l| used[*index] >= l) {
            continue;
        }
        let mut set = left;
        while set > 0 {
            if set & first != 0 && fits[set as usize] {
                let mut now = used.clone();
                if line.limit.is_some() {
                    now[*index] += 1;
                }
                if let Some((cost, boards)) = cheapest(job, stock, left & !set, now, known) {
                    let here = (cost + line.price.as_hundredths(), boards + 1);
                    if best.is_none_or(|b| here < b) {
                        best = Some(here);
                    }
                }
            }
            set = (set - 1) & left;
        }
    }
    known.insert((left, used), best);
    best
}

/// How many of each piece fit together in one board: every choice to which nothing can be added.
pub(crate) fn patterns(job: &Job, stock: usize) -> Vec<Vec<u32>> {
    let room = runs(&job.stock[stock], &job.saw);
    assert_eq!(room.len(), 1, "for boards without bad stretches");
    let mut found = vec![];
    let mut counts = vec![0u32; job.pieces.len()];
    extend(job, room[0], 0, &mut counts, &mut found);
    let within = |a: &Vec<u32>, b: &Vec<u32>| a != b && a.iter().zip(b).all(|(a, b)| a <= b);
    let all = found.clone();
    found.retain(|a| !all.iter().any(|b| within(a, b)));
    found
}

fn extend(job: &Job, room: i64, at: usize, counts: &mut Vec<u32>, found: &mut Vec<Vec<u32>>) {
    if at == job.pieces.len() {
        if counts.iter().any(|&n| n > 0) {
            found.push(counts.clone());
        }
        return;
    }
    for n in 0..=job.pieces[at].count {
        counts[at] = n;
        let flat: Vec<usize> = counts
            .iter()
            .enumerate()
            .flat_map(|(i, &n)| std::iter::repeat_n(i, n as usize))
            .collect();
        if !flat.is_empty() && !fit_run(job, &flat, room) {
            break;
        }
        extend(job, room, at + 1, counts, found);
    }
    counts[at] = 0;
}
