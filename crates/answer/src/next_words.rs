//! The most useful next reading in words.

use crate::now_words::{WORTH_IT_SHARE, plain_table, range};
use crate::oven_now::OvenNow;
use comfy_table::Table;
use ovenfall_engine::drive::Door;
use ovenfall_engine::state::Part;
use ovenfall_food::suits::in_ten;
use ovenfall_learn::next_reading::{Candidate, Effort, Gain, Question, Ranking};
use ovenfall_learn::observation::Target;
use ovenfall_record::reading::Spot;

/// Readings listed.
const LISTED: usize = 6;
/// A chance nearer to certain than this needs no reading.
const CERTAIN_SHARE: f64 = 0.02;

fn placing_name(answer: &OvenNow, i: usize) -> &str {
    answer.situation.driven.drive.placings.get(i).map_or("what is in", |placing| placing.name.as_str())
}

fn spot_name(spot: Spot) -> &'static str {
    Spot::NAMES.iter().find(|(s, _)| *s == spot).map_or("floor", |(_, name)| *name)
}

fn wall_name(part: Part) -> &'static str {
    if part == Part::Floor { "floor" } else { "dome" }
}

/// What would be read.
fn read_words(answer: &OvenNow, target: Target) -> String {
    match target {
        Target::Probe => "read the probe".to_owned(),
        Target::Spot(spot) => format!("point the infra-red thermometer at the {}", spot_name(spot)),
        Target::Masonry { part, depth_m } => {
            format!("read the thermocouple {:.0} mm deep in the {}", depth_m * 1000.0, wall_name(part))
        }
        Target::Liquid(i) => format!("probe the liquid of the {}", placing_name(answer, i)),
        Target::Core(i) => format!("probe the thickest part of the {}", placing_name(answer, i)),
        Target::Hand => "hold a hand in and count".to_owned(),
    }
}

/// What is to be done for a reading, and the reading.
pub fn what_to_do(answer: &OvenNow, candidate: &Candidate) -> String {
    let read = read_words(answer, candidate.target);
    let minutes = candidate.after_min;
    match candidate.effort {
        Effort::Nothing => read,
        Effort::OpenForAMoment => format!("open the door for a moment and {read}"),
        Effort::KeepShut => format!("keep the door shut for {minutes:.0} minutes more and {read}"),
        Effort::Shut => format!("shut the door for {minutes:.0} minutes and {read}"),
        Effort::RakeOutAndShut => format!("with the fire raked out and the door shut for {minutes:.0} minutes, {read}"),
    }
}

/// Whether the door is on over a fire.
pub fn fire_is_shut_in(answer: &OvenNow) -> bool {
    answer.now.fire_in && answer.now.door == Door::Shut
}

/// The sentence; with a fire shut in there is something more urgent than a reading.
pub fn sentence(answer: &OvenNow) -> String {
    if fire_is_shut_in(answer) {
        return "A fire or embers are shut in, or raking out was not written down. Carbon monoxide: air the room and keep \
                people out. Open the door slowly and stand aside, it can flare. No reading now."
            .to_owned();
    }
    let Some(ranking) = &answer.ranking else {
        return "Most useful next: unknown, there is nothing to narrow at that hour.".to_owned();
    };
    let chance = ranking.chance_share;
    let now = chance.map(|share| format!("The chance of {}: {}. ", answer.next.words, chances(share)));
    let now = now.unwrap_or_default();
    if chance.is_some_and(|share| !(CERTAIN_SHARE..=1.0 - CERTAIN_SHARE).contains(&share)) {
        return format!("{now}No reading would change that much.");
    }
    // A fire is not raked out for a reading.
    let without = |gain: &&Gain| gain.candidate.effort != Effort::RakeOutAndShut;
    let worth_it = |gain: &&Gain| gain.left_share <= WORTH_IT_SHARE;
    let (best, best_without) = (ranking.gains.first(), ranking.gains.iter().find(without));
    match (best_without.filter(worth_it), best.filter(worth_it)) {
        (Some(gain), best) => {
            let alone = if best == Some(gain) { "" } else { ", the fire left alone" };
            let what = what_to_do(answer, &gain.candidate);
            format!("{now}Most useful next{alone}: {what}. {}", brings(ranking, gain))
        }
        (None, Some(gain)) => {
            format!(
                "{now}Nothing tells much while the fire is in. Later, {}: {}",
                what_to_do(answer, &gain.candidate),
                lower(&brings(ranking, gain))
            )
        }
        (None, None) => format!("{now}{}", none_stands_out(answer, ranking, best_without.or(best))),
    }
}

