//! Pots and what is in them: shell, lid, liquid that boils away, solids that conduct.
//!
//! # Equation
//! - shell on its own floor column: h_c A_base (T_floor − T_shell)
//! - shell to liquid, liquid to solids: h A (T − T_l) with h = 350 (0.12 + 0.88 w), w = m/(m + m_½) the liquid's presence
//! - liquid to lid: 10 A (T_l − T_lid) + A β L ρ_s(T_l) − A β L ρ_s(T_lid), only when the lid is the cooler: vapour
//!   condenses under it and drips back
//! - water lost: ṁ = w A (f β ρ_s(T_l) + (B/L) ramp(T_l − T_boil)); β mass transfer, f the free share of the opening; at
//!   the boil B holds the liquid within about 2 K of the boiling point and all net heat leaves as steam
//! - solids boil at their face with the square of the water they still hold as activity; open ones also dry below the boil
//! - solids: a column from the face to the centre of a piece, of the shape given
//!
//! Steam leaves with h_g(T_l) (liquid) or L(T_s) (solids).
//!
//! # Validity
//! Thin liquids, well mixed; the solids' heat capacity stays that of the start. The gas around is taken as dry.
//!
//! # Source
//! Lewis analogy: β = h/(ρ c_p Le^⅔) with h ≈ 8 W/(m² K) gives 0.008 m/s (judgement on h). 350 W/(m² K): free convection
//! of water at 5–10 K (judgement). B: numerical, 20 000 W/(m² K).
//! All other figures below (the lid's share of a pot, films of a dry pot, under a lid and over its rim, the liquid at which
//! a pot counts as half dry) are judgement.

use crate::conduction::{Column, Cuts, Metric, PackedColumn, Slab};
use crate::drive::{Piece, Placing};
use crate::error::{EngineError, positive, within};
use crate::flow::Sink;
use crate::ledger::Account;
use crate::model::OvenModel;
use crate::pack::Real;
use crate::slope::Slope;
use crate::water::{
    WATER_HEAT_CAPACITY_J_KGK, at_most_wet, latent_heat_slope_j_kg, steam_enthalpy_j_kg, vapour_density_kg_m3,
};
use std::f64::consts::PI;

/// Share of a lidded pot's mass that is its lid.
pub const LID_SHARE: f64 = 0.28;
const LIQUID_FILM_W_M2K: f64 = 350.0;
const DRY_SHARE: f64 = 0.12;
const LID_GAP_FILM_W_M2K: f64 = 10.0;
const DRY_CONTACT_W_M2K: f64 = 30.0;
const RIM_W_K: f64 = 0.5;
const MASS_TRANSFER_M_S: f64 = 0.008;
const BOIL_W_M2K: f64 = 20_000.0;
/// Rounding of the boil's onset, K.
const BOIL_ROUNDING_K: f64 = 1.0;
/// Solids covered by liquid or lid boil only this much over the boiling point: the liquid's own boil comes first, K.
const COVERED_MARGIN_K: f64 = 3.0;
/// Liquid at which its presence is a half, kg.
const HALF_PRESENCE_KG: f64 = 0.03;
/// Rounding of the condensation's onset, W/m².
const CONDENSATION_ROUNDING_W_M2: f64 = 50.0;
/// Least liquid that gets a node of its own, kg.
const LEAST_LIQUID_KG: f64 = 0.02;
/// Least heat capacity of a vessel, J/K.
const LEAST_SHELL_J_K: f64 = 60.0;
/// Stretches of a solid's column.
const SOLID_STRETCHES: usize = 10;

/// Sizes of a placing that all members share.
#[derive(Debug, Clone, PartialEq)]
pub struct PotShape {
    /// Footprint, m².
    pub base_m2: f64,
    /// Side, m².
    pub side_m2: f64,
    /// Wetted inside, m².
    pub wet_m2: f64,
    /// Heat capacity of the shell and of the lid, J/K.
    pub shell_j_k: [f64; 2],
    /// Face of all solid pieces, m²; 0 without solids.
    pub solid_face_m2: f64,
    /// Column of a solid piece.
    pub solid: Option<Column>,
    /// Whether there is free liquid.
    pub has_liquid: bool,
    /// Whether the food's own surface faces the chamber.
    pub open_solid: bool,
}

