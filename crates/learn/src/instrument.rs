//! What instruments and spots get wrong all day long: unknowns of the day, each with a coordinate of its own.
//!
//! # Equation
//! With standard normal coordinates: an infra-red thermometer shows t (1 + g z₀) with g its gain error; a spot lies
//! b z (T − T_ambient) off the patch the engine computes, one z for each of the seven spots; a hand is h z off.
//!
//! # Validity
//! One thermometer and one person a day. The chamber probe's offset is a row of the prior.
//!
//! # Source
//! Spreads: judgement; gain: half of the usual ± 2 % of reading taken as lasting.

use ovenfall_record::reading::Spot;

/// Coordinates of the instruments: gain, seven spots, hand.
pub const INSTRUMENTS: usize = 9;

/// Lasting gain error of an infra-red thermometer whose setting is known.
const GAIN: f64 = 0.01;
/// The same when nobody knows what it is set to.
const GAIN_UNKNOWN_SETTING: f64 = 0.02;
/// Lasting difference of a spot from its patch, share of its height over the outdoor air.
const SPOT: f64 = 0.025;
/// A person's own hand, K.
const HAND_K: f64 = 35.0;

/// The instruments of one member.
#[derive(Debug, Clone, Copy)]
pub struct Instruments<'a> {
    z: &'a [f64],
    gain: f64,
}

impl<'a> Instruments<'a> {
    /// Reads the coordinates `z`, of which there are [`INSTRUMENTS`].
    #[must_use]
    pub fn new(z: &'a [f64], setting_known: bool) -> Self {
        Self { z, gain: if setting_known { GAIN } else { GAIN_UNKNOWN_SETTING } }
    }

    fn at(&self, i: usize) -> f64 {
        self.z.get(i).copied().unwrap_or(0.0)
    }

    /// What the thermometer shows for what it should show, °C.
    #[must_use]
    pub fn shown_c(&self, t_c: f64) -> f64 {
        t_c * (1.0 + self.gain * self.at(0))
    }

    /// How far a spot lies from its patch, K.
    #[must_use]
    pub fn spot_k(&self, spot: Spot, over_ambient_k: f64) -> f64 {
        let index = Spot::NAMES.iter().position(|(s, _)| *s == spot).unwrap_or(0);
        SPOT * self.at(1 + index) * over_ambient_k
    }

    /// How far this person's hand is off, K.
    #[must_use]
    pub fn hand_k(&self) -> f64 {
        HAND_K * self.at(INSTRUMENTS - 1)
    }
}
