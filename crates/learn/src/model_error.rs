//! What a one-dimensional model of an oven does not know, added to what its members say.
//!
//! # Equation
//! Temperatures: T' = T + σ e(t) (T − T_ambient), the same e for all temperatures of a member. Heat in store:
//! Q' = Q exp(σ_Q e_Q(t)), with an e_Q of its own. e is a standard normal process, correlated over hours: at knots Δ
//! apart eₖ₊₁ = ρ eₖ + √(1 − ρ²) n with ρ = exp(−Δ/τ); between knots e = ((1 − f) eₖ + f eₖ₊₁)/√((1 − f)² + f² +
//! 2 f (1 − f) ρ), so that its spread is 1 at every time and its course does not depend on the times asked for.
//!
//! In a pot the boil holds the temperature, whatever the oven does: there the change is never larger than the distance
//! to the boiling point.
//!
//! # Validity
//! A stand-in until it is measured against days of real ovens. It widens bands; it does not move their middle, and it
//! does not enter the energy balance.
//!
//! # Source
//! Sizes and correlation time: judgement. The shape follows G. Evensen, Analysis of iterative ensemble smoothers
//! (Computational Geosciences 22, 2018, from memory): model error correlated in time, so that an ensemble does not
//! take its own neglect for knowledge.

use crate::random::{self, Purpose};
use ovenfall_engine::water::{boiling_point_c, standard_pressure_pa};

/// Distance of the knots, s.
const KNOT_S: f64 = 3600.0;
/// How far above the boiling point a wet pot may stand, K.
const SMOOTH_BOIL_K: f64 = 5.0;

/// How wrong the model is thought to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ModelError {
    /// One-sigma error of a temperature, as a share of its height above the outdoor air.
    pub temperature_share: f64,
    /// One-sigma relative error of the heat in store.
    pub store_share: f64,
    /// Time over which the error keeps its sign, s.
    pub correlation_s: f64,
}

impl Default for ModelError {
    fn default() -> Self {
        Self { temperature_share: 0.025, store_share: 0.05, correlation_s: 6.0 * 3600.0 }
    }
}

impl ModelError {
    /// A model that is never wrong; for tests and comparisons.
    pub const NONE: Self = Self { temperature_share: 0.0, store_share: 0.0, correlation_s: 3600.0 };
}

/// Knots needed to cover the time up to `end_s`.
#[must_use]
pub fn knots(end_s: f64) -> usize {
    (end_s / KNOT_S).max(0.0).ceil() as usize + 2
}

/// Where a time lies between knots, and the weights of the two.
#[derive(Debug, Clone, Copy)]
struct Between {
    knot: usize,
    before: f64,
    after: f64,
}

/// Standard normal processes, one for each member, at given times.
#[derive(Debug, Clone)]
pub struct Paths {
    knots: Vec<Vec<f64>>,
    times: Vec<Between>,
}

impl Paths {
    /// Processes of members with the given indices at `times_s` (rising, from 0 on); a member keeps its own whatever
    /// the other members and the times.
    #[must_use]
    pub fn new(seed: u64, purpose: Purpose, members: &[usize], times_s: &[f64], correlation_s: f64) -> Self {
        let rho = libm::exp(-KNOT_S / correlation_s);
        let times: Vec<Between> = times_s.iter().map(|&t_s| between(t_s, rho)).collect();
        let last = times.iter().map(|b| b.knot + 1).max().unwrap_or(0);
        let knots = members.iter().map(|&index| process(seed, purpose, index, last, rho));
        Self { knots: knots.collect(), times }
    }

    /// Processes made of given innovations (standard normal, one a knot), one list a member.
    #[must_use]
    pub fn of_innovations(innovations: &[&[f64]], times_s: &[f64], correlation_s: f64) -> Self {
        let rho = libm::exp(-KNOT_S / correlation_s);
        let fresh = (1.0 - rho * rho).sqrt();
        let times: Vec<Between> = times_s.iter().map(|&t_s| between(t_s, rho)).collect();
        let last = times.iter().map(|b| b.knot + 1).max().unwrap_or(0);
        let course = |n: &&[f64]| {
            let mut e = 0.0;
            let step = |(k, z): (usize, f64)| {
                e = if k == 0 { z } else { rho * e + fresh * z };
                e
            };
            let given = n.iter().copied().chain(std::iter::repeat(0.0));
            given.take(last + 1).enumerate().map(step).collect::<Vec<f64>>()
        };
        Self { knots: innovations.iter().map(course).collect(), times }
    }

