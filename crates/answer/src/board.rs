//! All that a screen beside the oven shows of a day at an hour: the sentence that matters, the fall as a picture in two
//! widths, what comes next, and what to take care of.
//!
//! A board is text through and through, so that it can be kept with what it was computed from, shown again at once
//! after a restart, and sent to every screen.

use crate::error::AnswerError;
use crate::forecast::{Forecast, Request as FallRequest};
use crate::headline::{Headline, OfNow, headline, of_an_empty_day, without_a_fire};
use crate::inputs::{Draw, Inputs};
use crate::oven_now::{OvenNow, Request as NowRequest};
use crate::{cautions, entry_words, fall_words, menu, next_question, next_words, now_words, pictures, placings};
use crate::{json_parts::time, wall_clock};
use jiff::ZonedDateTime;
use ovenfall_draw::fall as drawn;
use ovenfall_draw::theme::{Look, Mode};
use ovenfall_food::dish::Dish;
use ovenfall_record::day::{Done, What};
use ovenfall_record::problem::Problem;
use serde::{Deserialize, Serialize};

/// How far ahead a board looks, h.
pub const HORIZON_H: f64 = 12.0;
/// Distance of its times, min.
const STEP_MIN: f64 = 5.0;
/// How much of the past it draws for a wide screen, and for a hand's, where a morning's firing would crowd out the rest, min.
const PAST_MIN: f64 = 240.0;
const NARROW_PAST_MIN: f64 = 90.0;
/// Width of the picture for a hand, px.
const NARROW_PX: f64 = 366.0;
/// Width of the picture for a table or a wall, px.
const WIDE_PX: f64 = 820.0;
/// Planned things that are listed.
const MOST_COMING: usize = 8;

/// Something planned.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Coming {
    /// The hour on the oven's clock.
    pub at: String,
    /// What.
    pub what: String,
}

/// A table of figures as text.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Figures {
    /// What it shows.
    pub caption: String,
    /// Names of the columns, with units.
    pub head: Vec<String>,
    /// The rows.
    pub rows: Vec<Vec<String>>,
}

impl From<ovenfall_draw::Table> for Figures {
    fn from(table: ovenfall_draw::Table) -> Self {
        Self { caption: table.caption, head: table.head, rows: table.rows }
    }
}

/// A picture in two widths, with its figures.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Picture {
    /// The picture for a hand-held and for a wide screen, and its figures for touch, as HTML.
    pub figure: String,
    /// Its figures.
    pub tables: Vec<Figures>,
}

/// What a screen shows.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Board {
    /// The hour it answers for, with its offset.
    pub at: String,
    /// That hour in words.
    pub hour: String,
    /// Hour, door and fire.
    pub state: String,
    /// The sentence that matters.
    pub headline: Headline,
    /// How much heat and how deep, in sentences.
    pub said: Vec<String>,
    /// The most useful next reading.
    pub reading: String,
    /// What is planned.
    pub coming: Vec<Coming>,
    /// What is in the oven, and what comes of it.
    pub inside: Vec<String>,
    /// When the oven reads right for what is still to go in.
    pub to_go_in: Vec<String>,
    /// The fall; `None` where there is nothing to forecast from.
    pub fall: Option<Picture>,
    /// What was assumed and where the figures come from.
    pub notes: Vec<String>,
    /// What looks wrong in oven, day or pots.
    pub warnings: Vec<String>,
    /// What to take care of.
    pub cautions: Vec<String>,
    /// SHA-256 over oven, day and pots, hexadecimal.
    pub input_sha256: String,
    /// Members it was computed on.
    pub members: usize,
    /// What they were drawn with.
    pub seed: u64,
}

/// A problem as a person reads it, without the file it stands in.
#[must_use]
pub fn problem(problem: &Problem) -> String {
    let with = |more: Option<&String>, lead: &str| more.map(|words| format!("{lead}{words}")).unwrap_or_default();
    format!(
        "{}{}{}",
        problem.what,
        with(problem.limits.as_ref(), "; allowed: "),
        with(problem.suggestion.as_ref(), "; try: ")
    )
}

