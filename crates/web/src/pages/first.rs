//! The first run: from nothing to a described oven in one short form.

use super::oven::{Sent, damp_care, drawn, in_sight, looked_at, pairs, pressed, take_care, to_put_right};
use super::oven_fields::{Standing, fields, lengths, one, zones};
use super::shell::{Page, Place};
use crate::app::{App, PageWho};
use crate::error::WebError;
use crate::oven_form::{self, INSIDE, LIKE, MOUTH, NAME, NEW_OR_DAMP, OvenForm, SHAPE, TIME_ZONE};
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use ovenfall_record::oven_file::OvenFile;
use ovenfall_record::oven_file::usual::usual;
use ovenfall_store::OvenId;
use std::sync::{Mutex, PoisonError};

/// `GET /first`.
///
/// # Errors
/// When the work could not be finished.
pub async fn page(State(app): State<App>, PageWho(_): PageWho) -> Result<Markup, WebError> {
    markup(&app, OvenForm::default()).await
}

/// `POST /first`: a new oven; then to its Now.
///
/// # Errors
/// What the store says; what is wrong with a field is said at the field.
pub async fn save(State(app): State<App>, PageWho(who): PageWho, sent: Sent) -> Result<Response, WebError> {
    let pairs = pairs(sent)?;
    let mut form = OvenForm::from_pairs(&pairs);
    if pressed(&pairs).is_some_and(|key| form.press(key)) {
        return Ok(markup(&app, form).await?.into_response());
    }
    match form.read() {
        Ok(file) => {
            let oven = begin(&app, &file, &who).await?;
            Ok(Redirect::to(&Place::Now.address(&oven)).into_response())
        }
        Err(_) => Ok((StatusCode::UNPROCESSABLE_ENTITY, markup(&app, form).await?).into_response()),
    }
}

/// One oven is begun at a time, so that two of one name get two ids.
static BEGINS: Mutex<()> = Mutex::new(());

/// Keeps a new oven under an id made of its name.
///
/// # Errors
/// What the store says.
pub async fn begin(app: &App, file: &OvenFile, who: &str) -> Result<OvenId, WebError> {
    let (now, text, name, who) = (app.now(), file.sheet.to_toml(), file.description.name.clone(), who.to_owned());
    let oven = app
        .on_disk(move |store| {
            let _alone = BEGINS.lock().unwrap_or_else(PoisonError::into_inner);
            let taken: Vec<String> = store.ovens()?.into_iter().map(|oven| oven.oven.to_string()).collect();
            let oven = OvenId::new(&oven_form::id_for(&name, &taken))?;
            store.write_oven(&oven, &text, &who, now)?;
            Ok(oven)
        })
        .await?;
    app.live.wake();
    Ok(oven)
}

async fn markup(app: &App, form: OvenForm) -> Result<Markup, WebError> {
    let (form, read, preview) = looked_at(app, form).await?;
    let problems = read.as_ref().err().map(Vec::as_slice).unwrap_or_default();
    let usual = read.as_ref().map(usual).unwrap_or_default();
    let doubts = read.as_ref().map(|file| form.fields().doubts(file)).unwrap_or_default();
    let standing = Standing { form: &form, problems, doubts: &doubts, usual: &usual };
    let body = html! {
        h1 { "Describe your oven" }
        p { "A tape measure is enough. Leave empty what you do not know: the usual is taken, and trusted less." }
        (to_put_right(problems.len(), false))
        form.oven-form id="oven-form" method="post" action="/first" novalidate data-first data-api="/api/ovens" {
            fieldset.group { legend.title { "The oven" } (one(&NAME, standing)) (one(&LIKE, standing)) }
            fieldset.group.pairs {
                legend.title { "Sizes" }
                (one(&SHAPE, standing))
                (lengths())
                (fields(INSIDE, standing))
                (fields(MOUTH, standing))
            }
            (drawn(&preview))
            fieldset.group { legend.title { "Before the first fire" } (one(&NEW_OR_DAMP, standing)) (damp_care()) (one(&TIME_ZONE, standing)) }
            (zones())
            div.after {
                p { "Next you write down the wood as it goes on, or afterwards with its hour: from then on there is a forecast." }
                p { "Warm already? It can be used at once: write down the wood it had today, each feed with its hour, and then what you read. What was left of yesterday's heat is not counted yet." }
                p.hint { "Walls, floor, door and thermometers can be described later, on the page Oven." }
            }
            (in_sight(&preview, "Keep"))
        }
        (take_care())
    };
    Ok(Page {
        title: "Describe your oven",
        oven: None,
        place: None,
        now_ms: app.now().as_millisecond(),
        sheets: &["oven.css"],
        scripts: &["oven.js"],
        body,
    }
    .render())
}
