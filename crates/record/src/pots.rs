//! Pots and dishes: as a person writes them down, and as the engine wants them.
//!
//! A [`DishSheet`] holds only what was said; `None` is "don't know". [`fill`] makes a placing of it, with usual values
//! and wider spreads for what is not known.

use crate::problem::Problem;
use crate::vessels::{Vessel, Vessels, rel_sigma_of};
use crate::wording::normal;
use jiff::civil::Time;
use ovenfall_engine::description::Quantity;
use ovenfall_engine::drive::{Contents, Piece, Placing, Pot};
use ovenfall_food::properties::{Composition, Food, food_named};
use std::f64::consts::PI;

/// Temperature at which the properties of food are taken, °C: the middle of its way from the larder to the boil.
pub const FOOD_PROPERTIES_AT_C: f64 = 60.0;
/// Least relative spread of a food's conductivity: one sample against another, judgement.
const LEAST_CONDUCTIVITY_SIGMA: f64 = 0.08;
/// Usual share of a pot that is full.
const FULL_SHARE: f64 = 0.7;
/// Name of the food that stands for an undescribed dish.
const UNDESCRIBED: &str = "mixed dish";
/// Name of the vessel that stands for an undescribed pot.
const USUAL_POT: &str = "iron";

/// How the solids of a dish are cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pieces {
    /// One piece: a joint, a bird, a loaf.
    One,
    /// Round pieces.
    Round,
    /// Long pieces.
    Long,
    /// A flat layer.
    Flat,
}

impl Pieces {
    /// Every way with its name in files.
    pub const NAMES: [(Self, &'static str); 4] =
        [(Self::One, "one"), (Self::Round, "round"), (Self::Long, "long"), (Self::Flat, "flat")];
}

/// A dish as written down. Everything but the name may be unknown.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DishSheet {
    /// Its name: what the day's entries call it.
    pub name: String,
    /// What kind of dish it is, for its window of the falling oven.
    pub kind: Option<String>,
    /// Hour it is wanted, on the wall clock.
    pub wanted: Option<Time>,
    /// What the pot is made of: a name of the vessel table.
    pub pot: Option<String>,
    /// Mass of the pot with its lid, kg.
    pub pot_kg: Option<f64>,
    /// Whether it has a lid.
    pub lid: Option<bool>,
    /// Whether it stands on a trivet.
    pub trivet: Option<bool>,
    /// Outer diameter, cm.
    pub diameter_cm: Option<f64>,
    /// Outer height, cm.
    pub height_cm: Option<f64>,
    /// Free liquid, kg.
    pub liquid_kg: Option<f64>,
    /// Solids, kg.
    pub solid_kg: Option<f64>,
    /// How the solids are cut.
    pub pieces: Option<Pieces>,
    /// Smallest dimension through a piece, cm.
    pub piece_cm: Option<f64>,
    /// Temperature when it is put in, °C.
    pub start_c: Option<f64>,
    /// What it is mostly made of: a name of the food table.
    pub mostly: Option<String>,
    /// Its own composition, percent: water, protein, fat, carbohydrate without fibre, fibre, ash.
    pub composition_percent: Option<[f64; 6]>,
}

/// What is known of the wood, as written down.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WoodSheet {
    /// Kind of wood.
    pub kind: Option<WoodKind>,
    /// Water, percent of the whole mass.
    pub moisture_percent: Option<f64>,
    /// Mass of a basket of it, kg.
    pub basket_kg: Option<f64>,
    /// Net calorific value of the dry wood, MJ/kg.
    pub dry_ncv_mj_kg: Option<f64>,
}

/// Kinds of wood.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WoodKind {
    /// Beech, oak, ash, fruit trees.
    Hardwood,
    /// Spruce, pine, fir, larch.
    Softwood,
}

