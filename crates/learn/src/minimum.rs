//! The smallest value of a function of a few bounded numbers, found the same way every time.
//!
//! # Equation
//! A grid of 17 values a number, all combinations, over the whole range; then the same over a window half as wide around
//! the best so far, 18 times in all.
//!
//! # Validity
//! For smooth functions of one to three numbers with one valley wider than a cell. The answer is never worse than the
//! best of the first grid. Numbers that make up for each other slow it down, but the window stays wide enough to follow.
//!
//! # Source
//! Plain search; nothing to cite.

/// Values of the grid along each number.
const GRID: usize = 17;
/// Grids laid one after the other.
const ROUNDS: usize = 18;

/// Where `of` is smallest between the bounds; values of `of` that are not numbers count as large.
#[must_use]
pub fn minimum(min_max: &[(f64, f64)], of: impl Fn(&[f64]) -> f64) -> Vec<f64> {
    let mut best: Vec<f64> = min_max.iter().map(|(low, high)| 0.5 * (low + high)).collect();
    let mut least = f64::INFINITY;
    let mut window = min_max.to_vec();
    for _ in 0..ROUNDS {
        for number in 0..GRID.saturating_pow(u32::try_from(min_max.len()).unwrap_or(u32::MAX)) {
            let at = on_grid(&window, number);
            let value = of(&at);
            if value < least {
                (best, least) = (at, value);
            }
        }
        window = (0..min_max.len()).map(|i| around(best[i], window[i], min_max[i])).collect();
    }
    best
}

/// A window half as wide around a place, within the bounds.
fn around(place: f64, (from, to): (f64, f64), (low, high): (f64, f64)) -> (f64, f64) {
    let reach = 0.25 * (to - from);
    ((place - reach).max(low), (place + reach).min(high))
}

/// The place of a number on the grid over a window.
fn on_grid(window: &[(f64, f64)], mut number: usize) -> Vec<f64> {
    let place = |(low, high): &(f64, f64)| {
        let k = number % GRID;
        number /= GRID;
        low + (high - low) * k as f64 / (GRID - 1) as f64
    };
    window.iter().map(place).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_bottom_of_a_slanted_bowl() {
        let of = |x: &[f64]| (x[0] - 0.3).powi(2) + 4.0 * (x[1] - 1.7).powi(2) + 0.5 * (x[0] - 0.3) * (x[1] - 1.7);
        let at = minimum(&[(-1.0, 1.0), (0.0, 5.0)], of);
        assert!((at[0] - 0.3).abs() < 1e-4 && (at[1] - 1.7).abs() < 1e-4, "{at:?}");
    }

    #[test]
    fn stays_within_bounds_and_takes_the_deeper_of_two_valleys() {
        let at = minimum(&[(0.0, 2.0)], |x| -x[0]);
        assert!((at[0] - 2.0).abs() < 1e-6 && at[0] <= 2.0, "{at:?}");
        let two = |x: &[f64]| ((x[0] - 1.0) * (x[0] + 1.0)).powi(2) - 0.1 * x[0];
        assert!(minimum(&[(-2.0, 2.0)], two)[0] > 0.9);
    }

    #[test]
    fn what_is_no_number_is_avoided() {
        let at = minimum(&[(0.0, 1.0)], |x| if x[0] < 0.5 { f64::NAN } else { x[0] });
        assert!(at[0] >= 0.5, "{at:?}");
    }
}
