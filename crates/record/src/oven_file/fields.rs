//! An oven from the fields of a form: what a person typed, with every problem at the field it is about.
//!
//! The fields become the text of an oven file, one line a field, which the one reader reads; so a form and a file allow
//! the same and say the same.

use super::keys::{self, Holds};
use super::{OVEN_FORMAT_VERSION, OvenFile, read_oven};
use crate::problem::{Problem, Severity};
use crate::wording::normal;
use std::fmt::Write as _;

/// Keys of parts made of layers.
pub const PARTS: [&str; 3] = ["dome", "floor", "door"];

/// A layer as typed; empty texts are "don't know".
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct LayerFields {
    /// Name of the material.
    pub material: String,
    /// Thickness, cm, or a text with its unit.
    pub thickness: String,
}

/// An oven as typed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct OvenFields {
    /// Key of the oven file, and what was typed; an empty text is "don't know".
    pub values: Vec<(String, String)>,
    /// Key of a part, and its layers from the hot face on; a part that is not here is "don't know".
    pub layers: Vec<(String, Vec<LayerFields>)>,
}

/// What is wrong with a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OvenFieldProblem {
    /// Its key; `dome 0` for the first layer of the dome; empty where it is about the oven as a whole.
    pub field: String,
    /// What is wrong, and what to do.
    pub problem: Problem,
}

/// The text of a file with the field that each line came from.
struct Text {
    text: String,
    lines: Vec<String>,
}

impl Text {
    fn line(&mut self, field: &str, line: &str) {
        // Writing into a string cannot fail.
        let _ = writeln!(self.text, "{line}");
        self.lines.push(field.to_owned());
    }
}

fn unknown(typed: &str) -> bool {
    typed.trim().is_empty()
}

/// A text as TOML: quoted, and on one line.
fn quoted(text: &str) -> String {
    let one_line: String = text.trim().chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    format!("\"{}\"", one_line.replace('\\', "\\\\").replace('"', "\\\""))
}

/// A number as TOML; what is none goes in as a text, so that the reader says what is wrong with it or finds its unit.
fn number_or_text(typed: &str) -> String {
    let plain = typed.trim().replace(',', ".");
    let digits = plain.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | '-' | '+'));
    match plain.parse::<f64>() {
        Ok(value) if digits && value.is_finite() => format!("{value:?}"),
        _ => quoted(typed),
    }
}

/// A line `key = value`. A text with its own unit goes under the key without one.
fn assignment(key: &str, typed: &str) -> String {
    // A key nobody knows must not be able to break the line.
    let plain = key.chars().all(|c| c.is_ascii_alphanumeric() || c == '_');
    let written = if plain { key.to_owned() } else { quoted(key) };
    match keys::find(key) {
        Some((known, _)) if matches!(known.holds, Holds::Length(..) | Holds::Temperature(..) | Holds::Number(..)) => {
            let value = number_or_text(typed);
            let with_unit = value.starts_with('"') && !matches!(known.holds, Holds::Number(..));
            format!("{} = {value}", if with_unit { known.base } else { &written })
        }
        _ => format!("{written} = {}", quoted(typed)),
    }
}

fn layer(layer: &LayerFields) -> String {
    let material = if unknown(&layer.material) { "don't know" } else { &layer.material };
    let thickness = if unknown(&layer.thickness) { quoted("don't know") } else { number_or_text(&layer.thickness) };
    let key = if thickness.starts_with('"') { "thickness" } else { "thickness_cm" };
    format!("  {{ material = {}, {key} = {thickness} }},", quoted(material))
}

fn text_of(fields: &OvenFields) -> Text {
    let mut out = Text { text: String::new(), lines: Vec::new() };
    out.line("", &format!("ovenfall = {OVEN_FORMAT_VERSION}"));
    out.line("", "kind = \"oven\"");
    for (key, typed) in fields.values.iter().filter(|(_, typed)| !unknown(typed)) {
        out.line(key, &assignment(key, typed));
    }
    for (part, layers) in fields.layers.iter().filter(|(part, _)| PARTS.contains(&part.as_str())) {
        out.line(part, &format!("{part} = ["));
        for (i, layer) in layers.iter().enumerate() {
            out.line(&format!("{part} {i}"), &self::layer(layer));
        }
        out.line(part, "]");
    }
    out
}

/// Reads an oven from fields. `name` is what problems call it.
///
/// # Errors
/// Every problem, with the field it is about.
pub fn read_fields(name: &str, fields: &OvenFields) -> Result<OvenFile, Vec<OvenFieldProblem>> {
    let Text { text, lines } = text_of(fields);
    read_oven(name, &text).map_err(|problems| {
        let errors = problems.into_iter().filter(|problem| problem.severity == Severity::Error);
        let of = |problem: Problem| {
            let field = problem.line.checked_sub(1).and_then(|line| lines.get(line)).cloned().unwrap_or_default();
            OvenFieldProblem { field, problem: Problem { line: 0, column: 0, ..problem } }
        };
        errors.map(of).collect()
    })
}

impl OvenFields {
    /// What was typed for a key; empty where nothing was.
    #[must_use]
    pub fn value(&self, key: &str) -> &str {
        self.values.iter().find(|(known, _)| known == key).map_or("", |(_, typed)| typed)
    }

