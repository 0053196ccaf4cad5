//! The menu by the reading alone: when the oven reads right for each dish that is not in yet, in chances in ten, or why
//! it never does. This is not whether the oven suits it: for that the dish is put in (`ovenfall_plan`).

use crate::forecast::Forecast;
use crate::placings::{known_dish, stays};
use crate::wall_clock::clock;
use ovenfall_draw::Clock;
use ovenfall_draw::{Span as DrawnSpan, Suits};
use ovenfall_engine::drive::Door;
use ovenfall_food::dish::{Dish, DoorState, JudgedBy};
use ovenfall_food::suits::{Outlook, Shares, Span, WhyNot, in_ten, outlook};
use ovenfall_learn::Series;

/// Above the lines: which quantity they tell.
pub const TITLE: &str = "Still to go in, by the reading alone (with the pots in: ovenfall when)";

/// Chances of a stretch that is drawn as sure, and of one that is drawn as possible.
const NINE_IN_TEN: f64 = 0.9;
const POSSIBLE: f64 = 0.05;
/// Least chance a stretch is named for.
const EVEN_CHANCE: f64 = 0.5;
/// Stretches nearer to each other than this are one with a door opened in between, min.
const ONE_STRETCH_MIN: f64 = 25.0;
/// Dishes of a kind that go in within this time of each other are one load, min.
const ONE_LOAD_MIN: f64 = 10.0;
/// Shorter stretches are left out where there is a longer one, min.
const SHORT_MIN: f64 = 10.0;
/// After closing the chamber needs so long to show how warm it is, min.
const CLOSED_FOR_MIN: f64 = 10.0;
/// Stretches named of one dish.
const MOST_STRETCHES: usize = 2;

/// Dishes that want the same at the same time.
struct Group<'a> {
    names: Vec<&'a str>,
    dish: &'a Dish,
    planned_min: Option<f64>,
}

/// Time after which cold pots have pulled the oven down, min.
const SETTLED_MIN: f64 = 30.0;

/// Lines for every dish that is not in the oven yet.
pub fn lines(forecast: &Forecast, dishes: &[Dish]) -> Vec<String> {
    let stays = stays(forecast);
    let (mut groups, mut lines): (Vec<Group<'_>>, Vec<String>) = (Vec::new(), Vec::new());
    for (placing, row) in forecast.inputs.pots.dishes.iter().enumerate() {
        let in_at = || stays.iter().filter(|stay| stay.placing == placing).map(|stay| stay.in_min);
        if in_at().any(|in_min| in_min <= 0.0) {
            continue;
        }
        let (name, planned_min) = (row.sheet.name.as_str(), in_at().reduce(f64::min));
        let Some(dish) = known_dish(dishes, forecast, placing) else {
            let hint =
                row.sheet.kind.as_ref().map_or("give it a `kind`", |_| "its `kind` is not in the table of dishes");
            lines.push(format!("  {name}: unknown, {hint}"));
            continue;
        };
        match groups.iter_mut().find(|group| group.takes(dish, planned_min)) {
            Some(group) => group.names.push(name),
            None => groups.push(Group { names: vec![name], dish, planned_min }),
        }
    }
    for group in groups {
        lines.push(format!("  {} ({})", group.names.join(", "), wants(group.dish)));
        lines.extend(when(forecast, &group).into_iter().map(|line| format!("    {line}")));
    }
    lines
}

impl Group<'_> {
    fn takes(&self, dish: &Dish, planned_min: Option<f64>) -> bool {
        let together = match (self.planned_min, planned_min) {
            (Some(a), Some(b)) => (a - b).abs() <= ONE_LOAD_MIN,
            (None, None) => true,
            _ => false,
        };
        self.dish.name == dish.name && together
    }
}

/// What a dish wants: `probe 170–110 °C, door shut`.
pub fn wants(dish: &Dish) -> String {
    let place = match dish.judged_by {
        _ if dish.flammable => "every face",
        JudgedBy::Floor => "floor",
        JudgedBy::Chamber => "probe",
    };
    let window = match dish.window_c.to {
        Some(to) => format!("{:.0} to {to:.0} °C", dish.window_c.from),
        None => format!("under {:.0} °C", dish.window_c.from),
    };
    format!("{place} {window}, door {}", dish.door.words())
}

/// Shares of the members for which the oven reads right, too hot and too cool for a dish, where the reading counts.
fn shares_of(forecast: &Forecast, dish: &Dish) -> Shares {
    let members = &forecast.fall.members;
    let crown: Vec<&[f64]> = members.crown_c.by_time().collect();
    let hottest = || {
        let over = |t: usize, member: usize, floor_c: f64| {
            crown.get(t).and_then(|row| row.get(member)).map_or(f64::NAN, |c| floor_c.max(*c))
        };
        members.floor_c.clone().map(over)
    };
    let series = match dish.judged_by {
        _ if dish.flammable => hottest(),
        JudgedBy::Floor => members.floor_c.clone(),
        JudgedBy::Chamber => members.probe_c.clone(),
    };
    let mut shares = shares(dish, &series);
    only_when_it_counts(forecast, dish, &mut shares);
    shares
}

