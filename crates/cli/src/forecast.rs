//! A forecast: the day as driven, the fall on all members, and what was assumed on the way.

use crate::failure::Failure;
use crate::inputs::Inputs;
use jiff::ZonedDateTime;
use ovenfall_engine::drive::{Action, Door, Event};
use ovenfall_learn::condition::Residual;
use ovenfall_learn::{
    ConditionOptions, Conditioned, Fall, FallOptions, Known, LearnError, condition, fall, fall_conditioned,
    observations,
};
use ovenfall_record::drive::{DayDrive, drive};

/// Fire that nobody raked out counts as in for this long, s: embers under ash glow for most of a day; judgement.
const BURNT_DOWN_S: f64 = 24.0 * 3600.0;

/// Most doubted readings that are named.
const MOST_DOUBTED: usize = 5;

/// A forecast with what it was made from.
#[derive(Debug)]
pub struct Forecast {
    /// The files.
    pub inputs: Inputs,
    /// The hour asked about.
    pub at: ZonedDateTime,
    /// The day as driven.
    pub driven: DayDrive,
    /// The fall.
    pub fall: Fall,
    /// Readings that were taken in, beside what the members say to them.
    pub residuals: Vec<Residual>,
    /// Members asked for.
    pub members: usize,
    /// What was assumed, in words.
    pub assumed: Vec<String>,
}

/// What to compute.
#[derive(Debug, Clone, Copy)]
pub struct Request {
    /// How far ahead, h.
    pub horizon_h: f64,
    /// Distance of the times, min.
    pub step_min: f64,
    /// Members.
    pub members: usize,
    /// Seed.
    pub seed: u64,
    /// Whether the day's readings are taken in.
    pub readings: bool,
}

impl Forecast {
    /// Computes the fall from an hour on.
    pub fn compute(inputs: Inputs, at: ZonedDateTime, request: Request) -> Result<Self, Failure> {
        let horizon_s = request.horizon_h * 3600.0;
        let mut driven = drive(&inputs.day, &inputs.pots, at.timestamp(), horizon_s).map_err(Failure::Problems)?;
        let mut assumed: Vec<String> =
            driven.left_out.iter().map(|out| format!("entry {} left out: {}", out.id, out.why)).collect();
        assumed.extend(settle_the_door(&mut driven));
        assumed.push(format!(
            "the oven is taken as cold, at the outdoor temperature, at the first entry ({})",
            wall_time(&driven, &at)
        ));
        let options = FallOptions {
            members: request.members,
            seed: request.seed,
            output_step_s: request.step_min * 60.0,
            // The past is only drawn: a coarse look is enough for a long one.
            past_step_s: (driven.at_s / 200.0).max(300.0),
            ..FallOptions::default()
        };
        let failed =
            |source| Failure::Forecast { oven: inputs.oven_name.clone(), day: inputs.day.file.clone(), source };
        let (oven, at_s) = (&inputs.oven.description, driven.at_s);
        let conditioned =
            if request.readings { take_in(&inputs, &driven, &at, &options, horizon_s).map_err(failed)? } else { None };
        let fall = match &conditioned {
            Some(members) => fall_conditioned(members, oven, &driven.drive, at_s, horizon_s, &options),
            None => fall(oven, &driven.drive, at_s, horizon_s, &options),
        }
        .map_err(failed)?;
        assumed.extend(conditioned.as_ref().map(doubts).unwrap_or_default());
        let residuals = conditioned.map(|members| members.residuals).unwrap_or_default();
        if !fall.refused.is_empty() {
            let out = fall.refused.len();
            assumed.push(format!("{out} of {} ovens it could be contradict the day and are left out", request.members));
        }
        Ok(Self { inputs, at, driven, fall, residuals, members: request.members, assumed })
    }

    /// Minutes after the hour asked about.
    pub fn after_min(&self, at_s: f64) -> f64 {
        (at_s - self.driven.at_s) / 60.0
    }

    /// How the door stands at a time, s after the start of the day.
    pub fn door_at(&self, at_s: f64) -> Door {
        door_at(&self.driven.drive.events, at_s)
    }

    /// Whether a fire or embers are in at the hour asked about.
    pub fn fire_is_in(&self) -> bool {
        fire_at(&self.driven.drive.events, self.driven.at_s)
    }

    /// When the door is first shut from the hour asked about on, s after the start of the day.
    pub fn shut_from_s(&self) -> Option<f64> {
        if self.door_at(self.driven.at_s) == Door::Shut {
            return Some(self.driven.at_s);
        }
        let later = self.driven.drive.events.iter().filter(|event| event.at_s > self.driven.at_s);
        later.into_iter().find(|event| event.action == Action::Door(Door::Shut)).map(|event| event.at_s)
    }
}

