//! Today's readings taken in: the day is run again from lighting on every member until readings and members agree.
//!
//! # Equation
//! A member's unknowns are its coordinates of the prior, its instruments ([`crate::instrument`]) and the innovations of its model
//! error ([`crate::model_error`]), all standard normal before anything is read. Four steps of [`crate::smoother`] with α = 4;
//! the day is run anew before each, so state and parameters always agree. Before each step the readings are held against each
//! other (`crate::misfit`): one that the others contradict has its error widened, and is named. Before the first step it is
//! asked what is wrong with them as a whole ([`crate::doubt`]).
//!
//! # Validity
//! Readings must tell of the oven at all: when more than half of them contradict the others the answer says so. Steps run the
//! engine at a coarser tolerance than a forecast (`docs/performance.md` has what that changes).
//!
//! # Source
//! Emerick & Reynolds 2013 (from memory). Evensen 2018 (from memory) for the model
//! error as unknowns of their own.

use crate::doubt::{self, Doubt};
use crate::ensemble::Ensemble;
use crate::error::LearnError;
use crate::instrument::INSTRUMENTS;
use crate::misfit::{self, Compared};
use crate::model_error::{ModelError, knots};
use crate::observation::{Circumstances, Observation, Target, above_k};
use crate::operator::{Hidden, Operator};
use crate::prior::{DIMENSION, Prior};
use crate::random::{self, Purpose};
use crate::smoother::{self, Readings, Step};
use ovenfall_engine::description::OvenDescription;
use ovenfall_engine::drive::Drive;
use ovenfall_engine::simulate::{Depth, Options};

/// Steps of the smoother.
const STEPS: usize = 4;
/// Fewer doubted readings say nothing of the day as a whole; judgement.
const FEW: usize = 3;
/// Widening beyond which a reading is named as doubted.
const NAMED: f64 = 2.0;
/// Widening of a reading that is not of what it says it is of.
const NOT_USED: f64 = 1e3;

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

/// How exactly the day is run while readings are taken in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Precision {
    /// Absolute tolerance of every temperature in the engine, K.
    pub tolerance_k: f64,
    /// Whether the day is run once more for the residuals; otherwise they follow from the last step.
    pub run_for_residuals: bool,
}

impl Default for Precision {
    fn default() -> Self {
        Self { tolerance_k: 0.5, run_for_residuals: false }
    }
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
    /// What looks wrong with the readings as a whole.
    pub doubts: Vec<Doubt>,
}

impl Conditioned {
    /// Readings that were down-weighted, worst first.
    #[must_use]
    pub fn doubted(&self) -> Vec<&Residual> {
        let mut all: Vec<&Residual> = self.residuals.iter().filter(|r| r.widened > NAMED).collect();
        all.sort_by(|a, b| b.widened.total_cmp(&a.widened));
        all
    }

    /// Whether nothing was found that makes the whole answer doubtful.
    #[must_use]
    pub fn is_trusted(&self) -> bool {
        !self.doubts.iter().any(Doubt::spoils_the_answer)
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
    condition_with(known, options, &Precision::default())
}

/// As [`condition`], as exactly as asked for.
///
/// # Errors
/// As [`condition`].
pub fn condition_with(
    known: &Known<'_>,
    options: &ConditionOptions,
    precision: &Precision,
) -> Result<Conditioned, LearnError> {
    let prior = Prior::for_day(known.oven, known.drive);
    let mut vectors = Vectors::draw(known, &prior, options)?;
    let (mut residuals, mut doubts) = (Vec::new(), Vec::new());
    if !known.observations.is_empty() {
        let mut taking = Taking { known, options, precision, prior: &prior, not_used: Vec::new(), doubts: Vec::new() };
        let mut last = None;
        for number in 0..STEPS {
            last = Some(taking.step(&mut vectors, number)?);
        }
        let Taken { mut predicted, widened } = last.unwrap_or_default();
        if precision.run_for_residuals {
            predicted = taking.predict(&vectors, &[])?.1.into_iter().next().unwrap_or_default();
        }
        residuals = residuals_of(&known.observations, &predicted, &widened);
        doubts = std::mem::take(&mut taking.doubts);
        doubts.extend(disagree(&residuals));
    }
    let indices = 0..vectors.members.len();
    Ok(Conditioned {
        ensemble: vectors.ensemble(&prior, options.seed)?,
        instruments: indices.clone().map(|j| vectors.instruments(j).to_vec()).collect(),
        innovations: indices.map(|j| vectors.innovations(j).to_vec()).collect(),
        residuals,
        doubts,
    })
}

/// More readings contradict the others than not; those that are not used have their reason already.
fn disagree(residuals: &[Residual]) -> Option<Doubt> {
    let used: Vec<&Residual> = residuals.iter().filter(|r| r.widened < NOT_USED).collect();
    let doubted = used.iter().filter(|r| r.widened > NAMED).count();
    (doubted >= FEW && 2 * doubted > used.len()).then_some(Doubt::Disagree { doubted, of: used.len() })
}

/// Rows of predictions, one a member.
type Rows = Vec<Vec<f64>>;

/// What a step leaves.
#[derive(Debug, Default)]
struct Taken {
    /// Predictions as the step moved them.
    predicted: Rows,
    /// Widening of each reading.
    widened: Vec<f64>,
}

/// Readings being taken in.
struct Taking<'a> {
    known: &'a Known<'a>,
    options: &'a ConditionOptions,
    precision: &'a Precision,
    prior: &'a Prior,
    /// Readings that are not of what they say they are of, by number.
    not_used: Vec<usize>,
    doubts: Vec<Doubt>,
}

