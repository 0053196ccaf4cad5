//! From a day's entries to what the engine is driven with: the past as it was, what comes after as the plan.
//!
//! At an hour `at` the following is known: entries written down by then, less those struck by then. Things done after
//! `at` are the plan, whenever they were written. Readings are not events, but for the outdoor temperature.

use crate::day::{Day, Done, DoorSet, Entry, What, WoodAmount};
use crate::day_file::error_at;
use crate::pots::{Pots, WoodValues};
use crate::problem::Problem;
use crate::reading::Reading;
use crate::wording::short;
use jiff::Timestamp;
use ovenfall_engine::drive::{Action, Door, Drive, Event, Wood};
use std::collections::HashSet;

/// Free share of the mouth with the door ajar when nobody says: a hand's breadth, judgement.
pub const USUAL_AJAR_SHARE: f64 = 0.25;
/// Water a wet cloth leaves on the floor when nobody says, kg: judgement.
pub const USUAL_SWAB_KG: f64 = 0.3;
/// Temperature of liquid topped up when nobody says, °C: boiling when it left the stove, judgement.
pub const USUAL_TOP_UP_C: f64 = 95.0;
/// Longest time from lighting to the horizon, s.
pub const MAX_DRIVE_S: f64 = 10.0 * 86_400.0;

/// A drive with its place in time.
#[derive(Debug, Clone, PartialEq)]
pub struct DayDrive {
    /// What the engine is given; seconds count from `start`.
    pub drive: Drive,
    /// Lighting: the first entry known.
    pub start: Timestamp,
    /// The hour of the question, s after `start`.
    pub at_s: f64,
    /// Entries that could not be used, and why.
    pub left_out: Vec<LeftOut>,
}

/// An entry that is not part of the drive though it tells of something done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// Its id.
    pub id: String,
    /// Why.
    pub why: &'static str,
}

/// Builds the drive of a day as known at `at`, up to `horizon_s` seconds after it.
///
/// # Errors
/// When nothing is known by `at`, when the horizon makes no sense, when a dish is not among the pots, or when baskets of
/// wood have no mass.
pub fn drive(day: &Day, pots: &Pots, at: Timestamp, horizon_s: f64) -> Result<DayDrive, Vec<Problem>> {
    let known = day.known_at(at);
    let start = known.iter().map(|entry| entry.at.instant).min().filter(|start| *start <= at);
    let Some(start) = start else {
        return Err(vec![nothing_known(day, at)]);
    };
    let at_s = seconds(start, at);
    let end_s = at_s + horizon_s;
    if !(horizon_s >= 0.0 && end_s <= MAX_DRIVE_S) {
        return Err(vec![Problem {
            limits: Some(format!("lighting to horizon within {} days", MAX_DRIVE_S / 86_400.0)),
            ..error_at(&day.file, 0, 0, format!("a horizon of {:.1} h cannot be computed", horizon_s / 3600.0))
        }]);
    }
    let entries = entries_of_drive(day, &known, at);
    let mut builder =
        Builder { day, pots, wood: pots.wood.values(), start, end_s, inside: HashSet::new(), made: Made::default() };
    for entry in &entries {
        builder.add(entry);
    }
    let made = builder.made;
    if !made.problems.is_empty() {
        return Err(made.problems);
    }
    let drive = Drive { placings: pots.placings(), events: made.events, ambient_c: made.ambient_c, end_s };
    Ok(DayDrive { drive, start, at_s, left_out: made.left_out })
}

/// The past as known, then the plan: later things done, unless they were struck.
fn entries_of_drive<'a>(day: &'a Day, known: &[&'a Entry], at: Timestamp) -> Vec<&'a Entry> {
    let known_ids: HashSet<&str> = known.iter().map(|entry| entry.id.as_str()).collect();
    let ever_struck = day.struck_by(Timestamp::MAX);
    let plan_written_later = day.entries.iter().filter(|entry| {
        entry.written.instant > at
            && entry.at.instant > at
            && matches!(entry.what, What::Done(_))
            && !known_ids.contains(entry.id.as_str())
            && !ever_struck.contains(entry.id.as_str())
    });
    let mut entries: Vec<&Entry> = known
        .iter()
        .copied()
        .filter(|entry| entry.at.instant <= at || matches!(entry.what, What::Done(_)))
        .chain(plan_written_later)
        .collect();
    entries.sort_by_key(|entry| entry.at.instant);
    entries
}

/// What the entries give.
#[derive(Default)]
struct Made {
    events: Vec<Event>,
    ambient_c: Option<f64>,
    left_out: Vec<LeftOut>,
    problems: Vec<Problem>,
}

struct Builder<'a> {
    day: &'a Day,
    pots: &'a Pots,
    wood: WoodValues,
    start: Timestamp,
    end_s: f64,
    inside: HashSet<usize>,
    made: Made,
}

