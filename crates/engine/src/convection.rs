//! Film coefficients: natural convection inside the chamber and outside the shell.
//!
//! # Equation
//! Nu = C Ra^¼, Ra = gβ|ΔT|L³/(να), so h = C · P(t) · L^−¼ · |ΔT|^¼ with the property group P = k (gβ/(να))^¼ of air.
//! C: heated plate facing up or cooled plate facing down 0.54 (L = area/perimeter); the other way round 0.27; upright
//! plate 0.59 (L = height). P(t) = 2.63/(1 + 7.75e−4 t) × √(p/101325), W/(m² K) per (K/m)^¼, t in °C.
//!
//! # Validity
//! Laminar: 10⁴ < Ra < 10⁷ (plates facing up or down), 10⁴–10⁹ (upright); chambers of 0.3–2 m and differences of 1–300 K
//! lie there or a little above. P fits dry air from 20 to 400 °C within 2 %.
//!
//! # Source
//! McAdams, Heat Transmission (coefficients as in lecture notes and in the `ht` library; upright 0.59 from memory).
//! P from dry-air properties of CoolProp at 100–400 °C and handbook values at 20 °C (from memory).

use crate::pack::Real;
use crate::slope::Slope;

/// Plate with the flow leaving it freely (hot facing up, cold facing down).
pub const FREE_PLATE: f64 = 0.54;
/// Plate with the flow trapped against it (hot facing down, cold facing up).
pub const TRAPPED_PLATE: f64 = 0.27;
/// Upright plate.
pub const UPRIGHT_PLATE: f64 = 0.59;

/// Rounding of |ΔT| at zero, K.
const ROUNDING_K: f64 = 1.0;

/// Nusselt number of a hot plate facing up (or a cold one facing down), laminar branch; `rayleigh` on area/perimeter.
#[must_use]
pub fn nusselt_free_plate(rayleigh: f64) -> f64 {
    FREE_PLATE * rayleigh.sqrt().sqrt()
}

/// Nusselt number of a hot plate facing down (or a cold one facing up).
#[must_use]
pub fn nusselt_trapped_plate(rayleigh: f64) -> f64 {
    TRAPPED_PLATE * rayleigh.sqrt().sqrt()
}

/// Property group P of air at `t_c`, at sea level.
#[must_use]
pub fn air_group(t_c: f64) -> f64 {
    2.63 / (1.0 + 7.75e-4 * t_c)
}

/// Coefficient C·A·L^−¼·(pressure factor) of a surface: mean of gas-warmer and gas-cooler, and half their difference.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilmCoefficient<R> {
    /// Mean of both directions.
    pub mean: R,
    /// Half of (gas warmer − gas cooler).
    pub half_difference: R,
}

/// Flow from gas to a surface, W, with its derivatives in the gas and in the surface temperature. The coefficient passes
/// smoothly from one direction to the other over about a kelvin.
#[inline(always)]
pub fn gas_to_surface<R: Real>(gas_c: R, surface_c: R, coefficient: &FilmCoefficient<R>) -> (R, R, R) {
    let x = gas_c - surface_c;
    let square = x * x + ROUNDING_K * ROUNDING_K;
    let root = square.sqrt();
    let s = root.sqrt().sqrt();
    let direction = x / root;
    let c = coefficient.mean + coefficient.half_difference * direction;
    let group = R::splat(2.63) / (gas_c * 7.75e-4 + 1.0);
    let q = group * c * x * s;
    let turning = coefficient.half_difference * x / (root * square);
    let by_x = group * s * (c * (direction * direction * 0.25 + 1.0) + turning);
    let by_group = -(q * group * (7.75e-4 / 2.63));
    (q, by_x + by_group, -by_x)
}

/// Loss of an outer face to the air around it per area, W/m²: natural convection, wind and radiation.
///
/// `film_w_m2k` is the wind's coefficient, `natural` that of the quarter power, `emissivity` of the skin.
#[inline(always)]
pub fn outer_loss<R: Real>(face_c: R, ambient_c: R, film_w_m2k: R, natural: R, emissivity: f64) -> Slope<R> {
    let t = Slope::variable(face_c);
    let x = t - Slope::constant(ambient_c);
    let convection = x * (Slope::constant(film_w_m2k) + Slope::constant(natural) * x.quarter_power(ROUNDING_K));
    let t_k = t + 273.15;
    let a_k = Slope::constant(ambient_c + 273.15);
    let (t2, a2) = (t_k * t_k, a_k * a_k);
    let radiation = (t2 * t2 - a2 * a2).scale(emissivity * crate::radiation::STEFAN_BOLTZMANN_W_M2K4);
    convection + radiation
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pack::Lane;

    #[test]
    fn air_group_follows_the_property_tables() {
        // Dry air at 1 atm, CoolProp: t °C, k, ν, α from k/(ρ cp); β = 1/T. ν from memory of handbook tables.
        for (t_c, k, nu, alpha) in [
            (100.0, 0.03162, 2.31e-5, 0.03162 / (0.9459 * 1011.0)),
            (200.0, 0.03825, 3.47e-5, 0.03825 / (0.7458 * 1025.0)),
            (300.0, 0.04442, 4.80e-5, 0.04442 / (0.6157 * 1045.0)),
            (400.0, 0.05024, 6.28e-5, 0.05024 / (0.5242 * 1069.0)),
        ] {
            let group: f64 = k * libm::pow(9.80665 / ((t_c + 273.15) * nu * alpha), 0.25);
            assert!((air_group(t_c) / group - 1.0).abs() < 0.02, "{t_c}: {} {group}", air_group(t_c));
        }
    }

    #[test]
    fn published_plate_values() {
        // McAdams as evaluated by the ht library: Pr 0.7, Gr 1e7.
        assert!((nusselt_free_plate(0.7e7) - 27.776).abs() < 0.01);
        assert!((nusselt_trapped_plate(0.7e7) - 13.888).abs() < 0.01);
    }

    #[test]
    fn slopes_are_those_of_the_flow() {
        let film = FilmCoefficient { mean: Lane([0.55]), half_difference: Lane([0.15]) };
        for (gas, surface) in [(150.0, 200.0), (300.0, 120.0), (100.2, 100.0)] {
            let f = |g: f64, s: f64| gas_to_surface(Lane([g]), Lane([s]), &film).0.0[0];
            let (_, by_gas, by_surface) = gas_to_surface(Lane([gas]), Lane([surface]), &film);
            let e = 1e-4;
            assert!(((f(gas + e, surface) - f(gas - e, surface)) / (2.0 * e) - by_gas.0[0]).abs() < 1e-6);
            assert!(((f(gas, surface + e) - f(gas, surface - e)) / (2.0 * e) - by_surface.0[0]).abs() < 1e-6);
        }
    }
}
