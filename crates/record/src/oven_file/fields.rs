//! An oven from the fields of a form: what a person typed, with every problem at the field it is about.
//!
//! The fields become the text of an oven file, one line a field, which the one reader reads; so a form and a file allow
//! the same and say the same.

use super::keys::{self, Holds, KEYS};
use super::{OVEN_FORMAT_VERSION, OvenFile, read_oven};
use crate::problem::{Problem, Severity};
use crate::typed::{number_or_text, quoted, short_number, unknown};
use crate::wording::normal;
use std::fmt::Write as _;

/// Keys of parts made of layers; `dome` is the vault's too.
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
    /// Its key; `dome 0 material` or `dome 0 thickness` for the first layer of the dome, `dome` for all of them; empty
    /// where it is about the oven as a whole.
    pub field: String,
    /// What is wrong, and what to do.
    pub problem: Problem,
}

impl OvenFieldProblem {
    /// The problem in a sentence or two to stand at its field: without the key, which the field's label says.
    #[must_use]
    pub fn words(&self) -> String {
        let Problem { what, limits, suggestion, .. } = &self.problem;
        let limits = limits.as_ref().map(|limits| format!("possible: {limits}"));
        let all = [Some(at_the_field(what)), limits, suggestion.clone()];
        let sentences: Vec<String> = all.into_iter().flatten().map(|text| sentence(&text)).collect();
        sentences.join(" ")
    }
}

/// What is wrong, without the key in front.
fn at_the_field(what: &str) -> String {
    let Some((key, rest)) = what.strip_prefix('`').and_then(|rest| rest.split_once('`')) else {
        return what.to_owned();
    };
    let is_a_key = keys::find(key).is_some() || matches!(key.split('_').next(), Some("material" | "thickness"));
    match (is_a_key, rest.strip_prefix(" is "), rest.strip_prefix(": ")) {
        (true, Some(is), _) => format!("this is {is}"),
        (true, _, Some(said)) => said.to_owned(),
        (true, _, _) => format!("this{rest}"),
        _ => what.to_owned(),
    }
}

/// A text as a sentence, without the marks and the keys of a file.
fn sentence(text: &str) -> String {
    let mut out = text.replace('`', "");
    for key in KEYS.iter().filter(|key| key.base.contains('_')) {
        out = out.replace(key.base, &key.base.replace('_', " "));
    }
    let mut letters = out.chars();
    let first: String = letters.next().map(|first| first.to_uppercase().collect()).unwrap_or_default();
    let end = if out.ends_with(['?', '.', '!']) { "" } else { "." };
    format!("{first}{}{end}", letters.as_str())
}

/// The text of a file with the fields that each line came from: from which column on which field.
#[derive(Default)]
struct Text {
    text: String,
    lines: Vec<Vec<(usize, String)>>,
}

impl Text {
    fn line(&mut self, field: &str, line: &str) {
        self.shared_line(vec![(0, field.to_owned())], line);
    }

    fn shared_line(&mut self, fields: Vec<(usize, String)>, line: &str) {
        // Writing into a string cannot fail.
        let _ = writeln!(self.text, "{line}");
        self.lines.push(fields);
    }

    fn field_at(&self, problem: &Problem) -> String {
        let fields = problem.line.checked_sub(1).and_then(|line| self.lines.get(line));
        let field = fields.and_then(|fields| fields.iter().rfind(|(from, _)| *from <= problem.column));
        field.map(|(_, field)| field.clone()).unwrap_or_default()
    }

    fn at_its_field(&self, problem: Problem) -> OvenFieldProblem {
        OvenFieldProblem { field: self.field_at(&problem), problem: Problem { line: 0, column: 0, ..problem } }
    }
}

/// Whether a value brings its own unit, or is anyhow no number.
fn has_letters(value: &str) -> bool {
    value.chars().any(|c| c.is_alphabetic() || matches!(c, '°' | '″' | '′' | '\''))
}

