//! The values of the fall at the times a finger can point at.

use super::{FallPicture, ReadingMark};
use crate::band::{Bands, Spread};
use crate::text;
use crate::touch::{Touch, TouchHead, TouchLane, TouchRow, TouchSpan, columns};

/// The figures that [`crate::touch::TOUCH_JS`] reads out: the probe with 9 chances in 10, floor, crown and heat in
/// store, what is in the oven, what it reads right for from an even chance up, and what was read.
#[must_use]
pub fn touch(picture: &FallPicture) -> Touch {
    let picture = picture.cleaned();
    let head = [("probe", "°C"), ("floor", "°C"), ("crown", "°C"), ("in store", "kWh")];
    let head = head.map(|(name, unit)| TouchHead { name: name.to_owned(), unit: unit.to_owned() }).to_vec();
    let Some((from, to)) = picture.ends_min() else { return Touch { head, rows: Vec::new(), lanes: Vec::new() } };
    let (times, step_min) = columns(&picture.clock, from, to);
    let rows = times.into_iter().map(|at_min| row(&picture, at_min)).collect();
    let lanes = [inside(&picture), suits(&picture), read(&picture, step_min / 2.0)];
    Touch { head, rows, lanes: lanes.into_iter().filter(|lane| !lane.spans.is_empty()).collect() }
}

fn row(picture: &FallPicture, at_min: f64) -> TouchRow {
    let spread = |bands: &Bands| bands.at_min(&picture.times_min, at_min);
    let middle = |bands: &Bands, decimals| spread(bands).map(|s| text::figure(s.p50, decimals)).unwrap_or_default();
    let ranged = |s: Spread| format!("{} ({})", text::figure(s.p50, 0), text::range(s.p05, s.p95, 0));
    let now = if at_min.abs() < 0.5 { ", now" } else { "" };
    TouchRow {
        at_min,
        time: format!("{}{now}", picture.clock.day_hhmm(at_min)),
        cells: vec![
            spread(&picture.probe_c).map(ranged).unwrap_or_default(),
            middle(&picture.floor_c, 0),
            middle(&picture.crown_c, 0),
            middle(&picture.store_kwh, 1),
        ],
    }
}

fn lane(label: &str, spans: Vec<TouchSpan>) -> TouchLane {
    TouchLane { label: label.to_owned(), spans }
}

fn inside(picture: &FallPicture) -> TouchLane {
    let span = |p: &super::PlacingLane| TouchSpan {
        name: p.name.clone(),
        from_min: p.in_min,
        to_min: p.out_min.unwrap_or(f64::INFINITY),
    };
    lane("in the oven", picture.placings.iter().map(span).collect())
}

fn suits(picture: &FallPicture) -> TouchLane {
    let spans = picture.windows.iter().flat_map(|window| {
        let span =
            |s: &crate::suits::Span| TouchSpan { name: window.dish.clone(), from_min: s.from_min, to_min: s.to_min };
        window.reads_right.even.iter().map(span)
    });
    lane("reads right for", spans.collect())
}

/// What was read, each said at the times nearest to it; of a dense log as much as there are times.
fn read(picture: &FallPicture, around_min: f64) -> TouchLane {
    let mut kept: Vec<&ReadingMark> = Vec::new();
    for reading in &picture.readings {
        let near = |k: &&ReadingMark| k.what == reading.what && (k.at_min - reading.at_min).abs() < around_min;
        if !kept.iter().any(near) {
            kept.push(reading);
        }
    }
    let span = |reading: &ReadingMark| TouchSpan {
        name: format!(
            "{} {} at {}",
            reading.what.name(),
            text::celsius(reading.value_c),
            picture.clock.hhmm(reading.at_min)
        ),
        from_min: reading.at_min - around_min,
        to_min: reading.at_min + around_min,
    };
    lane("read", kept.into_iter().map(span).collect())
}
