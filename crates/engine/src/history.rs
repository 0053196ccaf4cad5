//! What a run returns: visible quantities over time, the ledger, the effort, and the last state.
//!
//! # Equation
//! None: plain data; `R` is the lane type of the pack.
//!
//! # Validity
//! All series share [`History::times_s`]; series of a placing are NaN while it is not in the oven.
//!
//! # Source
//! Not applicable.

use crate::ledger::Ledger;

/// Temperature above which heat counts as in store, °C.
pub const STORE_THRESHOLD_C: f64 = 100.0;

/// What happened to one placing. Series share the history's times; NaN while it is outside.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacingHistory<R> {
    /// Free liquid left, kg.
    pub liquid_kg: Vec<R>,
    /// Temperature of the liquid, °C.
    pub liquid_c: Vec<R>,
    /// Temperature at the coldest point of the solids (of the liquid when there are none), °C.
    pub core_c: Vec<R>,
}

/// How hard the solver worked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Effort {
    /// Accepted steps.
    pub steps: usize,
    /// Rejected steps.
    pub rejected: usize,
    /// Evaluations of the right-hand side.
    pub evaluations: usize,
    /// Jacobians evaluated and factorised.
    pub factorisations: usize,
    /// Restarts at events.
    pub restarts: usize,
}

/// Visible quantities over time.
#[derive(Debug, Clone, PartialEq)]
pub struct History<R> {
    /// Output times, s after the start of the day.
    pub times_s: Vec<f64>,
    /// Reading of the chamber probe without its own error, °C.
    pub probe_c: Vec<R>,
    /// Air and gas in the chamber, °C.
    pub gas_c: Vec<R>,
    /// Free floor, °C.
    pub floor_c: Vec<R>,
    /// Crown: dome or vault away from the fire, °C.
    pub crown_c: Vec<R>,
    /// Dome or vault on the fire's side, °C.
    pub fire_side_c: Vec<R>,
    /// Heat in store above [`STORE_THRESHOLD_C`], kWh.
    pub store_kwh: Vec<R>,
    /// Heat in store above each of [`crate::simulate::Options::store_above_c`], kWh.
    pub store_above_kwh: Vec<Vec<R>>,
    /// Temperatures in the masonry, °C: one series for each of [`crate::simulate::Options::depths`].
    pub depths_c: Vec<Vec<R>>,
    /// One for each placing of the drive.
    pub placings: Vec<PlacingHistory<R>>,
    /// Where the heat went, in total up to each output time: one ledger for each output time.
    pub ledgers: Vec<Ledger<R>>,
    /// The solver's effort.
    pub effort: Effort,
    /// Accepted steps, s, in order: replaying them gives the same bits.
    pub steps_s: Vec<f64>,
}
