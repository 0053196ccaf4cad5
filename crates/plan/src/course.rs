//! What else goes on while a dish is tried: nothing, or everything the day has planned.
//!
//! Two courses are told apart.
//!
//! - [`alone`]: nothing else goes in from the hour on. What is in the oven stays in until the day takes it out. A fire
//!   that is in burns as planned until it is raked out; without a planned end it is raked out at once. Then the door is
//!   shut, and opened only for what the day takes out or tops up.
//! - [`as_planned`]: everything the day's entries place, before the hour or after it, with the doors as entered, but
//!   without the dish's own placing.
//!
//! A dish goes in only where the course leaves the door on for it, but for openings in passing.
//!
//! A dish is loaded within two minutes: the door is opened a minute before, and set as the dish wants a minute after.
//! Where the day has the door open in passing anyhow, the dish goes in then.

use ovenfall_engine::drive::{Action, Door, Drive, Event};
use ovenfall_learn::Situation;

/// From opening the door to the pot, and from the pot to closing it, s: judgement.
pub const HAND_S: f64 = 60.0;
/// A door opened for less than this is opened in passing, s: to load, turn or look; judgement.
pub const PASSING_S: f64 = 900.0;
/// After closing the probe needs so long to show how warm the chamber is, s; judgement.
pub const READS_AGAIN_S: f64 = 600.0;

/// What goes on from the hour asked about.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// What is done, in order of time.
    pub events: Vec<Event>,
    /// The day up to the hour, and after it the events above: for how things stand at a time.
    stands: Drive,
    from_s: f64,
}

/// A dish in its place in a course.
#[derive(Debug, Clone, PartialEq)]
pub struct Loaded {
    /// When it leaves the course without it, s after the start of the day.
    pub leaves_s: f64,
    /// What is done from then on, in order of time.
    pub events: Vec<Event>,
    /// When the door stands as the dish wants it, s after the start of the day.
    pub closed_s: f64,
    /// Stretches during which the probe reads low because the door is, or just was, opened in passing, s.
    pub disturbed_s: Vec<(f64, f64)>,
}

/// Nothing else goes in.
#[must_use]
pub fn alone(situation: &Situation) -> Course {
    let (drive, at_s) = (&situation.driven.drive, situation.driven.at_s);
    let inside = drive.inside_at(at_s);
    let plan = situation.plan();
    let later = || plan.iter().filter(|event| event.at_s > at_s);
    let lit = drive.fire_in_at(at_s) || later().any(|event| matches!(event.action, Action::WoodOn(_)));
    let raked_s =
        later().filter(|event| event.action == Action::RakeOut && lit).map(|event| event.at_s).reduce(f64::max);
    let burning = |event: &&Event| raked_s.is_some_and(|raked_s| event.at_s <= raked_s);
    let mut events = match raked_s {
        Some(_) => plan.iter().filter(|event| event.at_s <= at_s || burning(event)).copied().collect(),
        None => situation.shut_now(),
    };
    events.retain(|event| event.at_s <= at_s || !of_other_placing(&event.action, &inside));
    if let Some(raked_s) = raked_s {
        let shut = later().find(|event| event.at_s >= raked_s && event.action == Action::Door(Door::Shut));
        let at_s = shut.map_or(raked_s, |event| event.at_s);
        events.push(Event { at_s, action: Action::Door(Door::Shut) });
    }
    let shut_s = events.last().map_or(at_s, |event| event.at_s);
    let mut open_until_s = f64::NEG_INFINITY;
    for event in later().filter(|event| !burning(event)) {
        match event.action {
            Action::Ambient(_) => events.push(*event),
            Action::TakeOut(i) | Action::TopUp { placing: i, .. } if inside.contains(&i) => {
                let mut door = |at_s: f64, door| events.push(Event { at_s, action: Action::Door(door) });
                if event.at_s - HAND_S > open_until_s.max(shut_s) {
                    door(event.at_s - HAND_S, Door::Open);
                }
                open_until_s = event.at_s + HAND_S;
                door(open_until_s, Door::Shut);
                events.push(*event);
            }
            _ => {}
        }
    }
    Course::new(situation, in_order(events))
}

/// Everything the day places, without what it does with one placing.
#[must_use]
pub fn as_planned(situation: &Situation, without: usize) -> Course {
    let mut events = situation.plan();
    events.retain(|event| placing_of(&event.action) != Some(without));
    Course::new(situation, events)
}

/// The placing an action is about.
fn placing_of(action: &Action) -> Option<usize> {
    match action {
        Action::Place(i) | Action::TakeOut(i) | Action::TopUp { placing: i, .. } => Some(*i),
        _ => None,
    }
}

fn of_other_placing(action: &Action, inside: &[usize]) -> bool {
    placing_of(action).is_some_and(|i| !inside.contains(&i))
}

/// Sorted by time; of events of one time the earlier in the list stays first.
fn in_order(mut events: Vec<Event>) -> Vec<Event> {
    events.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    events
}

impl Course {
    fn new(situation: &Situation, events: Vec<Event>) -> Self {
        let (drive, from_s) = (&situation.driven.drive, situation.driven.at_s);
        let before = drive.events.iter().filter(|event| event.at_s < from_s).copied();
        let stands = Drive { events: before.chain(events.iter().copied()).collect(), ..Drive::default() };
        Self { events, stands, from_s }
    }

    /// Whether a fire or embers are in at a time.
    #[must_use]
    pub fn fire_in_at(&self, t_s: f64) -> bool {
        self.stands.fire_in_at(t_s)
    }

