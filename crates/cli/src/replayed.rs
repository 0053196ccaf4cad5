//! A finished day replayed: forecasts from its hours that know only what was written down by then, and their scores.

use crate::came::Came;
use crate::failure::Failure;
use jiff::{SignedDuration, Timestamp, ZonedDateTime};
use ovenfall_answer::{AnswerError, Draw, Inputs};
use ovenfall_learn::baseline::{Baseline, Earlier, Told, told};
use ovenfall_learn::replay::{CurveScore, Score, Seen, score, score_curve};
use ovenfall_learn::{Band, Fall, FallOptions, Situation};

/// How far ahead forecasts are scored, h.
pub const HORIZON_H: f64 = 8.0;

/// Heat in store as told at an hour, and as it was.
#[derive(Debug, Clone, Copy)]
pub struct StoreScore {
    /// Median told, kWh.
    pub told_kwh: f64,
    /// Ends of the middle nine tenths, kWh.
    pub range_kwh: (f64, f64),
    /// What was in store, kWh.
    pub was_kwh: f64,
}

impl StoreScore {
    /// Told less was, as a share of what was.
    pub fn off_share(&self) -> f64 {
        self.told_kwh / self.was_kwh - 1.0
    }

    /// Whether it was within the range.
    pub fn inside(&self) -> bool {
        (self.range_kwh.0..=self.range_kwh.1).contains(&self.was_kwh)
    }
}

/// One hour of a day, replayed.
#[derive(Debug)]
pub struct Replayed {
    /// The hour.
    pub at: ZonedDateTime,
    /// Minutes from shutting to the hour.
    pub after_shut_min: f64,
    /// How good it was; `None` where nothing came to hold it against.
    pub score: Option<Score>,
    /// Minutes from the hour to the last value it was held against.
    pub until_min: f64,
    /// Minutes from shutting to the largest miss.
    pub miss_after_shut_min: f64,
    /// Heat in store, where that is known.
    pub store: Option<StoreScore>,
    /// What the rules of thumb were told.
    pub told: Told,
    /// What came, on the times of `told`.
    pub seen: Vec<Seen>,
    /// What was assumed, in words.
    pub assumed: Vec<String>,
}

/// What a forecast from an hour says. It is given the day, and no way to what came of it.
fn forecast(inputs: &Inputs, at: Timestamp, draw: Draw) -> Result<(Situation, Fall), Failure> {
    let horizon_s = HORIZON_H * 3600.0;
    let mut situation = inputs.situation(at, horizon_s, draw)?;
    let options = FallOptions {
        members: draw.members,
        seed: draw.seed,
        past_step_s: (situation.driven.at_s / 200.0).max(300.0),
        ..FallOptions::default()
    };
    let fall = situation.fall(horizon_s, &options).map_err(|why| AnswerError::no_situation(inputs, why.into()))?;
    Ok((situation, fall))
}

/// Replays one hour. `shut` is when the day's door was shut, `earlier` what a similar day left.
pub fn replay(
    inputs: &Inputs,
    came: &Came,
    (at, shut): (&ZonedDateTime, Timestamp),
    earlier: Option<&Earlier>,
    draw: Draw,
) -> Result<Replayed, Failure> {
    let hour = at.timestamp();
    let (situation, fall) = forecast(inputs, hour, draw)?;
    let start = situation.driven.start;
    let seen = counted_from(came.after(hour, HORIZON_H * 3600.0), came.start, start);
    let shut_s = shut.duration_since(start).as_secs_f64();
    let mut told = told(&inputs.day, &situation.driven.drive, start, hour, shut_s, situation.ambient_c);
    told.earlier = earlier.cloned();
    let score = score(&fall.members.times_s, &fall.members.probe_c, &seen);
    Ok(Replayed {
        at: at.clone(),
        after_shut_min: hour.duration_since(shut).as_secs_f64() / 60.0,
        until_min: seen.last().map_or(0.0, |last| (last.point.at_s - told.at_s) / 60.0),
        miss_after_shut_min: score.map_or(0.0, |score| (score.miss.at_s - shut_s) / 60.0),
        score,
        store: came.store_kwh(hour).and_then(|was_kwh| store_score(&fall.ahead.store_kwh, was_kwh)),
        told,
        seen,
        assumed: situation.assumed.iter().map(|assumed| assumed.words(at.time_zone())).collect(),
    })
}

/// The hours of a day: so many minutes after shutting.
pub fn hour_after(shut: &ZonedDateTime, minutes: u32) -> ZonedDateTime {
    shut.checked_add(SignedDuration::from_mins(i64::from(minutes))).unwrap_or_else(|_| shut.clone())
}

/// The same values with their times counted from another start.
fn counted_from(seen: Vec<Seen>, from: Timestamp, start: Timestamp) -> Vec<Seen> {
    let shift_s = from.duration_since(start).as_secs_f64();
    let moved = seen.into_iter().map(|mut seen| {
        seen.point.at_s += shift_s;
        seen
    });
    moved.collect()
}

fn store_score(band: &Band, was_kwh: f64) -> Option<StoreScore> {
    let first = |line: &[f64]| line.first().copied();
    let range_kwh = (first(&band.p05)?, first(&band.p95)?);
    (was_kwh > 0.0).then_some(StoreScore { told_kwh: first(&band.p50)?, range_kwh, was_kwh })
}

/// A rule of thumb with its constants.
#[derive(Debug)]
pub struct Rule {
    /// The rule.
    pub baseline: Baseline,
    /// Textbook constants.
    pub textbook_values: Vec<f64>,
    /// Its best over all the hours replayed, in hindsight.
    pub best_values: Vec<f64>,
}

/// The rules of thumb, with the constants that suit these hours best.
pub fn rules(replayed: &[&Replayed]) -> Vec<Rule> {
    let rows: Vec<(&Told, &[Seen])> =
        replayed.iter().filter(|r| r.score.is_some()).map(|r| (&r.told, r.seen.as_slice())).collect();
    let rule =
        |baseline: Baseline| Rule { baseline, textbook_values: baseline.textbook(), best_values: baseline.best(&rows) };
    Baseline::ALL.into_iter().map(rule).collect()
}

impl Rule {
    /// How good it was from an hour on, with the textbook's constants or with its best.
    pub fn score(&self, replayed: &Replayed, best: bool) -> Option<CurveScore> {
        let times_s: Vec<f64> = replayed.seen.iter().map(|seen| seen.point.at_s).collect();
        let values = if best { &self.best_values } else { &self.textbook_values };
        score_curve(&self.baseline.forecast(&replayed.told, values, &times_s)?, &replayed.seen)
    }

    /// What it is called.
    pub const fn name(&self) -> &'static str {
        match self.baseline {
            Baseline::SpotsLess => "spots less a tenth",
            Baseline::Fitted => "fitted exponential",
            Baseline::SimilarDay => "last similar day",
        }
    }
}
