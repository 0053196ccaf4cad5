//! What is in the oven when, and what the forecast says of it: liquid left, core, on course or not.

use crate::forecast::Forecast;
use ovenfall_draw::Bands;
use ovenfall_engine::drive::Action;
use ovenfall_food::dish::{ComeUp, Dish};
use ovenfall_learn::{Band, PlacingVisible};
use ovenfall_plan::menu::kind;

/// A stay of a placing in the oven.
#[derive(Debug, Clone, PartialEq)]
pub struct Stay {
    /// Index of the placing.
    pub placing: usize,
    /// Put in, minutes after the hour asked about.
    pub in_min: f64,
    /// Taken out, the same; `None` when it is still in at the end of the forecast.
    pub out_min: Option<f64>,
}

/// All stays, in order of their beginning.
pub fn stays(forecast: &Forecast) -> Vec<Stay> {
    let mut stays: Vec<Stay> = Vec::new();
    for event in &forecast.situation.driven.drive.events {
        let at_min = forecast.after_min(event.at_s);
        match event.action {
            Action::Place(placing) => stays.push(Stay { placing, in_min: at_min, out_min: None }),
            Action::TakeOut(placing) => {
                if let Some(stay) = stays.iter_mut().rev().find(|stay| stay.placing == placing) {
                    stay.out_min = Some(at_min);
                }
            }
            _ => {}
        }
    }
    stays
}

/// The dish of the table that a dish of the pots file is, by its kind or else by its name.
pub fn known_dish<'a>(dishes: &'a [Dish], forecast: &Forecast, placing: usize) -> Option<&'a Dish> {
    kind(dishes, &forecast.inputs.pots.dishes.get(placing)?.sheet)
}

/// Three quantiles of one quantity at one time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// 5 % of the chances lie below, in the unit of what it is taken from.
    pub p05: f64,
    /// Middle.
    pub p50: f64,
    /// 95 % of the chances lie below.
    pub p95: f64,
}

impl Range {
    /// A band at an index, where it is a number.
    pub fn at(band: &Band, index: usize) -> Option<Self> {
        let range = Self { p05: *band.p05.get(index)?, p50: *band.p50.get(index)?, p95: *band.p95.get(index)? };
        [range.p05, range.p50, range.p95].iter().all(|value| value.is_finite()).then_some(range)
    }

    /// A band at a time between two of its times, where both are numbers.
    pub fn at_min(band: &Band, times_min: &[f64], at_min: f64) -> Option<Self> {
        let next = times_min.partition_point(|t| *t < at_min - 1e-6);
        let (before, after) = (times_min.get(next.saturating_sub(1))?, times_min.get(next)?);
        let (a, b) = (Self::at(band, next.saturating_sub(1))?, Self::at(band, next)?);
        let share = if after > before { (at_min - before) / (after - before) } else { 1.0 };
        let mix = |a: f64, b: f64| a + (b - a) * share;
        Some(Self { p05: mix(a.p05, b.p05), p50: mix(a.p50, b.p50), p95: mix(a.p95, b.p95) })
    }

    /// `231 °C (219–243)`, or `231 °C` where the ends are the same to the digits shown.
    pub fn with_unit(&self, decimals: usize, unit: &str) -> String {
        let words = self.words(decimals);
        match words.split_once(' ') {
            Some((middle, ends)) => format!("{middle} {unit} {ends}"),
            None => format!("{words} {unit}"),
        }
    }

    /// `231 (219–243)`, or `231` where the ends are the same to the digits shown.
    pub fn words(&self, decimals: usize) -> String {
        let figure = |value: f64| format!("{value:.decimals$}");
        let (low, middle, high) = (figure(self.p05), figure(self.p50), figure(self.p95));
        if low == high { middle } else { format!("{middle} ({low}–{high})") }
    }
}

