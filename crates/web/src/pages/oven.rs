//! The oven: its description as a form, a section drawn as it is described, and what it holds and loses.

use super::head_of;
use super::oven_fields::{Standing, group, layers};
use super::shell::{OvenHead, Page, Place};
use crate::app::{App, PageWho, Who};
use crate::error::WebError;
use crate::oven_form::{self, DOOR, INSIDE, PLACE, WHAT};
use axum::Json;
use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, PreEscaped, html};
use ovenfall_answer::appraised::{Appraised, HOT_C};
use ovenfall_answer::oven_words;
use ovenfall_draw::section;
use ovenfall_draw::theme::{Look, Mode};
use ovenfall_record::oven_file::fields::{OvenFieldProblem, OvenFields};
use ovenfall_record::oven_file::{OvenFile, read_oven};
use ovenfall_store::{OvenId, StoreError};
use serde::Serialize;

/// Width of the section, px.
const SECTION_PX: f64 = 366.0;

/// Form as a browser sends it.
pub type Sent = Result<Form<Vec<(String, String)>>, FormRejection>;

/// `GET /ovens/{oven}`.
///
/// # Errors
/// What the store says.
pub async fn page(State(app): State<App>, Path(oven): Path<String>, PageWho(_): PageWho) -> Result<Markup, WebError> {
    let oven = OvenId::new(&oven)?;
    let head = head_of(&app, &oven).await?;
    let text = app.on_disk(move |store| Ok(store.oven_text(&oven)?)).await?;
    let file = read_oven("oven.toml", &text).map_err(StoreError::Problems)?;
    let fields = OvenFields::of(&file);
    Ok(markup(&app, &head, Standing { fields: &fields, problems: &[] }, Some(&file)))
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
    let fields = oven_form::from_pairs(&oven_form::pairs(sent)?);
    match oven_form::read(&fields) {
        Ok(file) => {
            let (now, text, to) = (app.now(), file.sheet.to_toml(), Place::Oven.address(&oven));
            app.on_disk(move |store| Ok(store.write_oven(&oven, &text, &who, now)?)).await?;
            if let Some(day) = &head.day {
                app.boards.ask(day);
            }
            app.live.wake();
            Ok(Redirect::to(&format!("{to}#saved")).into_response())
        }
        Err(problems) => {
            let standing = Standing { fields: &fields, problems: &problems };
            Ok((StatusCode::UNPROCESSABLE_ENTITY, markup(&app, &head, standing, None)).into_response())
        }
    }
}

fn markup(app: &App, head: &OvenHead, standing: Standing<'_>, file: Option<&OvenFile>) -> Markup {
    let body = html! {
        h1 { (head.name) }
        @if !standing.problems.is_empty() {
            p.wrong role="alert" { "Not kept yet: " (standing.problems.len()) " to put right below. Nothing you typed is lost." }
        }
        p.said id="saved" { "Kept." }
        div.oven-page {
            form.oven-form id="oven-form" method="post" action=(Place::Oven.address(&head.oven)) novalidate {
                (group("The oven", WHAT, standing))
                (group("Inside, with a tape measure", INSIDE, standing))
                (group("Door, fire, floor", DOOR, standing))
                (layers("dome", "Dome or vault, layer by layer", standing))
                (layers("floor", "Floor, layer by layer", standing))
                (layers("door", "Door, layer by layer", standing))
                (group("Where it stands, what it is read with", PLACE, standing))
                button.big type="submit" { "Keep" }
            }
            aside.oven-side { (drawn(file)) @if let Some(file) = file { (figures(file)) } }
        }
        p { a.key href=(format!("/api/ovens/{}", head.oven)) download=(format!("{}.toml", head.oven)) { "The oven's file" } }
        section.care {
            h2 { "Take care" }
            ul {
                li { "Never shut a door over fire or embers in a room: they give off carbon monoxide." }
                li { "New, damp or long unused masonry is dried with small fires over days: a fast fire can crack or burst it." }
                li { (ovenfall_answer::cautions::LOCAL) }
            }
        }
    };
    Page {
        title: "Oven",
        oven: Some(head),
        place: Some(Place::Oven),
        now_ms: app.now().as_millisecond(),
        sheets: &["oven.css"],
        scripts: &["oven.js"],
        body,
    }
    .render()
}

