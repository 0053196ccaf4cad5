//! The answer: at which hours the oven suits a dish, in how many chances, and why not at the others.
//!
//! Shares are of the members. Times are seconds after the start of the day. Nothing here says that what comes out has
//! been cooked enough.

use ovenfall_learn::LearnError;
use ovenfall_learn::now::Likely;

/// What the oven reads just before the door is opened for the dish, held against the window: the naive answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The reading.
    pub reads_c: Likely,
    /// Share of the members that read hotter than the window.
    pub too_hot_share: f64,
    /// Share of the members that read inside the window.
    pub within_share: f64,
    /// Share of the members that read cooler than the window.
    pub too_cool_share: f64,
}

/// Why a dish cannot go in at an hour at all.
#[derive(Debug, Clone, PartialEq)]
pub enum Bar {
    /// A fire or embers are in, or a fire is planned before it would be done; it wants the door on.
    FireIn,
    /// It wants a flame, and the fire is out.
    NoFlame,
    /// The door is planned to stand further open than it wants, before it would be done.
    DoorOpen {
        /// From when on, s.
        from_s: f64,
    },
    /// There is no room for it on the floor.
    FloorFull {
        /// Footprint of all pots with it, m².
        covered_m2: f64,
        /// Floor, m².
        floor_m2: f64,
    },
    /// The engine could not compute it.
    NotComputed(LearnError),
}

/// A dish put in at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct Chance {
    /// The time it goes in, s.
    pub at_s: f64,
    /// Share of the members whose oven suits it.
    pub suits_share: f64,
    /// Share of the members that are too hot for it once settled.
    pub too_hot_share: f64,
    /// Share of the members that are too cool, or fall out of the window before its least usual time is over.
    pub too_cool_share: f64,
    /// Why it cannot go in at all; the shares are zero then.
    pub bar: Option<Bar>,
    /// What the oven reads before it goes in; `None` where the door is open, or was just now.
    pub reading: Option<Reading>,
    /// What judges it once settled with the dish in.
    pub settled_c: Option<Likely>,
    /// The same when its least usual time is over.
    pub end_c: Option<Likely>,
    /// Among members that become too cool: the middle of the times at which they are first seen below the window, s.
    pub under_at_s: Option<f64>,
    /// Share of the members whose core comes up in time, where the dish has such a rule.
    pub core_in_time_share: Option<f64>,
}

impl Chance {
    /// A time at which it cannot go in.
    #[must_use]
    pub fn barred(at_s: f64, bar: Bar) -> Self {
        Self {
            at_s,
            suits_share: 0.0,
            too_hot_share: 0.0,
            too_cool_share: 0.0,
            bar: Some(bar),
            reading: None,
            settled_c: None,
            end_c: None,
            under_at_s: None,
            core_in_time_share: None,
        }
    }
}

/// What holds of the oven for a dish, more likely than not.
#[derive(Debug, Clone, PartialEq)]
pub enum Held {
    /// It suits.
    Suits,
    /// Still too hot with the dish in.
    TooHot,
    /// It reads warm enough but is empty: with the dish in it falls out of the window before the dish is done.
    Empty,
    /// It reads too cool already.
    TooCool,
    /// None of these is likely enough to be named.
    Unlikely,
    /// It cannot go in.
    Barred(Bar),
}

impl Held {
    /// What holds at a chance, for a window with this cool end (°C; minus infinity for none).
    #[must_use]
    pub fn of(chance: &Chance, cool_c: f64, least_share: f64) -> Self {
        let warm = |c: Option<Likely>| c.is_some_and(|c| c.p50 >= cool_c);
        let reads = chance.reading.map(|reading| reading.reads_c).or(chance.settled_c);
        if let Some(bar) = &chance.bar {
            Self::Barred(bar.clone())
        } else if chance.suits_share >= least_share {
            Self::Suits
        } else if chance.too_hot_share >= 0.5 {
            Self::TooHot
        } else if chance.too_cool_share < 0.5 {
            Self::Unlikely
        } else if warm(reads) {
            Self::Empty
        } else {
            Self::TooCool
        }
    }

    /// Whether two are the same in kind, whatever their figures.
    #[must_use]
    pub fn is_like(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Barred(a), Self::Barred(b)) => std::mem::discriminant(a) == std::mem::discriminant(b),
            _ => std::mem::discriminant(self) == std::mem::discriminant(other),
        }
    }
}

/// A stretch of time over which the same holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    /// What holds.
    pub held: Held,
    /// Beginning, s.
    pub from_s: f64,
    /// End, s.
    pub to_s: f64,
    /// It holds from the hour asked about on.
    pub under_way: bool,
    /// It goes on beyond the last time looked at.
    pub goes_on: bool,
    /// Index of the likeliest chance in it; the earliest among equals.
    pub best: usize,
}

/// When the oven suits a dish, with one course of everything else.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Answer {
    /// Chances at the times looked at, in order.
    pub chances: Vec<Chance>,
    /// What holds when, in order, without gaps.
    pub stretches: Vec<Stretch>,
    /// Index of the likeliest chance at which the oven reads too hot and yet suits the dish once it is in.
    pub hot_but_right: Option<usize>,
    /// Index of the first chance at which the oven reads inside the window and yet is empty.
    pub right_but_empty: Option<usize>,
}

