//! What can be asked on the command line, and the help that says so.

use clap::{Args, Parser, Subcommand};
use ovenfall_answer::Draw;
use ovenfall_draw::theme::{Look, Mode};
use std::path::PathBuf;

/// Port of the pages: one that is seldom taken; judgement.
pub const DEFAULT_PORT: u16 = 8237;
/// Longest horizon, h.
const LONGEST_H: f64 = 96.0;
/// Temperatures above which heat in store can be asked for, °C.
const STORE_ABOVE_C: (f64, f64) = (0.0, 1000.0);

const ABOUT: &str = "What a wood-fired masonry oven will do once the fire is out: how much heat is in it, \
how it falls, and what it suits.";

const AFTER: &str = "\
Without a verb the pages for phone and tablet are served on this machine, with
a demo oven and day to play with, and their address is printed.

Examples:
  ovenfall                                    the pages, on this machine
  ovenfall serve --lan                        the pages, on the kitchen's network
  ovenfall demo                               the demo oven and day in the terminal
  ovenfall oven oven.toml --svg section.svg   what your oven holds and loses
  ovenfall check oven.toml day.csv pots.toml  is everything written right?
  ovenfall now --oven oven.toml --day day.csv what is in it, what to read next
  ovenfall fall --oven oven.toml --day day.csv --at 17:20 --svg fall.svg

A forecast never says that food is safe. Probe the thickest part to decide.
Fire and building rules where you live come first.";

/// The whole command line.
#[derive(Debug, Parser)]
#[command(name = "ovenfall", version, about = ABOUT, after_help = AFTER, max_term_width = 80)]
pub struct Arguments {
    /// What to do; nothing to serve the pages on this machine.
    #[command(subcommand)]
    pub verb: Option<Verb>,
}

/// What can be done.
#[derive(Debug, Subcommand)]
pub enum Verb {
    /// Serve the pages for phone and tablet
    Serve(ServeArguments),
    /// Show the built-in oven and day in the terminal; writes ovenfall-demo.svg into the current directory
    Demo,
    /// Copy the data file, also while it is in use
    Backup(BackupArguments),
    /// Put a backup in the place of the data file; what was there is kept
    Restore(RestoreArguments),
    /// Write an oven with all its days as plain files into a folder
    TakeOut(TakeOutArguments),
    /// Bring an oven with its days in from such a folder
    BringIn(BringInArguments),
    /// Show what an oven weighs, holds and loses, and what was assumed of it
    Oven(OvenArguments),
    /// Check oven, day and pots files: every problem at once, with its place
    Check(CheckArguments),
    /// Show what is in the oven now: heat in store, how deep it is, and the reading that would tell most
    Now(NowArguments),
    /// Forecast how the oven falls from an hour of a day on
    Fall(FallArguments),
    /// When each dish of a menu may go in: from when until when, in how many chances, and why not
    When(WhenArguments),
    /// How far to trust it: forecasts of a finished day, held against what came
    Replay(ReplayArguments),
}

/// Which data file.
#[derive(Debug, Args)]
pub struct DataArguments {
    /// The data file [default: ovenfall.db in the user's data folder]
    #[arg(long, value_name = "FILE")]
    pub data: Option<PathBuf>,
}

/// Arguments of `serve`.
#[derive(Debug, Args)]
#[command(max_term_width = 80)]
pub struct ServeArguments {
    /// The port; 0 lets the system choose one
    #[arg(long, value_name = "N", default_value_t = DEFAULT_PORT)]
    pub port: u16,
    #[command(flatten)]
    pub data: DataArguments,
    /// Open the pages to the kitchen's network, for screens that are paired with a code
    #[arg(long)]
    pub lan: bool,
    /// Leave the demo out
    #[arg(long)]
    pub without_demo: bool,
}

impl ServeArguments {
    /// What no verb means.
    #[must_use]
    pub const fn plain() -> Self {
        Self { port: DEFAULT_PORT, data: DataArguments { data: None }, lan: false, without_demo: false }
    }
}

/// Arguments of `backup`.
#[derive(Debug, Args)]
pub struct BackupArguments {
    /// Where the copy goes; a file of that name is replaced, and only by a whole copy
    #[arg(value_name = "TO")]
    pub to: PathBuf,
    #[command(flatten)]
    pub data: DataArguments,
}

/// Arguments of `restore`.
#[derive(Debug, Args)]
pub struct RestoreArguments {
    /// The backup
    #[arg(value_name = "FROM")]
    pub from: PathBuf,
    #[command(flatten)]
    pub data: DataArguments,
}

