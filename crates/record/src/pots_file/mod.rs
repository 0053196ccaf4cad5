//! The file of pots and dishes beside a day: TOML. Format: `docs/formats.md`.
//!
//! Reading collects every problem; nothing here panics on any text.

mod dish;
pub mod fields;
mod table;
mod write;

pub use write::{write_pots, write_sheets};

use crate::day_file::error_at;
use crate::pots::{DishPlacing, Pots, WoodKind, WoodSheet, fill};
use crate::problem::{Problem, Severity};
use crate::vessels::vessels;
use crate::wording::normal;
use ovenfall_food::properties::foods;
use table::{Limits, Place, Table};
use toml::de::DeTable;

/// Largest file read, bytes.
pub const MAX_POTS_FILE_BYTES: usize = 1024 * 1024;
/// Most dishes in a file.
pub const MAX_DISHES: usize = 200;
/// Least contents of a dish: an empty pot is no dish, kg.
const LEAST_CONTENTS_KG: f64 = 0.005;
/// Version of the format.
pub const SCHEMA_VERSION: u32 = 1;

const TOP_KEYS: [&str; 4] = ["ovenfall", "kind", "wood", "dish"];
const WOOD_KEYS: [&str; 4] = ["kind", "moisture_percent", "basket_kg", "dry_ncv_mj_kg"];

/// Reads the file of pots and dishes.
///
/// # Errors
/// Every problem found, warnings among them, when at least one of them is an error.
pub fn read_pots(file_name: &str, text: &str) -> Result<Pots, Vec<Problem>> {
    if text.len() > MAX_POTS_FILE_BYTES {
        return Err(vec![Problem {
            limits: Some("up to 1 MB".into()),
            suggestion: Some("keep the dishes of one day in a file".into()),
            ..error_at(file_name, 0, 0, format!("the file is {} bytes long", text.len()))
        }]);
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let place = Place::new(file_name, text);
    let (document, faults) = DeTable::parse_recoverable(text);
    let mut problems: Vec<Problem> = faults.iter().map(|fault| place.fault(fault)).collect();
    let mut top = Table::new(&place, document.get_ref(), document.span(), &mut problems);
    top.known_keys(&TOP_KEYS);
    check_schema(&mut top);
    let wood = read_wood(&mut top);
    let dishes = read_dishes(&mut top);
    problems.sort_by_key(|problem| (problem.line, problem.column));
    if problems.iter().any(|problem| problem.severity == Severity::Error) {
        return Err(problems);
    }
    Ok(Pots { file: file_name.to_owned(), dishes, wood, warnings: problems })
}

fn check_schema(top: &mut Table<'_, '_>) {
    const VERSION: Limits = Limits { min: 1.0, max: 1.0, unit: "" };
    if top.number("ovenfall", VERSION, None).is_none() && !top.has("ovenfall") {
        top.warn_whole(
            "no version of the format is given; version 1 is assumed",
            Some("put `ovenfall = 1` into the first line"),
        );
    }
    if let Some(kind) = top.text("kind")
        && normal(&kind) != "pots"
    {
        top.error_at_key("kind", format!("this is a file of kind `{kind}`"), Some("pots".into()), None);
    }
}

fn read_wood(top: &mut Table<'_, '_>) -> WoodSheet {
    let mut sheet = WoodSheet::default();
    top.sub_table("wood", &mut |wood| {
        wood.known_keys(&WOOD_KEYS);
        sheet = WoodSheet {
            kind: wood.one_of("kind", &WoodKind::NAMES),
            moisture_percent: wood.number(
                "moisture_percent",
                Limits { min: 0.0, max: 65.0, unit: "% of the whole mass" },
                None,
            ),
            basket_kg: wood.number("basket_kg", Limits { min: 0.2, max: 60.0, unit: "kg" }, Some(table::MASS)),
            dry_ncv_mj_kg: wood.number("dry_ncv_mj_kg", Limits { min: 15.0, max: 22.0, unit: "MJ/kg" }, None),
        };
    });
    sheet
}

fn read_dishes(top: &mut Table<'_, '_>) -> Vec<DishPlacing> {
    let foods = foods();
    let Ok(vessels) = vessels() else {
        top.error_whole("the built-in table of vessels cannot be read");
        return Vec::new();
    };
    let mut dishes: Vec<DishPlacing> = Vec::new();
    let mut names: Vec<(String, usize)> = Vec::new();
    top.each_table("dish", MAX_DISHES, &mut |table| {
        let line = table.line();
        let sheet = dish::read_dish(table, &vessels, &foods);
        let key = normal(&sheet.name);
        if let Some((_, first)) = names.iter().find(|(name, _)| *name == key && !key.is_empty()) {
            let what = format!("the name `{}` is used already in line {first}", sheet.name);
            table.error_at_key("name", what, None, Some("give every dish its own name".into()));
        }
        names.push((key, line));
        let filled = fill(&sheet, &vessels, &foods, line);
        if filled.as_ref().is_some_and(|dish| dish.contents_kg() < LEAST_CONTENTS_KG) {
            let what = format!("`{}` has neither liquid nor solids", sheet.name);
            table.error_at_key("name", what, None, Some("weigh what is in it, or write \"don't know\"".into()));
        }
        dishes.extend(filled);
    });
    dishes
}
