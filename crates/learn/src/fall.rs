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
use crate::ensemble::{Ensemble, LANES, PackHistory, Refused, Run};
use crate::error::LearnError;
use crate::model_error::{ModelError, Paths, boiling_c, held_by_boil_k};
use crate::prior::Prior;
use crate::random::Purpose;
use crate::series::{Band, PlacingVisible, Series, Visible};
use ovenfall_engine::description::OvenDescription;
use ovenfall_engine::drive::{Action, Drive};
use ovenfall_engine::pack::Lane;
use ovenfall_engine::simulate::Options;
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
    let reported = Reported::new(&run, innovations, oven, &drive, &times, options);
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

/// Members' values as they are reported: with the model error.
struct Reported<'a> {
    run: &'a Run,
    names: Vec<&'a str>,
    times_s: &'a [f64],
    /// Outdoor temperature at each output time, °C.
    ambient_c: Vec<f64>,
    boiling_c: f64,
    error: ModelError,
    temperature: Paths,
    store: Paths,
}

impl<'a> Reported<'a> {
    fn new(
        run: &'a Run,
        innovations: Option<&[Vec<f64>]>,
        oven: &OvenDescription,
        drive: &'a Drive,
        times: &'a Times,
        options: &FallOptions,
    ) -> Self {
        let error = options.model_error;
        let paths = |purpose| Paths::new(options.seed, purpose, &run.used, &times.all_s, error.correlation_s);
        let temperature = match innovations {
            Some(all) => {
                let of_used: Vec<&[f64]> = run.used.iter().filter_map(|&j| all.get(j).map(Vec::as_slice)).collect();
                Paths::of_innovations(&of_used, &times.all_s, error.correlation_s)
            }
            None => paths(Purpose::TemperatureError),
        };
        Self {
            run,
            names: drive.placings.iter().map(|placing| placing.name.as_str()).collect(),
            times_s: &times.all_s,
            ambient_c: times.all_s.iter().map(|&t_s| ambient_at_c(oven, drive, t_s)).collect(),
            boiling_c: boiling_c(oven.altitude_m),
            error,
            temperature,
            store: paths(Purpose::StoreError),
        }
    }

    /// Change of a member's temperature, K.
    fn change_k(&self, t: usize, member: usize, t_c: f64) -> f64 {
        let share = self.error.temperature_share * self.temperature.at(t, member);
        share * (t_c - self.ambient_c[t])
    }

    fn temperature(&self, times: &Range<usize>, of: impl Fn(&PackHistory) -> &[Lane<LANES>]) -> Series {
        let first = times.start;
        let series = self.run.series(times.clone(), of);
        series.map(|t, member, t_c| t_c + self.change_k(first + t, member, t_c))
    }

    fn in_pot(&self, times: &Range<usize>, of: impl Fn(&PackHistory) -> &[Lane<LANES>]) -> Series {
        let first = times.start;
        self.run.series(times.clone(), of).map(|t, member, t_c| {
            let change_k = self.change_k(first + t, member, t_c);
            t_c + held_by_boil_k(change_k, t_c, self.boiling_c)
        })
    }

    fn store(&self, times: &Range<usize>) -> Series {
        let first = times.start;
        self.run.series(times.clone(), |history| &history.store_kwh).map(|t, member, kwh| {
            let e = self.store.at(first + t, member);
            kwh * libm::exp(self.error.store_share * e)
        })
    }

    fn placing(&self, index: usize, name: &str, times: &Range<usize>) -> PlacingVisible<Series> {
        let core_c = self.in_pot(times, |history| &history.placings[index].core_c);
        PlacingVisible {
            name: name.to_owned(),
            liquid_kg: self.run.series(times.clone(), |history| &history.placings[index].liquid_kg),
            liquid_c: self.in_pot(times, |history| &history.placings[index].liquid_c),
            valid_share: core_c.valid_share(),
            core_c,
        }
    }

    fn visible(&self, times: Range<usize>) -> Visible<Series> {
        let placings = self.names.iter().enumerate();
        Visible {
            times_s: self.times_s[times.clone()].to_vec(),
            probe_c: self.temperature(&times, |history| &history.probe_c),
            gas_c: self.temperature(&times, |history| &history.gas_c),
            floor_c: self.temperature(&times, |history| &history.floor_c),
            crown_c: self.temperature(&times, |history| &history.crown_c),
            store_kwh: self.store(&times),
            placings: placings.map(|(i, name)| self.placing(i, name, &times)).collect(),
        }
    }
}

/// The outdoor temperature at a time, as the day or else the description has it, °C.
fn ambient_at_c(oven: &OvenDescription, drive: &Drive, t_s: f64) -> f64 {
    let said = drive.events.iter().filter(|event| event.at_s <= t_s).rev();
    let last = said.filter_map(|event| match event.action {
        Action::Ambient(t_c) => Some(t_c),
        _ => None,
    });
    last.into_iter().next().or(drive.ambient_c).unwrap_or(oven.ambient_c)
}