/// Face of the pieces and their column. A slab is heated from both faces, so its column is half of it.
fn solids(placing: &Placing) -> Result<(f64, Column), EngineError> {
    let c = &placing.contents;
    let half_m = 0.5 * positive("the pieces' size (m)", c.piece_m)?;
    let volume_m3 = c.solid_kg / positive("the solids' density (kg/m³)", c.solid_density_kg_m3)?;
    let (metric, face_per_volume) = match c.piece {
        Piece::Sphere => (Metric::Sphere(-half_m), 3.0 / half_m),
        Piece::Cylinder => (Metric::Cylinder(-half_m), 2.0 / half_m),
        Piece::Slab => (Metric::Plane, 1.0 / half_m),
    };
    let slab = Slab {
        thickness_m: half_m,
        conductivity_w_mk: [positive("the solids' conductivity (W/(m K))", c.solid_conductivity_w_mk)?, 0.0, 0.0],
        capacity_j_m3k: [
            positive("the solids' heat capacity (J/(kg K))", c.solid_heat_capacity_j_kgk)? * c.solid_density_kg_m3,
            0.0,
        ],
    };
    Ok((volume_m3 * face_per_volume, Column::new(metric, &[slab], &Cuts::even(1, SOLID_STRETCHES))))
}

impl PotShape {
    /// Sizes of a placing.
    ///
    /// # Errors
    /// When a size, mass or property makes no sense.
    pub fn new(placing: &Placing) -> Result<Self, EngineError> {
        let (pot, c) = (&placing.pot, &placing.contents);
        let diameter = within("the pot's diameter (m)", pot.diameter_m, 0.02, 3.0)?;
        let height = within("the pot's height (m)", pot.height_m, 0.001, 2.0)?;
        within("the liquid (kg)", c.liquid_kg, 0.0, 500.0)?;
        within("the solids (kg)", c.solid_kg, 0.0, 500.0)?;
        within("the pot's mass (kg)", pot.mass_kg, 0.0, 200.0)?;
        within("the pot's emissivity", pot.emissivity, 0.02, 0.99)?;
        within("the lid's gap", pot.lid_gap, 0.0, 1.0)?;
        within("the solids' water share", c.solid_water, 0.0, 1.0)?;
        within("the starting temperature (°C)", c.start_c.value, -30.0, 110.0)?;
        positive("the pot's contact (W/(m² K))", pot.contact_w_m2k)?;
        positive("the pot's heat capacity (J/(kg K))", pot.heat_capacity_j_kgk)?;
        if c.liquid_kg < LEAST_LIQUID_KG && c.solid_kg <= 0.0 {
            return Err(EngineError::NotPositive { what: "the contents of a placing (kg)", value: c.solid_kg });
        }
        let base_m2 = 0.25 * PI * diameter * diameter;
        let side_m2 = PI * diameter * height;
        let filled_m3 = c.liquid_kg / 1000.0 + c.solid_kg / c.solid_density_kg_m3.max(1.0);
        let fill = (filled_m3 / (base_m2 * height)).min(1.0);
        let (solid_face_m2, solid) = if c.solid_kg > 0.0 {
            let (face, column) = solids(placing)?;
            (face, Some(column))
        } else {
            (0.0, None)
        };
        let lid = if pot.lid { LID_SHARE } else { 0.0 };
        let whole = pot.mass_kg * pot.heat_capacity_j_kgk;
        Ok(Self {
            base_m2,
            side_m2,
            wet_m2: base_m2 + side_m2 * fill,
            shell_j_k: [(whole * (1.0 - lid)).max(LEAST_SHELL_J_K), (whole * lid).max(LEAST_SHELL_J_K)],
            has_liquid: c.liquid_kg >= LEAST_LIQUID_KG,
            // Liquid that covers the solids by less than half leaves their top bare.
            open_solid: !pot.lid && c.solid_kg > 0.0 && c.liquid_kg < 0.5 * c.solid_kg,
            solid_face_m2,
            solid,
        })
    }

    /// Heat capacity of what stays when all water is gone, J/K.
    #[must_use]
    pub fn residue_j_k(&self, placing: &Placing) -> f64 {
        0.05 * placing.contents.liquid_kg * WATER_HEAT_CAPACITY_J_KGK + 50.0
    }

    /// Water in the solids at the start, kg.
    #[must_use]
    pub fn solid_water_kg(placing: &Placing) -> f64 {
        placing.contents.solid_kg * placing.contents.solid_water
    }
}

/// Rows of a placing's nodes in the cavity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PotNodes {
    /// Floor under the pot.
    pub under: usize,
    /// Shell.
    pub shell: usize,
    /// Lid, when there is one.
    pub lid: Option<usize>,
    /// Liquid and its mass, when there is some.
    pub liquid: Option<(usize, usize)>,
    /// Face of the solids and the water they hold, when there are some.
    pub solid: Option<(usize, usize)>,
}

/// A placing of a pack.
#[derive(Debug, Clone)]
pub struct PackedPot<R> {
    contact_w_k: R,
    wet_m2: f64,
    top_m2: f64,
    solid_face_m2: f64,
    open_solid: bool,
    /// f β and β, m/s.
    loss_m_s: R,
    open_loss_m_s: R,
    boiling_point_c: R,
    initial_solid_water_kg: f64,
    /// Column of the solids.
    pub solid: Option<PackedColumn<R>>,
}

