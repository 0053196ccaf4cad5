//! One value of an oven file: a number, a text, "don't know", or what is wrong with it.

use toml::Spanned;
use toml::de::DeValue;

use super::keys::Limits;
use crate::kitchen_units::{UnitError, length_cm, temperature_c, written_unit};
use crate::wording::short;

/// What is wrong with a value; its place is added by who knows it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fault {
    pub what: String,
    pub limits: Option<String>,
    pub suggestion: Option<String>,
}

impl Fault {
    pub fn new(what: String) -> Self {
        Self { what, limits: None, suggestion: None }
    }

    pub fn allowed(self, limits: impl Into<String>) -> Self {
        Self { limits: Some(limits.into()), ..self }
    }

    pub fn suggest(self, suggestion: impl Into<String>) -> Self {
        Self { suggestion: Some(suggestion.into()), ..self }
    }
}

/// A value with the key it belongs to.
pub(super) struct Entry<'a, 'v> {
    /// The key as written.
    pub key: &'a str,
    /// The unit the key ends in.
    pub unit: Option<&'static str>,
    /// The value.
    pub value: &'a Spanned<DeValue<'v>>,
    /// The whole text, to quote from.
    pub text: &'a str,
}

/// A value that may be unknown, or what is wrong with it.
pub(super) type Answer<T> = Result<Option<T>, Fault>;

impl Entry<'_, '_> {
    /// The value as it stands in the file, shortened.
    pub fn quote(&self) -> String {
        short(self.text.get(self.value.span()).unwrap_or_default())
    }

    /// Whether the value says that nobody knows.
    pub fn is_unknown(&self) -> bool {
        self.value.get_ref().as_str().is_some_and(says_unknown)
    }

    fn not(&self, wanted: &str) -> Fault {
        Fault::new(format!("`{}` is `{}`, not {wanted}", self.key, self.quote()))
    }

    /// A number, if the value is one.
    fn number(&self) -> Option<f64> {
        match self.value.get_ref() {
            // An integer too long for 64 bits is still a number, if not one any limit lets pass.
            DeValue::Integer(integer) if integer.radix() == 10 => integer.as_str().parse().ok(),
            DeValue::Integer(integer) => i64::from_str_radix(integer.as_str(), integer.radix()).ok().map(|x| x as f64),
            DeValue::Float(float) => float.as_str().parse().ok(),
            _ => None,
        }
    }

    /// A text without control characters.
    pub fn words(&self) -> Answer<String> {
        const LONGEST: usize = 120;
        if self.is_unknown() {
            return Ok(None);
        }
        let Some(text) = self.value.get_ref().as_str() else {
            return Err(self.not("a text").suggest("put it in double quotes"));
        };
        if text.chars().any(char::is_control) {
            return Err(self.not("on one line").suggest("leave out line breaks and control characters"));
        }
        let length = text.chars().count();
        if length > LONGEST {
            let what = format!("`{}` has {length} characters", self.key);
            return Err(Fault::new(what).allowed(format!("up to {LONGEST}")));
        }
        Ok(Some(text.to_owned()))
    }

    /// A number whose unit is part of the key or that has none.
    pub fn plain(&self, limits: Limits) -> Answer<f64> {
        if self.is_unknown() {
            return Ok(None);
        }
        let trimmed = self.value.get_ref().as_str().map(str::trim);
        let number = self.number().or_else(|| trimmed.and_then(|text| text.parse().ok()));
        self.within(number.ok_or_else(|| self.not("a number"))?, limits, "")
    }

    /// A length in the unit `kept` (cm or m).
    pub fn length(&self, kept: &str, limits: Limits) -> Answer<f64> {
        if self.is_unknown() {
            return Ok(None);
        }
        let value = match (self.number(), self.value.get_ref().as_str()) {
            (Some(number), _) => match self.unit {
                Some(unit) => to_unit(number, unit, kept),
                None => return Err(self.without_unit(kept)),
            },
            (None, Some(text)) => {
                self.same_unit(text, length_cm)?;
                to_unit(length_cm(text, self.unit).map_err(|error| self.unreadable(&error))?, "cm", kept)
            }
            (None, None) => return Err(self.not("a length")),
        };
        self.within(value, limits, &format!(" {kept}"))
    }

    /// A temperature, °C.
    pub fn temperature(&self, limits: Limits) -> Answer<f64> {
        if self.is_unknown() {
            return Ok(None);
        }
        let value = match (self.number(), self.value.get_ref().as_str()) {
            (Some(number), _) => match self.unit {
                Some("f") => (number - 32.0) / 1.8,
                Some(_) => number,
                None => return Err(self.without_unit("c")),
            },
            (None, Some(text)) => {
                self.same_unit(text, temperature_c)?;
                temperature_c(text, self.unit).map_err(|error| self.unreadable(&error))?
            }
            (None, None) => return Err(self.not("a temperature")),
        };
        self.within(value, limits, " °C")
    }

    /// Refuses a text in another unit than the key's.
    fn same_unit(&self, text: &str, read: fn(&str, Option<&str>) -> Result<f64, UnitError>) -> Result<(), Fault> {
        let (Some(in_key), Some(in_text)) = (self.unit, written_unit(text)) else { return Ok(()) };
        let differ = match (read(&format!("1 {in_text}"), None), read(&format!("1 {in_key}"), None)) {
            (Ok(a), Ok(b)) => a.to_bits() != b.to_bits(),
            _ => false,
        };
        if !differ {
            return Ok(());
        }
        let what = format!("`{}` is in {in_key}, but its value `{}` is in {}", self.key, short(text), short(&in_text));
        let base = self.key.strip_suffix(&format!("_{in_key}")).unwrap_or(self.key);
        Err(Fault::new(what).suggest(format!("{base} = \"{}\"", short(text))))
    }

    fn without_unit(&self, usual: &str) -> Fault {
        let value = self.quote();
        Fault::new(format!("`{}` is `{value}` without a unit", self.key))
            .suggest(format!("{0}_{usual} = {value}, or {0} = \"{value} {usual}\"", self.key))
    }

    fn unreadable(&self, error: &UnitError) -> Fault {
        Fault::new(format!("`{}`: {error}", self.key)).suggest(error.suggestion())
    }

    fn within(&self, value: f64, (min, max): Limits, unit: &str) -> Answer<f64> {
        let limits = format!("{min}{unit} to {max}{unit}");
        if !value.is_finite() {
            return Err(self.not("a finite number").allowed(limits));
        }
        if value < min || value > max {
            return Err(Fault::new(format!("`{}` is `{}`", self.key, self.quote())).allowed(limits));
        }
        Ok(Some(value))
    }
}

/// Whether a text says that nobody knows.
pub(super) fn says_unknown(text: &str) -> bool {
    let plain = text.trim().to_lowercase().replace(['’', '`', '´'], "'");
    matches!(plain.as_str(), "" | "?" | "don't know" | "dont know" | "do not know" | "unknown" | "not known")
}

/// A length from one unit to another; dividing keeps millimetres exact where multiplying by a tenth would not.
fn to_unit(value: f64, from: &str, to: &str) -> f64 {
    match (from, to) {
        (from, to) if from == to => value,
        ("mm", "cm") => value / 10.0,
        ("mm", _) => value / 1000.0,
        ("cm", _) => value / 100.0,
        ("m", _) => value * 100.0,
        ("in", "cm") => value * 2.54,
        ("in", _) => value * 0.0254,
        ("ft", "cm") => value * 30.48,
        _ => value * 0.3048,
    }
}
