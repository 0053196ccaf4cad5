//! How what was read afterwards lies to the forecast.

use crate::band::Spread;
use crate::fall::{FallPicture, ReadingMark, Trace};
use crate::text;

/// A reading that came after the forecast, and what the forecast had said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scored {
    pub reading: ReadingMark,
    pub forecast: Spread,
}

impl Scored {
    /// How much too warm the forecast was, K; negative for too cool.
    pub(super) fn too_warm_k(&self) -> f64 {
        self.forecast.p50 - self.reading.value_c
    }

    /// Whether what was read lies within 9 chances in 10.
    pub(super) fn within(&self) -> bool {
        (self.forecast.p05..=self.forecast.p95).contains(&self.reading.value_c)
    }
}

/// Readings after the forecast that it said something about, in order.
pub(super) fn scored(fall: &FallPicture) -> Vec<Scored> {
    let later = fall.readings.iter().filter(|r| r.at_min > 0.0);
    let forecast = |reading: &ReadingMark| {
        let forecast = fall.trace(reading.what).at_min(&fall.times_min, reading.at_min)?;
        Some(Scored { reading: *reading, forecast })
    };
    let mut out: Vec<Scored> = later.filter_map(forecast).collect();
    out.sort_by(|a, b| a.reading.at_min.total_cmp(&b.reading.at_min));
    out
}

/// How far off the forecast was, in words: `3 K too warm`.
pub(super) fn off_words(too_warm_k: f64) -> String {
    let off = text::figure(too_warm_k.abs(), 0);
    match (off.as_str(), too_warm_k > 0.0) {
        ("0", _) => "right to the degree".to_owned(),
        (_, true) => format!("{off}{}K too warm", text::BOUND),
        (_, false) => format!("{off}{}K too cool", text::BOUND),
    }
}

/// What came of the forecast, in words.
pub(super) fn sentences(fall: &FallPicture) -> String {
    let made = format!("Forecast made {}.", fall.clock.day_hhmm(0.0));
    let all = scored(fall);
    let traces = [Trace::Probe, Trace::Floor, Trace::Crown];
    let said: Vec<String> = traces.into_iter().filter_map(|trace| of_trace(fall, trace, &all)).collect();
    if said.is_empty() {
        return format!("{made} Nothing that it speaks of was read afterwards.");
    }
    format!("{made} Read afterwards within 9 chances in 10: {}.", said.join("; "))
}

fn of_trace(fall: &FallPicture, trace: Trace, all: &[Scored]) -> Option<String> {
    let of = || all.iter().filter(|s| s.reading.what == trace);
    let furthest = of().max_by(|a, b| a.too_warm_k().abs().total_cmp(&b.too_warm_k().abs()))?;
    let (within, count) = (of().filter(|s| s.within()).count(), of().count());
    let (off, when) = (off_words(furthest.too_warm_k()), fall.clock.hhmm(furthest.reading.at_min));
    let most = if count == 1 { "" } else { "at most " };
    Some(format!("{} {within} of {count}, the forecast {most}{off} at {when}", trace.name()))
}
