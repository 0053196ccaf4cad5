//! One step of an ensemble smoother with multiple data assimilation.
//!
//! # Equation
//! Members x_j with predictions y_j of m readings d, errors R = diag(σ²) and inflation α:
//!
//!   x_j ← x_j + T∘C_xy (C_yy + α R)⁻¹ (d + √α σ∘ε_j − y_j),  ε_j standard normal,
//!
//! C the sample covariances. Steps with Σ 1/α = 1 (four of α = 4) together make one Bayesian update, taken in small steps
//! because predictions are not linear in x. T tapers covariances that chance alone could make: t = c²/(c² + (c² + s_x² s_y²)/N).
//! Perturbations ε are centred over the members, so that the mean moves as without them.
//!
//! # Validity
//! Exact for linear predictions, normal errors and many members; the taper bends that by what a few hundred members
//! cannot know. A reading whose prediction is not a number in a member counts there as predicted.
//!
//! # Source
//! Emerick & Reynolds, Ensemble smoother with multiple data assimilation, Computers & Geosciences 55 (2013) 3–15; taper:
//! Furrer & Bengtsson, Journal of Multivariate Analysis 98 (2007) 227–255 (both from memory).

use crate::random::{self, Purpose};
use nalgebra::{Cholesky, DMatrix, DVector};

/// Readings as the smoother takes them.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// What was read.
    pub values: Vec<f64>,
    /// One-sigma error of each.
    pub sigmas: Vec<f64>,
}

/// How a step is taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Inflation α of the readings' errors.
    pub inflation: f64,
    /// Whether chance covariances are tapered.
    pub taper: bool,
    /// Seed of the perturbations.
    pub seed: u64,
    /// Number of the step, so that each has its own perturbations.
    pub number: usize,
}

/// Anomalies of rows (one a member) from their mean, as a matrix with one column a member.
fn anomalies(rows: &[Vec<f64>]) -> DMatrix<f64> {
    let (n, m) = (rows.len(), rows.first().map_or(0, Vec::len));
    let mut matrix = DMatrix::from_fn(m, n, |i, j| rows[j][i]);
    for mut row in matrix.row_iter_mut() {
        let mean = row.sum() / n as f64;
        row.add_scalar_mut(-mean);
    }
    matrix
}

/// Perturbations of the readings, one column a member, centred.
fn perturbations(m: usize, n: usize, step: &Step) -> DMatrix<f64> {
    let columns: Vec<Vec<f64>> = (0..n)
        .map(|j| {
            let generator = &mut random::generator(step.seed ^ (step.number as u64) << 32, Purpose::Readings, j);
            (0..m).map(|_| random::standard_normal(generator)).collect()
        })
        .collect();
    anomalies(&columns)
}

/// Moves `members` towards the readings. `predicted` has one row of predictions a member.
///
/// Returns `false`, and changes nothing, when there is nothing to learn from: no readings, fewer than two members, or a
/// covariance that cannot be factorised.
pub fn update(members: &mut [Vec<f64>], predicted: &[Vec<f64>], readings: &Readings, step: &Step) -> bool {
    let (n, m) = (members.len(), readings.values.len());
    if n < 2 || m == 0 || predicted.len() != n {
        return false;
    }
    // In units of each reading's error, so that the matrix is well scaled and R is the identity.
    let scaled: Vec<Vec<f64>> = predicted
        .iter()
        .map(|row| {
            let in_sigmas = row.iter().zip(&readings.values).zip(&readings.sigmas);
            in_sigmas.map(|((y, d), s)| if y.is_finite() { (y - d) / s } else { 0.0 }).collect()
        })
        .collect();
    let (x, y) = (anomalies(members), anomalies(&scaled));
    let per_member = 1.0 / (n as f64 - 1.0);
    let mut gram = &y * y.transpose() * per_member;
    let spreads_y: Vec<f64> = (0..m).map(|i| gram[(i, i)].max(0.0)).collect();
    for i in 0..m {
        gram[(i, i)] += step.inflation;
    }
    let Some(factor) = Cholesky::new(gram) else {
        return false;
    };
    let mut cross = &x * y.transpose() * per_member;
    if step.taper {
        let spreads_x: Vec<f64> = x.row_iter().map(|row| row.norm_squared() * per_member).collect();
        for i in 0..cross.nrows() {
            for k in 0..m {
                let square = cross[(i, k)] * cross[(i, k)];
                let chance = (square + spreads_x[i] * spreads_y[k]) / n as f64;
                cross[(i, k)] *= if square > 0.0 { square / (square + chance) } else { 0.0 };
            }
        }
    }
    let noise = perturbations(m, n, step) * step.inflation.sqrt();
    for (j, member) in members.iter_mut().enumerate() {
        let innovation = DVector::from_fn(m, |i, _| noise[(i, j)] - scaled[j][i]);
        let change = &cross * factor.solve(&innovation);
        for (z, d) in member.iter_mut().zip(change.iter()) {
            *z += d;
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Prior N(0, I) in two unknowns, readings y = G x with errors σ: the exact posterior is normal with precision
    /// I + Gᵀ R⁻¹ G (any textbook of linear regression). Four steps must reach it.
    #[test]
    fn linear_normal_case_is_exact() {
        let g = [[1.0, 0.5], [0.3, -1.0], [0.8, 0.8]];
        let readings = Readings { values: vec![1.2, -0.4, 1.0], sigmas: vec![0.5, 0.4, 0.7] };
        let n = 4000;
        let mut members: Vec<Vec<f64>> = (0..n)
            .map(|j| {
                let generator = &mut random::generator(9, Purpose::Members, j);
                (0..2).map(|_| random::standard_normal(generator)).collect()
            })
            .collect();
        for number in 0..4 {
            let predict = |x: &Vec<f64>| g.iter().map(|row| row[0] * x[0] + row[1] * x[1]).collect();
            let predicted: Vec<Vec<f64>> = members.iter().map(predict).collect();
            let step = Step { inflation: 4.0, taper: false, seed: 5, number };
            assert!(update(&mut members, &predicted, &readings, &step));
        }
        let gm = DMatrix::from_fn(3, 2, |i, k| g[i][k]);
        let weights = DMatrix::from_diagonal(&DVector::from_iterator(3, readings.sigmas.iter().map(|s| 1.0 / (s * s))));
        let precision = DMatrix::identity(2, 2) + gm.transpose() * &weights * &gm;
        let covariance = precision.try_inverse().unwrap();
        let mean = &covariance * gm.transpose() * weights * DVector::from_vec(readings.values);
        for i in 0..2 {
            let got = members.iter().map(|x| x[i]).sum::<f64>() / f64::from(n as u32);
            let spread = members.iter().map(|x| (x[i] - got) * (x[i] - got)).sum::<f64>() / f64::from(n as u32);
            // Sampling errors with 4000 members: s/√N of the mean, s²√(2/N) of the variance; four of them.
            let s = covariance[(i, i)].sqrt();
            assert!((got - mean[i]).abs() < 4.0 * s / 63.0, "{got} {}", mean[i]);
            assert!((spread / covariance[(i, i)] - 1.0).abs() < 4.0 * 0.0224 * 1.5, "{spread}");
        }
    }

    #[test]
    fn nothing_to_learn_changes_nothing() {
        let mut members = vec![vec![1.0], vec![2.0]];
        let before = members.clone();
        let step = Step { inflation: 1.0, taper: true, seed: 1, number: 0 };
        assert!(!update(&mut members, &[vec![], vec![]], &Readings { values: vec![], sigmas: vec![] }, &step));
        assert_eq!(members, before);
    }
}
