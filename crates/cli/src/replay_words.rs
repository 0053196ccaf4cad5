//! A replay in words, for a cook, and its table.

use crate::commands::replay::ReplayedDay;
use crate::replayed::{Replayed, Rule};
use comfy_table::{CellAlignment, Table, presets};
use ovenfall_answer::wall_clock::day_and_hour;
use ovenfall_learn::baseline::Baseline;
use ovenfall_learn::replay::{Score, skill_share};

/// The share of the time an honest range of nine chances in ten holds what comes.
const HONEST_SHARE: f64 = 0.9;
/// A share this much lower is called too sure of itself.
const TOO_SURE_SHARE: f64 = 0.15;

/// An hour as it is told: `at shutting`, `1 h later`.
pub fn hour_name(after_shut_min: f64) -> String {
    let minutes = after_shut_min.round();
    if minutes == 0.0 {
        return "at shutting".to_owned();
    }
    let (size, side) = (minutes.abs(), if minutes < 0.0 { "before" } else { "after" });
    if size % 60.0 == 0.0 { format!("{:.0} h {side}", size / 60.0) } else { format!("{size:.0} min {side}") }
}

/// The head of an hour's column: `shut`, `+1 h`.
fn column_name(after_shut_min: f64) -> String {
    let minutes = after_shut_min.round();
    match minutes {
        0.0 => "shut".to_owned(),
        m if m % 60.0 == 0.0 => format!("{:+.0} h", m / 60.0),
        m => format!("{m:+.0} min"),
    }
}

/// Two sentences: how far it was off, and whether its range could be trusted.
pub fn sentences(day: &ReplayedDay, rules: &[Rule]) -> String {
    let scored: Vec<(&Replayed, Score)> = day.hours.iter().filter_map(|hour| Some((hour, hour.score?))).collect();
    let Some((first, score)) = scored.first() else {
        return "Nothing came to hold the forecasts against: the probe was not read with the door shut after these \
                hours, or not for longer than ten minutes."
            .to_owned();
    };
    let later = |(hour, score): &(&Replayed, Score)| format!("{} by {:.0}", when(hour), score.rms_k);
    let later: Vec<String> = scored.iter().skip(1).map(later).collect();
    let later = if later.is_empty() { String::new() } else { format!(" (asked {})", later.join(", ")) };
    format!(
        "Asked {} ({}), it would have been off by about {:.0} °C over the next {}{}{}. {}",
        when(first),
        day_and_hour(&first.at),
        score.rms_k,
        hours_words(first.until_min),
        later,
        beside_rules(first, rules),
        trust(score)
    )
}

fn when(hour: &Replayed) -> String {
    let name = hour_name(hour.after_shut_min);
    if name == "at shutting" { name } else { format!("{name} shutting") }
}

fn hours_words(minutes: f64) -> String {
    let hours = (minutes / 60.0).round();
    if hours <= 1.0 { format!("{minutes:.0} minutes") } else { format!("{hours:.0} hours") }
}

/// How often the range of the first forecast held what came.
fn trust(score: &Score) -> String {
    let (held, width_k) = (score.inside_ninety_share, score.width_ninety_k);
    let verdict = if held < HONEST_SHARE - TOO_SURE_SHARE {
        ": on this day it was surer of itself than it should have been"
    } else {
        ""
    };
    format!(
        "Its range of 9 chances in 10, {width_k:.0} °C wide, held what came {:.0} % of the time{verdict}.",
        100.0 * held
    )
}

/// What the best rule of thumb would have done from the same hour.
fn beside_rules(hour: &Replayed, rules: &[Rule]) -> String {
    let told = rules.iter().filter_map(|rule| Some((rule, rule.score(hour, false)?.rms_k)));
    let best = told.min_by(|a, b| a.1.total_cmp(&b.1));
    best.map_or_else(String::new, |(rule, rms_k)| {
        format!("; the best rule of thumb ({}) by about {rms_k:.0} °C", rule.name())
    })
}

/// What an hour has in a row of the table.
type Cell<'a> = Box<dyn Fn(&Replayed) -> Option<String> + 'a>;

/// One row of the table.
struct Row<'a> {
    title: String,
    cell: Cell<'a>,
}

