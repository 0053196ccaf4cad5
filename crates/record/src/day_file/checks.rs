//! What only shows when the rows of a day are held against each other.

use super::{error_at, warning_at};
use crate::day::{Done, DoorSet, Entry, What};
use crate::problem::Problem;
use crate::reading::{Reading, TemperatureUnit};
use crate::wording::{normal, short};
use std::collections::{HashMap, HashSet};

/// Two devices' clocks may differ by so much, s.
const CLOCKS_DIFFER_S: f64 = 300.0;
/// An entry written earlier than this before the time it is about is doubted, s.
const WRITTEN_AHEAD_S: f64 = 3600.0;
/// A day is one firing, from lighting to cold: longer ones are doubted, s.
const LONG_DAY_S: f64 = 5.0 * 86_400.0;
/// No oven stays warm longer: a wrong date, s.
const TOO_LONG_S: f64 = 10.0 * 86_400.0;
/// Readings within this time of each other are compared, s.
const SAME_ROUND_S: f64 = 300.0;
/// How many neighbours of a reading are compared at most.
const MAX_NEIGHBOURS: usize = 16;

/// Checks entries against each other.
pub fn check_across(file: &str, entries: &[Entry], problems: &mut Vec<Problem>) {
    let mut check = Check { file, problems };
    check.ids(entries);
    check.order_of_writing(entries);
    for entry in entries {
        check.written_ahead(entry);
    }
    let struck = struck(entries);
    let mut standing: Vec<&Entry> = entries
        .iter()
        .filter(|entry| !matches!(entry.what, What::Strike { .. }) && !struck.contains(entry.id.as_str()))
        .collect();
    standing.sort_by_key(|entry| entry.at.instant);
    check.length_of_day(&standing);
    check.dishes(&standing);
    check.doors(&standing);
    check.fahrenheit(&standing);
}

fn struck(entries: &[Entry]) -> HashSet<&str> {
    entries
        .iter()
        .filter_map(|entry| match &entry.what {
            What::Strike { id } => Some(id.as_str()),
            _ => None,
        })
        .collect()
}

struct Check<'a> {
    file: &'a str,
    problems: &'a mut Vec<Problem>,
}

