//! What counts as suiting a dish.
//!
//! # Behind a door
//! Cold pots pull the chamber down for a while, and that is no harm. Once the dish has settled, the probe has to lie in
//! the window at every time looked at, from then until the dish's least usual time is over. For settling it has a
//! quarter of that time after the door is closed, at least [`LEAST_SETTLE_S`] and at most [`MOST_SETTLE_S`] (judgement):
//! longer above the hot end it browns or boils hard. While the door is opened in passing, and for ten minutes after, the
//! probe reads low and is not asked. A dish without a usual time is judged by [`USUAL_S`].
//!
//! # On an open floor
//! What is baked on the floor of an open oven is thin and done in minutes: the floor where it lies has to be in the
//! window when it goes in.

use crate::course::Loaded;
use crate::suits::{Chance, Reading};
use ovenfall_engine::drive::Door;
use ovenfall_food::dish::{Dish, DoorState, Fit};
use ovenfall_learn::now::Likely;
use ovenfall_record::drive::USUAL_AJAR_SHARE;

/// Shortest time for settling, s; judgement.
pub const LEAST_SETTLE_S: f64 = 600.0;
/// Longest time for settling, s; judgement.
pub const MOST_SETTLE_S: f64 = 3600.0;
/// Least usual time of a dish that has none in the table, s; judgement.
pub const USUAL_S: f64 = 3600.0;
/// Times looked at between settling and the end.
const LOOKS: f64 = 10.0;
/// Nearest and farthest such times lie apart, s.
const LOOK_S: (f64, f64) = (120.0, 900.0);

/// The least usual time of a dish, s.
#[must_use]
pub fn least_s(dish: &Dish) -> f64 {
    dish.takes_min.map_or(USUAL_S, |takes| takes.from * 60.0)
}

/// The time a dish has for settling after the door is closed, s.
#[must_use]
pub fn settle_s(dish: &Dish) -> f64 {
    (least_s(dish) / 4.0).clamp(LEAST_SETTLE_S, MOST_SETTLE_S)
}

/// How the door stands for a dish.
#[must_use]
pub fn door(dish: &Dish) -> Door {
    match dish.door {
        DoorState::OpenFlame | DoorState::Open => Door::Open,
        DoorState::SealedThenVented | DoorState::Shut => Door::Shut,
        DoorState::Ajar | DoorState::AjarAttended => Door::Ajar(USUAL_AJAR_SHARE),
    }
}

/// The window: hot end and cool end, °C; minus infinity where there is no cool end.
#[must_use]
pub fn window_c(dish: &Dish) -> (f64, f64) {
    (dish.window_c.from, dish.window_c.to.unwrap_or(f64::NEG_INFINITY))
}

/// Times at which a dish put in at `at_s` is looked at, s, rising; never none.
#[must_use]
pub fn looks_s(dish: &Dish, at_s: f64, loaded: &Loaded) -> Vec<f64> {
    let settled_s = loaded.closed_s + settle_s(dish);
    let end_s = (at_s + least_s(dish)).max(settled_s);
    let step_s = ((end_s - settled_s) / LOOKS).clamp(LOOK_S.0, LOOK_S.1);
    let between = (0_u32..).map(|k| settled_s + step_s * f64::from(k)).take_while(|t_s| *t_s < end_s - 1.0);
    let mut all: Vec<f64> = between.chain([end_s]).collect();
    all.retain(|t_s| !loaded.disturbed_s.iter().any(|(from_s, to_s)| from_s <= t_s && t_s < to_s));
    if all.is_empty() {
        let after_s = loaded.disturbed_s.iter().map(|(_, to_s)| *to_s).fold(end_s, f64::max);
        all.push(after_s);
    }
    all
}

/// What becomes of a dish on one member.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict {
    /// In the window at every look.
    Suits,
    /// Above it at one.
    TooHot,
    /// Never above it, and below it from this look on.
    TooCool {
        /// Number of the look.
        look: usize,
    },
    /// Something was not a number.
    Unknown,
}

/// What becomes of a dish whose temperatures at its looks are these, °C.
pub fn verdict(dish: &Dish, looks_c: impl Iterator<Item = f64>) -> Verdict {
    let mut cool = None;
    for (look, value_c) in looks_c.enumerate() {
        match dish.fit(value_c) {
            Fit::Unknown => return Verdict::Unknown,
            Fit::TooHot => return Verdict::TooHot,
            Fit::TooCool => cool = cool.or(Some(look)),
            Fit::Within => {}
        }
    }
    cool.map_or(Verdict::Suits, |look| Verdict::TooCool { look })
}

