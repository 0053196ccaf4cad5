//! Ovens and their days.

use crate::app::{App, Who};
use crate::error::WebError;
use axum::Json;
use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::IntoResponse;
use ovenfall_store::{DayId, OvenId};
use serde::Serialize;

/// An oven in a list.
#[derive(Debug, Serialize)]
pub struct OvenRow {
    oven: String,
    written: String,
    who: String,
}

/// A day in a list.
#[derive(Debug, Serialize)]
pub struct DayRow {
    day: String,
    created: String,
    entries: u32,
}

/// `GET /api/ovens`.
///
/// # Errors
/// What the store says.
pub async fn list(State(app): State<App>, Who(_): Who) -> Result<Json<Vec<OvenRow>>, WebError> {
    let ovens = app.on_disk(|store| Ok(store.ovens()?)).await?;
    let row =
        |oven: ovenfall_store::OvenText| OvenRow { oven: oven.oven.to_string(), written: oven.written, who: oven.who };
    Ok(Json(ovens.into_iter().map(row).collect()))
}

/// `GET /api/ovens/{oven}`: the text of its oven file.
///
/// # Errors
/// What the store says.
pub async fn text(
    State(app): State<App>,
    Path(oven): Path<String>,
    Who(_): Who,
) -> Result<impl IntoResponse, WebError> {
    let oven = OvenId::new(&oven)?;
    let text = app.on_disk(move |store| Ok(store.oven_text(&oven)?)).await?;
    Ok(([(header::CONTENT_TYPE, "text/plain; charset=utf-8")], text))
}

/// `PUT /api/ovens/{oven}`: a new oven, or a correction of one that is there.
///
/// # Errors
/// Every problem of the text, or what the store says.
pub async fn write(
    State(app): State<App>,
    Path(oven): Path<String>,
    Who(who): Who,
    text: String,
) -> Result<StatusCode, WebError> {
    let (oven, now) = (OvenId::new(&oven)?, app.now());
    app.on_disk(move |store| Ok(store.write_oven(&oven, &text, &who, now)?)).await?;
    app.live.wake();
    Ok(StatusCode::NO_CONTENT)
}

/// `GET /api/ovens/{oven}/days`, the latest first.
///
/// # Errors
/// What the store says.
pub async fn days(
    State(app): State<App>,
    Path(oven): Path<String>,
    Who(_): Who,
) -> Result<Json<Vec<DayRow>>, WebError> {
    let oven = OvenId::new(&oven)?;
    let days = app.on_disk(move |store| Ok(store.days(&oven)?)).await?;
    let row = |day: ovenfall_store::DaySummary| DayRow {
        day: day.day.to_string(),
        created: day.created,
        entries: day.entries,
    };
    Ok(Json(days.into_iter().map(row).collect()))
}

/// `POST /api/ovens/{oven}/days/{day}`: begins a day.
///
/// # Errors
/// What the store says.
pub async fn begin_day(
    State(app): State<App>,
    Path((oven, day)): Path<(String, String)>,
    Who(_): Who,
) -> Result<StatusCode, WebError> {
    let (oven, day, now) = (OvenId::new(&oven)?, DayId::new(&day)?, app.now());
    app.on_disk(move |store| Ok(store.begin_day(&day, &oven, now)?)).await?;
    Ok(StatusCode::NO_CONTENT)
}
