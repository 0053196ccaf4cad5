//! Synthetic days: a member drawn from the prior is the truth, model error and instruments included; its readings are written
//! into a day, whole or spoiled.

use crate::day::{HOUR_S, SHUT_S, day, oven};
use jiff::tz::Offset;
use jiff::{SignedDuration, Timestamp};
use ovenfall_engine::description::OvenDescription;
use ovenfall_engine::drive::{Action, Drive};
use ovenfall_engine::simulate::Options;
use ovenfall_learn::instrument::INSTRUMENTS;
use ovenfall_learn::model_error::knots;
use ovenfall_learn::observation::{Circumstances, Target, sigma_k};
use ovenfall_learn::operator::{Hidden, Operator, predicted};
use ovenfall_learn::random::{Purpose, generator, standard_normal, uniform};
use ovenfall_learn::{
    ConditionOptions, Conditioned, Ensemble, Fall, FallOptions, Known, ModelError, Observation, Prior, condition,
    fall_conditioned, observations,
};
use ovenfall_record::day::{Day, Entry, What};
use ovenfall_record::moment::Moment;
use ovenfall_record::reading::{Reading, Spot, Temperature};

/// How far ahead is judged, s.
pub const AHEAD_S: f64 = 4.0 * HOUR_S;
/// When spots are read, h: twice over the fire, after raking out, and when the door is opened for the pots.
const ROUNDS_H: [f64; 4] = [1.9, 2.6, 3.05, 3.51];

/// What is wrong with the readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fault {
    /// Nothing.
    None,
    /// This share of the spots is off by 80 to 200 K either way.
    Outliers(f64),
    /// No reading in the two hours before the last half-hour.
    Gap,
    /// All readings are stamped so many seconds late (early when negative).
    Clock(f64),
    /// The logger of the chamber probe stamps so many seconds late (early when negative); all else is right.
    ProbeClock(f64),
    /// All that was done or read from raking out on is stamped so many seconds late.
    AllLater(f64),
    /// The chamber probe hangs in the first pot from its placing on.
    ProbeInPot,
}

/// A day to be forecast.
#[derive(Debug, Clone, Copy)]
pub struct Case {
    /// Draws the truth and the noise.
    pub seed: u64,
    /// The hour asked about, s.
    pub at_s: f64,
    /// What is wrong.
    pub fault: Fault,
    /// Members of the forecast.
    pub members: usize,
    /// Minutes between readings of the probe.
    pub probe_every_min: f64,
}

impl Case {
    /// Two hours after the door was shut over the pots.
    pub fn new(seed: u64, fault: Fault) -> Self {
        Self { seed, at_s: SHUT_S + 2.0 * HOUR_S, fault, members: 64, probe_every_min: 10.0 }
    }
}

/// A forecast beside the truth.
pub struct Outcome {
    pub conditioned: Conditioned,
    /// Root mean square of median less truth, K.
    pub rms_k: f64,
    /// Share of the truth inside the band.
    pub inside: f64,
    /// Mean width of the band, K.
    pub width_k: f64,
}

/// One reading of the truth.
#[derive(Debug, Clone, Copy)]
struct Read {
    at_s: f64,
    target: Target,
    shown_c: f64,
}

fn start() -> Timestamp {
    Timestamp::from_second(1_768_032_000).unwrap()
}

fn reading(read: &Read) -> Reading {
    let temperature = Temperature::celsius(read.shown_c);
    match read.target {
        Target::Spot(spot) => Reading::Spot { spot, temperature },
        _ => Reading::Probe { temperature },
    }
}

/// The truth: what the probe will show ahead (without its offset), hour by hour, and all readings up to the hour.
struct Truth {
    ahead_c: Vec<f64>,
    reads: Vec<Read>,
}

