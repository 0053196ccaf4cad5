//! All ovens: which there are, when each was last used, and the way to them.

use super::shell::{Page, Place};
use crate::app::{App, PageWho};
use crate::error::WebError;
use axum::extract::State;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use maud::{Markup, html};
use ovenfall_record::oven_file::read_oven;
use ovenfall_store::{OvenId, Store};

/// An oven of the list.
struct Row {
    oven: OvenId,
    name: String,
    days: usize,
    last: Option<String>,
}

fn rows(store: &Store) -> Result<Vec<Row>, WebError> {
    let mut rows: Vec<(String, Row)> = Vec::new();
    for kept in store.ovens()? {
        let file = read_oven("oven.toml", &kept.text);
        let zone = file.as_ref().map_or(TimeZone::UTC, |file| file.time_zone.clone());
        let name = file.map_or_else(|_| kept.oven.to_string(), |file| file.description.name);
        let days = store.days(&kept.oven)?;
        let begun = days.first().map(|day| day.created.clone());
        let last = begun.as_ref().and_then(|begun| begun.parse::<Timestamp>().ok());
        let last = last.map(|last| last.to_zoned_datetime(zone).strftime("%-d %B %Y").to_string());
        let row = Row { name, days: days.len(), last, oven: kept.oven };
        rows.push((begun.unwrap_or(kept.written), row));
    }
    // What was used last stands first.
    rows.sort_by(|a, b| b.0.cmp(&a.0));
    Ok(rows.into_iter().map(|(_, row)| row).collect())
}

/// `GET /ovens`.
///
/// # Errors
/// What the store says.
pub async fn page(State(app): State<App>, PageWho(_): PageWho) -> Result<Markup, WebError> {
    let rows = app.on_disk(rows).await?;
    let demo = app.demo.as_ref().map(|demo| demo.oven().clone());
    let body = html! {
        h1 { "Ovens" }
        @if rows.is_empty() { p { "There is none yet." } }
        ul.plain.ovens {
            @for row in &rows {
                li {
                    a.to-oven href=(Place::Now.address(&row.oven)) {
                        strong { (row.name) }
                        small {
                            @if Some(&row.oven) == demo.as_ref() { "The demo, to play with. " }
                            @match (row.days, &row.last) {
                                (0, _) => "No day yet.",
                                (1, Some(last)) => { "1 day, on " (last) "." }
                                (n, Some(last)) => { (n) " days, the last on " (last) "." }
                                (n, None) => { (n) " days." }
                            }
                        }
                    }
                    a.key href=(Place::Oven.address(&row.oven)) aria-label=(format!("Describe {}", row.name)) { "Describe" }
                }
            }
        }
        p.another { a.key.big href="/first" { @if rows.is_empty() { "Describe your oven" } @else { "Describe another oven" } } }
    };
    Ok(Page {
        title: "Ovens",
        oven: None,
        place: None,
        now_ms: app.now().as_millisecond(),
        sheets: &["oven.css"],
        scripts: &[],
        body,
    }
    .render())
}
