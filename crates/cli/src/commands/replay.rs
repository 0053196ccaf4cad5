//! `ovenfall replay`: how far forecasts of finished days were off.

use super::{print_json, print_table, write_file};
use crate::Config;
use crate::arguments::ReplayArguments;
use crate::came::Came;
use crate::failure::Failure;
use crate::input_file::{self, read_inputs, whole_file};
use crate::replay_json::ReplayJson;
use crate::replayed::{HORIZON_H, Replayed, Rule, hour_after, replay, rules};
use crate::set::wrapped;
use crate::{replay_words, skill_page};
use jiff::ZonedDateTime;
use ovenfall_answer::forecast::{Forecast, Request};
use ovenfall_answer::{Draw, Inputs};
use ovenfall_answer::{pictures, wall_clock};
use ovenfall_draw::fall as drawn;
use ovenfall_draw::fall::{ReadingMark, Trace};
use ovenfall_learn::baseline::Earlier;
use ovenfall_record::replay_list::{ListedDay, read_replay_list};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Hours replayed when none are named, minutes after shutting.
const USUAL_MIN: [u32; 3] = [0, 60, 180];
/// Names of the file of what really was, in a listed day's folder.
const TRUTH_NAMES: [&str; 2] = ["truth.csv.gz", "truth.csv"];
/// The past that is drawn, min.
const PAST_MIN: f64 = 240.0;

/// A day, replayed at its hours.
#[derive(Debug)]
pub struct ReplayedDay {
    /// What it is called: its folder in the list, or its file.
    pub name: String,
    /// The oven and the day.
    pub inputs: Inputs,
    /// What came of it.
    pub came: Came,
    /// When the door was shut.
    pub shut: ZonedDateTime,
    /// The hours.
    pub hours: Vec<Replayed>,
}

/// Runs the verb.
pub fn run(arguments: &ReplayArguments, config: &Config, out: &mut dyn Write) -> Result<ExitCode, Failure> {
    let mut days = match &arguments.list {
        Some(list) => listed(list, arguments)?,
        None => vec![single(arguments)?],
    };
    let rules = rules(&days.iter().flat_map(|day| &day.hours).collect::<Vec<_>>());
    if let (Some(path), Some(list)) = (&arguments.page, &arguments.list) {
        let page = skill_page::page(&days, &rules, list, draw(arguments));
        let before = std::fs::read_to_string(path).unwrap_or_default();
        write_file(path, &skill_page::with_what_was_written_by_hand(&page, &before))?;
    }
    if arguments.json {
        print_json(out, &ReplayJson::new(&days, &rules, draw(arguments)))?;
    } else {
        print(&days, &rules, arguments, config, out)?;
    }
    if let (Some(path), Some(day)) = (&arguments.svg, days.pop())
        && let Some(svg) = picture(day, arguments)?
    {
        write_file(path, &svg)?;
    }
    Ok(ExitCode::SUCCESS)
}

fn print(
    days: &[ReplayedDay],
    rules: &[Rule],
    arguments: &ReplayArguments,
    config: &Config,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    for day in days {
        if arguments.list.is_some() {
            writeln!(out, "{}, {}", day.name, day.inputs.oven.description.name)?;
        }
        writeln!(out, "{}\n", wrapped(&replay_words::sentences(day, rules), config.columns, 0))?;
        print_table(&replay_words::table(day, rules), out)?;
        writeln!(out)?;
    }
    writeln!(out, "{}", wrapped(&replay_words::reading_the_table(days, rules), config.columns, 0))?;
    if let Some(path) = &arguments.page {
        writeln!(out, "\nThe scores as a page: {}", path.display())?;
    }
    if let Some(path) = &arguments.svg {
        writeln!(out, "\nThe first forecast as a picture, with what came: {}", path.display())?;
    }
    Ok(())
}

/// A replay always takes the readings in.
const fn draw(arguments: &ReplayArguments) -> Draw {
    Draw { members: arguments.members as usize, seed: arguments.seed, readings: true }
}

/// Hours as minutes after shutting that were asked for; none when only others were.
fn minutes_asked(arguments: &ReplayArguments) -> Vec<u32> {
    let asked: Vec<u32> = arguments.shut.then_some(0).into_iter().chain(arguments.after_shut_min.clone()).collect();
    if asked.is_empty() && arguments.at.is_empty() { USUAL_MIN.to_vec() } else { asked }
}

