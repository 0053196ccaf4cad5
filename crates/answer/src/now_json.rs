//! What is in the oven as JSON, as documented in `docs/formats.md`. What is not a number is null.

use crate::json_parts::{Spread, rounded, time};
use crate::next_words::what_to_do;
use crate::oven_now::OvenNow;
use crate::{next_words, now_words};
use ovenfall_engine::drive::Door;
use ovenfall_engine::state::Part;
use ovenfall_learn::next_reading::{Effort, Gain, Question};
use ovenfall_learn::now::Profile;
use serde::Serialize;

/// What is in the oven.
#[derive(Debug, Serialize)]
pub struct NowJson {
    at: String,
    door: &'static str,
    fire_in: bool,
    inside: Vec<String>,
    sentences: Vec<String>,
    store_kwh: Spread,
    store_above: Vec<StoreAboveJson>,
    depth_of_heat: Option<Spread>,
    probe_c: Spread,
    floor_c: Spread,
    crown_c: Spread,
    fire_side_c: Spread,
    evened_out: EvenedOutJson,
    profiles: Vec<ProfileJson>,
    next_reading: NextJson,
    trusted: bool,
    assumed: Vec<String>,
    cautions: Vec<String>,
    provenance: Provenance,
}

#[derive(Debug, Serialize)]
struct StoreAboveJson {
    above_c: f64,
    store_kwh: Spread,
}

#[derive(Debug, Serialize)]
struct EvenedOutJson {
    after_min: Spread,
    probe_c: Spread,
    store_kwh: Spread,
    within_two_hours_share: f64,
}

#[derive(Debug, Serialize)]
struct ProfileJson {
    part: &'static str,
    depth_mm: Vec<Option<f64>>,
    p05: Vec<Option<f64>>,
    p25: Vec<Option<f64>>,
    p50: Vec<Option<f64>>,
    p75: Vec<Option<f64>>,
    p95: Vec<Option<f64>>,
}

#[derive(Debug, Serialize)]
struct NextJson {
    about: String,
    unit: &'static str,
    now: Option<Spread>,
    chance: Option<f64>,
    readings: Vec<ReadingJson>,
}

#[derive(Debug, Serialize)]
struct ReadingJson {
    what: String,
    after_min: f64,
    effort: &'static str,
    shows_c: Spread,
    left_share: Option<f64>,
    chance_after: Option<[f64; 2]>,
}

#[derive(Debug, Serialize)]
struct Provenance {
    version: &'static str,
    input_sha256: String,
    seed: u64,
    members: usize,
    readings_used: usize,
}

fn line(values: &[f64]) -> Vec<Option<f64>> {
    values.iter().map(|value| rounded(*value)).collect()
}

fn profile(profile: &Profile) -> ProfileJson {
    let t = &profile.temperature_c;
    let depths_mm: Vec<f64> = profile.depths_m.iter().map(|m| m * 1000.0).collect();
    ProfileJson {
        part: match profile.part {
            Part::Floor => "floor",
            Part::Crown => "crown",
            Part::FireSide => "fire side",
            Part::Door => "door",
        },
        depth_mm: line(&depths_mm),
        p05: line(&t.p05),
        p25: line(&t.p25),
        p50: line(&t.p50),
        p75: line(&t.p75),
        p95: line(&t.p95),
    }
}

fn reading(answer: &OvenNow, gain: &Gain) -> ReadingJson {
    ReadingJson {
        what: what_to_do(answer, &gain.candidate),
        after_min: gain.candidate.after_min,
        effort: match gain.candidate.effort {
            Effort::Nothing => "none",
            Effort::OpenForAMoment => "open for a moment",
            Effort::KeepShut => "keep shut",
            Effort::Shut => "shut",
            Effort::RakeOutAndShut => "rake out and shut",
        },
        shows_c: gain.shows_c.into(),
        left_share: rounded(gain.left_share),
        chance_after: gain.chance_shares.and_then(|(low, high)| Some([rounded(low)?, rounded(high)?])),
    }
}

fn next(answer: &OvenNow) -> NextJson {
    let ranking = answer.ranking.as_ref();
    NextJson {
        about: answer.next.words.clone(),
        unit: if answer.next.question == Question::Store { "kWh" } else { "°C" },
        now: ranking.map(|ranking| ranking.sought.into()),
        chance: ranking.and_then(|ranking| ranking.chance_share).and_then(rounded),
        readings: ranking.map_or_else(Vec::new, |r| r.gains.iter().map(|gain| reading(answer, gain)).collect()),
    }
}

impl NowJson {
    /// The JSON of an answer.
    pub fn new(answer: &OvenNow) -> Self {
        let (now, evened) = (&answer.now, &answer.now.evened_out);
        let placings = &answer.situation.driven.drive.placings;
        let mut sentences = now_words::sentences(answer);
        sentences.push(next_words::sentence(answer));
        let above = now.store_above.iter();
        Self {
            at: time(&answer.at),
            door: match now.door {
                Door::Shut => "shut",
                Door::Ajar(_) => "ajar",
                Door::Open => "open",
            },
            fire_in: now.fire_in,
            inside: now.inside.iter().filter_map(|i| placings.get(*i)).map(|placing| placing.name.clone()).collect(),
            sentences,
            store_kwh: now.store_kwh.into(),
            store_above: above
                .map(|above| StoreAboveJson { above_c: above.threshold_c, store_kwh: above.store_kwh.into() })
                .collect(),
            depth_of_heat: now.depth_of_heat.map(Spread::from),
            probe_c: now.probe_c.into(),
            floor_c: now.floor_c.into(),
            crown_c: now.crown_c.into(),
            fire_side_c: now.fire_side_c.into(),
            evened_out: EvenedOutJson {
                after_min: evened.after_min.into(),
                probe_c: evened.probe_c.into(),
                store_kwh: evened.store_kwh.into(),
                within_two_hours_share: evened.within_two_hours_share,
            },
            profiles: now.profiles.iter().map(profile).collect(),
            next_reading: next(answer),
            trusted: answer.situation.members.is_trusted(),
            assumed: answer.assumed.clone(),
            cautions: now_words::cautions(answer),
            provenance: Provenance {
                version: env!("CARGO_PKG_VERSION"),
                input_sha256: answer.inputs.sha256.clone(),
                seed: answer.seed,
                members: answer.members,
                readings_used: answer.readings_used(),
            },
        }
    }
}