impl Truth {
    fn of(case: &Case) -> Self {
        let (oven, drive) = (oven(), day());
        let truth = Ensemble::draw(&Prior::for_day(&oven, &drive), 1, 1000 + case.seed).unwrap();
        let noise = &mut generator(case.seed, Purpose::Readings, 77);
        let mut normals = |n: usize| (0..n).map(|_| standard_normal(noise)).collect::<Vec<f64>>();
        let (instruments, innovations) = (normals(INSTRUMENTS), normals(knots(case.at_s + AHEAD_S)));
        let hidden = |_| Hidden {
            instruments: &instruments,
            innovations: &innovations,
            probe_offset_k: truth.parameters[0].probe_offset_k,
        };
        let step_s = case.probe_every_min * 60.0;
        let probe_s = (1..).map(|k| f64::from(k) * step_s).take_while(|t_s| *t_s <= case.at_s);
        let mut wanted: Vec<(f64, Target)> = probe_s.map(|t_s| (t_s, Target::Probe)).collect();
        for hour in ROUNDS_H {
            wanted.extend(Spot::NAMES.iter().map(|(spot, _)| (hour * HOUR_S, Target::Spot(*spot))));
        }
        wanted.sort_by(|a, b| a.0.total_cmp(&b.0));
        let ahead_s: Vec<f64> = (0..=4).map(|k| case.at_s + f64::from(k) * AHEAD_S / 4.0).collect();
        let mut times_s: Vec<f64> = wanted.iter().map(|(t_s, _)| *t_s).chain(ahead_s.iter().copied()).collect();
        times_s.sort_by(f64::total_cmp);
        times_s.dedup();
        let outputs = Options { output_times_s: times_s.clone(), ..Options::default() };
        let run = truth.run(&oven, &Drive { end_s: case.at_s + AHEAD_S, ..drive.clone() }, &outputs).unwrap();
        let ambient_c = oven.ambient_c;
        let known = Known {
            oven: &oven,
            drive: &drive,
            at_s: case.at_s,
            observations: Vec::new(),
            infrared_setting: None,
            ambient_c,
        };
        let operator = Operator::new(&known, &run, &outputs, hidden, ModelError::default());
        let number = |t_s: f64| times_s.partition_point(|t| *t < t_s);
        let noisy = |(at_s, target): (f64, Target)| {
            let hangs_in = case.fault == Fault::ProbeInPot && target == Target::Probe && at_s > SHUT_S;
            let seen = if hangs_in { Target::Liquid(0) } else { target };
            let shown_c = operator.shown_c(number(at_s), seen)[0];
            let error = if hangs_in { 1.0 } else { error_k(target, shown_c, ambient_c, &drive, at_s) };
            Read { at_s, target, shown_c: shown_c + error * standard_normal(noise) }
        };
        let reads = wanted.into_iter().map(noisy).collect();
        let offset_k = truth.parameters[0].probe_offset_k;
        let ahead = ahead_s.iter().map(|t_s| operator.shown_c(number(*t_s), Target::Probe)[0] - offset_k);
        Self { ahead_c: ahead.collect(), reads }
    }
}

fn error_k(target: Target, shown_c: f64, ambient_c: f64, drive: &Drive, at_s: f64) -> f64 {
    sigma_k(target, shown_c, ambient_c, Circumstances::at(drive, at_s))
}

/// Spoils readings and drive as the fault has it.
fn spoil(case: &Case, reads: &mut Vec<Read>, drive: &mut Drive) {
    let draw = &mut generator(case.seed, Purpose::Readings, 99);
    match case.fault {
        Fault::None | Fault::ProbeInPot => {}
        Fault::Outliers(share) => {
            for read in reads.iter_mut().filter(|read| matches!(read.target, Target::Spot(_))) {
                let (hit, size_k, up) = (uniform(draw) < share, 80.0 + 120.0 * uniform(draw), uniform(draw) < 0.5);
                if hit {
                    read.shown_c += if up { size_k } else { -size_k };
                }
            }
        }
        Fault::Gap => {
            let gap_s = case.at_s - 2.5 * HOUR_S..case.at_s - 0.5 * HOUR_S;
            reads.retain(|read| !gap_s.contains(&read.at_s));
        }
        Fault::Clock(late_s) => {
            reads.iter_mut().for_each(|read| read.at_s += late_s);
            reads.retain(|read| read.at_s >= 0.0);
        }
        Fault::ProbeClock(late_s) => {
            reads.iter_mut().filter(|read| read.target == Target::Probe).for_each(|read| read.at_s += late_s);
            reads.retain(|read| read.at_s >= 0.0);
            reads.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
        }
        Fault::AllLater(late_s) => {
            let raked = drive.events.iter().find(|event| event.action == Action::RakeOut).unwrap().at_s;
            reads.iter_mut().filter(|read| read.at_s >= raked).for_each(|read| read.at_s += late_s);
            drive.events.iter_mut().filter(|event| event.at_s >= raked).for_each(|event| event.at_s += late_s);
        }
    }
}

