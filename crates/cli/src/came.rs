//! What came of a finished day: what a forecast of it is held against. Nothing that forecasts takes it.

use crate::failure::Failure;
use crate::input_file::{MOST_BYTES, bytes_of, decode, whole_file};
use flate2::read::GzDecoder;
use jiff::{SignedDuration, Timestamp};
use ovenfall_answer::Inputs;
use ovenfall_engine::drive::Drive;
use ovenfall_learn::baseline::{Earlier, earlier};
use ovenfall_learn::replay::{Point, Seen, scored, shutting_s};
use ovenfall_record::day::Day;
use ovenfall_record::drive::drive;
use ovenfall_record::problem::Problem;
use ovenfall_record::reading::Reading;
use ovenfall_record::truth::{TruthRow, read_truth};
use std::io::Read;
use std::path::Path;

/// First bytes of a file that is packed with gzip.
const GZIP: [u8; 2] = [0x1f, 0x8b];

/// A finished day as it was in the end.
#[derive(Debug)]
pub struct Came {
    /// The first entry.
    pub start: Timestamp,
    /// Everything that was done.
    drive: Drive,
    /// The chamber probe, in order; times count from `start`.
    probe: Vec<Point>,
    /// Heat in store, kWh, at seconds after `start`.
    store: Vec<(f64, f64)>,
    /// When each probe reading was written down; empty where the probe is known without errors.
    written: Vec<Timestamp>,
}

impl Came {
    /// From the day's own entries, and from a file of what really was where there is one.
    pub fn of(inputs: &Inputs, file: Option<&Path>) -> Result<Self, Failure> {
        let standing = inputs.day.standing();
        let last = inputs.day.entries.iter().map(|entry| entry.written.instant.max(entry.at.instant)).max();
        let (Some(first), Some(last)) = (standing.first(), last) else {
            return Err(Failure::Problems(vec![whole_file(
                &inputs.day.file,
                "the day has no entry".to_owned(),
                None,
                "write the day down first",
            )]));
        };
        let start = first.at.instant;
        let driven = drive(&inputs.day, &inputs.pots, last, 0.0).map_err(Failure::Problems)?;
        let mut came = Self { start, drive: driven.drive, probe: Vec::new(), store: Vec::new(), written: Vec::new() };
        match file {
            Some(path) => came.take_file(&read(path).map_err(Failure::Problems)?),
            None => came.take_readings(&inputs.day),
        }
        Ok(came)
    }

    fn take_file(&mut self, rows: &[TruthRow]) {
        let first_s = minute_zero(self.start).duration_since(self.start).as_secs_f64();
        for row in rows {
            let at_s = first_s + 60.0 * row.t_min;
            if let Some(value_c) = row.probe_c.filter(|_| row.shut != Some(false)) {
                self.probe.push(Point { at_s, value_c });
            }
            self.store.extend(row.store_kwh.map(|kwh| (at_s, kwh)));
        }
    }

    fn take_readings(&mut self, day: &Day) {
        for entry in day.standing() {
            // A display over its range tells no temperature.
            if let Some(Reading::Probe { temperature }) = entry.reading().filter(|r| !over_range(r)) {
                self.probe.push(Point { at_s: entry.at.seconds_since(self.start), value_c: temperature.c() });
                self.written.push(entry.written.instant);
            }
        }
    }

    /// Whether it comes from a file of what really was, not from readings.
    pub fn without_errors(&self) -> bool {
        self.written.is_empty()
    }

    /// Whether anything was put into the oven.
    pub fn loaded(&self) -> bool {
        use ovenfall_engine::drive::Action;
        self.drive.events.iter().any(|event| matches!(event.action, Action::Place(_)))
    }

    /// When the oven was shut, as far as the entries tell.
    pub fn shut_at(&self) -> Option<Timestamp> {
        let shut_s = shutting_s(&self.drive, self.drive.end_s)?;
        self.start.checked_add(SignedDuration::try_from_secs_f64(shut_s).ok()?).ok()
    }

    /// What counts of the time after an hour: door shut, and written down after it. Times count from `start`.
    pub fn after(&self, at: Timestamp, horizon_s: f64) -> Vec<Seen> {
        let at_s = at.duration_since(self.start).as_secs_f64();
        let later = |i: usize| self.written.get(i).is_none_or(|written| *written > at);
        let points: Vec<Point> =
            self.probe.iter().enumerate().filter(|(i, _)| later(*i)).map(|(_, point)| *point).collect();
        scored(&points, &self.drive.events, at_s, at_s + horizon_s)
    }

    /// Heat in store at an hour, kWh, between the rows around it.
    pub fn store_kwh(&self, at: Timestamp) -> Option<f64> {
        let at_s = at.duration_since(self.start).as_secs_f64();
        let above = self.store.partition_point(|(t_s, _)| *t_s < at_s);
        let (to_s, to_kwh) = *self.store.get(above)?;
        let (from_s, from_kwh) = match above.checked_sub(1).and_then(|below| self.store.get(below)) {
            Some(below) => *below,
            // Nothing is known of the time before the first row.
            None => return (to_s <= at_s).then_some(to_kwh),
        };
        Some(from_kwh + (at_s - from_s) / (to_s - from_s) * (to_kwh - from_kwh))
    }

    /// What this day leaves for a later day of its oven.
    pub fn as_earlier(&self, inputs: &Inputs, shut: Timestamp) -> Option<Earlier> {
        let ambient_c = self.drive.ambient_c.unwrap_or(inputs.oven.description.ambient_c);
        earlier(&inputs.day, &self.drive, self.start, shut, ambient_c)
    }
}

fn over_range(reading: &Reading) -> bool {
    reading.temperature().is_some_and(|temperature| temperature.at_least)
}

/// Minute 0 of such files: the first entry, to the whole minute.
fn minute_zero(start: Timestamp) -> Timestamp {
    start.round(jiff::Unit::Minute).unwrap_or(start)
}

fn read(path: &Path) -> Result<Vec<TruthRow>, Vec<Problem>> {
    let name = path.display().to_string();
    let one = |problem: Problem| vec![problem];
    let mut bytes = bytes_of(path).map_err(one)?;
    if bytes.starts_with(&GZIP) {
        let mut unpacked = Vec::new();
        GzDecoder::new(bytes.as_slice()).take(MOST_BYTES + 1).read_to_end(&mut unpacked).map_err(|error| {
            one(whole_file(&name, format!("it cannot be unpacked: {error}"), None, "is the file whole?"))
        })?;
        if unpacked.len() as u64 > MOST_BYTES {
            return Err(one(whole_file(
                &name,
                "unpacked it is over 64 MB long".to_owned(),
                None,
                "is it the right file?",
            )));
        }
        bytes = unpacked;
    }
    read_truth(&name, &decode(&name, bytes).map_err(one)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minute_zero_is_the_first_entry_to_the_whole_minute() {
        let at = |text: &str| text.parse::<Timestamp>().unwrap();
        assert_eq!(minute_zero(at("2026-01-10T14:59:36Z")), at("2026-01-10T15:00:00Z"));
        assert_eq!(minute_zero(at("2026-01-10T17:00:00Z")), at("2026-01-10T17:00:00Z"));
    }
}
