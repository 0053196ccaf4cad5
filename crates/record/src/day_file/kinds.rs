//! The kinds of entry a day's file knows, and the settings and limits that go with them.

use crate::reading::{Mass, MassUnit, Temperature, TemperatureUnit};
use crate::wording::normal;
use ovenfall_engine::description::FirePlace;

/// Kind of an entry, as named in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    WoodOn,
    FireMoved,
    EmbersSpread,
    RakedOut,
    Swept,
    Swabbed,
    Door,
    Placed,
    Turned,
    ToppedUp,
    TakenOut,
    Spot,
    Probe,
    Masonry,
    Liquid,
    Core,
    HandCount,
    Outdoor,
    Strike,
}

/// Every kind with its name in files.
pub const KINDS: [(Kind, &str); 19] = [
    (Kind::WoodOn, "wood on"),
    (Kind::FireMoved, "fire moved"),
    (Kind::EmbersSpread, "embers spread"),
    (Kind::RakedOut, "raked out"),
    (Kind::Swept, "swept"),
    (Kind::Swabbed, "swabbed"),
    (Kind::Door, "door"),
    (Kind::Placed, "placed"),
    (Kind::Turned, "turned"),
    (Kind::ToppedUp, "topped up"),
    (Kind::TakenOut, "taken out"),
    (Kind::Spot, "spot"),
    (Kind::Probe, "probe"),
    (Kind::Masonry, "masonry"),
    (Kind::Liquid, "liquid"),
    (Kind::Core, "core"),
    (Kind::HandCount, "hand count"),
    (Kind::Outdoor, "outdoor"),
    (Kind::Strike, "strike"),
];

impl Kind {
    /// Reads the name.
    pub fn parse(text: &str) -> Option<Self> {
        let name = normal(text);
        KINDS.iter().find(|(_, known)| *known == name).map(|(kind, _)| *kind)
    }

    /// The name in files.
    pub const fn name(self) -> &'static str {
        KINDS[self as usize].1
    }

    /// Whether the columns `what`, `value` (with `unit`) and `strikes` mean something for this kind.
    pub const fn uses(self) -> Uses {
        let (what, value) = match self {
            Self::WoodOn => (true, true),
            Self::FireMoved | Self::Placed | Self::Turned | Self::TakenOut => (true, false),
            Self::EmbersSpread | Self::RakedOut | Self::Swept | Self::Strike => (false, false),
            Self::Swabbed | Self::Probe | Self::HandCount | Self::Outdoor => (false, true),
            Self::Door | Self::ToppedUp | Self::Spot | Self::Masonry | Self::Liquid | Self::Core => (true, true),
        };
        Uses { what, value, strikes: matches!(self, Self::Strike) }
    }
}

/// Which columns a kind uses.
#[derive(Debug, Clone, Copy)]
pub struct Uses {
    /// `what`.
    pub what: bool,
    /// `value` and `unit`.
    pub value: bool,
    /// `strikes`.
    pub strikes: bool,
}

/// Places a fire is moved to, with their names in files.
pub const FIRE_PLACES: [(FirePlace, &str); 4] =
    [(FirePlace::Left, "left"), (FirePlace::Right, "right"), (FirePlace::Back, "back"), (FirePlace::Centre, "centre")];

/// Smallest and largest value allowed, with what it is and its unit, for messages.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// Smallest.
    pub min: f64,
    /// Largest.
    pub max: f64,
    /// Unit shown.
    pub unit: &'static str,
}

impl Limits {
    const fn new(min: f64, max: f64, unit: &'static str) -> Self {
        Self { min, max, unit }
    }

    /// Whether the value lies inside; a value that is not a number does not.
    pub fn hold(&self, value: f64) -> bool {
        value >= self.min && value <= self.max
    }

    /// The limits in words.
    pub fn words(&self) -> String {
        format!("{} to {} {}", self.min, self.max, self.unit)
    }
}

/// Surfaces, chamber, masonry: from a hard frost to more than any wood fire reaches.
pub const OVEN_C: Limits = Limits::new(-40.0, 1300.0, "°C");
/// Food and liquid: a dish that ran dry follows the oven.
pub const FOOD_C: Limits = Limits::new(-30.0, 400.0, "°C");
/// Outdoors.
pub const OUTDOOR_C: Limits = Limits::new(-60.0, 60.0, "°C");
/// Liquid poured into a dish.
pub const LIQUID_C: Limits = Limits::new(0.0, 110.0, "°C");
/// One feed of wood.
pub const WOOD_KG: Limits = Limits::new(0.01, 300.0, "kg");
/// Baskets in one feed.
pub const BASKETS: Limits = Limits::new(0.05, 50.0, "baskets");
/// One basket of wood.
pub const BASKET_KG: Limits = Limits::new(0.2, 60.0, "kg");
/// Water in wood, wet basis.
pub const MOISTURE_PERCENT: Limits = Limits::new(0.0, 65.0, "% of the whole mass");
/// Water left on the floor by a wet cloth.
pub const SWAB_KG: Limits = Limits::new(0.0, 20.0, "kg");
/// Liquid added to a dish.
pub const TOP_UP_KG: Limits = Limits::new(0.001, 50.0, "kg");
/// Free share of the mouth with the door ajar.
pub const AJAR_PERCENT: Limits = Limits::new(1.0, 99.0, "% of the mouth");
/// Depth of a thermocouple.
pub const DEPTH_MM: Limits = Limits::new(1.0, 1000.0, "mm");
/// Slow counts of a hand held in.
pub const HAND_S: Limits = Limits::new(0.0, 60.0, "s");

