//! Writes pots and dishes as the TOML that [`super::read_pots`] reads.

use super::SCHEMA_VERSION;
use super::dish::COMPOSITION_KEYS;
use crate::pots::{DishSheet, Pieces, Pots, WoodKind, WoodSheet};
use std::fmt::Write;

const DONT_KNOW: &str = "\"don't know\"";

/// The pots file. What nobody knows is written as "don't know".
#[must_use]
pub fn write_pots(pots: &Pots) -> String {
    let dishes = pots.dishes.iter().map(|dish| &dish.sheet);
    write_sheets(&pots.wood, dishes)
}

/// The pots file of sheets alone, for a program that makes one.
pub fn write_sheets<'a>(wood: &WoodSheet, dishes: impl IntoIterator<Item = &'a DishSheet>) -> String {
    let mut out = format!(
        "# Pots, dishes and wood of a day. \"don't know\" is allowed everywhere but for the name.\n\
         ovenfall = {SCHEMA_VERSION}\nkind = \"pots\"\n\n[wood]\n"
    );
    line(&mut out, "kind", Some(word(wood.kind, &WoodKind::NAMES)));
    line(&mut out, "moisture_percent", Some(number(wood.moisture_percent)));
    line(&mut out, "basket_kg", Some(number(wood.basket_kg)));
    line(&mut out, "dry_ncv_mj_kg", wood.dry_ncv_mj_kg.map(|ncv| number(Some(ncv))));
    for dish in dishes {
        write_dish(&mut out, dish);
    }
    out
}

fn write_dish(out: &mut String, dish: &DishSheet) {
    out.push_str("\n[[dish]]\n");
    line(out, "name", Some(text(&dish.name)));
    line(out, "kind", dish.kind.as_deref().map(text));
    line(out, "wanted", dish.wanted.map(|time| format!("\"{:02}:{:02}\"", time.hour(), time.minute())));
    line(out, "pot", Some(dish.pot.as_deref().map_or_else(|| DONT_KNOW.to_owned(), text)));
    line(out, "pot_kg", Some(number(dish.pot_kg)));
    line(out, "lid", Some(dish.lid.map_or_else(|| DONT_KNOW.to_owned(), |lid| lid.to_string())));
    line(out, "trivet", dish.trivet.map(|trivet| trivet.to_string()));
    line(out, "diameter_cm", Some(number(dish.diameter_cm)));
    line(out, "height_cm", Some(number(dish.height_cm)));
    line(out, "liquid_kg", Some(number(dish.liquid_kg)));
    line(out, "solid_kg", Some(number(dish.solid_kg)));
    line(out, "pieces", Some(word(dish.pieces, &Pieces::NAMES)));
    line(out, "piece_cm", dish.piece_cm.map(|cm| number(Some(cm))));
    line(out, "start_c", Some(number(dish.start_c)));
    line(out, "mostly", Some(dish.mostly.as_deref().map_or_else(|| DONT_KNOW.to_owned(), text)));
    if let Some(percent) = dish.composition_percent {
        let parts: Vec<String> =
            COMPOSITION_KEYS.iter().zip(percent).map(|(key, part)| format!("{key} = {}", number(Some(part)))).collect();
        line(out, "composition_percent", Some(format!("{{ {} }}", parts.join(", "))));
    }
}

fn line(out: &mut String, key: &str, value: Option<String>) {
    if let Some(value) = value {
        // Writing into a string cannot fail.
        let _ = writeln!(out, "{key} = {value}");
    }
}

/// A number in TOML: whole numbers without a point are integers there, and read back the same.
fn number(value: Option<f64>) -> String {
    value.map_or_else(|| DONT_KNOW.to_owned(), |value| value.to_string())
}

fn word<T: PartialEq>(value: Option<T>, names: &[(T, &'static str)]) -> String {
    let name = value.and_then(|value| names.iter().find(|(known, _)| *known == value)).map(|(_, name)| text(name));
    name.unwrap_or_else(|| DONT_KNOW.to_owned())
}

fn text(value: &str) -> String {
    toml::Value::String(value.to_owned()).to_string()
}
