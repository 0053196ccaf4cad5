//! A day from its first event to its horizon: one phase after the other, output on the way.
//!
//! # Equation
//! Between events one phase is integrated with error-controlled steps that land on the next event; there the state jumps
//! (see `day`) and a new phase begins.
//!
//! # Validity
//! The same bits for any number of threads, and for one lane that replays a pack's steps. Nothing outside the arguments
//! is read.
//!
//! # Source
//! See `step` and `control`.

use crate::control::Control;
use crate::day::DayRun;
use crate::description::OvenDescription;
use crate::drive::Drive;
use crate::error::EngineError;
use crate::history::History;
use crate::output::Recorder;
use crate::pack::{Lane, Real};
use crate::parameters::Parameters;
use crate::state::Part;

/// A place in the masonry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Depth {
    /// Which part; for the floor, where no pot stands.
    pub part: Part,
    /// Distance from the hot face, m; beyond the last layer it is the outer face.
    pub depth_m: f64,
}

/// How to run.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// Times at which the history is wanted, s, rising.
    pub output_times_s: Vec<f64>,
    /// Local error allowed in every temperature, K. Default 0.02 (see docs/error-budget.md).
    pub tolerance_k: f64,
    /// How much finer than the production grid; 1 in production.
    pub refine: usize,
    /// Places in the masonry whose temperatures are wanted.
    pub depths: Vec<Depth>,
    /// Steps to take instead of choosing them, s: those of another run of the same drive.
    pub replay_steps_s: Option<Vec<f64>>,
}

impl Default for Options {
    fn default() -> Self {
        Self { output_times_s: Vec::new(), tolerance_k: 0.02, refine: 1, depths: Vec::new(), replay_steps_s: None }
    }
}

impl Options {
    /// Output every `every_s` from `from_s` to `to_s`, both included.
    #[must_use]
    pub fn every(from_s: f64, to_s: f64, every_s: f64) -> Self {
        let n = ((to_s - from_s) / every_s + 1e-9).floor().max(0.0) as usize;
        Self { output_times_s: (0..=n).map(|i| from_s + every_s * i as f64).collect(), ..Self::default() }
    }
}

fn check_times(drive: &Drive) -> Result<(), EngineError> {
    let mut before_s = 0.0;
    for (index, event) in drive.events.iter().enumerate() {
        if event.at_s.is_nan() || event.at_s < before_s || event.at_s.is_infinite() {
            return Err(EngineError::TimeRunsBackwards { index, at_s: event.at_s, before_s });
        }
        before_s = event.at_s;
    }
    // Forty days is past any oven's memory.
    if !(drive.end_s > 0.0 && drive.end_s <= 40.0 * 86_400.0) {
        return Err(EngineError::OutOfRange {
            what: "the end of the run (s)",
            value: drive.end_s,
            min: 0.0,
            max: 40.0 * 86_400.0,
        });
    }
    Ok(())
}

fn run_lanes<R: Real>(
    oven: &OvenDescription,
    members: &[Parameters],
    drive: &Drive,
    options: &Options,
) -> Result<History<R>, EngineError> {
    check_times(drive)?;
    if !(options.tolerance_k > 0.0 && options.tolerance_k <= 10.0) {
        return Err(EngineError::OutOfRange {
            what: "the tolerance (K)",
            value: options.tolerance_k,
            min: 0.0,
            max: 10.0,
        });
    }
    let mut run: DayRun<'_, R> = DayRun::new(oven, members, drive, options.refine.max(1))?;
    let mut control = Control::new(options.tolerance_k, options.replay_steps_s.clone());
    let mut recorder = Recorder::new(&run, &options.output_times_s, &options.depths);
    let mut t = 0.0;
    let mut events = drive.events.iter().enumerate().peekable();
    while t < drive.end_s {
        while let Some((index, event)) = events.next_if(|(_, e)| e.at_s <= t) {
            run.apply(index, &event.action)?;
        }
        let end_s = events.peek().map_or(drive.end_s, |(_, e)| e.at_s.min(drive.end_s));
        let phase = run.phase();
        recorder.now(&run, t);
        let mut y = std::mem::take(&mut run.y);
        control.integrate(&phase, &mut y, (t, end_s), |step| recorder.step(&run, step))?;
        run.y = y;
        t = end_s;
    }
    Ok(recorder.finish(control.effort, control.steps_s))
}

/// Runs a pack of members through a day.
///
/// # Errors
/// When the description, a parameter or the drive makes no sense, or the computation cannot go on; the error says where
/// and why.
pub fn simulate<const L: usize>(
    oven: &OvenDescription,
    members: &[Parameters; L],
    drive: &Drive,
    options: &Options,
) -> Result<History<Lane<L>>, EngineError> {
    run_lanes(oven, members, drive, options)
}
