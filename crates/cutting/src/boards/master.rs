//! The linear programme over known patterns: revised simplex with an explicit inverse.
//!
//! Floating point lives here only. Its results steer the search; no bound is taken from them.

use alloc::vec;
use alloc::vec::Vec;

use super::model::Pattern;

/// A column of the programme.
#[derive(Clone, Debug)]
struct Column {
    /// Index into the patterns, or none for slack, surplus and shortage.
    pattern: Option<usize>,
    cost: f64,
    entries: Vec<(u32, f64)>,
    /// No longer to be used: it asks for more than is left.
    banned: bool,
}

/// Which kinds of pieces share a row, each counted by its share.
#[derive(Clone, Debug)]
pub(super) struct Groups {
    /// Row of each item, and what one piece of it counts there.
    of: Vec<(u32, f64)>,
    /// How many rows.
    count: usize,
}

impl Groups {
    /// Every item for itself.
    pub(super) fn single(items: usize) -> Self {
        Self {
            of: (0..items).map(|i| (i as u32, 1.0)).collect(),
            count: items,
        }
    }

    /// From the row of each item and its share; rows without items are left out.
    pub(super) fn packed(mut of: Vec<(u32, f64)>) -> Self {
        let most = of.iter().map(|o| o.0).max().unwrap_or(0) as usize;
        let mut new = vec![u32::MAX; most + 1];
        let mut count = 0;
        for (row, _) in &mut of {
            let new = &mut new[*row as usize];
            if *new == u32::MAX {
                *new = count;
                count += 1;
            }
            *row = *new;
        }
        Self {
            of,
            count: count as usize,
        }
    }

    /// Sums up by row.
    fn sum(&self, each: impl Iterator<Item = f64>) -> Vec<f64> {
        let mut sums = vec![0.0; self.count];
        for (&(row, share), n) in self.of.iter().zip(each) {
            sums[row as usize] += share * n;
        }
        sums
    }
}

/// The programme `min c·x, A·x ≥ demand, x of bin k ≤ limit`, shortage allowed at a cost.
#[derive(Clone, Debug)]
pub(super) struct Master {
    rows: usize,
    rhs: Vec<f64>,
    /// Row of each bin's limit.
    limit_row: Vec<Option<usize>>,
    groups: Groups,
    patterns: Vec<Pattern>,
    columns: Vec<Column>,
    /// Column basic in each row.
    basis: Vec<usize>,
    is_basic: Vec<bool>,
    inverse: Vec<f64>,
    x: Vec<f64>,
    y: Vec<f64>,
    pivots: u32,
    shortage: Vec<f64>,
    dearest: f64,
}

/// Below this a reduced cost counts as none, relative to the largest cost.
const REDUCED: f64 = 1e-9;
/// Smallest pivot element.
const PIVOT: f64 = 1e-7;
/// Pivots between two fresh inversions.
const FRESH: u32 = 150;

impl Master {
    /// Only shortage basic: every group short by its demand. `short` is what a piece short costs at least.
    pub(super) fn new(
        groups: Groups,
        demand: &[u32],
        short: &[f64],
        limits: &[Option<u32>],
    ) -> Self {
        let mut shortage: Vec<f64> = vec![0.0; groups.count];
        for (&(row, share), short) in groups.of.iter().zip(short) {
            let cost = &mut shortage[row as usize];
            *cost = cost.max(short / share);
        }
        let items = groups.count;
        let mut rhs = groups.sum(demand.iter().map(|&d| f64::from(d)));
        let mut limit_row = Vec::with_capacity(limits.len());
        for limit in limits {
            limit_row.push(limit.map(|limit| {
                rhs.push(f64::from(limit));
                rhs.len() - 1
            }));
        }
        let rows = rhs.len();
        let mut columns = Vec::with_capacity(rows + items);
        for row in 0..rows {
            columns.push(Column {
                pattern: None,
                cost: shortage.get(row).copied().unwrap_or(0.0),
                entries: vec![(row as u32, 1.0)],
                banned: false,
            });
        }
        for row in 0..items {
            columns.push(Column {
                pattern: None,
                cost: 0.0,
                entries: vec![(row as u32, -1.0)],
                banned: false,
            });
        }
        let mut inverse = vec![0.0; rows * rows];
        for row in 0..rows {
            inverse[row * rows + row] = 1.0;
        }
        let mut is_basic = vec![false; columns.len()];
        is_basic[..rows].fill(true);
        Self {
            rows,
            x: rhs.clone(),
            y: columns[..rows].iter().map(|c| c.cost).collect(),
            rhs,
            limit_row,
            groups,
            patterns: Vec::new(),
            basis: (0..rows).collect(),
            is_basic,
            columns,
            inverse,
            pivots: 0,
            dearest: shortage.iter().copied().fold(0.0, f64::max),
            shortage,
        }
    }

