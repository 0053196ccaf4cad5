//! `ovenfall demo`: a built-in oven and day of an invented harbour-side bakehouse.

use super::fall::{print_cautions, print_notes, print_picture, print_section};
use super::write_file;
use crate::Config;
use crate::failure::Failure;
use crate::set::wrapped;
use jiff::ZonedDateTime;
use ovenfall_answer::InputText;
use ovenfall_answer::forecast::{Forecast, Request};
use ovenfall_answer::{Draw, Inputs};
use ovenfall_answer::{fall_words, menu, pictures, wall_clock};
use ovenfall_draw::fall as drawn;
use ovenfall_draw::theme::{Look, Mode};
use ovenfall_food::dish::standard;
use ovenfall_record::day::{Day, Done, What};
use ovenfall_record::reading::Reading;
use std::io::Write;
use std::path::Path;
use std::process::ExitCode;

const OVEN: &str = include_str!("../../../../data/demo/oven.toml");
const DAY: &str = include_str!("../../../../data/demo/day.csv");
const POTS: &str = include_str!("../../../../data/demo/pots.toml");
/// The picture that is written into the current directory.
const PICTURE: &str = "ovenfall-demo.svg";
/// The forecast.
const REQUEST: Request =
    Request { horizon_h: 12.0, step_min: 5.0, draw: Draw { members: 256, seed: 1, readings: true } };
/// How much of the past is drawn, min.
const PAST_MIN: f64 = 240.0;

/// Shows the built-in day.
pub fn run(config: &Config, out: &mut dyn Write) -> Result<ExitCode, Failure> {
    let file = |name: &str, text: &str| InputText { name: name.to_owned(), text: text.to_owned() };
    let inputs = Inputs::from_texts(
        &file("data/demo/oven.toml", OVEN),
        &file("data/demo/day.csv", DAY),
        Some(&file("data/demo/pots.toml", POTS)),
    )?;
    let at = after_raking_out(&inputs.day)
        .map_or_else(|| wall_clock::hour_asked(&inputs, None), |at| Ok(at.with_time_zone(wall_clock::zone(&inputs))))?;
    let dishes = standard()?;
    let forecast = Forecast::compute(inputs, at, REQUEST)?;
    let picture = pictures::fall(&forecast, &dishes, PAST_MIN);
    let (name, columns) = (&forecast.inputs.oven.description.name, config.columns);
    let intro = format!(
        "{name}: a built-in oven and day. What was done and read up to {} is known; the rest of the day is the plan.",
        forecast.at.strftime("%H:%M")
    );
    writeln!(out, "{}\n", wrapped(&intro, columns, 0))?;
    writeln!(out, "{}\n", wrapped(&fall_words::sentences(&forecast), columns, 0))?;
    print_notes(&forecast, columns, out)?;
    print_picture(&forecast, &dishes, PAST_MIN, columns, out)?;
    print_section(out, menu::TITLE, &menu::lines(&forecast, &dishes), columns)?;
    print_cautions(&forecast, &dishes, columns, out)?;
    write_file(Path::new(PICTURE), &drawn::svg(&picture, &Look::new(960.0, Mode::Light, "fall")))?;
    writeln!(out, "\nThe fall as a picture: {PICTURE}, in this directory.")?;
    writeln!(out, "Your own oven: ovenfall --help, and docs/guide.md.")?;
    Ok(ExitCode::SUCCESS)
}

/// The first reading of the probe once the embers are out: when the fall begins to be of interest.
fn after_raking_out(day: &Day) -> Option<ZonedDateTime> {
    let standing = day.standing();
    let out = standing.iter().position(|entry| entry.what == What::Done(Done::RakedOut))?;
    let read = standing.iter().skip(out).find(|entry| matches!(entry.reading(), Some(Reading::Probe { .. })))?;
    Some(read.written.instant.to_zoned_datetime(jiff::tz::TimeZone::UTC))
}
