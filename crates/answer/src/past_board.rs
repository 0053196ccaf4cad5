//! A finished day looked back on: what was forecast at an hour of it, from what was known then, against what was read
//! afterwards.

use crate::board::{Figures, Picture};
use crate::entry_words;
use crate::error::AnswerError;
use crate::forecast::{Forecast, Request};
use crate::inputs::{Draw, Inputs};
use crate::json_parts::time;
use crate::pictures;
use crate::wall_clock::{day_and_hour, zone};
use jiff::{SignedDuration, Timestamp, ZonedDateTime};
use ovenfall_draw::past_day::{self, DoorStands, EntryKind, EntryMark, PastDayPicture};
use ovenfall_draw::theme::{Look, Mode};
use ovenfall_food::dish::Dish;
use ovenfall_learn::replay::{Point, Score, score, scored, shutting_s};
use ovenfall_record::day::{Done, DoorSet, Entry, What, WoodAmount};
use ovenfall_record::drive::drive;
use ovenfall_record::reading::Reading;
use serde::{Deserialize, Serialize};

/// How far ahead a forecast is held against what came, h.
const HORIZON_H: f64 = 12.0;
/// Distance of its times, min.
const STEP_MIN: f64 = 5.0;
/// How much of the time before it is drawn, min.
const PAST_MIN: f64 = 20.0;
/// Widths of the picture, px.
const NARROW_PX: f64 = 366.0;
const WIDE_PX: f64 = 820.0;

/// A forecast of a finished day, and what came.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PastBoard {
    /// The hour it was made at, with its offset.
    pub at: String,
    /// That hour in words.
    pub hour: String,
    /// How good it was.
    pub words: String,
    /// Forecast and readings.
    pub picture: Picture,
    /// What was assumed.
    pub notes: Vec<String>,
    /// SHA-256 over oven, day and pots, hexadecimal.
    pub input_sha256: String,
    /// Members it was computed on.
    pub members: usize,
}

/// The hour at which a day's oven was shut with the fire out; `None` while it has not been.
///
/// # Errors
/// When the day cannot be put together.
pub fn shut_at(inputs: &Inputs) -> Result<Option<ZonedDateTime>, AnswerError> {
    let last = inputs.day.entries.iter().map(|entry| entry.written.instant.max(entry.at.instant)).max();
    let Some(last) = last else { return Ok(None) };
    let driven = drive(&inputs.day, &inputs.pots, last, 0.0).map_err(AnswerError::Problems)?;
    let end_s = last.duration_since(driven.start).as_secs_f64();
    let shut = shutting_s(&driven.drive, end_s).and_then(|s| SignedDuration::try_from_secs_f64(s).ok());
    let shut = shut.and_then(|after| driven.start.checked_add(after).ok());
    Ok(shut.map(|shut| shut.to_zoned_datetime(zone(inputs))))
}

impl PastBoard {
    /// The forecast made at an hour of a day, knowing only what was written down by then, against what came.
    ///
    /// # Errors
    /// When the day cannot be put together or computed.
    pub fn compute(inputs: Inputs, at: ZonedDateTime, dishes: &[Dish], draw: Draw) -> Result<Self, AnswerError> {
        let forecast = Forecast::compute(inputs, at, Request { horizon_h: HORIZON_H, step_min: STEP_MIN, draw })?;
        Ok(Self {
            at: time(&forecast.at),
            hour: day_and_hour(&forecast.at),
            words: words(held_against(&forecast)),
            picture: picture(&forecast, dishes),
            notes: forecast.assumed.clone(),
            input_sha256: forecast.inputs.sha256.clone(),
            members: draw.members,
        })
    }
}

