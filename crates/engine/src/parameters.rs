//! One plausible oven on one plausible day: what a member of an ensemble may differ in from the description.
//!
//! # Equation
//! Every field is a factor on the described or default value, 1 where nothing is known against it, except the offsets
//! in kelvin and the shares, which say so.
//!
//! # Validity
//! Factors are positive; shares lie in 0 to 1; `assemble` refuses others.
//!
//! # Source
//! Defaults: see each field. Spreads: `learn::prior`.

/// Parameters of one member. [`Parameters::default`] is the oven exactly as described.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parameters {
    /// Factor on the inner sizes of chamber and mouth.
    pub size: f64,
    /// Factor on the thickness of dense layers.
    pub dense_thickness: f64,
    /// Factor on the thickness of insulating layers.
    pub insulation_thickness: f64,
    /// Factor on the conductivity of dense layers of dome or vault.
    pub dome_conductivity: f64,
    /// Factor on the conductivity of dense layers of the floor.
    pub floor_conductivity: f64,
    /// Factor on the conductivity of insulating layers.
    pub insulation_conductivity: f64,
    /// Factor on the heat capacity of dense layers.
    pub dense_capacity: f64,
    /// Factor on the heat capacity of insulating layers.
    pub insulation_capacity: f64,
    /// Emissivity of the chamber's surfaces (absolute, not a factor).
    pub chamber_emissivity: f64,
    /// Factor on the free area around the shut door.
    pub gap_area: f64,
    /// Factor on the discharge through the open mouth.
    pub mouth_exchange: f64,
    /// Factor on natural convection inside.
    pub inner_convection: f64,
    /// Factor on the film coefficient outside.
    pub outer_convection: f64,
    /// Factor on the loss through the masonry of the mouth.
    pub mouth_masonry: f64,
    /// Factor on the loss through the rim of the floor.
    pub floor_rim: f64,
    /// Factor on the energy of the wood (weighing, moisture, kind): one error for the day.
    pub wood_energy: f64,
    /// Share of the fire's heat that is radiated (absolute).
    pub fire_radiant_share: f64,
    /// Factor on the heat passed from the fire's gases to the walls.
    pub fire_convection: f64,
    /// Share of the radiated heat of the fire that falls on the side it lies on (absolute).
    pub fire_side_share: f64,
    /// Share of the wood's energy that is in the embers (absolute).
    pub char_share: f64,
    /// Share of the wood's energy that is released at all (absolute).
    pub combustion: f64,
    /// Time constant of flaming, s (absolute).
    pub flaming_s: f64,
    /// Time constant of the embers, s (absolute).
    pub embers_s: f64,
    /// Share of the embers left behind when raking out (absolute).
    pub embers_left: f64,
    /// Factor on the contact between pot and floor.
    pub pot_contact: f64,
    /// Factor on evaporation through the lid's gap.
    pub evaporation: f64,
    /// Offset of the outdoor temperature, K.
    pub ambient_offset_k: f64,
    /// Offset of the temperature of what is placed, K.
    pub start_offset_k: f64,
    /// Reading error of the chamber probe, K (instrument, not oven).
    pub probe_offset_k: f64,
}

impl Default for Parameters {
    fn default() -> Self {
        Self {
            size: 1.0,
            dense_thickness: 1.0,
            insulation_thickness: 1.0,
            dome_conductivity: 1.0,
            floor_conductivity: 1.0,
            insulation_conductivity: 1.0,
            dense_capacity: 1.0,
            insulation_capacity: 1.0,
            chamber_emissivity: 0.90,
            gap_area: 1.0,
            mouth_exchange: 1.0,
            inner_convection: 1.0,
            outer_convection: 1.0,
            mouth_masonry: 1.0,
            floor_rim: 1.0,
            wood_energy: 1.0,
            fire_radiant_share: 0.30,
            fire_convection: 1.0,
            fire_side_share: 0.45,
            char_share: 0.35,
            combustion: 0.93,
            flaming_s: 540.0,
            embers_s: 2400.0,
            embers_left: 0.03,
            pot_contact: 1.0,
            evaporation: 1.0,
            ambient_offset_k: 0.0,
            start_offset_k: 0.0,
            probe_offset_k: 0.0,
        }
    }
}