fn when(forecast: &Forecast, group: &Group<'_>) -> Vec<String> {
    let dish = group.dish;
    let shares = shares_of(forecast, dish);
    let times = &forecast.fall.t_min;
    let clock = clock(&forecast.at);
    let mut lines = match outlook(times, &shares, EVEN_CHANCE) {
        Outlook::Suits(spans) => stretches(&spans, &clock),
        Outlook::Never(why) => vec![why_not(why, &clock)],
    };
    if let Some(at_min) = group.planned_min {
        let stays_in = dish.judged_by != JudgedBy::Floor;
        lines.push(planned(times, &shares, at_min, &clock, stays_in));
    }
    lines
}

/// Whether what the probe reads counts for a dish: while the door stands open it reads low, which suits nothing that wants
/// it shut.
fn reads_at(forecast: &Forecast, dish: &Dish, t_min: f64) -> bool {
    let wants_it_shut = matches!(dish.door, DoorState::Shut | DoorState::SealedThenVented);
    let at_s = forecast.situation.driven.at_s + t_min * 60.0;
    let shut = |at_s: f64| forecast.door_at(at_s) == Door::Shut;
    dish.judged_by == JudgedBy::Floor || !wants_it_shut || (shut(at_s) && shut(at_s - CLOSED_FOR_MIN * 60.0))
}

/// When the oven reads right for a dish, for the picture: from the same shares as the words.
pub fn reads_right(forecast: &Forecast, dish: &Dish) -> Suits {
    let shares = shares_of(forecast, dish);
    let spans = |least_share: f64| match outlook(&forecast.fall.t_min, &shares, least_share) {
        Outlook::Suits(spans) => joined(&spans).iter().map(drawn).collect(),
        Outlook::Never(_) => Vec::new(),
    };
    Suits { nine_in_ten: spans(NINE_IN_TEN), even: spans(EVEN_CHANCE), possible: spans(POSSIBLE) }
}

fn drawn(span: &Span) -> DrawnSpan {
    DrawnSpan { from_min: span.interval.from_min, to_min: span.interval.until_min }
}

/// Takes out the times at which the reading does not count.
fn only_when_it_counts(forecast: &Forecast, dish: &Dish, shares: &mut Shares) {
    for (i, t_min) in forecast.fall.t_min.iter().enumerate() {
        if !reads_at(forecast, dish, *t_min) {
            for share in [&mut shares.within_share, &mut shares.too_hot_share, &mut shares.too_cool_share] {
                if let Some(share) = share.get_mut(i) {
                    *share = 0.0;
                }
            }
        }
    }
}

fn shares(dish: &Dish, series: &Series) -> Shares {
    let rows: Vec<&[f64]> = series.by_time().collect();
    let at = |time: usize, member: usize| rows.get(time).and_then(|row| row.get(member)).copied().unwrap_or(f64::NAN);
    Shares::count(dish, rows.len(), series.members(), at)
}

/// Stretches with only a door opened between them are told as one.
fn joined(spans: &[Span]) -> Vec<Span> {
    let mut out: Vec<Span> = Vec::new();
    for span in spans {
        match out.last_mut() {
            Some(last) if span.interval.from_min - last.interval.until_min < ONE_STRETCH_MIN => {
                last.interval.until_min = span.interval.until_min;
                last.interval.goes_on = span.interval.goes_on;
                if span.chances_in_ten > last.chances_in_ten {
                    (last.chances_in_ten, last.best_min) = (span.chances_in_ten, span.best_min);
                }
            }
            _ => out.push(*span),
        }
    }
    out
}

fn stretches(spans: &[Span], clock: &Clock) -> Vec<String> {
    let mut spans = joined(spans);
    let lasts = |span: &Span| span.interval.until_min - span.interval.from_min >= SHORT_MIN;
    if spans.iter().any(lasts) {
        spans.retain(lasts);
    }
    let words = |span: &Span| {
        let interval = span.interval;
        let from = if interval.under_way { "now".to_owned() } else { clock.hhmm(interval.from_min) };
        let until = if interval.goes_on { "the end".to_owned() } else { clock.hhmm(interval.until_min) };
        let best = chances(span.chances_in_ten);
        format!("reads right from {from} to {until}: at best {best}, at {}", clock.hhmm(span.best_min))
    };
    let mut lines: Vec<String> = spans.iter().take(MOST_STRETCHES).map(words).collect();
    if let Some(next) = spans.get(MOST_STRETCHES) {
        lines.push(format!("and again from {}", clock.hhmm(next.interval.from_min)));
    }
    lines
}

fn why_not(why: WhyNot, clock: &Clock) -> String {
    match why {
        WhyNot::TooHotUntil { at_min } => format!("not within this forecast: still too hot at {}", clock.hhmm(at_min)),
        WhyNot::AlreadyTooCool => "not any more: the oven is too cool already".to_owned(),
        WhyNot::Unlikely { best_min, chances_in_ten } => {
            format!("hardly: at best {}, at {}", chances(chances_in_ten), clock.hhmm(best_min))
        }
        WhyNot::Unknown => "unknown: there is no forecast to judge by".to_owned(),
    }
}