impl WoodKind {
    /// Every kind with its name in files.
    pub const NAMES: [(Self, &'static str); 2] = [(Self::Hardwood, "hardwood"), (Self::Softwood, "softwood")];
}

/// The wood with usual values for what is not known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WoodValues {
    /// Water, share of the whole mass.
    pub moisture: Quantity,
    /// Net calorific value of the dry wood, MJ/kg.
    pub dry_ncv_mj_kg: Quantity,
    /// Mass of a basket, kg, if it is known.
    pub basket_kg: Option<Quantity>,
}

impl WoodSheet {
    /// Fills in what is not known.
    ///
    /// Dry net calorific value: 18.785 MJ/kg, computed from the composition of dry oak; softwood 19.1 MJ/kg from memory.
    /// Moisture of air-dry wood under a roof: 18 %, common practice, no source.
    #[must_use]
    pub fn values(&self) -> WoodValues {
        let usual_ncv = match self.kind {
            Some(WoodKind::Softwood) => Quantity::usual(19.1, 0.03),
            Some(WoodKind::Hardwood) => Quantity::usual(18.785, 0.02),
            None => Quantity::usual(18.785, 0.03),
        };
        WoodValues {
            moisture: known(self.moisture_percent.map(|percent| percent / 100.0), 0.12, 0.18, 0.25),
            dry_ncv_mj_kg: self.dry_ncv_mj_kg.map_or(usual_ncv, |ncv| Quantity::stated(ncv, 0.01)),
            basket_kg: self.basket_kg.map(|kg| Quantity::stated(kg, 0.10)),
        }
    }
}

/// A dish ready to be placed.
#[derive(Debug, Clone, PartialEq)]
pub struct DishPlacing {
    /// What was written down.
    pub sheet: DishSheet,
    /// What the engine is given.
    pub placing: Placing,
    /// The same numbers with their spreads.
    pub spread: DishSpread,
    /// Line of the file it starts at; 0 when it came from no file.
    pub line: usize,
}

impl DishPlacing {
    /// Liquid and solids together, kg.
    #[must_use]
    pub fn contents_kg(&self) -> f64 {
        self.placing.contents.liquid_kg + self.placing.contents.solid_kg
    }
}

/// Numbers of a placing with honest spreads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DishSpread {
    /// Mass of the vessel with its lid, kg.
    pub pot_mass_kg: Quantity,
    /// Emissivity of its outside.
    pub emissivity: Quantity,
    /// Contact with what it stands on, W/(m² K).
    pub contact_w_m2k: Quantity,
    /// Outer diameter, m.
    pub diameter_m: Quantity,
    /// Outer height, m.
    pub height_m: Quantity,
    /// Free liquid, kg.
    pub liquid_kg: Quantity,
    /// Solids, kg.
    pub solid_kg: Quantity,
    /// Smallest dimension through a piece, m.
    pub piece_m: Quantity,
    /// Conductivity of the solids, W/(m K).
    pub solid_conductivity_w_mk: Quantity,
}

/// Pots, dishes and wood of a day, with what the reader doubted.
#[derive(Debug, Clone, PartialEq)]
pub struct Pots {
    /// Name of the file they came from, for messages.
    pub file: String,
    /// Dishes in the order of the file.
    pub dishes: Vec<DishPlacing>,
    /// The wood as written down.
    pub wood: WoodSheet,
    /// What looked wrong but did not stop the reader.
    pub warnings: Vec<Problem>,
}

impl Pots {
    /// Index of a dish: of [`Pots::dishes`] and of the drive's placings alike.
    #[must_use]
    pub fn index_of(&self, name: &str) -> Option<usize> {
        let wanted = normal(name);
        self.dishes.iter().position(|dish| normal(&dish.sheet.name) == wanted)
    }

    /// The placings in order, for a drive.
    #[must_use]
    pub fn placings(&self) -> Vec<Placing> {
        self.dishes.iter().map(|dish| dish.placing.clone()).collect()
    }
}

/// A stated value with its spread, or the usual one with a wider spread.
fn known(given: Option<f64>, stated_sigma: f64, usual: f64, usual_sigma: f64) -> Quantity {
    given.map_or(Quantity::usual(usual, usual_sigma), |value| Quantity::stated(value, stated_sigma))
}

