//! Days: every day of an oven, and each with its entries, its dishes, and its forecast against what came.

use super::now::{figure, list};
use super::shell::{OvenHead, Page, Place};
use super::{head_of, head_of_day};
use crate::app::{App, PageWho, Who};
use crate::boards::{DISHES, DRAW, inputs};
use crate::error::WebError;
use axum::Json;
use axum::extract::{Path, Query, State};
use jiff::ZonedDateTime;
use jiff::tz::TimeZone;
use maud::{Markup, html};
use ovenfall_answer::past_board::shut_at;
use ovenfall_answer::{AnswerError, PastBoard, wall_clock};
use ovenfall_record::day::{Day, Done, Entry, What, WoodAmount};
use ovenfall_record::pots_file::read_pots;
use ovenfall_record::reading::Reading;
use ovenfall_store::{DayId, DaySummary, OvenId, Provenance, Store};
use serde::Deserialize;
use std::collections::HashMap;
use std::sync::Arc;

/// Hours that are offered to look back from, counted from shutting, h.
const OFFERED_H: [i64; 4] = [0, 1, 3, 6];

/// `GET /ovens/{oven}/days`.
///
/// # Errors
/// What the store says.
pub async fn page(State(app): State<App>, Path(oven): Path<String>, PageWho(_): PageWho) -> Result<Markup, WebError> {
    let head = head_of(&app, &OvenId::new(&oven)?).await?;
    let of = head.oven.clone();
    let days = app
        .on_disk(move |store| {
            let days = store.days(&of)?;
            let of =
                |day: DaySummary| Ok((store.day(&day.day)?, basket_kg(store.pots_text(&day.day)?.as_deref()), day));
            days.into_iter().map(of).collect::<Result<Vec<_>, WebError>>()
        })
        .await?;
    let body = html! {
        h1 { "Days" }
        @if head.playing.is_none() {
            p { a.key href={ (Place::Now.address(&head.oven)) "?new=1" } { "Begin a new day" } }
        }
        @if days.is_empty() { p { "No day yet. The first entry on the page Now begins one." } }
        @for (written, basket_kg, day) in &days { (summary(&head, written, *basket_kg, day)) }
    };
    Ok(Page {
        title: "Days",
        oven: Some(&head),
        place: Some(Place::Days),
        now_ms: app.now().as_millisecond(),
        sheets: &["days.css"],
        scripts: &[],
        body,
    }
    .render())
}

fn zone_of(head: &OvenHead) -> TimeZone {
    TimeZone::get(&head.zone).unwrap_or(TimeZone::UTC)
}

/// A day in a few lines.
fn summary(head: &OvenHead, written: &Day, basket_kg: Option<f64>, day: &DaySummary) -> Markup {
    let standing = written.standing();
    let first = standing.first().map(|entry| entry.at.instant.to_zoned_datetime(zone_of(head)));
    let name = first.map_or_else(|| day.day.to_string(), |at| at.strftime("%A %-d %B %Y").to_string());
    let facts = facts(&standing, basket_kg);
    html! {
        section.day aria-label=(name) {
            h2 { a href=(format!("{}/{}", Place::Days.address(&head.oven), day.day)) { (name) } }
            p { (facts.join(". ")) @if !facts.is_empty() { "." } @else { "Nothing is written down." } }
        }
    }
}

/// What a basket of the day's wood weighs, where its pots file says so.
fn basket_kg(pots: Option<&str>) -> Option<f64> {
    read_pots("the pots", pots?).ok()?.wood.basket_kg
}

/// Wood, hottest reading, dishes. Baskets are weighed where their weight is known.
fn facts(standing: &[&Entry], basket_kg: Option<f64>) -> Vec<String> {
    let mut facts = Vec::new();
    let (mut wood_kg, mut baskets) = (0.0, 0.0);
    let mut dishes: Vec<&str> = Vec::new();
    let mut hottest_c: Option<f64> = None;
    for entry in standing {
        match &entry.what {
            What::Done(Done::WoodOn { amount: WoodAmount::Weighed(mass), .. }) => wood_kg += mass.kg(),
            What::Done(Done::WoodOn { amount: WoodAmount::Baskets { count, basket }, .. }) => {
                match basket.map(|mass| mass.kg()).or(basket_kg) {
                    Some(each_kg) => wood_kg += count * each_kg,
                    None => baskets += count,
                }
            }
            What::Done(Done::Placed { dish }) if !dishes.contains(&dish.as_str()) => dishes.push(dish),
            What::Reading(Reading::Spot { temperature, .. } | Reading::Probe { temperature }) => {
                hottest_c = Some(hottest_c.unwrap_or(f64::NEG_INFINITY).max(temperature.c()));
            }
            _ => {}
        }
    }
    let wood = [(wood_kg, "kg"), (baskets, "baskets")].into_iter().filter(|(amount, _)| *amount > 0.0);
    let wood: Vec<String> = wood.map(|(amount, unit)| format!("{} {unit}", (amount * 10.0).round() / 10.0)).collect();
    if !wood.is_empty() {
        facts.push(format!("Wood {}", wood.join(" and ")));
    }
    facts.extend(hottest_c.map(|c| format!("Hottest reading {c:.0} °C")));
    if !dishes.is_empty() {
        facts.push(format!("Cooked: {}", dishes.join(", ")));
    }
    if !standing.is_empty() {
        facts.push(format!("{} entries", standing.len()));
    }
    facts
}

