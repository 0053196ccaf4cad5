//! `ovenfall now`: what is in the oven, and the reading that would tell most.

use super::{print_json, print_table, write_file};
use crate::Config;
use crate::arguments::NowArguments;
use crate::failure::Failure;
use crate::input_file::read_inputs;
use crate::set::{list, wrapped};
use ovenfall_answer::fall_words::not_trusted;
use ovenfall_answer::now_json::NowJson;
use ovenfall_answer::oven_now::{OvenNow, Request};
use ovenfall_answer::{next_words, now_picture, now_words, wall_clock};
use ovenfall_draw::{profile as drawn, terminal};
use ovenfall_food::dish::standard;
use std::io::{self, Write};
use std::process::ExitCode;

/// Runs the verb.
pub fn run(arguments: &NowArguments, config: &Config, out: &mut dyn Write) -> Result<ExitCode, Failure> {
    let question = &arguments.question;
    let inputs = read_inputs(&question.oven, &question.day, question.pots.as_deref())?;
    let at = wall_clock::hour_asked(&inputs, question.at.as_deref())?;
    let request = Request { store_above_c: &arguments.above_c, next: &arguments.next, draw: question.draw() };
    let answer = OvenNow::compute(inputs, at, &standard()?, &request)?;
    if let Some(path) = &arguments.svg {
        let picture = now_picture::profile(&answer);
        write_file(path, &drawn::svg(&picture, &arguments.look.look("now")))?;
    }
    if question.json {
        for warning in &answer.inputs.warnings {
            writeln!(io::stderr(), "{warning}")?;
        }
        print_json(out, &NowJson::new(&answer))?;
    } else {
        print(&answer, config.columns, out)?;
        if let Some(path) = &arguments.svg {
            writeln!(out, "\nThe walls as a picture: {}", path.display())?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

fn print(answer: &OvenNow, columns: usize, out: &mut dyn Write) -> Result<(), Failure> {
    writeln!(out, "{}", now_words::state(answer))?;
    let mut said = vec![now_words::sentences(answer).join(" "), next_words::sentence(answer)];
    if next_words::fire_is_shut_in(answer) {
        said.reverse();
    }
    if let Some(words) = not_trusted(&answer.situation) {
        writeln!(out, "{}\n", wrapped(words, columns, 0))?;
    }
    for words in said {
        writeln!(out, "{}\n", wrapped(&words, columns, 0))?;
    }
    for note in &answer.assumed {
        writeln!(out, "{}", wrapped(&format!("Note: {note}."), columns, 2))?;
    }
    for warning in &answer.inputs.warnings {
        writeln!(out, "{warning}")?;
    }
    writeln!(out, "{}\n", wrapped(&now_words::origin(answer), columns, 0))?;
    print_table(&now_words::table(answer), out)?;
    writeln!(out, "\n{}", terminal::profile(&now_picture::profile(answer), columns).trim_end())?;
    if let Some(table) = next_words::table(answer).filter(|_| !next_words::fire_is_shut_in(answer)) {
        writeln!(out, "\nReadings within the hour, the most useful first")?;
        print_table(&table, out)?;
    }
    write!(out, "{}", list("Take care", &now_words::cautions(answer), columns))?;
    Ok(())
}
