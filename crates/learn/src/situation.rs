//! A question's common ground: the day as known at an hour, the plan after it, and members that took the readings in.
//!
//! # Equation
//! Not applicable: the day becomes a drive ([`ovenfall_record::drive`]), its readings observations
//! ([`crate::observation`]), and the prior members that agree with them ([`mod@crate::condition`]).
//!
//! # Validity
//! Only what was written down by the hour is known; things done after it are the plan. What had to be assumed on the
//! way is said: [`Assumption`].
//!
//! # Source
//! Not applicable.

use crate::condition::{ConditionOptions, Conditioned, Known, Residual, condition};
use crate::doubt::{Clock, Doubt};
use crate::error::LearnError;
use crate::fall::{Fall, FallOptions, Way, fall_conditioned, trunks, ways};
use crate::observation::observations;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use ovenfall_engine::description::OvenDescription;
use ovenfall_engine::drive::{Action, Door, Event};
use ovenfall_engine::simulate::{Branch, Options, Trunk};
use ovenfall_record::day::Day;
use ovenfall_record::drive::{DayDrive, LeftOut, drive};
use ovenfall_record::oven_file::OvenFile;
use ovenfall_record::pots::Pots;
use ovenfall_record::problem::Problem;

/// Most doubted readings that are named.
const MOST_DOUBTED: usize = 5;

/// A question about a day.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The oven.
    pub oven: &'a OvenFile,
    /// The day.
    pub day: &'a Day,
    /// What is placed, and the wood.
    pub pots: &'a Pots,
    /// The hour asked about.
    pub at: Timestamp,
    /// How far ahead the plan and the model error go, s.
    pub horizon_s: f64,
    /// Number of members.
    pub members: usize,
    /// What everything is drawn with.
    pub seed: u64,
    /// Whether the day's readings are taken in.
    pub readings: bool,
}

/// Something that was assumed, or is doubted, on the way to an answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Assumption {
    /// An entry could not be used.
    EntryLeftOut(LeftOut),
    /// The oven is taken as cold at the first entry.
    ColdAtStart {
        /// The first entry.
        at: Timestamp,
    },
    /// No entry shuts the door any more: it is taken as shut from the hour asked about.
    DoorShutFromHere,
    /// The fire is in, and nothing in the day ends that and shuts the door.
    FireStaysIn {
        /// Whether an entry rakes it out later.
        raked_out_later: bool,
    },
    /// A reading counts for little.
    ReadingDoubted(Residual),
    /// More than half of the readings do not fit.
    ReadingsDisagree,
    /// Readings fit far better at other times than those written down.
    ClockOff {
        /// Whose times.
        clock: Clock,
        /// What is to be added to them, s.
        by_s: f64,
    },
    /// The chamber probe shows what a pot would; it is not used from then on.
    ProbeLikePot {
        /// The first such reading.
        from: Timestamp,
        /// How many readings are not used.
        readings: usize,
        /// How much hotter the chamber is by everything else, K.
        hotter_k: f64,
    },
    /// Some members contradict the day.
    MembersLeftOut {
        /// How many.
        out: usize,
        /// Of how many.
        of: usize,
    },
}

impl Assumption {
    /// In words, without a full stop; hours on the clock of `zone`.
    #[must_use]
    pub fn words(&self, zone: &TimeZone) -> String {
        match self {
            Self::EntryLeftOut(out) => format!("entry {} left out: {}", out.id, out.why),
            Self::ColdAtStart { at } => {
                let hour = zone.to_datetime(*at).strftime("%H:%M").to_string();
                format!("the oven is taken as cold, at the outdoor temperature, at the first entry ({hour})")
            }
            Self::DoorShutFromHere => {
                "no entry shuts the door from here on: it is taken as shut from this hour".to_owned()
            }
            Self::FireStaysIn { raked_out_later } => {
                let what =
                    if *raked_out_later { "no entry shuts the door afterwards" } else { "no entry rakes the fire out" };
                format!(
                    "the fire is in, and {what}: the door stays open in this forecast. Enter the plan \
                     (`raked out`, `door,shut`, with the hours they are meant for) to see the fall"
                )
            }
            Self::ReadingDoubted(residual) => format!(
                "reading {} ({}{:.0} °C) counts for little: everything else says about {:.0} °C",
                residual.observation.ids.join(", "),
                if residual.observation.at_least { "at least " } else { "" },
                residual.observation.value_c,
                residual.predicted_c
            ),
            Self::ReadingsDisagree | Self::ClockOff { .. } | Self::ProbeLikePot { .. } => self.of_the_readings(zone),
            Self::MembersLeftOut { out, of } => {
                format!("{out} of {of} ovens it could be contradict the day and are left out")
            }
        }
    }

