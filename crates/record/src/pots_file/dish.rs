//! One dish of a pots file.

use super::table::{LENGTH, Limits, MASS, TEMPERATURE, Table};
use crate::pots::{DishSheet, Pieces};
use crate::vessels::Vessels;
use crate::wording::short;
use jiff::civil::Time;
use ovenfall_food::properties::{Composition, Food, food_named};

/// Every key a dish may have, in the order they are written.
pub const DISH_KEYS: [&str; 16] = [
    "name",
    "kind",
    "wanted",
    "pot",
    "pot_kg",
    "lid",
    "trivet",
    "diameter_cm",
    "height_cm",
    "liquid_kg",
    "solid_kg",
    "pieces",
    "piece_cm",
    "start_c",
    "mostly",
    "composition_percent",
];

/// Keys of a composition, in the order of [`Composition::shares`].
pub const COMPOSITION_KEYS: [&str; 6] = ["water", "protein", "fat", "carbohydrate", "fiber", "ash"];

const POT_KG: Limits = Limits { min: 0.01, max: 60.0, unit: "kg" };
const SIZE_CM: Limits = Limits { min: 1.0, max: 150.0, unit: "cm" };
const CONTENTS_KG: Limits = Limits { min: 0.0, max: 60.0, unit: "kg" };
const PIECE_CM: Limits = Limits { min: 0.1, max: 60.0, unit: "cm" };
/// Frozen food is not computed.
const START_C: Limits = Limits { min: 0.0, max: 100.0, unit: "°C" };
const PERCENT: Limits = Limits { min: 0.0, max: 100.0, unit: "%" };

/// Reads one dish; what is wrong is noted, and the value then left unknown.
pub fn read_dish(table: &mut Table<'_, '_>, vessels: &Vessels, foods: &[Food]) -> DishSheet {
    table.known_keys(&DISH_KEYS);
    DishSheet {
        name: read_name(table),
        kind: table.text("kind").filter(|kind| !kind.is_empty()),
        wanted: read_wanted(table),
        pot: read_pot(table, vessels),
        pot_kg: table.number("pot_kg", POT_KG, Some(MASS)),
        lid: table.yes_no("lid"),
        trivet: table.yes_no("trivet"),
        diameter_cm: table.number("diameter_cm", SIZE_CM, Some(LENGTH)),
        height_cm: table.number("height_cm", SIZE_CM, Some(LENGTH)),
        liquid_kg: table.number("liquid_kg", CONTENTS_KG, Some(MASS)),
        solid_kg: table.number("solid_kg", CONTENTS_KG, Some(MASS)),
        pieces: table.one_of("pieces", &Pieces::NAMES),
        piece_cm: table.number("piece_cm", PIECE_CM, Some(LENGTH)),
        start_c: table.number("start_c", START_C, Some(TEMPERATURE)),
        mostly: read_mostly(table, foods),
        composition_percent: read_composition(table),
    }
}

fn read_name(table: &mut Table<'_, '_>) -> String {
    let name = table.text("name").unwrap_or_default();
    let legal = name.chars().count() <= 80 && !name.chars().any(|c| c.is_control() || c == '@');
    if name.is_empty() {
        let what = if table.has("name") { "the name is empty" } else { "the dish has no name" };
        table.error_at_key("name", what.into(), None, Some("the entries of the day call it by its name".into()));
    } else if !legal {
        let limits = Some("up to 80 characters on one line, without `@`".to_owned());
        table.error_at_key("name", format!("the name `{}` cannot be used", short(&name)), limits, None);
    }
    name
}

fn read_wanted(table: &mut Table<'_, '_>) -> Option<Time> {
    let text = table.text("wanted")?;
    let read = text.split_once(':').and_then(|(hour, minute)| {
        let two = |part: &str| (part.len() <= 2).then(|| part.parse::<i8>().ok()).flatten();
        Time::new(two(hour)?, two(minute)?, 0, 0).ok()
    });
    if read.is_none() {
        let limits = Some("hour and minute of the wall clock, as \"18:30\"".to_owned());
        table.error_at_key("wanted", format!("`{}` is not a time of day", short(&text)), limits, None);
    }
    read
}

fn read_pot(table: &mut Table<'_, '_>, vessels: &Vessels) -> Option<String> {
    let text = table.text("pot")?;
    if vessels.named(&text).is_none() {
        let names: Vec<&str> = vessels.vessel.iter().map(|vessel| vessel.name.as_str()).collect();
        table.unknown_word("pot", &text, &names);
        return None;
    }
    Some(text)
}

fn read_mostly(table: &mut Table<'_, '_>, foods: &[Food]) -> Option<String> {
    let text = table.text("mostly")?;
    if food_named(foods, &text).is_none() {
        let names: Vec<&str> = foods.iter().map(|food| food.name.as_str()).collect();
        table.unknown_word("mostly", &text, &names);
        return None;
    }
    Some(text)
}

fn read_composition(table: &mut Table<'_, '_>) -> Option<[f64; 6]> {
    let mut percent = None;
    table.sub_table("composition_percent", &mut |parts| {
        parts.known_keys(&COMPOSITION_KEYS);
        percent = Some(COMPOSITION_KEYS.map(|key| parts.number(key, PERCENT, None).unwrap_or(0.0)));
    });
    let percent = percent?;
    if Composition::from_percent(percent).is_none() {
        let sum: f64 = percent.iter().sum();
        let limits = Some("the parts sum to 90 to 110 %".to_owned());
        table.error_at_key("composition_percent", format!("the parts sum to {sum:.1} %"), limits, None);
        return None;
    }
    Some(percent)
}
