//! The pages: one file each, in a common shell. They are whole without a script where they only tell; writing down needs one.

pub mod days;
pub mod dish;
pub mod first;
pub mod menu;
pub mod now;
pub mod oven;
pub mod oven_fields;
pub mod ovens;
pub mod pair;
pub mod screens;
pub mod shell;
pub mod write_down;

use crate::app::{App, PageWho};
use crate::error::WebError;
use axum::extract::State;
use axum::response::Redirect;
use ovenfall_record::oven_file::read_oven;
use ovenfall_store::{DayId, OvenId};
use shell::{OvenHead, Place};

/// What the head of a page says of an oven.
///
/// # Errors
/// When there is no such oven, or what the store says.
pub async fn head_of(app: &App, oven: &OvenId) -> Result<OvenHead, WebError> {
    let of = oven.clone();
    let (text, days) = app.on_disk(move |store| Ok((store.oven_text(&of)?, store.days(&of)?))).await?;
    let file = read_oven(&format!("{oven}.toml"), &text).map_err(ovenfall_store::StoreError::Problems)?;
    let zone = file.time_zone.iana_name().unwrap_or("UTC").to_owned();
    let today = app.now().to_zoned_datetime(file.time_zone.clone()).date();
    let taken = |id: &String| days.iter().any(|day| day.day.as_str() == id);
    let new_day = (1..).map(|n| if n == 1 { format!("{oven}-{today}") } else { format!("{oven}-{today}-{n}") });
    let new_day = new_day.into_iter().find(|id| !taken(id)).unwrap_or_default();
    let day = days.into_iter().next().map(|day| day.day);
    let playing = app.demo.as_ref().filter(|demo| demo.oven() == oven).map(|demo| demo.playing());
    Ok(OvenHead { oven: oven.clone(), name: file.description.name, zone, day, new_day, playing })
}

/// The head of a page about a day, whether it is the latest or not.
///
/// # Errors
/// When there is no such day, or what the store says.
pub async fn head_of_day(app: &App, day: &DayId) -> Result<OvenHead, WebError> {
    let of = day.clone();
    let oven = app.on_disk(move |store| Ok(store.oven_of(&of)?)).await?;
    Ok(OvenHead { day: Some(day.clone()), ..head_of(app, &oven).await? })
}

/// `GET /`: the oven written of last, else the demo, else the first run.
///
/// # Errors
/// What the store says.
pub async fn front(State(app): State<App>, PageWho(_): PageWho) -> Result<Redirect, WebError> {
    let demo = app.demo.as_ref().map(|demo| demo.oven().clone());
    let of = demo.clone();
    let own = app
        .on_disk(move |store| {
            let mut latest: Option<(String, OvenId)> = None;
            for oven in store.ovens()?.into_iter().filter(|oven| Some(&oven.oven) != of.as_ref()) {
                let begun =
                    store.days(&oven.oven)?.into_iter().next().map_or_else(|| oven.written.clone(), |day| day.created);
                if latest.as_ref().is_none_or(|(last, _)| begun > *last) {
                    latest = Some((begun, oven.oven));
                }
            }
            Ok(latest)
        })
        .await?;
    let oven = own.map(|(_, oven)| oven).or(demo);
    Ok(Redirect::to(&oven.map_or_else(|| "/first".to_owned(), |oven| Place::Now.address(&oven))))
}