/// The hour looked back from.
#[derive(Debug, Default, Deserialize)]
pub struct Asked {
    /// On the oven's clock; when the oven was shut without it.
    at: Option<String>,
}

/// `GET /ovens/{oven}/days/{day}`.
///
/// # Errors
/// [`WebError::NoSuchPage`] for a day of another oven, or what the store says.
pub async fn day_page(
    State(app): State<App>,
    Path((oven, day)): Path<(String, String)>,
    Query(asked): Query<Asked>,
    PageWho(_): PageWho,
) -> Result<Markup, WebError> {
    let day = DayId::new(&day)?;
    let head = head_of_day(&app, &day).await?;
    if head.oven.as_str() != oven {
        return Err(WebError::NoSuchPage);
    }
    let of = day.clone();
    let (written, pots) = app.on_disk(move |store| Ok((store.day(&of)?, store.pots_text(&of)?))).await?;
    let first = written.standing().first().map(|entry| entry.at.instant.to_zoned_datetime(zone_of(&head)));
    let name = first.map_or_else(|| "A day".to_owned(), |at| at.strftime("%A %-d %B %Y").to_string());
    let body = html! {
        h1 { (name) }
        p { (facts(&written.standing(), basket_kg(pots.as_deref())).join(". ")) }
        section aria-labelledby="past-title" {
            h2 id="past-title" { "The forecast against what came" }
            (hours(&app, &day, asked.at.as_deref()).await?)
            div id="past" data-src={ "/parts/days/" (day) "/past" @if let Some(at) = &asked.at { "?at=" (form_urlencoded::byte_serialize(at.as_bytes()).collect::<String>()) } } {
                p aria-busy="true" { "Working it out…" }
                noscript { p { "The picture needs a script." } }
            }
        }
        @if let Some(text) = &pots { (pots_markup(text)) }
        section aria-label="Written down" {
            ol.waiting id="waiting" aria-label="waiting to be sent" {}
            details {
                summary { "Written down" }
                div id="written" data-part="written" { (entries(&app, &head, &day).await?) }
            }
        }
        p.menu-keys {
            a.key href=(format!("/api/days/{day}")) download=(format!("{day}.csv")) { "The day as a file" }
            @if pots.is_some() { a.key href=(format!("/api/days/{day}/pots")) download=(format!("{day}.pots.toml")) { "Pots and dishes as a file" } }
        }
    };
    Ok(Page {
        title: &name,
        oven: Some(&head),
        place: Some(Place::Days),
        now_ms: app.now().as_millisecond(),
        sheets: &["now.css", "days.css"],
        scripts: &["touch.js", "days.js"],
        body,
    }
    .render())
}

fn pots_markup(text: &str) -> Markup {
    let Ok(pots) = read_pots("the pots", text) else { return html! {} };
    html! {
        @if !pots.dishes.is_empty() {
            section {
                h2 { "Dishes" }
                ul { @for dish in &pots.dishes {
                    li { (dish.sheet.name)
                        @if let Some(wanted) = dish.sheet.wanted { ", wanted at " (wanted.strftime("%H:%M").to_string()) } }
                } }
            }
        }
    }
}

async fn entries(app: &App, head: &OvenHead, day: &DayId) -> Result<Markup, WebError> {
    let of = day.clone();
    let (kept, written) = app.on_disk(move |store| Ok((store.kept_after(&of, 0)?, store.day(&of)?))).await?;
    let who: HashMap<String, String> = kept.into_iter().map(|kept| (kept.id, kept.who)).collect();
    Ok(list(&written, &who, &zone_of(head), None))
}

/// `GET /parts/days/{day}/entries`: all of a day's entries, as a part of a page.
///
/// # Errors
/// What the store says.
pub async fn entries_part(
    State(app): State<App>,
    Path(day): Path<String>,
    PageWho(_): PageWho,
) -> Result<Markup, WebError> {
    let day = DayId::new(&day)?;
    entries(&app, &head_of_day(&app, &day).await?, &day).await
}

