//! `ovenfall oven`: what an oven weighs, holds and loses, and what was assumed of it.

use super::{print_json, print_table, write_file};
use crate::Config;
use crate::arguments::OvenArguments;
use crate::failure::Failure;
use crate::input_file::{self, Kind};
use crate::set::{list, wrapped};
use ovenfall_answer::appraised::{Appraised, HOT_C};
use ovenfall_answer::oven_json::OvenJson;
use ovenfall_answer::oven_words::{assumed, cautions, heat_words, layer_table, loss_table, sizes};
use ovenfall_draw::section;
use ovenfall_record::oven_file::{OvenFile, read_oven};
use std::io::Write;
use std::process::ExitCode;

/// Runs the verb.
pub fn run(arguments: &OvenArguments, config: &Config, out: &mut dyn Write) -> Result<ExitCode, Failure> {
    let file = input_file::read_as(&arguments.oven, Kind::Oven).map_err(|problem| Failure::Problems(vec![problem]))?;
    let oven = read_oven(&file.name, &file.text).map_err(Failure::Problems)?;
    let appraised = Appraised::new(&oven.description, &file.name)?;
    if let Some(path) = &arguments.svg {
        write_file(path, &section::svg(&oven.description, &arguments.look.look("section")))?;
    }
    if arguments.json {
        print_json(out, &OvenJson::new(&oven, &appraised))?;
        return Ok(ExitCode::SUCCESS);
    }
    print(&oven, &appraised, config.columns, out)?;
    if let Some(path) = &arguments.svg {
        writeln!(out, "\nThe section as a picture: {}", path.display())?;
    }
    Ok(ExitCode::SUCCESS)
}

fn print(oven: &OvenFile, appraised: &Appraised, columns: usize, out: &mut dyn Write) -> Result<(), Failure> {
    let description = &oven.description;
    writeln!(out, "{}", description.name)?;
    writeln!(out, "{}\n", wrapped(&sizes(description), columns, 0))?;
    print_table(&layer_table(description, appraised), out)?;
    writeln!(out, "\n{}\n", wrapped(&heat_words(description, appraised), columns, 0))?;
    writeln!(out, "What it loses when floor and walls are kept at one temperature, door shut, W:\n")?;
    print_table(&loss_table(description, appraised), out)?;
    let open = appraised.range(|figures| figures.open.total_w() / 1000.0);
    let open = format!("With the mouth open at {HOT_C:.0} °C it would lose {}.", open.with_unit(1, "kW"));
    writeln!(out, "\n{}", wrapped(&format!("{open} In brackets: 9 chances in 10."), columns, 0))?;
    write!(out, "{}", list("Assumed, because the file does not say", &assumed(oven), columns))?;
    for warning in &oven.warnings {
        writeln!(out, "\n{warning}")?;
    }
    write!(out, "{}", list("Take care", &cautions(description), columns))?;
    Ok(())
}