/// Makes a placing of a dish.
///
/// Usual values: see `docs/formats.md`. Spreads are judgement: a kitchen scale 3 to 5 %, a tape 3 to 5 %, a guess 15
/// to 40 %.
#[must_use]
pub fn fill(sheet: &DishSheet, vessels: &Vessels, foods: &[Food], line: usize) -> Option<DishPlacing> {
    let vessel = vessels.named(sheet.pot.as_deref().unwrap_or(USUAL_POT))?;
    let bare = vessel.name == "none";
    let food = food_named(foods, sheet.mostly.as_deref().unwrap_or(UNDESCRIBED))?;
    let own = sheet.composition_percent.and_then(Composition::from_percent);
    let properties = match own {
        Some(composition) => composition.properties_at(FOOD_PROPERTIES_AT_C),
        None => food.properties_at(FOOD_PROPERTIES_AT_C),
    };
    let lid = !bare && sheet.lid.unwrap_or(!matches!(vessel.name.as_str(), "steel dark" | "tin"));
    let (liquid_kg, solid_kg) = contents_kg(sheet, food, lid);
    let solid_m3 = solid_kg.value / properties.density_kg_m3;
    let sizes = Sizes::of(sheet, liquid_kg.value / 1000.0 + solid_m3, lid, bare);
    let (piece, piece_m) = piece_of(sheet, solid_m3, &sizes, liquid_kg.value > 0.3 * solid_kg.value);
    let pot_mass_kg = known(sheet.pot_kg, 0.03, vessel.wall_kg_m2 * sizes.wall_m2(lid), 0.30);
    let contact_w_m2k = contact(sheet, vessel, vessels);
    let (upper, lower) = (properties.conductivity_parallel_w_mk, properties.conductivity_series_w_mk);
    let between_bounds = ((upper - lower) / (upper + lower)).max(LEAST_CONDUCTIVITY_SIGMA);
    let conductivity = Quantity::usual(f64::midpoint(upper, lower), between_bounds);
    let gap = (4.0 * vessel.lid_slit_mm / 1000.0 / sizes.diameter_m.value).clamp(0.002, 0.2);
    let placing = Placing {
        name: sheet.name.clone(),
        pot: Pot {
            mass_kg: pot_mass_kg.value,
            heat_capacity_j_kgk: vessel.heat_capacity_j_kgk,
            emissivity: vessel.emissivity,
            lid,
            lid_gap: if lid { gap } else { 1.0 },
            diameter_m: sizes.diameter_m.value,
            height_m: sizes.height_m.value,
            contact_w_m2k: contact_w_m2k.value,
        },
        contents: Contents {
            liquid_kg: liquid_kg.value,
            solid_kg: solid_kg.value,
            piece,
            piece_m: piece_m.value,
            solid_water: own.unwrap_or(food.composition).water_share(),
            solid_conductivity_w_mk: conductivity.value,
            solid_heat_capacity_j_kgk: properties.heat_capacity_j_kgk,
            solid_density_kg_m3: properties.density_kg_m3,
            start_c: start_c(sheet),
        },
    };
    let spread = DishSpread {
        pot_mass_kg,
        emissivity: Quantity::usual(vessel.emissivity, rel_sigma_of(vessel.emissivity_range)),
        contact_w_m2k,
        diameter_m: sizes.diameter_m,
        height_m: sizes.height_m,
        liquid_kg,
        solid_kg,
        piece_m,
        solid_conductivity_w_mk: conductivity,
    };
    Some(DishPlacing { sheet: sheet.clone(), placing, spread, line })
}

/// Temperature when placed: measured within 1.5 K, or from the larder, 15 ± 5 °C.
fn start_c(sheet: &DishSheet) -> Quantity {
    sheet.start_c.map_or(Quantity::usual(15.0, 0.33), |c| Quantity::stated(c, 1.5 / c.max(1.5)))
}

