//! Lengths, masses, temperatures and volumes as people write them: `24 in`, `5 lb 4 oz`, `450 °F`, `1 1/2 ft`.
//!
//! A text is one or more terms of a number and a unit; the terms add up. A number may have a decimal point or comma, a
//! fraction (`1/2`, `1 1/2`, `1½`) and a sign in front of the whole. Pints, quarts, gallons and cups differ between countries and need
//! saying whose.
//!
//! Exact definitions: 1 in = 25.4 mm and 1 lb = 0.453 592 37 kg (international yard and pound agreement, 1959); 1 UK
//! gallon = 4.546 09 l (UK units of measurement regulations); 1 US gallon = 231 in³. All from memory.

/// Why a text is not a quantity.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum UnitError {
    /// Nothing there.
    #[error("nothing is written")]
    Empty,
    /// No number where one must stand.
    #[error("`{found}` is not a number")]
    NotANumber {
        /// What stands there.
        found: String,
    },
    /// A comma that could be a decimal or a thousands mark.
    #[error("`{found}` can be read in two ways")]
    AmbiguousComma {
        /// The number as written.
        found: String,
    },
    /// A number without a unit where none can be assumed.
    #[error("`{found}` has no unit")]
    NoUnit {
        /// The text.
        found: String,
        /// The units known here.
        known: &'static str,
    },
    /// A unit that is not one of this kind.
    #[error("`{unit}` is not a unit of {kind}")]
    UnknownUnit {
        /// The unit as written.
        unit: String,
        /// Length, mass, volume or temperature.
        kind: &'static str,
        /// The units known here.
        known: &'static str,
    },
    /// A unit that differs between countries.
    #[error("`{unit}` means different sizes in different countries")]
    WhoseUnit {
        /// The unit as written.
        unit: String,
        /// What can be written instead.
        choices: &'static str,
    },
    /// A number too large to compute with, or not one at all.
    #[error("`{found}` is not a finite number")]
    NotFinite {
        /// The text.
        found: String,
    },
}

impl UnitError {
    /// What the writer can do about it.
    #[must_use]
    pub fn suggestion(&self) -> String {
        match self {
            Self::Empty | Self::NotANumber { .. } | Self::NotFinite { .. } => {
                "write a number and its unit, such as `90 cm`, `5 lb` or `230 C`".to_owned()
            }
            Self::AmbiguousComma { .. } => "use a decimal point and no thousands mark".to_owned(),
            Self::NoUnit { known, .. } | Self::UnknownUnit { known, .. } => format!("units: {known}"),
            Self::WhoseUnit { choices, .. } => format!("write {choices}"),
        }
    }
}

/// A kind of quantity: its units with what one of each is in the kind's base unit.
struct Kind {
    name: &'static str,
    known: &'static str,
    units: &'static [(&'static str, f64)],
    whose: &'static [(&'static str, &'static str)],
}

const LENGTH_CM: Kind = Kind {
    name: "length",
    known: "m, cm, mm, in, ft",
    units: &[
        ("cm", 1.0),
        ("centimetre", 1.0),
        ("centimeter", 1.0),
        ("mm", 0.1),
        ("millimetre", 0.1),
        ("millimeter", 0.1),
        ("m", 100.0),
        ("metre", 100.0),
        ("meter", 100.0),
        ("in", 2.54),
        ("inch", 2.54),
        ("inches", 2.54),
        ("\"", 2.54),
        ("″", 2.54),
        ("”", 2.54),
        ("ft", 30.48),
        ("foot", 30.48),
        ("feet", 30.48),
        ("'", 30.48),
        ("′", 30.48),
        ("’", 30.48),
    ],
    whose: &[],
};

const MASS_KG: Kind = Kind {
    name: "mass",
    known: "kg, g, lb, oz",
    units: &[
        ("kg", 1.0),
        ("kilo", 1.0),
        ("kilogram", 1.0),
        ("g", 0.001),
        ("gram", 0.001),
        ("lb", 0.453_592_37),
        ("pound", 0.453_592_37),
        ("oz", 0.453_592_37 / 16.0),
        ("ounce", 0.453_592_37 / 16.0),
    ],
    whose: &[],
};

const UK_GALLON_L: f64 = 4.546_09;
const US_GALLON_L: f64 = 3.785_411_784;