    /// The process of the member at `place` of the list, at time number `t`; 0 beyond either.
    #[must_use]
    pub fn at(&self, t: usize, place: usize) -> f64 {
        let (Some(b), Some(knots)) = (self.times.get(t), self.knots.get(place)) else {
            return 0.0;
        };
        b.before * knots[b.knot] + b.after * knots[b.knot + 1]
    }
}

fn between(t_s: f64, rho: f64) -> Between {
    let position = (t_s / KNOT_S).max(0.0);
    let knot = position.floor();
    let f = position - knot;
    let norm = ((1.0 - f) * (1.0 - f) + f * f + 2.0 * f * (1.0 - f) * rho).sqrt();
    Between { knot: knot as usize, before: (1.0 - f) / norm, after: f / norm }
}

fn process(seed: u64, purpose: Purpose, index: usize, last: usize, rho: f64) -> Vec<f64> {
    let generator = &mut random::generator(seed, purpose, index);
    let fresh = (1.0 - rho * rho).sqrt();
    let mut e = random::standard_normal(generator);
    let mut knots = Vec::with_capacity(last + 1);
    knots.push(e);
    for _ in 0..last {
        e = rho * e + fresh * random::standard_normal(generator);
        knots.push(e);
    }
    knots
}

/// Boiling point of water at a height above the sea, °C.
#[must_use]
pub fn boiling_c(altitude_m: f64) -> f64 {
    boiling_point_c(standard_pressure_pa(altitude_m))
}

/// A change of a temperature in a pot, kept from crossing the boil, K. A little above the boil (the engine's boil is
/// smooth) it is zero; a dry pot that has run up further may differ by what it has run up.
#[must_use]
pub fn held_by_boil_k(change_k: f64, t_c: f64, boiling_c: f64) -> f64 {
    let below = boiling_c - t_c;
    let distance = below.max(-below - SMOOTH_BOIL_K).max(0.0);
    // Not `clamp`: a pot outside the oven has no temperature, and that must not be a panic.
    change_k.min(distance).max(-distance)
}

#[cfg(test)]
mod tests {
    use super::*;

    const TIMES_S: [f64; 4] = [0.0, 1800.0, 5000.0, 5000.0 + 6.0 * 3600.0];

    fn mean_of(n: usize, f: impl Fn(usize) -> f64) -> f64 {
        (0..n).map(f).sum::<f64>() / n as f64
    }

    /// Over members: mean 0, spread 1 at knots and between, correlation e⁻¹ after the correlation time.
    #[test]
    fn paths_are_standard_and_correlated_over_hours() {
        let n = 20_000;
        let members: Vec<usize> = (0..n).collect();
        let paths = Paths::new(1, Purpose::TemperatureError, &members, &TIMES_S, 6.0 * 3600.0);
        for t in 0..TIMES_S.len() {
            assert!(mean_of(n, |m| paths.at(t, m)).abs() < 0.03, "time {t}");
            let square = mean_of(n, |m| paths.at(t, m).powi(2));
            assert!((square - 1.0).abs() < 0.04, "time {t}: {square}");
        }
        let lagged = mean_of(n, |m| paths.at(2, m) * paths.at(3, m));
        assert!((lagged - (-1.0_f64).exp()).abs() < 0.03, "{lagged}");
    }

    #[test]
    fn a_path_does_not_depend_on_other_members_or_times() {
        let all = Paths::new(4, Purpose::StoreError, &[0, 1, 2], &TIMES_S, 7200.0);
        let one = Paths::new(4, Purpose::StoreError, &[2], &TIMES_S[2..3], 7200.0);
        assert_eq!(all.at(2, 2).to_bits(), one.at(0, 0).to_bits());
        assert_ne!(all.at(2, 1).to_bits(), all.at(2, 2).to_bits());
    }

    /// 94.983 °C at 1500 m (IAPWS-95 in the standard atmosphere).
    #[test]
    fn boiling_point_falls_with_height() {
        assert!((boiling_c(1500.0) - 94.983).abs() < 0.012);
        assert!((boiling_c(0.0) - 99.974).abs() < 0.003);
    }

    #[test]
    fn the_boil_holds_a_pot() {
        assert!((held_by_boil_k(3.0, 98.0, 100.0) - (2.0)).abs() < 1e-12);
        assert!((held_by_boil_k(-3.0, 100.0, 100.0) - (0.0)).abs() < 1e-12);
        assert!((held_by_boil_k(3.0, 60.0, 100.0) - (3.0)).abs() < 1e-12);
        assert!((held_by_boil_k(-3.0, 106.0, 100.0) - (-1.0)).abs() < 1e-12);
        assert!((held_by_boil_k(3.0, 140.0, 100.0) - (3.0)).abs() < 1e-12);
        assert!((held_by_boil_k(-3.0, 103.0, 100.0) - (0.0)).abs() < 1e-12);
    }
}