fn row<'a>(title: impl Into<String>, cell: impl Fn(&Replayed) -> Option<String> + 'a) -> Row<'a> {
    Row { title: title.into(), cell: Box::new(cell) }
}

fn of_score(title: &str, cell: impl Fn(Score) -> String + 'static) -> Row<'static> {
    row(title, move |hour| hour.score.map(&cell))
}

/// Figures of every hour, one column an hour: narrow enough for a phone.
pub fn table(day: &ReplayedDay, rules: &[Rule]) -> Table {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    let heads = day.hours.iter().map(|hour| column_name(hour.after_shut_min));
    table.set_header(std::iter::once(String::new()).chain(heads));
    for row in rows(rules) {
        let cells = day.hours.iter().map(|hour| (row.cell)(hour).unwrap_or_else(|| "–".to_owned()));
        table.add_row(std::iter::once(row.title.clone()).chain(cells));
    }
    for (i, column) in table.column_iter_mut().enumerate() {
        column.set_padding((0, 1));
        column.set_cell_alignment(if i == 0 { CellAlignment::Left } else { CellAlignment::Right });
    }
    table
}

fn rows(rules: &[Rule]) -> Vec<Row<'_>> {
    let mut rows = vec![
        of_score("off by, °C (rms)", |s| format!("{:.1}", s.rms_k)),
        of_score("too high on the whole, °C", |s| format!("{:+.1}", s.mean_off_k)),
        of_score("score (CRPS), °C", |s| format!("{:.1}", s.crps_k)),
        of_score("in its middle half, %", |s| format!("{:.0}", 100.0 * s.inside_half_share)),
        of_score("in 9 chances of 10, %", |s| format!("{:.0}", 100.0 * s.inside_ninety_share)),
        of_score("their width, °C", |s| format!("{:.0}", s.width_ninety_k)),
        of_score("largest miss, °C", |s| format!("{:+.0}", s.miss.off_k)),
        row("  h after shutting", |hour| hour.score.map(|_| format!("{:.1}", hour.miss_after_shut_min / 60.0))),
        row("heat in store off, %", |hour| hour.store.map(|s| format!("{:+.0}", 100.0 * s.off_share()))),
        row("Rules of thumb off by", |_| Some(String::new())),
    ];
    for rule in rules {
        for (best, title) in [(false, format!("  {}, °C", rule.name())), (true, "    in hindsight, °C".to_owned())] {
            rows.push(row(title, move |hour| rule.score(hour, best).map(|s| format!("{:.1}", s.rms_k))));
        }
    }
    let gain = move |hour: &Replayed| {
        let least =
            rules.iter().filter_map(|rule| rule.score(hour, false)).min_by(|a, b| a.rms_k.total_cmp(&b.rms_k))?;
        Some(format!("{:+.0}", 100.0 * skill_share(hour.score?.rms_k, least.rms_k)?))
    };
    rows.push(row("better than the best, %", gain));
    rows
}

/// How to read the table.
pub fn reading_the_table(days: &[ReplayedDay], rules: &[Rule]) -> String {
    let against = if days.iter().all(|day| day.came.without_errors()) {
        "the chamber probe without its errors"
    } else {
        "the probe readings that were written down later"
    };
    let similar = rules.iter().any(|rule| {
        rule.baseline == Baseline::SimilarDay
            && days.iter().flat_map(|day| &day.hours).any(|hour| rule.score(hour, false).is_some())
    });
    let none = if similar { "" } else { " No earlier day of the oven was given." };
    format!(
        "Held against {against}, with the door shut for ten minutes and more. Off by: rms of the middle value. \
         CRPS: what the whole range is worth, 0 is best. In hindsight: with the constants that would have suited \
         these hours best, which nobody knew.{none}"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_are_told_from_shutting() {
        assert_eq!(hour_name(0.2), "at shutting");
        assert_eq!(hour_name(60.0), "1 h after");
        assert_eq!(hour_name(95.0), "95 min after");
        assert_eq!(hour_name(-30.0), "30 min before");
        assert_eq!([0.0, 60.0, 95.0, -30.0].map(column_name), ["shut", "+1 h", "+95 min", "-30 min"]);
        assert_eq!(hours_words(475.0), "8 hours");
    }
}