/// The section and the figures that go with it; a script draws them anew as fields change.
pub fn drawn(file: Option<&OvenFile>) -> Markup {
    let preview = file.map(Preview::of);
    html! {
        div.section id="section" aria-live="off" { @if let Some(preview) = &preview { (PreEscaped(&preview.svg)) } }
        div id="holds" aria-live="polite" { @for line in preview.iter().flat_map(|preview| &preview.said) { p { (line) } } }
    }
}

/// What was assumed, and the figures as tables.
fn figures(file: &OvenFile) -> Markup {
    let tables: Vec<ovenfall_draw::Table> = section::tables(&file.description);
    html! {
        @if !file.warnings.is_empty() {
            h2 { "Does this look right?" }
            ul { @for warning in &file.warnings { li { (ovenfall_answer::board::problem(warning)) } } }
        }
        details {
            summary { "What is assumed" }
            ul { @for line in oven_words::assumed(file) { li { (line) } } }
        }
        details {
            summary { "The section as a table" }
            @for table in tables { div.scroll tabindex="0" role="region" aria-label=(table.caption) { (PreEscaped(table.to_html())) } }
        }
    }
}

/// An oven that is being described.
#[derive(Debug, Serialize)]
pub struct Preview {
    /// Its section.
    svg: String,
    /// What it holds and loses.
    said: Vec<String>,
    /// What is wrong, by field.
    problems: Vec<PreviewProblem>,
}

#[derive(Debug, Serialize)]
struct PreviewProblem {
    field: String,
    what: String,
}

impl Preview {
    fn of(file: &OvenFile) -> Self {
        let look = Look::new(SECTION_PX, Mode::Page, "section").without_heading();
        Self { svg: section::svg(&file.description, &look), said: holds(file), problems: Vec::new() }
    }

    fn wrong(problems: Vec<OvenFieldProblem>) -> Self {
        let of = |found: OvenFieldProblem| PreviewProblem {
            field: found.field,
            what: ovenfall_answer::board::problem(&found.problem),
        };
        Self { svg: String::new(), said: Vec::new(), problems: problems.into_iter().map(of).collect() }
    }
}

/// What an oven holds and loses, in short sentences.
fn holds(file: &OvenFile) -> Vec<String> {
    let appraised = match Appraised::new(&file.description, "the oven") {
        Ok(appraised) => appraised,
        Err(why) => return vec![why.to_string().trim_start_matches("error: ").to_owned()],
    };
    let store = appraised.range(|figures| figures.store_kwh);
    let mass_kg: f64 = appraised.masonry().map(|layer| layer.mass_kg).sum();
    let loss = appraised.range(|figures| figures.shut[1].total_w() / 1000.0);
    vec![
        format!("Hot right through at {HOT_C:.0} °C it holds {} above 100 °C.", store.with_unit(0, "kWh")),
        format!("Kept at 200 °C with the door shut it loses {}.", loss.with_unit(1, "kW")),
        format!("Masonry: {mass_kg:.0} kg. In brackets: 9 chances in 10, as described."),
    ]
}

/// `POST /api/ovens/preview`: an oven as the form says it, drawn and appraised; nothing is kept.
///
/// # Errors
/// When the form cannot be read.
pub async fn preview(Who(_): Who, State(app): State<App>, sent: Sent) -> Result<Json<Preview>, WebError> {
    let fields = oven_form::from_pairs(&oven_form::pairs(sent)?);
    // Sixty-four ovens it could be are put together: off the threads that serve everybody.
    let look = move || oven_form::read(&fields).map_or_else(Preview::wrong, |file| Preview::of(&file));
    app.on_disk(move |_| Ok(look())).await.map(Json)
}
