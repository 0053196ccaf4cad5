//! The sentence that matters: a few words that are read from two metres away, and one line below them.

use crate::fall_words::not_trusted;
use crate::forecast::Forecast;
use crate::next_words;
use crate::oven_now::OvenNow;
use crate::placings::Range;
use crate::wall_clock::clock;
use ovenfall_engine::drive::Door;
use serde::{Deserialize, Serialize};

/// Below this there is no heat to speak of, kWh; judgement.
const NO_HEAT_KWH: f64 = 0.3;
/// How far ahead the second temperature is, at least, min.
const AHEAD_MIN: f64 = 90.0;
/// The hour it is told for is a multiple of this, min.
const ROUND_MIN: f64 = 30.0;

/// The sentence that matters.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Headline {
    /// A few words.
    pub words: String,
    /// One line below them.
    pub more: String,
    /// Whether it is about a danger or figures that cannot be trusted.
    pub care: bool,
}

/// What matters most of an answer. Asked before its parts become the forecast.
pub struct OfNow {
    fire_shut_in: Option<String>,
    evens_out: String,
    evened_c: f64,
    fire_in: bool,
    store_kwh: f64,
}

impl OfNow {
    /// What a headline needs of what is in the oven.
    #[must_use]
    pub fn new(answer: &OvenNow, sentences: &[String]) -> Self {
        Self {
            fire_shut_in: next_words::fire_is_shut_in(answer).then(|| next_words::sentence(answer)),
            evens_out: sentences.get(1).cloned().unwrap_or_default(),
            evened_c: answer.now.evened_out.probe_c.p50,
            fire_in: answer.now.fire_in,
            store_kwh: answer.now.store_kwh.p50,
        }
    }
}

/// Before anything is written down.
#[must_use]
pub fn of_an_empty_day() -> Headline {
    Headline {
        words: "Nothing written down yet.".to_owned(),
        more:
            "Write down each feed of wood as it goes on, or afterwards with its hour: from the first one on there is a \
               forecast."
                .to_owned(),
        care: false,
    }
}

/// While no wood is written down: readings alone cannot say how far the heat has gone in.
#[must_use]
pub fn without_a_fire() -> Headline {
    Headline {
        words: "Write down the fire.".to_owned(),
        more: "A forecast follows from the wood that was burnt: write down each feed, also of earlier today, with its \
               hour. What was left of yesterday's heat is not counted yet."
            .to_owned(),
        care: false,
    }
}

/// The sentence that matters.
#[must_use]
pub fn headline(forecast: &Forecast, now: &OfNow) -> Headline {
    let plain = |words: String, more: String| Headline { words, more, care: false };
    if let Some(sentence) = &now.fire_shut_in {
        let more = sentence.clone();
        return Headline { words: "Fire shut in: air the room.".to_owned(), more, care: true };
    }
    if let Some(more) = not_trusted(&forecast.situation) {
        let (words, more) = ("Readings do not fit the day.".to_owned(), more.to_owned());
        return Headline { words, more, care: true };
    }
    if now.fire_in {
        return plain(format!("Fire in, {:.0} kWh in the bricks.", now.store_kwh), now.evens_out.clone());
    }
    if now.store_kwh < NO_HEAT_KWH {
        return plain("Hardly any heat left.".to_owned(), now.evens_out.clone());
    }
    if forecast.door_at(forecast.situation.driven.at_s) != Door::Shut {
        return plain(format!("Shut now: about {:.0} °C.", now.evened_c), now.evens_out.clone());
    }
    falling(forecast).unwrap_or_else(|| plain("No forecast.".to_owned(), now.evens_out.clone()))
}

/// Now and a round hour later, door shut.
fn falling(forecast: &Forecast) -> Option<Headline> {
    let probe = |after_min: f64| Range::at_min(&forecast.fall.ahead.probe_c, &forecast.fall.t_min, after_min);
    let clock = clock(&forecast.at);
    let of_day_min = clock.now_of_day_min;
    let later_min = ((of_day_min + AHEAD_MIN) / ROUND_MIN).ceil() * ROUND_MIN - of_day_min;
    let (now, later) = (probe(0.0)?, probe(later_min)?);
    let hour = clock.hhmm(later_min);
    let door = if forecast.door_at(forecast.situation.driven.at_s + later_min * 60.0) == Door::Shut {
        ""
    } else {
        " with the door open then, as planned"
    };
    Some(Headline {
        // Kept together: what it will be, and when.
        words: format!("{:.0}\u{a0}°C, {:.0}\u{a0}at\u{a0}{hour}.", now.p50, later.p50),
        more: format!(
            "The chamber probe, 9 chances in 10: {:.0} to {:.0} °C now, {:.0} to {:.0} °C at {hour}{door}.",
            now.p05, now.p95, later.p05, later.p95
        ),
        care: false,
    })
}
