//! What is in the oven in words, for a cook: two sentences, the figures, the reading that would tell most.

use crate::cautions;
use crate::oven_now::OvenNow;
use crate::placings::Range;
use crate::wall_clock::day_and_hour;
use comfy_table::{CellAlignment, Table, presets};
use ovenfall_engine::drive::{Action, Door};
use ovenfall_learn::now::{Likely, Now};

/// A reading that leaves a larger share of the spread than this is not worth it; judgement.
pub const WORTH_IT_SHARE: f64 = 0.9;
/// Heat is skin where its depth is a smaller share than this and the face so many kelvins hotter than the probe will be;
/// judgement.
const SKIN: (f64, f64) = (0.55, 20.0);
/// Below this there is no heat to speak of, kWh; judgement.
const NO_HEAT_KWH: f64 = 0.3;

/// Three quantiles as words write them.
pub fn range(likely: Likely) -> Range {
    Range { p05: likely.p05, p50: likely.p50, p95: likely.p95 }
}

fn to(likely: Likely, decimals: usize) -> String {
    format!("{:.decimals$} to {:.decimals$}", likely.p05, likely.p95)
}

/// Decimals of an energy: none from 10 kWh on.
fn kwh_decimals(likely: Likely) -> usize {
    usize::from(likely.p50 < 9.95)
}

/// Hour, door and fire.
pub fn state(answer: &OvenNow) -> String {
    let door = match answer.now.door {
        Door::Shut => "shut",
        Door::Ajar(_) => "ajar",
        Door::Open => "open",
    };
    let fire = if answer.now.fire_in { ", fire in" } else { "" };
    format!("{}, door {door}{fire}", day_and_hour(&answer.at))
}

/// Two sentences for a cook.
pub fn sentences(answer: &OvenNow) -> Vec<String> {
    let mut said = vec![heat(&answer.now), evens_out(answer)];
    said.extend(skin(&answer.now));
    said
}

fn heat(now: &Now) -> String {
    let store = now.store_kwh;
    if store.p50 < NO_HEAT_KWH {
        return format!("Hardly any heat lies in the bricks above 100 °C (at most {:.1} kWh).", store.p95);
    }
    let decimals = kwh_decimals(store);
    let lies = format!("About {:.decimals$} kWh lie in the bricks above 100 °C ({})", store.p50, to(store, decimals));
    match now.depth_of_heat {
        // Said flatly only where nine ovens in ten agree.
        Some(depth) => format!("{lies}, and the heat {}.", soaked(depth.p50.min(depth.p05 + MAY_DIFFER))),
        None => format!("{lies}."),
    }
}

/// How much shallower the heat may lie in one oven of twenty than the words for it say, share; judgement.
const MAY_DIFFER: f64 = 0.1;

/// How far heat has soaked in, in words; limits half way between the shares they name.
fn soaked(depth_of_heat: f64) -> &'static str {
    match depth_of_heat {
        d if d < 0.15 => "has hardly begun to soak in",
        d if d < 0.29 => "has soaked about a quarter of the way in",
        d if d < 0.42 => "has soaked about a third of the way in",
        d if d < 0.58 => "has soaked about half of the way in",
        d if d < 0.71 => "has soaked about two thirds of the way in",
        d if d < 0.88 => "has soaked most of the way in",
        d if d <= 1.12 => "has soaked right through",
        _ => "has soaked right through and is on its way back out: behind the faces it is hotter than on them",
    }
}

/// What the probe will read once shut.
fn evens_out(answer: &OvenNow) -> String {
    let (now, evened) = (&answer.now, &answer.now.evened_out);
    let with_it = if now.inside.is_empty() { "" } else { " with what is in it" };
    let reads = format!("about {:.0} °C on the probe ({})", evened.probe_c.p50, to(evened.probe_c, 0));
    let whether = match (now.fire_in, now.door) {
        (true, _) => "Raked out and shut now",
        (false, Door::Shut) => "Left shut",
        (false, _) => "Shut now",
    };
    if evened.within_two_hours_share < 0.5 {
        return format!("{whether}{with_it}, it still falls fast after two hours; by then it comes to {reads}.");
    }
    if evened.after_min.p50 < 1.0 {
        return format!("Shut{with_it}, it has evened out at {reads}, and only falls slowly from here.");
    }
    format!("{whether}{with_it}, it evens out at {reads} in about {}.", minutes(evened.after_min.p50))
}

