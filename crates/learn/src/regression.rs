//! What one more reading says of anything the members say, without running them again.
//!
//! # Equation
//! With a reading's prediction y_j in every member (spread s_y), its error σ, and any quantity x_j of the members, the gain is
//! K = t c/(s_y² + σ²), c = cov(x, y), tapered by t = c²/(c² + (c² + s_x² s_y²)/N) as in [`crate::smoother`]. A reading d moves
//! the members by the square-root form, which needs no perturbations and leaves exactly the spread the gain implies:
//!
//!   x_j ← x_j + K (d − ȳ) − K/(1 + √(σ²/(s_y² + σ²))) (y_j − ȳ).
//!
//! Spread and width afterwards do not depend on d: a reading not taken yet can be judged by them.
//!
//! # Validity
//! Exact for normal, linearly related quantities and many members. Quantities held by a limit (a pot at the boil) are not
//! kept there. Whoever has the time runs [`mod@crate::condition`] anew; a test holds the two against each other.
//!
//! # Source
//! Ensemble regression: Anderson, Monthly Weather Review 131 (2003) 634–642; square-root form: Whitaker & Hamill, Monthly
//! Weather Review 130 (2002) 1913–1924, Potter's (both from memory).

use crate::score::quantile;
use crate::series::Series;

/// A reading, taken or not, that quantities are regressed on.
#[derive(Debug, Clone, PartialEq)]
pub struct Regression {
    predicted: Vec<f64>,
    mean: f64,
    variance: f64,
    error: f64,
}

impl Regression {
    /// A reading forecast as `forecast` in every member, with one-sigma error `sigma`, both in the reading's unit.
    /// `None` with fewer than two members, a prediction that is not a number, or an error that is not above zero.
    #[must_use]
    pub fn new(forecast: &[f64], sigma: f64) -> Option<Self> {
        let usable = forecast.len() >= 2 && forecast.iter().all(|y| y.is_finite());
        if !(usable && sigma > 0.0 && sigma.is_finite()) {
            return None;
        }
        let mean = mean_of(forecast);
        let variance = covariance(forecast, forecast);
        Some(Self { predicted: forecast.to_vec(), mean, variance, error: sigma * sigma })
    }

    /// Number of members.
    #[must_use]
    pub fn members(&self) -> usize {
        self.predicted.len()
    }

    /// The reading expected, in its unit.
    #[must_use]
    pub fn expected(&self) -> f64 {
        self.mean
    }

    /// How far a reading lies from what is expected, in the spread it would have, members and error together.
    #[must_use]
    pub fn surprise(&self, value: f64) -> f64 {
        (value - self.mean) / (self.variance + self.error).sqrt()
    }

    /// Change of a quantity's mean per unit of the reading, in their units, tapered; 0 for a quantity that is not a number in
    /// some member or has another number of members.
    #[must_use]
    pub fn gain(&self, quantity: &[f64]) -> f64 {
        if quantity.len() != self.members() || !quantity.iter().all(|x| x.is_finite()) {
            return 0.0;
        }
        let c = covariance(quantity, &self.predicted);
        let chance = (c * c + covariance(quantity, quantity) * self.variance) / self.members() as f64;
        let taper = if c * c > 0.0 { c * c / (c * c + chance) } else { 0.0 };
        taper * c / (self.variance + self.error)
    }

    /// Share of the gain that anomalies take.
    fn square_root(&self) -> f64 {
        1.0 / (1.0 + (self.error / (self.variance + self.error)).sqrt())
    }

    /// The quantity in every member after the reading showed `value`. A reading that is not a number changes nothing.
    #[must_use]
    pub fn updated(&self, quantity: &[f64], value: f64) -> Vec<f64> {
        let mut moved = quantity.to_vec();
        self.update(&mut moved, value);
        moved
    }

    fn update(&self, quantity: &mut [f64], value: f64) {
        let gain = if value.is_finite() { self.gain(quantity) } else { 0.0 };
        if gain.abs() > 0.0 {
            let (all, own) = (gain * (value - self.mean), gain * self.square_root());
            for (x, y) in quantity.iter_mut().zip(&self.predicted) {
                *x += all - own * (y - self.mean);
            }
        }
    }

    /// A series of the same members after the reading showed `value`, time by time.
    #[must_use]
    pub fn updated_series(&self, series: &Series, value: f64) -> Series {
        let mut values = Vec::with_capacity(series.members() * series.times());
        for row in series.by_time() {
            values.extend(self.updated(row, value));
        }
        Series::new(series.members(), values)
    }

