//! When the oven reads right for a dish, as it is drawn.
//!
//! Three degrees: at least 9 chances in 10, at least an even chance, and possible. They are computed from the members by
//! whoever asks for the picture, so that words and picture say the same. Says nothing about whether the food is done or
//! fit to eat.

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
    /// When it lies there.
    pub reads_right: Suits,
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_say_now_and_never() {
        let clock = Clock { now_of_day_min: 1200.0, weekday_monday0: None, zone: String::new(), change: None };
        let span = |from_min: f64, to_min: f64| vec![Span { from_min, to_min }];
        let words = |even: Vec<Span>, possible: Vec<Span>| {
            Suits { nine_in_ten: Vec::new(), even, possible }.words(&clock, 600.0)
        };
        assert_eq!(words(span(234.0, 336.0), span(150.0, 420.0)), "23:54 to 01:36");
        assert_eq!(words(span(0.0, 126.0), Vec::new()), "now to 22:06");
        assert_eq!(words(span(474.0, 600.0), Vec::new()), "from 03:54");
        assert_eq!(words(Vec::new(), Vec::new()), "at no hour");
        assert_eq!(words(Vec::new(), span(225.0, 375.0)), "perhaps 23:45 to 02:15");
        let two = [span(10.0, 20.0), span(40.0, 50.0)].concat();
        assert_eq!(words(two, Vec::new()), "20:10 to 20:50, not all of it");
    }
}
