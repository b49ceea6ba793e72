//! Points, path data and hatching.

/// A point of the drawing; y grows downward.
pub(super) type Point = (f64, f64);

/// A number as SVG wants it: at most three decimals, no trailing zeros.
pub(super) fn number(x: f64) -> String {
    planner::parse::plain(x, 3)
}

/// Path data of a line through points, closed or not.
pub(super) fn path(points: &[Point], closed: bool) -> String {
    let mut d = String::new();
    for (i, (x, y)) in points.iter().enumerate() {
        d.push(if i == 0 { 'M' } else { 'L' });
        d.push_str(&number(*x));
        d.push(' ');
        d.push_str(&number(*y));
    }
    if closed {
        d.push('Z');
    }
    d
}

/// A rectangle by two opposite corners.
pub(super) fn rectangle((x1, y1): Point, (x2, y2): Point) -> [Point; 4] {
    [(x1, y1), (x2, y1), (x2, y2), (x1, y2)]
}

/// Lines at 45° (rising to the right), `step` apart, inside a convex polygon: the hatching of
/// waste, drawn as real lines because a pattern needs an identifier.
pub(super) fn hatch(polygon: &[Point], step: f64) -> Vec<[Point; 2]> {
    // On a rising line x + y is constant.
    let sums = polygon.iter().map(|(x, y)| x + y);
    let (low, high) = (
        sums.clone().fold(f64::INFINITY, f64::min),
        sums.fold(f64::NEG_INFINITY, f64::max),
    );
    let gap = step * std::f64::consts::SQRT_2;
    let mut lines = Vec::new();
    let mut sum = (low / gap).floor() * gap + gap;
    while sum < high && lines.len() < 2000 {
        let mut ends: Vec<Point> = Vec::new();
        for (i, a) in polygon.iter().enumerate() {
            let b = polygon[(i + 1) % polygon.len()];
            let (sa, sb) = (a.0 + a.1 - sum, b.0 + b.1 - sum);
            if (sa < 0.0) != (sb < 0.0) {
                let t = sa / (sa - sb);
                ends.push((a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1)));
            }
        }
        if let [a, b] = ends[..] {
            lines.push([a, b]);
        }
        sum += gap;
    }
    lines
}

/// Moves places apart so that neighbours are at least `gap` from each other and all lie between
/// `low` and `high`, each as near as can be to where it wanted to be. The places come sorted.
pub(super) fn spread(wanted: &[f64], gap: f64, low: f64, high: f64) -> Vec<f64> {
    let mut places = wanted.to_vec();
    let last = wanted.len().saturating_sub(1) as f64;
    let gap = gap.min(((high - low) / last.max(1.0)).max(0.0));
    for i in 0..places.len() {
        let least = if i == 0 { low } else { places[i - 1] + gap };
        places[i] = places[i].max(least);
    }
    for i in (0..places.len()).rev() {
        let most = if i + 1 == places.len() {
            high
        } else {
            places[i + 1] - gap
        };
        places[i] = places[i].min(most);
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short() {
        assert_eq!(
            [0.0, -0.0001, 1.5, 2.0, 0.12345].map(number),
            ["0", "0", "1.5", "2", "0.123"]
        );
    }

    #[test]
    fn hatching_stays_inside() {
        let square = rectangle((0.0, 0.0), (10.0, 10.0));
        let lines = hatch(&square, 2.0);
        // The diagonal of 14.14 holds seven lines 2 apart, less one at the corner.
        assert_eq!(lines.len(), 7);
        for (x, y) in lines.iter().flatten() {
            assert!((-1e-9..=10.000_001).contains(x) && (-1e-9..=10.000_001).contains(y));
        }
    }

    #[test]
    fn spreading_keeps_order_and_bounds() {
        assert_eq!(spread(&[1.0, 1.5, 9.0], 2.0, 0.0, 10.0), [1.0, 3.0, 9.0]);
        assert_eq!(spread(&[9.0, 9.5], 2.0, 0.0, 10.0), [8.0, 10.0]);
        assert_eq!(spread(&[], 2.0, 0.0, 10.0), [] as [f64; 0]);
    }
}
