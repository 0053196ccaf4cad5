//! Pairing a screen with the oven.

use crate::app::{App, COOKIE, token};
use crate::error::WebError;
use axum::Json;
use axum::extract::rejection::JsonRejection;
use axum::extract::{Request, State};
use axum::http::{StatusCode, header};
use axum::response::{AppendHeaders, IntoResponse};
use serde::Deserialize;

/// How long a screen stays paired, s: a year; a phone that is used stays paired.
const STAYS_S: u32 = 31_536_000;

/// What a screen sends to be paired.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pair {
    code: String,
    #[serde(default)]
    who: String,
}

/// `POST /api/pair`: the code on the oven's screen, and a name to write entries under.
///
/// # Errors
/// [`WebError::WrongCode`], [`WebError::TooManyTries`].
pub async fn pair(
    State(app): State<App>,
    sent: Result<Json<Pair>, JsonRejection>,
) -> Result<impl IntoResponse, WebError> {
    let Json(sent) = sent?;
    let token = app.access.pair(&sent.code, &sent.who, app.now(), &mut rand::rng())?;
    // No `Secure`: a kitchen's network has plain HTTP. `Strict` keeps the token from going out with links from elsewhere.
    let cookie = format!("{COOKIE}={token}; Path=/; HttpOnly; SameSite=Strict; Max-Age={STAYS_S}");
    Ok((StatusCode::NO_CONTENT, AppendHeaders([(header::SET_COOKIE, cookie)])))
}

/// `DELETE /api/pair`: forgets this screen.
pub async fn forget(State(app): State<App>, request: Request) -> impl IntoResponse {
    let (parts, _) = request.into_parts();
    if let Some(token) = token(&parts) {
        app.access.forget(&token);
    }
    let cookie = format!("{COOKIE}=; Path=/; HttpOnly; SameSite=Strict; Max-Age=0");
    (StatusCode::NO_CONTENT, AppendHeaders([(header::SET_COOKIE, cookie)]))
}
