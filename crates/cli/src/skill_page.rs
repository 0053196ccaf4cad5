//! The scores of a list of days as a page (Markdown).

use crate::commands::replay::ReplayedDay;
use crate::replay_words::hour_name;
use crate::replayed::{HORIZON_H, Replayed, Rule, rules as rules_for};
use ovenfall_answer::Draw;
use ovenfall_learn::replay::{Score, skill_share};
use ovenfall_learn::score::quantile;
use std::path::Path;

/// From this line on a page is written by hand.
const BY_HAND: &str = "<!-- From here on by hand: kept when the page is written anew. -->";

/// A goal: what it is about, hours after shutting it holds for, its limit, and the figure it is held to.
struct Goal {
    words: &'static str,
    after_min: (f64, f64),
    limit: f64,
    unit: &'static str,
    figure: fn(&Replayed) -> Option<f64>,
}

/// What forecasts from a description and today's readings are held to.
const GOALS: [Goal; 3] = [
    Goal {
        words: "probe, rms, from an hour after shutting",
        after_min: (59.0, f64::INFINITY),
        limit: 6.0,
        unit: "K",
        figure: |hour| hour.score.map(|score| score.rms_k),
    },
    Goal {
        words: "heat in store at shutting, off by",
        after_min: (-1.0, 1.0),
        limit: 7.0,
        unit: "%",
        figure: |hour| hour.store.map(|store| 100.0 * store.off_share().abs()),
    },
    Goal {
        words: "first physics: probe, rms, at every hour",
        after_min: (-1.0, f64::INFINITY),
        limit: 15.0,
        unit: "K",
        figure: |hour| hour.score.map(|score| score.rms_k),
    },
];

/// The page as computed, up to where it is written by hand.
pub fn page(days: &[ReplayedDay], rules: &[Rule], list: &Path, draw: Draw) -> String {
    let parts = [
        head(list, draw),
        scores(days),
        pooled(days),
        beside_rules(days, rules),
        constants(rules),
        goals(days),
        format!("{BY_HAND}\n"),
    ];
    parts.join("\n")
}

/// A page with the part by hand of the page that was there before.
pub fn with_what_was_written_by_hand(page: &str, before: &str) -> String {
    let by_hand = before.split_once(BY_HAND).map_or("", |(_, by_hand)| by_hand.trim_start_matches('\n'));
    if by_hand.is_empty() { page.to_owned() } else { format!("{page}\n{by_hand}") }
}

fn head(list: &Path, draw: Draw) -> String {
    format!(
        "# How far to trust a forecast\n\n\
         Finished days, replayed: each forecast knows the oven's description, what was done and read up to its hour, and \
         what\nwas done later as the plan; no later reading. It is held against the chamber probe without its errors, with \
         the door\nshut, over the next {HORIZON_H:.0} h, the first ten minutes after each closing left out. Each value counts \
         for the time it\nstands for.\n\n\
         Written by `ovenfall replay --list {} --page FILE --members {} --seed {}`; the same\ncommand gives the same page, \
         on any number of threads. {} members, seed {}. A test compares.\n",
        list.display(),
        draw.members,
        draw.seed,
        draw.members,
        draw.seed,
    )
}

/// A table row.
fn line(cells: &[String]) -> String {
    format!("| {} |\n", cells.join(" | "))
}

fn table(head: &[String]) -> String {
    let rule: Vec<String> =
        head.iter().enumerate().map(|(i, _)| if i < 2 { "---" } else { "---:" }.to_owned()).collect();
    line(head) + &line(&rule)
}

fn texts<const N: usize>(cells: [&str; N]) -> Vec<String> {
    cells.map(str::to_owned).to_vec()
}

/// All hours with their day.
fn hours(days: &[ReplayedDay]) -> impl Iterator<Item = (&ReplayedDay, &Replayed)> {
    days.iter().flat_map(|day| day.hours.iter().map(move |hour| (day, hour)))
}

/// Names of the hours, in order of time after shutting.
fn hour_names(days: &[ReplayedDay]) -> Vec<String> {
    let mut all: Vec<f64> = hours(days).map(|(_, hour)| hour.after_shut_min).collect();
    all.sort_by(f64::total_cmp);
    let mut names: Vec<String> = all.into_iter().map(hour_name).collect();
    names.dedup();
    names
}

