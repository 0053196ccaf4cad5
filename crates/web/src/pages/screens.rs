//! Screens: who writes on this one, how it looks, and how others are paired.

use super::shell::Page;
use crate::app::{App, PageWho};
use crate::error::WebError;
use crate::pairing::Pairing;
use axum::extract::rejection::FormRejection;
use axum::extract::{Form, State};
use axum::response::Redirect;
use maud::{Markup, PreEscaped, html};
use serde::Deserialize;

/// `GET /screens`.
///
/// # Errors
/// What the store says.
pub async fn page(State(app): State<App>, PageWho(who): PageWho) -> Result<Markup, WebError> {
    let pairing = app.pairing().await?;
    let body = html! {
        h1 { "Screens" }
        section aria-labelledby="this-title" {
            h2 id="this-title" { "This screen" }
            form id="name" {
                label for="name-who" { "Who writes on it" }
                input id="name-who" name="who" value=(who) maxlength="40" autocomplete="off";
                p.hint { "Stands beside what is written down here. May be left out." }
                button.key type="submit" { "Keep the name" }
                p id="name-said" role="status" {}
            }
            fieldset.choices id="theme" {
                legend { "Colours" }
                label.choice { input type="radio" name="theme" value="system" checked; span { "As the system" } }
                label.choice { input type="radio" name="theme" value="light"; span { "White" } }
                label.choice { input type="radio" name="theme" value="dark"; span { "Dark" } }
            }
        }
        (others(&pairing))
    };
    Ok(Page {
        title: "Screens",
        oven: None,
        place: None,
        now_ms: app.now().as_millisecond(),
        sheets: &[],
        scripts: &["screens.js"],
        body,
    }
    .render())
}

fn others(pairing: &Pairing) -> Markup {
    html! {
        section aria-labelledby="others-title" {
            h2 id="others-title" { "Pair another screen" }
            @if pairing.lan {
                @if let (Some(square), Some(address)) = (&pairing.square_svg, pairing.addresses.first()) {
                    p { "Point its camera here, or open the address and type the code." }
                    div.square role="img" aria-label=(format!("Square code of {address}")) { (PreEscaped(square)) }
                }
                p.code-digits { "Code: " strong { (&pairing.code[..4]) " " (&pairing.code[4..]) } }
                ul { @for address in &pairing.addresses { li { (address.split("/pair").next().unwrap_or(address)) } } }
                form method="post" action="/screens" {
                    button.key type="submit" name="key" value="renew" { "Make a new code" }
                }
                p.hint {
                    "Plain HTTP: others on this network could listen in. On a phone a page like this cannot keep the screen on or sound "
                    "an alarm when it is locked: set the phone's own alarms, and keep paper at hand."
                }
            } @else {
                p { "Only this machine can reach the server. To open it to the kitchen's network, start it with " code { "ovenfall serve --lan" } "." }
            }
        }
        @if !pairing.screens.is_empty() {
            section aria-labelledby="paired-title" {
                h2 id="paired-title" { "Screens that are known" }
                form method="post" action="/screens" {
                    ul.plain {
                        @for screen in &pairing.screens {
                            @let who = if screen.who.is_empty() { "no name" } else { &screen.who };
                            li.screen {
                                span { (who) small { "since " (screen.paired.get(..10).unwrap_or_default()) } }
                                button.key type="submit" name="key" value=(screen.id) aria-label=(format!("Forget {who}")) { "Forget" }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// A key of the page: `renew`, or the id of a screen to be forgotten.
#[derive(Debug, Deserialize)]
pub struct Key {
    key: String,
}

/// `POST /screens`.
///
/// # Errors
/// What the store says, or what is wrong with the request.
pub async fn keys(
    State(app): State<App>,
    PageWho(_): PageWho,
    sent: Result<Form<Key>, FormRejection>,
) -> Result<Redirect, WebError> {
    let Form(Key { key }) =
        sent.map_err(|rejection| WebError::Unreadable { status: rejection.status(), what: rejection.body_text() })?;
    if key == "renew" {
        app.access.renew(&mut rand::rng());
    } else {
        app.forget_by_id(&key).await?;
    }
    Ok(Redirect::to("/screens"))
}