/// Arguments of `take-out`.
#[derive(Debug, Args)]
pub struct TakeOutArguments {
    /// The oven's id, as in the address of its pages
    #[arg(value_name = "OVEN")]
    pub oven: String,
    /// The folder; it is made, and must hold nothing yet
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
    #[command(flatten)]
    pub data: DataArguments,
}

/// Arguments of `bring-in`.
#[derive(Debug, Args)]
pub struct BringInArguments {
    /// The folder
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
    /// The id the oven gets [default: the folder's name]
    #[arg(long, value_name = "OVEN")]
    pub oven: Option<String>,
    #[command(flatten)]
    pub data: DataArguments,
}

/// Arguments of `oven`.
#[derive(Debug, Args)]
#[command(max_term_width = 80)]
pub struct OvenArguments {
    /// The oven file
    #[arg(value_name = "FILE")]
    pub oven: PathBuf,
    /// Draw a section of the oven, to scale, into this file
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
    #[command(flatten)]
    pub look: LookArguments,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
#[command(max_term_width = 80)]
#[command(after_help = "What kind a file is, is seen from what it says. One oven, one day and one pots file are also \
checked against each other. Exit status: 0 without errors (there may be warnings), 1 with errors.")]
pub struct CheckArguments {
    /// Oven, day and pots files, in any order
    #[arg(value_name = "FILE", required = true)]
    pub files: Vec<PathBuf>,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `now`.
#[derive(Debug, Args)]
#[command(max_term_width = 80)]
pub struct NowArguments {
    #[command(flatten)]
    pub question: QuestionArguments,
    /// Tell the heat in store above this temperature too, in °C; may be given several times
    #[arg(long = "above", value_name = "C", value_parser = celsius)]
    pub above_c: Vec<f64>,
    /// What the next reading is to narrow: `store`, or a dish of the pots file
    #[arg(long, value_name = "DISH", default_value = "store")]
    pub next: String,
    /// Draw how the heat lies in the walls into this file
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
    #[command(flatten)]
    pub look: LookArguments,
}

/// What every question about a day needs.
#[derive(Debug, Args)]
pub struct QuestionArguments {
    /// The oven file
    #[arg(long, value_name = "FILE")]
    pub oven: PathBuf,
    /// The day's file: what was done and read; entries after the hour asked about are taken as the plan
    #[arg(long, value_name = "FILE")]
    pub day: PathBuf,
    /// The pots file [default: pots.toml beside the day's file, else the day's name with .pots.toml]
    #[arg(long, value_name = "FILE")]
    pub pots: Option<PathBuf>,
    /// The hour asked about: HH:MM on the oven's clock, or a full time such as 2026-06-13T17:20:00+01:00
    /// [default: when the last entry was written down]
    #[arg(long, value_name = "TIME")]
    pub at: Option<String>,
    /// How many ovens it could be are computed
    #[arg(long, value_name = "N", default_value_t = 256, value_parser = clap::value_parser!(u32).range(8..=4096))]
    pub members: u32,
    /// What they are drawn with; the same seed gives the same answer
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub seed: u64,
    /// Leave the day's readings out: what the description and what was done say alone
    #[arg(long)]
    pub without_readings: bool,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
}

impl QuestionArguments {
    /// What the members are drawn with.
    pub const fn draw(&self) -> Draw {
        Draw { members: self.members as usize, seed: self.seed, readings: !self.without_readings }
    }
}

/// Arguments of `fall`.
#[derive(Debug, Args)]
#[command(max_term_width = 80)]
pub struct FallArguments {
    #[command(flatten)]
    pub question: QuestionArguments,
    /// How far to look ahead, in hours
    #[arg(long = "hours", value_name = "H", default_value = "12", value_parser = hours)]
    pub horizon_h: f64,
    /// Minutes between the times of the forecast
    #[arg(long, value_name = "MIN", default_value_t = 5, value_parser = clap::value_parser!(u32).range(1..=60))]
    pub step: u32,
    /// Draw the fall into this file
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
    #[command(flatten)]
    pub look: LookArguments,
}

/// Arguments of `replay`.
#[derive(Debug, Args)]
#[command(max_term_width = 80)]
#[command(
    after_help = "Each forecast knows only what was written down by its hour; things done later are its plan. It \
is held against the chamber probe with the door shut, over the next 8 hours. Without an hour: at shutting, 1 and 3 hours \
later."
)]
pub struct ReplayArguments {
    /// The oven file
    #[arg(long, value_name = "FILE", required_unless_present = "list", conflicts_with = "list")]
    pub oven: Option<PathBuf>,
    /// The file of a finished day
    #[arg(long, value_name = "FILE", required_unless_present = "list", conflicts_with = "list")]
    pub day: Option<PathBuf>,
    /// The pots file [default: pots.toml beside the day's file, else the day's name with .pots.toml]
    #[arg(long, value_name = "FILE", conflicts_with = "list")]
    pub pots: Option<PathBuf>,
    /// Forecast from this hour: HH:MM on the oven's clock, or a full time; may be given several times
    #[arg(long, value_name = "TIME", conflicts_with = "list")]
    pub at: Vec<String>,
    /// Forecast from the hour the door was shut for good
    #[arg(long)]
    pub shut: bool,
    /// Forecast from so many minutes after that; may be given several times
    #[arg(long, value_name = "MIN", value_parser = clap::value_parser!(u32).range(1..=2880))]
    pub after_shut_min: Vec<u32>,
    /// The file of an earlier day of this oven, for the rule of thumb `as on the last similar day`
    #[arg(long, value_name = "FILE", conflicts_with = "list")]
    pub earlier: Option<PathBuf>,
    /// Hold it against this CSV (t_min, T_probe; may be packed with gzip) instead of the probe readings of the day
    #[arg(long, value_name = "FILE", conflicts_with = "list")]
    pub truth: Option<PathBuf>,
    /// Replay every day of this list
    #[arg(long, value_name = "FILE")]
    pub list: Option<PathBuf>,
    /// Write the scores of the list as a page into this file; what was written there by hand is kept
    #[arg(long, value_name = "FILE", requires = "list")]
    pub page: Option<PathBuf>,
    /// How many ovens it could be are computed
    #[arg(long, value_name = "N", default_value_t = 256, value_parser = clap::value_parser!(u32).range(8..=4096))]
    pub members: u32,
    /// What they are drawn with; the same seed gives the same answer
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub seed: u64,
    /// Draw the first forecast, and what came, into this file
    #[arg(long, value_name = "FILE", conflicts_with = "list")]
    pub svg: Option<PathBuf>,
    #[command(flatten)]
    pub look: LookArguments,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `when`.
#[derive(Debug, Args)]
#[command(max_term_width = 80)]
#[command(
    after_help = "Each dish is put into the oven at many times, on many ovens it could be: one that reads too hot may be \
right once the cold pots are in, one that reads right may be empty. Of the ovens that took the readings in, dishes are tried \
on the first 64."
)]
pub struct WhenArguments {
    #[command(flatten)]
    pub question: QuestionArguments,
    /// The menu: a file of pots with the dishes asked about [default: the pots file]
    #[arg(long, value_name = "FILE")]
    pub menu: Option<PathBuf>,
    /// How far to look ahead, in hours
    #[arg(long = "hours", value_name = "H", default_value = "12", value_parser = hours)]
    pub horizon_h: f64,
}

