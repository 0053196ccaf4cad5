//! Boards of the days that are watched, computed behind the pages: a page shows the last one at once and the next one
//! when it is there.
//!
//! One computation at a time, on all cores. What is asked for while it runs is computed once afterwards, however often it
//! was asked for.

use crate::app::App;
use crate::error::WebError;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use ovenfall_answer::{AnswerError, Board, Draw, InputText, Inputs, wall_clock};
use ovenfall_food::dish::{Dish, standard};
use ovenfall_record::day::Day;
use ovenfall_store::{DayId, Provenance, Store, StoreError};
use std::collections::HashMap;
use std::sync::{Arc, LazyLock, Mutex, MutexGuard, PoisonError};
use tokio::sync::Notify;

/// The kind under which boards are kept.
pub const KIND: &str = "board";
/// A board older than this is computed anew while somebody watches, s on the day's clock.
pub const STALE_S: i64 = 300;
/// An entry written by a clock that is ahead by up to this is known already, s.
const CLOCK_AHEAD_S: i64 = 120;
/// What members are drawn with.
const DRAW: Draw = Draw { members: 256, seed: 1, readings: true };

/// The dishes that are known, read once; the text is built in.
pub static DISHES: LazyLock<Vec<Dish>> = LazyLock::new(|| standard().unwrap_or_default());

/// A board with its place in the order of boards.
#[derive(Debug)]
pub struct Numbered {
    /// The board.
    pub board: Board,
    /// The hour it answers for.
    pub at: Timestamp,
    /// Rises with every board of the day.
    pub number: u64,
}

#[derive(Debug, Default)]
struct State {
    kept: HashMap<DayId, Arc<Numbered>>,
    asked: Vec<DayId>,
    number: u64,
}

/// Boards, and days that wait for one.
#[derive(Debug, Default)]
pub struct Boards {
    state: Mutex<State>,
    news: Notify,
}

impl Boards {
    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Asks for a board.
    pub fn ask(&self, day: &DayId) {
        let mut state = self.state();
        if !state.asked.contains(day) {
            state.asked.push(day.clone());
        }
        drop(state);
        self.news.notify_one();
    }

    /// The last board of a day.
    #[must_use]
    pub fn last(&self, day: &DayId) -> Option<Arc<Numbered>> {
        self.state().kept.get(day).cloned()
    }

    fn keep(&self, day: &DayId, board: Board, at: Timestamp) -> Arc<Numbered> {
        let mut state = self.state();
        state.number += 1;
        let numbered = Arc::new(Numbered { board, at, number: state.number });
        state.kept.insert(day.clone(), Arc::clone(&numbered));
        numbered
    }

    fn next(&self) -> Option<DayId> {
        let mut state = self.state();
        (!state.asked.is_empty()).then(|| state.asked.remove(0))
    }
}

/// Texts of a day and its oven, and the last entry's number.
struct Texts {
    oven: InputText,
    day: InputText,
    pots: Option<InputText>,
    last_entry: i64,
}

fn texts(store: &Store, day: &DayId) -> Result<Texts, StoreError> {
    let oven = store.oven_of(day)?;
    let text = |name: String, text: String| InputText { name, text };
    Ok(Texts {
        oven: text("the oven".to_owned(), store.oven_text(&oven)?),
        pots: store.pots_text(day)?.map(|pots| text("the pots".to_owned(), pots)),
        last_entry: store.kept_after(day, 0)?.last().map_or(0, |kept| kept.number),
        day: text("the day".to_owned(), store.day_text(day)?),
    })
}

/// The hour to answer for: now, or the last entry where its clock is a little ahead.
fn hour(day: &Day, now: Timestamp) -> Timestamp {
    let last = day.entries.iter().map(|entry| entry.written.instant).max();
    let ahead = |last: &Timestamp| {
        let by = last.duration_since(now);
        by > SignedDuration::ZERO && by <= SignedDuration::from_secs(CLOCK_AHEAD_S)
    };
    last.filter(ahead).unwrap_or(now)
}

