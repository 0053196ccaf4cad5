//! What a spread is worth: quantiles of members, and their score against what was seen.
//!
//! # Equation
//! - quantile of sorted x₀ … xₙ₋₁ at p: linear between order statistics at h = (n − 1) p (type 7)
//! - CRPS of an ensemble against y: mean |xᵢ − y| − ½ mean over all pairs |xᵢ − xⱼ|, which is the integral of
//!   (F(x) − 1{x ≥ y})² over x with F the ensemble's step function; for sorted members the pairs' sum is
//!   2 Σ (2 i − n + 1) xᵢ, i from 0
//!
//! # Validity
//! Functions return `None` on empty input, on lengths that differ and on values that are not finite.
//!
//! # Source
//! R. J. Hyndman, Y. Fan, The American Statistician 50 (1996) 361–365; T. Gneiting, A. E. Raftery, Journal of the
//! American Statistical Association 102 (2007) 359–378 (both from memory; the tests check against closed forms).

fn finite(values: &[f64]) -> bool {
    !values.is_empty() && values.iter().all(|v| v.is_finite())
}

/// Quantile (type 7) of values sorted upwards, at `p` from 0 to 1.
#[must_use]
pub fn quantile(sorted: &[f64], p: f64) -> Option<f64> {
    if sorted.is_empty() || !(0.0..=1.0).contains(&p) {
        return None;
    }
    let h = (sorted.len() - 1) as f64 * p;
    let below = h.floor() as usize;
    let above = (below + 1).min(sorted.len() - 1);
    let part = h - below as f64;
    Some(sorted[below] + part * (sorted[above] - sorted[below]))
}

/// Continuous ranked probability score of members sorted upwards against the value seen, in their unit; 0 is best.
#[must_use]
pub fn crps(sorted: &[f64], seen: f64) -> Option<f64> {
    if !finite(sorted) || !seen.is_finite() {
        return None;
    }
    let n = sorted.len() as f64;
    let off: f64 = sorted.iter().map(|x| (x - seen).abs()).sum();
    let pairs: f64 = sorted.iter().enumerate().map(|(i, x)| (2.0 * i as f64 - n + 1.0) * x).sum();
    Some(off / n - pairs / (n * n))
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{Continuous, ContinuousCDF, Normal};

    /// Type 7 by hand: of 1, 2, 3, 4 the quartiles are 1.75, 2.5, 3.25.
    #[test]
    fn quantile_is_type_7() {
        let x = [1.0, 2.0, 3.0, 4.0];
        assert_eq!(quantile(&x, 0.25), Some(1.75));
        assert_eq!(quantile(&x, 0.5), Some(2.5));
        assert_eq!(quantile(&x, 0.75), Some(3.25));
        assert_eq!(quantile(&x, 0.0), Some(1.0));
        assert_eq!(quantile(&x, 1.0), Some(4.0));
        assert_eq!(quantile(&[7.0], 0.3), Some(7.0));
        assert_eq!(quantile(&[], 0.5), None);
        assert_eq!(quantile(&x, 1.1), None);
        assert_eq!(quantile(&x, f64::NAN), None);
    }

    /// Against the exact quantiles of the exponential distribution, −ln(1 − p), for equally probable members.
    #[test]
    fn quantile_nears_the_exact_one() {
        let n = 20_001;
        let x: Vec<f64> = (0..n).map(|i| -(1.0 - (f64::from(i) + 0.5) / f64::from(n)).ln()).collect();
        for p in [0.05, 0.25, 0.5, 0.75, 0.95] {
            let exact = -(1.0_f64 - p).ln();
            assert!((quantile(&x, p).unwrap() - exact).abs() < 1e-3, "{p}");
        }
    }

    fn crps_by_pairs(x: &[f64], y: f64) -> f64 {
        let n = x.len() as f64;
        let off: f64 = x.iter().map(|a| (a - y).abs()).sum();
        let pairs: f64 = x.iter().flat_map(|a| x.iter().map(move |b| (a - b).abs())).sum();
        off / n - 0.5 * pairs / (n * n)
    }

    proptest::proptest! {
        /// The sorted form equals the sum over all pairs, and a score is never negative.
        #[test]
        fn crps_equals_the_sum_over_pairs(
            mut x in proptest::collection::vec(-500.0..500.0_f64, 1..40),
            y in -600.0..600.0_f64,
        ) {
            x.sort_by(f64::total_cmp);
            let sorted = crps(&x, y).unwrap();
            proptest::prop_assert!((sorted - crps_by_pairs(&x, y)).abs() < 1e-9);
            proptest::prop_assert!(sorted > -1e-9);
        }
    }

    /// Closed form for a normal forecast: σ (z (2Φ(z) − 1) + 2φ(z) − 1/√π), Gneiting & Raftery 2007 (from memory).
    #[test]
    fn crps_nears_that_of_a_normal_forecast() {
        let (mean, sigma, n) = (220.0, 8.0, 4000);
        let forecast = Normal::new(mean, sigma).unwrap();
        let standard = Normal::new(0.0, 1.0).unwrap();
        let x: Vec<f64> = (0..n).map(|i| forecast.inverse_cdf((f64::from(i) + 0.5) / f64::from(n))).collect();
        for y in [195.0, 215.0, 220.0, 221.0, 240.0] {
            let z = (y - mean) / sigma;
            let exact =
                sigma * (z * (2.0 * standard.cdf(z) - 1.0) + 2.0 * standard.pdf(z) - 1.0 / std::f64::consts::PI.sqrt());
            let got = crps(&x, y).unwrap();
            assert!((got - exact).abs() < 2e-3, "{y}: {got} {exact}");
        }
    }

    #[test]
    fn crps_of_one_member_is_its_distance() {
        assert_eq!(crps(&[5.0], 8.0), Some(3.0));
        assert_eq!(crps(&[], 8.0), None);
        assert_eq!(crps(&[1.0, f64::NAN], 8.0), None);
    }
}
