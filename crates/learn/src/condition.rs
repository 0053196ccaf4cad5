//! Today's readings taken in: the day is run again from lighting on every member until readings and members agree.
//!
//! # Equation
//! A member's unknowns are its coordinates of the prior, its instruments ([`crate::instrument`]) and the innovations of its model
//! error ([`crate::model_error`]), all standard normal before anything is read. Four steps of [`crate::smoother`] with α = 4;
//! the day is run anew before each, so state and parameters always agree. Before each step a reading that lies more than 2.5
//! of its expected spreads off has its own error widened until it lies there: it is down-weighted, and named.
//!
//! # Validity
//! Readings must tell of the oven at all: when more than half of them had to be widened the answer says so.
//!
//! # Source
//! Emerick & Reynolds 2013 (from memory). Down-weighting: Huber's estimator. Evensen 2018 (from memory) for the model
//! error as unknowns of their own.

use crate::ensemble::{Ensemble, PackHistory, Run};
use crate::error::LearnError;
use crate::instrument::{INSTRUMENTS, Instruments};
use crate::model_error::{ModelError, Paths, boiling_c, held_by_boil_k, knots};
use crate::observation::{Observation, Target};
use crate::prior::{DIMENSION, Prior};
use crate::random::{self, Purpose};
use crate::smoother::{self, Readings, Step};
use ovenfall_engine::description::OvenDescription;
use ovenfall_engine::drive::Drive;
use ovenfall_engine::observe::infrared_reading_c;
use ovenfall_engine::simulate::{Depth, Options};
use ovenfall_record::reading::Spot;

/// Steps of the smoother.
const STEPS: usize = 4;
/// Expected spreads beyond which a reading is down-weighted.
const DOUBT: f64 = 2.5;
/// Widening beyond which a reading is named as doubted.
const NAMED: f64 = 2.0;
/// Emissivity of hot masonry in the band of infra-red thermometers.
const BAND_EMISSIVITY: f64 = 0.92;
/// What an infra-red thermometer is set to when nobody says.
const USUAL_SETTING: f64 = 0.95;

/// What is known of a day at an hour.
#[derive(Debug, Clone)]
pub struct Known<'a> {
    /// The oven as described.
    pub oven: &'a OvenDescription,
    /// What happened, and the plan.
    pub drive: &'a Drive,
    /// The hour, s after the start of the drive.
    pub at_s: f64,
    /// Readings up to then.
    pub observations: Vec<Observation>,
    /// What the infra-red thermometer is set to; `None` when nobody knows.
    pub infrared_setting: Option<f64>,
    /// Outdoor temperature of the day, °C.
    pub ambient_c: f64,
}

/// How to condition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConditionOptions {
    /// Number of members.
    pub members: usize,
    /// Seed of everything drawn.
    pub seed: u64,
    /// How wrong the model is thought to be.
    pub model_error: ModelError,
    /// The end of what the model error must cover, s after the start of the drive.
    pub end_s: f64,
}

/// A reading beside what the members say to it after all of them were taken in.
#[derive(Debug, Clone, PartialEq)]
pub struct Residual {
    /// The reading.
    pub observation: Observation,
    /// Mean of the members' predictions, °C.
    pub predicted_c: f64,
    /// Spread of the members' predictions, one sigma, K.
    pub spread_k: f64,
    /// Factor by which its error was widened; 1 for most.
    pub widened: f64,
}

/// Members that have taken the readings in.
#[derive(Debug, Clone, PartialEq)]
pub struct Conditioned {
    /// The ovens.
    pub ensemble: Ensemble,
    /// Instruments of each member.
    pub instruments: Vec<Vec<f64>>,
    /// Innovations of each member's model error.
    pub innovations: Vec<Vec<f64>>,
    /// Readings beside the members' last predictions.
    pub residuals: Vec<Residual>,
}

impl Conditioned {
    /// Readings that were down-weighted, worst first.
    #[must_use]
    pub fn doubted(&self) -> Vec<&Residual> {
        let mut all: Vec<&Residual> = self.residuals.iter().filter(|r| r.widened > NAMED).collect();
        all.sort_by(|a, b| b.widened.total_cmp(&a.widened));
        all
    }

    /// Whether so many readings disagree with the description that the answer should not be trusted.
    #[must_use]
    pub fn readings_disagree(&self) -> bool {
        2 * self.doubted().len() > self.residuals.len()
    }
}

/// Members as vectors: prior, instruments, innovations.
struct Vectors {
    members: Vec<Vec<f64>>,
}

