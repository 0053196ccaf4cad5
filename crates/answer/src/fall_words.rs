//! A forecast in words, for a cook.

use crate::forecast::Forecast;
use crate::placings::Range;
use crate::wall_clock::{clock, day_and_hour};
use comfy_table::{CellAlignment, Table, presets};
use ovenfall_engine::drive::Door;
use ovenfall_learn::{Band, Situation};
use ovenfall_record::reading::Reading;

/// Hours ahead that are told.
const TOLD_H: [f64; 3] = [2.0, 4.0, 8.0];
/// About so many rows has the table.
const ROWS_OF_TABLE: f64 = 12.0;
/// A reading older than this is not "just read", min.
const JUST_READ_MIN: f64 = 20.0;
/// A reading this fresh is held against the forecast, min.
const COMPARED_MIN: f64 = 5.0;
/// After shutting the probe needs a while to follow, min.
const PROBE_FOLLOWS_MIN: f64 = 15.0;

fn range(forecast: &Forecast, band: &Band, after_min: f64) -> Option<Range> {
    Range::at_min(band, &forecast.fall.t_min, after_min)
}

const fn door_words(door: Door) -> &'static str {
    match door {
        Door::Shut => "shut",
        Door::Ajar(_) => "ajar",
        Door::Open => "open",
    }
}

/// What stands ahead of every figure when the readings and the day do not fit together.
pub fn not_trusted(situation: &Situation) -> Option<&'static str> {
    (!situation.members.is_trusted())
        .then_some("Do not plan by these figures: the readings and this day do not fit together. See the notes.")
}

/// Two or three sentences: what the probe reads, where it will be, how much heat is in store.
pub fn sentences(forecast: &Forecast) -> String {
    let mut said = vec![now(forecast)];
    said.extend(later(forecast));
    if let Some(store) = range(forecast, &forecast.fall.ahead.store_kwh, 0.0) {
        said.push(format!("Heat in store above 100 °C: {}.", store.with_unit(0, "kWh")));
    }
    said.push("In brackets: 9 chances in 10.".to_owned());
    said.push(origin(forecast));
    said.join(" ")
}

/// Where the figures come from.
pub fn origin(forecast: &Forecast) -> String {
    let taken_in: usize = forecast.situation.members.residuals.iter().map(|r| r.observation.ids.len()).sum();
    let from = "It follows from the oven's description and what was done";
    match taken_in {
        0 => format!("{from}; no readings are used."),
        1 => format!("{from}, and from 1 reading."),
        n => format!("{from}, and from {n} readings."),
    }
}

fn now(forecast: &Forecast) -> String {
    let (clock, probe) = (clock(&forecast.at), &forecast.fall.ahead.probe_c);
    let when = day_and_hour(&forecast.at);
    let reads = |after_min: f64| {
        range(forecast, probe, after_min).map_or("nobody knows what".to_owned(), |r| r.with_unit(0, "°C"))
    };
    let door = forecast.door_at(forecast.situation.driven.at_s);
    let fire = if forecast.fire_is_in() { ", fire in" } else { "" };
    let mut said = format!("{when}, door {}{fire}: the chamber probe should read {}", door_words(door), reads(0.0));
    if let Some((value_c, ago_min)) = last_read(forecast) {
        let ago = if ago_min < 1.0 { "just now".to_owned() } else { format!("at {}", clock.hhmm(-ago_min)) };
        said.push_str(&format!("; it read {value_c:.0} °C {ago}"));
        if ago_min < COMPARED_MIN && range(forecast, probe, 0.0).is_some_and(|r| value_c < r.p05 || value_c > r.p95) {
            said.push_str(", outside that range: are sizes, wood and door as the files say?");
        }
    }
    if !said.ends_with('?') {
        said.push('.');
    }
    let shut_min = forecast.shut_from_s().map(|s| forecast.after_min(s)).filter(|shut_min| *shut_min > 0.0);
    if let Some(shut_min) = shut_min {
        let settled = shut_min + PROBE_FOLLOWS_MIN;
        said.push_str(&format!(
            " Shut at {}, it should read {} at {}.",
            clock.hhmm(shut_min),
            reads(settled),
            clock.hhmm(settled)
        ));
    }
    said
}

/// The probe's last reading that is known, and how long ago it was.
fn last_read(forecast: &Forecast) -> Option<(f64, f64)> {
    let at = forecast.at.timestamp();
    let known = forecast.inputs.day.readings_known_at(at);
    let probe = known.into_iter().rev().find_map(|(entry, reading)| match reading {
        Reading::Probe { temperature } => Some((temperature.c(), -entry.at.seconds_since(at) / 60.0)),
        _ => None,
    });
    probe.filter(|(_, ago_min)| *ago_min <= JUST_READ_MIN)
}

fn later(forecast: &Forecast) -> Option<String> {
    let clock = clock(&forecast.at);
    let told = TOLD_H.iter().filter_map(|hours| {
        let after_min = hours * 60.0;
        let reads = range(forecast, &forecast.fall.ahead.probe_c, after_min)?;
        let door = forecast.door_at(forecast.situation.driven.at_s + after_min * 60.0);
        let door = if door == Door::Shut { String::new() } else { format!(" with the door {}", door_words(door)) };
        Some(format!("{} at {}{door}", reads.with_unit(0, "°C"), clock.hhmm(after_min)))
    });
    let told: Vec<String> = told.collect();
    (!told.is_empty()).then(|| format!("Then {}.", told.join(", ")))
}

/// The fall by the clock: now, whole hours, the end.
pub fn table(forecast: &Forecast) -> Table {
    let clock = clock(&forecast.at);
    let ahead = &forecast.fall.ahead;
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table.set_header(["", "probe °C", "floor °C", "crown °C", "in store kWh"]);
    for after_min in hours_of_table(forecast) {
        let cell = |band: &Band, decimals: usize| {
            range(forecast, band, after_min).map_or_else(|| "–".to_owned(), |range| range.words(decimals))
        };
        let time = if after_min > 0.0 { clock.day_hhmm(after_min) } else { format!("now {}", clock.hhmm(0.0)) };
        let figures = [&ahead.probe_c, &ahead.floor_c, &ahead.crown_c].map(|band| cell(band, 0));
        let [probe, floor, crown] = figures;
        table.add_row([time, probe, floor, crown, cell(&ahead.store_kwh, 1)]);
    }
    for (i, column) in table.column_iter_mut().enumerate() {
        column.set_padding((0, 2));
        column.set_cell_alignment(if i == 0 { CellAlignment::Left } else { CellAlignment::Right });
    }
    table
}

/// Now, whole hours (every other one where there are many), and the end.
fn hours_of_table(forecast: &Forecast) -> Vec<f64> {
    let end_min = forecast.fall.t_min.last().copied().unwrap_or(0.0);
    let every_min = 60.0 * (end_min / 60.0 / ROWS_OF_TABLE).ceil().max(1.0);
    let time = forecast.at.time();
    let into_hour_min = f64::from(time.minute()) + f64::from(time.second()) / 60.0;
    let hours = (1_u32..).map(|k| every_min * f64::from(k) - into_hour_min);
    let between = hours.skip_while(|t| *t < 15.0).take_while(|t| *t < end_min - 15.0);
    std::iter::once(0.0).chain(between).chain([end_min]).collect()
}