    /// Adds a pattern; the same one twice does no harm.
    pub(super) fn add(&mut self, pattern: Pattern, cost: f64) {
        let mut entries: Vec<(u32, f64)> = Vec::with_capacity(pattern.cells.len() + 1);
        for cell in &pattern.cells {
            let (row, share) = self.groups.of[usize::from(cell.item)];
            let n = share * f64::from(cell.count);
            match entries.iter_mut().find(|e| e.0 == row) {
                Some(e) => e.1 += n,
                None => entries.push((row, n)),
            }
        }
        if let Some(row) = self.limit_row[usize::from(pattern.bin)] {
            entries.push((row as u32, 1.0));
        }
        self.columns.push(Column {
            pattern: Some(self.patterns.len()),
            cost,
            entries,
            banned: false,
        });
        self.patterns.push(pattern);
        self.is_basic.push(false);
    }

    /// Dual values of the items.
    pub(super) fn duals(&self) -> impl Iterator<Item = f64> {
        let of = self.groups.of.iter();
        of.map(|&(row, share)| self.y[row as usize] * share)
    }

    /// Dual value of a bin's limit, zero or below.
    pub(super) fn limit_dual(&self, bin: usize) -> f64 {
        self.limit_row[bin].map_or(0.0, |row| self.y[row])
    }

    /// Cost of shortage, of boards, and of patterns that may no longer be used.
    pub(super) fn objective(&self) -> f64 {
        self.basis
            .iter()
            .zip(&self.x)
            .map(|(&c, x)| self.columns[c].cost * x)
            .sum()
    }

    /// Usable patterns in use: their columns with their numbers.
    pub(super) fn solution(&self) -> Vec<(usize, f64)> {
        self.basis
            .iter()
            .zip(&self.x)
            .filter(|&(&c, &x)| {
                x > 1e-9 && self.columns[c].pattern.is_some() && !self.columns[c].banned
            })
            .map(|(&c, &x)| (c, x))
            .collect()
    }

    /// The pattern of a column of the solution.
    pub(super) fn pattern(&self, column: usize) -> Option<&Pattern> {
        self.columns[column].pattern.map(|p| &self.patterns[p])
    }

    /// Takes `n` boards cut by a basic column out of the programme: demand and limits shrink, and
    /// every other basic value stays. Afterwards call [`Master::repair`].
    pub(super) fn take(&mut self, column: usize, n: u32) {
        let n = f64::from(n);
        for &(row, a) in &self.columns[column].entries {
            self.rhs[row as usize] -= a * n;
        }
        if let Some(row) = self.basis.iter().position(|&c| c == column) {
            self.x[row] -= n;
        }
    }

    /// Bans patterns that ask for more than is left; where they are basic, they cost what their
    /// pieces would cost when short.
    pub(super) fn ban(&mut self, left: &[u32]) {
        for index in 0..self.columns.len() {
            let column = &self.columns[index];
            let Some(pattern) = column.pattern else {
                continue;
            };
            if column.banned || super::relax::fits(&self.patterns[pattern], left) {
                continue;
            }
            let cost = column
                .entries
                .iter()
                .map(|&(row, a)| self.shortage.get(row as usize).map_or(0.0, |s| s * a))
                .sum::<f64>()
                .max(column.cost);
            let rise = cost - column.cost;
            let column = &mut self.columns[index];
            column.banned = true;
            column.cost = cost;
            if self.is_basic[index]
                && let Some(row) = self.basis.iter().position(|&c| c == index)
            {
                let line = &self.inverse[row * self.rows..(row + 1) * self.rows];
                for (y, l) in self.y.iter_mut().zip(line) {
                    *y += rise * l;
                }
            }
        }
    }