/// The forecast against what the probe read later with the door shut.
fn held_against(forecast: &Forecast) -> Option<Score> {
    let (at, start) = (forecast.at.timestamp(), forecast.situation.driven.start);
    let point = |entry: &&Entry| match entry.reading() {
        Some(Reading::Probe { temperature }) if !temperature.at_least && entry.written.instant > at => {
            Some(Point { at_s: entry.at.seconds_since(start), value_c: temperature.c() })
        }
        _ => None,
    };
    let points: Vec<Point> = forecast.inputs.day.standing().iter().filter_map(point).collect();
    // The door as it was written down, not as the forecast took it to be.
    let last = forecast.inputs.day.entries.iter().map(|entry| entry.written.instant.max(entry.at.instant)).max()?;
    let really = drive(&forecast.inputs.day, &forecast.inputs.pots, last, 0.0).ok()?;
    let from_s = forecast.situation.driven.at_s;
    let seen = scored(&points, &really.drive.events, from_s, from_s + HORIZON_H * 3600.0);
    score(&forecast.fall.members.times_s, &forecast.fall.members.probe_c, &seen)
}

fn words(score: Option<Score>) -> String {
    let Some(score) = score else {
        return "Nothing was read on the chamber probe afterwards with the door shut: there is nothing to hold it against."
            .to_owned();
    };
    let readings = if score.count == 1 { "reading" } else { "readings" };
    let side = match score.mean_off_k {
        off if off >= 0.5 => format!("{off:.0} K too high on the whole"),
        off if off <= -0.5 => format!("{:.0} K too low on the whole", -off),
        _ => "neither too high nor too low on the whole".to_owned(),
    };
    format!(
        "Held against {} {readings} of the chamber probe with the door shut: the middle of the forecast missed by {:.0} K \
         (root of the mean square), {side}; {:.0} % of the time the probe lay inside 9 chances in 10.",
        score.count,
        score.rms_k,
        score.inside_ninety_share * 100.0
    )
}

fn picture(forecast: &Forecast, dishes: &[Dish]) -> Picture {
    let fall = pictures::fall(forecast, dishes, PAST_MIN);
    let standing = forecast.inputs.day.standing();
    let read = standing.iter().filter_map(|entry| entry.reading().map(|reading| (*entry, reading)));
    let picture = PastDayPicture {
        title: fall.title,
        clock: fall.clock,
        times_min: fall.times_min,
        probe_c: fall.probe_c,
        floor_c: fall.floor_c,
        crown_c: fall.crown_c,
        readings: pictures::marks(forecast, read),
        entries: standing.iter().filter_map(|entry| mark(entry, forecast.at.timestamp())).collect(),
        placings: fall.placings,
    };
    let look = |width_px: f64, id: &str| Look::new(width_px, Mode::Page, id).without_heading();
    let narrow = past_day::svg(&picture, &look(NARROW_PX, "past-narrow"));
    let wide = past_day::svg(&picture, &look(WIDE_PX, "past-wide"));
    Picture {
        figure: past_day::touch(&picture).html("Forecast, and what came", &narrow, Some(&wide)),
        tables: past_day::tables(&picture).into_iter().map(Figures::from).collect(),
    }
}

/// What was done, as far as the picture marks it.
fn mark(entry: &Entry, at: Timestamp) -> Option<EntryMark> {
    let What::Done(done) = &entry.what else { return None };
    let kind = match done {
        Done::WoodOn { amount: WoodAmount::Weighed(mass), .. } => EntryKind::Wood { mass_kg: Some(mass.kg()) },
        Done::WoodOn { .. } => EntryKind::Wood { mass_kg: None },
        Done::FireMoved(_) | Done::EmbersSpread | Done::RakedOut => EntryKind::Fire,
        Done::Door(DoorSet::Shut) => EntryKind::Door(DoorStands::Shut),
        Done::Door(DoorSet::Ajar { .. }) => EntryKind::Door(DoorStands::Ajar),
        Done::Door(DoorSet::Open) => EntryKind::Door(DoorStands::Open),
        Done::Swept | Done::Swabbed { .. } | Done::ToppedUp { .. } => EntryKind::Other,
        Done::Placed { .. } | Done::Turned { .. } | Done::TakenOut { .. } => return None,
    };
    Some(EntryMark { at_min: entry.at.seconds_since(at) / 60.0, kind, words: entry_words::entry(entry) })
}