/// The last time at or before `until_min` at which a band ahead is a number; its index.
fn last_index(forecast: &Forecast, band: &Band, until_min: f64) -> Option<usize> {
    let times = forecast.fall.t_min.iter().enumerate();
    let before = times.filter(|(_, t)| **t <= until_min + 1e-6).map(|(i, _)| i);
    before.rev().find(|i| Range::at(band, *i).is_some())
}

/// What is said of a stay.
fn outcome(forecast: &Forecast, dishes: &[Dish], stay: &Stay, seen: &PlacingVisible<Band>) -> String {
    let until_min = stay.out_min.unwrap_or(f64::INFINITY);
    let mut said = Vec::new();
    let core = last_index(forecast, &seen.core_c, until_min).and_then(|i| Range::at(&seen.core_c, i));
    if let Some(core) = core {
        said.push(format!("core {}", core.with_unit(0, "°C")));
    }
    let had_liquid =
        forecast.situation.driven.drive.placings.get(stay.placing).is_some_and(|p| p.contents.liquid_kg > 0.05);
    let liquid = last_index(forecast, &seen.liquid_kg, until_min).and_then(|i| Range::at(&seen.liquid_kg, i));
    if let (true, Some(liquid)) = (had_liquid, liquid) {
        let dry = if liquid.p05 < 0.05 { ", may boil dry: look and top up" } else { "" };
        said.push(format!("liquid left {}{dry}", liquid.with_unit(2, "kg")));
    }
    let dish = known_dish(dishes, forecast, stay.placing);
    let late = dish.and_then(|dish| dish.core_past).map(|rule| (rule, come_up(forecast, stay, &rule)));
    match (late, dish.and_then(|dish| dish.core_c), core) {
        (Some((rule, ComesUp::Late)), _, _) => said.push(format!(
            "not on course: the core is not past {:.0} °C within {:.0} hours",
            rule.past_c, rule.within_h
        )),
        (_, Some(target), Some(core)) => said.push(on_course(&core, target.from, stay.out_min.is_none())),
        _ => said.push("done or not: unknown".to_owned()),
    }
    if let Some((rule, ComesUp::Unknown)) = late {
        said.push(format!("unknown whether the core is past {:.0} °C within {:.0} hours", rule.past_c, rule.within_h));
    }
    said.join("; ")
}

/// Whether a cold core leaves the range in which bacteria grow in time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ComesUp {
    InTime,
    Late,
    Unknown,
}

/// Judged at the last moment the rule allows, or when it comes out, whichever is sooner.
fn come_up(forecast: &Forecast, stay: &Stay, rule: &ComeUp) -> ComesUp {
    let limit_min = stay.in_min + rule.within_h * 60.0;
    let at_min = stay.out_min.map_or(limit_min, |out_min| out_min.min(limit_min));
    let fall = &forecast.fall;
    // A little before it comes out: at that very time it is outside.
    let seen = if at_min > 0.0 {
        let ahead = fall.ahead.placings.get(stay.placing);
        let ends_min = fall.t_min.last().copied().unwrap_or(0.0);
        let inside = last_index_in(&fall.t_min, ahead.map(|p| &p.core_c), at_min);
        if at_min > ends_min { None } else { inside }
    } else {
        let past_min: Vec<f64> = fall.past.times_s.iter().map(|s| forecast.after_min(*s)).collect();
        last_index_in(&past_min, fall.past.placings.get(stay.placing).map(|p| &p.core_c), at_min)
    };
    match seen {
        Some(core) if core.p05 >= rule.past_c => ComesUp::InTime,
        Some(core) if core.p95 < rule.past_c => ComesUp::Late,
        _ => ComesUp::Unknown,
    }
}

fn last_index_in(times_min: &[f64], band: Option<&Band>, until_min: f64) -> Option<Range> {
    let before = times_min.partition_point(|t| *t <= until_min + 1e-6);
    (0..before).rev().find_map(|i| Range::at(band?, i))
}