    /// What looks wrong with the readings as a whole.
    fn of_the_readings(&self, zone: &TimeZone) -> String {
        match self {
            Self::ClockOff { clock, by_s } => {
                let which = match clock {
                    Clock::Readings => "the readings fit the fire and the door",
                    Clock::Probe => "readings of the chamber probe fit everything else",
                };
                let (earlier, season) = if *by_s < 0.0 { ("earlier", "summer") } else { ("later", "winter") };
                format!(
                    "{which} far better an hour {earlier} than written down: is a clock still on {season} time? Set their times \
                     right (strike the entries and write them anew) before you trust the forecast"
                )
            }
            Self::ProbeLikePot { from, readings, hotter_k } => {
                let hour = zone.to_datetime(*from).strftime("%H:%M").to_string();
                format!(
                    "from {hour} on the chamber probe shows what a pot would; by everything else the chamber is {hotter_k:.0} K \
                     hotter: does it hang in a pot, or lie against one? {readings} readings of it are not used. Hang it free in \
                     the chamber; what hangs in food is entered as `liquid` or `core`"
                )
            }
            _ => "more than half of the readings do not fit this oven and this day: check sizes, wood, door and clock \
                  before you trust the forecast"
                .to_owned(),
        }
    }
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoSituation {
    /// The files do not make a day at that hour.
    #[error("the day cannot be used at this hour")]
    Problems(Vec<Problem>),
    /// The day cannot be computed.
    #[error(transparent)]
    Learn(#[from] LearnError),
}

/// Where a day stands at an hour.
#[derive(Debug, Clone, PartialEq)]
pub struct Situation {
    /// The oven.
    pub oven: OvenDescription,
    /// What happened, and the plan.
    pub driven: DayDrive,
    /// Ovens it could be, with today's readings taken in.
    pub members: Conditioned,
    /// What was assumed.
    pub assumed: Vec<Assumption>,
    /// Outdoor temperature of the day, °C.
    pub ambient_c: f64,
    /// What the infra-red thermometer is set to.
    pub infrared_setting: Option<f64>,
}

/// Where a day stands at the hour asked about.
///
/// # Errors
/// [`NoSituation::Problems`] when nothing is known by then or files do not fit, [`NoSituation::Learn`] when the day
/// cannot be computed.
pub fn situation(asked: &Asked<'_>) -> Result<Situation, NoSituation> {
    let mut driven = drive(asked.day, asked.pots, asked.at, asked.horizon_s).map_err(NoSituation::Problems)?;
    let mut assumed: Vec<Assumption> = driven.left_out.iter().cloned().map(Assumption::EntryLeftOut).collect();
    assumed.extend(settle_the_door(&mut driven));
    assumed.push(Assumption::ColdAtStart { at: driven.start });
    let oven = &asked.oven.description;
    let ambient_c = driven.drive.ambient_c.unwrap_or(oven.ambient_c);
    let readings = if asked.readings {
        observations(asked.day, &driven.drive, driven.start, asked.at, ambient_c, asked.oven.sheet.infrared_top_c)
    } else {
        Vec::new()
    };
    let infrared_setting = asked.oven.sheet.infrared_emissivity;
    let known =
        Known { oven, drive: &driven.drive, at_s: driven.at_s, observations: readings, infrared_setting, ambient_c };
    let options = ConditionOptions {
        members: asked.members,
        seed: asked.seed,
        model_error: FallOptions::default().model_error,
        end_s: driven.at_s + asked.horizon_s,
    };
    let members = condition(&known, &options)?;
    assumed.extend(doubts(&members, driven.start));
    Ok(Situation { oven: oven.clone(), driven, members, assumed, ambient_c, infrared_setting })
}

impl Situation {
    /// The fall from the hour asked about; says too which members were left out.
    ///
    /// # Errors
    /// As [`fall_conditioned`].
    pub fn fall(&mut self, horizon_s: f64, options: &FallOptions) -> Result<Fall, LearnError> {
        let driven = &self.driven;
        let fall = fall_conditioned(&self.members, &self.oven, &driven.drive, driven.at_s, horizon_s, options)?;
        if !fall.refused.is_empty() {
            let of = self.members.ensemble.members.len();
            self.assumed.push(Assumption::MembersLeftOut { out: fall.refused.len(), of });
        }
        Ok(fall)
    }

    /// What comes of each way the day may go on from the hour asked about; see [`ways`].
    pub fn ways(&self, branches: &[Branch], engine: &Options, options: &FallOptions) -> Vec<Result<Way, LearnError>> {
        ways(&self.members, &self.oven, &self.driven.drive, self.driven.at_s, branches, engine, options)
    }

    /// What comes of ways the day may go on that leave others on the way; see [`trunks`].
    pub fn trunks(&self, ways: &[Trunk], engine: &Options, options: &FallOptions) -> Vec<Result<Way, LearnError>> {
        trunks(&self.members, &self.oven, &self.driven.drive, self.driven.at_s, ways, engine, options)
    }

    /// What the day has planned from the hour asked about on.
    #[must_use]
    pub fn plan(&self) -> Vec<Event> {
        let at_s = self.driven.at_s;
        self.driven.drive.events.iter().filter(|event| event.at_s >= at_s).copied().collect()
    }

    /// What would be done to have the oven shut from the hour asked about on: fire out, door on. What was done in that
    /// very moment is done first.
    #[must_use]
    pub fn shut_now(&self) -> Vec<Event> {
        let (drive, at_s) = (&self.driven.drive, self.driven.at_s);
        let mut events: Vec<Event> =
            drive.events.iter().filter(|event| event.at_s.total_cmp(&at_s).is_eq()).copied().collect();
        let mut then = |action| events.push(Event { at_s, action });
        if drive.fire_in_at(at_s) {
            then(Action::RakeOut);
        }
        if drive.door_at(at_s) != Door::Shut {
            then(Action::Door(Door::Shut));
        }
        events
    }
}

/// Readings that do not fit, what makes the whole of them doubtful first. Readings that are not used for a reason that was
/// given are not named again.
fn doubts(members: &Conditioned, start: Timestamp) -> Vec<Assumption> {
    let of = |doubt: &Doubt| match doubt {
        Doubt::ClockOff { clock, by_s } => Assumption::ClockOff { clock: *clock, by_s: *by_s },
        Doubt::ProbeLikePot { from_s, ids, hotter_k } => Assumption::ProbeLikePot {
            from: start + SignedDuration::from_secs_f64(*from_s),
            readings: ids.len(),
            hotter_k: *hotter_k,
        },
        Doubt::Disagree { .. } => Assumption::ReadingsDisagree,
    };
    let mut said: Vec<Assumption> = members.doubts.iter().map(of).collect();
    let explained = |r: &Residual| members.doubts.iter().any(|doubt| doubt.is_of(&r.observation));
    let doubted = members.doubted().into_iter().filter(|r| !explained(r));
    said.extend(doubted.take(MOST_DOUBTED).cloned().map(Assumption::ReadingDoubted));
    said
}

/// A fall is a forecast with the door shut. Where no entry sets the door any more, it is shut at the hour asked about,
/// unless a fire is in: nobody is to be told that a door goes on over a fire.
fn settle_the_door(driven: &mut DayDrive) -> Option<Assumption> {
    let at_s = driven.at_s;
    let later = |event: &&Event| event.at_s > at_s;
    let set_later = driven.drive.events.iter().filter(later).any(|event| matches!(event.action, Action::Door(_)));
    if driven.drive.door_at(at_s) == Door::Shut || set_later {
        return None;
    }
    let raked_out_later = driven.drive.events.iter().filter(later).any(|event| event.action == Action::RakeOut);
    if driven.drive.fire_in_at(at_s) {
        return Some(Assumption::FireStaysIn { raked_out_later });
    }
    let events = &mut driven.drive.events;
    let place = events.partition_point(|event| event.at_s <= at_s);
    events.insert(place, Event { at_s, action: Action::Door(Door::Shut) });
    Some(Assumption::DoorShutFromHere)
}

#[cfg(test)]
mod tests {
    use super::*;
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
        assert_eq!(settle_the_door(&mut day), Some(Assumption::DoorShutFromHere));
        assert_eq!(day.drive.door_at(10_000.0), Door::Shut);
        assert_eq!(settle_the_door(&mut day), None);
    }

    #[test]
    fn a_door_is_never_shut_over_a_fire() {
        let mut day = driven(&[(0.0, WOOD), (9_000.0, WOOD)]);
        assert_eq!(settle_the_door(&mut day), Some(Assumption::FireStaysIn { raked_out_later: false }));
        assert_eq!(day.drive.door_at(10_000.0), Door::Open);
    }

    #[test]
    fn a_plan_is_left_as_it_is() {
        let mut day = driven(&[(0.0, WOOD), (11_000.0, Action::RakeOut), (12_000.0, Action::Door(Door::Shut))]);
        let before = day.clone();
        assert_eq!(settle_the_door(&mut day), None);
        assert_eq!(day, before);
    }
}
