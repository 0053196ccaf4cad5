//! From when until when an oven suits each dish of a menu.
//!
//! Each dish is put in at times all over the horizon, first far apart, then nearer where the answer changes, on every
//! member, and judged ([`crate::judge`]); once with nothing else going in and once with everything the day has planned,
//! without the dish's own placing. All tries of a round go on from one run of the past.
//!
//! Members are the first of those that took the readings in. They are as likely as the others, so a few of them are an
//! unbiased sample, and 64 are a whole block of the design they were drawn by; a chance from 64 members has a sampling
//! error of up to 6 in 100.

use crate::course::{Course, HAND_S, Loaded, alone, as_planned};
use crate::error::PlanError;
use crate::judge;
use crate::suits::{Answer, Bar, Chance, Held, Suits};
use ovenfall_engine::drive::{Action, Event};
use ovenfall_engine::error::EngineError;
use ovenfall_engine::simulate::{Branch, Options, Shoot, Trunk};
use ovenfall_food::dish::{Dish, DoorState, JudgedBy};
use ovenfall_learn::{Conditioned, FallOptions, LearnError, Series, Situation, Way};

/// Shortest and longest horizon, s.
const HORIZON_S: (f64, f64) = (60.0, 864_000.0);
/// Least share of ovens in which what can catch fire may go in; judgement.
const SURE_SHARE: f64 = 0.9;
/// Most times looked at in the first round.
const MOST_TIMES: f64 = 500.0;

/// How to look.
#[derive(Debug, Clone, PartialEq)]
pub struct WhenOptions {
    /// Number of members, at most as many as there are.
    pub members: usize,
    /// Absolute tolerance of every temperature in the engine, K.
    pub tolerance_k: f64,
    /// Distance of the times in the first round, s.
    pub step_s: f64,
    /// Times the distance is halved where the answer changes.
    pub halvings: usize,
    /// Least share of members that counts as suiting (0 to 1).
    pub least_share: f64,
}

impl Default for WhenOptions {
    fn default() -> Self {
        Self { members: 64, tolerance_k: 0.2, step_s: 3600.0, halvings: 3, least_share: 0.5 }
    }
}

/// A dish that is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wish<'a> {
    /// Index of its placing.
    pub placing: usize,
    /// What kind of dish it is.
    pub dish: &'a Dish,
}

/// The farthest a try reaches beyond the time a dish goes in, s: so much longer than its horizon a situation has to be.
#[must_use]
pub fn reaches_s(dishes: &[&Dish]) -> f64 {
    let reach = |dish: &&Dish| {
        let settled_s = judge::settle_s(dish) + 2.0 * HAND_S;
        judge::least_s(dish).max(settled_s).max(core_limit_s(dish).unwrap_or(0.0))
    };
    dishes.iter().map(reach).fold(0.0, f64::max)
}

/// The very same time, not one near it.
fn same(a_s: f64, b_s: f64) -> bool {
    a_s.total_cmp(&b_s).is_eq()
}

/// By when the core must have come up, s after putting in.
fn core_limit_s(dish: &Dish) -> Option<f64> {
    dish.core_past.map(|rule| rule.within_h * 3600.0)
}

