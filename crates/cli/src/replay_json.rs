//! A replay as JSON, as documented in `docs/formats.md`. What is not known is null.

use crate::commands::replay::ReplayedDay;
use crate::replayed::{HORIZON_H, Replayed, Rule, StoreScore};
use ovenfall_answer::Draw;
use ovenfall_answer::{rounded, time};
use ovenfall_learn::replay::{CurveScore, Score, skill_share};
use serde::Serialize;

/// Replayed days.
#[derive(Debug, Serialize)]
pub struct ReplayJson {
    horizon_h: f64,
    days: Vec<DayJson>,
    rules: Vec<RuleJson>,
    provenance: Provenance,
}

#[derive(Debug, Serialize)]
struct DayJson {
    day: String,
    oven: String,
    shut: String,
    held_against: &'static str,
    input_sha256: String,
    hours: Vec<HourJson>,
}

#[derive(Debug, Serialize)]
struct HourJson {
    at: String,
    after_shut_min: Option<f64>,
    scored: Option<ScoreJson>,
    store: Option<StoreJson>,
    rules: Vec<RuleScoreJson>,
    assumed: Vec<String>,
}

#[derive(Debug, Serialize)]
struct ScoreJson {
    values: usize,
    until_min: Option<f64>,
    rms_k: Option<f64>,
    mean_off_k: Option<f64>,
    crps_k: Option<f64>,
    inside_half_share: Option<f64>,
    inside_ninety_share: Option<f64>,
    width_ninety_k: Option<f64>,
    largest_miss_k: Option<f64>,
    largest_miss_after_shut_min: Option<f64>,
}

#[derive(Debug, Serialize)]
struct StoreJson {
    told_kwh: Option<f64>,
    p05_kwh: Option<f64>,
    p95_kwh: Option<f64>,
    was_kwh: Option<f64>,
    off_percent: Option<f64>,
    inside: bool,
}

#[derive(Debug, Serialize)]
struct RuleScoreJson {
    rule: &'static str,
    rms_k: Option<f64>,
    crps_k: Option<f64>,
    skill: Option<f64>,
    crps_skill: Option<f64>,
    hindsight_rms_k: Option<f64>,
    hindsight_crps_k: Option<f64>,
    hindsight_skill: Option<f64>,
    hindsight_crps_skill: Option<f64>,
}

#[derive(Debug, Serialize)]
struct RuleJson {
    rule: &'static str,
    constants: Vec<ConstantJson>,
}

#[derive(Debug, Serialize)]
struct ConstantJson {
    name: &'static str,
    textbook: Option<f64>,
    hindsight: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Provenance {
    version: &'static str,
    seed: u64,
    members: usize,
}

impl ReplayJson {
    /// The JSON of replayed days.
    pub fn new(days: &[ReplayedDay], rules: &[Rule], draw: Draw) -> Self {
        Self {
            horizon_h: HORIZON_H,
            days: days.iter().map(|day| DayJson::new(day, rules)).collect(),
            rules: rules.iter().map(RuleJson::new).collect(),
            provenance: Provenance { version: env!("CARGO_PKG_VERSION"), seed: draw.seed, members: draw.members },
        }
    }
}

impl DayJson {
    fn new(day: &ReplayedDay, rules: &[Rule]) -> Self {
        Self {
            day: day.name.clone(),
            oven: day.inputs.oven.description.name.clone(),
            shut: time(&day.shut),
            held_against: if day.came.without_errors() { "probe without errors" } else { "later readings" },
            input_sha256: day.inputs.sha256.clone(),
            hours: day.hours.iter().map(|hour| HourJson::new(hour, rules)).collect(),
        }
    }
}

impl HourJson {
    fn new(hour: &Replayed, rules: &[Rule]) -> Self {
        Self {
            at: time(&hour.at),
            after_shut_min: rounded(hour.after_shut_min),
            scored: hour.score.map(|score| ScoreJson::new(hour, score)),
            store: hour.store.map(StoreJson::new),
            rules: rules.iter().map(|rule| RuleScoreJson::new(rule, hour)).collect(),
            assumed: hour.assumed.clone(),
        }
    }
}

impl ScoreJson {
    fn new(hour: &Replayed, score: Score) -> Self {
        Self {
            values: score.count,
            until_min: rounded(hour.until_min),
            rms_k: rounded(score.rms_k),
            mean_off_k: rounded(score.mean_off_k),
            crps_k: rounded(score.crps_k),
            inside_half_share: rounded(score.inside_half_share),
            inside_ninety_share: rounded(score.inside_ninety_share),
            width_ninety_k: rounded(score.width_ninety_k),
            largest_miss_k: rounded(score.miss.off_k),
            largest_miss_after_shut_min: rounded(hour.miss_after_shut_min),
        }
    }
}

impl StoreJson {
    fn new(store: StoreScore) -> Self {
        Self {
            told_kwh: rounded(store.told_kwh),
            p05_kwh: rounded(store.range_kwh.0),
            p95_kwh: rounded(store.range_kwh.1),
            was_kwh: rounded(store.was_kwh),
            off_percent: rounded(100.0 * store.off_share()),
            inside: store.inside(),
        }
    }
}

impl RuleScoreJson {
    fn new(rule: &Rule, hour: &Replayed) -> Self {
        let (textbook, best) = (rule.score(hour, false), rule.score(hour, true));
        let of = |score: Option<CurveScore>, part: fn(CurveScore) -> f64| score.map(part).and_then(rounded);
        let skill = |own: fn(Score) -> f64, other: Option<f64>| {
            hour.score.and_then(|score| skill_share(own(score), other?)).and_then(rounded)
        };
        Self {
            rule: rule.name(),
            rms_k: of(textbook, |s| s.rms_k),
            crps_k: of(textbook, |s| s.crps_k),
            skill: skill(|s| s.rms_k, textbook.map(|s| s.rms_k)),
            crps_skill: skill(|s| s.crps_k, textbook.map(|s| s.crps_k)),
            hindsight_rms_k: of(best, |s| s.rms_k),
            hindsight_crps_k: of(best, |s| s.crps_k),
            hindsight_skill: skill(|s| s.rms_k, best.map(|s| s.rms_k)),
            hindsight_crps_skill: skill(|s| s.crps_k, best.map(|s| s.crps_k)),
        }
    }
}

impl RuleJson {
    fn new(rule: &Rule) -> Self {
        let constants = rule.baseline.constants().iter().enumerate();
        let constant = |(i, constant): (usize, &ovenfall_learn::baseline::Constant)| ConstantJson {
            name: constant.name,
            textbook: rule.textbook_values.get(i).copied().and_then(rounded),
            hindsight: rule.best_values.get(i).copied().and_then(rounded),
        };
        Self { rule: rule.name(), constants: constants.map(constant).collect() }
    }
}
