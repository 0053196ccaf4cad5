//! General stiff solvers on the engine's own right-hand side: the oracle of its stepper, and its peers for speed.
//!
//! The engine steps a phase of the day with a one-step method and an elimination made for its structure. Here the same
//! `Phase::evaluate` is integrated by solvers that know nothing of ovens: a variable-order backward differentiation
//! formula with a general sparse LU, and with the feature `cvode` also CVODE with KLU. What the two ways share is the
//! equations; what differs is everything in time. Agreement therefore tests steps, error control, elimination, dense
//! output and event handling, not the physics.

pub mod bdf;
#[cfg(feature = "cvode")]
pub mod cvode;
pub mod day;
pub mod error;
pub mod jacobian;
pub mod system;

pub use day::{Course, run_day};
pub use error::OracleError;
pub use system::{Span, System};
