//! What is read off an oven and its food, kept in the unit it was written in.
//!
//! A quantity keeps the number and unit of the person who wrote it, so that a file written back says what was written.
//! Computation asks for SI: `c()`, `kg()`.

use std::fmt;

/// Unit of a temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TemperatureUnit {
    /// Degrees Celsius.
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
}

/// A temperature as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Temperature {
    /// The number written.
    pub value: f64,
    /// Its unit.
    pub unit: TemperatureUnit,
    /// The display was over its range: the temperature is at least this. Only a reading can be.
    pub at_least: bool,
}

impl Temperature {
    /// A temperature.
    #[must_use]
    pub const fn new(value: f64, unit: TemperatureUnit) -> Self {
        Self { value, unit, at_least: false }
    }

    /// A temperature in °C.
    #[must_use]
    pub const fn celsius(value: f64) -> Self {
        Self::new(value, TemperatureUnit::Celsius)
    }

    /// The temperature, °C.
    #[must_use]
    pub fn c(&self) -> f64 {
        match self.unit {
            TemperatureUnit::Celsius => self.value,
            TemperatureUnit::Fahrenheit => (self.value - 32.0) / 1.8,
        }
    }
}

impl TemperatureUnit {
    /// Reads a unit; a blank is °C.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        match text.trim().to_lowercase().as_str() {
            "" | "°c" | "c" | "degc" | "deg c" | "ºc" | "℃" => Some(Self::Celsius),
            "°f" | "f" | "degf" | "deg f" | "ºf" | "℉" => Some(Self::Fahrenheit),
            _ => None,
        }
    }

    /// The unit as written in files: without the degree sign, which spreadsheets garble.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Celsius => "C",
            Self::Fahrenheit => "F",
        }
    }
}

impl fmt::Display for Temperature {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let over = if self.at_least { ">" } else { "" };
        write!(f, "{over}{} {}", self.value, self.unit.sign())
    }
}

/// Unit of a mass. A litre is one of water, a kilogram.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MassUnit {
    /// Kilogram.
    Kilogram,
    /// Gram.
    Gram,
    /// Pound, 0.45359237 kg.
    Pound,
    /// Ounce, a sixteenth of a pound.
    Ounce,
    /// Litre of water, taken as 1 kg.
    Litre,
}

/// A mass as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mass {
    /// The number written.
    pub value: f64,
    /// Its unit.
    pub unit: MassUnit,
}

impl Mass {
    /// A mass in kg.
    #[must_use]
    pub const fn kilograms(value: f64) -> Self {
        Self { value, unit: MassUnit::Kilogram }
    }

    /// The mass, kg.
    #[must_use]
    pub fn kg(&self) -> f64 {
        self.value * self.unit.kg()
    }
}

impl MassUnit {
    /// Reads a unit; a blank is kg.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        match text.trim().to_lowercase().as_str() {
            "" | "kg" => Some(Self::Kilogram),
            "g" => Some(Self::Gram),
            "lb" | "lbs" => Some(Self::Pound),
            "oz" => Some(Self::Ounce),
            "l" | "litre" | "liter" | "litres" | "liters" => Some(Self::Litre),
            _ => None,
        }
    }

    /// Mass of one unit, kg.
    #[must_use]
    pub const fn kg(self) -> f64 {
        match self {
            Self::Kilogram | Self::Litre => 1.0,
            Self::Gram => 0.001,
            Self::Pound => 0.453_592_37,
            Self::Ounce => 0.453_592_37 / 16.0,
        }
    }

    /// The unit as written in files.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Kilogram => "kg",
            Self::Gram => "g",
            Self::Pound => "lb",
            Self::Ounce => "oz",
            Self::Litre => "l",
        }
    }
}

impl fmt::Display for Mass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.value, self.unit.sign())
    }
}

/// A place an infra-red thermometer is pointed at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spot {
    /// Floor, at the back.
    FloorBack,
    /// Floor, in the middle.
    FloorCentre,
    /// Floor, behind the mouth.
    FloorFront,
    /// Highest place of dome or vault.
    Crown,
    /// Wall opposite the mouth.
    BackWall,
    /// Wall on the side the fire lies on.
    FireSide,
    /// Wall on the side away from the fire.
    FarSide,
}

impl Spot {
    /// Every spot with its name in files.
    pub const NAMES: [(Self, &'static str); 7] = [
        (Self::FloorBack, "floor back"),
        (Self::FloorCentre, "floor centre"),
        (Self::FloorFront, "floor front"),
        (Self::Crown, "crown"),
        (Self::BackWall, "back wall"),
        (Self::FireSide, "fire side"),
        (Self::FarSide, "far side"),
    ];

    /// The name in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        Self::NAMES.iter().find(|(spot, _)| *spot == self).map_or("crown", |(_, name)| name)
    }
}

/// The masonry a thermocouple sits in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Dome or vault.
    Dome,
    /// Floor.
    Floor,
}

impl Part {
    /// The name in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Dome => "dome",
            Self::Floor => "floor",
        }
    }
}

/// One reading.
#[derive(Debug, Clone, PartialEq)]
pub enum Reading {
    /// An infra-red thermometer on a surface.
    Spot {
        /// Where.
        spot: Spot,
        /// What it showed.
        temperature: Temperature,
    },
    /// The probe hanging in the chamber.
    Probe {
        /// What it showed.
        temperature: Temperature,
    },
    /// A thermocouple in the masonry.
    Masonry {
        /// Dome or floor.
        part: Part,
        /// Depth below the hot face, mm.
        depth_mm: f64,
        /// What it showed.
        temperature: Temperature,
    },
    /// A probe in the liquid of a dish.
    Liquid {
        /// The dish, by its name in the pots file.
        dish: String,
        /// What it showed.
        temperature: Temperature,
    },
    /// A probe in the middle of a piece of a dish.
    Core {
        /// The dish, by its name in the pots file.
        dish: String,
        /// What it showed.
        temperature: Temperature,
    },
    /// How long a hand can be held in, s of slow counting.
    HandCount {
        /// Seconds.
        count_s: f64,
    },
    /// The temperature outdoors.
    Outdoor {
        /// What it showed.
        temperature: Temperature,
    },
}

impl Reading {
    /// The temperature read, if it is one.
    #[must_use]
    pub const fn temperature(&self) -> Option<Temperature> {
        match self {
            Self::Spot { temperature, .. }
            | Self::Probe { temperature }
            | Self::Masonry { temperature, .. }
            | Self::Liquid { temperature, .. }
            | Self::Core { temperature, .. }
            | Self::Outdoor { temperature } => Some(*temperature),
            Self::HandCount { .. } => None,
        }
    }

    /// The dish it is about, if it is about one.
    #[must_use]
    pub fn dish(&self) -> Option<&str> {
        match self {
            Self::Liquid { dish, .. } | Self::Core { dish, .. } => Some(dish),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_convert() {
        let boiling = Temperature::new(212.0, TemperatureUnit::Fahrenheit);
        assert!((boiling.c() - 100.0).abs() < 1e-12);
        let load = Mass { value: 10.0, unit: MassUnit::Pound };
        assert!((load.kg() - 4.535_923_7).abs() < 1e-12);
        assert_eq!(TemperatureUnit::parse("K"), None);
    }

    #[test]
    fn every_spot_has_its_own_name() {
        for (spot, name) in Spot::NAMES {
            assert_eq!(spot.name(), name);
        }
    }
}
