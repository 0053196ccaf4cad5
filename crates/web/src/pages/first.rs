//! The first run: from nothing to a described oven in one short form; and the list of ovens.

use super::oven::{Sent, drawn};
use super::oven_fields::{Standing, group};
use super::shell::{Page, Place};
use crate::app::{App, PageWho};
use crate::error::WebError;
use crate::oven_form::{self, DOOR, Field, INSIDE, PLACE, WHAT};
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use ovenfall_record::oven_file::fields::OvenFields;
use ovenfall_record::oven_file::read_oven;
use ovenfall_store::OvenId;

/// `GET /first`.
pub async fn page(State(app): State<App>, PageWho(_): PageWho) -> Markup {
    let fields = OvenFields::default();
    markup(&app, Standing { fields: &fields, problems: &[] })
}

/// `POST /first`: a new oven; then to its Now.
///
/// # Errors
/// What the store says; what is wrong with a field is said at the field.
pub async fn save(State(app): State<App>, PageWho(who): PageWho, sent: Sent) -> Result<Response, WebError> {
    let fields = oven_form::from_pairs(&oven_form::pairs(sent)?);
    let file = match oven_form::read(&fields) {
        Ok(file) => file,
        Err(problems) => {
            let standing = Standing { fields: &fields, problems: &problems };
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, markup(&app, standing)).into_response());
        }
    };
    let (now, text) = (app.now(), file.sheet.to_toml());
    let oven = app
        .on_disk(move |store| {
            let taken: Vec<String> = store.ovens()?.into_iter().map(|oven| oven.oven.to_string()).collect();
            let oven = OvenId::new(&oven_form::id_for(&file.description.name, &taken))?;
            store.write_oven(&oven, &text, &who, now)?;
            Ok(oven)
        })
        .await?;
    Ok(Redirect::to(&Place::Now.address(&oven)).into_response())
}

/// The fields of the short form: what a first forecast gains most from.
fn short() -> (Vec<Field>, Vec<Field>) {
    let damp = DOOR.iter().filter(|field| field.key == "new_or_damp");
    let zone = PLACE.iter().filter(|field| field.key == "time_zone");
    (INSIDE.to_vec(), damp.chain(zone).copied().collect())
}

fn markup(app: &App, standing: Standing<'_>) -> Markup {
    let (inside, rest) = short();
    let body = html! {
        h1 { "Describe your oven" }
        p { "A tape measure is enough. Leave blank what you do not know: it is taken from ovens like it, and trusted less." }
        @if !standing.problems.is_empty() {
            p.wrong role="alert" { "Not kept yet: " (standing.problems.len()) " to put right below. Nothing you typed is lost." }
        }
        div.oven-page {
            form.oven-form id="oven-form" method="post" action="/first" novalidate data-first {
                (group("The oven", WHAT, standing))
                (group("Inside, with a tape measure", &inside, standing))
                (group("And", &rest, standing))
                button.big type="submit" { "Keep, and go on" }
                p.hint { "Next you write down the wood as it goes on, or afterwards with its hour: from then on there is a forecast. Walls, door and thermometers can be described later, on the page Oven." }
            }
            aside.oven-side { (drawn(None)) }
        }
        section.care {
            h2 { "Take care" }
            p { "New, damp or long unused masonry is dried with small fires over days: a fast fire can crack or burst it. " (ovenfall_answer::cautions::LOCAL) "." }
        }
    };
    Page {
        title: "Describe your oven",
        oven: None,
        place: None,
        now_ms: app.now().as_millisecond(),
        sheets: &["oven.css"],
        scripts: &["oven.js"],
        body,
    }
    .render()
}

/// `GET /ovens`: all of them.
///
/// # Errors
/// What the store says.
pub async fn list(State(app): State<App>, PageWho(_): PageWho) -> Result<Markup, WebError> {
    let rows = app
        .on_disk(|store| {
            let mut rows = Vec::new();
            for oven in store.ovens()? {
                let name = read_oven("oven.toml", &oven.text).map(|file| file.description.name);
                let days = store.days(&oven.oven)?;
                let last = days.first().map(|day| day.created.get(..10).unwrap_or_default().to_owned());
                rows.push((oven.oven.clone(), name.unwrap_or_else(|_| oven.oven.to_string()), days.len(), last));
            }
            Ok(rows)
        })
        .await?;
    let body = html! {
        h1 { "Ovens" }
        ul.plain.ovens {
            @for (oven, name, days, last) in &rows {
                li {
                    a.key href=(Place::Now.address(oven)) { (name) }
                    small {
                        @match (days, last) {
                            (0, _) => "no day yet",
                            (1, Some(last)) => { "1 day, begun " (last) }
                            (n, Some(last)) => { (n) " days, the last begun " (last) }
                            (n, None) => { (n) " days" }
                        }
                    }
                }
            }
        }
        p { a.key href="/first" { "Describe another oven" } }
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
