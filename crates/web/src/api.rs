//! What the pages show, as JSON, and the demo's keys.

use crate::app::{App, Who};
use crate::boards;
use crate::error::WebError;
use axum::Json;
use axum::extract::rejection::JsonRejection;
use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::IntoResponse;
use jiff::Timestamp;
use ovenfall_answer::{Board, MenuBoard};
use ovenfall_store::{DayId, Store};
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
    let board = boards::last_and_ask::<Board>(&app, &day).await?;
    board.map_or(Ok(Json(Value::Null)), |board| as_json(&board.answer))
}

fn as_json(answer: &impl Serialize) -> Result<Json<Value>, WebError> {
    serde_json::to_value(answer).map(Json).map_err(|error| WebError::Unfinished(error.to_string()))
}

/// `GET /api/days/{day}/menu`: when the oven suits the dishes of a day, as last computed; null where that is still under
/// way.
///
/// # Errors
/// What the store says.
pub async fn menu(State(app): State<App>, Path(day): Path<String>, Who(_): Who) -> Result<Json<Value>, WebError> {
    let day = DayId::new(&day)?;
    let of = day.clone();
    app.on_disk(move |store| Ok(store.oven_of(&of)?)).await?;
    let menu = boards::last_and_ask::<MenuBoard>(&app, &day).await?;
    menu.map_or(Ok(Json(Value::Null)), |menu| as_json(&menu.answer))
}

/// `GET /api/days/{day}/pots`: the pots file of a day; empty where it has none.
///
/// # Errors
/// What the store says.
pub async fn pots(State(app): State<App>, Path(day): Path<String>, Who(_): Who) -> Result<impl IntoResponse, WebError> {
    let day = DayId::new(&day)?;
    let read = move |store: &Store| {
        store.oven_of(&day)?;
        Ok(store.pots_text(&day)?.unwrap_or_default())
    };
    Ok(([(header::CONTENT_TYPE, "text/plain; charset=utf-8")], app.on_disk(read).await?))
}

/// `PUT /api/days/{day}/pots`: the pots file of a day, or a correction of it.
///
/// # Errors
/// Every problem of the text, or what the store says.
pub async fn put_pots(
    State(app): State<App>,
    Path(day): Path<String>,
    Who(who): Who,
    text: String,
) -> Result<StatusCode, WebError> {
    let (day, now) = (DayId::new(&day)?, app.now());
    app.write_pots(day, text, who, now).await?;
    Ok(StatusCode::NO_CONTENT)
}

impl App {
    /// Writes the pots of a day, and has everything of that day computed anew.
    ///
    /// # Errors
    /// Every problem of the text, or what the store says.
    pub async fn write_pots(&self, day: DayId, text: String, who: String, now: Timestamp) -> Result<(), WebError> {
        let of = day.clone();
        self.on_disk(move |store| Ok(store.write_pots(&of, &text, &who, now)?)).await?;
        self.boards.ask(&day);
        self.menus.ask(&day);
        self.live.wake();
        Ok(())
    }
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