/// A line `key = value`. A text with its own unit goes under the key without one.
fn assignment(key: &str, typed: &str) -> String {
    // A key nobody knows must not be able to break the line.
    let plain = key.chars().all(|c| c.is_ascii_alphanumeric() || c == '_');
    let written = if plain && !key.is_empty() { key.to_owned() } else { quoted(key) };
    match keys::find(key) {
        Some((known, _)) if matches!(known.holds, Holds::Length(..) | Holds::Temperature(..) | Holds::Number(..)) => {
            let value = number_or_text(typed);
            let own_unit = has_letters(&value) && !matches!(known.holds, Holds::Number(..));
            format!("{} = {value}", if own_unit { known.base } else { &written })
        }
        _ => format!("{written} = {}", quoted(typed)),
    }
}

/// The row of a layer, and the column its thickness begins at.
fn layer_row(layer: &LayerFields) -> (String, usize) {
    const UNKNOWN: &str = "\"don't know\"";
    let material = if unknown(&layer.material) { UNKNOWN.to_owned() } else { quoted(&layer.material) };
    let thickness = if unknown(&layer.thickness) { UNKNOWN.to_owned() } else { number_or_text(&layer.thickness) };
    let key = if has_letters(&thickness) { "thickness" } else { "thickness_cm" };
    let front = format!("  {{ material = {material}, ");
    let column = front.chars().count();
    (format!("{front}{key} = {thickness} }},"), column)
}

impl OvenFields {
    fn text(&self) -> Text {
        let mut out = Text::default();
        out.line("", &format!("ovenfall = {OVEN_FORMAT_VERSION}"));
        out.line("", "kind = \"oven\"");
        for (key, typed) in self.values.iter().filter(|(_, typed)| !unknown(typed)) {
            out.line(key, &assignment(key, typed));
        }
        for (part, layers) in self.layers.iter().filter(|(part, _)| PARTS.contains(&part.as_str())) {
            let vault = part == "dome" && normal(self.value("form")) == "vault";
            out.line(part, &format!("{} = [", if vault { "vault" } else { part }));
            for (i, layer) in layers.iter().enumerate() {
                let (row, column) = layer_row(layer);
                let field = |of: &str| format!("{part} {i} {of}");
                out.shared_line(vec![(0, field("material")), (column, field("thickness"))], &row);
            }
            out.line(part, "]");
        }
        out
    }

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

    /// What looks wrong in an oven that was read from these fields, each with the field it is about.
    #[must_use]
    pub fn doubts(&self, oven: &OvenFile) -> Vec<OvenFieldProblem> {
        let text = self.text();
        oven.warnings.iter().cloned().map(|warning| text.at_its_field(warning)).collect()
    }
}

/// Reads an oven from fields. `name` is what problems call it.
///
/// # Errors
/// Every problem, with the field it is about.
pub fn read_fields(name: &str, fields: &OvenFields) -> Result<OvenFile, Vec<OvenFieldProblem>> {
    let text = fields.text();
    read_oven(name, &text.text).map_err(|problems| {
        let errors = problems.into_iter().filter(|problem| problem.severity == Severity::Error);
        errors.map(|problem| text.at_its_field(problem)).collect()
    })
}

