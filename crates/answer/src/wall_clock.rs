//! The clock on the wall: which zone an oven's hours are in, what an hour on the command line means, hours in words.

use crate::error::AnswerError;
use crate::inputs::Inputs;
use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};
use ovenfall_draw::{Clock, ClockChange};
use ovenfall_record::moment::{Moment, MomentFault};

/// The oven's time zone; where the oven file says none, the offset the day was last written in.
pub fn zone(inputs: &Inputs) -> TimeZone {
    let last = inputs.day.entries.iter().max_by_key(|entry| entry.written.instant);
    match (&inputs.oven.sheet.time_zone, last) {
        (None, Some(entry)) => entry.written.offset.to_time_zone(),
        _ => inputs.oven.time_zone.clone(),
    }
}

/// The hour asked about: as given, or when the last entry was written down.
pub fn hour_asked(inputs: &Inputs, given: Option<&str>) -> Result<ZonedDateTime, AnswerError> {
    let zone = zone(inputs);
    let Some(given) = given else {
        let last = inputs.day.entries.iter().map(|entry| entry.written.instant).max();
        return Ok(last.unwrap_or(Timestamp::UNIX_EPOCH).to_zoned_datetime(zone));
    };
    let Some(first) = inputs.day.standing().first().map(|entry| entry.at.instant) else {
        return Err(wrong(given, "the day has no entry", "write the day down first"));
    };
    match (Moment::parse(given.trim()), given.trim().parse::<Time>()) {
        (Ok(moment), _) => Ok(moment.instant.to_zoned_datetime(zone)),
        (Err(_), Ok(time)) if given.len() <= 8 => on_the_day(given, time, &first.to_zoned_datetime(zone)),
        (Err(fault), _) => {
            let why = match fault {
                MomentFault::NoOffset => "the offset from UTC is missing, as +01:00",
                MomentFault::NoTimeOfDay => "the time of day is missing",
                MomentFault::OutOfRange => "the year or the offset is outside the limits",
                MomentFault::NotATime => "this is not a time",
            };
            Err(wrong(given, why, "17:20 on the oven's clock, or a full time such as 2026-06-13T17:20:00+01:00"))
        }
    }
}

fn wrong(given: &str, why: &str, suggestion: &str) -> AnswerError {
    AnswerError::Hour { given: given.to_owned(), why: why.to_owned(), suggestion: suggestion.to_owned() }
}

/// A time of day on the date of the first entry, or on the next one where it is before that entry.
fn on_the_day(given: &str, time: Time, first: &ZonedDateTime) -> Result<ZonedDateTime, AnswerError> {
    let on = |date: Date| date.to_datetime(time).to_zoned_datetime(first.time_zone().clone());
    let same = on(first.date());
    let at = match same {
        Ok(at) if at.timestamp() >= first.timestamp() => Ok(at),
        _ => first.date().tomorrow().and_then(on),
    };
    at.map_err(|error| wrong(given, &error.to_string(), "a full time such as 2026-06-13T17:20:00+01:00"))
}

/// The clock for pictures, with the change of summer time that falls into them.
pub fn clock(at: &ZonedDateTime) -> Clock {
    let time = at.time();
    let seconds = f64::from(time.second());
    let zone = at.time_zone().iana_name().map_or_else(|| format!("UTC{}", at.offset()), str::to_owned);
    Clock {
        now_of_day_min: f64::from(time.hour()) * 60.0 + f64::from(time.minute()) + seconds / 60.0,
        weekday_monday0: u8::try_from(at.weekday().to_monday_zero_offset()).ok(),
        zone: if zone == "UTC+00" { "UTC".to_owned() } else { zone },
        change: change(at),
    }
}

/// The change of summer time nearest to a time.
fn change(at: &ZonedDateTime) -> Option<ClockChange> {
    let zone = at.time_zone();
    let next = zone.following(at.timestamp()).next().map(|change| change.timestamp());
    let last = zone.preceding(at.timestamp()).next().map(|change| change.timestamp());
    let after_min = |when: Timestamp| when.duration_since(at.timestamp()).as_secs_f64() / 60.0;
    let near = [next, last].into_iter().flatten().min_by(|a, b| after_min(*a).abs().total_cmp(&after_min(*b).abs()))?;
    let before = near.checked_sub(jiff::SignedDuration::from_secs(1)).ok()?;
    let jump_s = zone.to_offset(near).seconds() - zone.to_offset(before).seconds();
    Some(ClockChange { after_now_min: after_min(near), by_min: f64::from(jump_s) / 60.0 })
}

/// Day and hour in words: `Saturday 13 June, 17:20`.
pub fn day_and_hour(at: &ZonedDateTime) -> String {
    at.strftime("%A %-d %B, %H:%M").to_string()
}