    /// Dual simplex: pivots until no basic value is negative; returns the work done.
    pub(super) fn repair(&mut self) -> u64 {
        let n = self.rows;
        let mut work = 0;
        for _ in 0..n * 3 {
            let mut out = 0;
            for row in 1..n {
                if self.x[row] < self.x[out] {
                    out = row;
                }
            }
            if self.x[out] > -1e-9 {
                return work;
            }
            let line = &self.inverse[out * n..(out + 1) * n];
            let mut entering: Option<(f64, f64, usize)> = None;
            for (index, column) in self.columns.iter().enumerate() {
                if self.is_basic[index] || column.banned {
                    continue;
                }
                let alpha: f64 = column
                    .entries
                    .iter()
                    .map(|&(r, v)| line[r as usize] * v)
                    .sum();
                if alpha < -PIVOT {
                    let ratio = self.reduced_cost(column).max(0.0) / -alpha;
                    let better = entering.is_none_or(|(best, pivot, _)| {
                        ratio < best - 1e-10 || (ratio < best + 1e-10 && alpha < pivot)
                    });
                    if better {
                        entering = Some((ratio, alpha, index));
                    }
                }
            }
            work += self.columns.len() as u64 * 12;
            let Some((_, _, index)) = entering else {
                return work;
            };
            let alpha = self.transformed(index);
            let reduced = self.reduced_cost(&self.columns[index]);
            work += self.exchange(index, out, &alpha, reduced);
        }
        work
    }

    /// All patterns met, for the next programme.
    pub(super) fn into_patterns(self) -> Vec<Pattern> {
        self.patterns
    }

    fn reduced_cost(&self, column: &Column) -> f64 {
        let mut cost = column.cost;
        for &(row, a) in &column.entries {
            cost -= self.y[row as usize] * a;
        }
        cost
    }

    /// Pivots until optimal over the known columns or out of turns; returns whether optimal and
    /// the work done.
    pub(super) fn optimize(&mut self, turns: u32) -> (bool, u64) {
        let mut work = 0;
        let tolerance = -REDUCED * self.dearest.max(1.0);
        for _ in 0..turns {
            work += self.columns.len() as u64 * 8;
            let mut best = (tolerance, None);
            for (index, column) in self.columns.iter().enumerate() {
                if self.is_basic[index] || column.banned {
                    continue;
                }
                let cost = self.reduced_cost(column);
                if cost < best.0 {
                    best = (cost, Some(index));
                }
            }
            let Some(entering) = best.1 else {
                return (true, work);
            };
            work += self.pivot(entering, best.0);
        }
        (false, work)
    }

    /// A column in terms of the basis.
    fn transformed(&self, column: usize) -> Vec<f64> {
        let n = self.rows;
        let entries = &self.columns[column].entries;
        (0..n)
            .map(|row| {
                let line = &self.inverse[row * n..(row + 1) * n];
                entries.iter().map(|&(r, v)| line[r as usize] * v).sum()
            })
            .collect()
    }

    /// Brings a column into the basis; returns the work done.
    fn pivot(&mut self, entering: usize, reduced: f64) -> u64 {
        let alpha = self.transformed(entering);
        // Smallest ratio; among near ties the largest pivot element.
        let mut leaving: Option<(f64, usize)> = None;
        for (row, &a) in alpha.iter().enumerate() {
            if a > PIVOT {
                let ratio = self.x[row].max(0.0) / a;
                let better = leaving.is_none_or(|(best, at)| {
                    ratio < best - 1e-10 || (ratio < best + 1e-10 && a > alpha[at])
                });
                if better {
                    leaving = Some((ratio, row));
                }
            }
        }
        let Some((_, out)) = leaving else {
            // Not bounded: can't be with non-negative costs, so rounding; never enter it again.
            self.columns[entering].banned = true;
            return self.rows as u64;
        };
        self.exchange(entering, out, &alpha, reduced)
    }

