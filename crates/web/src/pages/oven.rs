//! The oven: its description as a form, a section drawn as it is described, and what it holds and loses.

use super::head_of;
use super::now::figures;
use super::oven_fields::{Standing, fields, folded, layers, lengths, one, zones};
use super::shell::{OvenHead, Page, Place};
use crate::app::{App, PageWho};
use crate::error::WebError;
use crate::oven_form::{
    DOOR_FIT, FIRE, INSIDE, LIKE, MOUTH, NAME, NEW_OR_DAMP, OvenForm, PLACE, SHAPE, THERMOMETERS, UNDER,
};
use crate::oven_preview::Preview;
use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, PreEscaped, html};
use ovenfall_answer::{cautions, oven_glance, oven_words};
use ovenfall_record::oven_file::usual::usual;
use ovenfall_record::oven_file::{OvenFile, read_oven};
use ovenfall_store::{OvenId, StoreError};
use serde::Deserialize;

/// Form as a browser sends it.
pub type Sent = Result<Form<Vec<(String, String)>>, FormRejection>;

/// The pairs of a form that was sent.
///
/// # Errors
/// When it is none.
pub fn pairs(sent: Sent) -> Result<Vec<(String, String)>, WebError> {
    let Form(pairs) =
        sent.map_err(|rejection| WebError::Unreadable { status: rejection.status(), what: rejection.body_text() })?;
    Ok(pairs)
}

/// A key of the form that was pressed instead of keeping it.
#[must_use]
pub fn pressed(pairs: &[(String, String)]) -> Option<&str> {
    pairs.iter().find(|(name, _)| name == "do").map(|(_, key)| key.as_str())
}

/// What an address may ask of the page.
#[derive(Debug, Deserialize)]
pub struct Asked {
    /// The form was kept.
    kept: Option<String>,
}

/// What a page of the form says above it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Said {
    /// Nothing.
    Nothing,
    /// It is kept.
    Kept,
}

/// `GET /ovens/{oven}`.
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
    let head = head_of(&app, &oven).await?;
    let text = app.on_disk(move |store| Ok(store.oven_text(&oven)?)).await?;
    let file = read_oven("oven.toml", &text).map_err(StoreError::Problems)?;
    let said = if asked.kept.is_some() { Said::Kept } else { Said::Nothing };
    markup(&app, &head, OvenForm::of(&file), said).await
}

/// `POST /ovens/{oven}`: the oven as corrected. What it was before is kept.
///
/// # Errors
/// What the store says; what is wrong with a field is said at the field.
pub async fn save(
    State(app): State<App>,
    Path(oven): Path<String>,
    PageWho(who): PageWho,
    sent: Sent,
) -> Result<Response, WebError> {
    let oven = OvenId::new(&oven)?;
    let head = head_of(&app, &oven).await?;
    let pairs = pairs(sent)?;
    let mut form = OvenForm::from_pairs(&pairs);
    if pressed(&pairs).is_some_and(|key| form.press(key)) {
        return Ok(markup(&app, &head, form, Said::Nothing).await?.into_response());
    }
    match form.read() {
        Ok(file) => {
            correct(&app, &oven, &head, &file, &who).await?;
            Ok(Redirect::to(&format!("{}?kept=1", Place::Oven.address(&oven))).into_response())
        }
        Err(_) => {
            let page = markup(&app, &head, form, Said::Nothing).await?;
            Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
        }
    }
}

/// Keeps a further text of an oven that is there; the day's answer is computed anew.
///
/// # Errors
/// What the store says.
pub async fn correct(app: &App, oven: &OvenId, head: &OvenHead, file: &OvenFile, who: &str) -> Result<(), WebError> {
    let (now, text, who, oven) = (app.now(), file.sheet.to_toml(), who.to_owned(), oven.clone());
    app.on_disk(move |store| Ok(store.write_oven(&oven, &text, &who, now)?)).await?;
    if let Some(day) = &head.day {
        app.boards.ask(day);
    }
    app.live.wake();
    Ok(())
}