/// Judged by the worst in twenty, never by the middle. Never "safe". What is still in when the forecast ends is not late
/// yet.
fn on_course(core: &Range, target_c: f64, still_in: bool) -> String {
    if core.p05 >= target_c {
        format!("on course for {target_c:.0} °C")
    } else if still_in {
        format!("unknown whether on course for {target_c:.0} °C: still in when this forecast ends")
    } else if core.p95 < target_c {
        format!("not on course for {target_c:.0} °C")
    } else {
        format!("unknown whether on course for {target_c:.0} °C")
    }
}

/// Two lines a stay: when, and what comes of it. Empty when nothing is in or planned from here on.
pub fn lines(forecast: &Forecast, dishes: &[Dish]) -> Vec<String> {
    let clock = crate::wall_clock::clock(&forecast.at);
    let mut lines = Vec::new();
    for stay in stays(forecast).iter().filter(|stay| stay.out_min.is_none_or(|out| out > 0.0)) {
        let Some(seen) = forecast.fall.ahead.placings.get(stay.placing) else { continue };
        let (into, when) = (clock.hhmm(stay.in_min), if stay.in_min > 0.0 { "in at" } else { "in since" });
        let out =
            stay.out_min.map_or_else(|| "still in at the end".to_owned(), |out| format!("out at {}", clock.hhmm(out)));
        lines.push(format!("  {}: {when} {into}, {out}", seen.name));
        let outcome = outcome(forecast, dishes, stay, seen);
        if !outcome.is_empty() {
            lines.push(format!("    then {outcome}"));
        }
    }
    lines
}

/// Bands of learning as bands of a picture: past, then ahead.
pub fn bands(past: &Band, ahead: &Band, skip: usize) -> Bands {
    // The past ends at the hour that what is ahead begins with.
    let joined = |past: &[f64], ahead: &[f64]| {
        let before = past.len().saturating_sub(1);
        past.iter().take(before).skip(skip).chain(ahead).copied().collect()
    };
    Bands {
        p05: joined(&past.p05, &ahead.p05),
        p25: joined(&past.p25, &ahead.p25),
        p50: joined(&past.p50, &ahead.p50),
        p75: joined(&past.p75, &ahead.p75),
        p95: joined(&past.p95, &ahead.p95),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dish_is_on_course_only_at_its_worst_in_twenty() {
        let core = |p05: f64, p95: f64| Range { p05, p50: f64::midpoint(p05, p95), p95 };
        assert_eq!(on_course(&core(90.0, 95.0), 90.0, false), "on course for 90 °C");
        assert_eq!(on_course(&core(80.0, 89.0), 90.0, false), "not on course for 90 °C");
        assert_eq!(on_course(&core(88.0, 95.0), 90.0, false), "unknown whether on course for 90 °C");
        let early = on_course(&core(30.0, 45.0), 90.0, true);
        assert_eq!(early, "unknown whether on course for 90 °C: still in when this forecast ends");
    }

    #[test]
    fn a_range_shows_its_ends_only_where_they_differ() {
        assert_eq!(Range { p05: 219.4, p50: 231.0, p95: 243.0 }.words(0), "231 (219–243)");
        assert_eq!(Range { p05: 219.4, p50: 231.0, p95: 243.0 }.with_unit(0, "°C"), "231 °C (219–243)");
        assert_eq!(Range { p05: 99.9, p50: 100.0, p95: 100.1 }.words(0), "100");
    }

    #[test]
    fn between_two_times_a_range_is_on_the_chord() {
        let line = |low: f64| vec![low, low + 10.0, f64::NAN];
        let band = Band { p05: line(0.0), p25: line(1.0), p50: line(2.0), p75: line(3.0), p95: line(4.0) };
        let times = [0.0, 5.0, 10.0];
        assert_eq!(Range::at_min(&band, &times, 2.5), Some(Range { p05: 5.0, p50: 7.0, p95: 9.0 }));
        assert_eq!(Range::at_min(&band, &times, 0.0), Range::at(&band, 0));
        assert_eq!(Range::at_min(&band, &times, 7.0), None);
        assert_eq!(Range::at_min(&band, &times, 11.0), None);
    }
}
