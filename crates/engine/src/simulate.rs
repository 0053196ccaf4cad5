//! Temporary signature while the kernel is being written.
use crate::{description::OvenDescription, drive::Drive, error::EngineError, history::History, pack::Lane, parameters::Parameters};

/// How to run.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// Times at which the history is wanted, s, rising.
    pub output_times_s: Vec<f64>,
    /// Absolute tolerance of every temperature, K.
    pub tolerance_k: f64,
}

/// Runs a pack of members through a day.
pub fn simulate<const L: usize>(
    _oven: &OvenDescription,
    _members: &[Parameters; L],
    _drive: &Drive,
    _options: &Options,
) -> Result<History<Lane<L>>, EngineError> {
    Err(EngineError::NoLayers { part: "dome" })
}
