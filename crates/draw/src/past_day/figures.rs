//! The same figures without a picture: words, tables, and values on touch.

use super::entries::{door_spans, kind_name};
use super::score::{off_words, scored, sentences};
use super::{EntryKind, PastDayPicture};
use crate::table::Table;
use crate::text;
use crate::touch::{Touch, TouchLane, TouchSpan};

/// What the picture says, in words.
#[must_use]
pub fn description(picture: &PastDayPicture) -> String {
    let fall = picture.as_fall();
    let Some((from, to)) = fall.ends_min() else { return "There is no forecast to draw.".to_owned() };
    let shown = format!("From {} to {}.", fall.clock.day_hhmm(from), fall.clock.day_hhmm(to));
    format!("{} {shown}", sentences(&fall))
}

/// The figures as tables: what was read after the forecast beside what it had said, what was done, and what was in the
/// oven. Tables without rows are left out.
#[must_use]
pub fn tables(picture: &PastDayPicture) -> Vec<Table> {
    let all = [readings(picture), done(picture), placings(picture)];
    all.into_iter().filter(|t| !t.rows.is_empty()).collect()
}

fn readings(picture: &PastDayPicture) -> Table {
    let fall = picture.as_fall();
    let head = ["time", "what", "read °C", "forecast °C (9 chances in 10)", "the forecast was", "within"];
    let mut table = Table::new("What was read afterwards", &head);
    for scored in scored(&fall) {
        let (reading, said) = (scored.reading, scored.forecast);
        table.rows.push(vec![
            fall.clock.day_hhmm(reading.at_min),
            reading.what.name().to_owned(),
            text::figure(reading.value_c, 0),
            format!("{} ({})", text::figure(said.p50, 0), text::range(said.p05, said.p95, 0)),
            off_words(scored.too_warm_k()),
            if scored.within() { "yes" } else { "no" }.to_owned(),
        ]);
    }
    table
}

fn done(picture: &PastDayPicture) -> Table {
    let mut table = Table::new("What was done", &["time", "what", "how"]);
    let Some((from, to)) = picture.as_fall().ends_min() else { return table };
    for entry in picture.entries_within(from, to) {
        let when = picture.clock.day_hhmm(entry.at_min);
        table.rows.push(vec![when, kind_name(entry.kind).to_lowercase(), entry.words.clone()]);
    }
    table
}

fn placings(picture: &PastDayPicture) -> Table {
    let mut table = Table::new("In the oven", &["dish", "in", "out"]);
    for placing in &picture.as_fall().placings {
        let (into, out) = crate::fall::lanes::placing_times(&picture.clock, placing);
        table.rows.push(vec![placing.name.clone(), into, out]);
    }
    table
}

/// The figures that [`crate::touch::TOUCH_JS`] reads out: the forecast, how the door stood, what was in the oven, what
/// was done and what was read.
#[must_use]
pub fn touch(picture: &PastDayPicture) -> Touch {
    let fall = picture.as_fall();
    let mut touch = crate::fall::touch::touch(&fall);
    let Some((from, to)) = fall.ends_min() else { return touch };
    for row in &mut touch.rows {
        row.time = row.time.replace(", now", ", the forecast is made");
    }
    let door = door_spans(picture, from, to).into_iter();
    let door = door.map(|(stands, span)| TouchSpan {
        name: stands.name().to_owned(),
        from_min: span.from_min,
        to_min: span.to_min,
    });
    let around_min = touch.rows.windows(2).map(|w| w[1].at_min - w[0].at_min).fold(0.0, f64::max) / 2.0;
    let entries = picture.entries_within(from, to).into_iter().filter(|e| !matches!(e.kind, EntryKind::Door(_)));
    let entries = entries.map(|entry| TouchSpan {
        name: format!("{} {} at {}", kind_name(entry.kind).to_lowercase(), entry.words, fall.clock.hhmm(entry.at_min)),
        from_min: entry.at_min - around_min,
        to_min: entry.at_min + around_min,
    });
    for (label, spans) in [("door", door.collect()), ("done", entries.collect::<Vec<TouchSpan>>())] {
        if !spans.is_empty() {
            touch.lanes.push(TouchLane { label: label.to_owned(), spans });
        }
    }
    touch
}