fn contact(sheet: &DishSheet, vessel: &Vessel, vessels: &Vessels) -> Quantity {
    if sheet.trivet == Some(true) {
        return Quantity::usual(vessels.trivet_contact_w_m2k, rel_sigma_of(vessels.trivet_contact_range_w_m2k));
    }
    Quantity::usual(vessel.contact_w_m2k, rel_sigma_of(vessel.contact_range_w_m2k))
}

/// Liquid and solids: what was said, or 2 kg of a liquid food, or 1 kg of solids with some liquid under a lid.
fn contents_kg(sheet: &DishSheet, food: &Food, lid: bool) -> (Quantity, Quantity) {
    let is_liquid = matches!(food.name.as_str(), "water" | "milk");
    let solid = known(sheet.solid_kg, 0.03, if is_liquid { 0.0 } else { 1.0 }, 0.4);
    let usual_liquid = match (is_liquid, lid) {
        (true, _) => 2.0,
        (false, true) => 0.6 * solid.value,
        (false, false) => 0.0,
    };
    (known(sheet.liquid_kg, 0.05, usual_liquid, 0.4), solid)
}

/// Outer sizes of the pot.
struct Sizes {
    diameter_m: Quantity,
    height_m: Quantity,
}

impl Sizes {
    fn of(sheet: &DishSheet, contents_m3: f64, lid: bool, bare: bool) -> Self {
        let full = if bare { 1.0 } else { FULL_SHARE };
        let pot_m3 = (contents_m3 / full).max(1e-4);
        let height_m = sheet.height_cm.map(|cm| cm / 100.0);
        let diameter_m = sheet.diameter_cm.map(|cm| cm / 100.0);
        // Lidded pots are about half as high as wide, open dishes and bare food about a quarter.
        let proportion = if lid { 0.5 } else { 0.25 };
        let usual_diameter_m = match height_m {
            Some(height_m) => (4.0 * pot_m3 / (PI * height_m)).sqrt(),
            None => (4.0 * pot_m3 / (PI * proportion)).cbrt(),
        };
        let diameter_m = known(diameter_m, 0.03, usual_diameter_m.clamp(0.05, 1.0), 0.15);
        let usual_height_m = 4.0 * pot_m3 / (PI * diameter_m.value.powi(2));
        Self { diameter_m, height_m: known(height_m, 0.05, usual_height_m.clamp(0.02, 0.5), 0.20) }
    }

    /// Area of base, wall and lid, m².
    fn wall_m2(&self, lid: bool) -> f64 {
        let d = self.diameter_m.value;
        let ends = if lid { 2.0 } else { 1.0 };
        ends * PI * d * d / 4.0 + PI * d * self.height_m.value
    }
}

/// Shape and smallest dimension of the pieces. A piece is never larger than all the solids together.
fn piece_of(sheet: &DishSheet, solid_m3: f64, sizes: &Sizes, stewed: bool) -> (Piece, Quantity) {
    let ball_m = (6.0 * solid_m3 / PI).cbrt().max(0.005);
    let given_m = sheet.piece_cm.map(|cm| cm / 100.0);
    let layer_m = (4.0 * solid_m3 / (PI * sizes.diameter_m.value.powi(2))).max(0.005);
    let (piece, usual_m, sigma, most_m) = match sheet.pieces {
        Some(Pieces::One) => (Piece::Sphere, ball_m, 0.15, ball_m),
        Some(Pieces::Round) => (Piece::Sphere, 0.04, 0.40, ball_m),
        // A cylinder as long as thick has the volume π d³/4.
        Some(Pieces::Long) => (Piece::Cylinder, 0.03, 0.40, (4.0 * solid_m3 / PI).cbrt().max(0.005)),
        Some(Pieces::Flat) => (Piece::Slab, layer_m, 0.20, layer_m.max(ball_m)),
        None if stewed => (Piece::Sphere, 0.04, 0.50, ball_m),
        None => (Piece::Sphere, ball_m, 0.40, ball_m),
    };
    let quantity = known(given_m, 0.15, usual_m, sigma);
    (piece, Quantity { value: quantity.value.min(most_m), ..quantity })
}