fn typed(value: &toml::Value) -> String {
    match value {
        toml::Value::String(text) if matches!(normal(text).as_str(), "don't know") => String::new(),
        toml::Value::String(text) => text.clone(),
        toml::Value::Boolean(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        toml::Value::Float(value) => short_number(*value),
        other => other.to_string(),
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
        assert_eq!(fields, ["floor 1 material", "floor 2 thickness"]);
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
        let typed_again = OvenFields::of(&read_fields("oven", &with("rise_cm", "16 1/2 in")).unwrap());
        assert_eq!(typed_again.value("rise_cm"), "41.91");
        assert_eq!(read_fields("oven", &with("rise_cm", "42,5")).unwrap().sheet.rise_cm, Some(42.5));
    }

    #[test]
    fn a_vault_comes_back_from_its_fields() {
        let mut fields = with("form", "vault");
        fields.values.push(("width_cm".to_owned(), "150".to_owned()));
        let layer = LayerFields { material: "firebrick".to_owned(), thickness: String::new() };
        fields.layers.push(("dome".to_owned(), vec![layer]));
        let oven = read_fields("oven", &fields).unwrap();
        let again = OvenFields::of(&oven);
        assert_eq!(again.part("dome").map(<[_]>::len), Some(1));
        assert_eq!(read_fields("oven", &again).unwrap().sheet, oven.sheet);
    }

    #[test]
    fn no_door_and_an_unknown_door_differ() {
        let none = OvenFields { values: Vec::new(), layers: vec![("door".to_owned(), Vec::new())] };
        assert!(read_fields("oven", &none).unwrap().description.mouth.door.is_empty());
        assert!(!read_fields("oven", &OvenFields::default()).unwrap().description.mouth.door.is_empty());
        let floor = OvenFields { values: Vec::new(), layers: vec![("floor".to_owned(), Vec::new())] };
        assert_eq!(read_fields("oven", &floor).unwrap_err()[0].field, "floor");
    }

    #[test]
    fn every_problem_is_told_at_once() {
        let mut fields = with("diameter_cm", "9999");
        for (key, typed) in [("rise_cm", "tall"), ("probe_emissivity", "7"), ("time_zone", "Nowhere")] {
            fields.values.push((key.to_owned(), typed.to_owned()));
        }
        fields.layers.push(("door".to_owned(), vec![LayerFields { material: "toast".into(), thickness: "-1".into() }]));
        let problems = read_fields("oven", &fields).unwrap_err();
        let mut at: Vec<&str> = problems.iter().map(|found| found.field.as_str()).collect();
        at.sort_unstable();
        let all = ["diameter_cm", "door 0 material", "door 0 thickness", "probe_emissivity", "rise_cm", "time_zone"];
        assert_eq!(at, all);
    }

    #[test]
    fn what_does_not_fit_together_is_told_at_a_field() {
        let mut fields = with("diameter_cm", "80");
        fields.values.push(("rise_cm".to_owned(), "90".to_owned()));
        assert_eq!(read_fields("oven", &fields).unwrap_err()[0].field, "rise_cm");
        fields.values[1].1 = "15".to_owned();
        let oven = read_fields("oven", &fields).unwrap();
        assert_eq!(fields.doubts(&oven)[0].field, "rise_cm");
    }

    #[test]
    fn a_problem_is_said_in_a_sentence() {
        let said = |key: &str, typed: &str| read_fields("oven", &with(key, typed)).unwrap_err()[0].words();
        assert_eq!(said("diameter_cm", "5"), "This is 5. Possible: 20 cm to 600 cm.");
        assert_eq!(said("construction", "clya"), "Unknown construction clya. Did you mean clay?");
        assert!(said("rise_cm", "high").starts_with("High is not a number."), "{}", said("rise_cm", "high"));
        assert!(said("diameter_cm", "1,250").contains("two ways"), "{}", said("diameter_cm", "1,250"));
        assert!(said("time_zone", "America/New_Yrok").contains("America/New_York?"));
    }

    #[test]
    fn anything_typed_is_answered() {
        let huge = "9".repeat(100_000);
        for typed in [
            "\u{0}",
            "\u{202e}x",
            "''",
            "\\",
            "\\u0000",
            "🔥",
            "[]",
            "{}",
            "1e5",
            "-",
            "+",
            ".",
            ",",
            "1 1/2 ft",
            &huge,
        ] {
            for key in KEYS.iter().map(|key| key.usual).chain(["", "a b", "=", "dome.x", "\u{7f}"]) {
                let _ = read_fields("oven", &with(key, typed));
            }
            let layers =
                vec![("dome".to_owned(), vec![LayerFields { material: typed.into(), thickness: typed.into() }])];
            let _ = read_fields("oven", &OvenFields { values: Vec::new(), layers });
        }
    }
}
