//! The values of the fall at the times a finger can point at.

use super::{FallPicture, Trace};
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

fn read(picture: &FallPicture, around_min: f64) -> TouchLane {
    lane("read", spans_read(picture.readings.iter().map(|r| (r.at_min, r.value_c, r.what)), &picture.clock, around_min))
}

/// What was read, each said at the times nearest to it.
pub(crate) fn spans_read(
    readings: impl Iterator<Item = (f64, f64, Trace)>,
    clock: &crate::clock::Clock,
    around_min: f64,
) -> Vec<TouchSpan> {
    let span = |(at_min, value_c, what): (f64, f64, Trace)| TouchSpan {
        name: format!("{} {} at {}", what.name(), text::celsius(value_c), clock.hhmm(at_min)),
        from_min: at_min - around_min,
        to_min: at_min + around_min,
    };
    readings.map(span).collect()
}
