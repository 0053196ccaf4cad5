//! Fewer points for the same line: what lies on the chord between its neighbours is left out.
//!
//! The classical way: a stretch is its chord unless a point of it lies further off than allowed; then it is split there.

/// How far a line may be moved, px: less than a reader can see.
pub(crate) const UNSEEN_PX: f64 = 0.3;

/// The points that are needed so that none of those left out lies further than `off_px` from the line; ends stay.
pub(crate) fn trimmed(points: &[(f64, f64)], off_px: f64) -> Vec<(f64, f64)> {
    let Some(last) = points.len().checked_sub(1) else { return Vec::new() };
    let mut keep = vec![false; points.len()];
    keep[0] = true;
    keep[last] = true;
    let mut open = vec![(0, last)];
    while let Some((from, to)) = open.pop() {
        let off = |i: &usize| from_chord(points[*i], points[from], points[to]);
        let furthest = (from + 1..to).max_by(|a, b| off(a).total_cmp(&off(b)));
        if let Some(split) = furthest.filter(|i| off(i) > off_px) {
            keep[split] = true;
            open.push((from, split));
            open.push((split, to));
        }
    }
    points.iter().zip(&keep).filter(|(_, kept)| **kept).map(|(point, _)| *point).collect()
}

/// Distance of a point from the stretch between two others.
pub(crate) fn from_chord(point: (f64, f64), a: (f64, f64), b: (f64, f64)) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let long = dx * dx + dy * dy;
    let share = if long > 0.0 { ((point.0 - a.0) * dx + (point.1 - a.1) * dy) / long } else { 0.0 };
    let share = share.clamp(0.0, 1.0);
    (point.0 - a.0 - share * dx).hypot(point.1 - a.1 - share * dy)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_line_is_its_ends_and_a_corner_stays() {
        let straight: Vec<(f64, f64)> = (0..50).map(|i| (f64::from(i), 2.0 * f64::from(i))).collect();
        assert_eq!(trimmed(&straight, 0.1), vec![straight[0], straight[49]]);
        let corner = [(0.0, 0.0), (5.0, 0.0), (10.0, 10.0), (15.0, 10.0), (20.0, 10.0)];
        assert_eq!(trimmed(&corner, 0.1), vec![corner[0], corner[1], corner[2], corner[4]]);
    }

    #[test]
    fn nothing_that_is_left_out_lies_off_the_line() {
        let wave: Vec<(f64, f64)> = (0..400).map(|i| (f64::from(i), 40.0 * (f64::from(i) / 25.0).sin())).collect();
        let kept = trimmed(&wave, UNSEEN_PX);
        assert!(kept.len() < wave.len() / 3, "{}", kept.len());
        for point in &wave {
            let off = kept.windows(2).map(|w| from_chord(*point, w[0], w[1])).fold(f64::INFINITY, f64::min);
            assert!(off <= UNSEEN_PX + 1e-12, "{off}");
        }
    }

    #[test]
    fn few_points_stay_as_they_are() {
        assert!(trimmed(&[], 1.0).is_empty());
        assert_eq!(trimmed(&[(1.0, 1.0)], 1.0), vec![(1.0, 1.0)]);
        assert_eq!(trimmed(&[(1.0, 1.0), (1.0, 1.0)], 1.0).len(), 2);
    }
}
