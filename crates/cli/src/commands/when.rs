//! `ovenfall when`: at which hours the oven suits each dish of a menu, with the dish put in, and why not at the others.

use super::{fall::print_indented, print_json};
use crate::Config;
use crate::arguments::WhenArguments;
use crate::failure::Failure;
use crate::inputs::Inputs;
use crate::when_json::WhenJson;
use crate::{cautions, wall_clock, when_words, words};
use jiff::ZonedDateTime;
use ovenfall_engine::drive::Action;
use ovenfall_food::dish::{Dish, standard};
use ovenfall_learn::Situation;
use ovenfall_plan::menu::kind;
use ovenfall_plan::{Menu, Suits, WhenOptions, Wish, reaches_s, when};
use ovenfall_record::pots::DishPlacing;
use std::io::{self, Write};
use std::process::ExitCode;

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

/// Runs the verb.
pub fn run(arguments: &WhenArguments, config: &Config, out: &mut dyn Write) -> Result<ExitCode, Failure> {
    let judged = judge(arguments, &standard()?)?;
    if arguments.question.json {
        for warning in &judged.inputs.warnings {
            writeln!(io::stderr(), "{warning}")?;
        }
        print_json(out, &WhenJson::new(&judged))?;
    } else {
        print(&judged, config.text_columns, out)?;
    }
    Ok(ExitCode::SUCCESS)
}

fn judge(arguments: &WhenArguments, dishes: &[Dish]) -> Result<Judged, Failure> {
    let question = &arguments.question;
    let mut inputs = Inputs::read(&question.oven, &question.day, question.pots.as_deref())?;
    let (menu, menu_sha256) = match &arguments.menu {
        Some(path) => inputs.menu(path).map(|(menu, sha256)| (menu, Some(sha256)))?,
        None => (Menu::of_the_day(inputs.pots.clone()), None),
    };
    inputs.pots = menu.pots.clone();
    let at = wall_clock::hour_asked(&inputs, question.at.as_deref())?;
    let horizon_s = arguments.horizon_h * 3600.0;
    let kinds: Vec<&Dish> = inputs.pots.dishes.iter().filter_map(|row| kind(dishes, &row.sheet)).collect();
    let situation = inputs.situation(at.timestamp(), horizon_s + reaches_s(&kinds), question.draw())?;
    let options = WhenOptions::default();
    let rows = rows(&inputs, &menu, &situation, dishes, horizon_s, &options)?;
    let mut assumed: Vec<String> = situation.assumed.iter().map(|a| a.words(at.time_zone())).collect();
    assumed.extend(menu.described_twice.iter().map(|name| {
        format!("{name} is described in the menu and in the pots file, not alike: the pots file is taken")
    }));
    Ok(Judged { inputs, menu_sha256, at, situation, horizon_h: arguments.horizon_h, options, assumed, rows })
}

fn rows(
    inputs: &Inputs,
    menu: &Menu,
    situation: &Situation,
    dishes: &[Dish],
    horizon_s: f64,
    options: &WhenOptions,
) -> Result<Vec<Row>, Failure> {
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

fn print(judged: &Judged, columns: usize, out: &mut dyn Write) -> Result<(), Failure> {
    if let Some(words) = words::not_trusted(&judged.situation) {
        writeln!(out, "{}\n", words::wrapped(words, columns, 0))?;
    }
    writeln!(out, "{}\n", words::wrapped(&when_words::intro(judged), columns, 0))?;
    for note in &judged.assumed {
        writeln!(out, "{}", words::wrapped(&format!("Note: {note}."), columns, 2))?;
    }
    for warning in &judged.inputs.warnings {
        writeln!(out, "{warning}")?;
    }
    for (title, lines) in when_words::dishes(judged) {
        writeln!(out, "\n{}", words::wrapped(&title, columns, 2))?;
        print_indented(out, &lines, columns)?;
    }
    write!(out, "{}", words::list("Take care", &cautions::of_menu(judged), columns))?;
    Ok(())
}
