//! Now: the sentence that matters, the fall ahead, what comes next, and what was written down.

use super::shell::{OvenHead, Page, Place};
use super::{head_of, head_of_day, write_down};
use crate::answers::Numbered;
use crate::app::{App, PageWho};
use crate::boards::last_and_ask;
use crate::error::WebError;
use axum::extract::{Path, Query, State};
use jiff::SignedDuration;
use jiff::tz::TimeZone;
use maud::{Markup, PreEscaped, html};
use ovenfall_answer::board::{Figures, Picture};
use ovenfall_answer::{Board, entry_words};
use ovenfall_record::day::{Day, Entry, What};
use ovenfall_store::{DayId, OvenId};
use serde::Deserialize;
use std::collections::HashMap;

/// Entries shown before "all of the day".
const SHOWN: usize = 12;
/// A day whose last entry is older than this is probably over, h.
const PROBABLY_OVER_H: i64 = 14;

/// What an address may ask of the page.
#[derive(Debug, Deserialize)]
pub struct Asked {
    /// A new day is begun with the next entry.
    new: Option<String>,
}

/// `GET /ovens/{oven}/now`.
///
/// # Errors
/// What the store says.
pub async fn page(
    State(app): State<App>,
    Path(oven): Path<String>,
    Query(asked): Query<Asked>,
    PageWho(_): PageWho,
) -> Result<Markup, WebError> {
    let oven = OvenId::new(&oven)?;
    let mut head = head_of(&app, &oven).await?;
    if asked.new.is_some() && head.playing.is_none() {
        head.day = None;
    }
    let board = match &head.day {
        Some(day) => last_and_ask::<Board>(&app, day).await?,
        None => None,
    };
    let written = match &head.day {
        Some(day) => written(&app, day, &head).await?,
        None => html! {},
    };
    let touch = write_down::touch(&app, &head).await?;
    let data = write_down::data(&app, &head).await?;
    let body = html! {
        div.now {
            div.now-main {
                div id="board" data-part="board" { (board_markup(board.as_deref(), head.day.is_some())) }
            }
            div.now-side {
                section.written aria-labelledby="written-title" {
                    h2 id="written-title" { "Written down" }
                    ol.waiting id="waiting" aria-label="waiting to be sent" {}
                    div id="written" data-part="written" { (written) }
                }
            }
        }
        div.act { button.big type="button" id="write" { "Write down" } }
        (write_down::sheet(&touch, &data))
    };
    Ok(Page {
        title: "Now",
        oven: Some(&head),
        place: Some(Place::Now),
        now_ms: app.now().as_millisecond(),
        sheets: &["now.css"],
        scripts: &["touch.js", "now.js"],
        body,
    }
    .render())
}

/// `GET /parts/days/{day}/board`: the board as a part of a page, for a page that is open.
///
/// # Errors
/// What the store says.
pub async fn board_part(
    State(app): State<App>,
    Path(day): Path<String>,
    PageWho(_): PageWho,
) -> Result<Markup, WebError> {
    let board = last_and_ask::<Board>(&app, &DayId::new(&day)?).await?;
    Ok(board_markup(board.as_deref(), true))
}

/// `GET /parts/days/{day}/touch`: the drawing to tap, with what was last read, as a part of a page.
///
/// # Errors
/// What the store says.
pub async fn touch_part(
    State(app): State<App>,
    Path(day): Path<String>,
    PageWho(_): PageWho,
) -> Result<Markup, WebError> {
    write_down::touch(&app, &head_of_day(&app, &DayId::new(&day)?).await?).await
}

/// `GET /parts/days/{day}/written`: what was written down, as a part of a page.
///
/// # Errors
/// What the store says.
pub async fn written_part(
    State(app): State<App>,
    Path(day): Path<String>,
    PageWho(_): PageWho,
) -> Result<Markup, WebError> {
    let day = DayId::new(&day)?;
    let head = head_of_day(&app, &day).await?;
    let list = written(&app, &day, &head).await?;
    let data = write_down::data(&app, &head).await?;
    Ok(html! { (list) (data) })
}

fn board_markup(board: Option<&Numbered<Board>>, day: bool) -> Markup {
    match (board, day) {
        (Some(board), _) => told(&board.answer),
        (None, true) => html! {
            section.headline aria-busy="true" {
                h1 { "Working it out…" }
                p.more { "A few hundred ovens that yours could be are run through the day so far." }
            }
        },
        (None, false) => {
            let none = ovenfall_answer::headline::of_an_empty_day();
            html! { section.headline { h1 { "A new day." } p.more { (none.more) } } }
        }
    }
}

