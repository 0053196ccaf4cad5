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
use crate::drive::{Drive, Event};
use crate::error::{EngineError, within};
use crate::history::History;
use crate::output::{Recorder, Start, Wanted};
use crate::pack::{Lane, Real};
use crate::parameters::Parameters;
use crate::state::Part;

/// Longest run, s.
const LONGEST_RUN_S: f64 = 40.0 * 86_400.0;

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
    /// Temperatures above which the heat in store is wanted, °C, besides [`crate::history::STORE_THRESHOLD_C`].
    pub store_above_c: Vec<f64>,
    /// Steps to take instead of choosing them, s: those of another run of the same drive.
    pub replay_steps_s: Option<Vec<f64>>,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            output_times_s: Vec::new(),
            tolerance_k: 0.02,
            refine: 1,
            depths: Vec::new(),
            store_above_c: Vec::new(),
            replay_steps_s: None,
        }
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

/// Events must be in order of time, from `from_s` on, and the end within bounds.
fn check_times(events: &[Event], from_s: f64, end_s: f64) -> Result<(), EngineError> {
    let mut before_s = from_s;
    for (index, event) in events.iter().enumerate() {
        if event.at_s.is_nan() || event.at_s < before_s || event.at_s.is_infinite() {
            return Err(EngineError::TimeRunsBackwards { index, at_s: event.at_s, before_s });
        }
        before_s = event.at_s;
    }
    within_end(end_s, from_s)
}

/// Forty days is past any oven's memory.
fn within_end(end_s: f64, from_s: f64) -> Result<(), EngineError> {
    if end_s > from_s && end_s <= LONGEST_RUN_S {
        return Ok(());
    }
    Err(EngineError::OutOfRange { what: "the end of the run (s)", value: end_s, min: from_s, max: LONGEST_RUN_S })
}

fn check_tolerance(tolerance_k: f64) -> Result<(), EngineError> {
    if tolerance_k > 0.0 && tolerance_k <= 10.0 {
        return Ok(());
    }
    Err(EngineError::OutOfRange { what: "the tolerance (K)", value: tolerance_k, min: 0.0, max: 10.0 })
}

/// A day as far as it has come.
#[derive(Clone)]
struct Course<'a, R> {
    run: DayRun<'a, R>,
    control: Control,
    t_s: f64,
}

impl<'a, R: Real> Course<'a, R> {
    fn new(
        oven: &OvenDescription,
        members: &[Parameters],
        drive: &'a Drive,
        options: &Options,
    ) -> Result<Self, EngineError> {
        Ok(Self {
            run: DayRun::new(oven, members, drive, options.refine.max(1))?,
            control: Control::new(options.tolerance_k, options.replay_steps_s.clone()),
            t_s: 0.0,
        })
    }

    /// Goes on to `end_s`; events at `end_s` itself are left for what comes after.
    fn advance(&mut self, events: &[Event], end_s: f64, recorder: &mut Recorder<'_, R>) -> Result<(), EngineError> {
        let mut events = events.iter().enumerate().peekable();
        while self.t_s < end_s {
            while let Some((index, event)) = events.next_if(|(_, e)| e.at_s <= self.t_s) {
                self.run.apply(index, &event.action)?;
            }
            let stop_s = events.peek().map_or(end_s, |(_, e)| e.at_s.min(end_s));
            let phase = self.run.phase();
            recorder.now(&self.run, self.t_s);
            let mut y = std::mem::take(&mut self.run.y);
            let run = &self.run;
            self.control.integrate(&phase, &mut y, (self.t_s, stop_s), |step| recorder.step(run, step))?;
            self.run.y = y;
            self.t_s = stop_s;
        }
        Ok(())
    }
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
    check_times(&drive.events, 0.0, drive.end_s)?;
    check_tolerance(options.tolerance_k)?;
    let mut course: Course<'_, Lane<L>> = Course::new(oven, members, drive, options)?;
    let mut recorder = Recorder::new(&course.run, Start::of(&course.run), Wanted::of(options));
    course.advance(&drive.events, drive.end_s, &mut recorder)?;
    Ok(recorder.finish(course.control.effort, course.control.steps_s))
}

/// One way a day may go on.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Branch {
    /// What is done, in order of time, none of it before the fork.
    pub events: Vec<Event>,
    /// Its end, s after the start of the day.
    pub end_s: f64,
    /// Times at which its history is wanted, s, rising, from the fork on.
    pub output_times_s: Vec<f64>,
}

/// A branch that others leave on the way, so that what they share is run once.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trunk {
    /// The way itself.
    pub branch: Branch,
    /// What leaves it, in order of the times they leave it at.
    pub shoots: Vec<Shoot>,
}

/// A branch that leaves another on the way.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shoot {
    /// When it leaves, s after the start of the day: not before the fork, not after the end of the trunk.
    pub leaves_s: f64,
    /// What is done from then on, events at that time included.
    pub branch: Branch,
}

/// What each branch of a day came to, in their order.
pub type BranchHistories<const L: usize> = Vec<Result<History<Lane<L>>, EngineError>>;