    /// Puts a column in the place of the one basic in row `out`; returns the work done.
    fn exchange(&mut self, entering: usize, out: usize, alpha: &[f64], reduced: f64) -> u64 {
        let n = self.rows;
        let scale = 1.0 / alpha[out];
        let step = self.x[out] * scale;
        for value in &mut self.inverse[out * n..(out + 1) * n] {
            *value *= scale;
        }
        let line: Vec<f64> = self.inverse[out * n..(out + 1) * n].to_vec();
        let mut touched = 1;
        for (row, &a) in alpha.iter().enumerate() {
            if row == out || (a < 1e-12 && a > -1e-12) {
                continue;
            }
            touched += 1;
            for (value, l) in self.inverse[row * n..(row + 1) * n].iter_mut().zip(&line) {
                *value -= a * l;
            }
            self.x[row] -= a * step;
        }
        self.x[out] = step;
        for (y, l) in self.y.iter_mut().zip(&line) {
            *y += reduced * l;
        }
        self.is_basic[self.basis[out]] = false;
        self.is_basic[entering] = true;
        self.basis[out] = entering;
        self.pivots += 1;
        let mut work = (n * touched / 2 + n * 4) as u64;
        if self.pivots.is_multiple_of(FRESH) {
            work += self.refresh();
        }
        work
    }

    /// Inverts the basis afresh; returns the work done.
    fn refresh(&mut self) -> u64 {
        let n = self.rows;
        let mut a = vec![0.0; n * n];
        for (col, &c) in self.basis.iter().enumerate() {
            for &(row, v) in &self.columns[c].entries {
                a[row as usize * n + col] = v;
            }
        }
        let mut inverse = vec![0.0; n * n];
        for row in 0..n {
            inverse[row * n + row] = 1.0;
        }
        let mut work = 0;
        for col in 0..n {
            let size = |row: usize, a: &[f64]| {
                let v = a[row * n + col];
                if v < 0.0 { -v } else { v }
            };
            let mut pivot = col;
            for row in col + 1..n {
                if size(row, &a) > size(pivot, &a) {
                    pivot = row;
                }
            }
            if size(pivot, &a) < 1e-11 {
                // Singular by rounding: keep the inverse that was carried along.
                return work;
            }
            if pivot != col {
                for k in 0..n {
                    a.swap(pivot * n + k, col * n + k);
                    inverse.swap(pivot * n + k, col * n + k);
                }
            }
            let scale = 1.0 / a[col * n + col];
            for k in 0..n {
                a[col * n + k] *= scale;
                inverse[col * n + k] *= scale;
            }
            let line_a: Vec<f64> = a[col * n..(col + 1) * n].to_vec();
            let line_i: Vec<f64> = inverse[col * n..(col + 1) * n].to_vec();
            for row in 0..n {
                let f = a[row * n + col];
                if row == col || f == 0.0 {
                    continue;
                }
                work += n as u64;
                for k in 0..n {
                    a[row * n + k] -= f * line_a[k];
                    inverse[row * n + k] -= f * line_i[k];
                }
            }
        }
        self.inverse = inverse;
        for row in 0..n {
            let line = &self.inverse[row * n..(row + 1) * n];
            self.x[row] = line.iter().zip(&self.rhs).map(|(a, b)| a * b).sum();
        }
        for col in 0..n {
            self.y[col] = (0..n)
                .map(|row| self.columns[self.basis[row]].cost * self.inverse[row * n + col])
                .sum();
        }
        work
    }
}

#[cfg(test)]
mod tests {
    //! Against `microlp`, a general-purpose solver.

    use super::super::model::Cell;
    use super::super::pack::Dice;
    use super::*;
    use microlp::{ComparisonOp, OptimizationDirection, Problem};

    /// A programme made up by lot: its rows, and what each pattern costs.
    struct Made {
        groups: Groups,
        demand: Vec<u32>,
        short: Vec<f64>,
        limits: Vec<Option<u32>>,
        patterns: Vec<(Pattern, f64)>,
    }