/// Where no reading narrows the answer by a tenth.
fn none_stands_out(answer: &OvenNow, ranking: &Ranking, best: Option<&Gain>) -> String {
    let Some(gain) = best else {
        return "Most useful next: none that can be taken within the hour tells anything of it.".to_owned();
    };
    if gain.candidate.effort == Effort::OpenForAMoment {
        // A door is not opened for next to nothing.
        return "Most useful next: no reading within the hour tells much. Leave the door on.".to_owned();
    }
    let what = what_to_do(answer, &gain.candidate);
    format!("Most useful next: no reading within the hour tells much. The best: {what}. {}", brings(ranking, gain))
}

fn lower(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

fn brings(ranking: &Ranking, gain: &Gain) -> String {
    if let Some((low, high)) = gain.chance_shares {
        let (low, high) = (chances(low), chances(high));
        if low == high {
            return format!("It would then be {low} however the reading comes out.");
        }
        return format!("It would then be {low} or {high}, as the reading comes out.");
    }
    let (now, then) = (off(ranking, 1.0), off(ranking, gain.left_share));
    let (what, unit) = match ranking.question {
        Question::Store => ("the heat in store", "kWh"),
        _ => ("it", "°C"),
    };
    if now == then {
        return format!("It would hardly narrow {what} ({now} {unit}).");
    }
    format!("It would narrow {what} from {now} to about {then} {unit}.")
}

/// Half of what 9 chances in 10 span, times a share of it.
fn off(ranking: &Ranking, share: f64) -> String {
    let decimals = usize::from(ranking.question == Question::Store);
    format!("±{:.decimals$}", ranking.sought.half_range() * share)
}

/// Chances in ten, rounded down: never made better than they are.
fn chances(share: f64) -> String {
    match in_ten(share) {
        0 => "less than 1 chance in 10".to_owned(),
        1 => "1 chance in 10".to_owned(),
        n => format!("{n} chances in 10"),
    }
}

/// What would be read and how the door stands, as short as a table needs it.
fn short(answer: &OvenNow, candidate: &Candidate) -> String {
    let read = match candidate.target {
        Target::Probe => "probe".to_owned(),
        Target::Spot(spot) => format!("{}, infra-red", spot_name(spot)),
        Target::Masonry { part, depth_m } => format!("{} thermocouple, {:.0} mm", wall_name(part), depth_m * 1000.0),
        Target::Liquid(i) => format!("{}, liquid", placing_name(answer, i)),
        Target::Core(i) => format!("{}, thickest part", placing_name(answer, i)),
        Target::Hand => "hand count".to_owned(),
    };
    let minutes = candidate.after_min;
    match candidate.effort {
        Effort::Nothing => read,
        Effort::OpenForAMoment => format!("{read}, door off"),
        Effort::KeepShut => format!("{read}, kept shut {minutes:.0} min more"),
        Effort::Shut => format!("{read}, shut for {minutes:.0} min"),
        Effort::RakeOutAndShut => format!("{read}, raked out, shut {minutes:.0} min"),
    }
}

/// The best readings in order, below what is known without one; `None` where there is nothing to narrow.
pub fn table(answer: &OvenNow) -> Option<Table> {
    let ranking = answer.ranking.as_ref()?;
    let unit = if ranking.question == Question::Store { "leaves, kWh" } else { "leaves, °C" };
    let mut head = vec!["reading", "would show, °C", unit];
    head.extend(ranking.chance_share.map(|_| "chance in 10"));
    let mut table = plain_table(&head);
    let tenths = |share: f64| in_ten(share).to_string();
    let mut none = vec!["none".to_owned(), String::new(), off(ranking, 1.0)];
    none.extend(ranking.chance_share.map(tenths));
    table.add_row(none);
    for gain in ranking.gains.iter().take(LISTED) {
        let shows = range(gain.shows_c).words(0);
        let mut row = vec![short(answer, &gain.candidate), shows, off(ranking, gain.left_share)];
        row.extend(gain.chance_shares.map(|(low, high)| format!("{} or {}", tenths(low), tenths(high))));
        table.add_row(row);
    }
    Some(table)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_chance_is_never_made_better_than_it_is() {
        assert_eq!(chances(0.89), "8 chances in 10");
        assert_eq!(chances(0.04), "less than 1 chance in 10");
        assert_eq!(lower("It would"), "it would");
    }
}
