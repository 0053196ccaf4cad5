//! What happens to an oven: fire, door, pots, in order of time.
//!
//! # Equation
//! None: plain data. Times are seconds after the start of the day.
//!
//! # Validity
//! Events are sorted by time; `simulate` refuses a drive that is not, or that takes out what was never placed.
//!
//! # Source
//! Not applicable.

use crate::description::{FirePlace, Quantity};

/// State of the mouth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Door {
    /// Door on, as tight as it goes.
    Shut,
    /// Door set aside by a hand's breadth: this share of the mouth is free (0 to 1).
    Ajar(f64),
    /// No door.
    Open,
}

/// A feed of wood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wood {
    /// As weighed, kg.
    pub mass_kg: f64,
    /// Water, share of the whole mass (wet basis, 0 to 1).
    pub moisture: f64,
    /// Net calorific value of the dry wood, MJ/kg.
    pub dry_ncv_mj_kg: f64,
}

/// One thing done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Action {
    /// Wood put on the fire.
    WoodOn(Wood),
    /// Fire or embers moved to a place.
    FireTo(FirePlace),
    /// Embers spread over the floor.
    EmbersSpread,
    /// Embers raked out.
    RakeOut,
    /// Water put on the floor with a wet cloth, kg; it leaves as steam.
    Swab {
        /// Mass of water left on the floor, kg.
        water_kg: f64,
    },
    /// Door set.
    Door(Door),
    /// A placing put in: index into [`Drive::placings`].
    Place(usize),
    /// Hot liquid added to a placing.
    TopUp {
        /// Index into [`Drive::placings`].
        placing: usize,
        /// Mass added, kg.
        mass_kg: f64,
        /// Its temperature, °C.
        temperature_c: f64,
    },
    /// A placing taken out: index into [`Drive::placings`].
    TakeOut(usize),
    /// The outdoor temperature from here on, °C.
    Ambient(f64),
}

/// An action at a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    /// Seconds after the start of the day.
    pub at_s: f64,
    /// What is done.
    pub action: Action,
}

/// The vessel of a placing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pot {
    /// Mass of the vessel with its lid, kg.
    pub mass_kg: f64,
    /// Heat capacity of its material, J/(kg K).
    pub heat_capacity_j_kgk: f64,
    /// Emissivity of its outside.
    pub emissivity: f64,
    /// Whether it has a lid.
    pub lid: bool,
    /// Free share of the lid's rim through which vapour leaves, of the opening's area (0 to 1).
    pub lid_gap: f64,
    /// Outer diameter (of a round pot of the same footprint), m.
    pub diameter_m: f64,
    /// Outer height, m.
    pub height_m: f64,
    /// Contact with what it stands on, W/(m² K); a trivet lowers it.
    pub contact_w_m2k: f64,
}

/// The shape of the solid pieces in a placing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Piece {
    /// Round: beans, potatoes, a boned joint.
    Sphere,
    /// Long: sausages, a rolled joint, carrots.
    Cylinder,
    /// Flat: a gratin, a loaf in a tin, a slab of meat.
    Slab,
}

/// What is in the vessel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contents {
    /// Free liquid (water, stock, milk), kg.
    pub liquid_kg: f64,
    /// Solids, kg.
    pub solid_kg: f64,
    /// Shape of the solid pieces.
    pub piece: Piece,
    /// Smallest dimension through a piece (diameter, or thickness of a slab), m.
    pub piece_m: f64,
    /// Water in the solids, share of their mass.
    pub solid_water: f64,
    /// Conductivity of the solids, W/(m K).
    pub solid_conductivity_w_mk: f64,
    /// Heat capacity of the solids, J/(kg K).
    pub solid_heat_capacity_j_kgk: f64,
    /// Density of the solids, kg/m³.
    pub solid_density_kg_m3: f64,
    /// Temperature of all of it when placed, °C.
    pub start_c: Quantity,
}

/// A dish in a pot put in at a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Placing {
    /// Its name.
    pub name: String,
    /// The vessel.
    pub pot: Pot,
    /// What is in it.
    pub contents: Contents,
}

/// Everything that happens from the start of a day to its horizon.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drive {
    /// What may be placed; an index is stable for the whole day.
    pub placings: Vec<Placing>,
    /// Events, in order of time.
    pub events: Vec<Event>,
    /// Outdoor temperature at the start, °C; the oven's own when nothing is known.
    pub ambient_c: Option<f64>,
    /// End of the simulation, s.
    pub end_s: f64,
}

/// Fire that nobody raked out counts as in for this long, s: embers under ash glow for most of a day; judgement.
const BURNT_DOWN_S: f64 = 24.0 * 3600.0;

impl Drive {
    /// How the door stands at a time, events of that time included; open before anybody set it.
    #[must_use]
    pub fn door_at(&self, t_s: f64) -> Door {
        let set = |event: &Event| match event.action {
            Action::Door(door) if event.at_s <= t_s => Some(door),
            _ => None,
        };
        self.events.iter().rev().find_map(set).unwrap_or(Door::Open)
    }

    /// Whether a fire or embers are in at a time, events of that time included.
    #[must_use]
    pub fn fire_in_at(&self, t_s: f64) -> bool {
        let mut before = self.events.iter().rev().filter(|event| event.at_s <= t_s);
        let last = before.find(|event| matches!(event.action, Action::WoodOn(_) | Action::RakeOut));
        last.is_some_and(|event| matches!(event.action, Action::WoodOn(_)) && t_s - event.at_s < BURNT_DOWN_S)
    }

    /// Placings in the oven at a time, events of that time included.
    #[must_use]
    pub fn inside_at(&self, t_s: f64) -> Vec<usize> {
        let mut inside = Vec::new();
        for event in self.events.iter().filter(|event| event.at_s <= t_s) {
            match event.action {
                Action::Place(i) => inside.push(i),
                Action::TakeOut(i) => inside.retain(|x| *x != i),
                _ => {}
            }
        }
        inside
    }
}