impl Taking<'_> {
    /// One step of the smoother; the first one also asks what is wrong with the readings as a whole.
    fn step(&mut self, vectors: &mut Vectors, number: usize) -> Result<Taken, LearnError> {
        let shifts: &[f64] = if number == 0 { &doubt::SHIFTS_S } else { &[] };
        let (used, mut rows) = self.predict(vectors, shifts)?;
        let predicted = rows.remove(0);
        if number == 0 {
            self.doubts = doubt::of_readings(self.known, &predicted, &rows);
            self.not_used = self.doubts.iter().flat_map(|doubt| doubt.not_used(&self.known.observations)).collect();
        }
        let (sigmas, widened) = self.errors(&predicted, number);
        let observations = &self.known.observations;
        let values: Vec<f64> = observations.iter().map(|o| o.value_c).collect();
        // Predictions move along with what they are made from.
        let joined = used.iter().zip(&predicted).map(|(&j, row)| {
            let mut member = std::mem::take(&mut vectors.members[j]);
            member.extend(row.iter().zip(&values).map(|(y, d)| if y.is_finite() { *y } else { *d }));
            member
        });
        let mut moving: Rows = joined.collect();
        let step = Step { inflation: STEPS as f64, taper: true, seed: self.options.seed, number };
        smoother::update(&mut moving, &predicted, &Readings { values, sigmas }, &step);
        let own = moving.first().map_or(0, |member| member.len() - observations.len());
        let predicted = moving.iter_mut().map(|member| member.split_off(own)).collect();
        for (j, member) in used.into_iter().zip(moving) {
            vectors.members[j] = member;
        }
        Ok(Taken { predicted, widened })
    }

    /// Errors with which readings are taken in, K, and the factor by which each was widened for contradicting the others.
    fn errors(&self, predicted: &Rows, number: usize) -> (Vec<f64>, Vec<f64>) {
        let observations = &self.known.observations;
        let own = (0..observations.len()).map(|i| {
            let wide = if self.not_used.contains(&i) { NOT_USED } else { 1.0 };
            wide * sided_sigma_k(self.known, &observations[i], moments(predicted, i).0)
        });
        let sigmas: Vec<f64> = own.collect();
        let values_c: Vec<f64> = observations.iter().map(|o| o.value_c).collect();
        // What is left to learn in this and later steps.
        let inflation = STEPS as f64 / (STEPS - number) as f64;
        let fit = misfit::fit(&Compared { predicted, values_c: &values_c, sigmas_k: &sigmas, inflation });
        let mut widened = fit.map_or_else(|| vec![1.0; sigmas.len()], |fit| fit.widened);
        let sigmas = sigmas.iter().zip(&widened).map(|(s, w)| s * w).collect();
        for &i in &self.not_used {
            widened[i] = NOT_USED;
        }
        (sigmas, widened)
    }

    /// Runs all members to the hour and predicts every reading at its own time and at times shifted by `shifts_s`: members
    /// that ran, and rows of predictions for each shift, none first.
    fn predict(&self, vectors: &Vectors, shifts_s: &[f64]) -> Result<(Vec<usize>, Vec<Rows>), LearnError> {
        let known = self.known;
        let shifts_s: Vec<f64> = std::iter::once(0.0).chain(shifts_s.iter().copied()).collect();
        let engine = outputs(known, &shifts_s, self.precision.tolerance_k);
        let mut drive = known.drive.clone();
        drive.events.retain(|event| event.at_s <= known.at_s);
        drive.end_s = known.at_s.max(1.0);
        let ensemble = vectors.ensemble(self.prior, self.options.seed)?;
        let run = ensemble.run(known.oven, &drive, &engine)?;
        let hidden = |j: usize| Hidden {
            instruments: vectors.instruments(j),
            innovations: vectors.innovations(j),
            probe_offset_k: ensemble.parameters[j].probe_offset_k,
        };
        let operator = Operator::new(known, &run, &engine, hidden, self.options.model_error);
        let rows = shifts_s.iter().map(|shift_s| {
            let mut rows = vec![Vec::with_capacity(known.observations.len()); run.used.len()];
            for o in &known.observations {
                let t = engine.output_times_s.partition_point(|t_s| *t_s < o.at_s + shift_s);
                let outside = o.at_s + shift_s < 0.0;
                for (row, shown_c) in rows.iter_mut().zip(operator.shown_c(t, o.target)) {
                    row.push(if outside { f64::NAN } else { as_read(o, shown_c) });
                }
            }
            rows
        });
        let rows = rows.collect();
        Ok((run.used.clone(), rows))
    }
}