/// How a picture is drawn.
#[derive(Debug, Args)]
pub struct LookArguments {
    /// Width of the picture in pixels
    #[arg(long, value_name = "PX", default_value_t = 960, value_parser = clap::value_parser!(u32).range(320..=2400))]
    pub width: u32,
    /// Draw the picture on dark paper
    #[arg(long)]
    pub dark: bool,
}

impl LookArguments {
    /// The look asked for; ids inside the picture begin with `id`.
    pub fn look(&self, id: &str) -> Look {
        Look::new(f64::from(self.width), if self.dark { Mode::Dark } else { Mode::Light }, id)
    }
}

fn celsius(text: &str) -> Result<f64, String> {
    let (low_c, high_c) = STORE_ABOVE_C;
    let value_c: f64 = text.parse().map_err(|_| "not a temperature in °C, such as 150".to_owned())?;
    if (low_c..=high_c).contains(&value_c) {
        Ok(value_c)
    } else {
        Err(format!("it must lie between {low_c} and {high_c} °C"))
    }
}

fn hours(text: &str) -> Result<f64, String> {
    let hours: f64 = text.parse().map_err(|_| "not a number of hours, such as 8 or 1.5".to_owned())?;
    if (0.25..=LONGEST_H).contains(&hours) {
        Ok(hours)
    } else {
        Err(format!("it must lie between 0.25 and {LONGEST_H} hours"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_sound() {
        Arguments::command().debug_assert();
    }
}