impl Board {
    /// The board of a day at an hour.
    ///
    /// # Errors
    /// When the day cannot be put together or computed.
    pub fn compute(inputs: Inputs, at: ZonedDateTime, dishes: &[Dish], draw: Draw) -> Result<Self, AnswerError> {
        let known = inputs.day.known_at(at.timestamp());
        if known.is_empty() {
            return Ok(Self::empty(&inputs, &at, draw));
        }
        if !known.iter().any(|entry| matches!(entry.what, What::Done(Done::WoodOn { .. }))) {
            return Ok(Self { headline: without_a_fire(), ..Self::empty(&inputs, &at, draw) });
        }
        let asked = NowRequest { store_above_c: &[], next: next_question::STORE, draw };
        let now = OvenNow::compute(inputs, at, dishes, &asked)?;
        let said = now_words::sentences(&now);
        let (state, reading, of_now) = (now_words::state(&now), next_words::sentence(&now), OfNow::new(&now, &said));
        let OvenNow { inputs, at, situation, .. } = now;
        let request = FallRequest { horizon_h: HORIZON_H, step_min: STEP_MIN, draw };
        let forecast = Forecast::of(inputs, at, situation, request)?;
        let mut notes = forecast.assumed.clone();
        notes.push(fall_words::origin(&forecast));
        Ok(Self {
            state,
            headline: headline(&forecast, &of_now),
            said,
            reading,
            inside: trimmed(placings::lines(&forecast, dishes)),
            to_go_in: trimmed(menu::lines(&forecast, dishes)),
            fall: Some(picture(&forecast, dishes)),
            notes,
            cautions: cautions::of_forecast(&forecast, dishes),
            ..Self::empty(&forecast.inputs, &forecast.at, draw)
        })
    }

    /// The board of a day that cannot be worked out, with the reasons.
    #[must_use]
    pub fn stopped(at: &ZonedDateTime, reasons: &[String], draw: Draw) -> Self {
        let more = reasons.first().cloned().unwrap_or_default();
        Self {
            headline: Headline { words: "This day cannot be worked out.".to_owned(), more, care: true },
            warnings: reasons.to_vec(),
            ..Self::bare(at, draw)
        }
    }

    /// A board with what needs no computing.
    fn empty(inputs: &Inputs, at: &ZonedDateTime, draw: Draw) -> Self {
        Self {
            headline: of_an_empty_day(),
            coming: coming(inputs, at),
            warnings: inputs.warnings.iter().map(problem).collect(),
            cautions: [cautions::FIRE, cautions::LOCAL].map(str::to_owned).to_vec(),
            input_sha256: inputs.sha256.clone(),
            ..Self::bare(at, draw)
        }
    }

    fn bare(at: &ZonedDateTime, draw: Draw) -> Self {
        Self {
            at: time(at),
            hour: wall_clock::day_and_hour(at),
            state: wall_clock::day_and_hour(at),
            headline: Headline { words: String::new(), more: String::new(), care: false },
            said: Vec::new(),
            reading: String::new(),
            coming: Vec::new(),
            inside: Vec::new(),
            to_go_in: Vec::new(),
            fall: None,
            notes: Vec::new(),
            warnings: Vec::new(),
            cautions: Vec::new(),
            input_sha256: String::new(),
            members: draw.members,
            seed: draw.seed,
        }
    }
}

fn trimmed(lines: Vec<String>) -> Vec<String> {
    lines.into_iter().map(|line| line.strip_prefix("  ").map_or(line.clone(), str::to_owned)).collect()
}

fn picture(forecast: &Forecast, dishes: &[Dish]) -> Picture {
    let picture = pictures::fall(forecast, dishes, PAST_MIN);
    let recent = pictures::fall(forecast, dishes, NARROW_PAST_MIN);
    let look = |width_px: f64, id: &str| Look::new(width_px, Mode::Page, id).without_heading();
    let narrow = drawn::svg(&recent, &look(NARROW_PX, "fall-narrow"));
    let wide = drawn::svg(&picture, &look(WIDE_PX, "fall-wide"));
    Picture {
        figure: drawn::touch(&picture).html("The fall ahead", &narrow, Some(&wide)),
        tables: drawn::tables(&picture).into_iter().map(Figures::from).collect(),
    }
}

/// What is planned from an hour on, the next first.
fn coming(inputs: &Inputs, at: &ZonedDateTime) -> Vec<Coming> {
    let known = inputs.day.known_at(at.timestamp()).into_iter();
    let ahead = known.filter(|entry| entry.at.instant > at.timestamp()).take(MOST_COMING);
    let hour = |entry: &ovenfall_record::day::Entry| {
        entry.at.instant.to_zoned_datetime(at.time_zone().clone()).strftime("%H:%M").to_string()
    };
    ahead.map(|entry| Coming { at: hour(entry), what: entry_words::entry(entry) }).collect()
}