/// When the oven suits each dish, from the hour asked about for `horizon_s`. Dishes that are in the oven already are to
/// be left out by the caller.
///
/// # Errors
/// [`PlanError::OutOfRange`] for a horizon, step or share outside its limits, [`PlanError::NoPlacing`] for a dish the
/// day has no pot of, [`PlanError::Learn`] when the day cannot be computed. A single try that cannot be computed stands
/// in the answer as [`Bar::NotComputed`].
pub fn when(
    situation: &Situation,
    wishes: &[Wish<'_>],
    horizon_s: f64,
    options: &WhenOptions,
) -> Result<Vec<Suits>, PlanError> {
    check(situation, wishes, horizon_s, options)?;
    let few = Situation { members: first_members(&situation.members, options.members), ..situation.clone() };
    let grid: Vec<f64> = (0_u32..)
        .map(|k| few.driven.at_s + options.step_s * f64::from(k))
        .take_while(|t_s| *t_s <= few.driven.at_s + horizon_s + 1.0)
        .collect();
    let mut scans: Vec<Scan<'_>> = wishes.iter().flat_map(|wish| Scan::both(&few, *wish)).collect();
    let mut asked: Vec<Vec<f64>> = scans.iter().map(|scan| scan.first_times_s(&grid)).collect();
    for round in 0..=options.halvings {
        look(&few, &mut scans, &asked, options)?;
        if round < options.halvings {
            asked = scans.iter().map(|scan| scan.between_s(least_share(scan.wish.dish, options))).collect();
        }
    }
    Ok(scans.chunks(2).filter_map(|both| Scan::suits(both, options)).collect())
}

fn check(situation: &Situation, wishes: &[Wish<'_>], horizon_s: f64, options: &WhenOptions) -> Result<(), PlanError> {
    within("horizon (s)", horizon_s, HORIZON_S.0, HORIZON_S.1)?;
    within("step of the times (s)", options.step_s, (horizon_s / MOST_TIMES).max(1.0), HORIZON_S.1)?;
    within("least share of members", options.least_share, 0.01, 1.0)?;
    within("number of members", options.members as f64, 1.0, f64::INFINITY)?;
    let placings = situation.driven.drive.placings.len();
    match wishes.iter().find(|wish| wish.placing >= placings) {
        Some(wish) => Err(PlanError::NoPlacing { placing: wish.placing, placings }),
        None => Ok(()),
    }
}

fn within(what: &'static str, value: f64, min: f64, max: f64) -> Result<(), PlanError> {
    if (min..=max).contains(&value) { Ok(()) } else { Err(PlanError::OutOfRange { what, value, min, max }) }
}

/// The first members of those that took the readings in.
fn first_members(all: &Conditioned, members: usize) -> Conditioned {
    let mut few = all.clone();
    few.ensemble.members.truncate(members);
    few.ensemble.parameters.truncate(members);
    few.instruments.truncate(members);
    few.innovations.truncate(members);
    few
}

/// One dish with one course of everything else.
struct Scan<'a> {
    wish: Wish<'a>,
    course: Course,
    /// The time the day has planned for it.
    planned_s: Option<f64>,
    /// In order of time.
    chances: Vec<Chance>,
}

/// A dish put in at a time, to be run.
struct Try {
    at_s: f64,
    looks_s: Vec<f64>,
    shoot: Shoot,
}

impl<'a> Scan<'a> {
    /// Alone, and as planned.
    fn both(situation: &Situation, wish: Wish<'a>) -> [Self; 2] {
        let at_s = situation.driven.at_s;
        let own = |event: &&Event| event.at_s > at_s && event.action == Action::Place(wish.placing);
        let planned_s = situation.driven.drive.events.iter().find(own).map(|event| event.at_s);
        let scan = |course, planned_s| Self { wish, course, planned_s, chances: Vec::new() };
        [scan(alone(situation), None), scan(as_planned(situation, wish.placing), planned_s)]
    }

    /// The grid, the time planned for it, and the times from and until which fire or door keep it out.
    fn first_times_s(&self, grid: &[f64]) -> Vec<f64> {
        let (first_s, last_s) = (grid.first().copied().unwrap_or(0.0), grid.last().copied().unwrap_or(0.0));
        let keeps_out = self.course.open_s(judge::door(self.wish.dish)).into_iter().flat_map(|(from_s, to_s)| {
            let too_late_s = from_s - judge::least_s(self.wish.dish);
            [too_late_s, to_s]
        });
        let edges = keeps_out.chain(self.course.raked_s()).filter(|t_s| first_s <= *t_s && *t_s <= last_s);
        let mut times: Vec<f64> = grid.iter().copied().chain(self.planned_s).chain(edges).collect();
        times.sort_by(f64::total_cmp);
        times.dedup();
        times
    }

    /// Times half way where it begins or ceases to suit, or jumps over the window.
    fn between_s(&self, least_share: f64) -> Vec<f64> {
        let (_, cool_c) = judge::window_c(self.wish.dish);
        let held = |chance: &Chance| Held::of(chance, cool_c, least_share);
        let changes = |pair: &&[Chance]| {
            let (a, b) = (held(&pair[0]), held(&pair[1]));
            let suits = (a == Held::Suits) != (b == Held::Suits);
            let jumps = matches!((&a, &b), (Held::TooHot, Held::Empty | Held::TooCool));
            suits || jumps
        };
        self.chances.windows(2).filter(changes).map(|pair| f64::midpoint(pair[0].at_s, pair[1].at_s)).collect()
    }

    /// Why a dish cannot go in at a time, as far as it can be known without a run.
    fn bar(&self, at_s: f64) -> Option<Bar> {
        let dish = self.wish.dish;
        let end_s = at_s + judge::least_s(dish);
        let lit = |event: &Event| matches!(event.action, Action::WoodOn(_)) && (at_s..end_s).contains(&event.at_s);
        let burns = self.course.fire_in_at(at_s);
        match dish.door {
            DoorState::OpenFlame => (!burns).then_some(Bar::NoFlame),
            DoorState::Open => None,
            _ if burns || self.course.events.iter().any(lit) => Some(Bar::FireIn),
            _ => {
                let from_s = self.course.stands_open_s(judge::door(dish), at_s, end_s);
                from_s.map(|from_s| Bar::DoorOpen { from_s })
            }
        }
    }

    fn try_at(&self, at_s: f64) -> Try {
        let (dish, placing) = (self.wish.dish, self.wish.placing);
        if judged_before(dish) {
            // Only to see whether there is room: the floor is judged just before.
            let same_time = self.course.events.iter().filter(|event| same(event.at_s, at_s)).copied();
            let events = same_time.chain([Event { at_s, action: Action::Place(placing) }]).collect();
            let branch = Branch { events, end_s: at_s + HAND_S, output_times_s: Vec::new() };
            return Try { at_s, looks_s: Vec::new(), shoot: Shoot { leaves_s: at_s, branch } };
        }
        let last_s = at_s + judge::least_s(dish).max(core_limit_s(dish).unwrap_or(0.0));
        let loaded: Loaded = self.course.with(placing, judge::door(dish), at_s, last_s);
        let looks_s = judge::looks_s(dish, at_s, &loaded);
        let mut times_s = looks_s.clone();
        times_s.extend(core_limit_s(dish).map(|limit_s| at_s + limit_s));
        times_s.sort_by(f64::total_cmp);
        let end_s = times_s.iter().copied().fold(at_s + HAND_S, f64::max);
        let branch = Branch { events: loaded.events, end_s, output_times_s: times_s };
        Try { at_s, looks_s, shoot: Shoot { leaves_s: loaded.leaves_s, branch } }
    }

    /// When the oven is read for a dish put in at a time.
    fn read_s(&self, at_s: f64) -> f64 {
        if judged_before(self.wish.dish) { at_s } else { self.course.read_s(at_s) }
    }

    /// The course without the dish, looked at just before it goes in.
    fn without(&self, asked_s: &[f64], from_s: f64) -> Branch {
        let output_times_s: Vec<f64> = asked_s.iter().map(|at_s| self.read_s(*at_s)).collect();
        let end_s = asked_s.last().copied().unwrap_or(from_s) + 1.0;
        let events = self.course.events.iter().filter(|event| event.at_s <= end_s).copied().collect();
        Branch { events, end_s, output_times_s }
    }

    fn keep(&mut self, mut chances: Vec<Chance>) {
        self.chances.append(&mut chances);
        self.chances.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    }

    fn suits(both: &[Self], options: &WhenOptions) -> Option<Suits> {
        let [alone, planned] = both else { return None };
        let dish = alone.wish.dish;
        let least = least_share(dish, options);
        let answer = |scan: &Self| Answer::new(scan.chances.clone(), judge::window_c(dish), least);
        let at_plan = |planned_s: f64| planned.chances.iter().position(|chance| same(chance.at_s, planned_s));
        Some(Suits {
            placing: alone.wish.placing,
            alone: answer(alone),
            as_planned: answer(planned),
            planned: planned.planned_s.and_then(at_plan),
            settle_s: judge::settle_s(dish),
            least_s: judge::least_s(dish),
        })
    }
}

/// Looks at each scan's times: one run of the past for all of them.
fn look(
    situation: &Situation,
    scans: &mut [Scan<'_>],
    asked_s: &[Vec<f64>],
    options: &WhenOptions,
) -> Result<(), PlanError> {
    let from_s = situation.driven.at_s;
    let mut trunks = Vec::new();
    let mut tries: Vec<Vec<Result<Try, Box<Chance>>>> = Vec::new();
    for (scan, asked_s) in scans.iter().zip(asked_s).filter(|(_, asked_s)| !asked_s.is_empty()) {
        let one = |&at_s: &f64| match scan.bar(at_s) {
            Some(bar) => Err(Box::new(Chance::barred(at_s, bar))),
            None => Ok(scan.try_at(at_s)),
        };
        let of_scan: Vec<_> = asked_s.iter().map(one).collect();
        let shoots = of_scan.iter().flatten().map(|one| one.shoot.clone()).collect();
        trunks.push(Trunk { branch: scan.without(asked_s, from_s), shoots });
        tries.push(of_scan);
    }
    if trunks.is_empty() {
        return Ok(());
    }
    let engine = Options { tolerance_k: options.tolerance_k, ..Options::default() };
    let draws = FallOptions { seed: situation.members.ensemble.seed, ..FallOptions::default() };
    let mut came = situation.trunks(&trunks, &engine, &draws).into_iter();
    let looked = scans.iter_mut().zip(asked_s).filter(|(_, asked_s)| !asked_s.is_empty());
    for ((scan, _), of_scan) in looked.zip(tries) {
        let Some(without) = came.next() else { break };
        let without = without?;
        let chances = of_scan.into_iter().enumerate().filter_map(|(look, one)| match one {
            Err(barred) => Some(*barred),
            Ok(one) => Some(scan.chance(&one, came.next()?, &Read { way: &without, look })),
        });
        let chances = chances.collect();
        scan.keep(chances);
    }
    Ok(())
}

/// The course without the dish, at the look for one try.
struct Read<'a> {
    way: &'a Way,
    look: usize,
}

impl Scan<'_> {
    /// What came of a try.
    fn chance(&self, one: &Try, way: Result<Way, LearnError>, read: &Read<'_>) -> Chance {
        let way = match way {
            Ok(way) => way,
            Err(error) => return Chance::barred(one.at_s, bar_of(error)),
        };
        let dish = self.wish.dish;
        let read_row = |series: &Series| series.by_time().nth(read.look).map(<[f64]>::to_vec).unwrap_or_default();
        if judged_before(dish) {
            let mut face_c = read_row(&read.way.members.floor_c);
            if dish.flammable {
                let crown_c = read_row(&read.way.members.crown_c);
                let looked = read.look..read.look + 1;
                let fire_side_c = read_row_of(&read.way.run.series(looked, |history| &history.fire_side_c));
                for ((face, crown), fire_side) in face_c.iter_mut().zip(crown_c).zip(fire_side_c) {
                    *face = face.max(crown).max(fire_side);
                }
            }
            let chance = judge::chance(dish, one.at_s, &[one.at_s], &[&face_c]);
            return Chance { reading: judge::reading(dish, &face_c), ..chance };
        }
        let looked = |t_s: &f64| one.looks_s.contains(t_s);
        let rows = way.members.probe_c.by_time().zip(&way.members.times_s).filter(|(_, t_s)| looked(t_s));
        let rows: Vec<&[f64]> = rows.map(|(row, _)| row).collect();
        let chance = judge::chance(dish, one.at_s, &one.looks_s, &rows);
        let probe_c = read_row(&read.way.members.probe_c);
        let shows = self.course.reads_at(self.read_s(one.at_s));
        Chance {
            reading: judge::reading(dish, &probe_c).filter(|_| shows),
            core_in_time_share: self.core_in_time_share(one.at_s, &way),
            ..chance
        }
    }

    fn core_in_time_share(&self, at_s: f64, way: &Way) -> Option<f64> {
        let rule = self.wish.dish.core_past?;
        let limit_s = at_s + rule.within_h * 3600.0;
        let look = way.members.times_s.iter().position(|t_s| same(*t_s, limit_s))?;
        let core_c = &way.members.placings.get(self.wish.placing)?.core_c;
        core_c.share(|c| c >= rule.past_c).get(look).copied()
    }
}

/// Whether a dish is judged by what it is put into, without credit for what it takes out: what is done in minutes on the
/// floor, and what can catch fire.
fn judged_before(dish: &Dish) -> bool {
    dish.judged_by == JudgedBy::Floor || dish.flammable
}

/// The only row of a series.
fn read_row_of(series: &Series) -> Vec<f64> {
    series.by_time().next().map(<[f64]>::to_vec).unwrap_or_default()
}

/// Least share of ovens for which a dish is said to suit: what can catch fire is not put in on an even chance.
pub fn least_share(dish: &Dish, options: &WhenOptions) -> f64 {
    if dish.flammable { options.least_share.max(SURE_SHARE) } else { options.least_share }
}

/// A try the engine refuses.
fn bar_of(error: LearnError) -> Bar {
    match error {
        LearnError::Member { source: EngineError::FloorFull { covered_m2, floor_m2 }, .. } => {
            Bar::FloorFull { covered_m2, floor_m2 }
        }
        other => Bar::NotComputed(other),
    }
}
