//! A menu judged at an hour: when each dish suits with its own cold pot in, or why not.

use crate::error::AnswerError;
use crate::inputs::{Draw, Inputs};
use jiff::ZonedDateTime;
use ovenfall_engine::drive::Action;
use ovenfall_food::dish::Dish;
use ovenfall_learn::Situation;
use ovenfall_plan::menu::kind;
use ovenfall_plan::{Menu, Suits, WhenOptions, Wish, reaches_s, when};
use ovenfall_record::pots::DishPlacing;

/// A menu and the hour it is asked about.
#[derive(Debug)]
pub struct MenuAsked {
    /// The files.
    pub inputs: Inputs,
    /// The menu, with the pots of the day.
    pub menu: Menu,
    /// SHA-256 over the bytes of the menu file, where there is one of its own.
    pub menu_sha256: Option<String>,
    /// The hour asked about.
    pub at: ZonedDateTime,
    /// How far ahead, h.
    pub horizon_h: f64,
}

/// Dishes that are alike and go in within this time of each other are one load, s.
const ONE_LOAD_S: f64 = 600.0;

/// A menu judged at an hour.
#[derive(Debug)]
pub struct Judged {
    /// The files; the pots with those of the menu behind them.
    pub inputs: Inputs,
    /// SHA-256 over the bytes of the menu file, where there is one of its own.
    pub menu_sha256: Option<String>,
    /// The hour asked about.
    pub at: ZonedDateTime,
    /// Where the day stands at that hour.
    pub situation: Situation,
    /// How far ahead, h.
    pub horizon_h: f64,
    /// How it was looked.
    pub options: WhenOptions,
    /// What was assumed, in words.
    pub assumed: Vec<String>,
    /// The dishes, in the order of the menu.
    pub rows: Vec<Row>,
}

/// A dish of the menu.
#[derive(Debug)]
pub struct Row {
    /// Its name.
    pub name: String,
    /// The kind of dish it is; `None` when the table does not have it.
    pub dish: Option<Dish>,
    /// What is said of it.
    pub what: What,
}

/// What is said of a dish of the menu.
#[derive(Debug, Clone)]
pub enum What {
    /// It has been put in by the hour asked about.
    Been {
        /// Put in, minutes after the hour asked about.
        in_min: f64,
        /// Taken out by the hour asked about, the same.
        out_min: Option<f64>,
    },
    /// Its kind is not known.
    Unknown {
        /// Whether a kind is given that is not in the table.
        kind_given: bool,
    },
    /// When the oven suits it.
    Suits(Box<Suits>),
}

impl Judged {
    /// Minutes after the hour asked about.
    pub fn after_min(&self, at_s: f64) -> f64 {
        (at_s - self.situation.driven.at_s) / 60.0
    }
}

/// Judges the dishes of a menu at an hour, looking `horizon_h` ahead.
///
/// # Errors
/// When the day cannot be computed or the menu cannot be judged.
pub fn judge(asked: MenuAsked, draw: Draw, dishes: &[Dish]) -> Result<Judged, AnswerError> {
    let MenuAsked { mut inputs, menu, menu_sha256, at, horizon_h } = asked;
    inputs.pots = menu.pots.clone();
    let horizon_s = horizon_h * 3600.0;
    let kinds: Vec<&Dish> = inputs.pots.dishes.iter().filter_map(|row| kind(dishes, &row.sheet)).collect();
    let situation = inputs.situation(at.timestamp(), horizon_s + reaches_s(&kinds), draw)?;
    let options = WhenOptions::default();
    let rows = rows(&inputs, &menu, &situation, dishes, horizon_s, &options)?;
    let mut assumed: Vec<String> = situation.assumed.iter().map(|a| a.words(at.time_zone())).collect();
    assumed.extend(menu.described_twice.iter().map(|name| {
        format!("{name} is described in the menu and in the pots file, not alike: the pots file is taken")
    }));
    Ok(Judged { inputs, menu_sha256, at, situation, horizon_h, options, assumed, rows })
}

fn rows(
    inputs: &Inputs,
    menu: &Menu,
    situation: &Situation,
    dishes: &[Dish],
    horizon_s: f64,
    options: &WhenOptions,
) -> Result<Vec<Row>, AnswerError> {
    let asked = menu.dishes.iter().filter_map(|&placing| {
        let dish = inputs.pots.dishes.get(placing)?;
        Some(Dished { placing, row: dish, kind: kind(dishes, &dish.sheet), been: been(situation, placing) })
    });
    let asked: Vec<Dished<'_>> = asked.collect();
    // Of dishes that are alike and go in as one load the first is judged.
    let first_of = |i: usize| asked.iter().position(|other| other.is_like(&asked[i], situation)).unwrap_or(i);
    let judges = |i: &usize| asked[*i].been.is_none() && first_of(*i) == *i;
    let wishes: Vec<(usize, Wish<'_>)> = (0..asked.len())
        .filter(judges)
        .filter_map(|i| Some((i, Wish { placing: asked[i].placing, dish: asked[i].kind? })))
        .collect();
    let wished: Vec<Wish<'_>> = wishes.iter().map(|(_, wish)| *wish).collect();
    let judged = when(situation, &wished, horizon_s, options)?;
    let suits = |i: usize| {
        let number = wishes.iter().position(|(judged, _)| *judged == first_of(i))?;
        judged.get(number).cloned().map(|suits| What::Suits(Box::new(suits)))
    };
    let row = |(i, dished): (usize, &Dished<'_>)| Row {
        name: dished.row.sheet.name.clone(),
        dish: dished.kind.cloned(),
        what: dished
            .been
            .clone()
            .or_else(|| suits(i))
            .unwrap_or(What::Unknown { kind_given: dished.row.sheet.kind.is_some() }),
    };
    Ok(asked.iter().enumerate().map(row).collect())
}

/// A dish of the menu with what is known of it.
struct Dished<'a> {
    placing: usize,
    row: &'a DishPlacing,
    kind: Option<&'a Dish>,
    been: Option<What>,
}

impl Dished<'_> {
    /// Whether two are the same but for their names, and go in as one load.
    fn is_like(&self, other: &Self, situation: &Situation) -> bool {
        let events = &situation.driven.drive.events;
        let planned_s =
            |placing: usize| events.iter().find(|event| event.action == Action::Place(placing)).map(|event| event.at_s);
        let one_load = match (planned_s(self.placing), planned_s(other.placing)) {
            (Some(a), Some(b)) => (a - b).abs() <= ONE_LOAD_S,
            (a, b) => a == b,
        };
        let (a, b) = (&self.row.placing, &other.row.placing);
        one_load
            && self.been.is_none()
            && (a.pot, a.contents) == (b.pot, b.contents)
            && self.kind.map(|kind| &kind.name) == other.kind.map(|kind| &kind.name)
    }
}

/// Whether a dish has been put in by the hour asked about.
fn been(situation: &Situation, placing: usize) -> Option<What> {
    let at_s = situation.driven.at_s;
    let done = || situation.driven.drive.events.iter().filter(|event| event.at_s <= at_s);
    let after_min = |at_s_of: f64| (at_s_of - at_s) / 60.0;
    let put_in = done().rfind(|event| event.action == Action::Place(placing))?;
    let out = done().rfind(|event| event.action == Action::TakeOut(placing) && event.at_s >= put_in.at_s);
    Some(What::Been { in_min: after_min(put_in.at_s), out_min: out.map(|event| after_min(event.at_s)) })
}
