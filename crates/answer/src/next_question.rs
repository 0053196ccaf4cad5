//! What the next reading is to narrow: the heat in store, or the chance of a named dish.
//!
//! A dish with a core temperature that has a planned time to come out (or else the hour it is wanted) is judged by its coldest
//! point then; one that is still to go in without that, by its window just before the door comes off for it.

use crate::error::AnswerError;
use crate::inputs::Inputs;
use crate::wall_clock::clock;
use jiff::ZonedDateTime;
use ovenfall_engine::drive::{Action, Door, Event};
use ovenfall_food::dish::{Dish, JudgedBy};
use ovenfall_learn::Situation;
use ovenfall_learn::next_reading::Question;
use ovenfall_plan::menu::kind;

/// What stands for the heat in store.
pub const STORE: &str = "store";
/// The cool end of a window that has none, °C.
const NO_COOL_END_C: f64 = 0.0;
/// Doors opened so long before something goes in are opened for it, s.
const OPENED_FOR_IT_S: f64 = 600.0;

/// What is to be known better, and how it is told.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// The question.
    pub question: Question,
    /// In words, to go on with after "the chance of" or "narrow".
    pub words: String,
}

/// What was asked for.
pub fn asked_next(
    given: &str,
    inputs: &Inputs,
    situation: &Situation,
    at: &ZonedDateTime,
    dishes: &[Dish],
) -> Result<Asked, AnswerError> {
    if given.trim().eq_ignore_ascii_case(STORE) {
        return Ok(Asked { question: Question::Store, words: "the heat in store".to_owned() });
    }
    let wrong =
        |why: &str, suggestion: String| AnswerError::Next { given: given.to_owned(), why: why.to_owned(), suggestion };
    let names = || {
        let names: Vec<&str> = inputs.pots.dishes.iter().map(|dish| dish.sheet.name.as_str()).collect();
        format!("{STORE}{}{}", if names.is_empty() { "" } else { ", or one of: " }, names.join(", "))
    };
    let placing =
        inputs.pots.index_of(given).ok_or_else(|| wrong("no dish of the pots file has this name", names()))?;
    let sheet = &inputs.pots.dishes.get(placing).ok_or_else(|| wrong("no such dish", names()))?.sheet;
    let dish = kind(dishes, sheet).ok_or_else(|| {
        wrong("the table of dishes does not know what it is", "give it a `kind` in the pots file".to_owned())
    })?;
    let course = Course::of(situation, placing);
    let out_s = course.out_s.or_else(|| wanted_s(sheet.wanted, situation, at));
    let hour = |at_s: f64| clock(at).hhmm((at_s - situation.driven.at_s) / 60.0);
    match (dish.core_c, out_s, course.in_s) {
        (Some(core), Some(at_s), _) if course.inside || course.in_s.is_some_and(|in_s| in_s < at_s) => Ok(Asked {
            question: Question::Core { placing, at_s, least_c: core.from },
            words: format!("at least {:.0} °C in the coldest place of the {} at {}", core.from, sheet.name, hour(at_s)),
        }),
        (_, _, Some(in_s)) => Ok(window(&sheet.name, dish, situation, in_s, &hour)),
        (None, _, None) if course.inside => Err(wrong(
            "it is in, and no temperature says when it is done",
            format!("{STORE}, or probe it and judge by hand"),
        )),
        _ => Err(wrong(
            "the day has no hour from here on at which it goes in or comes out",
            "enter the plan (`placed`, `taken out`, with the hours they are meant for)".to_owned(),
        )),
    }
}

/// A dish's stay from the hour asked about on.
struct Course {
    inside: bool,
    in_s: Option<f64>,
    out_s: Option<f64>,
}

impl Course {
    fn of(situation: &Situation, placing: usize) -> Self {
        let (drive, at_s) = (&situation.driven.drive, situation.driven.at_s);
        let ahead = |wanted: Action| {
            let mut later = drive.events.iter().filter(|event| event.at_s > at_s);
            later.find(|event| event.action == wanted).map(|event| event.at_s)
        };
        Self {
            inside: drive.inside_at(at_s).contains(&placing),
            in_s: ahead(Action::Place(placing)),
            out_s: ahead(Action::TakeOut(placing)),
        }
    }
}

/// The hour it is wanted, if that is still to come within the day ahead.
fn wanted_s(wanted: Option<jiff::civil::Time>, situation: &Situation, at: &ZonedDateTime) -> Option<f64> {
    let same_day = at.date().to_datetime(wanted?).to_zoned_datetime(at.time_zone().clone()).ok()?;
    let after_s = same_day.timestamp().duration_since(at.timestamp()).as_secs_f64();
    (after_s > 0.0).then_some(situation.driven.at_s + after_s)
}

/// Whether the oven suits a dish just before the door comes off for it.
fn window(name: &str, dish: &Dish, situation: &Situation, in_s: f64, hour: &impl Fn(f64) -> String) -> Asked {
    let (low_c, high_c) = (dish.window_c.to.unwrap_or(NO_COOL_END_C), dish.window_c.from);
    let place = if dish.judged_by == JudgedBy::Floor { "on the floor" } else { "in the chamber" };
    let at_s = before_opening_s(&situation.driven.drive.events, situation.driven.at_s, in_s);
    let question = match dish.judged_by {
        JudgedBy::Floor => Question::Floor { at_s: in_s, low_c, high_c },
        JudgedBy::Chamber => Question::Chamber { at_s, low_c, high_c },
    };
    let limits = match dish.window_c.to {
        Some(_) => format!("{low_c:.0} to {high_c:.0} °C"),
        None => format!("at most {high_c:.0} °C"),
    };
    Asked { question, words: format!("{limits} {place} for the {name} at {}", hour(in_s)) }
}

/// The last moment before the door comes off for something that goes in at `in_s`, not before `from_s`.
fn before_opening_s(events: &[Event], from_s: f64, in_s: f64) -> f64 {
    let mut before = events.iter().filter(|event| event.at_s > from_s && event.at_s <= in_s);
    let last = before.rfind(|event| matches!(event.action, Action::Door(door) if door != Door::Shut));
    last.map(|event| event.at_s).filter(|at_s| in_s - at_s <= OPENED_FOR_IT_S).unwrap_or(in_s)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_oven_is_judged_before_the_door_comes_off() {
        let door = |at_s: f64, door: Door| Event { at_s, action: Action::Door(door) };
        let events = [door(100.0, Door::Open), door(200.0, Door::Shut), door(3000.0, Door::Open)];
        assert_eq!(before_opening_s(&events, 0.0, 3060.0).to_bits(), 3000.0_f64.to_bits());
        assert_eq!(before_opening_s(&events, 0.0, 2900.0).to_bits(), 2900.0_f64.to_bits(), "opened long before");
        assert_eq!(before_opening_s(&events, 3000.0, 3060.0).to_bits(), 3060.0_f64.to_bits(), "open already");
    }
}
