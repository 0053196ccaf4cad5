//! The fall: what the oven will do from a given time on, with an honest spread.
//!
//! # Equation
//! Every member runs the whole day from lighting, so that its heat lies where its own fire put it; entries up to the
//! time asked about are what was done, later ones the plan. At each output time the members' values, with the model
//! error of [`crate::model_error`], make the bands.
//!
//! # Validity
//! Members are those of the prior: a forecast from a description alone. Members that readings have narrowed go through
//! [`fall_of`] in the same way. A forecast is on course or not, never "safe".
//!
//! # Source
//! Not applicable.

use crate::balance::{LineBand, balance};
use crate::condition::Conditioned;
use crate::ensemble::{Ensemble, Refused, Run};
use crate::error::LearnError;
use crate::model_error::ModelError;
use crate::prior::Prior;
use crate::reported::Reported;
use crate::series::{Band, Series, Visible};
use ovenfall_engine::description::OvenDescription;
use ovenfall_engine::drive::{Drive, Event};
use ovenfall_engine::simulate::{Branch, Options, Shoot, Trunk};
use rayon::prelude::*;
use std::ops::Range;

/// Most output times on either side of the time asked about.
const MOST_TIMES: f64 = 5_000.0;
/// Longest day, s: ten days of 24 h.
const LONGEST_S: f64 = 864_000.0;
/// Times closer than this are one, s.
const SAME_TIME_S: f64 = 1e-3;

/// How to forecast.
#[derive(Debug, Clone, PartialEq)]
pub struct FallOptions {
    /// Number of members.
    pub members: usize,
    /// What members and model error are drawn with.
    pub seed: u64,
    /// Distance of the output times ahead, s.
    pub output_step_s: f64,
    /// Distance of the output times from lighting to the time asked about, s.
    pub past_step_s: f64,
    /// Absolute tolerance of every temperature in the engine, K.
    pub tolerance_k: f64,
    /// How wrong the model is thought to be.
    pub model_error: ModelError,
}

impl Default for FallOptions {
    fn default() -> Self {
        Self {
            members: 256,
            seed: 1,
            output_step_s: 300.0,
            past_step_s: 900.0,
            tolerance_k: Options::default().tolerance_k,
            model_error: ModelError::default(),
        }
    }
}

/// A forecast.
#[derive(Debug, Clone, PartialEq)]
pub struct Fall {
    /// The time asked about, s after the start of the day.
    pub at_s: f64,
    /// Minutes after `at_s`, for `ahead`.
    pub t_min: Vec<f64>,
    /// Bands from `at_s` on.
    pub ahead: Visible<Band>,
    /// Bands from lighting to `at_s`, at wider distances.
    pub past: Visible<Band>,
    /// Every member from `at_s` on, model error included: for chances.
    pub members: Visible<Series>,
    /// Where the heat went from lighting to `at_s`.
    pub balance_at: Vec<LineBand>,
    /// Where the heat went from lighting to the end of the forecast.
    pub balance_end: Vec<LineBand>,
    /// Indices of the members in `members`, in order.
    pub used: Vec<usize>,
    /// Members that the day contradicts and that were left out.
    pub refused: Vec<Refused>,
    /// What it was drawn with.
    pub seed: u64,
}

/// The fall of a described oven, from `at_s` for `horizon_s`, on members drawn from the prior. The forecast ends at
/// `at_s + horizon_s` whatever the drive's own end; events after that do not matter.
///
/// # Errors
/// [`LearnError::OutOfRange`] for a time, a step or a number of members outside its limits; [`LearnError::Member`] when
/// the engine refuses the oven or the day.
pub fn fall(
    oven: &OvenDescription,
    drive: &Drive,
    at_s: f64,
    horizon_s: f64,
    options: &FallOptions,
) -> Result<Fall, LearnError> {
    let prior = Prior::for_day(oven, drive);
    let ensemble = Ensemble::draw(&prior, options.members, options.seed)?;
    fall_of(&ensemble, oven, drive, at_s, horizon_s, options)
}

