//! The menu as a screen shows it: for each dish the answer in a few words, what is behind it, and its hours on one axis.

use crate::board::{Figures, Picture, problem};
use crate::error::AnswerError;
use crate::fall_words::not_trusted;
use crate::headline::without_a_fire;
use crate::inputs::{Draw, Inputs};
use crate::json_parts::time;
use crate::judged::{Judged, MenuAsked, Row, What, judge};
use crate::wall_clock::{clock, day_and_hour};
use crate::{cautions, when_words};
use jiff::ZonedDateTime;
use ovenfall_draw::fall::Trace;
use ovenfall_draw::theme::{Look, Mode};
use ovenfall_draw::windows::{self, WindowsPicture};
use ovenfall_draw::{Span, Suits as DrawnSuits, Window};
use ovenfall_food::dish::{Dish, JudgedBy};
use ovenfall_plan::{Answer, Chance, Menu};
use ovenfall_record::day::{Done, What as Entered};
use serde::{Deserialize, Serialize};

/// How far ahead a menu looks, h.
pub const HORIZON_H: f64 = 12.0;
/// Widths of the picture, px.
const NARROW_PX: f64 = 366.0;
const WIDE_PX: f64 = 820.0;
/// Chances of a stretch that is drawn as sure, as even, and as possible.
const DEGREES_SHARE: [f64; 3] = [0.9, 0.5, 0.05];

/// What is told of a dish.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DishTold {
    /// Its name.
    pub name: String,
    /// The answer in a few words.
    pub verdict: String,
    /// What the dish wants.
    pub wants: Option<String>,
    /// What is behind the answer.
    pub lines: Vec<String>,
    /// What to take care of with it.
    pub cautions: Vec<String>,
}

/// A menu judged at an hour, as text.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct MenuBoard {
    /// The hour it answers for, with its offset.
    pub at: String,
    /// That hour in words.
    pub hour: String,
    /// What stands ahead of all of it; empty where nothing does.
    pub first: String,
    /// How it was looked.
    pub intro: String,
    /// The dishes.
    pub dishes: Vec<DishTold>,
    /// Their hours.
    pub picture: Option<Picture>,
    /// What was assumed.
    pub notes: Vec<String>,
    /// What looks wrong.
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

impl MenuBoard {
    /// The dishes of a day's pots, judged at an hour.
    ///
    /// # Errors
    /// When the day cannot be computed or the dishes cannot be judged.
    pub fn compute(inputs: Inputs, at: ZonedDateTime, dishes: &[Dish], draw: Draw) -> Result<Self, AnswerError> {
        let lit = |entry: &&ovenfall_record::day::Entry| matches!(entry.what, Entered::Done(Done::WoodOn { .. }));
        if inputs.pots.dishes.is_empty() || !inputs.day.known_at(at.timestamp()).iter().any(lit) {
            let first = if inputs.pots.dishes.is_empty() { String::new() } else { without_a_fire().more };
            return Ok(Self { first, ..Self::empty(&inputs, &at, draw) });
        }
        let bare = Self::empty(&inputs, &at, draw);
        let menu = Menu::of_the_day(inputs.pots.clone());
        let asked = MenuAsked { inputs, menu, menu_sha256: None, at, horizon_h: HORIZON_H };
        let judged = judge(asked, draw, dishes)?;
        Ok(Self {
            first: not_trusted(&judged.situation).unwrap_or_default().to_owned(),
            intro: when_words::intro(&judged),
            dishes: judged.rows.iter().map(|row| told(&judged, row)).collect(),
            picture: picture(&judged),
            notes: judged.assumed.clone(),
            cautions: general(&judged),
            members: judged.options.members,
            ..bare
        })
    }

    /// The menu of a day that cannot be worked out, with the reasons.
    #[must_use]
    pub fn stopped(at: &ZonedDateTime, reasons: &[String], draw: Draw) -> Self {
        let first = format!("This menu cannot be worked out: {}", reasons.join(". "));
        Self { first, ..Self::bare(at, draw) }
    }

    fn empty(inputs: &Inputs, at: &ZonedDateTime, draw: Draw) -> Self {
        let warnings = inputs.warnings.iter().map(problem).collect();
        Self { warnings, input_sha256: inputs.sha256.clone(), ..Self::bare(at, draw) }
    }