/// Takes the readings known at the hour in; `None` when there are none.
fn take_in(
    inputs: &Inputs,
    driven: &DayDrive,
    at: &ZonedDateTime,
    options: &FallOptions,
    horizon_s: f64,
) -> Result<Option<Conditioned>, LearnError> {
    let oven = &inputs.oven.description;
    let ambient_c = driven.drive.ambient_c.unwrap_or(oven.ambient_c);
    let readings = observations(&inputs.day, &driven.drive, driven.start, at.timestamp(), ambient_c, None);
    if readings.is_empty() {
        return Ok(None);
    }
    let known = Known {
        oven,
        drive: &driven.drive,
        at_s: driven.at_s,
        observations: readings,
        infrared_setting: inputs.oven.sheet.infrared_emissivity,
        ambient_c,
    };
    let options = ConditionOptions {
        members: options.members,
        seed: options.seed,
        model_error: options.model_error,
        end_s: driven.at_s + horizon_s,
    };
    condition(&known, &options).map(Some)
}

/// Readings that do not fit, in words.
fn doubts(members: &Conditioned) -> Vec<String> {
    let doubted = members.doubted();
    let mut said: Vec<String> = doubted
        .iter()
        .take(MOST_DOUBTED)
        .map(|r| {
            let (ids, value) = (r.observation.ids.join(", "), r.observation.value_c);
            format!(
                "reading {ids} ({value:.0} °C) counts for little: everything else says about {:.0} °C",
                r.predicted_c
            )
        })
        .collect();
    if members.readings_disagree() {
        said.push(
            "more than half of the readings do not fit this oven and this day: check sizes, wood, door and clock \
             before you trust the forecast"
                .to_owned(),
        );
    }
    said
}

/// The hour of the first entry, on the clock of the hour asked about.
fn wall_time(driven: &DayDrive, at: &ZonedDateTime) -> String {
    driven.start.to_zoned_datetime(at.time_zone().clone()).strftime("%H:%M").to_string()
}

fn door_at(events: &[Event], at_s: f64) -> Door {
    let set = |event: &Event| match event.action {
        Action::Door(door) if event.at_s <= at_s => Some(door),
        _ => None,
    };
    events.iter().rev().find_map(set).unwrap_or(Door::Open)
}

fn fire_at(events: &[Event], at_s: f64) -> bool {
    let before = events.iter().rev().filter(|event| event.at_s <= at_s);
    let last = before.into_iter().find(|event| matches!(event.action, Action::WoodOn(_) | Action::RakeOut));
    last.is_some_and(|event| matches!(event.action, Action::WoodOn(_)) && at_s - event.at_s < BURNT_DOWN_S)
}

/// A fall is a forecast with the door shut. Where no entry sets the door any more, it is shut at the hour asked about,
/// unless a fire is in: nobody is to be told that a door goes on over a fire.
fn settle_the_door(driven: &mut DayDrive) -> Option<String> {
    let (events, at_s) = (&mut driven.drive.events, driven.at_s);
    let set_later = events.iter().any(|event| event.at_s > at_s && matches!(event.action, Action::Door(_)));
    if door_at(events, at_s) == Door::Shut || set_later {
        return None;
    }
    let fire_goes = events.iter().any(|event| event.at_s > at_s && event.action == Action::RakeOut);
    if fire_at(events, at_s) {
        let what = if fire_goes { "no entry shuts the door afterwards" } else { "no entry rakes the fire out" };
        return Some(format!(
            "the fire is in, and {what}: the door stays open in this forecast. Enter the plan \
             (`raked out`, `door,shut`, with the hours they are meant for) to see the fall"
        ));
    }
    let place = events.partition_point(|event| event.at_s <= at_s);
    events.insert(place, Event { at_s, action: Action::Door(Door::Shut) });
    Some("no entry shuts the door from here on: it is taken as shut from this hour".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::Timestamp;
    use ovenfall_engine::drive::{Drive, Wood};

    fn driven(events: &[(f64, Action)]) -> DayDrive {
        let events = events.iter().map(|(at_s, action)| Event { at_s: *at_s, action: *action }).collect();
        let drive = Drive { events, end_s: 20_000.0, ..Drive::default() };
        DayDrive { drive, start: Timestamp::UNIX_EPOCH, at_s: 10_000.0, left_out: Vec::new() }
    }

    const WOOD: Action = Action::WoodOn(Wood { mass_kg: 3.0, moisture: 0.18, dry_ncv_mj_kg: 18.8 });

    #[test]
    fn an_open_door_nobody_sets_again_is_taken_as_shut() {
        let mut day = driven(&[(0.0, WOOD), (5_000.0, Action::RakeOut)]);
        assert!(settle_the_door(&mut day).is_some_and(|words| words.contains("taken as shut")));
        assert_eq!(door_at(&day.drive.events, 10_000.0), Door::Shut);
        assert_eq!(settle_the_door(&mut day), None);
    }

    #[test]
    fn a_door_is_never_shut_over_a_fire() {
        let mut day = driven(&[(0.0, WOOD), (9_000.0, WOOD)]);
        assert!(settle_the_door(&mut day).is_some_and(|words| words.contains("no entry rakes the fire out")));
        assert_eq!(door_at(&day.drive.events, 10_000.0), Door::Open);
    }

    #[test]
    fn a_plan_is_left_as_it_is() {
        let mut day = driven(&[(0.0, WOOD), (11_000.0, Action::RakeOut), (12_000.0, Action::Door(Door::Shut))]);
        let before = day.clone();
        assert_eq!(settle_the_door(&mut day), None);
        assert_eq!(day, before);
    }
}
