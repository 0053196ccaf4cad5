//! When the oven suits a dish: where the forecast lies within the dish's window.
//!
//! Three degrees, read off the quantiles: at least 9 chances in 10 (5 % and 95 % both inside), at least an even
//! chance (25 % and 75 % both inside), and possible (the 5–95 % range touches the window). Between the picture's
//! times the distance to the window's edge is taken as linear. Says nothing about whether the food is done or fit to
//! eat.

use crate::band::{Bands, Spread};
use crate::clock::Clock;
use crate::fall::Trace;

/// The window of a dish.
#[derive(Debug, Clone, PartialEq)]
pub struct Window {
    /// The dish.
    pub dish: String,
    /// Lowest temperature it wants, °C.
    pub low_c: f64,
    /// Highest temperature it stands, °C.
    pub high_c: f64,
    /// Which temperature counts for it: the probe for most, the floor for what lies on it.
    pub judged_by: Trace,
}

/// A stretch of time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Beginning, minutes after now.
    pub from_min: f64,
    /// End, minutes after now.
    pub to_min: f64,
}

/// When the oven suits a dish.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Suits {
    /// At least 9 chances in 10.
    pub nine_in_ten: Vec<Span>,
    /// At least an even chance.
    pub even: Vec<Span>,
    /// Possible.
    pub possible: Vec<Span>,
}

impl Suits {
    /// Reads the stretches from now on off the quantiles of the temperature that counts.
    #[must_use]
    pub fn of(window: &Window, times_min: &[f64], bands: &Bands) -> Self {
        let inside = |low: f64, high: f64| (low - window.low_c).min(window.high_c - high);
        let spans = |margin: &dyn Fn(Spread) -> f64| stretches(times_min, bands, margin);
        Self {
            nine_in_ten: spans(&|s| inside(s.p05, s.p95)),
            even: spans(&|s| inside(s.p25, s.p75)),
            possible: spans(&|s| (s.p95 - window.low_c).min(window.high_c - s.p05)),
        }
    }

    /// In words, in clock time.
    pub(crate) fn words(&self, clock: &Clock, end_min: f64) -> String {
        if let Some(words) = span_words(&self.even, clock, end_min) {
            return words;
        }
        match span_words(&self.possible, clock, end_min) {
            Some(words) => format!("perhaps {words}"),
            None => "at no hour".to_owned(),
        }
    }
}

fn span_words(spans: &[Span], clock: &Clock, end_min: f64) -> Option<String> {
    let (first, last) = (spans.first()?, spans.last()?);
    let (from, to) = (clock.hhmm(first.from_min), clock.hhmm(last.to_min));
    let open_end = last.to_min >= end_min - 0.5;
    let whole = match (first.from_min < 0.5, open_end) {
        (true, true) => "now and to the end".to_owned(),
        (true, false) => format!("now to {to}"),
        (false, true) => format!("from {from}"),
        (false, false) => format!("{from} to {to}"),
    };
    Some(if spans.len() > 1 { format!("{whole}, not all of it") } else { whole })
}

/// Stretches from now on where the margin is not negative; the ends by linear interpolation.
fn stretches(times_min: &[f64], bands: &Bands, margin: &dyn Fn(Spread) -> f64) -> Vec<Span> {
    let mut out: Vec<Span> = Vec::new();
    for (index, pair) in times_min.windows(2).enumerate() {
        let (Some(a), Some(b)) = (bands.at(index), bands.at(index + 1)) else { continue };
        let Some((from, to)) = not_negative(pair[0], pair[1], margin(a), margin(b)) else { continue };
        let from = from.max(0.0);
        if from >= to {
            continue;
        }
        match out.last_mut() {
            Some(span) if (span.to_min - from).abs() < 1e-6 => span.to_min = to,
            _ => out.push(Span { from_min: from, to_min: to }),
        }
    }
    out
}

fn not_negative(t0: f64, t1: f64, m0: f64, m1: f64) -> Option<(f64, f64)> {
    let crossing = t0 + (t1 - t0) * m0 / (m0 - m1);
    match (m0 >= 0.0, m1 >= 0.0) {
        (true, true) => Some((t0, t1)),
        (true, false) => Some((t0, crossing)),
        (false, true) => Some((crossing, t1)),
        (false, false) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn falling() -> (Vec<f64>, Bands) {
        let times: Vec<f64> = (-2..=20).map(|i| f64::from(i) * 30.0).collect();
        let shifted = |by: f64| times.iter().map(|t| 300.0 - t / 3.0 + by).collect::<Vec<f64>>();
        let bands =
            Bands { p05: shifted(-20.0), p25: shifted(-8.0), p50: shifted(0.0), p75: shifted(8.0), p95: shifted(20.0) };
        (times, bands)
    }

    #[test]
    fn stretches_end_where_the_quantiles_cross_the_window() {
        let (times, bands) = falling();
        let window = Window { dish: "loaf".into(), low_c: 180.0, high_c: 230.0, judged_by: Trace::Probe };
        let suits = Suits::of(&window, &times, &bands);
        // 95 %: 320 - t/3 = 230 at 270 min; 5 %: 280 - t/3 = 180 at 300 min.
        assert_eq!(suits.nine_in_ten.len(), 1);
        assert!((suits.nine_in_ten[0].from_min - 270.0).abs() < 1e-9);
        assert!((suits.nine_in_ten[0].to_min - 300.0).abs() < 1e-9);
        assert!((suits.even[0].from_min - 234.0).abs() < 1e-9);
        assert!((suits.even[0].to_min - 336.0).abs() < 1e-9);
        assert!((suits.possible[0].from_min - 150.0).abs() < 1e-9);
        assert!((suits.possible[0].to_min - 420.0).abs() < 1e-9);
    }

    #[test]
    fn words_say_now_and_never() {
        let (times, bands) = falling();
        let clock = Clock { now_of_day_min: 1200.0, weekday_monday0: None, zone: String::new(), change: None };
        let words = |low_c: f64, high_c: f64| {
            let window = Window { dish: "x".into(), low_c, high_c, judged_by: Trace::Probe };
            Suits::of(&window, &times, &bands).words(&clock, 600.0)
        };
        assert_eq!(words(180.0, 230.0), "23:54 to 01:36");
        assert_eq!(words(250.0, 400.0), "now to 22:06");
        assert_eq!(words(50.0, 150.0), "from 03:54");
        assert_eq!(words(50.0, 60.0), "at no hour");
        assert_eq!(words(195.0, 205.0), "perhaps 23:45 to 02:15");
    }
}
