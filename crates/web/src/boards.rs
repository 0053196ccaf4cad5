//! What is computed of a day: the board of the page Now, and the menu. One computation at a time, on all cores; boards go
//! first.

use crate::answers::{Answers, Numbered};
use crate::app::App;
use crate::error::WebError;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use ovenfall_answer::{AnswerError, Board, Draw, InputText, Inputs, MenuBoard, wall_clock};
use ovenfall_food::dish::{Dish, standard};
use ovenfall_record::day::Day;
use ovenfall_store::{DayId, Provenance, Store, StoreError};
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::sync::{Arc, LazyLock};
use tokio::sync::Notify;

/// An entry written by a clock that is ahead by up to this is known already, s.
const CLOCK_AHEAD_S: i64 = 120;
/// What members are drawn with.
pub const DRAW: Draw = Draw { members: 256, seed: 1, readings: true };

/// The dishes that are known, read once; the text is built in.
pub static DISHES: LazyLock<Vec<Dish>> = LazyLock::new(|| standard().unwrap_or_default());

/// Something that is computed of a day.
pub trait OfDay: Serialize + DeserializeOwned + Send + Sync + Sized + 'static {
    /// The kind under which it is kept.
    const KIND: &'static str;
    /// It is computed anew when it is older than this and somebody watches, s on the day's clock.
    const STALE_S: i64;

    /// Computes it.
    ///
    /// # Errors
    /// When the day cannot be computed.
    fn compute(inputs: Inputs, at: jiff::ZonedDateTime) -> Result<Self, AnswerError>;

    /// What is told where it cannot be computed.
    fn stopped(now: Timestamp, reasons: &[String]) -> Self;

    /// Hash of what it was computed from, and on how many members.
    fn provenance(&self) -> (&str, usize);

    /// Where answers of this kind are.
    fn answers(app: &App) -> &Answers<Self>;
}

impl OfDay for Board {
    const KIND: &'static str = "board";
    const STALE_S: i64 = 300;

    fn compute(inputs: Inputs, at: jiff::ZonedDateTime) -> Result<Self, AnswerError> {
        Self::compute(inputs, at, &DISHES, DRAW)
    }

    fn stopped(now: Timestamp, reasons: &[String]) -> Self {
        Self::stopped(&now.to_zoned_datetime(TimeZone::UTC), reasons, DRAW)
    }

    fn provenance(&self) -> (&str, usize) {
        (&self.input_sha256, self.members)
    }

    fn answers(app: &App) -> &Answers<Self> {
        &app.boards
    }
}

impl OfDay for MenuBoard {
    const KIND: &'static str = "menu";
    const STALE_S: i64 = 900;

    fn compute(inputs: Inputs, at: jiff::ZonedDateTime) -> Result<Self, AnswerError> {
        Self::compute(inputs, at, &DISHES, DRAW)
    }

    fn stopped(now: Timestamp, reasons: &[String]) -> Self {
        Self::stopped(&now.to_zoned_datetime(TimeZone::UTC), reasons, DRAW)
    }

    fn provenance(&self) -> (&str, usize) {
        (&self.input_sha256, self.members)
    }

    fn answers(app: &App) -> &Answers<Self> {
        &app.menus
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
        last_entry: store.last_entry(day)?,
        day: text("the day".to_owned(), store.day_text(day)?),
    })
}

impl Texts {
    fn inputs(&self) -> Result<Inputs, AnswerError> {
        Inputs::from_texts(&self.oven, &self.day, self.pots.as_ref())
    }
}

