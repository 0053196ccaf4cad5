//! What can go wrong in this crate. Every variant carries the values that explain it.

use ovenfall_engine::error::EngineError;

/// A request this crate cannot answer, or a member the engine refused.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LearnError {
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
    /// A vector of coordinates of the wrong length.
    #[error("{found} coordinates were given; the prior has {expected}")]
    Coordinates {
        /// Rows of the prior.
        expected: usize,
        /// Coordinates given.
        found: usize,
    },
    /// A parameter that no coordinate of the prior reaches.
    #[error("{parameter} is {value}, which the prior cannot reach")]
    OutsidePrior {
        /// Name of the parameter.
        parameter: &'static str,
        /// Its value.
        value: f64,
    },
    /// The engine refused too many members; the first of them is told.
    #[error("{refused} of {members} members could not be computed; member {index}: {source}")]
    Member {
        /// Index of the first member refused.
        index: usize,
        /// How many were refused.
        refused: usize,
        /// How many there are.
        members: usize,
        /// What the engine said of the first.
        source: EngineError,
    },
}
