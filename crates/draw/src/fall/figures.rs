//! The same figures without a picture: a description in a sentence or two, and tables of text.

use super::lanes::{core_at_end, degrees, placing_times};
use super::{FallPicture, Trace};
use crate::band::{Bands, Spread};
use crate::table::Table;
use crate::text;

/// What the picture says, in words.
#[must_use]
pub fn description(picture: &FallPicture) -> String {
    let picture = picture.cleaned();
    let Some((from, to)) = picture.ends_min() else { return "There is no forecast to draw.".to_owned() };
    let clock = &picture.clock;
    let mut out = format!("Temperatures and heat in store from {} to {}.", clock.day_hhmm(from), clock.day_hhmm(to));
    if let Some(words) = super::head::state_now(&picture) {
        out.push_str(&format!(" {words}."));
    }
    if let Some(end) = picture.probe_c.at_min(&picture.times_min, to) {
        let range = text::range(end.p05, end.p95, 0);
        out.push_str(&format!(" At the end the probe reads {}, 9 chances in 10: {range}.", text::celsius(end.p50)));
    }
    for window in &picture.windows {
        let suits = &window.reads_right;
        out.push_str(&format!(" {} ({}): {}.", window.dish, degrees(window), suits.words(clock, to)));
    }
    out
}

/// The picture's figures as tables: the fall hour by hour, the placings, and when the oven suits what is wanted.
/// Tables without rows are left out.
#[must_use]
pub fn tables(picture: &FallPicture) -> Vec<Table> {
    let picture = picture.cleaned();
    let all = [hourly(&picture), placings(&picture), windows(&picture)];
    all.into_iter().filter(|t| !t.rows.is_empty()).collect()
}

fn hourly(picture: &FallPicture) -> Table {
    let caption = "The fall: middle value (9 chances in 10)";
    let mut table = Table::new(caption, &["time", "probe °C", "air °C", "floor °C", "crown °C", "in store kWh"]);
    let Some((from, to)) = picture.ends_min() else { return table };
    let mut times = picture.clock.whole_hours(from, to);
    times.extend([from, to, 0.0].into_iter().filter(|t| *t >= from && *t <= to));
    times.sort_by(f64::total_cmp);
    times.dedup_by(|a, b| (*a - *b).abs() < 0.5);
    for at in times {
        let cell = |b: &Bands, decimals: usize| cell(b.at_min(&picture.times_min, at), decimals);
        let now = if at.abs() < 0.5 { " (now)" } else { "" };
        let mut row = vec![format!("{}{now}", picture.clock.day_hhmm(at))];
        let traces = [Trace::Probe, Trace::Gas, Trace::Floor, Trace::Crown];
        row.extend(traces.into_iter().map(|t| cell(picture.trace(t), 0)));
        row.push(cell(&picture.store_kwh, 1));
        table.rows.push(row);
    }
    table
}

fn cell(spread: Option<Spread>, decimals: usize) -> String {
    spread.map_or_else(
        || "–".to_owned(),
        |s| format!("{} ({})", text::figure(s.p50, decimals), text::range(s.p05, s.p95, decimals)),
    )
}

fn placings(picture: &FallPicture) -> Table {
    let head = ["dish", "in", "out", "core °C at the end, 9 chances in 10"];
    let mut table = Table::new("In the oven", &head);
    for placing in &picture.placings {
        let (into, out) = placing_times(&picture.clock, placing);
        let core = core_at_end(picture, placing);
        let core = core.map_or_else(|| "–".to_owned(), |(low, high)| text::range(low, high, 0));
        table.rows.push(vec![placing.name.clone(), into, out, core]);
    }
    table
}

fn windows(picture: &FallPicture) -> Table {
    let mut table = Table::new("The oven reads right, from an even chance up", &["dish", "window", "when"]);
    let end = picture.ends_min().map_or(0.0, |e| e.1);
    for window in &picture.windows {
        let suits = &window.reads_right;
        let when = suits.words(&picture.clock, end);
        table.rows.push(vec![window.dish.clone(), degrees(window), when]);
    }
    table
}