/// The chance at the hour the plan has: as the oven is just before the pot goes in, and, for what stays in behind a shut
/// door, as it is once the cold pots have pulled it down. Too hot before can be right after.
fn planned(times_min: &[f64], shares: &Shares, at_min: f64, clock: &Clock, stays_in: bool) -> String {
    let known = |i: &usize| {
        let of = |shares: &[f64]| shares.get(*i).copied().unwrap_or(0.0);
        of(&shares.within_share) + of(&shares.too_hot_share) + of(&shares.too_cool_share) > 0.0
    };
    let share = |i: usize| shares.within_share.get(i).copied().unwrap_or(0.0);
    // The last time before it goes in at which something is known: afterwards the pot itself pulls the oven down.
    let before = (0..times_min.partition_point(|t| *t <= at_min)).rev().find(known).unwrap_or(0);
    let settled = (times_min.partition_point(|t| *t < at_min + SETTLED_MIN)..times_min.len()).find(known);
    let hot = shares.too_hot_share.get(before).copied().unwrap_or(0.0);
    let cool = shares.too_cool_share.get(before).copied().unwrap_or(0.0);
    let else_it_is = match (share(before) < 0.95, hot > cool) {
        (false, _) => "",
        (true, true) => " (else too hot)",
        (true, false) => " (else too cool)",
    };
    let then = chances(in_ten(share(before)));
    let later = match settled {
        Some(i) if stays_in && in_ten(share(i)) != in_ten(share(before)) => {
            format!(", {} at {} with it in", chances(in_ten(share(i))), clock.hhmm(times_min[i]))
        }
        _ => String::new(),
    };
    format!("planned for {}: {then} then{else_it_is}{later}", clock.hhmm(at_min))
}

/// Chances in ten, in words.
fn chances(in_ten: u8) -> String {
    match in_ten {
        0 => "less than 1 chance in 10".to_owned(),
        1 => "1 chance in 10".to_owned(),
        _ => format!("{in_ten} chances in 10"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use ovenfall_food::suits::Interval;

    fn span(from_min: f64, until_min: f64, chances_in_ten: u8) -> Span {
        let interval = Interval { from_min, until_min, under_way: from_min <= 0.0, goes_on: false };
        Span { interval, chances_in_ten, best_min: from_min }
    }

    fn noon() -> Clock {
        Clock { now_of_day_min: 720.0, weekday_monday0: None, zone: String::new(), change: None }
    }

    #[test]
    fn a_door_opened_in_between_does_not_part_a_stretch() {
        let lines = stretches(&[span(0.0, 30.0, 6), span(45.0, 90.0, 8), span(300.0, 304.0, 5)], &noon());
        assert_eq!(
            lines,
            ["reads right from now to 13:30: at best 8 chances in 10, at 12:45"],
            "the short one is left out"
        );
        let apart = stretches(&[span(0.0, 30.0, 1), span(60.0, 90.0, 0)], &noon());
        assert_eq!(apart[0], "reads right from now to 12:30: at best 1 chance in 10, at 12:00");
        assert_eq!(apart[1], "reads right from 13:00 to 13:30: at best less than 1 chance in 10, at 13:00");
    }

    #[test]
    fn why_it_never_suits_is_said() {
        assert_eq!(why_not(WhyNot::AlreadyTooCool, &noon()), "not any more: the oven is too cool already");
        let hot = why_not(WhyNot::TooHotUntil { at_min: 60.0 }, &noon());
        assert_eq!(hot, "not within this forecast: still too hot at 13:00");
    }

    #[test]
    fn a_chance_is_that_of_the_last_time_before_something_goes_in() {
        let shares = Shares {
            too_hot_share: vec![0.3, 0.0, 0.0],
            within_share: vec![0.69, 0.0, 0.0],
            too_cool_share: vec![0.01, 0.0, 1.0],
        };
        let said = planned(&[0.0, 5.0, 10.0], &shares, 6.0, &noon(), true);
        assert_eq!(said, "planned for 12:06: 6 chances in 10 then (else too hot)");
    }

    #[test]
    fn too_hot_before_can_be_right_with_the_pots_in() {
        let shares = Shares {
            too_hot_share: vec![0.9, 0.0, 0.2],
            within_share: vec![0.1, 0.0, 0.8],
            too_cool_share: vec![0.0, 0.0, 0.0],
        };
        let said = planned(&[0.0, 20.0, 40.0], &shares, 6.0, &noon(), true);
        assert_eq!(said, "planned for 12:06: 1 chance in 10 then (else too hot), 8 chances in 10 at 12:40 with it in");
        let said = planned(&[0.0, 20.0, 40.0], &shares, 6.0, &noon(), false);
        assert_eq!(said, "planned for 12:06: 1 chance in 10 then (else too hot)");
    }
}
