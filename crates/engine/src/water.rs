//! Water: pressure against altitude, boiling point, saturation pressure, latent heat, vapour density.
//!
//! # Equation
//! - air pressure (ISA)       p = 101325 (1 − 2.25577e−5 h)^5.25588 Pa, h in m
//! - boiling point            IAPWS-IF97 region 4, backward equation T_sat(p)
//! - saturation pressure      IAPWS-IF97 region 4, forward equation; in the kernel a three-point fit
//!   ln p = A − B/(t + C) through the steam-table values at 60, 80 and 100 °C
//! - enthalpy of steam        h_g = 2501 + 1.845 t − 0.00098 t² kJ/kg over liquid water at 0 °C
//! - latent heat              L = h_g − c_w t, c_w = 4.19 kJ/(kg K)
//!
//! # Validity
//! ISA: 0–11000 m. IF97 region 4: 0–374 °C. The fit: within 0.3 % from 40 to 120 °C. h_g and L within
//! 2 kJ/kg from 0 to 110 °C.
//!
//! # Source
//! ISA: ICAO standard atmosphere (coefficients from memory, checked against a table). IAPWS-IF97: release R7-97(2012), coefficients from memory,
//! checked against tabulated values computed with IAPWS-95. Steam table values 19946, 47415 and 101418 Pa: IAPWS-95.

use crate::pack::{Lane, Real};
use crate::slope::Slope;

/// Heat capacity of liquid water, mean over 0–100 °C, J/(kg K).
pub const WATER_HEAT_CAPACITY_J_KGK: f64 = 4190.0;

/// Specific gas constant of water vapour, J/(kg K).
const R_VAPOUR_J_KGK: f64 = 461.5;

const N: [f64; 10] = [
    0.116_705_214_527_67e4,
    -0.724_213_167_032_06e6,
    -0.170_738_469_400_92e2,
    0.120_208_247_024_70e5,
    -0.323_255_503_223_33e7,
    0.149_151_086_135_30e2,
    -0.482_326_573_615_91e4,
    0.405_113_405_420_57e6,
    -0.238_555_575_678_49,
    0.650_175_348_447_98e3,
];

/// Air pressure at `altitude_m` over the sea in the standard atmosphere, Pa.
#[must_use]
pub fn standard_pressure_pa(altitude_m: f64) -> f64 {
    101_325.0 * libm::pow((1.0 - 2.255_77e-5 * altitude_m).max(0.05), 5.255_88)
}

/// Boiling point of water at `pressure_pa`, °C.
#[must_use]
pub fn boiling_point_c(pressure_pa: f64) -> f64 {
    let beta = (pressure_pa / 1.0e6).sqrt().sqrt();
    let e = beta * beta + N[2] * beta + N[5];
    let f = N[0] * beta * beta + N[3] * beta + N[6];
    let g = N[1] * beta * beta + N[4] * beta + N[7];
    let d = 2.0 * g / (-f - (f * f - 4.0 * e * g).sqrt());
    0.5 * (N[9] + d - ((N[9] + d) * (N[9] + d) - 4.0 * (N[8] + N[9] * d)).sqrt()) - 273.15
}

/// Saturation pressure of water at `t_c`, Pa.
#[must_use]
pub fn saturation_pressure_pa(t_c: f64) -> f64 {
    let t_k = t_c + 273.15;
    let theta = t_k + N[8] / (t_k - N[9]);
    let a = theta * theta + N[0] * theta + N[1];
    let b = N[2] * theta * theta + N[3] * theta + N[4];
    let c = N[5] * theta * theta + N[6] * theta + N[7];
    let x = 2.0 * c / (-b + (b * b - 4.0 * a * c).sqrt());
    1.0e6 * x * x * x * x
}

/// Holds a temperature at 130 °C where something has run dry and is hotter: there is nothing left to boil, and the
/// saturation line must not be followed to where it ends.
#[inline(always)]
pub(crate) fn at_most_wet<R: Real>(t_c: Slope<R>) -> Slope<R> {
    t_c - t_c.offset(-120.0).ramp(20.0)
}

/// Enthalpy of saturated steam over liquid water at 0 °C, J/kg, with its slope.
#[inline(always)]
pub(crate) fn steam_enthalpy_j_kg<R: Real>(t_c: Slope<R>) -> Slope<R> {
    t_c.scale(1845.0).offset(2.501e6) - (t_c * t_c).scale(0.98)
}

/// Latent heat of evaporation, J/kg, with its slope: what the kernel uses.
#[inline(always)]
pub(crate) fn latent_heat_slope_j_kg<R: Real>(t_c: Slope<R>) -> Slope<R> {
    steam_enthalpy_j_kg(t_c) - t_c.scale(WATER_HEAT_CAPACITY_J_KGK)
}

/// Latent heat of evaporation at `t_c`, J/kg.
#[must_use]
pub fn latent_heat_j_kg(t_c: f64) -> f64 {
    latent_heat_slope_j_kg(Slope::constant(Lane([t_c]))).value.0[0]
}

/// Density of saturated vapour at a liquid's temperature, kg/m³, with its slope: what the kernel uses.
#[inline]
pub(crate) fn vapour_density_kg_m3<R: Real>(t_c: Slope<R>) -> Slope<R> {
    let p = (t_c + FIT_C).recip().scale(-FIT_B).offset(FIT_A).exp();
    p / (t_c + 273.15).scale(R_VAPOUR_J_KGK)
}

const FIT_A: f64 = 23.235_895_657;
const FIT_B: f64 = 3_840.542_236;
const FIT_C: f64 = 228.002_253;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn saturation_line_agrees_with_the_steam_table() {
        for (t_c, p_pa) in [(60.0, 19946.0), (80.0, 47415.0), (100.0, 101_418.0)] {
            assert!((saturation_pressure_pa(t_c) / p_pa - 1.0).abs() < 2e-5, "{t_c}");
            assert!((boiling_point_c(p_pa) - t_c).abs() < 1e-3, "{t_c}");
        }
    }

    #[test]
    fn kernel_fit_stays_near_the_saturation_line() {
        for t in 40..=120 {
            let t_c = f64::from(t);
            let fit = vapour_density_kg_m3(Slope::variable(Lane([t_c]))).value.0[0];
            let exact = saturation_pressure_pa(t_c) / (R_VAPOUR_J_KGK * (t_c + 273.15));
            assert!((fit / exact - 1.0).abs() < 3e-3, "{t_c}: {fit} {exact}");
        }
    }

    #[test]
    fn latent_heat_agrees_with_the_steam_table() {
        // IAPWS-95: kJ/kg
        for (t_c, l) in [(20.0, 2453.5), (60.0, 2357.7), (80.0, 2308.0), (100.0, 2256.4)] {
            assert!((latent_heat_j_kg(t_c) / 1e3 - l).abs() < 2.0, "{t_c}: {}", latent_heat_j_kg(t_c));
        }
    }
}