/// The inputs of a day.
///
/// # Errors
/// When texts are missing or do not go together.
pub fn inputs(store: &Store, day: &DayId) -> Result<Inputs, WebError> {
    let texts = texts(store, day)?;
    Ok(Inputs::from_texts(&texts.oven, &texts.day, texts.pots.as_ref())?)
}

/// Computes the board of a day; `None` where the last one still holds.
fn compute(
    store: &Store,
    day: &DayId,
    now: Timestamp,
    last: Option<&Numbered>,
) -> Result<Option<(Board, Timestamp)>, WebError> {
    let texts = texts(store, day)?;
    let inputs = Inputs::from_texts(&texts.oven, &texts.day, texts.pots.as_ref());
    let holds = |inputs: &Inputs, last: &&Numbered| {
        last.board.input_sha256 == inputs.sha256
            && now.duration_since(last.at).abs() < SignedDuration::from_secs(STALE_S)
    };
    if last.zip(inputs.as_ref().ok()).is_some_and(|(last, inputs)| holds(inputs, &last)) {
        return Ok(None);
    }
    let computed = inputs.and_then(|inputs| {
        let at = hour(&inputs.day, now).to_zoned_datetime(wall_clock::zone(&inputs));
        Board::compute(inputs, at.clone(), &DISHES, DRAW).map(|board| (board, at.timestamp()))
    });
    let (board, at) = match computed {
        Ok(computed) => computed,
        Err(why) => (Board::stopped(&now.to_zoned_datetime(TimeZone::UTC), &reasons(&why), DRAW), now),
    };
    keep(store, day, &board, at, texts.last_entry)?;
    Ok(Some((board, at)))
}

fn reasons(why: &AnswerError) -> Vec<String> {
    match why {
        AnswerError::Problems(problems) => problems.iter().map(ovenfall_answer::board::problem).collect(),
        other => vec![other.to_string().trim_start_matches("error: ").to_owned()],
    }
}

fn keep(store: &Store, day: &DayId, board: &Board, at: Timestamp, last_entry: i64) -> Result<(), WebError> {
    let from = Provenance {
        program_version: env!("CARGO_PKG_VERSION").to_owned(),
        input_sha256: board.input_sha256.clone(),
        last_entry,
        members: u32::try_from(board.members).unwrap_or(u32::MAX),
        seed: i64::try_from(board.seed).unwrap_or(i64::MAX),
    };
    let body = serde_json::to_string(board).map_err(|error| WebError::Unfinished(error.to_string()))?;
    store.keep_result(day, (KIND, at, &body), &from, at)?;
    Ok(())
}

/// The last board of a day: of this run, or the one kept in the data file by an earlier run of this version.
///
/// # Errors
/// When the data file cannot be read.
pub async fn last(app: &App, day: &DayId) -> Result<Option<Arc<Numbered>>, WebError> {
    if let Some(board) = app.boards.last(day) {
        return Ok(Some(board));
    }
    let of = day.clone();
    let kept = app.on_disk(move |store| Ok(store.last_result(&of, KIND)?)).await?;
    let kept = kept.filter(|kept| kept.from.program_version == env!("CARGO_PKG_VERSION"));
    let read = kept.and_then(|kept| Some((serde_json::from_str(&kept.body).ok()?, kept.at.parse().ok()?)));
    Ok(read.map(|(board, at)| app.boards.keep(day, board, at)))
}

/// Computes boards as they are asked for, for as long as the server runs.
pub async fn run(app: App) {
    loop {
        let Some(day) = app.boards.next() else {
            app.boards.news.notified().await;
            continue;
        };
        let (of, now) = (day.clone(), app.now_on(&day));
        // What cannot be computed for want of the disk is asked for again by whoever watches.
        let last = app.boards.last(&day);
        if let Ok(Some((board, at))) = app.on_disk(move |store| compute(store, &of, now, last.as_deref())).await {
            app.boards.keep(&day, board, at);
            app.live.wake();
        }
    }
}