    impl Made {
        fn new(dice: &mut Dice, items: usize, patterns: usize, groups: Groups) -> Self {
            let bins = 1 + dice.below(3);
            let limits = (0..bins)
                .map(|_| (dice.below(2) == 0).then(|| dice.below(6) as u32))
                .collect();
            let prices: Vec<f64> = (0..bins)
                .map(|_| 5.0 + dice.below(400) as f64 / 16.0)
                .collect();
            let demand: Vec<u32> = (0..items).map(|_| 4 + dice.below(20) as u32).collect();
            let patterns = (0..patterns)
                .map(|_| {
                    let bin = dice.below(bins);
                    let mut cells: Vec<Cell> = Vec::new();
                    for item in 0..items as u16 {
                        if dice.below(3) == 0 {
                            let count = 1 + dice.below(4) as u32;
                            cells.push(Cell {
                                run: 0,
                                item,
                                count,
                            });
                        }
                    }
                    if cells.is_empty() {
                        cells.push(Cell {
                            run: 0,
                            item: dice.below(items) as u16,
                            count: 1,
                        });
                    }
                    let bin = bin as u16;
                    let price = prices[usize::from(bin)];
                    (Pattern { bin, cells }, price)
                })
                .collect();
            Self {
                groups,
                demand,
                short: (0..items).map(|_| 8.0 + dice.below(100) as f64).collect(),
                limits,
                patterns,
            }
        }

        fn master(&self) -> Master {
            let groups = self.groups.clone();
            let mut master = Master::new(groups, &self.demand, &self.short, &self.limits);
            for (pattern, cost) in &self.patterns {
                master.add(pattern.clone(), *cost);
            }
            master
        }

        /// The least cost with these pieces and boards left, and the patterns that fit them.
        fn least(&self, left: &[u32], limits: &[Option<u32>]) -> f64 {
            let mut problem = Problem::new(OptimizationDirection::Minimize);
            let mut rows = vec![Vec::new(); self.groups.count];
            let mut of_bin = vec![Vec::new(); limits.len()];
            for (pattern, cost) in &self.patterns {
                if !super::super::relax::fits(pattern, left) {
                    continue;
                }
                let x = problem.add_var(*cost, (0.0, f64::INFINITY));
                let mut counts = vec![0.0; self.groups.count];
                for cell in &pattern.cells {
                    let (row, share) = self.groups.of[usize::from(cell.item)];
                    counts[row as usize] += share * f64::from(cell.count);
                }
                for (row, n) in rows.iter_mut().zip(counts).filter(|(_, n)| *n > 0.0) {
                    row.push((x, n));
                }
                of_bin[usize::from(pattern.bin)].push((x, 1.0));
            }
            for (r, row) in rows.iter_mut().enumerate() {
                // Being short of a row costs what its dearest piece does for its share.
                let of = self.groups.of.iter().zip(&self.short);
                let costs = of.filter(|((row, _), _)| *row as usize == r);
                let cost = costs
                    .map(|((_, share), short)| short / share)
                    .fold(0.0, f64::max);
                row.push((problem.add_var(cost, (0.0, f64::INFINITY)), 1.0));
                let need = self.groups.of.iter().zip(left);
                let need = need.filter(|((row, _), _)| *row as usize == r);
                let need: f64 = need.map(|((_, share), &n)| share * f64::from(n)).sum();
                problem.add_constraint(&row[..], ComparisonOp::Ge, need);
            }
            for (row, limit) in of_bin.iter().zip(limits) {
                if let Some(limit) = limit {
                    problem.add_constraint(&row[..], ComparisonOp::Le, f64::from(*limit));
                }
            }
            problem
                .solve()
                .expect("being short is always possible")
                .objective()
        }
    }

    fn optimized(master: &mut Master) {
        let (mut turns, mut optimal) = (0, false);
        while !optimal {
            let (done, work) = master.optimize(40);
            assert!(work > 0);
            optimal = done;
            turns += 1;
            assert!(turns < 100, "it goes round in circles");
        }
    }

    #[track_caller]
    fn near(a: f64, b: f64) {
        assert!((a - b).abs() <= 1e-6 * (1.0 + b.abs()), "{a} is not {b}");
    }

