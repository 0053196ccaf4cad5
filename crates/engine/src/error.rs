//! What can go wrong in the engine. Every variant carries the values that explain it.
//!
//! # Equation
//! None.
//!
//! # Validity
//! Everything the engine refuses is one of these; it does not panic on any input.
//!
//! # Source
//! Not applicable.

/// An input the engine cannot work with, or a run that had to stop.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EngineError {
    /// A number that must be finite and positive is not.
    #[error("{what} is {value}; it must be a finite number above zero")]
    NotPositive {
        /// The quantity, with its unit.
        what: &'static str,
        /// The value given.
        value: f64,
    },
    /// A number outside the limits the engine can compute with.
    #[error("{what} is {value}; it must lie between {min} and {max}")]
    OutOfRange {
        /// The quantity, with its unit.
        what: &'static str,
        /// The value given.
        value: f64,
        /// Smallest allowed.
        min: f64,
        /// Largest allowed.
        max: f64,
    },
    /// A wall, floor or door without layers.
    #[error("the {part} has no layers")]
    NoLayers {
        /// Which part.
        part: &'static str,
    },
    /// Events that do not run forward in time.
    #[error("event {index} is at {at_s} s, before the event ahead of it ({before_s} s)")]
    TimeRunsBackwards {
        /// Index of the event.
        index: usize,
        /// Its time, s.
        at_s: f64,
        /// Time of the event ahead of it, s.
        before_s: f64,
    },
    /// An action on a placing that is not in the oven, or put in twice.
    #[error("event {index}: placing {placing} cannot be {action}")]
    PlacingState {
        /// Index of the event.
        index: usize,
        /// The placing.
        placing: usize,
        /// What was tried.
        action: &'static str,
    },
    /// The pots do not fit on the floor.
    #[error("the pots cover {covered_m2:.3} m² of a floor of {floor_m2:.3} m²")]
    FloorFull {
        /// Footprint of all pots inside, m².
        covered_m2: f64,
        /// Floor, m².
        floor_m2: f64,
    },
    /// The step size fell below what makes sense.
    #[error("the computation could not go on at {at_s:.0} s: step {step_s:.2e} s, error {error:.2e}")]
    StepTooSmall {
        /// Time, s.
        at_s: f64,
        /// Step, s.
        step_s: f64,
        /// Scaled error estimate.
        error: f64,
    },
    /// A value that is not finite turned up.
    #[error("a value that is not finite turned up at {at_s:.0} s ({what})")]
    NotFinite {
        /// Time, s.
        at_s: f64,
        /// Where.
        what: &'static str,
    },
}

/// A number that is finite and above zero, or the error that says which is not.
pub(crate) fn positive(what: &'static str, value: f64) -> Result<f64, EngineError> {
    if value.is_finite() && value > 0.0 { Ok(value) } else { Err(EngineError::NotPositive { what, value }) }
}

/// A number within limits, ends included, or the error that says which is not.
pub(crate) fn within(what: &'static str, value: f64, min: f64, max: f64) -> Result<f64, EngineError> {
    if value >= min && value <= max { Ok(value) } else { Err(EngineError::OutOfRange { what, value, min, max }) }
}
