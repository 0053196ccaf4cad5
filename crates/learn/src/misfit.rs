//! Readings held against each other through the members: which fit with the rest, and how well all of them do.
//!
//! # Equation
//! With member predictions of spread S = cov(y), values d and errors R = diag(σ²/w), the linear estimate is
//! ŷ = ȳ + S (S + R)⁻¹ (d − ȳ), its covariance S − S (S + R)⁻¹ S. Errors are taken as Student's t with ν degrees of freedom:
//! the weights w = (ν + 1)/(ν + r²), r² the expected square of (d − ŷ)/σ, are iterated from those of the spread alone. A
//! reading that others contradict loses its weight, however many errors of its own kind there are. The evidence is the
//! Laplace approximation 2 Σ ln σ + Σ (ν + 1) ln(1 + r²/ν) + |x̂|² + ln det(1 + R⁻¹S): smaller explains the readings better.
//!
//! # Validity
//! Linear in the members. Weights above 1 are not used: a reading is never better than its instrument.
//!
//! # Source
//! Lange, Little & Taylor, Robust statistical modeling using the t distribution, Journal of the American Statistical
//! Association 84 (1989) 881–896 (from memory).

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// Degrees of freedom of a reading's error.
const FREEDOM: f64 = 4.0;
/// Rounds of weighing.
const ROUNDS: usize = 12;

/// How readings fit together.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Fit {
    /// Factor by which each reading's error is widened, from 1 up.
    pub(crate) widened: Vec<f64>,
    /// What the others and it together say it should show, °C.
    pub(crate) expected_c: Vec<f64>,
    /// One-sigma error of `expected_c`, K.
    pub(crate) spread_k: Vec<f64>,
    /// Evidence, twice the negative logarithm of a density without its constants.
    pub(crate) evidence: f64,
}

/// Readings with what the members say to them: `predicted` has one row a member.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Compared<'a> {
    /// One row of predictions a member, °C.
    pub(crate) predicted: &'a [Vec<f64>],
    /// Values read, °C.
    pub(crate) values_c: &'a [f64],
    /// One-sigma errors, K.
    pub(crate) sigmas_k: &'a [f64],
    /// How often the readings count less than once: the members know part of them already.
    pub(crate) inflation: f64,
}

/// Moments of the predictions in units of each reading's error.
struct Scaled {
    covariance: DMatrix<f64>,
    /// Value less mean prediction.
    gap: DVector<f64>,
}

impl Scaled {
    fn of(c: &Compared<'_>) -> Self {
        let (n, m) = (c.predicted.len(), c.values_c.len());
        let mut y = DMatrix::from_fn(m, n, |i, j| (c.predicted[j][i] - c.values_c[i]) / c.sigmas_k[i]);
        let mut gap = DVector::zeros(m);
        for (i, mut row) in y.row_iter_mut().enumerate() {
            let seen: Vec<f64> = row.iter().copied().filter(|v| v.is_finite()).collect();
            let mean = seen.iter().sum::<f64>() / seen.len().max(1) as f64;
            row.apply(|v| *v = if v.is_finite() { *v - mean } else { 0.0 });
            gap[i] = -mean;
        }
        Self { covariance: &y * y.transpose() / (n as f64 - 1.0).max(1.0), gap }
    }

    /// The factor of S + R for given weights.
    fn factor(&self, weights: &DVector<f64>, inflation: f64) -> Option<Cholesky<f64, Dyn>> {
        let mut sum = self.covariance.clone();
        for (i, w) in weights.iter().enumerate() {
            sum[(i, i)] += inflation / w;
        }
        Cholesky::new(sum)
    }
}

fn weight(square: f64) -> f64 {
    ((FREEDOM + 1.0) / (FREEDOM + square)).min(1.0)
}

/// Fits all readings together; `None` without readings, with fewer than two members, or when nothing can be solved.
pub(crate) fn fit(compared: &Compared<'_>) -> Option<Fit> {
    let m = compared.values_c.len();
    if m == 0 || compared.predicted.len() < 2 {
        return None;
    }
    let scaled = Scaled::of(compared);
    let alone = |i: usize| {
        let (gap, spread) = (scaled.gap[i], scaled.covariance[(i, i)]);
        weight(gap * gap / (1.0 + spread))
    };
    let mut weights = DVector::from_fn(m, |i, _| alone(i));
    let mut residual = scaled.gap.clone();
    let mut variance = DVector::zeros(m);
    for _ in 0..ROUNDS {
        let solved = scaled.factor(&weights, compared.inflation)?;
        residual = &scaled.gap - &scaled.covariance * solved.solve(&scaled.gap);
        let known = solved.solve(&scaled.covariance);
        variance = DVector::from_fn(m, |i, _| {
            let said = scaled.covariance.row(i).transpose().dot(&known.column(i));
            (scaled.covariance[(i, i)] - said).max(0.0)
        });
        weights = DVector::from_fn(m, |i, _| weight(residual[i] * residual[i] + variance[i]));
    }
    let evidence = evidence(&scaled, &weights, &residual, compared)?;
    Some(Fit {
        widened: weights.iter().map(|w| (1.0 / w).sqrt()).collect(),
        expected_c: (0..m).map(|i| compared.values_c[i] - residual[i] * compared.sigmas_k[i]).collect(),
        spread_k: (0..m).map(|i| variance[i].sqrt() * compared.sigmas_k[i]).collect(),
        evidence,
    })
}

fn evidence(scaled: &Scaled, weights: &DVector<f64>, residual: &DVector<f64>, c: &Compared<'_>) -> Option<f64> {
    let solved = scaled.factor(weights, c.inflation)?;
    let pull = solved.solve(&scaled.gap);
    let moved = pull.dot(&(&scaled.covariance * &pull));
    // det(1 + R⁻¹ S) = det(S + R)/det R.
    let ln_det = 2.0 * solved.l_dirty().diagonal().iter().map(|d| libm::log(*d)).sum::<f64>()
        + weights.iter().map(|w| libm::log(w / c.inflation)).sum::<f64>();
    let errors: f64 = residual.iter().map(|r| (FREEDOM + 1.0) * libm::log(1.0 + r * r / FREEDOM)).sum();
    let units: f64 = c.sigmas_k.iter().map(|s| 2.0 * libm::log(*s)).sum();
    Some(units + errors + moved + ln_det)
}
