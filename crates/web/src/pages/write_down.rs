//! Write down: the place tapped on a drawing of this oven or a round of readings, a pad of large keys, everything that
//! is done at an oven. The markup is here; `write.js` moves it.

use super::shell::OvenHead;
use crate::app::App;
use crate::error::WebError;
use jiff::tz::TimeZone;
use maud::{Markup, PreEscaped, html};
use ovenfall_draw::theme::{Look, Mode};
use ovenfall_draw::touch_oven::{self, TouchOven};
use ovenfall_record::day::{Day, Done, What};
use ovenfall_record::oven_file::read_oven;
use ovenfall_record::pots_file::read_pots;
use ovenfall_record::reading::{Reading, Spot};
use ovenfall_store::{Store, StoreError};
use serde::Serialize;
use std::collections::BTreeMap;

/// Width of the drawing that is tapped, px.
const TOUCH_PX: f64 = 366.0;

/// What a round asks for, in its order.
const ROUND: [Spot; 6] =
    [Spot::FloorBack, Spot::FloorCentre, Spot::FloorFront, Spot::Crown, Spot::FireSide, Spot::FarSide];

/// A dish of the day.
#[derive(Debug, Serialize)]
struct DishState {
    name: String,
    /// Whether it is in the oven.
    inside: bool,
    /// Whether it has been in.
    been: bool,
}