fn written(reads: &[Read]) -> Day {
    let entry = |(number, read): (usize, &Read)| {
        let at = Moment::new(start() + SignedDuration::from_secs_f64(read.at_s), Offset::UTC);
        let what = What::Reading(reading(read));
        Entry { id: format!("r{number}"), at, written: at, what, note: String::new(), line: 0 }
    };
    Day { file: "day.csv".into(), entries: reads.iter().enumerate().map(entry).collect(), warnings: Vec::new() }
}

/// A case with what a cook would have of it, and what comes.
pub struct Prepared {
    case: Case,
    oven: OvenDescription,
    drive: Drive,
    pub observations: Vec<Observation>,
    ahead_c: Vec<f64>,
}

impl Prepared {
    pub fn new(case: &Case) -> Self {
        let (oven, mut drive) = (oven(), day());
        let mut truth = Truth::of(case);
        spoil(case, &mut truth.reads, &mut drive);
        let at = start() + SignedDuration::from_secs_f64(case.at_s);
        let observations = observations(&written(&truth.reads), &drive, start(), at, oven.ambient_c, None);
        Self { case: *case, oven, drive, observations, ahead_c: truth.ahead_c }
    }

    fn known(&self, observations: Vec<Observation>) -> Known<'_> {
        let (oven, drive, at_s) = (&self.oven, &self.drive, self.case.at_s);
        Known { oven, drive, at_s, observations, infrared_setting: None, ambient_c: oven.ambient_c }
    }

    /// Takes readings in and goes on from there.
    pub fn forecast(&self, observations: Vec<Observation>) -> (Conditioned, Fall) {
        let Case { at_s, members, .. } = self.case;
        let options = ConditionOptions { members, seed: 3, model_error: ModelError::default(), end_s: at_s + AHEAD_S };
        let conditioned = condition(&self.known(observations), &options).unwrap();
        let options = FallOptions { members, seed: 3, output_step_s: AHEAD_S / 4.0, ..FallOptions::default() };
        let fall = fall_conditioned(&conditioned, &self.oven, &self.drive, at_s, AHEAD_S, &options).unwrap();
        (conditioned, fall)
    }

    /// What every member says to a reading that is not taken in, °C.
    pub fn shown_c(&self, conditioned: &Conditioned, reading: &Observation) -> Vec<f64> {
        let outputs = Options { output_times_s: vec![reading.at_s], ..Options::default() };
        let drive = Drive { end_s: self.case.at_s, ..self.drive.clone() };
        let run = conditioned.ensemble.run(&self.oven, &drive, &outputs).unwrap();
        let what = (0, reading.target);
        predicted(&run, &outputs, &self.known(Vec::new()), conditioned, ModelError::default(), what)
    }
}

/// Forecasts a case from its readings.
pub fn forecast(case: &Case) -> Outcome {
    let prepared = Prepared::new(case);
    let (conditioned, fall) = prepared.forecast(prepared.observations.clone());
    let (band, ahead_c) = (&fall.ahead.probe_c, &prepared.ahead_c);
    let n = ahead_c.len() as f64;
    let square: f64 = ahead_c.iter().zip(&band.p50).map(|(t, p)| (t - p) * (t - p)).sum();
    let within = ahead_c.iter().enumerate().filter(|(i, t)| (band.p05[*i]..=band.p95[*i]).contains(t)).count();
    let width: f64 = band.p95.iter().zip(&band.p05).map(|(high, low)| high - low).sum();
    let (rms_k, inside, width_k) = ((square / n).sqrt(), within as f64 / n, width / n);
    Outcome { conditioned, rms_k, inside, width_k }
}