/// Reads a number; a decimal comma is one when no other reading is possible.
///
/// `1,234` between commas could be a thousand: it is refused there.
pub fn number(text: &str, delimiter: char) -> Option<f64> {
    let text: String = text.trim().chars().map(|c| if c == '\u{2212}' { '-' } else { c }).collect();
    let plain = match (text.matches(',').count(), text.contains('.')) {
        (0, _) => text,
        (1, false) => {
            let thousands = text.rsplit(',').next().is_some_and(|tail| tail.len() == 3);
            if thousands && delimiter == ',' {
                return None;
            }
            text.replace(',', ".")
        }
        _ => return None,
    };
    let digits_only = plain.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | '-' | '+' | 'e' | 'E'));
    plain.parse::<f64>().ok().filter(|value| digits_only && value.is_finite())
}

/// Parts the sign of an over-range display from the number after it: `>550` is at least 550.
pub fn over_range(text: &str) -> (bool, &str) {
    let text = text.trim();
    match text.strip_prefix(">=").or_else(|| text.strip_prefix(['>', '\u{2265}'])) {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text),
    }
}

/// Whether a text is what a display shows when it is over its range, instead of a number.
pub fn is_over_range_sign(text: &str) -> bool {
    let plain: String = text.trim().to_lowercase().chars().filter(|c| !matches!(c, '.' | ' ')).collect();
    matches!(plain.as_str(), "ol" | "0l" | "hi" | "over" | "overload" | "overrange" | "err" | "ovr")
        || (!plain.is_empty() && plain.chars().all(|c| matches!(c, '-' | '\u{2013}' | '\u{2014}')))
}

/// The setting `word NUMBER UNIT` in a free text, as the last two pieces: `basket 6.5 kg` → (6.5, "kg").
pub fn setting<'a>(text: &'a str, word: &str) -> Option<(f64, &'a str)> {
    let mut words = text.split([' ', '=', ':', ';', '\n']).filter(|piece| !piece.is_empty());
    words.by_ref().find(|piece| piece.eq_ignore_ascii_case(word))?;
    let amount = words.next()?.trim_end_matches(',');
    let split = amount.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','));
    let (amount, unit) = match split {
        Some(at) if at > 0 => amount.split_at(at),
        _ => (amount, words.next().unwrap_or("")),
    };
    number(amount, ';').map(|value| (value, unit.trim_end_matches([',', '.'])))
}

/// The mass of a basket written into a text.
pub fn basket_in(text: &str) -> Option<Mass> {
    let (value, unit) = setting(text, "basket")?;
    Some(Mass { value, unit: MassUnit::parse(unit)? })
}

/// The moisture of wood written into a text, %.
pub fn moisture_in(text: &str) -> Option<f64> {
    let (value, unit) = setting(text, "moisture")?;
    (unit == "%").then_some(value)
}

/// Parts a dish's name from the temperature of what is added: `stew @ 95 °C`.
pub fn name_and_temperature(text: &str) -> (&str, Option<Result<Temperature, &str>>) {
    let Some((name, temperature)) = text.rsplit_once('@') else {
        return (text.trim(), None);
    };
    let temperature = temperature.trim();
    let split = temperature.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-')));
    let (value, unit) = temperature.split_at(split.unwrap_or(temperature.len()));
    let read = number(value, ';')
        .and_then(|value| TemperatureUnit::parse(unit).map(|unit| Temperature::new(value, unit)))
        .ok_or(temperature);
    (name.trim(), Some(read))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_stand_at_their_own_number() {
        for (place, (kind, name)) in KINDS.iter().enumerate() {
            assert_eq!(*kind as usize, place);
            assert_eq!(Kind::parse(&name.to_uppercase().replace(' ', "_")), Some(*kind));
        }
    }

    #[test]
    fn numbers_with_points_and_commas() {
        assert_eq!(number("12.5", ','), Some(12.5));
        assert_eq!(number("12,5", ','), Some(12.5));
        assert_eq!(number("1,234", ','), None);
        assert_eq!(number("1,234", ';'), Some(1.234));
        assert_eq!(number("\u{2212}3", ','), Some(-3.0));
        for bad in ["NaN", "inf", "1e999", "", "1.2.3", "1,2,3", "12 kg", "0x10", "infinity"] {
            assert_eq!(number(bad, ','), None, "{bad}");
        }
    }

    #[test]
    fn displays_over_their_range() {
        for text in [">550", "> 550", ">=550", "\u{2265} 550"] {
            assert_eq!(over_range(text), (true, "550"), "{text}");
        }
        assert_eq!(over_range("550"), (false, "550"));
        assert!(["OL", "O.L", "HI", "---", "\u{2014}"].iter().all(|text| is_over_range_sign(text)));
        assert!(!["", "12", "high", "-3"].iter().any(|text| is_over_range_sign(text)));
    }

    #[test]
    fn settings_in_words() {
        assert_eq!(basket_in("three full ones, basket 6.5 kg, dry"), Some(Mass::kilograms(6.5)));
        assert_eq!(basket_in("basket=14lb"), Some(Mass { value: 14.0, unit: MassUnit::Pound }));
        assert_eq!(basket_in("the old basket was full"), None);
        assert_eq!(moisture_in("moisture 18 %"), Some(18.0));
        assert_eq!(moisture_in("moisture 18%, oak"), Some(18.0));
        assert_eq!(name_and_temperature("stew @ 203 °F").1.unwrap().unwrap().to_string(), "203 F");
        assert_eq!(name_and_temperature("stew"), ("stew", None));
        assert_eq!(name_and_temperature("stew @ hot"), ("stew", Some(Err("hot"))));
    }
}