/// What the script needs to know of the day.
#[derive(Debug, Serialize)]
struct Known {
    dishes: Vec<DishState>,
    /// The last value read at each place, °C, to step from.
    last_c: BTreeMap<String, f64>,
    /// The last feed of wood, and its unit.
    last_wood: Option<(f64, &'static str)>,
    /// Whether a fire or embers may be in.
    fire_in: bool,
    /// The places of a round.
    round: [&'static str; 6],
}

/// What the script needs to know of the day, as a block of JSON.
///
/// # Errors
/// What the store says.
pub async fn data(app: &App, head: &OvenHead) -> Result<Markup, WebError> {
    let known = match head.day.clone() {
        Some(day) => {
            let (written, pots) = app.on_disk(move |store| Ok((store.day(&day)?, store.pots_text(&day)?))).await?;
            let names = match pots {
                Some(text) => {
                    let pots = read_pots("pots", &text).map_err(StoreError::Problems)?;
                    pots.dishes.into_iter().map(|dish| dish.sheet.name).collect()
                }
                None => Vec::new(),
            };
            known(&written, names)
        }
        None => known(&Day::default(), Vec::new()),
    };
    let json = serde_json::to_string(&known).map_err(|error| WebError::Unfinished(error.to_string()))?;
    // A name may hold anything: nothing in it may end the block.
    let json = json.replace('<', "\\u003c");
    Ok(html! { script type="application/json" id="known" { (PreEscaped(json)) } })
}

fn known(day: &Day, names: Vec<String>) -> Known {
    let mut known = Known {
        dishes: names.into_iter().map(|name| DishState { name, inside: false, been: false }).collect(),
        last_c: BTreeMap::new(),
        last_wood: None,
        fire_in: false,
        round: ROUND.map(Spot::name),
    };
    for entry in day.standing() {
        match &entry.what {
            What::Done(done) => known.done(done),
            What::Reading(reading) => known.read(reading),
            What::Strike { .. } => {}
        }
    }
    known
}

impl Known {
    fn dish(&mut self, name: &str, inside: bool) {
        match self.dishes.iter_mut().find(|dish| dish.name == name) {
            Some(dish) => (dish.inside, dish.been) = (inside, true),
            None => self.dishes.push(DishState { name: name.to_owned(), inside, been: true }),
        }
    }

    fn done(&mut self, done: &Done) {
        match done {
            Done::WoodOn { amount, .. } => {
                use ovenfall_record::day::WoodAmount::{Baskets, Weighed};
                self.fire_in = true;
                self.last_wood = Some(match amount {
                    Weighed(mass) => (mass.kg(), "kg"),
                    Baskets { count, .. } => (*count, "baskets"),
                });
            }
            Done::RakedOut => self.fire_in = false,
            Done::Placed { dish } => self.dish(dish, true),
            Done::TakenOut { dish } => self.dish(dish, false),
            _ => {}
        }
    }

    fn read(&mut self, reading: &Reading) {
        let place = match reading {
            Reading::Spot { spot, .. } => spot.name().to_owned(),
            Reading::Probe { .. } => "probe".to_owned(),
            Reading::Outdoor { .. } => "outdoor".to_owned(),
            Reading::Core { dish, .. } => format!("core {dish}"),
            Reading::Liquid { dish, .. } => format!("liquid {dish}"),
            Reading::Masonry { .. } | Reading::HandCount { .. } => return,
        };
        if let Some(temperature) = reading.temperature() {
            self.last_c.insert(place, temperature.c());
        }
    }
}

/// The drawing of this oven that is tapped, with what was last read at each place.
///
/// # Errors
/// What the store says.
pub async fn touch(app: &App, head: &OvenHead) -> Result<Markup, WebError> {
    let (oven, day) = (head.oven.clone(), head.day.clone());
    let read = move |store: &Store| {
        let day = day.map(|day| store.day(&day)).transpose()?.unwrap_or_default();
        Ok((store.oven_text(&oven)?, day))
    };
    let (text, day) = app.on_disk(read).await?;
    let file = read_oven(&format!("{}.toml", head.oven), &text).map_err(StoreError::Problems)?;
    let shown = TouchOven { last_read: last_read(&day, &file.time_zone), ..TouchOven::default() };
    let look = Look::new(TOUCH_PX, Mode::Page, "touch").without_heading();
    Ok(PreEscaped(touch_oven::svg(&file.description, &shown, &look)))
}

/// What was last read at each place, and when: the latest stands.
fn last_read(day: &Day, zone: &TimeZone) -> Vec<(String, String)> {
    let mut last: BTreeMap<&str, String> = BTreeMap::new();
    for entry in day.standing() {
        let place = match entry.reading() {
            Some(Reading::Spot { spot, .. }) => spot.name(),
            Some(Reading::Probe { .. }) => "probe",
            _ => continue,
        };
        if let Some(temperature) = entry.reading().and_then(Reading::temperature) {
            let hour = entry.at.instant.to_zoned_datetime(zone.clone()).strftime("%H:%M").to_string();
            last.insert(place, format!("{:.0}°, {hour}", temperature.c()));
        }
    }
    last.into_iter().map(|(place, words)| (place.to_owned(), words)).collect()
}

/// A key that begins an entry of a kind.
fn key(kind: &str, words: &str) -> Markup {
    html! { button.key type="button" data-kind=(kind) { (words) } }
}

/// The sheet that entries are written on.
#[must_use]
pub fn sheet(touch: &Markup, data: &Markup) -> Markup {
    html! {
        section.sheet id="sheet" role="dialog" aria-modal="true" aria-labelledby="sheet-title" hidden {
            header.sheet-head {
                button.key type="button" id="sheet-back" { "Back" }
                h2 id="sheet-title" tabindex="-1" { "Write down" }
                span.reach data-reach="short" hidden {}
            }
            p.said id="sheet-said" role="status" {}
            div id="choose" {
                fieldset.choices {
                    legend { "What is to be written down" }
                    label.choice { input type="radio" name="page" value="read" checked; span { "Read" } }
                    label.choice { input type="radio" name="page" value="done"; span { "Done" } }
                }
                div id="page-read" {
                div.keys {
                    (key("round", "A round"))
                    (key("probe", "Probe"))
                    (key("core", "Core"))
                    (key("liquid", "Liquid"))
                    (key("hand count", "Hand count"))
                    (key("outdoor", "Outdoors"))
                }
                p { "Or tap the place on the oven:" }
                div.touch id="touch" { (touch) }
                }
                div.keys id="page-done" hidden {
                    (key("door", "Door"))
                    (key("placed", "Put in"))
                    (key("taken out", "Taken out"))
                    (key("turned", "Turned"))
                    (key("topped up", "Topped up"))
                    (key("wood on", "Wood on"))
                    (key("fire moved", "Fire moved"))
                    (key("embers spread", "Embers spread"))
                    (key("raked out", "Raked out"))
                    (key("swept", "Swept"))
                    (key("swabbed", "Swabbed"))
                }
                form.who id="who" {
                    label for="who-name" { "Who writes on this screen" }
                    input id="who-name" name="who" maxlength="40" autocomplete="off";
                    button.key type="submit" { "Keep" }
                }
            }
            form id="entry" hidden novalidate {}
        }
        (data)
    }
}