/// The fall on given members; `options.members` is not used, `options.seed` draws the model error.
///
/// # Errors
/// As [`fall`].
pub fn fall_of(
    ensemble: &Ensemble,
    oven: &OvenDescription,
    drive: &Drive,
    at_s: f64,
    horizon_s: f64,
    options: &FallOptions,
) -> Result<Fall, LearnError> {
    forecast(ensemble, None, oven, drive, (at_s, horizon_s), options)
}

/// The fall on members that have taken the day's readings in; their model error goes on from what the readings say of it.
///
/// # Errors
/// As [`fall`].
pub fn fall_conditioned(
    conditioned: &Conditioned,
    oven: &OvenDescription,
    drive: &Drive,
    at_s: f64,
    horizon_s: f64,
    options: &FallOptions,
) -> Result<Fall, LearnError> {
    forecast(&conditioned.ensemble, Some(&conditioned.innovations), oven, drive, (at_s, horizon_s), options)
}

fn forecast(
    ensemble: &Ensemble,
    innovations: Option<&[Vec<f64>]>,
    oven: &OvenDescription,
    drive: &Drive,
    (at_s, horizon_s): (f64, f64),
    options: &FallOptions,
) -> Result<Fall, LearnError> {
    let times = Times::new(at_s, horizon_s, options)?;
    let drive = up_to(drive, at_s + horizon_s);
    let engine =
        Options { output_times_s: times.all_s.clone(), tolerance_k: options.tolerance_k, ..Options::default() };
    let run = ensemble.run(oven, &drive, &engine)?;
    let error = (options.model_error, options.seed);
    let reported = Reported::new(&run, innovations, (oven, &drive), &times.all_s, error);
    let members = reported.visible(times.ahead());
    Ok(Fall {
        at_s,
        t_min: members.times_s.iter().map(|t_s| (t_s - at_s) / 60.0).collect(),
        ahead: members.bands(),
        past: reported.visible(times.past()).bands(),
        members,
        balance_at: balance(&run, times.at),
        balance_end: balance(&run, times.all_s.len() - 1),
        used: run.used,
        refused: run.refused,
        seed: options.seed,
    })
}

/// One way the day may go on, on every member.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// Every member at the branch's output times, model error included.
    pub members: Visible<Series>,
    /// Indices of the members, in order.
    pub used: Vec<usize>,
    /// Their runs, for what is not visible.
    pub run: Run,
}

/// What comes of each of several ways the day may go on from `at_s`, on members that have taken the day's readings in.
/// `drive` holds everything that may be placed in any of them; its events before `at_s` are what happened, those of the
/// branches take over there. `options.output_step_s` and `options.past_step_s` are not used. What is wrong with one branch
/// stands in its place.
pub fn ways(
    conditioned: &Conditioned,
    oven: &OvenDescription,
    drive: &Drive,
    at_s: f64,
    branches: &[Branch],
    engine: &Options,
    options: &FallOptions,
) -> Vec<Result<Way, LearnError>> {
    let runs = conditioned.ensemble.run_branches(oven, drive, at_s, branches, engine);
    let reported = Told { conditioned, oven, drive, at_s, options };
    let way = |(run, branch): (Result<Run, LearnError>, &Branch)| {
        run.map(|run| reported.way(run, branch.events.clone(), &branch.output_times_s))
    };
    runs.into_iter().zip(branches).map(way).collect()
}

/// As [`ways`], with ways that leave others on the way: what they share is computed once. The result holds each trunk,
/// followed by what leaves it.
pub fn trunks(
    conditioned: &Conditioned,
    oven: &OvenDescription,
    drive: &Drive,
    at_s: f64,
    trunks: &[Trunk],
    engine: &Options,
    options: &FallOptions,
) -> Vec<Result<Way, LearnError>> {
    let runs = conditioned.ensemble.run_trunks(oven, drive, at_s, trunks, engine);
    let reported = Told { conditioned, oven, drive, at_s, options };
    let branches = trunks.iter().flat_map(|trunk| {
        let of_shoot = |shoot: &'_ Shoot| {
            let before = trunk.branch.events.iter().filter(|event| event.at_s < shoot.leaves_s);
            before.chain(&shoot.branch.events).copied().collect()
        };
        let own = (trunk.branch.events.clone(), &trunk.branch.output_times_s);
        let shoots = trunk.shoots.iter().map(move |shoot| (of_shoot(shoot), &shoot.branch.output_times_s));
        std::iter::once(own).chain(shoots)
    });
    let (events, times_s): (Vec<Vec<Event>>, Vec<&Vec<f64>>) = branches.unzip();
    let told = runs.into_par_iter().zip(events).zip(times_s);
    told.map(|((run, events), times_s)| run.map(|run| reported.way(run, events, times_s))).collect()
}

