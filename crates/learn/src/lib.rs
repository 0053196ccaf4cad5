//! Ensembles of plausible ovens, and what they say together.
//!
//! An owner's description leaves a good deal open: how well the bricks conduct, how much the door leaks, how much of
//! the wood's heat went into the masonry. [`prior`] says how much, one row a parameter. [`ensemble`] draws a few
//! hundred ovens from it and runs each through the day; [`mod@fall`] turns their runs into bands, shares and an energy
//! balance. [`score`] judges such bands against what was seen.
//!
//! No input or output, no clock: the same description, drive, options and seed give the same bits on any number of
//! threads.
#![forbid(unsafe_code)]

pub mod balance;
pub mod baseline;
pub mod condition;
pub mod design;
pub mod doubt;
pub mod ensemble;
pub mod error;
pub mod fall;
pub mod instrument;
pub mod minimum;
mod misfit;
pub mod model_error;
pub mod next_reading;
pub mod normal;
pub mod now;
pub mod observation;
pub mod operator;
pub mod prior;
pub mod random;
pub mod regression;
pub mod replay;
mod reported;
pub mod score;
pub mod series;
pub mod situation;
pub mod smoother;
pub mod spread;

pub use balance::{Line, LineBand};
pub use condition::{ConditionOptions, Conditioned, Known, condition};
pub use doubt::{Clock, Doubt};
pub use ensemble::{Ensemble, Refused, Run};
pub use error::LearnError;
pub use fall::{Fall, FallOptions, Way, fall, fall_conditioned, fall_of, ways};
pub use model_error::ModelError;
pub use observation::{Observation, observations};
pub use prior::{Coordinates, DIMENSION, PRIOR, Prior};
pub use regression::Regression;
pub use series::{Band, PlacingVisible, Series, Visible};
pub use situation::{Asked, Assumption, Situation, situation};