    fn bare(at: &ZonedDateTime, draw: Draw) -> Self {
        Self {
            at: time(at),
            hour: day_and_hour(at),
            first: String::new(),
            intro: String::new(),
            dishes: Vec::new(),
            picture: None,
            notes: Vec::new(),
            warnings: Vec::new(),
            cautions: Vec::new(),
            input_sha256: String::new(),
            members: draw.members,
            seed: draw.seed,
        }
    }
}

/// Cautions that are of no dish: those stand with their dish.
fn general(judged: &Judged) -> Vec<String> {
    let of_a_dish = |line: &String| judged.rows.iter().any(|row| line.starts_with(&format!("{}: ", row.name)));
    cautions::of_menu(judged).into_iter().filter(|line| !of_a_dish(line)).collect()
}

fn told(judged: &Judged, row: &Row) -> DishTold {
    DishTold {
        name: row.name.clone(),
        verdict: when_words::verdict(judged, row),
        wants: when_words::wants_of(row),
        lines: when_words::lines(judged, row),
        cautions: row.dish.iter().flat_map(|dish| &dish.cautions).map(|caution| caution.text.clone()).collect(),
    }
}

/// The hours of the dishes that are not in yet, each alone.
fn picture(judged: &Judged) -> Option<Picture> {
    let window = |row: &Row| match (&row.what, &row.dish) {
        (What::Suits(suits), Some(dish)) => Some(Window {
            dish: row.name.clone(),
            low_c: dish.window_c.to.unwrap_or(0.0),
            high_c: dish.window_c.from,
            judged_by: if dish.judged_by == JudgedBy::Floor { Trace::Floor } else { Trace::Probe },
            reads_right: hours(judged, &suits.alone),
        }),
        _ => None,
    };
    let windows: Vec<Window> = judged.rows.iter().filter_map(window).collect();
    if windows.is_empty() {
        return None;
    }
    let title = "When the oven suits each dish, with its own cold pot in".to_owned();
    let drawn = WindowsPicture { title, clock: clock(&judged.at), to_min: judged.horizon_h * 60.0, windows };
    let look = |width_px: f64, id: &str| Look::new(width_px, Mode::Page, id).without_heading();
    let (narrow, wide) =
        (windows::svg(&drawn, &look(NARROW_PX, "menu-narrow")), windows::svg(&drawn, &look(WIDE_PX, "menu-wide")));
    Some(Picture {
        figure: format!(
            "<figure><div class=\"draw-narrow\">{narrow}</div><div class=\"draw-wide\">{wide}</div></figure>"
        ),
        tables: windows::tables(&drawn).into_iter().map(Figures::from).collect(),
    })
}

/// Stretches of three degrees, from the chances at the hours that were tried.
fn hours(judged: &Judged, answer: &Answer) -> DrawnSuits {
    let points: Vec<(f64, f64)> =
        answer.chances.iter().map(|chance: &Chance| (judged.after_min(chance.at_s), chance.suits_share)).collect();
    let [nine_in_ten, even, possible] = DEGREES_SHARE.map(|least| spans(&points, least));
    DrawnSuits { nine_in_ten, even, possible }
}

/// Where a broken line through points lies at or above a height.
fn spans(points: &[(f64, f64)], least: f64) -> Vec<Span> {
    let mut spans: Vec<Span> = Vec::new();
    for pair in points.windows(2) {
        let [(from, a), (to, b)] = pair else { continue };
        let cross = |share: f64| from + (to - from) * share;
        let reached = match (*a >= least, *b >= least) {
            (true, true) => Some((*from, *to)),
            (true, false) => Some((*from, cross((a - least) / (a - b)))),
            (false, true) => Some((cross((least - a) / (b - a)), *to)),
            (false, false) => None,
        };
        let Some((from_min, to_min)) = reached else { continue };
        match spans.last_mut().filter(|last| (last.to_min - from_min).abs() < 1e-6) {
            Some(last) => last.to_min = to_min,
            None => spans.push(Span { from_min, to_min }),
        }
    }
    spans
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stretches_end_where_the_chances_cross() {
        let points = [(0.0, 0.0), (60.0, 1.0), (120.0, 1.0), (180.0, 0.0)];
        let even = spans(&points, 0.5);
        assert_eq!(even, [Span { from_min: 30.0, to_min: 150.0 }]);
        assert!(spans(&points, 1.1).is_empty());
        assert!(spans(&[(0.0, 1.0)], 0.5).is_empty());
    }
}