impl Check<'_> {
    fn error(&mut self, line: usize, what: String, suggestion: Option<&str>) {
        let suggestion = suggestion.map(str::to_owned);
        self.problems.push(Problem { suggestion, ..error_at(self.file, line, 0, what) });
    }

    fn warn(&mut self, line: usize, what: String, suggestion: Option<&str>) {
        let suggestion = suggestion.map(str::to_owned);
        self.problems.push(Problem { suggestion, ..warning_at(self.file, line, 0, what) });
    }

    /// Ids are unique; a strike names an earlier entry that is not itself a strike.
    fn ids(&mut self, entries: &[Entry]) {
        let mut seen: HashMap<&str, &Entry> = HashMap::new();
        let mut struck: HashSet<&str> = HashSet::new();
        for entry in entries {
            if let What::Strike { id } = &entry.what {
                match seen.get(id.as_str()) {
                    None => self.error(
                        entry.line,
                        format!("the strike names `{}`, which is no earlier entry", short(id)),
                        Some("a strike stands below what it strikes"),
                    ),
                    Some(target) if matches!(target.what, What::Strike { .. }) => self.error(
                        entry.line,
                        format!("the strike names `{}`, which is itself a strike", short(id)),
                        Some("write the struck entry again under a new id"),
                    ),
                    Some(_) if !struck.insert(id) => {
                        self.warn(entry.line, format!("`{}` is struck already", short(id)), None);
                    }
                    Some(_) => {}
                }
            }
            if let Some(first) = seen.get(entry.id.as_str()) {
                let what = format!("the id `{}` is used already in line {}", short(&entry.id), first.line);
                self.error(entry.line, what, Some("give every entry its own id"));
            } else {
                seen.insert(&entry.id, entry);
            }
        }
    }

    fn order_of_writing(&mut self, entries: &[Entry]) {
        for pair in entries.windows(2) {
            let [above, entry] = pair else { continue };
            let back_s = above.written.seconds_since(entry.written.instant);
            let what = || {
                format!("time runs backwards: written at {}, below a row written at {}", entry.written, above.written)
            };
            let suggestion = Some("keep the rows in the order they were written; a late entry keeps its own `at`");
            if back_s > CLOCKS_DIFFER_S {
                self.error(entry.line, what(), suggestion);
            } else if back_s > 0.0 {
                self.warn(entry.line, what(), suggestion);
            }
        }
    }

    fn written_ahead(&mut self, entry: &Entry) {
        let ahead_s = entry.at.seconds_since(entry.written.instant);
        if ahead_s <= WRITTEN_AHEAD_S {
            return;
        }
        let hours = ahead_s / 3600.0;
        let meant = match entry.what {
            What::Reading(_) => "a reading cannot be ahead of its time: is the date or the offset wrong?",
            _ => "it counts as a plan; if it is done, the date or the offset is wrong",
        };
        self.warn(entry.line, format!("written {hours:.1} h before the time it is about"), Some(meant));
    }

    fn length_of_day(&mut self, standing: &[&Entry]) {
        let (Some(first), Some(last)) = (standing.first(), standing.last()) else { return };
        let length_s = last.at.seconds_since(first.at.instant);
        let what = format!(
            "the day runs over {:.1} days, from {} (line {}) to {}",
            length_s / 86_400.0,
            first.at,
            first.line,
            last.at
        );
        let suggestion = Some("keep one firing a file; is a date wrong?");
        if length_s > TOO_LONG_S {
            self.error(last.line, what, suggestion);
        } else if length_s > LONG_DAY_S {
            self.warn(last.line, what, suggestion);
        }
    }

    /// A dish is placed, and only then turned, topped up, read or taken out.
    fn dishes(&mut self, standing: &[&Entry]) {
        let mut inside: HashMap<String, &Entry> = HashMap::new();
        for entry in standing {
            let What::Done(done) = &entry.what else { continue };
            let Some(dish) = done.dish() else { continue };
            let key = normal(dish);
            let shown = short(dish);
            match (done, inside.get(&key)) {
                (Done::Placed { .. }, Some(first)) => {
                    let what = format!("`{shown}` is placed twice: it is in since {}", in_line(first));
                    self.error(entry.line, what, Some("enter when it was taken out, or strike one of the two"));
                }
                (Done::Placed { .. }, None) => {
                    inside.insert(key, entry);
                }
                (Done::TakenOut { .. }, Some(_)) => {
                    inside.remove(&key);
                }
                (_, Some(_)) => {}
                (_, None) => {
                    let action = match done {
                        Done::TakenOut { .. } => "taken out",
                        Done::ToppedUp { .. } => "topped up",
                        _ => "turned",
                    };
                    let what = format!("`{shown}` is {action} at {}, but it is not in the oven", entry.at.clock());
                    self.error(entry.line, what, Some("enter when it was placed"));
                }
            }
        }
    }

    fn doors(&mut self, standing: &[&Entry]) {
        let (mut last, mut fire): (Option<(DoorSet, &Entry)>, bool) = (None, false);
        for entry in standing {
            match &entry.what {
                What::Done(Done::WoodOn { .. }) => fire = true,
                What::Done(Done::RakedOut) => fire = false,
                _ => {}
            }
            let What::Done(Done::Door(set)) = &entry.what else { continue };
            if fire && *set == DoorSet::Shut {
                let what = format!("the door is shut at {} over a fire that nobody raked out", entry.at.clock());
                let hint = "enter when it was raked out; embers behind a shut door give off carbon monoxide";
                self.warn(entry.line, what, Some(hint));
            }
            if let Some((before, since)) = last
                && before == *set
            {
                let what = format!("the door is {} already since {}", door_word(*set), in_line(since));
                self.warn(entry.line, what, Some("was it set otherwise in between?"));
            }
            last = Some((*set, entry));
        }
    }

    /// A °C reading that fits the others of its round only when read as °F.
    fn fahrenheit(&mut self, standing: &[&Entry]) {
        let spots: Vec<(&Entry, f64)> = standing
            .iter()
            .filter_map(|entry| match entry.reading() {
                Some(Reading::Spot { temperature, .. }) => Some((*entry, temperature.c())),
                _ => None,
            })
            .collect();
        for entry in standing {
            let (name, temperature) = match entry.reading() {
                Some(Reading::Probe { temperature }) => ("probe", temperature),
                Some(Reading::Spot { temperature, spot }) => (spot.name(), temperature),
                _ => continue,
            };
            if temperature.unit != TemperatureUnit::Celsius {
                continue;
            }
            let Some(others_c) = median_of_round(&spots, entry) else { continue };
            let as_fahrenheit_c = (temperature.value - 32.0) / 1.8;
            if temperature.value - others_c > 60.0 && (as_fahrenheit_c - others_c).abs() < 25.0 {
                let what = format!(
                    "{name} `{} °C` beside spots of about {others_c:.0} °C looks like °F ({as_fahrenheit_c:.0} °C)",
                    temperature.value
                );
                self.warn(entry.line, what, Some("if it is °F, strike it and enter it again with the unit `F`"));
            }
        }
    }
}

/// Median of the spots of the same round, the entry itself left out; at least two are needed.
fn median_of_round(spots: &[(&Entry, f64)], entry: &Entry) -> Option<f64> {
    let start = spots.partition_point(|(spot, _)| spot.at.seconds_since(entry.at.instant) < -SAME_ROUND_S);
    let mut round: Vec<f64> = spots
        .iter()
        .skip(start)
        .take_while(|(spot, _)| spot.at.seconds_since(entry.at.instant) <= SAME_ROUND_S)
        .filter(|(spot, _)| spot.id != entry.id)
        .map(|(_, c)| *c)
        .take(MAX_NEIGHBOURS)
        .collect();
    round.sort_by(f64::total_cmp);
    (round.len() >= 2).then(|| round.get(round.len() / 2).copied()).flatten()
}

fn in_line(entry: &Entry) -> String {
    format!("{} (line {})", entry.at.clock(), entry.line)
}

const fn door_word(set: DoorSet) -> &'static str {
    match set {
        DoorSet::Shut => "shut",
        DoorSet::Ajar { .. } => "ajar",
        DoorSet::Open => "open",
    }
}