fn median(values: impl Iterator<Item = f64>) -> Option<f64> {
    let mut sorted: Vec<f64> = values.collect();
    sorted.sort_by(f64::total_cmp);
    quantile(&sorted, 0.5)
}

fn number(value: Option<f64>, decimals: usize) -> String {
    value.map_or_else(|| "–".to_owned(), |value| format!("{value:.decimals$}"))
}

fn signed(value: Option<f64>) -> String {
    value.map_or_else(|| "–".to_owned(), |value| format!("{value:+.0}"))
}

fn scores(days: &[ReplayedDay]) -> String {
    let head = texts([
        "day",
        "hour",
        "rms K",
        "too high K",
        "CRPS K",
        "in 50 %",
        "in 90 %",
        "90 % wide K",
        "store %",
        "store in 90 %",
        "largest miss",
    ]);
    let mut text = format!("## The forecast\n\n{}", table(&head));
    for (day, hour) in hours(days) {
        text.push_str(&line(&score_cells(&day.name, hour)));
    }
    for name in hour_names(days) {
        text.push_str(&line(&median_cells(days, &name)));
    }
    text + "\n`too high`: mean of median less what came. `in 50 %`, `in 90 %`: share of the time inside the middle half and \
            the middle nine\ntenths of the members. `store`: median of the heat in store at the hour less what was. \
            `largest miss`: median less what came, and\nits time after shutting. The last rows are medians over days; \
            of the store, of the size of its error.\n"
}

fn score_cells(day: &str, hour: &Replayed) -> Vec<String> {
    let of = |part: fn(Score) -> f64, decimals: usize| number(hour.score.map(part), decimals);
    let (store, inside) = hour.store.map_or(("–".to_owned(), "–".to_owned()), |store| {
        (signed(Some(100.0 * store.off_share())), if store.inside() { "yes" } else { "no" }.to_owned())
    });
    let miss = hour.score.map_or_else(
        || "–".to_owned(),
        |score| format!("{:+.0} K at {:.1} h", score.miss.off_k, hour.miss_after_shut_min / 60.0),
    );
    let probe = [
        of(|s| s.rms_k, 1),
        hour.score.map_or_else(|| "–".to_owned(), |s| format!("{:+.1}", s.mean_off_k)),
        of(|s| s.crps_k, 1),
        of(|s| 100.0 * s.inside_half_share, 0),
        of(|s| 100.0 * s.inside_ninety_share, 0),
        of(|s| s.width_ninety_k, 0),
    ];
    let mut cells = vec![day.to_owned(), hour_name(hour.after_shut_min)];
    cells.extend(probe);
    cells.extend([store, inside, miss]);
    cells
}

fn median_cells(days: &[ReplayedDay], name: &str) -> Vec<String> {
    let here: Vec<&Replayed> =
        hours(days).map(|(_, hour)| hour).filter(|hour| hour_name(hour.after_shut_min) == name).collect();
    let of = |part: fn(Score) -> f64| median(here.iter().filter_map(|hour| hour.score.map(part)));
    let store = median(here.iter().filter_map(|hour| hour.store.map(|store| 100.0 * store.off_share().abs())));
    let inside = here.iter().filter(|hour| hour.store.is_some_and(|store| store.inside())).count();
    let known = here.iter().filter(|hour| hour.store.is_some()).count();
    vec![
        "**median**".to_owned(),
        name.to_owned(),
        format!("**{}**", number(of(|s| s.rms_k), 1)),
        number(of(|s| s.mean_off_k), 1),
        number(of(|s| s.crps_k), 1),
        number(of(|s| 100.0 * s.inside_half_share), 0),
        number(of(|s| 100.0 * s.inside_ninety_share), 0),
        number(of(|s| s.width_ninety_k), 0),
        number(store, 0),
        format!("{inside} of {known}"),
        String::new(),
    ]
}