impl<R: Real> PackedPot<R> {
    /// Packs a placing for the members of a pack.
    #[must_use]
    pub fn pack(placing: &Placing, shape: &PotShape, models: &[OvenModel]) -> Self {
        let lane = |f: &dyn Fn(&OvenModel) -> f64| R::from_lanes(|i| f(&models[i]));
        let free = if placing.pot.lid { placing.pot.lid_gap } else { 1.0 };
        Self {
            contact_w_k: lane(&|m| placing.pot.contact_w_m2k * shape.base_m2 * m.parameters.pot_contact),
            wet_m2: shape.wet_m2,
            top_m2: shape.base_m2,
            solid_face_m2: shape.solid_face_m2,
            open_solid: shape.open_solid,
            loss_m_s: lane(&|m| free * MASS_TRANSFER_M_S * m.parameters.evaporation),
            open_loss_m_s: lane(&|m| MASS_TRANSFER_M_S * m.parameters.evaporation),
            boiling_point_c: lane(&|m| m.boiling_point_c),
            initial_solid_water_kg: PotShape::solid_water_kg(placing).max(1e-6),
            solid: shape.solid.as_ref().map(|c| PackedColumn::pack(&[c])),
        }
    }

    /// All flows inside the pot and with the floor under it.
    #[inline]
    pub fn flows<S: Sink<R>>(&self, n: &PotNodes, x: &[R], accounts: usize, sink: &mut S) {
        conduct(n.under, n.shell, self.contact_w_k, x, sink);
        if let Some(lid) = n.lid {
            conduct(n.shell, lid, R::splat(RIM_W_K), x, sink);
        }
        if let Some((liquid, water)) = n.liquid {
            self.liquid_flows(n, (liquid, water), x, accounts, sink);
        }
        if let Some((solid, solid_water)) = n.solid {
            if n.liquid.is_none() {
                let contact = R::splat(DRY_CONTACT_W_M2K * self.solid_face_m2);
                conduct(n.shell, solid, contact, x, sink);
                if let Some(lid) = n.lid {
                    conduct(lid, solid, R::splat(LID_GAP_FILM_W_M2K * self.top_m2), x, sink);
                }
            }
            self.drying(solid, solid_water, x, accounts, sink);
        }
    }

    fn liquid_flows<S: Sink<R>>(
        &self,
        n: &PotNodes,
        (liquid, water): (usize, usize),
        x: &[R],
        accounts: usize,
        sink: &mut S,
    ) {
        let presence = presence(x[water]);
        let there = Slope {
            value: at_least_nothing(presence.value, presence.value),
            slope: at_least_nothing(presence.value, presence.slope),
        };
        let wetness = there.scale(1.0 - DRY_SHARE).offset(DRY_SHARE).scale(LIQUID_FILM_W_M2K);
        wetted(n.shell, liquid, water, wetness.scale(self.wet_m2), x, sink);
        if let Some((solid, _)) = n.solid {
            wetted(solid, liquid, water, wetness.scale(self.solid_face_m2), x, sink);
        }
        let wet_c = at_most_wet(Slope::variable(x[liquid]));
        let vapour = vapour_density_kg_m3(wet_c);
        if let Some(lid) = n.lid {
            self.under_lid(lid, (liquid, water), vapour, presence, x, sink);
        }
        let excess = (Slope::variable(x[liquid]) - Slope::constant(self.boiling_point_c)).ramp(BOIL_ROUNDING_K);
        let enthalpy = steam_enthalpy_j_kg(wet_c);
        let boil = excess.scale(BOIL_W_M2K) / enthalpy;
        let per_presence = (vapour * Slope::constant(self.loss_m_s) + boil).scale(self.top_m2);
        let rate = per_presence.value * presence.value;
        let (by_t, by_m) = (per_presence.slope * presence.value, per_presence.value * presence.slope);
        sink.rate(water, -rate, [(liquid, -by_t), (water, -by_m)]);
        let by_t = by_t * enthalpy.value + rate * enthalpy.slope;
        let steam = accounts + Account::Steam as usize;
        sink.flow(liquid, steam, rate * enthalpy.value, [(liquid, by_t), (water, by_m * enthalpy.value)]);
    }

