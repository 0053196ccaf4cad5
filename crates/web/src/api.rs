//! What the pages show, as JSON, and the demo's keys.

use crate::app::{App, Who};
use crate::boards;
use crate::error::WebError;
use axum::Json;
use axum::extract::rejection::JsonRejection;
use axum::extract::{Path, State};
use ovenfall_store::DayId;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::sync::Arc;

/// `GET /api/days/{day}/board`: what is told of a day, as last computed; null where that is still under way.
///
/// # Errors
/// What the store says.
pub async fn board(State(app): State<App>, Path(day): Path<String>, Who(_): Who) -> Result<Json<Value>, WebError> {
    let day = DayId::new(&day)?;
    let of = day.clone();
    app.on_disk(move |store| Ok(store.oven_of(&of)?)).await?;
    let Some(board) = boards::last(&app, &day).await? else {
        app.boards.ask(&day);
        return Ok(Json(Value::Null));
    };
    serde_json::to_value(&board.board).map(Json).map_err(|error| WebError::Unfinished(error.to_string()))
}

/// What may be done with the demo.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Key {
    /// Halt its clock.
    Halt,
    /// Let it run on.
    Go,
    /// Begin its day again.
    Again,
}

/// What is asked of the demo.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoKey {
    key: Key,
}

/// How the demo stands.
#[derive(Debug, Serialize)]
pub struct DemoStands {
    /// What its clock says, Unix time in ms.
    at_ms: i64,
    /// How fast it runs.
    speed_factor: f64,
}

/// `POST /api/demo`: halts the demo's clock, lets it run on, or begins its day again.
///
/// # Errors
/// [`WebError::NoSuchPage`] where there is no demo.
pub async fn demo(
    State(app): State<App>,
    Who(_): Who,
    sent: Result<Json<DemoKey>, JsonRejection>,
) -> Result<Json<DemoStands>, WebError> {
    let Json(DemoKey { key }) = sent?;
    let demo = app.demo.clone().ok_or(WebError::NoSuchPage)?;
    let now = app.now();
    let of = Arc::clone(&demo);
    match key {
        Key::Halt => demo.run(false),
        Key::Go => demo.run(true),
        Key::Again => app.on_disk(move |store| of.again(store, now).map(|_| ())).await?,
    }
    app.live.wake();
    let playing = demo.playing();
    Ok(Json(DemoStands { at_ms: playing.at_ms, speed_factor: playing.speed_factor }))
}