/// Coverage over all days and hours, each hour of a day counting the same, and how far single forecasts are from it.
fn pooled(days: &[ReplayedDay]) -> String {
    let scores: Vec<Score> = hours(days).filter_map(|(_, hour)| hour.score).collect();
    let told = |part: fn(&Score) -> f64| {
        let shares = || scores.iter().map(part);
        let mean = shares().sum::<f64>() / scores.len().max(1) as f64;
        let least = shares().fold(1.0, f64::min);
        (100.0 * mean, 100.0 * median(shares()).unwrap_or(0.0), 100.0 * least)
    };
    let (half, ninety) = (told(|s| s.inside_half_share), told(|s| s.inside_ninety_share));
    format!(
        "Pooled over {} forecasts: {:.0} % of the time inside the middle half (50 % would be honest; single forecasts: median \
         {:.0} %, least\n{:.0} %), {:.0} % inside the middle nine tenths (90 % would be; median {:.0} %, least {:.0} %). A \
         pooled figure near its aim can hide\nbands that are too wide on most days and too narrow on one: read the rows. \
         Hours of one day are not independent, so with so few\ndays all of this is uncertain by tens of percent.\n",
        scores.len(),
        half.0,
        half.1,
        half.2,
        ninety.0,
        ninety.1,
        ninety.2,
    )
}

fn beside_rules(days: &[ReplayedDay], rules: &[Rule]) -> String {
    let mut head = texts(["day", "hour", "forecast"]);
    head.extend(rules.iter().flat_map(|rule| [rule.name().to_owned(), "in hindsight".to_owned()]));
    let mut text = format!(
        "## Beside three rules of thumb\n\nrms, K, each with textbook constants and with those that would have suited all \
         of these hours best, in hindsight (the least mean\nover them): no cook can know those. `each day's own` are \
         constants fitted to what came of that one day, over all of its hours: a\ncurve drawn through the outcome, no \
         forecast. None of the rules looks at the plan, but for the choice of the similar day: loaded or empty.\n\n{}",
        table(&head)
    );
    for (day, hour) in hours(days) {
        let mut cells = vec![day.name.clone(), hour_name(hour.after_shut_min), number(hour.score.map(|s| s.rms_k), 1)];
        cells.extend(
            rules
                .iter()
                .flat_map(|rule| [false, true].map(|best| number(rule.score(hour, best).map(|score| score.rms_k), 1))),
        );
        text.push_str(&line(&cells));
    }
    let rules_of_days: Vec<Vec<Rule>> =
        days.iter().map(|day| rules_for(&day.hours.iter().collect::<Vec<&Replayed>>())).collect();
    for name in hour_names(days) {
        text.push_str(&rule_medians(days, rules, &name));
        text.push_str(&own_constants(days, &rules_of_days, &name));
    }
    let mut cells = texts(["**mean**", "all", &number(mean_k(hours(days).map(|(_, h)| h.score.map(|s| s.rms_k))), 1)]);
    cells.extend(rules.iter().flat_map(|rule| {
        [false, true].map(|best| {
            let each = hours(days).map(|(_, hour)| rule.score(hour, best).map(|score| score.rms_k));
            number(mean_k(each), 1)
        })
    }));
    text.push_str(&line(&cells));
    text + "\nSkill is 1 − error / error of the rule, with medians over the days both have a figure for: 0 is no better, 1 is \
            perfect. A rule without\na spread is held to its mean error where the forecast is held to its CRPS.\n"
}

/// Mean over hours.
fn mean_k(each: impl Iterator<Item = Option<f64>>) -> Option<f64> {
    let known: Vec<f64> = each.flatten().collect();
    (!known.is_empty()).then(|| known.iter().sum::<f64>() / known.len() as f64)
}

/// Medians of one hour with the constants that suit each day best.
fn own_constants(days: &[ReplayedDay], rules_of_days: &[Vec<Rule>], name: &str) -> String {
    let count = rules_of_days.first().map_or(0, Vec::len);
    let of = |index: usize| {
        let each =
            days.iter().zip(rules_of_days).flat_map(|(day, rules)| day.hours.iter().map(move |hour| (hour, rules)));
        let here = each.filter(|(hour, _)| hour_name(hour.after_shut_min) == name);
        median(here.filter_map(|(hour, rules)| Some(rules.get(index)?.score(hour, true)?.rms_k)))
    };
    let mut cells = texts(["each day's own", name, ""]);
    cells.extend((0..count).flat_map(|index| [String::new(), number(of(index), 1)]));
    line(&cells)
}

