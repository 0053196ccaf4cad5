//! `ovenfall when`: at which hours the oven suits each dish of a menu, with the dish put in, and why not at the others.

use super::{fall::print_indented, print_json};
use crate::Config;
use crate::arguments::WhenArguments;
use crate::failure::Failure;
use crate::input_file::{self, Kind, read_inputs};
use crate::set::{list, wrapped};
use ovenfall_answer::judged::{self, Judged, MenuAsked};
use ovenfall_answer::when_json::WhenJson;
use ovenfall_answer::{cautions, fall_words, wall_clock, when_words};
use ovenfall_food::dish::{Dish, standard};
use ovenfall_plan::Menu;
use std::io::{self, Write};
use std::process::ExitCode;

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
    let mut inputs = read_inputs(&question.oven, &question.day, question.pots.as_deref())?;
    let (menu, menu_sha256) = match &arguments.menu {
        Some(path) => {
            let file = input_file::read_as(path, Kind::Pots).map_err(|problem| Failure::Problems(vec![problem]))?;
            inputs.menu(&file).map(|(menu, sha256)| (menu, Some(sha256)))?
        }
        None => (Menu::of_the_day(inputs.pots.clone()), None),
    };
    let at = wall_clock::hour_asked(&inputs, question.at.as_deref())?;
    let asked = MenuAsked { inputs, menu, menu_sha256, at, horizon_h: arguments.horizon_h };
    Ok(judged::judge(asked, question.draw(), dishes)?)
}

fn print(judged: &Judged, columns: usize, out: &mut dyn Write) -> Result<(), Failure> {
    if let Some(words) = fall_words::not_trusted(&judged.situation) {
        writeln!(out, "{}\n", wrapped(words, columns, 0))?;
    }
    writeln!(out, "{}\n", wrapped(&when_words::intro(judged), columns, 0))?;
    for note in &judged.assumed {
        writeln!(out, "{}", wrapped(&format!("Note: {note}."), columns, 2))?;
    }
    for warning in &judged.inputs.warnings {
        writeln!(out, "{warning}")?;
    }
    for (title, lines) in when_words::dishes(judged) {
        writeln!(out, "\n{}", wrapped(&title, columns, 2))?;
        print_indented(out, &lines, columns)?;
    }
    write!(out, "{}", list("Take care", &cautions::of_menu(judged), columns))?;
    Ok(())
}