impl Builder<'_> {
    fn add(&mut self, entry: &Entry) {
        let at_s = seconds(self.start, entry.at.instant);
        if at_s > self.end_s {
            return;
        }
        let action = match &entry.what {
            What::Done(done) => self.action(entry, done),
            What::Reading(Reading::Outdoor { temperature }) => self.outdoor(temperature.c()),
            _ => None,
        };
        if let Some(action) = action {
            self.made.events.push(Event { at_s, action });
        }
    }

    /// The first outdoor reading holds from the start.
    fn outdoor(&mut self, c: f64) -> Option<Action> {
        if self.made.ambient_c.is_none() {
            self.made.ambient_c = Some(c);
            return None;
        }
        Some(Action::Ambient(c))
    }

    fn action(&mut self, entry: &Entry, done: &Done) -> Option<Action> {
        match done {
            Done::WoodOn { amount, moisture_percent } => self.wood(entry, amount, *moisture_percent),
            Done::FireMoved(place) => Some(Action::FireTo(*place)),
            Done::EmbersSpread => Some(Action::EmbersSpread),
            Done::RakedOut => Some(Action::RakeOut),
            Done::Swabbed { water } => Some(Action::Swab { water_kg: water.map_or(USUAL_SWAB_KG, |water| water.kg()) }),
            Done::Door(set) => Some(Action::Door(door(*set))),
            // Neither moves heat that the engine counts.
            Done::Swept | Done::Turned { .. } => None,
            Done::Placed { dish } => {
                let placing = self.dish(entry, dish)?;
                let put_in = self.inside.insert(placing);
                self.keep(entry, put_in, "it is in the oven already").then_some(Action::Place(placing))
            }
            Done::TakenOut { dish } => {
                let placing = self.dish(entry, dish)?;
                let took_out = self.inside.remove(&placing);
                self.keep(entry, took_out, "it is not in the oven").then_some(Action::TakeOut(placing))
            }
            Done::ToppedUp { dish, amount, temperature } => {
                let placing = self.dish(entry, dish)?;
                let is_in = self.inside.contains(&placing);
                let temperature_c = temperature.map_or(USUAL_TOP_UP_C, |temperature| temperature.c());
                let action = Action::TopUp { placing, mass_kg: amount.kg(), temperature_c };
                self.keep(entry, is_in, "it is not in the oven").then_some(action)
            }
        }
    }

    /// Notes an entry that makes no sense with what is known at this hour; a late entry can leave others hanging.
    fn keep(&mut self, entry: &Entry, makes_sense: bool, why: &'static str) -> bool {
        if !makes_sense {
            self.made.left_out.push(LeftOut { id: entry.id.clone(), why });
        }
        makes_sense
    }

    fn dish(&mut self, entry: &Entry, dish: &str) -> Option<usize> {
        let found = self.pots.index_of(dish);
        if found.is_none() {
            self.made.problems.push(crate::together::unknown_dish(&self.day.file, entry, dish, self.pots));
        }
        found
    }

    fn wood(&mut self, entry: &Entry, amount: &WoodAmount, moisture_percent: Option<f64>) -> Option<Action> {
        let mass_kg = match amount {
            WoodAmount::Weighed(mass) => Some(mass.kg()),
            WoodAmount::Baskets { count, basket } => {
                let basket_kg = basket.map(|mass| mass.kg()).or(self.wood.basket_kg.map(|kg| kg.value));
                basket_kg.map(|kg| count * kg)
            }
        };
        let Some(mass_kg) = mass_kg else {
            self.made.problems.push(crate::together::basket_without_mass(&self.day.file, entry));
            return None;
        };
        Some(Action::WoodOn(Wood {
            mass_kg,
            moisture: moisture_percent.map_or(self.wood.moisture.value, |percent| percent / 100.0),
            dry_ncv_mj_kg: self.wood.dry_ncv_mj_kg.value,
        }))
    }
}

fn door(set: DoorSet) -> Door {
    match set {
        DoorSet::Shut => Door::Shut,
        DoorSet::Ajar { free_percent } => Door::Ajar(free_percent.map_or(USUAL_AJAR_SHARE, |percent| percent / 100.0)),
        DoorSet::Open => Door::Open,
    }
}

fn seconds(from: Timestamp, to: Timestamp) -> f64 {
    to.duration_since(from).as_secs_f64()
}

fn nothing_known(day: &Day, at: Timestamp) -> Problem {
    let first = day.standing().first().map(|entry| entry.at.to_string());
    Problem {
        suggestion: first.map(|first| format!("ask for an hour after the first entry, {}", short(&first))),
        ..error_at(&day.file, 0, 0, format!("nothing was written down by {at}"))
    }
}