const VOLUME_L: Kind = Kind {
    name: "volume",
    known: "l, dl, cl, ml, teaspoon, tablespoon, UK or US fl oz, pint, quart, gallon, metric or US cup",
    units: &[
        ("l", 1.0),
        ("litre", 1.0),
        ("liter", 1.0),
        ("dl", 0.1),
        ("cl", 0.01),
        ("ml", 0.001),
        ("millilitre", 0.001),
        ("milliliter", 0.001),
        ("tsp", 0.005),
        ("teaspoon", 0.005),
        ("tbsp", 0.015),
        ("tablespoon", 0.015),
        ("uk fl oz", UK_GALLON_L / 160.0),
        ("us fl oz", US_GALLON_L / 128.0),
        ("uk pint", UK_GALLON_L / 8.0),
        ("us pint", US_GALLON_L / 8.0),
        ("uk quart", UK_GALLON_L / 4.0),
        ("us quart", US_GALLON_L / 4.0),
        ("uk gallon", UK_GALLON_L),
        ("us gallon", US_GALLON_L),
        ("metric cup", 0.25),
        ("us cup", US_GALLON_L / 16.0),
    ],
    whose: &[
        ("fl oz", "`UK fl oz` (28.4 ml) or `US fl oz` (29.6 ml)"),
        ("pint", "`UK pint` (0.568 l) or `US pint` (0.473 l)"),
        ("pt", "`UK pint` (0.568 l) or `US pint` (0.473 l)"),
        ("quart", "`UK quart` (1.137 l) or `US quart` (0.946 l)"),
        ("gallon", "`UK gallon` (4.546 l) or `US gallon` (3.785 l)"),
        ("cup", "`metric cup` (0.250 l) or `US cup` (0.237 l)"),
    ],
};

/// A length in centimetres. `assumed` is the unit of a bare number, if there is one.
///
/// # Errors
/// [`UnitError`] says what is not understood.
pub fn length_cm(text: &str, assumed: Option<&str>) -> Result<f64, UnitError> {
    sum(text, assumed, &LENGTH_CM)
}

/// A mass in kilograms. `assumed` is the unit of a bare number, if there is one.
///
/// # Errors
/// [`UnitError`] says what is not understood.
pub fn mass_kg(text: &str, assumed: Option<&str>) -> Result<f64, UnitError> {
    sum(text, assumed, &MASS_KG)
}

/// A volume in litres. `assumed` is the unit of a bare number, if there is one.
///
/// # Errors
/// [`UnitError`] says what is not understood.
pub fn volume_l(text: &str, assumed: Option<&str>) -> Result<f64, UnitError> {
    sum(text, assumed, &VOLUME_L)
}

/// A temperature in °C. `assumed` is the unit of a bare number (`C` or `F`), if there is one.
///
/// # Errors
/// [`UnitError`] says what is not understood.
pub fn temperature_c(text: &str, assumed: Option<&str>) -> Result<f64, UnitError> {
    let text = text.trim();
    let (negative, rest) = sign(text);
    let (number, rest) = leading_number(rest)?;
    let number = if negative { -number } else { number };
    let written = rest.trim();
    let unit = if written.is_empty() { assumed.unwrap_or("") } else { written };
    let known = "C, F";
    let value = match unit.trim_start_matches(['°', 'º']).trim().to_lowercase().as_str() {
        "c" | "celsius" | "℃" => number,
        "f" | "fahrenheit" | "℉" => (number - 32.0) / 1.8,
        "" => return Err(UnitError::NoUnit { found: text.to_owned(), known }),
        _ => return Err(UnitError::UnknownUnit { unit: unit.to_owned(), kind: "temperature", known }),
    };
    finite(value, text)
}

/// The unit a length, mass, volume or temperature text ends in, when it has one: to compare with the unit of a key.
#[must_use]
pub fn written_unit(text: &str) -> Option<String> {
    let (_, rest) = sign(text.trim());
    let (_, rest) = leading_number(rest).ok()?;
    let unit = rest.trim();
    (!unit.is_empty()).then(|| unit.to_owned())
}

fn sum(text: &str, assumed: Option<&str>, kind: &Kind) -> Result<f64, UnitError> {
    const LONGEST: usize = 100;
    let text = text.trim();
    if text.is_empty() {
        return Err(UnitError::Empty);
    }
    if text.len() > LONGEST {
        return Err(not_a_number(text));
    }
    let (negative, mut rest) = sign(text);
    let mut total = 0.0;
    while !rest.is_empty() {
        let (number, after) = leading_number(rest)?;
        let end = after.find(|c: char| c.is_ascii_digit() || is_vulgar(c)).unwrap_or(after.len());
        let (unit, next) = after.split_at(end);
        total += number * unit_factor(unit, text, assumed, kind)?;
        rest = next.trim_start();
    }
    finite(if negative { -total } else { total }, text)
}