/// The chance of a dish put in at `at_s`: `rows_c` holds all members at each look, °C.
#[must_use]
pub fn chance(dish: &Dish, at_s: f64, looks_s: &[f64], rows_c: &[&[f64]]) -> Chance {
    let members = rows_c.first().map_or(0, |row| row.len());
    let of = |member: usize| verdict(dish, rows_c.iter().map(move |row| row.get(member).copied().unwrap_or(f64::NAN)));
    let verdicts: Vec<Verdict> = (0..members).map(of).collect();
    let share =
        |is: fn(&Verdict) -> bool| verdicts.iter().filter(|verdict| is(verdict)).count() as f64 / members.max(1) as f64;
    let mut under_s: Vec<f64> = verdicts
        .iter()
        .filter_map(|verdict| match verdict {
            Verdict::TooCool { look } => looks_s.get(*look).copied(),
            _ => None,
        })
        .collect();
    under_s.sort_by(f64::total_cmp);
    Chance {
        at_s,
        suits_share: share(|v| *v == Verdict::Suits),
        too_hot_share: share(|v| *v == Verdict::TooHot),
        too_cool_share: share(|v| matches!(v, Verdict::TooCool { .. })),
        bar: None,
        reading: None,
        settled_c: rows_c.first().and_then(|row| Likely::of(row)),
        end_c: rows_c.last().and_then(|row| Likely::of(row)),
        under_at_s: under_s.get(under_s.len() / 2).copied(),
        core_in_time_share: None,
    }
}

/// What members' readings (°C) say when they are held against the window.
#[must_use]
pub fn reading(dish: &Dish, values_c: &[f64]) -> Option<Reading> {
    let share = |fit: Fit| {
        values_c.iter().filter(|value| dish.fit(**value) == fit).count() as f64 / values_c.len().max(1) as f64
    };
    Some(Reading {
        reads_c: Likely::of(values_c)?,
        too_hot_share: share(Fit::TooHot),
        within_share: share(Fit::Within),
        too_cool_share: share(Fit::TooCool),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use ovenfall_food::dish::{find, standard};

    fn braise() -> Dish {
        find(&standard().unwrap(), "braise").unwrap().clone()
    }

    #[test]
    fn a_dish_is_judged_from_settling_until_its_least_time_is_over() {
        let dish = braise();
        let loaded = Loaded { leaves_s: 0.0, events: Vec::new(), closed_s: 60.0, disturbed_s: vec![(3000.0, 4000.0)] };
        let looks = looks_s(&dish, 0.0, &loaded);
        assert!((looks[0] - 60.0 - settle_s(&dish)).abs() < 1e-9);
        assert_eq!(looks.last(), Some(&least_s(&dish)));
        assert!(looks.iter().all(|t| !(3000.0..4000.0).contains(t)), "{looks:?}");
        let all = Loaded { disturbed_s: vec![(0.0, 1e5)], ..loaded };
        assert_eq!(looks_s(&dish, 0.0, &all).len(), 1);
    }

    #[test]
    fn above_the_window_once_is_too_hot_and_below_it_once_is_too_cool() {
        let dish = braise();
        let of = |values: &[f64]| verdict(&dish, values.iter().copied());
        assert_eq!(of(&[170.0, 140.0, 110.0]), Verdict::Suits);
        assert_eq!(of(&[100.0, 171.0, 150.0]), Verdict::TooHot);
        assert_eq!(of(&[150.0, 109.0, 100.0]), Verdict::TooCool { look: 1 });
        assert_eq!(of(&[150.0, f64::NAN]), Verdict::Unknown);
    }

    #[test]
    fn shares_are_of_all_members() {
        let dish = braise();
        let rows: [&[f64]; 2] = [&[180.0, 150.0, 150.0, 100.0], &[150.0, 140.0, 100.0, 90.0]];
        let chance = chance(&dish, 7.0, &[10.0, 20.0], &rows);
        assert_eq!((chance.too_hot_share, chance.suits_share, chance.too_cool_share), (0.25, 0.25, 0.5));
        assert_eq!(chance.under_at_s, Some(20.0));
        assert_eq!(chance.settled_c.map(|c| c.p50), Some(150.0));
        let read = reading(&dish, &[171.0, 150.0, 109.0, 110.0]).unwrap();
        assert_eq!((read.too_hot_share, read.within_share, read.too_cool_share), (0.25, 0.5, 0.25));
    }
}