impl Answer {
    /// Reads the answer off chances in order of time.
    #[must_use]
    pub fn new(chances: Vec<Chance>, window_c: (f64, f64), least_share: f64) -> Self {
        let (hot_c, cool_c) = window_c;
        let held: Vec<Held> = chances.iter().map(|chance| Held::of(chance, cool_c, least_share)).collect();
        let reads_c = |i: usize| chances.get(i).and_then(|chance| chance.reading).map(|reading| reading.reads_c.p50);
        let those = |wanted: Held, fits: fn(f64, f64) -> bool| {
            let is = |i: &usize| held[*i].is_like(&wanted) && reads_c(*i).is_some_and(|c| fits(c, hot_c));
            (0..held.len()).filter(is).collect::<Vec<usize>>()
        };
        let likelier = |a: usize, b: usize| if chances[b].suits_share > chances[a].suits_share { b } else { a };
        let hot_but_right = those(Held::Suits, |c, hot_c| c > hot_c).into_iter().reduce(likelier);
        let right_but_empty = those(Held::Empty, |c, hot_c| c <= hot_c).into_iter().next();
        let stretches = stretches(&chances, held, least_share);
        Self { stretches, hot_but_right, right_but_empty, chances }
    }

    /// Stretches during which the oven suits the dish.
    pub fn suits(&self) -> impl Iterator<Item = &Stretch> {
        self.stretches.iter().filter(|stretch| stretch.held == Held::Suits)
    }

    /// The likeliest chance of all; the earliest among equals.
    #[must_use]
    pub fn best(&self) -> Option<&Chance> {
        self.chances.iter().reduce(|a, b| if b.suits_share > a.suits_share { b } else { a })
    }
}

fn stretches(chances: &[Chance], held: Vec<Held>, least_share: f64) -> Vec<Stretch> {
    let mut found: Vec<Stretch> = Vec::new();
    let last = chances.len().saturating_sub(1);
    for (i, (chance, held)) in chances.iter().zip(held).enumerate() {
        let from_s = match i.checked_sub(1).and_then(|before| chances.get(before)) {
            Some(before) => edge_s(before, chance, least_share),
            None => chance.at_s,
        };
        match found.last_mut() {
            Some(open) if open.held.is_like(&held) => {
                if chance.suits_share > chances[open.best].suits_share {
                    open.best = i;
                }
            }
            open => {
                if let Some(open) = open {
                    open.to_s = from_s;
                }
                found.push(Stretch { held, from_s, to_s: chance.at_s, under_way: i == 0, goes_on: false, best: i });
            }
        }
        if let (true, Some(open)) = (i == last, found.last_mut()) {
            (open.to_s, open.goes_on) = (chance.at_s, true);
        }
    }
    found
}

/// Where one thing gives way to another between two times. Where the share crosses the least one: on the chord. What
/// keeps the dish out is taken to do so up to the other time, since its ends are among the times looked at. Else in the
/// middle.
fn edge_s(a: &Chance, b: &Chance, least_share: f64) -> f64 {
    let (first, last) = (a.suits_share, b.suits_share);
    let part = match (a.bar.is_some(), b.bar.is_some()) {
        (true, false) => 1.0,
        (false, true) => 0.0,
        (false, false) if (first >= least_share) != (last >= least_share) => (least_share - first) / (last - first),
        _ => 0.5,
    };
    a.at_s + (b.at_s - a.at_s) * part
}

/// When the oven suits a dish.
#[derive(Debug, Clone, PartialEq)]
pub struct Suits {
    /// Index of the placing.
    pub placing: usize,
    /// Nothing else goes in from the hour on.
    pub alone: Answer,
    /// Everything the day places goes in.
    pub as_planned: Answer,
    /// Index into the chances of `as_planned` of the time the day has planned for it.
    pub planned: Option<usize>,
    /// The time it has for settling once the door is closed, s.
    pub settle_s: f64,
    /// Its least usual time, s.
    pub least_s: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chance(at_s: f64, shares: (f64, f64, f64), reads_c: f64) -> Chance {
        let reads_c = Likely { p05: reads_c - 5.0, p50: reads_c, p95: reads_c + 5.0 };
        let (too_hot_share, suits_share, too_cool_share) = shares;
        let reading = Some(Reading { reads_c, too_hot_share: 0.0, within_share: 1.0, too_cool_share: 0.0 });
        Chance { suits_share, too_hot_share, too_cool_share, reading, bar: None, ..Chance::barred(at_s, Bar::FireIn) }
    }

    #[test]
    fn stretches_meet_where_the_chance_is_even() {
        let chances = vec![
            Chance::barred(0.0, Bar::FireIn),
            chance(100.0, (1.0, 0.0, 0.0), 300.0),
            chance(200.0, (0.0, 1.0, 0.0), 240.0),
            chance(300.0, (0.0, 0.75, 0.25), 200.0),
            chance(400.0, (0.0, 0.25, 0.75), 180.0),
            chance(500.0, (0.0, 0.0, 1.0), 90.0),
        ];
        let answer = Answer::new(chances, (230.0, 110.0), 0.5);
        let told: Vec<(Held, f64, f64)> = answer.stretches.iter().map(|s| (s.held.clone(), s.from_s, s.to_s)).collect();
        assert_eq!(
            told,
            [
                (Held::Barred(Bar::FireIn), 0.0, 100.0),
                (Held::TooHot, 100.0, 150.0),
                (Held::Suits, 150.0, 350.0),
                (Held::Empty, 350.0, 450.0),
                (Held::TooCool, 450.0, 500.0),
            ]
        );
        assert_eq!((answer.hot_but_right, answer.right_but_empty), (Some(2), Some(4)));
        assert_eq!(answer.suits().next().map(|s| s.best), Some(2));
        assert!(answer.stretches[0].under_way && answer.stretches[4].goes_on);
    }

    #[test]
    fn nothing_looked_at_is_no_stretch() {
        assert_eq!(Answer::new(Vec::new(), (230.0, 110.0), 0.5), Answer::default());
    }
}
