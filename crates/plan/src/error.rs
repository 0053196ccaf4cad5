//! What can go wrong in this crate. Every variant carries the values that explain it.

use ovenfall_learn::LearnError;

/// A question this crate cannot answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// A number outside the limits this crate works with.
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
    /// A dish that is not among what may be placed.
    #[error("placing {placing} is asked about; the day has {placings}")]
    NoPlacing {
        /// The index asked about.
        placing: usize,
        /// How many there are.
        placings: usize,
    },
    /// The oven could not be computed.
    #[error(transparent)]
    Learn(#[from] LearnError),
}
