//! Grey diffuse enclosure: exchange factors that hold for a phase of the day.
//!
//! # Equation
//! Radiosity J = ε E + (1 − ε) F J with E = σT⁴. Eliminating J gives the net flow between any two surfaces as
//! Q_ij = G_ij (E_i − E_j), G = diag(A ε) (I − (1 − ε) F)⁻¹ diag(ε); G is symmetric and Σ_j G_ij = A_i ε_i.
//!
//! # Validity
//! Grey, diffuse, isothermal, evenly lit patches; a transparent gas between them.
//!
//! # Source
//! Hottel & Sarofim, Radiative Transfer; Gebhart's absorption factors. σ: CODATA 2018.

/// Stefan–Boltzmann constant, W/(m² K⁴).
pub const STEFAN_BOLTZMANN_W_M2K4: f64 = 5.670_374_419e-8;

/// Exchange areas G (m²), row-major n × n, from areas (m²), emissivities and shape factors (row-major).
///
/// The matrix is symmetrised, so that what one surface gives is to the last bit what the other gets.
#[must_use]
pub fn exchange_areas_m2(areas_m2: &[f64], emissivities: &[f64], factors: &[f64]) -> Vec<f64> {
    let n = areas_m2.len();
    // Solve (I − diag(1 − ε) F) X = diag(ε) by Gauss elimination; diagonally dominant, so no pivoting.
    let mut m = vec![0.0; n * n];
    let mut x = vec![0.0; n * n];
    for i in 0..n {
        for j in 0..n {
            m[i * n + j] = -(1.0 - emissivities[i]) * factors[i * n + j];
        }
        m[i * n + i] += 1.0;
        x[i * n + i] = emissivities[i];
    }
    for p in 0..n {
        for i in p + 1..n {
            let f = m[i * n + p] / m[p * n + p];
            for j in p..n {
                m[i * n + j] -= f * m[p * n + j];
            }
            for j in 0..n {
                x[i * n + j] -= f * x[p * n + j];
            }
        }
    }
    for p in (0..n).rev() {
        for j in 0..n {
            let mut sum = x[p * n + j];
            for k in p + 1..n {
                sum -= m[p * n + k] * x[k * n + j];
            }
            x[p * n + j] = sum / m[p * n + p];
        }
    }
    // J = X E. Net loss of i: A_i ε_i (E_i − Σ_j F_ij J_j), so G_ij = A_i ε_i (F X)_ij.
    let mut g = vec![0.0; n * n];
    for i in 0..n {
        for j in 0..n {
            let seen: f64 = (0..n).map(|k| factors[i * n + k] * x[k * n + j]).sum();
            g[i * n + j] = areas_m2[i] * emissivities[i] * seen;
        }
    }
    for i in 0..n {
        for j in 0..i {
            let mean = 0.5 * (g[i * n + j] + g[j * n + i]);
            g[i * n + j] = mean;
            g[j * n + i] = mean;
        }
    }
    g
}

/// Apparent emissivity of an opening of `mouth_m2` in a cavity whose walls are `wall_m2` and have `emissivity`.
#[must_use]
pub fn apparent_emissivity(emissivity: f64, mouth_m2: f64, wall_m2: f64) -> f64 {
    1.0 / (1.0 + (1.0 - emissivity) / emissivity * mouth_m2 / wall_m2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::view_factors::{Sight, enclosure};

    #[test]
    fn rows_sum_to_emitting_area() {
        let areas = [0.5, 0.7, 0.05, 0.1];
        let eps = [0.9, 0.8, 1.0, 0.35];
        let f = enclosure(&areas, &[Sight::Floor, Sight::Shell, Sight::Shell, Sight::PotSide]);
        let g = exchange_areas_m2(&areas, &eps, &f);
        for i in 0..4 {
            let row: f64 = g[i * 4..(i + 1) * 4].iter().sum();
            assert!((row - areas[i] * eps[i]).abs() < 1e-12, "{i}");
        }
    }
}
