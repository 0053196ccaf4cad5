//! Pairing a screen: the code that is shown in the kitchen, and a name to write entries under.

use super::shell::Page;
use crate::app::App;
use crate::error::WebError;
use crate::pairing::{Pair, cookie};
use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{AppendHeaders, IntoResponse, Redirect, Response};
use maud::{Markup, html};
use serde::Deserialize;

/// What the address in the square code carries.
#[derive(Debug, Deserialize)]
pub struct Asked {
    #[serde(default)]
    code: String,
}

/// `GET /pair`.
pub async fn page(State(app): State<App>, Query(asked): Query<Asked>) -> Markup {
    markup(&app, &Pair { code: asked.code, who: String::new() }, None)
}

/// `POST /pair`: the same as a form, for a screen without scripts as well.
///
/// # Errors
/// What is wrong with the request itself; a wrong code is said on the page.
pub async fn pair(State(app): State<App>, sent: Result<Form<Pair>, FormRejection>) -> Result<Response, WebError> {
    let Form(sent) =
        sent.map_err(|rejection| WebError::Unreadable { status: rejection.status(), what: rejection.body_text() })?;
    match app.pair(&sent).await {
        Ok(token) => Ok((AppendHeaders([(header::SET_COOKIE, cookie(&token))]), Redirect::to("/")).into_response()),
        Err(wrong @ (WebError::WrongCode | WebError::TooManyTries { .. })) => {
            Ok((wrong.status(), markup(&app, &sent, Some(&wrong))).into_response())
        }
        Err(other) => Err(other),
    }
}

fn markup(app: &App, sent: &Pair, wrong: Option<&WebError>) -> Markup {
    let said = wrong.map(|wrong| match wrong {
        WebError::TooManyTries { wait_s } => format!("Too many wrong codes. Wait {wait_s} seconds, then try again."),
        _ => {
            "This is not the code. It is shown where the server was started, and on screens that are paired.".to_owned()
        }
    });
    let body = html! {
        section {
            h1 { "Pair this screen" }
            p { "Type the eight digits that are shown where the oven's server was started, or on the page “Screens” of one that is paired." }
            form method="post" action="/pair" {
                label for="code" { "Code" }
                input id="code" name="code" value=(sent.code) inputmode="numeric" autocomplete="one-time-code" required
                    aria-invalid=[said.as_ref().map(|_| "true")] aria-describedby=[said.as_ref().map(|_| "code-wrong")];
                @if let Some(said) = &said { p.wrong id="code-wrong" role="alert" { (said) } }
                label for="who" { "Your name, to write entries under" }
                input id="who" name="who" value=(sent.who) maxlength="40" autocomplete="off";
                p.hint { "May be left out." }
                button.big type="submit" { "Pair" }
            }
            p.hint {
                "Plain HTTP on the kitchen's network: others on this network could listen in. Use it where you know who is on it. "
                "A locked phone will not sound an alarm."
            }
        }
    };
    Page {
        title: "Pair this screen",
        oven: None,
        place: None,
        now_ms: app.now().as_millisecond(),
        sheets: &[],
        scripts: &[],
        body,
    }
    .render()
}

/// For every address that nobody has.
pub async fn nowhere(State(app): State<App>) -> (StatusCode, Markup) {
    let body = html! { section { h1 { "There is no such page." } p { a.key href="/" { "To the oven" } } } };
    let page = Page {
        title: "No such page",
        oven: None,
        place: None,
        now_ms: app.now().as_millisecond(),
        sheets: &[],
        scripts: &[],
        body,
    };
    (StatusCode::NOT_FOUND, page.render())
}