/// Medians of one hour: errors, and skill by rms and by CRPS.
fn rule_medians(days: &[ReplayedDay], rules: &[Rule], name: &str) -> String {
    let here = || hours(days).map(|(_, hour)| hour).filter(|hour| hour_name(hour.after_shut_min) == name);
    let pairs = |rule: &Rule, best: bool, part: fn((f64, f64)) -> f64| {
        let both = here().filter_map(|hour| {
            let (score, curve) = (hour.score?, rule.score(hour, best)?);
            Some(((score.rms_k, score.crps_k), (curve.rms_k, curve.crps_k)))
        });
        let both: Vec<_> = both.collect();
        (median(both.iter().map(|(own, _)| part(*own))), median(both.iter().map(|(_, rule)| part(*rule))))
    };
    let each = |cell: &dyn Fn(&Rule, bool) -> String| -> Vec<String> {
        rules.iter().flat_map(|rule| [false, true].map(|best| cell(rule, best))).collect()
    };
    let skill = |part: fn((f64, f64)) -> f64| {
        each(&|rule, best| match pairs(rule, best, part) {
            (Some(own), Some(other)) => number(skill_share(own, other), 2),
            _ => "–".to_owned(),
        })
    };
    let row = |title: &str, own: String, cells: Vec<String>| {
        line(&[vec![title.to_owned(), name.to_owned(), own], cells].concat())
    };
    let own = number(median(here().filter_map(|hour| hour.score.map(|s| s.rms_k))), 1);
    row("**median**", own, each(&|rule, best| number(pairs(rule, best, |p| p.0).1, 1)))
        + &row("skill, rms", String::new(), skill(|p| p.0))
        + &row("skill, CRPS", String::new(), skill(|p| p.1))
}

fn constants(rules: &[Rule]) -> String {
    let mut text =
        format!("Constants of the rules:\n\n{}", table(&texts(["rule", "constant", "textbook", "in hindsight"])));
    for rule in rules {
        for (i, constant) in rule.baseline.constants().iter().enumerate() {
            let of = |values: &[f64]| number(values.get(i).copied(), 2);
            text.push_str(&line(&[
                rule.name().to_owned(),
                constant.name.to_owned(),
                of(&rule.textbook_values),
                of(&rule.best_values),
            ]));
        }
    }
    text
}

fn goals(days: &[ReplayedDay]) -> String {
    let mut text = format!(
        "## Goals\n\n{}",
        table(&texts(["from a description and today's readings", "goal", "median", "met on"]))
    );
    for goal in &GOALS {
        let here = hours(days)
            .filter(|(_, hour)| goal.after_min.0 <= hour.after_shut_min && hour.after_shut_min <= goal.after_min.1);
        let values: Vec<f64> = here.filter_map(|(_, hour)| (goal.figure)(hour)).collect();
        let met = values.iter().filter(|value| **value <= goal.limit).count();
        text.push_str(&line(&[
            goal.words.to_owned(),
            format!("≤ {:.0} {}", goal.limit, goal.unit),
            format!("{} {}", number(median(values.iter().copied()), 1), goal.unit),
            format!("{met} of {}", values.len()),
        ]));
    }
    text + "\nGoals for what is learned from other days of an oven (4 K from an hour after shutting, 7 K from shutting) wait for \
            that learning.\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_written_by_hand_stays() {
        let page = format!("# New\n{BY_HAND}\n");
        assert_eq!(with_what_was_written_by_hand(&page, ""), page);
        let before = format!("# Old\n{BY_HAND}\n\n## Why\n\nBecause.\n");
        let after = with_what_was_written_by_hand(&page, &before);
        assert_eq!(after, format!("# New\n{BY_HAND}\n\n## Why\n\nBecause.\n"));
        assert_eq!(with_what_was_written_by_hand(&page, &after), after, "twice is once");
    }
}