/// Oven, day and pots of a day.
///
/// # Errors
/// When texts are missing or do not go together.
pub fn inputs(store: &Store, day: &DayId) -> Result<Inputs, WebError> {
    Ok(texts(store, day)?.inputs()?)
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

/// Whether an answer is too old for a day's clock.
#[must_use]
pub fn is_stale<T: OfDay>(answer: &Numbered<T>, now: Timestamp) -> bool {
    now.duration_since(answer.at).abs() >= SignedDuration::from_secs(T::STALE_S)
}

/// Computes an answer for a day; `None` where the last one still holds.
fn compute<T: OfDay>(
    store: &Store,
    day: &DayId,
    now: Timestamp,
    last: Option<&Numbered<T>>,
) -> Result<Option<(T, Timestamp)>, WebError> {
    let texts = texts(store, day)?;
    let inputs = texts.inputs();
    let holds =
        |inputs: &Inputs, last: &Numbered<T>| last.answer.provenance().0 == inputs.sha256 && !is_stale(last, now);
    if last.zip(inputs.as_ref().ok()).is_some_and(|(last, inputs)| holds(inputs, last)) {
        return Ok(None);
    }
    let computed = inputs.and_then(|inputs| {
        let at = hour(&inputs.day, now).to_zoned_datetime(wall_clock::zone(&inputs));
        T::compute(inputs, at.clone()).map(|answer| (answer, at.timestamp()))
    });
    let (answer, at) = match computed {
        Ok(computed) => computed,
        Err(why) => (T::stopped(now, &reasons(&why)), now),
    };
    keep(store, day, &answer, at, texts.last_entry)?;
    Ok(Some((answer, at)))
}

fn reasons(why: &AnswerError) -> Vec<String> {
    match why {
        AnswerError::Problems(problems) => problems.iter().map(ovenfall_answer::board::problem).collect(),
        other => vec![other.to_string().trim_start_matches("error: ").to_owned()],
    }
}

fn keep<T: OfDay>(store: &Store, day: &DayId, answer: &T, at: Timestamp, last_entry: i64) -> Result<(), WebError> {
    let (input_sha256, members) = answer.provenance();
    let from = Provenance {
        program_version: env!("CARGO_PKG_VERSION").to_owned(),
        input_sha256: input_sha256.to_owned(),
        last_entry,
        members: u32::try_from(members).unwrap_or(u32::MAX),
        seed: i64::try_from(DRAW.seed).unwrap_or(i64::MAX),
    };
    let body = serde_json::to_string(answer).map_err(|error| WebError::Unfinished(error.to_string()))?;
    store.keep_result(day, (T::KIND, at, &body), &from, at)?;
    Ok(())
}

/// The last answer for a day: of this run, or the one kept in the data file by an earlier run of this version.
///
/// # Errors
/// When the data file cannot be read.
pub async fn last<T: OfDay>(app: &App, day: &DayId) -> Result<Option<Arc<Numbered<T>>>, WebError> {
    if let Some(answer) = T::answers(app).last(day) {
        return Ok(Some(answer));
    }
    let of = day.clone();
    let kept = app.on_disk(move |store| Ok(store.last_result(&of, T::KIND)?)).await?;
    let kept = kept.filter(|kept| kept.from.program_version == env!("CARGO_PKG_VERSION"));
    let read = kept.and_then(|kept| Some((serde_json::from_str(&kept.body).ok()?, kept.at.parse().ok()?)));
    Ok(read.map(|(answer, at)| T::answers(app).keep(day, answer, at)))
}

/// The last answer for a day; a new one is asked for where it is stale.
///
/// # Errors
/// When the data file cannot be read.
pub async fn last_and_ask<T: OfDay>(app: &App, day: &DayId) -> Result<Option<Arc<Numbered<T>>>, WebError> {
    let answer = last::<T>(app, day).await?;
    if answer.as_ref().is_none_or(|answer| is_stale(answer, app.now_on(day))) {
        T::answers(app).ask(day);
    }
    Ok(answer)
}

async fn answer<T: OfDay>(app: &App, day: DayId) {
    let (of, now, last) = (day.clone(), app.now_on(&day), T::answers(app).last(&day));
    // What cannot be computed for want of the disk is asked for again by whoever watches.
    if let Ok(Some((computed, at))) = app.on_disk(move |store| compute(store, &of, now, last.as_deref())).await {
        T::answers(app).keep(&day, computed, at);
        app.live.wake();
    }
}

/// Computes answers as they are asked for, for as long as the server runs.
pub async fn run(app: App, asked: Arc<Notify>) {
    loop {
        if let Some(day) = app.boards.next() {
            answer::<Board>(&app, day).await;
        } else if let Some(day) = app.menus.next() {
            answer::<MenuBoard>(&app, day).await;
        } else {
            asked.notified().await;
        }
    }
}
