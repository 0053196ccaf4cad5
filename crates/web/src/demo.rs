//! The demo: an invented bakehouse and a day of it in motion, to play with before there is an oven of one's own.
//!
//! The day's own entries are written down as the demo's clock passes the time each was written at, as if somebody stood there;
//! whoever plays may write between them. It is an oven and a day like any other, but for its clock: a minute passes in a
//! second, and only while a screen watches. A day begun again is a further day; nothing is taken away.

use crate::error::WebError;
use jiff::{SignedDuration, Timestamp};
use ovenfall_record::day::Entry;
use ovenfall_record::day_file::read_day;
use ovenfall_store::{DayId, OvenId, Store};
use std::sync::{Mutex, MutexGuard, PoisonError};

const OVEN: &str = include_str!("../../../data/demo/oven.toml");
const DAY: &str = include_str!("../../../data/demo/day.csv");
const POTS: &str = include_str!("../../../data/demo/pots.toml");
/// Id of the demo's oven; its days are called after it, with a number.
const ID: &str = "slipway-demo";
/// Who is said to have written the day's own entries.
const WHO: &str = "the demo";
/// How fast its clock runs.
const SPEED: f64 = 60.0;
/// The first look at it: this entry is the first reading of the probe once the embers are out.
const FIRST_SEEN: &str = "21";
/// A day begun again starts so long before its first entry, s.
const BEFORE_LIGHTING_S: i64 = 60;
/// The clock stops so long after the last entry, s.
const AFTER_THE_LAST_S: i64 = 5400;

/// The demo's clock at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Playing {
    /// What it says, Unix time in ms.
    pub at_ms: i64,
    /// How fast it runs; 0 when it stands.
    pub speed_factor: f64,
}

#[derive(Debug)]
struct State {
    day: DayId,
    number: u32,
    now: Timestamp,
    running: bool,
}

/// The demo.
#[derive(Debug)]
pub struct Demo {
    oven: OvenId,
    entries: Vec<Entry>,
    state: Mutex<State>,
}

fn seconds(s: f64) -> SignedDuration {
    SignedDuration::try_from_secs_f64(s).unwrap_or(SignedDuration::ZERO)
}

impl Demo {
    /// Puts the demo into a data file, or finds it there and goes on from its last entry.
    ///
    /// # Errors
    /// When the file cannot be read or written.
    pub fn seed(store: &Store, now: Timestamp) -> Result<Self, WebError> {
        let oven = OvenId::new(ID)?;
        let entries = read_day("demo day", DAY).map_err(ovenfall_store::StoreError::Problems)?.entries;
        let known = store.ovens()?.into_iter().any(|known| known.oven == oven);
        if !known {
            store.write_oven(&oven, OVEN, WHO, now)?;
        }
        let days = store.days(&oven)?;
        let last = days.iter().filter_map(|day| number_of(&day.day)).max();
        let number = last.unwrap_or(1);
        let day = day_of(number)?;
        let begins = entries.iter().find(|entry| entry.id == FIRST_SEEN).map(|entry| entry.written.instant);
        let mut at = begins.unwrap_or(now);
        if last.is_some() {
            let kept = store.day(&day)?;
            at = kept.entries.iter().map(|entry| entry.written.instant).max().unwrap_or(at).max(lit(&entries, now));
        } else {
            begin(store, &oven, &day, now)?;
        }
        let demo = Self { oven, entries, state: Mutex::new(State { day, number, now: at, running: true }) };
        demo.write_what_is_due(store)?;
        Ok(demo)
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Its oven.
    #[must_use]
    pub const fn oven(&self) -> &OvenId {
        &self.oven
    }

    /// The time on the demo's clock, for its oven's days; `None` for other days.
    #[must_use]
    pub fn now_on(&self, day: &DayId) -> Option<Timestamp> {
        number_of(day).map(|_| self.state().now)
    }

    /// Its clock.
    #[must_use]
    pub fn playing(&self) -> Playing {
        let state = self.state();
        Playing { at_ms: state.now.as_millisecond(), speed_factor: if state.running { SPEED } else { 0.0 } }
    }

    /// Lets so much of the real time pass, and writes down what is due. Whether something was written.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn pass(&self, store: &Store, real_s: f64) -> Result<bool, WebError> {
        let ends = self.entries.iter().map(|entry| entry.written.instant).max();
        let ends = ends.and_then(|last| last.checked_add(SignedDuration::from_secs(AFTER_THE_LAST_S)).ok());
        {
            let mut state = self.state();
            if !state.running {
                return Ok(false);
            }
            state.now = state.now.checked_add(seconds(real_s * SPEED)).unwrap_or(state.now);
            if ends.is_some_and(|ends| state.now >= ends) {
                state.running = false;
            }
        }
        self.write_what_is_due(store)
    }

    /// Halts the clock or lets it run on.
    pub fn run(&self, running: bool) {
        self.state().running = running;
    }

    /// Begins the day again, before the fire is lit: a further day.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn again(&self, store: &Store, now: Timestamp) -> Result<DayId, WebError> {
        let number = self.state().number + 1;
        let day = day_of(number)?;
        begin(store, &self.oven, &day, now)?;
        *self.state() = State { day: day.clone(), number, now: lit(&self.entries, now), running: true };
        Ok(day)
    }

    /// Writes down the day's own entries that are due; each is there once however often this is asked.
    fn write_what_is_due(&self, store: &Store) -> Result<bool, WebError> {
        let (day, now) = {
            let state = self.state();
            (state.day.clone(), state.now)
        };
        let due: Vec<Entry> = self.entries.iter().filter(|entry| entry.written.instant <= now).cloned().collect();
        let mut new = false;
        // One at a time: an entry that does not fit what the player wrote is left out, and the day goes on.
        for entry in &due {
            match store.append(&day, std::slice::from_ref(entry), WHO, now) {
                Ok(became) => new |= became.contains(&ovenfall_store::Appended::Added),
                Err(ovenfall_store::StoreError::Problems(_) | ovenfall_store::StoreError::Taken { .. }) => {}
                Err(error) => return Err(error.into()),
            }
        }
        Ok(new)
    }
}

/// Just before the fire is lit.
fn lit(entries: &[Entry], otherwise: Timestamp) -> Timestamp {
    let first = entries.iter().map(|entry| entry.written.instant).min().unwrap_or(otherwise);
    first.checked_sub(SignedDuration::from_secs(BEFORE_LIGHTING_S)).unwrap_or(first)
}

fn day_of(number: u32) -> Result<DayId, WebError> {
    Ok(DayId::new(&format!("{ID}-{number}"))?)
}

/// Which of the demo's days a day is.
fn number_of(day: &DayId) -> Option<u32> {
    day.as_str().strip_prefix(ID)?.strip_prefix('-')?.parse().ok()
}

fn begin(store: &Store, oven: &OvenId, day: &DayId, now: Timestamp) -> Result<(), WebError> {
    store.begin_day(day, oven, now)?;
    store.write_pots(day, POTS, WHO, now)?;
    Ok(())
}