    /// The layers typed for a part; `None` is "don't know".
    #[must_use]
    pub fn part(&self, part: &str) -> Option<&[LayerFields]> {
        self.layers.iter().find(|(known, _)| known == part).map(|(_, layers)| layers.as_slice())
    }

    /// The fields of an oven that is described already.
    #[must_use]
    pub fn of(oven: &OvenFile) -> Self {
        let text = oven.sheet.to_toml();
        let table: toml::Table = text.parse().unwrap_or_default();
        let mut fields = Self::default();
        for (key, value) in table.iter().filter(|(key, _)| !matches!(key.as_str(), "ovenfall" | "kind")) {
            let part = if key == "vault" { "dome" } else { key.as_str() };
            match value {
                toml::Value::Array(rows) => {
                    fields.layers.push((part.to_owned(), rows.iter().map(layer_of).collect()));
                }
                other => fields.values.push((key.clone(), typed(other))),
            }
        }
        fields
    }
}

fn typed(value: &toml::Value) -> String {
    match value {
        toml::Value::String(text) if matches!(normal(text).as_str(), "don't know") => String::new(),
        toml::Value::String(text) => text.clone(),
        toml::Value::Boolean(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        other => other.to_string().trim_end_matches(".0").to_owned(),
    }
}

fn layer_of(row: &toml::Value) -> LayerFields {
    let get = |key: &str| row.get(key).map(typed).unwrap_or_default();
    let thickness = match get("thickness_cm") {
        cm if !cm.is_empty() => cm,
        _ => match get("thickness_mm") {
            mm if !mm.is_empty() => format!("{mm} mm"),
            _ => get("thickness"),
        },
    };
    LayerFields { material: get("material"), thickness }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DEMO: &str = include_str!("../../../../data/demo/oven.toml");

    fn with(key: &str, typed: &str) -> OvenFields {
        OvenFields { values: vec![(key.to_owned(), typed.to_owned())], layers: Vec::new() }
    }

    #[test]
    fn nothing_typed_is_an_oven_of_which_nothing_is_known() {
        assert!(read_fields("oven", &OvenFields::default()).is_ok());
    }

    #[test]
    fn an_oven_comes_back_from_its_fields() {
        let oven = read_oven("oven", DEMO).unwrap();
        let fields = OvenFields::of(&oven);
        assert_eq!(fields.value("diameter_cm"), "100");
        assert_eq!(fields.value("probe_emissivity"), "");
        assert_eq!(fields.part("dome").map(<[_]>::len), Some(4));
        let again = read_fields("oven", &fields).unwrap();
        assert_eq!(again.sheet, oven.sheet);
    }

    #[test]
    fn a_bad_value_is_told_at_its_field() {
        for (key, typed) in [
            ("diameter_cm", "5"),
            ("rise_cm", "high"),
            ("width_cm", "1e400"),
            ("mouth_width_cm", "-3"),
            ("mouth_height_cm", "9 parsecs"),
            ("form", "square"),
            ("construction", "gingerbread"),
            ("door_fit", "leaky"),
            ("under", "sea"),
            ("fire", "up"),
            ("new_or_damp", "maybe"),
            ("altitude_m", "99999"),
            ("time_zone", "Harbour/Slipway"),
            ("outdoor_c", "300"),
            ("wind_m_s", "-1"),
            ("probe_mm", "80"),
            ("probe_emissivity", "2"),
            ("infrared_emissivity", "0"),
            ("infrared_top_c", "9"),
            ("name", &"x".repeat(500)),
        ] {
            let problems = read_fields("oven", &with(key, typed)).expect_err(key);
            assert!(problems.iter().all(|found| found.field == key), "{key}: {problems:?}");
        }
    }

    #[test]
    fn a_bad_layer_is_told_at_its_row() {
        let layer = |material: &str, thickness: &str| LayerFields {
            material: material.to_owned(),
            thickness: thickness.to_owned(),
        };
        let layers =
            vec![("floor".to_owned(), vec![layer("firebrick", "6,4"), layer("cheese", "2"), layer("", "999")])];
        let problems = read_fields("oven", &OvenFields { values: Vec::new(), layers }).unwrap_err();
        let fields: Vec<&str> = problems.iter().map(|found| found.field.as_str()).collect();
        assert_eq!(fields, ["floor 1", "floor 2"]);
    }

    #[test]
    fn what_is_typed_cannot_break_out_of_its_line() {
        let name = "a\" \nkind = \"pots\"\\";
        let oven = read_fields("oven", &with("name", name)).unwrap();
        assert_eq!(oven.sheet.name.as_deref(), Some("a\"  kind = \"pots\"\\"));
        let odd = read_fields("oven", &with("x]\n[y", "1")).unwrap_err();
        assert_eq!(odd[0].field, "x]\n[y");
    }

    #[test]
    fn units_and_commas_are_read_as_in_a_file() {
        let inch = read_fields("oven", &with("diameter_cm", "36 in")).unwrap();
        assert!((inch.sheet.diameter_cm.unwrap() - 91.44).abs() < 1e-9);
        assert_eq!(read_fields("oven", &with("rise_cm", "42,5")).unwrap().sheet.rise_cm, Some(42.5));
    }
}
