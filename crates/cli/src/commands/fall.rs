//! `ovenfall fall`: how an oven falls from an hour of a day on.

use super::{print_json, print_table, write_file};
use crate::Config;
use crate::arguments::FallArguments;
use crate::failure::Failure;
use crate::input_file::read_inputs;
use crate::set::{list, wrapped};
use ovenfall_answer::fall_json::FallJson;
use ovenfall_answer::forecast::{Forecast, Request};
use ovenfall_answer::{cautions, fall_words, menu, pictures, placings, wall_clock};
use ovenfall_draw::fall::FallPicture;
use ovenfall_draw::{fall as drawn, terminal};
use ovenfall_food::dish::{Dish, standard};
use std::io::{self, Write};
use std::process::ExitCode;

/// Least and most of the past that is drawn, min; in between half of what is ahead.
const PAST_MIN: (f64, f64) = (120.0, 480.0);

/// Runs the verb.
pub fn run(arguments: &FallArguments, config: &Config, out: &mut dyn Write) -> Result<ExitCode, Failure> {
    let question = &arguments.question;
    let inputs = read_inputs(&question.oven, &question.day, question.pots.as_deref())?;
    let at = wall_clock::hour_asked(&inputs, question.at.as_deref())?;
    let request =
        Request { horizon_h: arguments.horizon_h, step_min: f64::from(arguments.step), draw: question.draw() };
    let dishes = standard()?;
    let forecast = Forecast::compute(inputs, at, request)?;
    let past_min = (arguments.horizon_h * 30.0).clamp(PAST_MIN.0, PAST_MIN.1);
    if let Some(path) = &arguments.svg {
        let picture = pictures::fall(&forecast, &dishes, past_min);
        write_file(path, &drawn::svg(&picture, &arguments.look.look("fall")))?;
    }
    if question.json {
        for warning in &forecast.inputs.warnings {
            writeln!(io::stderr(), "{warning}")?;
        }
        print_json(out, &FallJson::new(&forecast, &dishes))?;
    } else {
        print(&forecast, &dishes, past_min, config, out)?;
        if let Some(path) = &arguments.svg {
            writeln!(out, "\nThe fall as a picture: {}", path.display())?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

fn print(
    forecast: &Forecast,
    dishes: &[Dish],
    past_min: f64,
    config: &Config,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let columns = config.columns;
    if let Some(words) = fall_words::not_trusted(&forecast.situation) {
        writeln!(out, "{}\n", wrapped(words, columns, 0))?;
    }
    writeln!(out, "{}\n", wrapped(&fall_words::sentences(forecast), columns, 0))?;
    print_notes(forecast, columns, out)?;
    print_table(&fall_words::table(forecast), out)?;
    writeln!(out)?;
    print_picture(forecast, dishes, past_min, columns, out)?;
    print_section(out, "In the oven", &placings::lines(forecast, dishes), columns)?;
    print_section(out, menu::TITLE, &menu::lines(forecast, dishes), columns)?;
    writeln!(out, "\n{}", terminal::ledger(&pictures::ledger(forecast), columns).trim_end())?;
    print_cautions(forecast, dishes, columns, out)
}

/// The fall as text. Its windows are left out: they are told, with chances, in a list of their own.
pub fn print_picture(
    forecast: &Forecast,
    dishes: &[Dish],
    past_min: f64,
    columns: usize,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let picture = FallPicture { windows: Vec::new(), ..pictures::fall(forecast, dishes, past_min) };
    write!(out, "{}", terminal::fall(&picture, columns))?;
    Ok(())
}

/// What was assumed and what looks wrong, ahead of the figures they touch.
pub fn print_notes(forecast: &Forecast, columns: usize, out: &mut dyn Write) -> Result<(), Failure> {
    for note in &forecast.assumed {
        writeln!(out, "{}", wrapped(&format!("Note: {note}."), columns, 2))?;
    }
    for warning in &forecast.inputs.warnings {
        writeln!(out, "{warning}")?;
    }
    if !(forecast.assumed.is_empty() && forecast.inputs.warnings.is_empty()) {
        writeln!(out)?;
    }
    Ok(())
}

/// Lines under a title, set to the width; nothing when there are none.
pub fn print_section(out: &mut dyn Write, title: &str, lines: &[String], columns: usize) -> Result<(), Failure> {
    if !lines.is_empty() {
        writeln!(out, "\n{title}")?;
    }
    print_indented(out, lines, columns)
}

/// Lines set to the width, each as far in as it begins.
pub fn print_indented(out: &mut dyn Write, lines: &[String], columns: usize) -> Result<(), Failure> {
    for line in lines {
        let indent = line.len() - line.trim_start().len();
        let room = columns.saturating_sub(indent);
        for (i, part) in wrapped(line, room, 2).lines().enumerate() {
            writeln!(out, "{}{part}", " ".repeat(if i == 0 || indent > 0 { indent } else { 0 }))?;
        }
    }
    Ok(())
}

/// What to take care of.
pub fn print_cautions(
    forecast: &Forecast,
    dishes: &[Dish],
    columns: usize,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let cautions = cautions::of_forecast(forecast, dishes);
    write!(out, "{}", list("Take care", &cautions, columns))?;
    Ok(())
}
