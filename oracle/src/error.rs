//! What can go wrong.

use ovenfall_engine::error::EngineError;

/// Errors of the oracle.
#[derive(Debug, thiserror::Error)]
pub enum OracleError {
    /// The engine refused the oven, a parameter or an event.
    #[error(transparent)]
    Engine(#[from] EngineError),
    /// The backward differentiation solver failed.
    #[error("the general solver failed at {at_s} s: {source}")]
    Bdf {
        /// Where it was, s.
        at_s: f64,
        /// Why.
        source: diffsol::error::DiffsolError,
    },
    /// CVODE failed.
    #[error("CVODE's {call} returned {code} at {at_s} s")]
    Cvode {
        /// The function.
        call: &'static str,
        /// What it returned.
        code: i64,
        /// Where it was, s.
        at_s: f64,
    },
}
