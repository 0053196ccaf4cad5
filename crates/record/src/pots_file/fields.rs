//! A dish, or the wood, from the fields of a form: what a person typed, with every problem at the field it is about.
//!
//! The fields become the text of a pots file, one line a field, which the one reader reads.

use super::{SCHEMA_VERSION, read_pots, write_sheets};
use crate::pots::{DishSheet, WoodSheet};
use crate::problem::{Problem, Severity};
use crate::typed::{number_or_text, quoted, short_number, unknown};

/// Keys of a dish that hold numbers.
const NUMBERS: [&str; 10] = [
    "pot_kg",
    "diameter_cm",
    "height_cm",
    "liquid_kg",
    "solid_kg",
    "piece_cm",
    "start_c",
    "moisture_percent",
    "basket_kg",
    "dry_ncv_mj_kg",
];
/// Keys that hold yes or no.
const YES_NO: [&str; 2] = ["lid", "trivet"];

/// A key of the pots file, and what was typed for it; an empty text is "don't know".
pub type Typed = (String, String);

/// What is wrong with a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PotsFieldProblem {
    /// Its key.
    pub field: String,
    /// What is wrong, and what to do.
    pub problem: Problem,
}

fn value(key: &str, typed: &str) -> String {
    match (YES_NO.contains(&key), typed.trim()) {
        (true, "yes") => "true".to_owned(),
        (true, "no") => "false".to_owned(),
        _ if NUMBERS.contains(&key) => number_or_text(typed),
        _ => quoted(typed),
    }
}

/// The text of a table, with the field that each of its lines came from.
fn text_of(table: &str, fields: &[Typed]) -> (String, Vec<String>) {
    let head = format!("ovenfall = {SCHEMA_VERSION}\nkind = \"pots\"\n{table}\n");
    // What is said of the table as a whole is about its name.
    let mut lines = vec!["name".to_owned(); 3];
    let mut text = head;
    for (key, typed) in fields.iter().filter(|(_, typed)| !unknown(typed)) {
        let plain = key.chars().all(|c| c.is_ascii_alphanumeric() || c == '_');
        let written = if plain { key.clone() } else { quoted(key) };
        text.push_str(&format!("{written} = {}\n", value(key, typed)));
        lines.push(key.clone());
    }
    (text, lines)
}

fn at_fields(problems: Vec<Problem>, lines: &[String]) -> Vec<PotsFieldProblem> {
    let errors = problems.into_iter().filter(|problem| problem.severity == Severity::Error);
    let of = |problem: Problem| {
        let field = problem.line.checked_sub(1).and_then(|line| lines.get(line)).cloned().unwrap_or_default();
        PotsFieldProblem { field, problem: Problem { line: 0, column: 0, ..problem } }
    };
    errors.map(of).collect()
}

/// Reads a dish from fields.
///
/// # Errors
/// Every problem, with the field it is about.
pub fn read_dish_fields(fields: &[Typed]) -> Result<DishSheet, Vec<PotsFieldProblem>> {
    let (text, lines) = text_of("[[dish]]", fields);
    match read_pots("the dish", &text) {
        Ok(pots) => Ok(pots.dishes.into_iter().next().map(|dish| dish.sheet).unwrap_or_default()),
        Err(problems) => Err(at_fields(problems, &lines)),
    }
}

/// Reads the wood from fields.
///
/// # Errors
/// Every problem, with the field it is about.
pub fn read_wood_fields(fields: &[Typed]) -> Result<WoodSheet, Vec<PotsFieldProblem>> {
    let (text, lines) = text_of("[wood]", fields);
    read_pots("the wood", &text).map(|pots| pots.wood).map_err(|problems| at_fields(problems, &lines))
}

fn typed(value: &toml::Value) -> Option<String> {
    Some(match value {
        toml::Value::String(text) if text == "don't know" => String::new(),
        toml::Value::String(text) => text.clone(),
        toml::Value::Boolean(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        toml::Value::Integer(whole) => whole.to_string(),
        toml::Value::Float(number) => short_number(*number),
        _ => return None,
    })
}

fn fields_of(table: Option<&toml::Value>) -> Vec<Typed> {
    let table = table.and_then(toml::Value::as_table);
    let pairs = table.into_iter().flatten();
    pairs.filter_map(|(key, value)| Some((key.clone(), typed(value)?))).collect()
}

fn document(wood: &WoodSheet, dish: Option<&DishSheet>) -> toml::Table {
    write_sheets(wood, dish).parse().unwrap_or_default()
}

/// The fields of a dish that is described already.
#[must_use]
pub fn dish_fields(dish: &DishSheet) -> Vec<Typed> {
    let document = document(&WoodSheet::default(), Some(dish));
    fields_of(document.get("dish").and_then(|dishes| dishes.get(0)))
}

/// The fields of the wood.
#[must_use]
pub fn wood_fields(wood: &WoodSheet) -> Vec<Typed> {
    fields_of(document(wood, None).get("wood"))
}

#[cfg(test)]
mod tests {
    use super::*;

    const DEMO: &str = include_str!("../../../../data/demo/pots.toml");

    fn pair(key: &str, typed: &str) -> Typed {
        (key.to_owned(), typed.to_owned())
    }

    #[test]
    fn dishes_and_wood_come_back_from_their_fields() {
        let pots = read_pots("pots.toml", DEMO).unwrap();
        for dish in &pots.dishes {
            assert_eq!(read_dish_fields(&dish_fields(&dish.sheet)).unwrap(), dish.sheet);
        }
        assert_eq!(read_wood_fields(&wood_fields(&pots.wood)).unwrap(), pots.wood);
    }

    #[test]
    fn a_dish_needs_only_its_name() {
        assert_eq!(read_dish_fields(&[pair("name", "stew \"à la\" <quay>")]).unwrap().name, "stew \"à la\" <quay>");
        let nameless = read_dish_fields(&[pair("solid_kg", "1")]).unwrap_err();
        assert!(nameless.iter().all(|found| found.field == "name"), "{nameless:?}");
    }

    #[test]
    fn a_bad_value_is_told_at_its_field() {
        for (key, bad) in [
            ("wanted", "late"),
            ("pot", "glass slipper"),
            ("pot_kg", "900"),
            ("lid", "maybe"),
            ("trivet", "perhaps"),
            ("diameter_cm", "0"),
            ("height_cm", "tall"),
            ("liquid_kg", "-1"),
            ("solid_kg", "heaps"),
            ("pieces", "cubist"),
            ("piece_cm", "1e9"),
            ("start_c", "-20"),
            ("mostly", "moon rock"),
        ] {
            let problems = read_dish_fields(&[pair("name", "stew"), pair(key, bad)]).expect_err(key);
            assert!(problems.iter().all(|found| found.field == key), "{key}: {problems:?}");
        }
        for (key, bad) in [("kind", "plastic"), ("moisture_percent", "99"), ("basket_kg", "x"), ("dry_ncv_mj_kg", "0")]
        {
            let problems = read_wood_fields(&[pair(key, bad)]).expect_err(key);
            assert!(problems.iter().all(|found| found.field == key), "{key}: {problems:?}");
        }
        assert!(read_dish_fields(&[pair("name", "a@b")]).unwrap_err().iter().all(|found| found.field == "name"));
    }
}