fn unit_factor(written: &str, text: &str, assumed: Option<&str>, kind: &Kind) -> Result<f64, UnitError> {
    let trimmed = written.trim().trim_end_matches([',', '.', '-', '+']).trim();
    let unit = if trimmed.is_empty() { assumed.unwrap_or("") } else { trimmed };
    if unit.is_empty() {
        return Err(UnitError::NoUnit { found: text.to_owned(), known: kind.known });
    }
    let lower = unit.to_lowercase().replace("imperial", "uk").replace(['.'], "");
    let lower = lower.split_whitespace().collect::<Vec<_>>().join(" ");
    let singular = lower.strip_suffix('s').unwrap_or(&lower);
    let find = |name: &str| kind.units.iter().find(|(known, _)| *known == name).map(|(_, factor)| *factor);
    if let Some(factor) = find(&lower).or_else(|| find(singular)) {
        return Ok(factor);
    }
    match kind.whose.iter().find(|(name, _)| *name == lower || *name == singular) {
        Some((_, choices)) => Err(UnitError::WhoseUnit { unit: unit.to_owned(), choices }),
        None => Err(UnitError::UnknownUnit { unit: unit.to_owned(), kind: kind.name, known: kind.known }),
    }
}

fn sign(text: &str) -> (bool, &str) {
    match text.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.strip_prefix('+').unwrap_or(text).trim_start()),
    }
}

fn finite(value: f64, text: &str) -> Result<f64, UnitError> {
    if value.is_finite() { Ok(value) } else { Err(UnitError::NotFinite { found: text.to_owned() }) }
}

/// The number a text begins with, and the rest: `12`, `1.5`, `1,5`, `1/2`, `1 1/2`, `1-1/2`, `1½`, `½`.
fn leading_number(text: &str) -> Result<(f64, &str), UnitError> {
    if text.is_empty() {
        return Err(UnitError::Empty);
    }
    if let Some((value, rest)) = vulgar(text) {
        return Ok((value, rest));
    }
    let (first, rest) = decimal(text)?;
    if let Some(after_bar) = rest.strip_prefix('/') {
        return divided(first, after_bar);
    }
    if let Some((value, rest)) = vulgar(rest.trim_start()) {
        return Ok((first + value, rest));
    }
    let next = rest.strip_prefix('-').unwrap_or(rest).trim_start();
    if let Ok((over, after)) = decimal(next)
        && let Some(after_bar) = after.strip_prefix('/')
    {
        let (part, rest) = divided(over, after_bar)?;
        return Ok((first + part, rest));
    }
    Ok((first, rest))
}

fn divided(over: f64, after_bar: &str) -> Result<(f64, &str), UnitError> {
    let (under, rest) = decimal(after_bar)?;
    Ok((finite(over / under, after_bar)?, rest))
}

fn decimal(text: &str) -> Result<(f64, &str), UnitError> {
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',').unwrap_or(text.len());
    let (digits, rest) = text.split_at(end);
    // A mark at the very end belongs to the sentence, not to the number: "5 lb, 4 oz", "24 in."
    let digits = digits.trim_end_matches(['.', ',']);
    if let Some((whole, decimals)) = digits.split_once(',')
        && !whole.is_empty()
        && decimals.len() == 3
    {
        return Err(UnitError::AmbiguousComma { found: digits.to_owned() });
    }
    let value: f64 = digits.replace(',', ".").parse().map_err(|_| not_a_number(text))?;
    Ok((finite(value, digits)?, rest))
}

fn not_a_number(text: &str) -> UnitError {
    let found: String = text.chars().take(24).collect();
    UnitError::NotANumber { found: found.trim_end().to_owned() }
}

const VULGAR: &[(char, f64)] = &[
    ('½', 1.0 / 2.0),
    ('¼', 1.0 / 4.0),
    ('¾', 3.0 / 4.0),
    ('⅓', 1.0 / 3.0),
    ('⅔', 2.0 / 3.0),
    ('⅛', 1.0 / 8.0),
    ('⅜', 3.0 / 8.0),
    ('⅝', 5.0 / 8.0),
    ('⅞', 7.0 / 8.0),
];

fn is_vulgar(c: char) -> bool {
    VULGAR.iter().any(|(sign, _)| *sign == c)
}

fn vulgar(text: &str) -> Option<(f64, &str)> {
    let first = text.chars().next()?;
    let (_, value) = VULGAR.iter().find(|(sign, _)| *sign == first)?;
    Some((*value, text.get(first.len_utf8()..)?))
}