/// "At least": nothing speaks against a member that is above the display's range.
fn as_read(o: &Observation, shown_c: f64) -> f64 {
    if o.at_least && shown_c > o.value_c { o.value_c } else { shown_c }
}

/// A reading's error, wider for a spot over flames or embers that shows more than is expected.
pub(crate) fn sided_sigma_k(known: &Known<'_>, o: &Observation, expected_c: f64) -> f64 {
    let above_k = above_k(o.target, o.value_c, known.ambient_c, Circumstances::at(known.drive, o.at_s));
    if o.value_c > expected_c { libm::hypot(o.sigma_k, above_k) } else { o.sigma_k }
}

/// Times and depths of the readings, at their own and at shifted times up to the hour.
fn outputs(known: &Known<'_>, shifts_s: &[f64], tolerance_k: f64) -> Options {
    let at = |shift_s: &f64| known.observations.iter().map(|o| o.at_s + shift_s).collect::<Vec<f64>>();
    let mut times_s: Vec<f64> = shifts_s.iter().flat_map(at).filter(|t| (0.0..=known.at_s).contains(t)).collect();
    times_s.sort_by(f64::total_cmp);
    times_s.dedup();
    let mut depths: Vec<Depth> = Vec::new();
    for o in &known.observations {
        if let Target::Masonry { part, depth_m } = o.target
            && !depths.contains(&Depth { part, depth_m })
        {
            depths.push(Depth { part, depth_m });
        }
    }
    Options { output_times_s: times_s, depths, tolerance_k, ..Options::default() }
}

/// Mean and spread of each reading's predictions.
pub(crate) fn moments(predicted: &[Vec<f64>], i: usize) -> (f64, f64) {
    let values: Vec<f64> = predicted.iter().map(|row| row[i]).filter(|y| y.is_finite()).collect();
    let n = values.len().max(1) as f64;
    let mean = values.iter().sum::<f64>() / n;
    (mean, (values.iter().map(|y| (y - mean) * (y - mean)).sum::<f64>() / n).sqrt())
}

fn residuals_of(observations: &[Observation], predicted: &[Vec<f64>], widened: &[f64]) -> Vec<Residual> {
    let of = |(i, (o, w)): (usize, (&Observation, &f64))| {
        let (predicted_c, spread_k) = moments(predicted, i);
        Residual { observation: o.clone(), predicted_c, spread_k, widened: *w }
    };
    observations.iter().zip(widened).enumerate().map(of).collect()
}