    /// When the oven is read for a dish that goes in at a time, s: just before the door is opened, for it or in passing.
    #[must_use]
    pub fn read_s(&self, t_s: f64) -> f64 {
        let read_s = t_s - HAND_S;
        let in_passing = doors(&self.stands.events, 0.0)
            .into_iter()
            .find(|d| d.door == Door::Open && d.to_s - d.from_s <= PASSING_S && d.from_s <= read_s && read_s < d.to_s);
        in_passing.map_or(read_s, |d| d.from_s - 1.0).max(self.from_s)
    }

    /// Whether the door has been shut for long enough that the probe shows how warm the chamber is.
    #[must_use]
    pub fn reads_at(&self, t_s: f64) -> bool {
        let doors = doors(&self.stands.events, 0.0);
        let shut = |d: &Opened| d.door == Door::Shut;
        !doors.iter().any(|d| !shut(d) && d.from_s <= t_s && t_s < d.to_s + READS_AGAIN_S) && doors.iter().any(shut)
    }

    /// Stretches during which the door stands further open than wanted for longer than in passing, s.
    #[must_use]
    pub fn open_s(&self, wanted: Door) -> Vec<(f64, f64)> {
        let mut open = joined(&doors(&self.stands.events, 0.0), |door| further_open(door, wanted));
        open.retain(|(from_s, to_s)| to_s - from_s > PASSING_S);
        open
    }

    /// The first of them that reaches into the time between two, its beginning, s.
    #[must_use]
    pub fn stands_open_s(&self, wanted: Door, from_s: f64, to_s: f64) -> Option<f64> {
        let between = |open: &(f64, f64)| open.0 < to_s && open.1 > from_s;
        self.open_s(wanted).into_iter().find(between).map(|open| open.0)
    }

    /// When the fire is raked out, s.
    pub fn raked_s(&self) -> impl Iterator<Item = f64> {
        self.events.iter().filter(|event| event.action == Action::RakeOut).map(|event| event.at_s)
    }

    /// The course with a dish put in at a time, the door set as it wants. Events after `last_s` do not matter and are
    /// left out.
    #[must_use]
    pub fn with(&self, placing: usize, wanted: Door, t_s: f64, last_s: f64) -> Loaded {
        let doors_without = doors(&self.stands.events, 0.0);
        let passing = |d: &&Opened| d.door == Door::Open && d.to_s - d.from_s <= PASSING_S;
        let by_the_way =
            doors_without.iter().filter(passing).find(|d| d.from_s <= t_s + HAND_S && t_s <= d.to_s).map(|d| d.to_s);
        let mut events = vec![Event { at_s: t_s, action: Action::Place(placing) }];
        let closed_s = by_the_way.unwrap_or(t_s + HAND_S);
        if by_the_way.is_none() {
            let set_before = doors_without.iter().map(|d| d.from_s).filter(|from_s| *from_s <= t_s);
            let open_s = set_before.fold((t_s - HAND_S).max(self.from_s), f64::max);
            events.insert(0, Event { at_s: open_s, action: Action::Door(Door::Open) });
            events.push(Event { at_s: closed_s, action: Action::Door(wanted) });
        }
        let leaves_s = events.first().map_or(t_s, |event| event.at_s);
        let mut all: Vec<Event> = self.events.iter().filter(|event| event.at_s >= leaves_s).copied().collect();
        all.extend(events);
        let mut events = in_order(all);
        let disturbed_s = disturbed(&doors(&events, self.from_s), wanted, closed_s);
        events.retain(|event| event.at_s <= last_s);
        Loaded { leaves_s, events, closed_s, disturbed_s }
    }
}

/// A stretch with the door set in one way.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Opened {
    from_s: f64,
    to_s: f64,
    door: Door,
}

/// How the door stands from when until when; before anybody set it, it is open.
fn doors(events: &[Event], from_s: f64) -> Vec<Opened> {
    let mut found = vec![Opened { from_s, to_s: f64::INFINITY, door: Door::Open }];
    for event in events {
        let Action::Door(door) = event.action else { continue };
        if let Some(last) = found.last_mut() {
            last.to_s = event.at_s.max(last.from_s);
        }
        found.push(Opened { from_s: event.at_s.max(from_s), to_s: f64::INFINITY, door });
    }
    found
}

/// Whether one door stands further open than another.
fn further_open(door: Door, than: Door) -> bool {
    let rank = |door| match door {
        Door::Shut => 0,
        Door::Ajar(_) => 1,
        Door::Open => 2,
    };
    rank(door) > rank(than)
}

/// Whether a door stands as wanted, whatever the gap.
fn as_wanted(door: Door, wanted: Door) -> bool {
    matches!((door, wanted), (Door::Shut, Door::Shut) | (Door::Ajar(_), Door::Ajar(_)) | (Door::Open, Door::Open))
}

/// Stretches with the door in one of some ways, those that meet joined, s.
fn joined(doors: &[Opened], is: impl Fn(Door) -> bool) -> Vec<(f64, f64)> {
    let mut found: Vec<(f64, f64)> = Vec::new();
    for d in doors.iter().filter(|d| is(d.door)) {
        match found.last_mut() {
            Some(last) if last.1 >= d.from_s => last.1 = d.to_s,
            _ => found.push((d.from_s, d.to_s)),
        }
    }
    found
}

/// Stretches after `closed_s` with the door otherwise than wanted in passing, and until the probe has recovered.
fn disturbed(doors: &[Opened], wanted: Door, closed_s: f64) -> Vec<(f64, f64)> {
    let after: Vec<Opened> = doors.iter().filter(|d| d.from_s >= closed_s).copied().collect();
    let mut otherwise = joined(&after, |door| !as_wanted(door, wanted));
    otherwise.retain(|(from_s, to_s)| to_s - from_s <= PASSING_S);
    otherwise.into_iter().map(|(from_s, to_s)| (from_s, to_s + READS_AGAIN_S)).collect()
}