    fn under_lid<S: Sink<R>>(
        &self,
        lid: usize,
        (liquid, water): (usize, usize),
        vapour: Slope<R>,
        presence: Slope<R>,
        x: &[R],
        sink: &mut S,
    ) {
        conduct(liquid, lid, R::splat(LID_GAP_FILM_W_M2K * self.top_m2), x, sink);
        // Heat carried by vapour that condenses under the lid, per area; L taken as 2.3 MJ/kg.
        let carried = self.open_loss_m_s * 2.3e6;
        let under = vapour_density_kg_m3(at_most_wet(Slope::variable(x[lid])));
        let difference = (vapour.value - under.value) * carried;
        let condensing = Slope::variable(difference).ramp(CONDENSATION_ROUNDING_W_M2);
        let area = presence.value * self.top_m2;
        let q = condensing.value * area;
        let by = condensing.slope * carried * area;
        let by_mass = condensing.value * presence.slope * self.top_m2;
        sink.flow(liquid, lid, q, [(liquid, by * vapour.slope), (lid, -(by * under.slope)), (water, by_mass)]);
    }

    /// Food loses water at its face: at the boil, and where it is open also by diffusion into the gas.
    fn drying<S: Sink<R>>(&self, solid: usize, solid_water: usize, x: &[R], accounts: usize, sink: &mut S) {
        let left = Slope::variable(x[solid_water]).scale(1.0 / self.initial_solid_water_kg);
        // Keeps the sign: a step that overshoots to less than nothing is drawn back.
        let activity = (left * left).with_sign_of(left);
        let t = Slope::variable(x[solid]);
        let wet_c = at_most_wet(t);
        let latent = latent_heat_slope_j_kg(wet_c);
        let margin_k = if self.open_solid { 0.0 } else { COVERED_MARGIN_K };
        let boil =
            (t - Slope::constant(self.boiling_point_c + margin_k)).ramp(BOIL_ROUNDING_K).scale(BOIL_W_M2K) / latent;
        let per_activity = if self.open_solid {
            (vapour_density_kg_m3(wet_c) * Slope::constant(self.open_loss_m_s) + boil).scale(self.top_m2)
        } else {
            boil.scale(self.solid_face_m2)
        };
        let rate = per_activity.value * activity.value;
        let (by_t, by_m) = (per_activity.slope * activity.value, per_activity.value * activity.slope);
        sink.rate(solid_water, -rate, [(solid, -by_t), (solid_water, -by_m)]);
        let by_t = by_t * latent.value + rate * latent.slope;
        let steam = accounts + Account::Steam as usize;
        sink.flow(solid, steam, rate * latent.value, [(solid, by_t), (solid_water, by_m * latent.value)]);
    }
}

/// Presence w = m/(|m| + m½) of a liquid, and its slope in m. A step may overshoot to a few grams less than nothing: there it
/// keeps its sign, so that the mass is drawn back, and has no pole.
#[inline(always)]
fn presence<R: Real>(mass_kg: R) -> Slope<R> {
    let size = mass_kg.pick(mass_kg, -mass_kg);
    let inverse = R::splat(1.0) / (size + HALF_PRESENCE_KG);
    Slope { value: mass_kg * inverse, slope: inverse * inverse * HALF_PRESENCE_KG }
}

/// `value` where `sign` is above zero, nothing elsewhere.
#[inline(always)]
fn at_least_nothing<R: Real>(sign: R, value: R) -> R {
    sign.pick(value, R::splat(0.0))
}

/// A plain conductance between two nodes.
#[inline(always)]
pub(crate) fn conduct<R: Real, S: Sink<R>>(from: usize, to: usize, w_k: R, x: &[R], sink: &mut S) {
    sink.flow(from, to, w_k * (x[from] - x[to]), [(from, w_k), (to, -w_k)]);
}

/// A conductance to the liquid that fades as the liquid goes.
#[inline(always)]
fn wetted<R: Real, S: Sink<R>>(from: usize, liquid: usize, water: usize, w_k: Slope<R>, x: &[R], sink: &mut S) {
    let x_k = x[from] - x[liquid];
    sink.flow(from, liquid, w_k.value * x_k, [(from, w_k.value), (liquid, -w_k.value), (water, w_k.slope * x_k)]);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pack::Lane;

    /// Symptom: a forecast stopped with steps of a microsecond. In one member of a pack the liquid had overshot to 4 g less
    /// than nothing, where m/(m + m½) heads for its pole and flows grow without bound.
    #[test]
    fn less_than_no_liquid_is_drawn_back_and_has_no_pole() {
        let at = |kg: f64| {
            let p = presence(Lane([kg]));
            (p.value.0[0], p.slope.0[0])
        };
        for i in -400..=400 {
            let kg = f64::from(i) * 5e-4;
            let (value, slope) = at(kg);
            assert!(value.abs() < 1.0 && value * kg >= 0.0, "{kg}: {value}");
            let numeric = (at(kg + 1e-8).0 - at(kg - 1e-8).0) / 2e-8;
            assert!((slope - numeric).abs() < 1e-4 * slope, "{kg}: {slope} {numeric}");
        }
        assert!((at(0.09).0 - 0.75).abs() < 1e-12, "m/(m + m½) above nothing");
    }
}
