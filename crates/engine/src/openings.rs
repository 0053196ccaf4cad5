//! Exchange of gas through the mouth: two gaps when shut, counter-flow when open.
//!
//! # Equation
//! Shut, two equal gaps (top and bottom, each half the free area A, a height z apart), neutral level between them:
//! ṁ = C_d (A/2) ρₐ √(2 g z (T−Tₐ) Tₐ / (T (T+Tₐ))).
//! Open, counter-flow over the height H of area A: ṁ = ⅔ C_d A √H ρₐ √(2 g (1 − Tₐ/T) / (1 + (T/Tₐ)^⅓)³).
//! Heat carried out: ṁ c_p (T − Tₐ). The cube root is the Padé form (1 + ⅔x)/(1 + ⅓x), x = T/Tₐ − 1 (within 1 % to x = 2).
//!
//! # Validity
//! Buoyancy only; no wind, no steam pressure. C_d = 0.6 for the sharp edges of a gap, 0.5 for
//! counter-flow. Both vanish at T = Tₐ and are rounded over
//! 1 K there; colder than outside they carry heat in by the same law.
//!
//! # Source
//! Emmons and Rockett in the SFPE Handbook of Fire Protection Engineering (vent flows, from memory); Brown & Solvason
//! 1962 for the limit of small differences; Wilson & Kiel 1990 found C_d of such counter-flow between 0.4 and 0.6, rising
//! with the difference (from memory).

use crate::pack::Real;
use crate::slope::Slope;

/// Discharge coefficient of a sharp-edged opening.
pub const DISCHARGE: f64 = 0.6;
/// Discharge coefficient of a counter-flow, which mixes at its interface.
pub const COUNTER_FLOW_DISCHARGE: f64 = 0.5;
/// Standard gravity, m/s².
pub const GRAVITY_M_S2: f64 = 9.80665;
/// Heat capacity of the gas passing, J/(kg K).
pub const GAS_HEAT_CAPACITY_J_KGK: f64 = 1040.0;
/// Specific gas constant of dry air, J/(kg K).
pub const AIR_GAS_CONSTANT_J_KGK: f64 = 287.05;

/// √ of a magnitude, rounded: x (x² + w²)^−¼, which has the sign of x.
#[inline(always)]
fn signed_root<R: Real>(x: Slope<R>) -> Slope<R> {
    let rounded = (x * x).offset(1.0).sqrt().sqrt();
    x / rounded
}

/// Heat carried out through the gaps of a shut door, W, against the gas temperature. `coefficient` is
/// C_d (A/2) ρₐ √(2 g z) c_p.
#[inline(always)]
pub fn shut_loss<R: Real>(gas_c: R, ambient_c: R, coefficient: R) -> Slope<R> {
    let t = Slope::variable(gas_c) + 273.15;
    let a = Slope::constant(ambient_c + 273.15);
    let x = t - a;
    let density = (a / (t * (t + a))).sqrt();
    // x·|x|^½ with the rounding of the root: the flow of heat keeps the sign of x.
    let magnitude = x * signed_root(x);
    magnitude.with_sign_of(x) * density * Slope::constant(coefficient)
}

/// Heat carried out through an open mouth, W. `coefficient` is ⅔ C_d A √H ρₐ √(2 g) c_p.
#[inline(always)]
pub fn open_loss<R: Real>(gas_c: R, ambient_c: R, coefficient: R) -> Slope<R> {
    let t = Slope::variable(gas_c) + 273.15;
    let a = Slope::constant(ambient_c + 273.15);
    let x = t - a;
    let relative = x / a;
    let third = relative.scale(2.0 / 3.0).offset(1.0) / relative.scale(1.0 / 3.0).offset(1.0);
    let lower = third.offset(1.0);
    let shape = (t * lower * lower * lower).sqrt().recip();
    (x * signed_root(x)).with_sign_of(x) * shape * Slope::constant(coefficient)
}

/// Density of air, kg/m³.
#[must_use]
pub fn air_density_kg_m3(pressure_pa: f64, t_c: f64) -> f64 {
    pressure_pa / (AIR_GAS_CONSTANT_J_KGK * (t_c + 273.15))
}

/// Coefficient of [`shut_loss`].
#[must_use]
pub fn shut_coefficient(gap_m2: f64, height_m: f64, air_density_kg_m3: f64) -> f64 {
    DISCHARGE * 0.5 * gap_m2 * air_density_kg_m3 * (2.0 * GRAVITY_M_S2 * height_m).sqrt() * GAS_HEAT_CAPACITY_J_KGK
}

/// Coefficient of [`open_loss`].
#[must_use]
pub fn open_coefficient(area_m2: f64, height_m: f64, air_density_kg_m3: f64) -> f64 {
    2.0 / 3.0
        * COUNTER_FLOW_DISCHARGE
        * area_m2
        * (2.0 * GRAVITY_M_S2 * height_m).sqrt()
        * air_density_kg_m3
        * GAS_HEAT_CAPACITY_J_KGK
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pack::Lane;

    #[test]
    fn open_flow_tends_to_the_doorway_formula() {
        // Brown & Solvason: m = (C/3) A ρ √(g H Δρ/ρ) for small differences.
        let (a, h, t) = (0.054, 0.18, 25.0);
        let rho = air_density_kg_m3(101_325.0, 15.0);
        let q = open_loss(Lane([t]), Lane([15.0]), Lane([open_coefficient(a, h, rho)])).value.0[0];
        let m = q / (GAS_HEAT_CAPACITY_J_KGK * 10.0);
        let doorway = COUNTER_FLOW_DISCHARGE / 3.0 * a * rho * (GRAVITY_M_S2 * h * 10.0 / 293.15).sqrt();
        assert!((m / doorway - 1.0).abs() < 0.03, "{m} {doorway}");
    }

    #[test]
    fn shut_flow_is_the_two_gap_formula() {
        let (gap, z, t, a) = (1.0e-3, 0.18, 473.15, 288.15);
        let (p, r) = (101_325.0, AIR_GAS_CONSTANT_J_KGK);
        let (rho_a, rho_g) = (p / (r * a), p / (r * t));
        let m =
            DISCHARGE * 0.5 * gap * (2.0 * (rho_a - rho_g) * GRAVITY_M_S2 * z * rho_a * rho_g / (rho_a + rho_g)).sqrt();
        let c = shut_coefficient(gap, z, rho_a);
        let q = shut_loss(Lane([t - 273.15]), Lane([a - 273.15]), Lane([c])).value.0[0];
        assert!((q / (m * GAS_HEAT_CAPACITY_J_KGK * (t - a)) - 1.0).abs() < 1e-4);
    }

    #[test]
    fn no_flow_without_a_difference_and_smooth_through_it() {
        for f in [shut_loss::<Lane<1>>, open_loss::<Lane<1>>] {
            assert!(f(Lane([15.0]), Lane([15.0]), Lane([1.0])).value.0[0].abs() < 1e-300);
            assert!(f(Lane([14.0]), Lane([15.0]), Lane([1.0])).value.0[0] < 0.0);
            let (l, r) = (f(Lane([14.999]), Lane([15.0]), Lane([1.0])), f(Lane([15.001]), Lane([15.0]), Lane([1.0])));
            assert!((l.slope.0[0] - r.slope.0[0]).abs() < 1e-3);
        }
    }
}