fn told(board: &Board) -> Markup {
    html! {
        section.headline.care[board.headline.care] {
            p.state { time datetime=(board.at) { (board.state) } }
            h1 { (board.headline.words) }
            p.more { (board.headline.more) }
        }
        @if let Some(fall) = &board.fall { (figure(fall)) }
        section.next aria-labelledby="next-title" {
            h2 id="next-title" { "What comes next" }
            @if !board.coming.is_empty() {
                ol.coming { @for coming in &board.coming { li { time { (coming.at) } " " (coming.what) } } }
            }
            @if !board.reading.is_empty() { p { (board.reading) } }
            @if !board.inside.is_empty() { h3 { "In the oven" } (lines(&board.inside)) }
            @if !board.to_go_in.is_empty() {
                details { summary { "Still to go in, by the reading alone" } (lines(&board.to_go_in)) }
            }
        }
        @if !board.said.is_empty() {
            section aria-labelledby="heat-title" {
                h2 id="heat-title" { "How much heat, how deep" }
                @for sentence in &board.said { p { (sentence) } }
            }
        }
        (bullets("care", "Take care", &board.cautions))
        (bullets("doubts", "Does this look right?", &board.warnings))
        @if !board.notes.is_empty() {
            details { summary { "Where this comes from" } ul { @for note in &board.notes { li { (note) } } } }
        }
    }
}

/// Lines of which those set in belong to the one above.
fn lines(lines: &[String]) -> Markup {
    html! {
        @for line in lines {
            @if line.starts_with(' ') { p.under { (line.trim_start()) } } @else { p.over { (line) } }
        }
    }
}

fn bullets(class: &str, title: &str, items: &[String]) -> Markup {
    html! {
        @if !items.is_empty() {
            section class=(class) { h2 { (title) } ul { @for item in items { li { (item) } } } }
        }
    }
}

/// A picture in both widths, with its figures as tables.
pub fn figure(picture: &Picture) -> Markup {
    html! {
        div.picture {
            (PreEscaped(&picture.figure))
            details { summary { "The figures as a table" } @for table in &picture.tables { (figures(table)) } }
        }
    }
}

/// A table of figures.
pub fn figures(table: &Figures) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label=(table.caption) {
            table {
                caption { (table.caption) }
                thead { tr { @for name in &table.head { th scope="col" { (name) } } } }
                tbody {
                    @for row in &table.rows {
                        tr { @for (i, cell) in row.iter().enumerate() {
                            @if i == 0 { th scope="row" { (cell) } } @else { td { (cell) } }
                        } }
                    }
                }
            }
        }
    }
}

/// What was written down, the latest first, each with a way to take it back.
async fn written(app: &App, day: &DayId, head: &OvenHead) -> Result<Markup, WebError> {
    let of = day.clone();
    let (kept, written) = app.on_disk(move |store| Ok((store.kept_after(&of, 0)?, store.day(&of)?))).await?;
    let who: HashMap<String, String> = kept.into_iter().map(|kept| (kept.id, kept.who)).collect();
    let zone = TimeZone::get(&head.zone).unwrap_or(TimeZone::UTC);
    let last = written.entries.iter().map(|entry| entry.written.instant).max();
    let silent = last.map(|last| app.now_on(day).duration_since(last));
    let over = silent.is_some_and(|silent| silent > SignedDuration::from_hours(PROBABLY_OVER_H));
    Ok(html! {
        @if over && head.playing.is_none() {
            p.over { a.key href=(format!("{}?new=1", Place::Now.address(&head.oven))) { "Begin a new day" } }
        }
        (list(&written, &who, &zone, Some(SHOWN)))
        @if written.entries.len() > SHOWN {
            p { a href=(format!("{}/{day}", Place::Days.address(&head.oven))) { "All of the day" } }
        }
    })
}

/// A list of entries, the latest first. An entry that was taken back stays, struck through.
pub fn list(day: &Day, who: &HashMap<String, String>, zone: &TimeZone, most: Option<usize>) -> Markup {
    let struck = day.struck_by(jiff::Timestamp::MAX);
    // Of one hour, what was written last comes first.
    let mut entries: Vec<&Entry> = day.entries.iter().rev().collect();
    entries.sort_by_key(|entry| std::cmp::Reverse(entry.at.instant));
    let shown = entries.into_iter().filter(|entry| !matches!(entry.what, What::Strike { .. }));
    let hour = |entry: &Entry| entry.at.instant.to_zoned_datetime(zone.clone()).strftime("%H:%M").to_string();
    html! {
        ol.entries {
            @for entry in shown.take(most.unwrap_or(usize::MAX)) {
                @let taken_back = struck.contains(entry.id.as_str());
                li.struck[taken_back] {
                    time datetime=(entry.at.to_string()) { (hour(entry)) }
                    span.what {
                        @if taken_back { s { (entry_words::entry(entry)) } " taken back" }
                        @else { (entry_words::entry(entry)) }
                        @if !entry.note.is_empty() { small { (entry.note) } }
                        @if let Some(who) = who.get(&entry.id).filter(|who| !who.is_empty()) { small { "by " (who) } }
                    }
                    @if !taken_back {
                        button type="button" data-take-back=(entry.id) aria-label=(format!("Take back: {}", entry_words::entry(entry))) { "Take back" }
                    }
                }
            }
        }
    }
}
