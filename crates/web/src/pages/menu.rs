//! The menu of the day: for each dish the answer in a few words, what is behind it, and the hours on one axis.

use super::dish::Today;
use super::now::figure;
use super::shell::{OvenHead, Page, Place};
use super::{head_of, head_of_day};
use crate::answers::Numbered;
use crate::app::{App, PageWho};
use crate::boards::{inputs, last_and_ask};
use crate::error::WebError;
use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Path, State};
use axum::response::Redirect;
use maud::{Markup, html};
use ovenfall_answer::MenuBoard;
use ovenfall_answer::menu_board::DishTold;
use ovenfall_record::pots::DishSheet;
use ovenfall_store::{DayId, OvenId};
use serde::Deserialize;
use std::sync::Arc;

/// Days whose menu can be copied.
const MOST_DAYS: usize = 30;

/// `GET /ovens/{oven}/menu`.
///
/// # Errors
/// What the store says.
pub async fn page(State(app): State<App>, Path(oven): Path<String>, PageWho(_): PageWho) -> Result<Markup, WebError> {
    let head = head_of(&app, &OvenId::new(&oven)?).await?;
    let to_copy = earlier(&app, &head).await?;
    let body = html! {
        h1 { "Menu" }
        div id="menu" data-part="menu" { (told(&app, &head).await?) }
        p.menu-keys {
            a.key href={ (Place::Menu.address(&head.oven)) "/dish" } { "Add a dish" }
            a.key href={ (Place::Menu.address(&head.oven)) "/wood" } { "The wood" }
        }
        @if !to_copy.is_empty() {
            form.copy method="post" action=(Place::Menu.address(&head.oven)) {
                label for="day" { "Take over the dishes of an earlier day" }
                select id="day" name="day" { @for day in &to_copy { option value=(day) { (day) } } }
                p.hint { "Dishes that are here already stay as they are." }
                button.key type="submit" { "Take over" }
            }
        }
    };
    Ok(Page {
        title: "Menu",
        oven: Some(&head),
        place: Some(Place::Menu),
        now_ms: app.now().as_millisecond(),
        sheets: &["menu.css"],
        scripts: &["menu.js"],
        body,
    }
    .render())
}

/// `GET /parts/days/{day}/menu`: the menu as a part of a page, for a page that is open.
///
/// # Errors
/// What the store says.
pub async fn part(State(app): State<App>, Path(day): Path<String>, PageWho(_): PageWho) -> Result<Markup, WebError> {
    let head = head_of_day(&app, &DayId::new(&day)?).await?;
    told(&app, &head).await
}

/// Days of this oven with pots, the latest first, without the one that is being written.
async fn earlier(app: &App, head: &OvenHead) -> Result<Vec<DayId>, WebError> {
    let (oven, own) = (head.oven.clone(), head.day.clone());
    app.on_disk(move |store| {
        let mut found = Vec::new();
        for day in store.days(&oven)?.into_iter().filter(|day| Some(&day.day) != own.as_ref()).take(MOST_DAYS) {
            if store.pots_text(&day.day)?.is_some() {
                found.push(day.day);
            }
        }
        Ok(found)
    })
    .await
}

/// Which day's dishes are taken over.
#[derive(Debug, Deserialize)]
pub struct From {
    day: String,
}

/// `POST /ovens/{oven}/menu`: takes over the dishes of an earlier day.
///
/// # Errors
/// What the store says, or what is wrong with the request.
pub async fn copy(
    State(app): State<App>,
    Path(oven): Path<String>,
    PageWho(who): PageWho,
    sent: Result<Form<From>, FormRejection>,
) -> Result<Redirect, WebError> {
    let Form(From { day }) =
        sent.map_err(|rejection| WebError::Unreadable { status: rejection.status(), what: rejection.body_text() })?;
    let (head, from) = (head_of(&app, &OvenId::new(&oven)?).await?, DayId::new(&day)?);
    let text = app.on_disk(move |store| Ok(store.pots_text(&from)?)).await?;
    let (other, mut today) = (Today::from_text(text.as_deref())?, Today::of(&app, &head).await?);
    let here: Vec<String> = today.dishes.iter().map(|dish| dish.name.to_lowercase()).collect();
    today.dishes.extend(other.dishes.into_iter().filter(|dish| !here.contains(&dish.name.to_lowercase())));
    if today.wood == Default::default() {
        today.wood = other.wood;
    }
    today.keep(&app, &head, who).await?;
    Ok(Redirect::to(&Place::Menu.address(&head.oven)))
}

async fn told(app: &App, head: &OvenHead) -> Result<Markup, WebError> {
    let today = Today::of(app, head).await?;
    let board: Option<Arc<Numbered<MenuBoard>>> = match &head.day {
        Some(day) if !today.dishes.is_empty() => last_and_ask::<MenuBoard>(app, day).await?,
        _ => None,
    };
    let board = board.as_ref().map(|board| &board.answer);
    let holds = match (&head.day, board) {
        (Some(day), Some(board)) => {
            let of = day.clone();
            let now = app.on_disk(move |store| Ok(inputs(store, &of).map(|inputs| inputs.sha256).ok())).await?;
            now.is_none_or(|now| now == board.input_sha256)
        }
        _ => true,
    };
    let of = |dish: &DishSheet| board.and_then(|board| board.dishes.iter().find(|told| told.name == dish.name));
    Ok(html! {
        @if today.dishes.is_empty() {
            p.more { "No dish yet. Add what is to be cooked today: from when until when the oven suits it is worked out with its own cold pot in." }
        } @else if let Some(board) = board {
            p.state { "As of " (board.hour) }
            @if !holds { p.care { "Being worked out anew: something was written down or changed since then." } }
            @if !board.first.is_empty() { p.care { (board.first) } }
            @if let Some(picture) = &board.picture { (figure(picture)) }
        } @else {
            p.more aria-busy="true" { "Working it out: each dish is put in at many hours…" }
        }
        @for dish in &today.dishes { (dish_markup(head, dish, of(dish))) }
        @if let Some(board) = board {
            @if !board.cautions.is_empty() {
                section.care { h2 { "Take care" } ul { @for caution in &board.cautions { li { (caution) } } } }
            }
            @if !board.warnings.is_empty() {
                section { h2 { "Does this look right?" } ul { @for warning in &board.warnings { li { (warning) } } } }
            }
            details {
                summary { "How this was looked at" }
                p { (board.intro) }
                ul { @for note in &board.notes { li { (note) } } }
            }
        }
    })
}

fn dish_markup(head: &OvenHead, dish: &DishSheet, told: Option<&DishTold>) -> Markup {
    let mut address = Place::Menu.address(&head.oven) + "/dish?dish=";
    address.extend(form_urlencoded::byte_serialize(dish.name.as_bytes()));
    html! {
        section.dish aria-label=(dish.name) {
            h2 { (dish.name) }
            p.wanted {
                @if let Some(wanted) = dish.wanted { "Wanted at " (wanted.strftime("%H:%M").to_string()) ". " }
                @if let Some(wants) = told.and_then(|told| told.wants.as_ref()) { span.soft { "Wants " (wants) "." } }
            }
            @if let Some(told) = told {
                p.verdict { (told.verdict) }
                @if !told.cautions.is_empty() { ul.care { @for caution in &told.cautions { li { (caution) } } } }
                @if !told.lines.is_empty() {
                    details { summary { "Why" } @for line in &told.lines { p { (line) } } }
                }
            }
            p { a.key href=(address) aria-label={ "Change: " (dish.name) } { "Change" } }
        }
    }
}