async fn markup(app: &App, head: &OvenHead, form: OvenForm, said: Said) -> Result<Markup, WebError> {
    let (form, read, preview) = looked_at(app, form).await?;
    let file = read.as_ref().ok();
    let problems = read.as_ref().err().map(Vec::as_slice).unwrap_or_default();
    let doubts = file.map(|file| form.fields().doubts(file)).unwrap_or_default();
    let usual = file.map(usual).unwrap_or_default();
    let standing = Standing { form: &form, problems, doubts: &doubts, usual: &usual };
    let body = html! {
        h1 { (head.name) }
        (to_put_right(problems.len(), said == Said::Kept))
        form.oven-form id="oven-form" method="post" action=(Place::Oven.address(&head.oven)) novalidate data-api=(format!("/api/ovens/{}/fields", head.oven)) {
            // The first key of a form is what the return key presses.
            button.first-key type="submit" tabindex="-1" aria-hidden="true" { "Keep" }
            fieldset.group { legend.title { "The oven" } (one(&NAME, standing)) (one(&NEW_OR_DAMP, standing)) (damp_care()) }
            (folded("What it is built like", "The usual of it is taken where you do not know.", &["construction"], standing, &one(&LIKE, standing)))
            fieldset.group.pairs { legend.title { "Inside and mouth" } (lengths()) (one(&SHAPE, standing)) (fields(INSIDE, standing)) (fields(MOUTH, standing)) }
            (drawn(&preview))
            (parts(&form, standing))
            (folded("Fire", "Where it lies.", &["fire"], standing, &one(&FIRE, standing)))
            (folded("Where it stands", "Clock, height, weather.", &["time_zone", "altitude_m", "outdoor_c", "wind_m_s"], standing, &fields(PLACE, standing)))
            (folded("Thermometers", "Chamber probe, infra-red.", &["probe_mm", "probe_emissivity", "infrared_emissivity", "infrared_top_c"], standing, &fields(THERMOMETERS, standing)))
            (zones())
            p.hint.after { "What it was before is kept too. Days of this oven are worked out anew with what you keep here." }
            (in_sight(&preview, "Keep"))
        }
        @if let Some(file) = file { (more(head, file)) }
        (take_care())
    };
    Ok(Page {
        title: "Oven",
        oven: Some(head),
        place: Some(Place::Oven),
        now_ms: app.now().as_millisecond(),
        sheets: &["oven.css"],
        scripts: &["oven.js"],
        body,
    }
    .render())
}

/// What it is built of, part by part.
fn parts(form: &OvenForm, standing: Standing<'_>) -> Markup {
    let [dome, floor, door] = &form.parts;
    let floor = html! { (layers("floor", floor, standing)) (one(&UNDER, standing)) };
    let door = html! { (layers("door", door, standing)) (one(&DOOR_FIT, standing)) };
    html! {
        (folded("Dome or vault", "Its layers.", &["dome"], standing, &layers("dome", dome, standing)))
        (folded("Floor", "Its layers, and what is below.", &["floor", "under"], standing, &floor))
        (folded("Door", "Its layers, and how it closes.", &["door", "door_fit"], standing, &door))
    }
}

/// A form read and drawn, off the threads that serve everybody.
///
/// # Errors
/// When the work could not be finished.
pub async fn looked_at(app: &App, form: OvenForm) -> Result<(OvenForm, crate::oven_preview::Read, Preview), WebError> {
    app.on_disk(move |_| {
        let read = form.read();
        let preview = Preview::of(&form.fields(), &read);
        Ok((form, read, preview))
    })
    .await
}

/// What is told above a form: that it is kept, or how much is to be put right.
pub fn to_put_right(problems: usize, kept: bool) -> Markup {
    html! {
        @if problems > 0 {
            p.wrong role="alert" {
                "Not kept yet: " (problems) @if problems == 1 { " field" } @else { " fields" } " to put right below. Nothing you typed is lost."
            }
        } @else if kept {
            p.kept role="status" { "✓ Kept." }
        }
    }
}

/// What to take care of where it is new or damp.
pub fn damp_care() -> Markup {
    html! {
        div.care data-damp {
            p { "New or damp masonry: no fast fire, it can crack or burst. Dry it with small fires, a little larger each day, as its maker or builder says." }
        }
    }
}

/// The section and the figures that go with it; a script draws them anew as fields change.
pub fn drawn(preview: &Preview) -> Markup {
    html! {
        section.drawn id="drawn" tabindex="0" aria-label="The oven as described" {
            dl.glance id="glance" { @for figure in &preview.figures { div { dt { (figure.what) } dd { (figure.value) } } } }
            div.section id="section" { (PreEscaped(&preview.svg)) }
            p.hint { "In brackets: 9 chances in 10, for ovens that fit what is said. ≈ is not measured but usual." }
        }
    }
}

/// What stays in sight below the fields: what happens to the form, the figures in one line, and the key that keeps it.
pub fn in_sight(preview: &Preview, key: &str) -> Markup {
    html! {
        div.in-sight {
            p id="form-said" role="status" {}
            a.glance-line href="#drawn" id="glance-line" hidden[preview.line.is_empty()] { (preview.line) }
            button type="submit" data-keep { (key) }
        }
    }
}

/// What was assumed, the figures as tables, and the file.
fn more(head: &OvenHead, file: &OvenFile) -> Markup {
    let full = oven_glance::appraise(file).map(|appraised| oven_glance::in_full(file, &appraised));
    html! {
        section aria-labelledby="more-title" {
            h2 id="more-title" { "As kept" }
            @match &full {
                Ok((heat, tables)) => {
                    p { (heat) }
                    details { summary { "The figures as tables" } @for table in tables { (figures(table)) } }
                }
                Err(why) => { p.wrong { (why) } }
            }
            details { summary { "What is assumed" } ul { @for line in oven_words::assumed(file) { li { (line) } } } }
            p { a.key href=(format!("/api/ovens/{}", head.oven)) download=(format!("{}.toml", head.oven)) { "Download the oven file" } }
        }
    }
}

/// Cautions of fire and building.
pub fn take_care() -> Markup {
    html! {
        section.care aria-labelledby="care-title" {
            h2 id="care-title" { "Take care" }
            ul { @for caution in [cautions::FIRE, cautions::LOCAL] { li { (caution) } } }
        }
    }
}