/// Hours to look back from: shutting and some hours later, or any other.
async fn hours(app: &App, day: &DayId, asked: Option<&str>) -> Result<Markup, WebError> {
    let (of, now) = (day.clone(), app.now_on(day));
    let shut = app
        .on_disk(move |store| Ok(inputs(store, &of).ok().and_then(|inputs| shut_at(&inputs).ok().flatten())))
        .await?;
    let offered = shut.map(|shut| {
        let after =
            |h: &i64| shut.checked_add(jiff::SignedDuration::from_hours(*h)).ok().filter(|at| at.timestamp() <= now);
        OFFERED_H.iter().filter_map(after).map(|at| at.strftime("%H:%M").to_string()).collect::<Vec<String>>()
    });
    let offered = offered.unwrap_or_default();
    Ok(html! {
        p { "Made at an hour of the day, knowing only what was written down by then; what was done later is its plan." }
        form.hours method="get" {
            @for (at, h) in offered.iter().zip(OFFERED_H) {
                a.key href={ "?at=" (at) } aria-current=[(asked == Some(at.as_str()) || (asked.is_none() && h == 0)).then_some("true")] {
                    (at) @if h == 0 { " (shut)" }
                }
            }
            label for="at" { "At another hour" }
            input id="at" name="at" type="time" value=[asked] required;
            button.key type="submit" { "Look back" }
        }
    })
}

/// `GET /parts/days/{day}/past?at=`: a forecast and what came, as a part of a page.
///
/// # Errors
/// What the store says.
pub async fn past_part(
    State(app): State<App>,
    Path(day): Path<String>,
    Query(asked): Query<Asked>,
    PageWho(_): PageWho,
) -> Result<Markup, WebError> {
    Ok(match past(&app, &DayId::new(&day)?, asked.at).await {
        Ok(Some(past)) => html! {
            p.state { "Made at " (past.hour) }
            p { (past.words) }
            (figure(&past.picture))
            details { summary { "What was assumed" } ul { @for note in &past.notes { li { (note) } } } }
        },
        Ok(None) => html! { p { "The oven has not been shut with the fire out on this day: choose an hour." } },
        Err(WebError::Answer(why)) => html! { p.wrong role="alert" { (said(&why)) } },
        Err(other) => return Err(other),
    })
}

fn said(why: &AnswerError) -> String {
    match why {
        AnswerError::Problems(problems) => {
            problems.iter().map(ovenfall_answer::board::problem).collect::<Vec<_>>().join(". ")
        }
        AnswerError::Hour { why, suggestion, .. } => format!("{why}; try: {suggestion}"),
        other => other.to_string().trim_start_matches("error: ").to_owned(),
    }
}

/// `GET /api/days/{day}/past?at=`: the same as JSON; null where the oven has not been shut yet.
///
/// # Errors
/// What the store says, or why it cannot be computed.
pub async fn past_json(
    State(app): State<App>,
    Path(day): Path<String>,
    Query(asked): Query<Asked>,
    Who(_): Who,
) -> Result<Json<Option<PastBoard>>, WebError> {
    past(&app, &DayId::new(&day)?, asked.at).await.map(Json)
}

/// A forecast of a day against what came, computed once for what the day says now. One at a time: whoever asks for many
/// waits.
async fn past(app: &App, day: &DayId, asked: Option<String>) -> Result<Option<PastBoard>, WebError> {
    let _alone = Arc::clone(&app.looks_back).acquire_owned().await.map_err(|e| WebError::Unfinished(e.to_string()))?;
    let of = day.clone();
    app.on_disk(move |store| {
        let inputs = inputs(store, &of)?;
        let at = match &asked {
            Some(given) => Some(wall_clock::hour_asked(&inputs, Some(given))?),
            None => shut_at(&inputs)?,
        };
        let Some(at) = at else { return Ok(None) };
        if let Some(kept) = kept(store, &of, &at, &inputs.sha256)? {
            return Ok(Some(kept));
        }
        let past = PastBoard::compute(inputs, at.clone(), &DISHES, DRAW)?;
        keep(store, &of, &at, &past)?;
        Ok(Some(past))
    })
    .await
}

fn kind(at: &ZonedDateTime) -> String {
    format!("past {}", at.timestamp())
}

fn kept(store: &Store, day: &DayId, at: &ZonedDateTime, sha256: &str) -> Result<Option<PastBoard>, WebError> {
    let kept = store.last_result(day, &kind(at))?;
    let holds = |from: &Provenance| from.input_sha256 == sha256 && from.program_version == env!("CARGO_PKG_VERSION");
    Ok(kept.filter(|kept| holds(&kept.from)).and_then(|kept| serde_json::from_str(&kept.body).ok()))
}

fn keep(store: &Store, day: &DayId, at: &ZonedDateTime, past: &PastBoard) -> Result<(), WebError> {
    let from = Provenance {
        program_version: env!("CARGO_PKG_VERSION").to_owned(),
        input_sha256: past.input_sha256.clone(),
        last_entry: store.last_entry(day)?,
        members: u32::try_from(past.members).unwrap_or(u32::MAX),
        seed: i64::try_from(DRAW.seed).unwrap_or(i64::MAX),
    };
    let body = serde_json::to_string(past).map_err(|error| WebError::Unfinished(error.to_string()))?;
    Ok(store.keep_result(day, (&kind(at), at.timestamp(), &body), &from, at.timestamp())?)
}