/// What the ways a day may go on have in common.
struct Told<'a> {
    conditioned: &'a Conditioned,
    oven: &'a OvenDescription,
    drive: &'a Drive,
    at_s: f64,
    options: &'a FallOptions,
}

impl Told<'_> {
    /// A run that went on with `events`, as it is reported at its output times.
    fn way(&self, run: Run, events: Vec<Event>, output_times_s: &[f64]) -> Way {
        let mut drive = self.drive.clone();
        drive.events.retain(|event| event.at_s < self.at_s);
        drive.events.extend(events);
        let error = (self.options.model_error, self.options.seed);
        let innovations = Some(self.conditioned.innovations.as_slice());
        let reported = Reported::new(&run, innovations, (self.oven, &drive), output_times_s, error);
        let members = reported.visible(0..output_times_s.len());
        Way { members, used: run.used.clone(), run }
    }
}

/// The drive, ended at the end of the forecast.
fn up_to(drive: &Drive, end_s: f64) -> Drive {
    let mut drive = drive.clone();
    // Not a cut at the first later event: the order of events is for the engine to judge.
    drive.events.retain(|event| event.at_s <= end_s || event.at_s.is_nan());
    drive.end_s = end_s;
    drive
}

/// Output times: past and ahead share the time asked about.
struct Times {
    all_s: Vec<f64>,
    /// Number of the time asked about.
    at: usize,
}

impl Times {
    fn new(at_s: f64, horizon_s: f64, options: &FallOptions) -> Result<Self, LearnError> {
        within("time of the forecast (s)", at_s, 0.0, LONGEST_S)?;
        within("horizon (s)", horizon_s, 60.0, LONGEST_S)?;
        within("output step (s)", options.output_step_s, horizon_s / MOST_TIMES, LONGEST_S)?;
        let shortest_past_s = (at_s / MOST_TIMES).max(SAME_TIME_S);
        within("output step of the past (s)", options.past_step_s, shortest_past_s, LONGEST_S)?;
        within("temperature tolerance (K)", options.tolerance_k, 1e-9, 10.0)?;
        let error = options.model_error;
        within("model error of temperatures (share)", error.temperature_share, 0.0, 1.0)?;
        within("model error of the store (share)", error.store_share, 0.0, 1.0)?;
        within("correlation time of the model error (s)", error.correlation_s, 1.0, 1e9)?;
        let mut all_s = rising(0.0, at_s, options.past_step_s);
        let at = all_s.len();
        all_s.extend(rising(at_s, at_s + horizon_s, options.output_step_s));
        all_s.push(at_s + horizon_s);
        Ok(Self { all_s, at })
    }

    fn ahead(&self) -> Range<usize> {
        self.at..self.all_s.len()
    }

    fn past(&self) -> Range<usize> {
        0..self.at + 1
    }
}

/// From `start_s` in steps, ending before `end_s`.
fn rising(start_s: f64, end_s: f64, step_s: f64) -> Vec<f64> {
    let times = (0_u32..).map(|k| start_s + f64::from(k) * step_s);
    times.take_while(|t_s| *t_s < end_s - SAME_TIME_S).collect()
}

fn within(what: &'static str, value: f64, min: f64, max: f64) -> Result<(), LearnError> {
    if (min..=max).contains(&value) { Ok(()) } else { Err(LearnError::OutOfRange { what, value, min, max }) }
}
