//! A day as it goes on, to every screen that watches it: entries, boards, and a sign of life.

use crate::app::{App, Who};
use crate::boards::{OfDay, is_stale};
use crate::error::WebError;
use axum::extract::{Path, Query, State};
use axum::http::HeaderMap;
use axum::response::sse::{Event, Sse};
use futures_core::Stream;
use ovenfall_answer::{Board, MenuBoard};
use ovenfall_store::{DayId, Kept};
use serde::{Deserialize, Serialize};
use std::convert::Infallible;
use std::time::Duration;

/// How often a silent stream says that it is still there: a screen that hears nothing for three times as long takes the
/// server for lost.
const STILL_THERE: Duration = Duration::from_secs(4);

/// Screens that may watch at once; a kitchen has a handful.
const MOST_WATCHERS: usize = 256;

/// An entry that came in.
#[derive(Debug, Serialize)]
struct News {
    id: String,
    came_in: String,
    who: String,
}

/// What a screen watches besides.
#[derive(Debug, Default, Deserialize)]
pub struct Wants {
    /// Whether it shows the menu.
    #[serde(default)]
    menu: bool,
}

/// What the day's clock says.
#[derive(Debug, Serialize)]
struct Still {
    now_ms: i64,
    speed_factor: f64,
}

/// `GET /api/days/{day}/live`: news of the day as server-sent events.
///
/// `entries` carries what came in, with the number of its last entry as the event's id: a screen that comes back sends it as
/// `Last-Event-ID` and gets what it missed. `board` says that there is a new board. `still` is a sign of life with the
/// day's clock.
///
/// # Errors
/// What the store says.
pub async fn day(
    State(app): State<App>,
    Path(day): Path<String>,
    Query(wants): Query<Wants>,
    Who(_): Who,
    headers: HeaderMap,
) -> Result<Sse<impl Stream<Item = Result<Event, Infallible>>>, WebError> {
    let day = DayId::new(&day)?;
    let known = day.clone();
    app.on_disk(move |store| Ok(store.oven_of(&known)?)).await?;
    let last = headers.get("last-event-id").and_then(|value| value.to_str().ok());
    let mut after: i64 = last.and_then(|last| last.parse().ok()).unwrap_or(0);
    if app.live.watchers() >= MOST_WATCHERS {
        return Err(WebError::TooManyWatchers);
    }
    // Watched before the first look, so that nothing falls between look and watch.
    let mut watch = app.live.watch();
    let mut board = app.boards.last(&day).map_or(0, |board| board.number);
    let mut menu = app.menus.last(&day).map_or(0, |menu| menu.number);
    Ok(Sse::new(async_stream::stream! {
        yield Ok(still(&app, &day));
        loop {
            watch.borrow_and_update();
            let of = day.clone();
            // Where it cannot be read the screen asks again by itself, with the number of what it has.
            let Ok(new) = app.on_disk(move |store| Ok(store.kept_after(&of, after)?)).await else { break };
            if let Some(last) = new.last().map(|kept| kept.number) {
                after = last;
                app.boards.ask(&day);
                if wants.menu {
                    app.menus.ask(&day);
                }
                yield Ok(entries(&new, last));
            }
            if let Some(number) = newer::<Board>(&app, &day, board) {
                board = number;
                yield Ok(Event::default().event("board").data(number.to_string()));
            }
            if let Some(number) = newer::<MenuBoard>(&app, &day, menu).filter(|_| wants.menu) {
                menu = number;
                yield Ok(Event::default().event("menu").data(number.to_string()));
            }
            ask_if_stale::<Board>(&app, &day);
            if wants.menu {
                ask_if_stale::<MenuBoard>(&app, &day);
            }
            tokio::select! {
                changed = watch.changed() => if changed.is_err() { break },
                () = tokio::time::sleep(STILL_THERE) => yield Ok(still(&app, &day)),
            }
        }
    }))
}

/// Number of an answer that is newer than the one a screen has.
fn newer<T: OfDay>(app: &App, day: &DayId, has: u64) -> Option<u64> {
    T::answers(app).last(day).map(|newest| newest.number).filter(|number| *number > has)
}

fn ask_if_stale<T: OfDay>(app: &App, day: &DayId) {
    if T::answers(app).last(day).is_none_or(|newest| is_stale(&newest, app.now_on(day))) {
        T::answers(app).ask(day);
    }
}

fn still(app: &App, day: &DayId) -> Event {
    let speed_factor =
        app.demo.as_ref().filter(|demo| demo.now_on(day).is_some()).map_or(1.0, |demo| demo.playing().speed_factor);
    json("still", &Still { now_ms: app.now_on(day).as_millisecond(), speed_factor })
}

fn entries(new: &[Kept], last: i64) -> Event {
    let of = |kept: &Kept| News { id: kept.id.clone(), came_in: kept.came_in.clone(), who: kept.who.clone() };
    json("entries", &new.iter().map(of).collect::<Vec<News>>()).id(last.to_string())
}

fn json(name: &str, what: &impl Serialize) -> Event {
    // What is sent is plain text and numbers, which JSON has.
    Event::default().event(name).data(serde_json::to_string(what).unwrap_or_default())
}
