//! A day: one firing and all that is cooked on it, as an append-only list of entries.
//!
//! An entry is never changed. A mistake is struck by a later entry, so that a replay of any hour can know exactly what
//! was known then: [`Day::known_at`].

use crate::moment::Moment;
use crate::problem::Problem;
use crate::reading::{Mass, Reading, Temperature};
use jiff::Timestamp;
use ovenfall_engine::description::FirePlace;
use std::collections::HashSet;

/// How much wood was put on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WoodAmount {
    /// Weighed.
    Weighed(Mass),
    /// Counted in baskets.
    Baskets {
        /// How many.
        count: f64,
        /// Mass of one basket if the entry says so; otherwise the pots file's.
        basket: Option<Mass>,
    },
}

/// How the door was set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DoorSet {
    /// On, as tight as it goes.
    Shut,
    /// Set aside; the free share of the mouth in percent if it is known.
    Ajar {
        /// Free share of the mouth, %.
        free_percent: Option<f64>,
    },
    /// Away.
    Open,
}

/// One thing done.
#[derive(Debug, Clone, PartialEq)]
pub enum Done {
    /// Wood put on the fire.
    WoodOn {
        /// How much.
        amount: WoodAmount,
        /// Water, percent of the whole mass, if it is known for this feed.
        moisture_percent: Option<f64>,
    },
    /// Fire or embers moved to a place.
    FireMoved(FirePlace),
    /// Embers spread over the floor.
    EmbersSpread,
    /// Embers raked out.
    RakedOut,
    /// Floor swept dry.
    Swept,
    /// Floor wiped with a wet cloth; the water left on it if it is known.
    Swabbed {
        /// Water left on the floor.
        water: Option<Mass>,
    },
    /// Door set.
    Door(DoorSet),
    /// A dish put in.
    Placed {
        /// The dish, by its name in the pots file.
        dish: String,
    },
    /// A dish turned round.
    Turned {
        /// The dish, by its name in the pots file.
        dish: String,
    },
    /// Liquid added to a dish.
    ToppedUp {
        /// The dish, by its name in the pots file.
        dish: String,
        /// How much.
        amount: Mass,
        /// How hot it was, if it is known.
        temperature: Option<Temperature>,
    },
    /// A dish taken out.
    TakenOut {
        /// The dish, by its name in the pots file.
        dish: String,
    },
}

impl Done {
    /// The dish it is about, if it is about one.
    #[must_use]
    pub fn dish(&self) -> Option<&str> {
        match self {
            Self::Placed { dish } | Self::Turned { dish } | Self::ToppedUp { dish, .. } | Self::TakenOut { dish } => {
                Some(dish)
            }
            _ => None,
        }
    }
}

/// What an entry says.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// Something was done.
    Done(Done),
    /// Something was read.
    Reading(Reading),
    /// An earlier entry was a mistake.
    Strike {
        /// Id of the entry struck.
        id: String,
    },
}

/// One entry.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Its id, unique in the day.
    pub id: String,
    /// The time it is about.
    pub at: Moment,
    /// The time it was written down.
    pub written: Moment,
    /// What it says.
    pub what: What,
    /// Anything else worth keeping.
    pub note: String,
    /// Line of the file it came from; 0 when it came from no file.
    pub line: usize,
}

impl Entry {
    /// The dish it is about, if it is about one.
    #[must_use]
    pub fn dish(&self) -> Option<&str> {
        match &self.what {
            What::Done(done) => done.dish(),
            What::Reading(reading) => reading.dish(),
            What::Strike { .. } => None,
        }
    }

    /// The reading, if it is one.
    #[must_use]
    pub const fn reading(&self) -> Option<&Reading> {
        match &self.what {
            What::Reading(reading) => Some(reading),
            _ => None,
        }
    }
}

/// A day, with what the reader doubted.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Day {
    /// Name of the file it came from, for messages.
    pub file: String,
    /// Entries in the order they were written down.
    pub entries: Vec<Entry>,
    /// What looked wrong but did not stop the reader.
    pub warnings: Vec<Problem>,
}

impl Day {
    /// Entries that stand at the end: strikes and what they struck left out, in order of the time they are about.
    #[must_use]
    pub fn standing(&self) -> Vec<&Entry> {
        self.without(&self.struck_by(Timestamp::MAX), Timestamp::MAX)
    }

    /// Entries written down by `at` and not struck by then, in order of the time they are about.
    #[must_use]
    pub fn known_at(&self, at: Timestamp) -> Vec<&Entry> {
        self.without(&self.struck_by(at), at)
    }

    /// Ids struck by entries written down by `at`.
    #[must_use]
    pub fn struck_by(&self, at: Timestamp) -> HashSet<&str> {
        self.entries
            .iter()
            .filter(|entry| entry.written.instant <= at)
            .filter_map(|entry| match &entry.what {
                What::Strike { id } => Some(id.as_str()),
                _ => None,
            })
            .collect()
    }

    /// Readings of the time up to `at` that were written down by then, in order of the time they are about.
    #[must_use]
    pub fn readings_known_at(&self, at: Timestamp) -> Vec<(&Entry, &Reading)> {
        self.known_at(at)
            .into_iter()
            .filter(|entry| entry.at.instant <= at)
            .filter_map(|entry| entry.reading().map(|reading| (entry, reading)))
            .collect()
    }

    fn without(&self, struck: &HashSet<&str>, written_by: Timestamp) -> Vec<&Entry> {
        let mut standing: Vec<&Entry> = self
            .entries
            .iter()
            .filter(|entry| entry.written.instant <= written_by)
            .filter(|entry| !matches!(entry.what, What::Strike { .. }) && !struck.contains(entry.id.as_str()))
            .collect();
        standing.sort_by_key(|entry| entry.at.instant);
        standing
    }
}