impl Vectors {
    fn draw(known: &Known<'_>, prior: &Prior, options: &ConditionOptions) -> Result<Self, LearnError> {
        let ensemble = Ensemble::draw(prior, options.members, options.seed)?;
        let more = INSTRUMENTS + knots(options.end_s.max(known.at_s));
        let members = ensemble.members.into_iter().enumerate();
        let extended = members.map(|(j, mut z)| {
            let generator = &mut random::generator(options.seed, Purpose::Instruments, j);
            z.extend((0..more).map(|_| random::standard_normal(generator)));
            z
        });
        Ok(Self { members: extended.collect() })
    }

    fn ensemble(&self, prior: &Prior, seed: u64) -> Result<Ensemble, LearnError> {
        let own = self.members.iter().map(|z| z[..DIMENSION].to_vec()).collect();
        Ensemble::from_coordinates(prior, own, seed)
    }

    fn instruments(&self, member: usize) -> &[f64] {
        &self.members[member][DIMENSION..DIMENSION + INSTRUMENTS]
    }

    fn innovations(&self, member: usize) -> &[f64] {
        &self.members[member][DIMENSION + INSTRUMENTS..]
    }
}

/// Conditions the prior of a day on what was read.
///
/// # Errors
/// As [`Ensemble::draw`] and [`Ensemble::run`].
pub fn condition(known: &Known<'_>, options: &ConditionOptions) -> Result<Conditioned, LearnError> {
    let prior = Prior::for_day(known.oven, known.drive);
    let mut vectors = Vectors::draw(known, &prior, options)?;
    let times = Times::new(&known.observations);
    let mut widened = vec![1.0; known.observations.len()];
    for number in 0..STEPS {
        if known.observations.is_empty() {
            break;
        }
        let (used, predicted) = predictions(known, &vectors, &prior, &times, options)?;
        widened = doubts(&known.observations, &predicted);
        let readings = readings_for(&known.observations, &widened);
        let mut moving: Vec<Vec<f64>> = used.iter().map(|&j| std::mem::take(&mut vectors.members[j])).collect();
        let step = Step { inflation: STEPS as f64, taper: true, seed: options.seed, number };
        smoother::update(&mut moving, &predicted, &readings, &step);
        for (j, member) in used.into_iter().zip(moving) {
            vectors.members[j] = member;
        }
    }
    let residuals = if known.observations.is_empty() {
        Vec::new()
    } else {
        let (_, predicted) = predictions(known, &vectors, &prior, &times, options)?;
        residuals(&known.observations, &predicted, &widened)
    };
    let indices = 0..vectors.members.len();
    Ok(Conditioned {
        ensemble: vectors.ensemble(&prior, options.seed)?,
        instruments: indices.clone().map(|j| vectors.instruments(j).to_vec()).collect(),
        innovations: indices.map(|j| vectors.innovations(j).to_vec()).collect(),
        residuals,
    })
}

/// Output times of the readings, and which of them each reading is at.
struct Times {
    all_s: Vec<f64>,
    of: Vec<usize>,
    depths: Vec<Depth>,
}

impl Times {
    fn new(observations: &[Observation]) -> Self {
        let mut all_s: Vec<f64> = observations.iter().map(|o| o.at_s).collect();
        all_s.sort_by(f64::total_cmp);
        all_s.dedup();
        let of = observations.iter().map(|o| all_s.partition_point(|t| *t < o.at_s)).collect();
        let mut depths: Vec<Depth> = Vec::new();
        for o in observations {
            if let Target::Masonry { part, depth_m } = o.target
                && !depths.contains(&Depth { part, depth_m })
            {
                depths.push(Depth { part, depth_m });
            }
        }
        Self { all_s, of, depths }
    }
}

/// Runs all members to the hour and predicts every reading: members that ran, and one row of predictions each.
fn predictions(
    known: &Known<'_>,
    vectors: &Vectors,
    prior: &Prior,
    times: &Times,
    options: &ConditionOptions,
) -> Result<(Vec<usize>, Vec<Vec<f64>>), LearnError> {
    let engine = Options { output_times_s: times.all_s.clone(), depths: times.depths.clone(), ..Options::default() };
    let mut drive = known.drive.clone();
    drive.events.retain(|event| event.at_s <= known.at_s);
    drive.end_s = known.at_s.max(1.0);
    let ensemble = vectors.ensemble(prior, options.seed)?;
    let run: Run = ensemble.run(known.oven, &drive, &engine)?;
    let innovations: Vec<&[f64]> = run.used.iter().map(|&j| vectors.innovations(j)).collect();
    let paths = Paths::of_innovations(&innovations, &times.all_s, options.model_error.correlation_s);
    let mut place = 0;
    let rows = run.each(|history, lane| {
        let member = run.used[place];
        let operator = Operator {
            known,
            history,
            lane,
            depths: &times.depths,
            instruments: Instruments::new(vectors.instruments(member), known.infrared_setting.is_some()),
            probe_offset_k: ensemble.parameters[member].probe_offset_k,
            share: options.model_error.temperature_share,
        };
        let row = known.observations.iter().zip(&times.of);
        let row: Vec<f64> = row.map(|(o, &t)| operator.predict(o, t, paths.at(t, place))).collect();
        place += 1;
        row
    });
    Ok((run.used.clone(), rows))
}