    /// Spread of the quantity after the reading, whatever it will show: one sigma, in the quantity's unit.
    #[must_use]
    pub fn expected_sigma(&self, quantity: &[f64]) -> f64 {
        let after = self.updated(quantity, self.mean);
        covariance(&after, &after).max(0.0).sqrt()
    }

    /// Distance from the 5 % to the 95 % line of the quantity after the reading, whatever it will show; not a number
    /// for a quantity that is not one.
    #[must_use]
    pub fn expected_width(&self, quantity: &[f64]) -> f64 {
        let mut after = self.updated(quantity, self.mean);
        after.sort_by(f64::total_cmp);
        let at = |p| quantile(&after, p).unwrap_or(f64::NAN);
        at(0.95) - at(0.05)
    }
}

fn mean_of(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn covariance(x: &[f64], y: &[f64]) -> f64 {
    let (mean_x, mean_y) = (mean_of(x), mean_of(y));
    let sum: f64 = x.iter().zip(y).map(|(x, y)| (x - mean_x) * (y - mean_y)).sum();
    sum / (x.len() as f64 - 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::{Purpose, generator, standard_normal};

    /// x = ρ y + √(1 − ρ²) n, both of spread 10.
    fn related(n: usize, rho: f64) -> (Vec<f64>, Vec<f64>) {
        let one = |j: usize| {
            let g = &mut generator(5, Purpose::Members, j);
            let (y, rest) = (standard_normal(g), standard_normal(g));
            (10.0 * (rho * y + (1.0 - rho * rho).sqrt() * rest), 200.0 + 10.0 * y)
        };
        (0..n).map(one).unzip()
    }

    /// The exact posterior of two normal variables, from the sample's own moments: mean m + c (d − ȳ)/(v + σ²), variance
    /// v_x − c²/(v + σ²). The taper takes 1/N of the gain here.
    #[test]
    fn linear_normal_update_is_exact() {
        let (x, y) = related(4000, 0.8);
        let (sigma, value) = (4.0, 213.0);
        let regression = Regression::new(&y, sigma).unwrap();
        let (c, v) = (covariance(&x, &y), covariance(&y, &y));
        let after = regression.updated(&x, value);
        let exact_mean = mean_of(&x) + c * (value - mean_of(&y)) / (v + sigma * sigma);
        let exact_sigma = (covariance(&x, &x) - c * c / (v + sigma * sigma)).sqrt();
        assert!((mean_of(&after) - exact_mean).abs() < 0.01, "{} {exact_mean}", mean_of(&after));
        assert!((covariance(&after, &after).sqrt() / exact_sigma - 1.0).abs() < 0.002);
        assert!((regression.expected_sigma(&x) / exact_sigma - 1.0).abs() < 0.002);
        // 5 to 95 % of a normal: 3.2897 sigma; sampling error of two such quantiles is near 2 σ/√N each.
        assert!((regression.expected_width(&x) / (3.2897 * exact_sigma) - 1.0).abs() < 0.04);
    }

    /// Quantities that have nothing to do with the reading stay: the taper leaves less than a tenth of a chance gain.
    #[test]
    fn chance_moves_nothing() {
        let (_, y) = related(256, 0.5);
        let (x, _) = related(256 + 7, 0.0);
        let x = &x[7..];
        let regression = Regression::new(&y, 2.0).unwrap();
        let before = covariance(x, x).sqrt();
        assert!((regression.expected_sigma(x) / before - 1.0).abs() < 0.02);
        let untapered = covariance(x, &y) / (covariance(&y, &y) + 4.0);
        assert!(regression.gain(x).abs() <= untapered.abs());
        assert_eq!(regression.gain(&[f64::NAN; 256]).to_bits(), 0.0_f64.to_bits());
    }

    #[test]
    fn nothing_to_regress_on() {
        assert_eq!(Regression::new(&[1.0], 1.0), None);
        assert_eq!(Regression::new(&[1.0, f64::NAN], 1.0), None);
        assert_eq!(Regression::new(&[1.0, 2.0], 0.0), None);
        let regression = Regression::new(&[1.0, 2.0], 1.0).unwrap();
        assert_eq!(regression.updated(&[5.0, 6.0], f64::NAN), [5.0, 6.0]);
    }
}