    /// Demand and limits at their dual values are worth what the programme costs.
    #[track_caller]
    fn is_dual(master: &Master, made: &Made, left: &[u32], limits: &[Option<u32>]) {
        let pieces: f64 = master
            .duals()
            .zip(left)
            .map(|(y, &n)| y * f64::from(n))
            .sum();
        let limits = limits.iter().enumerate().map(|(bin, limit)| {
            let y = master.limit_dual(bin);
            assert!(y <= 1e-9);
            limit.map_or_else(
                || {
                    assert!(y.abs() < f64::EPSILON);
                    0.0
                },
                |n| y * f64::from(n),
            )
        });
        near(pieces + limits.sum::<f64>(), master.objective());
        for (pattern, cost) in &made.patterns {
            if super::super::relax::fits(pattern, left) {
                let duals: Vec<f64> = master.duals().collect();
                let cells = pattern.cells.iter();
                let worth: f64 = cells
                    .map(|c| duals[usize::from(c.item)] * f64::from(c.count))
                    .sum();
                let worth = worth + master.limit_dual(usize::from(pattern.bin));
                assert!(
                    worth <= cost + 1e-6,
                    "a pattern is worth more than its board"
                );
            }
        }
    }

    #[test]
    fn programmes_cost_what_a_general_solver_finds() {
        let mut dice = Dice::new(31);
        for case in 0..200 {
            let items = 2 + case % 7;
            let groups = match case % 3 {
                0 => {
                    let of = |_| (dice.below(4) as u32, 0.1 + dice.below(16) as f64 / 16.0);
                    Groups::packed((0..items).map(of).collect())
                }
                _ => Groups::single(items),
            };
            let made = Made::new(&mut dice, items, 5 + case % 50, groups);
            let mut master = made.master();
            optimized(&mut master);
            near(master.objective(), made.least(&made.demand, &made.limits));
            is_dual(&master, &made, &made.demand, &made.limits);
        }
    }

    #[test]
    fn after_boards_are_cut_the_rest_costs_what_a_general_solver_finds() {
        let mut dice = Dice::new(32);
        let mut cut = 0;
        for case in 0..300 {
            let items = 2 + case % 7;
            let made = Made::new(&mut dice, items, 10 + case % 50, Groups::single(items));
            let mut master = made.master();
            optimized(&mut master);
            let (mut left, mut limits) = (made.demand.clone(), made.limits.clone());
            while let Some((column, x)) = master
                .solution()
                .into_iter()
                .max_by(|a, b| a.1.total_cmp(&b.1))
            {
                let pattern = master.pattern(column).expect("a pattern is in use").clone();
                let fit = |n: u32, left: &[u32]| {
                    pattern
                        .cells
                        .iter()
                        .all(|c| n * c.count <= left[usize::from(c.item)])
                };
                // One board more than are used in full, if there are so many.
                let limit = &mut limits[usize::from(pattern.bin)];
                let all = [x as u32 + 1, x as u32].into_iter();
                let possible = |&n: &u32| n > 0 && fit(n, &left) && limit.is_none_or(|l| l >= n);
                let Some(n) = all.into_iter().find(possible) else {
                    break;
                };
                for c in &pattern.cells {
                    left[usize::from(c.item)] -= n * c.count;
                }
                *limit = limit.map(|l| l - n);
                master.take(column, n);
                master.ban(&left);
                let work = master.repair();
                optimized(&mut master);
                near(master.objective(), made.least(&left, &limits));
                is_dual(&master, &made, &left, &limits);
                assert!(master.x.iter().all(|&x| x > -1e-7));
                cut += u32::from(work > 0);
            }
        }
        assert!(cut > 100, "{cut}");
    }

    #[test]
    fn an_inversion_afresh_changes_nothing_but_rounding() {
        let mut dice = Dice::new(33);
        let made = Made::new(&mut dice, 60, 900, Groups::single(60));
        let mut master = made.master();
        optimized(&mut master);
        assert!(master.pivots > FRESH, "{}", master.pivots);
        near(master.objective(), made.least(&made.demand, &made.limits));
        let before = master.clone();
        master.inverse.fill(0.5);
        master.x.fill(7.0);
        master.y.fill(-3.0);
        assert!(master.refresh() > 0);
        let pairs = [
            (&before.inverse, &master.inverse),
            (&before.x, &master.x),
            (&before.y, &master.y),
        ];
        for (old, new) in pairs {
            assert!(
                old.iter()
                    .zip(new)
                    .all(|(a, b)| (a - b).abs() < 1e-6 * (1.0 + b.abs()))
            );
        }
    }
}
