//! A day's entries: sent in once each, and read out as they are.

use crate::app::{App, Who};
use crate::error::WebError;
use axum::Json;
use axum::extract::rejection::JsonRejection;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::IntoResponse;
use ovenfall_record::day::Entry;
use ovenfall_record::day_file::read_entry;
use ovenfall_store::{Appended, DayId};
use serde::{Deserialize, Serialize};

/// An entry as a screen sends it: the fields of a row of the day file.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sent {
    id: String,
    at: String,
    #[serde(default)]
    written: String,
    kind: String,
    #[serde(default)]
    what: String,
    #[serde(default)]
    value: String,
    #[serde(default)]
    unit: String,
    #[serde(default)]
    note: String,
    #[serde(default)]
    strikes: String,
}

impl Sent {
    fn entry(&self, number: usize) -> Result<Entry, WebError> {
        let fields = [
            &self.id,
            &self.at,
            &self.written,
            &self.kind,
            &self.what,
            &self.value,
            &self.unit,
            &self.note,
            &self.strikes,
        ];
        read_entry(&fields.map(String::as_str)).map_err(|problems| WebError::Fields { entry: number, problems })
    }
}

/// What became of one entry.
#[derive(Debug, Serialize)]
pub struct Received {
    id: String,
    /// Whether it was there already.
    known_already: bool,
}

/// `POST /api/days/{day}/entries`: a list of entries, taken all or none; sent again, each is still there once.
///
/// # Errors
/// [`WebError::Fields`] with the field that is wrong, or what the store says.
pub async fn append(
    State(app): State<App>,
    Path(day): Path<String>,
    Who(who): Who,
    sent: Result<Json<Vec<Sent>>, JsonRejection>,
) -> Result<Json<Vec<Received>>, WebError> {
    let Json(sent) = sent?;
    let day = DayId::new(&day)?;
    let entries = sent.iter().enumerate().map(|(i, sent)| sent.entry(i)).collect::<Result<Vec<_>, _>>()?;
    let now = app.now();
    let ids: Vec<String> = entries.iter().map(|entry| entry.id.clone()).collect();
    let became = app.on_disk(move |store| Ok(store.append(&day, &entries, &who, now)?)).await?;
    if became.contains(&Appended::Added) {
        app.live.wake();
    }
    let received = ids.into_iter().zip(became);
    let of = |(id, became)| Received { id, known_already: became == Appended::KnownAlready };
    Ok(Json(received.map(of).collect()))
}

/// `GET /api/days/{day}`: the day as the text of a day file.
///
/// # Errors
/// What the store says.
pub async fn day(State(app): State<App>, Path(day): Path<String>, Who(_): Who) -> Result<impl IntoResponse, WebError> {
    let day = DayId::new(&day)?;
    let text = app.on_disk(move |store| Ok(store.day_text(&day)?)).await?;
    Ok(([(header::CONTENT_TYPE, "text/csv; charset=utf-8")], text))
}