/// Predicts readings from one member's history.
struct Operator<'a> {
    known: &'a Known<'a>,
    history: &'a PackHistory,
    lane: usize,
    depths: &'a [Depth],
    instruments: Instruments<'a>,
    probe_offset_k: f64,
    share: f64,
}

impl Operator<'_> {
    /// What the reading should show, °C; `e` is the member's model error at its time.
    fn predict(&self, observation: &Observation, t: usize, e: f64) -> f64 {
        let shown = self.shown(observation.target, t, e);
        // "At least": nothing speaks against a member that is above the display's range.
        if observation.at_least && shown > observation.value_c { observation.value_c } else { shown }
    }

    fn shown(&self, target: Target, t: usize, e: f64) -> f64 {
        let h = self.history;
        let wrong = |t_c: f64| t_c + self.share * e * (t_c - self.known.ambient_c);
        let pot = |t_c: f64| {
            t_c + held_by_boil_k(
                self.share * e * (t_c - self.known.ambient_c),
                t_c,
                boiling_c(self.known.oven.altitude_m),
            )
        };
        match target {
            Target::Probe => wrong(h.probe_c[t].0[self.lane]) + self.probe_offset_k,
            Target::Spot(spot) => self.spot(spot, t, &wrong),
            Target::Masonry { part, depth_m } => {
                let index = self.depths.iter().position(|d| *d == Depth { part, depth_m });
                index.map_or(f64::NAN, |i| wrong(h.depths_c[i][t].0[self.lane]))
            }
            Target::Liquid(i) => pot(h.placings[i].liquid_c[t].0[self.lane]),
            Target::Core(i) => pot(h.placings[i].core_c[t].0[self.lane]),
            Target::Hand => wrong(h.probe_c[t].0[self.lane]) + self.instruments.hand_k(),
        }
    }

    fn spot(&self, spot: Spot, t: usize, wrong: &impl Fn(f64) -> f64) -> f64 {
        let h = self.history;
        let (floor, crown) = (h.floor_c[t].0[self.lane], h.crown_c[t].0[self.lane]);
        let patch = match spot {
            Spot::FloorBack | Spot::FloorCentre | Spot::FloorFront => floor,
            Spot::Crown | Spot::BackWall | Spot::FarSide => crown,
            Spot::FireSide => h.fire_side_c[t].0[self.lane],
        };
        let patch = wrong(patch);
        let surface = patch + self.instruments.spot_k(spot, patch - self.known.ambient_c);
        let around = wrong(0.5 * (floor + crown));
        let setting = self.known.infrared_setting.unwrap_or(USUAL_SETTING);
        self.instruments.shown_c(infrared_reading_c(surface, BAND_EMISSIVITY, around, setting))
    }
}

/// Mean and spread of each reading's predictions.
fn moments(predicted: &[Vec<f64>], i: usize) -> (f64, f64) {
    let values: Vec<f64> = predicted.iter().map(|row| row[i]).filter(|y| y.is_finite()).collect();
    let n = values.len().max(1) as f64;
    let mean = values.iter().sum::<f64>() / n;
    (mean, (values.iter().map(|y| (y - mean) * (y - mean)).sum::<f64>() / n).sqrt())
}

/// Factor by which each reading's error is widened.
fn doubts(observations: &[Observation], predicted: &[Vec<f64>]) -> Vec<f64> {
    let of = |(i, o): (usize, &Observation)| {
        let (mean, spread) = moments(predicted, i);
        // The error with which the reading would lie at the limit of what is expected.
        let at_limit_k = (o.value_c - mean) / DOUBT;
        let own = at_limit_k * at_limit_k - spread * spread;
        if own.is_finite() && own > 0.0 { (own.sqrt() / o.sigma_k).max(1.0) } else { 1.0 }
    };
    observations.iter().enumerate().map(of).collect()
}

fn readings_for(observations: &[Observation], widened: &[f64]) -> Readings {
    Readings {
        values: observations.iter().map(|o| o.value_c).collect(),
        sigmas: observations.iter().zip(widened).map(|(o, w)| o.sigma_k * w).collect(),
    }
}

fn residuals(observations: &[Observation], predicted: &[Vec<f64>], widened: &[f64]) -> Vec<Residual> {
    let of = |(i, (o, w)): (usize, (&Observation, &f64))| {
        let (predicted_c, spread_k) = moments(predicted, i);
        Residual { observation: o.clone(), predicted_c, spread_k, widened: *w }
    };
    observations.iter().zip(widened).enumerate().map(of).collect()
}
