//! A day's entries: sent in once each, read out as they are, and live.

use crate::app::{App, Who};
use crate::error::WebError;
use axum::Json;
use axum::extract::rejection::JsonRejection;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, header};
use axum::response::IntoResponse;
use axum::response::sse::{Event, KeepAlive, Sse};
use futures_core::Stream;
use ovenfall_record::day::Entry;
use ovenfall_record::day_file::read_entry;
use ovenfall_store::{Appended, DayId, Kept};
use serde::{Deserialize, Serialize};
use std::convert::Infallible;
use std::time::Duration;

/// How often a silent stream says that it is still there.
const STILL_THERE: Duration = Duration::from_secs(15);

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

/// News of a day as it is sent.
#[derive(Debug, Serialize)]
struct News {
    id: String,
    came_in: String,
    who: String,
}

/// `GET /api/days/{day}/live`: news of the day as server-sent events. Each event has the number of its last entry as its id;
/// a screen that comes back sends it as `Last-Event-ID` and gets what it missed.
///
/// # Errors
/// What the store says.
pub async fn live(
    State(app): State<App>,
    Path(day): Path<String>,
    Who(_): Who,
    headers: HeaderMap,
) -> Result<Sse<impl Stream<Item = Result<Event, Infallible>>>, WebError> {
    let day = DayId::new(&day)?;
    let known = day.clone();
    app.on_disk(move |store| Ok(store.oven_of(&known)?)).await?;
    let last = headers.get("last-event-id").and_then(|value| value.to_str().ok());
    let mut after: i64 = last.and_then(|last| last.parse().ok()).unwrap_or(0);
    // Watched before the first look, so that nothing falls between look and watch.
    let mut watch = app.live.watch();
    let stream = async_stream::stream! {
        loop {
            watch.borrow_and_update();
            let of = day.clone();
            let new = app.on_disk(move |store| Ok(store.kept_after(&of, after)?)).await;
            match new {
                Ok(new) => {
                    if let Some(last) = new.last().map(|kept| kept.number) {
                        after = last;
                        yield Ok(event(&new, last));
                    }
                }
                // The screen asks again by itself, with the number of what it has.
                Err(_) => break,
            }
            if watch.changed().await.is_err() {
                break;
            }
        }
    };
    Ok(Sse::new(stream).keep_alive(KeepAlive::new().interval(STILL_THERE)))
}

fn event(new: &[Kept], last: i64) -> Event {
    let of = |kept: &Kept| News { id: kept.id.clone(), came_in: kept.came_in.clone(), who: kept.who.clone() };
    let news: Vec<News> = new.iter().map(of).collect();
    let body = serde_json::to_string(&news).unwrap_or_default();
    Event::default().event("entries").id(last.to_string()).data(body)
}
