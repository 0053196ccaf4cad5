//! What an owner can state and measure of an oven: the input of everything.
//!
//! # Equation
//! None: plain data. A [`Quantity`] is a log-normal belief, value times exp(σ z).
//!
//! # Validity
//! `model::assemble` refuses what the engine cannot work with; the limits users see live with the file reader.
//!
//! # Source
//! Spreads for measured and for guessed quantities are judgement, stated where they are set.

use crate::material::Material;

/// A positive quantity with an honest spread. The unit is in the name of the field that holds it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantity {
    /// Best value.
    pub value: f64,
    /// One-sigma relative error (log-normal).
    pub rel_sigma: f64,
    /// Whether the owner stated it, or it is the construction's usual value.
    pub stated: bool,
}

impl Quantity {
    /// A quantity the owner stated, with the relative error of the way it was measured.
    #[must_use]
    pub const fn stated(value: f64, rel_sigma: f64) -> Self {
        Self { value, rel_sigma, stated: true }
    }

    /// The construction's usual value, with a wider spread.
    #[must_use]
    pub const fn usual(value: f64, rel_sigma: f64) -> Self {
        Self { value, rel_sigma, stated: false }
    }
}

/// The shape of the chamber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Form {
    /// A round floor under a spherical cap.
    Dome {
        /// Inner diameter of the floor, m.
        inner_diameter_m: Quantity,
        /// Height of the crown over the floor, m.
        rise_m: Quantity,
    },
    /// A rectangular floor under a barrel (circular segment) with flat back and front walls.
    Vault {
        /// Inner width, m.
        width_m: Quantity,
        /// Inner length, mouth to back, m.
        length_m: Quantity,
        /// Height of the crown over the floor, m.
        rise_m: Quantity,
    },
}

/// One layer of a wall, floor or door.
#[derive(Debug, Clone, PartialEq)]
pub struct Layer {
    /// What it is made of.
    pub material: Material,
    /// How thick it is, m.
    pub thickness_m: Quantity,
}

/// Where the fire usually lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FirePlace {
    /// Left of the centre, seen from the mouth.
    Left,
    /// Right of the centre, seen from the mouth.
    Right,
    /// At the back.
    Back,
    /// In the middle.
    Centre,
}

/// How well the door closes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DoorFit {
    /// Rebated or sealed with a rope or dough.
    Tight,
    /// A plain door set in the mouth.
    Ordinary,
    /// Daylight shows around it.
    Loose,
}

/// The opening and what closes it.
#[derive(Debug, Clone, PartialEq)]
pub struct Mouth {
    /// Clear width, m.
    pub width_m: Quantity,
    /// Clear height at the middle, m.
    pub height_m: Quantity,
    /// Layers of the door, hot face first; empty when there is no door (a day that shuts it anyway gets a sheet of
    /// iron).
    pub door: Vec<Layer>,
    /// How well the door closes; words for the user, `gap_m2` is what counts.
    pub fit: DoorFit,
    /// Free area around the shut door, m².
    pub gap_m2: Quantity,
}

/// What is under the floor's lowest layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Under {
    /// Free air: a stand, a table, a wood store.
    Air,
    /// Rubble or ground.
    Ground,
}

/// The thermometer that hangs in the chamber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Probe {
    /// Sheath diameter, m.
    pub diameter_m: f64,
    /// Emissivity of the sheath.
    pub emissivity: f64,
}

/// An oven as its owner describes it, every unknown filled with its construction's usual value.
#[derive(Debug, Clone, PartialEq)]
pub struct OvenDescription {
    /// The oven's name.
    pub name: String,
    /// Shape and inner sizes.
    pub form: Form,
    /// Layers of dome or vault, hot face first.
    pub dome: Vec<Layer>,
    /// Layers of the floor, hot face first.
    pub floor: Vec<Layer>,
    /// What is under the floor.
    pub under: Under,
    /// The opening.
    pub mouth: Mouth,
    /// Where the fire usually lies.
    pub fire_place: FirePlace,
    /// Height above the sea, m; sets the air pressure and the boiling point.
    pub altitude_m: f64,
    /// Usual outdoor temperature, °C, when a day does not say.
    pub ambient_c: f64,
    /// One-sigma error of the outdoor temperature, K.
    pub ambient_sigma_k: f64,
    /// Wind at the oven, m/s.
    pub wind_m_s: f64,
    /// New, unused for long, or rained on: water in the masonry is likely.
    pub new_or_damp: bool,
    /// The chamber probe.
    pub probe: Probe,
}
