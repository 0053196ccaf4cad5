//! A TOML table that knows where its values stand and collects what is wrong with them.

use crate::day_file::{error_at, warning_at};
use crate::kitchen_units::{UnitError, length_cm, mass_kg, temperature_c};
use crate::problem::Problem;
use crate::suggest::nearest;
use crate::wording::{normal, short};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Reads a text with a unit into the unit of its key.
pub type Unit = fn(&str) -> Result<f64, UnitError>;

/// Texts such as `"8 lb"` for a key in kg.
pub const MASS: Unit = |text| mass_kg(text, Some("kg"));
/// Texts such as `"10 in"` for a key in cm.
pub const LENGTH: Unit = |text| length_cm(text, Some("cm"));
/// Texts such as `"140 F"` for a key in °C.
pub const TEMPERATURE: Unit = |text| temperature_c(text, Some("C"));

/// Smallest and largest value allowed.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// Smallest.
    pub min: f64,
    /// Largest.
    pub max: f64,
    /// Unit shown.
    pub unit: &'static str,
}

/// Turns byte offsets into lines and columns.
pub struct Place<'a> {
    file: &'a str,
    text: &'a str,
    line_starts: Vec<usize>,
}

impl<'a> Place<'a> {
    /// For one file.
    pub fn new(file: &'a str, text: &'a str) -> Self {
        let breaks = text.match_indices('\n').map(|(at, _)| at + 1);
        Self { file, text, line_starts: std::iter::once(0).chain(breaks).collect() }
    }

    /// Line and column of a byte, from 1.
    fn of(&self, byte: usize) -> (usize, usize) {
        let line = self.line_starts.partition_point(|start| *start <= byte);
        let start = line.checked_sub(1).and_then(|before| self.line_starts.get(before)).copied().unwrap_or(0);
        let column = self.text.get(start..byte).map_or(1, |before| before.chars().count() + 1);
        (line.max(1), column)
    }

    /// What the TOML reader could not read.
    pub fn fault(&self, fault: &toml::de::Error) -> Problem {
        let (line, column) = fault.span().map_or((0, 0), |span| self.of(span.start));
        let what = format!("this is not TOML: {}", short(fault.message()));
        error_at(self.file, line, column, what)
    }
}

/// One table of a file.
pub struct Table<'p, 't> {
    place: &'p Place<'p>,
    table: &'t DeTable<'t>,
    span: Range<usize>,
    problems: &'p mut Vec<Problem>,
}

impl<'p, 't> Table<'p, 't> {
    /// A table at a place.
    pub fn new(
        place: &'p Place<'p>,
        table: &'t DeTable<'t>,
        span: Range<usize>,
        problems: &'p mut Vec<Problem>,
    ) -> Self {
        Self { place, table, span, problems }
    }

    /// The line the table starts at.
    pub fn line(&self) -> usize {
        self.place.of(self.span.start).0
    }

    fn get(&self, key: &str) -> Option<&'t Spanned<DeValue<'t>>> {
        self.table.iter().find(|(name, _)| name.get_ref() == key).map(|(_, value)| value)
    }

    /// Whether the key is there, whatever its value.
    pub fn has(&self, key: &str) -> bool {
        self.get(key).is_some()
    }

    /// The value of a key unless it is missing or says that it is not known.
    fn known(&self, key: &str) -> Option<&'t Spanned<DeValue<'t>>> {
        self.get(key).filter(|value| !matches!(value.get_ref(), DeValue::String(text) if is_dont_know(text)))
    }

    fn push_at(&mut self, byte: usize, what: String, limits: Option<String>, suggestion: Option<String>) {
        let (line, column) = self.place.of(byte);
        self.problems.push(Problem { limits, suggestion, ..error_at(self.place.file, line, column, what) });
    }

    /// An error at the value of a key, or at the table when the key is not there.
    pub fn error_at_key(&mut self, key: &str, what: String, limits: Option<String>, suggestion: Option<String>) {
        let byte = self.get(key).map_or(self.span.start, |value| value.span().start);
        self.push_at(byte, what, limits, suggestion);
    }

    /// An error about the file as a whole.
    pub fn error_whole(&mut self, what: &str) {
        self.problems.push(error_at(self.place.file, 0, 0, what.to_owned()));
    }

    /// A warning about the file as a whole.
    pub fn warn_whole(&mut self, what: &str, suggestion: Option<&str>) {
        let suggestion = suggestion.map(str::to_owned);
        self.problems.push(Problem { suggestion, ..warning_at(self.place.file, 0, 0, what.to_owned()) });
    }

    /// Refuses keys that are not among the known.
    pub fn known_keys(&mut self, keys: &[&str]) {
        for (name, _) in self.table {
            if !keys.contains(&name.get_ref().as_ref()) {
                let near = nearest(name.get_ref(), keys.iter().copied());
                self.push_at(
                    name.span().start,
                    format!("unknown key `{}`", short(name.get_ref())),
                    Some(keys.join(", ")),
                    near.map(|near| format!("did you mean `{near}`?")),
                );
            }
        }
    }