/// Minutes to the nearest five: nobody watches them closer.
fn minutes(min: f64) -> String {
    format!("{:.0} minutes", (min / 5.0).round().max(1.0) * 5.0)
}

/// A hot face with little behind it.
fn skin(now: &Now) -> Option<String> {
    let (floor, crown) = (now.floor_c.p50, now.crown_c.p50);
    let (name, face_c) = if floor > crown { ("floor", floor) } else { ("crown", crown) };
    let to_c = now.evened_out.probe_c.p50;
    let depth = now.depth_of_heat?.p50;
    let if_out = if now.fire_in { "with the fire out and the door shut" } else { "shut" };
    (depth < SKIN.0 && face_c - to_c > SKIN.1 && now.inside.is_empty()).then(|| {
        format!("The {name} is at {face_c:.0} °C, but that is skin: {if_out}, it sinks to about {to_c:.0} °C as the heat goes in.")
    })
}

/// Where the figures come from.
pub fn origin(answer: &OvenNow) -> String {
    let from = "In brackets: 9 chances in 10. It follows from the oven's description and what was done";
    match answer.readings_used() {
        0 => format!("{from}; no readings are used."),
        1 => format!("{from}, and from 1 reading."),
        n => format!("{from}, and from {n} readings."),
    }
}

/// Columns set apart, the first to the left.
pub fn plain_table(head: &[&str]) -> Table {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table.set_header(head.iter().copied());
    for (i, column) in table.column_iter_mut().enumerate() {
        column.set_padding((0, 2));
        column.set_cell_alignment(if i == 0 { CellAlignment::Left } else { CellAlignment::Right });
    }
    table
}

/// The figures.
pub fn table(answer: &OvenNow) -> Table {
    let (now, evened) = (&answer.now, &answer.now.evened_out);
    let mut table = plain_table(&["", "middle", "9 chances in 10"]);
    let mut row = |name: &str, likely: Likely, decimals: usize| {
        let middle = format!("{:.decimals$}", likely.p50);
        table.add_row([name.to_owned(), middle, to(likely, decimals)]);
    };
    row("heat in store above 100 °C, kWh", now.store_kwh, 1);
    for above in &now.store_above {
        row(&format!("  above {} °C, kWh", above.threshold_c), above.store_kwh, 1);
    }
    if let Some(depth) = now.depth_of_heat {
        let percent = |value: f64| value * 100.0;
        let depth = Likely { p05: percent(depth.p05), p50: percent(depth.p50), p95: percent(depth.p95) };
        row("how deep the heat is, % (100: soaked through)", depth, 0);
    }
    row("floor, hot face, °C", now.floor_c, 0);
    row("crown, hot face, °C", now.crown_c, 0);
    row("fire side, hot face, °C", now.fire_side_c, 0);
    row("chamber probe as it is, °C", now.probe_c, 0);
    if evened.within_two_hours_share < 0.5 {
        row("chamber probe, two hours after shutting, °C", evened.probe_c, 0);
    } else {
        row("chamber probe, shut and evened out, °C", evened.probe_c, 0);
        row("  minutes until then", evened.after_min, 0);
    }
    row("  heat in store above 100 °C then, kWh", evened.store_kwh, 1);
    table
}

/// What to take care of.
pub fn cautions(answer: &OvenNow) -> Vec<String> {
    let mut said = Vec::new();
    if answer.now.fire_in {
        said.extend([cautions::FIRE, cautions::ASH, cautions::LOCAL]);
    } else if answer.situation.driven.drive.events.iter().any(|event| matches!(event.action, Action::WoodOn(_))) {
        said.push(cautions::ASH);
    }
    if answer.inputs.oven.description.new_or_damp {
        said.push(cautions::DAMP);
    }
    if answer.now.door == Door::Shut || !answer.now.inside.is_empty() {
        said.push(cautions::STEAM);
    }
    if !answer.now.inside.is_empty() || answer.next.question != ovenfall_learn::next_reading::Question::Store {
        said.push(cautions::FOOD);
    }
    said.into_iter().map(str::to_owned).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn soaking_is_told_in_order() {
        let said: Vec<&str> = [0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 1.0, 1.3].into_iter().map(soaked).collect();
        let mut apart = said.clone();
        apart.dedup();
        assert_eq!(said, apart);
        assert!(said[4].contains("two thirds"));
    }
}