/// The one day that was named.
fn single(arguments: &ReplayArguments) -> Result<ReplayedDay, Failure> {
    let (Some(oven), Some(day)) = (&arguments.oven, &arguments.day) else {
        let suggestion = "ovenfall replay --oven FILE --day FILE, or --list FILE";
        let what = "no oven and no day are named".to_owned();
        return Err(Failure::Problems(vec![whole_file("replay", what, None, suggestion)]));
    };
    let inputs = read_inputs(oven, day, arguments.pots.as_deref())?;
    let came = Came::of(&inputs, arguments.truth.as_deref())?;
    let shut = shutting(&inputs, &came, None)?;
    let earlier = match &arguments.earlier {
        Some(path) => {
            let before = read_inputs(oven, path, None)?;
            let came = Came::of(&before, None)?;
            let shut = shutting(&before, &came, None)?;
            came.as_earlier(&before, shut.timestamp())
        }
        None => None,
    };
    let named = arguments.at.iter().map(|at| wall_clock::hour_asked(&inputs, Some(at)));
    let mut hours = named.collect::<Result<Vec<_>, _>>()?;
    hours.extend(minutes_asked(arguments).into_iter().map(|minutes| hour_after(&shut, minutes)));
    hours.sort_by_key(ZonedDateTime::timestamp);
    replayed(day.display().to_string(), inputs, came, shut, &hours, earlier.as_ref(), draw(arguments))
}

/// When the door was shut: as said, or as the entries tell.
fn shutting(inputs: &Inputs, came: &Came, said: Option<&str>) -> Result<ZonedDateTime, Failure> {
    if said.is_some() {
        return Ok(wall_clock::hour_asked(inputs, said)?);
    }
    let shut = came.shut_at().map(|at| at.to_zoned_datetime(wall_clock::zone(inputs)));
    shut.ok_or_else(|| {
        let what = "the door is never shut for half an hour with the fire out".to_owned();
        let suggestion = "replay a day on which it was, and enter when the fire was raked out and the door shut";
        Failure::Problems(vec![whole_file(&inputs.day.file, what, None, suggestion)])
    })
}

fn replayed(
    name: String,
    inputs: Inputs,
    came: Came,
    shut: ZonedDateTime,
    hours: &[ZonedDateTime],
    earlier: Option<&Earlier>,
    draw: Draw,
) -> Result<ReplayedDay, Failure> {
    let one = |at: &ZonedDateTime| replay(&inputs, &came, (at, shut.timestamp()), earlier, draw);
    let hours = hours.iter().map(one).collect::<Result<Vec<_>, _>>()?;
    Ok(ReplayedDay { name, inputs, came, shut, hours })
}

/// Every day of a list.
fn listed(list: &Path, arguments: &ReplayArguments) -> Result<Vec<ReplayedDay>, Failure> {
    let file = input_file::read(list).map_err(|problem| Failure::Problems(vec![problem]))?;
    let mut days: Vec<ReplayedDay> = Vec::new();
    for day in read_replay_list(&file.name, &file.text).map_err(Failure::Problems)? {
        let next = listed_day(list, &day, &days, arguments)?;
        days.push(next);
    }
    Ok(days)
}

fn listed_day(
    list: &Path,
    day: &ListedDay,
    before: &[ReplayedDay],
    arguments: &ReplayArguments,
) -> Result<ReplayedDay, Failure> {
    let folder = list.with_file_name(&day.folder);
    let truth: Option<PathBuf> = TRUTH_NAMES.map(|name| folder.join(name)).into_iter().find(|path| path.is_file());
    let inputs = read_inputs(&folder.join("oven.toml"), &folder.join("day.csv"), None)?;
    let came = Came::of(&inputs, truth.as_deref())?;
    let shut = shutting(&inputs, &came, day.shut.as_deref())?;
    let hours: Vec<ZonedDateTime> =
        minutes_asked(arguments).into_iter().map(|minutes| hour_after(&shut, minutes)).collect();
    let earlier = similar(before, &inputs, &came);
    replayed(day.folder.clone(), inputs, came, shut, &hours, earlier.as_ref(), draw(arguments))
}

/// The last earlier day of the same oven that was loaded or left empty like this one; without such a day the last one.
fn similar(before: &[ReplayedDay], inputs: &Inputs, came: &Came) -> Option<Earlier> {
    let same_oven = |day: &&ReplayedDay| day.inputs.oven.description.name == inputs.oven.description.name;
    let mut earlier: Vec<&ReplayedDay> = before.iter().filter(same_oven).collect();
    // Stable: within each kind the days stay in their order, the last one last.
    earlier.sort_by_key(|day| day.came.loaded() == came.loaded());
    let last = earlier.last()?;
    last.came.as_earlier(&last.inputs, last.shut.timestamp())
}

/// The first forecast as a picture, with what came marked as readings.
fn picture(day: ReplayedDay, arguments: &ReplayArguments) -> Result<Option<String>, Failure> {
    let Some(first) = day.hours.into_iter().next() else { return Ok(None) };
    let request = Request { horizon_h: HORIZON_H, step_min: 5.0, draw: draw(arguments) };
    let forecast = Forecast::compute(day.inputs, first.at, request)?;
    let mut picture = pictures::fall(&forecast, &[], PAST_MIN);
    picture.title = format!("{} (marks after it: what came)", picture.title);
    picture.readings.extend(first.seen.iter().map(|seen| ReadingMark {
        at_min: (seen.point.at_s - first.told.at_s) / 60.0,
        value_c: seen.point.value_c,
        what: Trace::Probe,
    }));
    Ok(Some(drawn::svg(&picture, &arguments.look.look("replay"))))
}