    /// A number within limits; a text with a unit when `unit` can read it. `None` when it is not known, or wrong.
    pub fn number(&mut self, key: &str, limits: Limits, unit: Option<Unit>) -> Option<f64> {
        let value = self.known(key)?;
        let read = match (value.get_ref(), unit) {
            (DeValue::Integer(integer), _) => integer.to_string().parse::<f64>().ok(),
            (DeValue::Float(float), _) => float.to_string().parse::<f64>().ok(),
            (DeValue::String(text), Some(unit)) => match unit(text) {
                Ok(value) => Some(value),
                Err(fault) => {
                    self.error_at_key(key, format!("`{key}`: {fault}"), None, Some(fault.suggestion()));
                    return None;
                }
            },
            _ => None,
        };
        let words = format!("{} to {} {}", limits.min, limits.max, limits.unit);
        let Some(read) = read.filter(|read| read.is_finite()) else {
            self.error_at_key(key, format!("`{key}` is not a number"), Some(words.trim().into()), Some(dont_know()));
            return None;
        };
        if read < limits.min || read > limits.max {
            self.error_at_key(key, format!("`{key} = {read}` is outside the limits"), Some(words.trim().into()), None);
            return None;
        }
        Some(read)
    }

    /// A text.
    pub fn text(&mut self, key: &str) -> Option<String> {
        match self.known(key)?.get_ref() {
            DeValue::String(text) => Some(text.trim().to_owned()),
            _ => {
                self.error_at_key(key, format!("`{key}` is not a text in quotes"), None, Some(dont_know()));
                None
            }
        }
    }

    /// Yes or no.
    pub fn yes_no(&mut self, key: &str) -> Option<bool> {
        match self.known(key)?.get_ref() {
            DeValue::Boolean(value) => Some(*value),
            DeValue::String(text) if normal(text) == "yes" => Some(true),
            DeValue::String(text) if normal(text) == "no" => Some(false),
            _ => {
                let limits = Some("true, false".to_owned());
                self.error_at_key(key, format!("`{key}` is neither true nor false"), limits, Some(dont_know()));
                None
            }
        }
    }

    /// One of some words.
    pub fn one_of<T: Copy>(&mut self, key: &str, names: &[(T, &'static str)]) -> Option<T> {
        let text = self.text(key)?;
        let name = normal(&text);
        let found = names.iter().find(|(_, known)| *known == name).map(|(value, _)| *value);
        if found.is_none() {
            self.unknown_word(key, &text, &names.iter().map(|(_, known)| *known).collect::<Vec<_>>());
        }
        found
    }

    /// An error for a word that is not among the known.
    pub fn unknown_word(&mut self, key: &str, text: &str, known: &[&str]) {
        let near = nearest(text, known.iter().copied()).map(|near| format!("did you mean `{near}`?"));
        self.error_at_key(key, format!("unknown {key} `{}`", short(text)), Some(known.join(", ")), near);
    }

    /// Hands the table of a key to `read`.
    pub fn sub_table(&mut self, key: &str, read: &mut dyn FnMut(&mut Table<'_, 't>)) {
        let Some(value) = self.known(key) else { return };
        match value.get_ref() {
            DeValue::Table(table) => {
                read(&mut Table { place: self.place, table, span: value.span(), problems: self.problems });
            }
            _ => self.error_at_key(key, format!("`{key}` is not a table"), Some(format!("[{key}]")), None),
        }
    }

    /// Hands each table of an array of tables to `read`.
    pub fn each_table(&mut self, key: &str, most: usize, read: &mut dyn FnMut(&mut Table<'_, 't>)) {
        let Some(value) = self.known(key) else { return };
        let wrong = |table: &mut Self| {
            table.error_at_key(key, format!("`{key}` is not a list of tables"), Some(format!("[[{key}]]")), None);
        };
        let DeValue::Array(items) = value.get_ref() else { return wrong(self) };
        if items.len() > most {
            let what = format!("there are {} of `[[{key}]]`", items.len());
            return self.error_at_key(key, what, Some(format!("up to {most}")), None);
        }
        for item in items {
            match item.get_ref() {
                DeValue::Table(table) => {
                    read(&mut Table { place: self.place, table, span: item.span(), problems: self.problems });
                }
                _ => return wrong(self),
            }
        }
    }
}

fn dont_know() -> String {
    "write \"don't know\" if it is not known".to_owned()
}

/// Whether a text says that something is not known.
fn is_dont_know(text: &str) -> bool {
    let word = normal(&text.replace('’', "'"));
    matches!(word.as_str(), "don't know" | "dont know" | "do not know" | "unknown" | "?")
}