/// Runs a pack of members through a day once up to `fork_s`, and from there through each of several ways it may go on.
///
/// `drive` holds everything that may be placed in any branch; its events before the fork are what happened, later ones
/// do not matter, nor does its end. Events at `fork_s` itself belong to the branches, and what is recorded at the fork is the
/// state after them. `options.output_times_s` and
/// `options.replay_steps_s` are not used. Ledgers count from the start of the day, effort and steps too.
///
/// # Errors
/// As [`simulate`] for the day up to the fork; what is wrong with a branch stands in its place of the result.
pub fn branches<const L: usize>(
    oven: &OvenDescription,
    members: &[Parameters; L],
    drive: &Drive,
    fork_s: f64,
    branches: &[Branch],
    options: &Options,
) -> Result<BranchHistories<L>, EngineError> {
    let options = Options { output_times_s: Vec::new(), replay_steps_s: None, ..options.clone() };
    let grove = Grove::new(oven, members, drive, fork_s, &options)?;
    Ok(branches.iter().map(|branch| grove.branch(branch)).collect())
}

/// As [`branches`], with branches that leave others on the way. The result holds each trunk, followed by what leaves it.
/// A shoot that leaves a trunk which cannot go on that far has the trunk's error.
///
/// # Errors
/// As [`branches`].
pub fn trunks<const L: usize>(
    oven: &OvenDescription,
    members: &[Parameters; L],
    drive: &Drive,
    fork_s: f64,
    trunks: &[Trunk],
    options: &Options,
) -> Result<BranchHistories<L>, EngineError> {
    let options = Options { output_times_s: Vec::new(), replay_steps_s: None, ..options.clone() };
    let grove = Grove::new(oven, members, drive, fork_s, &options)?;
    Ok(trunks.iter().flat_map(|trunk| grove.trunk(trunk)).collect())
}

/// A day run up to a fork.
struct Grove<'a, const L: usize> {
    root: Course<'a, Lane<L>>,
    start: Start<Lane<L>>,
    fork_s: f64,
    options: &'a Options,
}

impl<'a, const L: usize> Grove<'a, L> {
    fn new(
        oven: &OvenDescription,
        members: &[Parameters; L],
        drive: &'a Drive,
        fork_s: f64,
        options: &'a Options,
    ) -> Result<Self, EngineError> {
        let before = drive.events.partition_point(|event| event.at_s < fork_s);
        let past = drive.events.get(..before).unwrap_or_default();
        check_times(past, 0.0, fork_s.max(f64::MIN_POSITIVE))?;
        check_tolerance(options.tolerance_k)?;
        let mut root: Course<'_, Lane<L>> = Course::new(oven, members, drive, options)?;
        let start = Start::of(&root.run);
        let mut unseen = Recorder::new(&root.run, start, Wanted::of(options));
        root.advance(past, fork_s, &mut unseen)?;
        Ok(Self { root, start, fork_s, options })
    }

    fn branch(&self, branch: &Branch) -> Result<History<Lane<L>>, EngineError> {
        self.from(&self.root, self.fork_s, branch)
    }

    fn recorder<'b>(&'b self, course: &Course<'a, Lane<L>>, branch: &'b Branch) -> Recorder<'b, Lane<L>> {
        let wanted = Wanted { times_s: &branch.output_times_s, ..Wanted::of(self.options) };
        Recorder::new(&course.run, self.start, wanted)
    }

    fn from(
        &self,
        course: &Course<'a, Lane<L>>,
        from_s: f64,
        branch: &Branch,
    ) -> Result<History<Lane<L>>, EngineError> {
        check_times(&branch.events, from_s, branch.end_s)?;
        let mut course = course.clone();
        let mut recorder = self.recorder(&course, branch);
        course.advance(&branch.events, branch.end_s, &mut recorder)?;
        Ok(recorder.finish(course.control.effort, course.control.steps_s))
    }

    fn trunk(&self, trunk: &Trunk) -> BranchHistories<L> {
        let mut shoots = Vec::with_capacity(trunk.shoots.len() + 1);
        let came = self.along(trunk, &mut shoots);
        if let Err(error) = &came {
            shoots.resize(trunk.shoots.len(), Err(error.clone()));
        }
        shoots.insert(0, came);
        shoots
    }

    /// Runs a trunk and, where they leave it, its shoots.
    fn along(&self, trunk: &Trunk, shoots: &mut BranchHistories<L>) -> Result<History<Lane<L>>, EngineError> {
        let branch = &trunk.branch;
        check_times(&branch.events, self.fork_s, branch.end_s)?;
        let mut course = self.root.clone();
        let mut recorder = self.recorder(&course, branch);
        let mut done = 0;
        for shoot in &trunk.shoots {
            within("the time a branch leaves another (s)", shoot.leaves_s, course.t_s, branch.end_s)?;
            let until = branch.events.partition_point(|event| event.at_s < shoot.leaves_s);
            course.advance(branch.events.get(done..until).unwrap_or_default(), shoot.leaves_s, &mut recorder)?;
            done = until;
            shoots.push(self.from(&course, shoot.leaves_s, &shoot.branch));
        }
        course.advance(branch.events.get(done..).unwrap_or_default(), branch.end_s, &mut recorder)?;
        Ok(recorder.finish(course.control.effort, course.control.steps_s))
    }
}
