//! The fire: energy of the wood, how it burns out, and where its heat goes.
//!
//! # Equation
//! Net calorific value at moisture M (share of the whole mass): q = q_dry (1 − M) − 2.443 M MJ/kg. Each feed adds its
//! energy to two stores: flames (share 1 − c) and embers (share c); each burns out as E/τ while the
//! air allows: P = r (1 + (r/P_air)⁴)^−¼ with r = E/τ and P_air = 0.5 A√H · 3 MJ/kg. Of the heat released a share
//! is unburnt, a share is radiated (to floor, fire side, the rest of the shell and the mouth), the rest warms the gas,
//! which leaves by the mouth. While flames burn, the sooty, moving gas exchanges with all surfaces by an extra
//! h_f w (T_gas − T), w = P/(P + P₀) with P the flames' power.
//!
//! # Validity
//! An open mouth feeds some ten kilograms of wood an hour in a small oven; a shut one starves the fire. Flames and embers are
//! limited each on its own.
//!
//! # Source
//! Moisture form: ISO 17225-1 (from memory, checked against computed values for oak). Shares radiated by flames of wood
//! 0.2–0.4, 0.5 A√H (Kawagoe) and 13.1 MJ per kg of oxygen (Huggett): SFPE Handbook (from memory). Burn-out times, ember shares and h_f: judgement, with wide spreads; h_f ≈ 20
//! W/(m² K) stands for the radiation of 0.4 m of combustion gas near 600 °C (emissivity about 0.15) and its stirring.

use crate::drive::Wood;
use crate::flow::Sink;
use crate::ledger::Account;
use crate::pack::Real;
use crate::slope::Slope;

/// Heat to evaporate water at 25 °C, MJ/kg, in the moisture form.
const EVAPORATION_MJ_KG: f64 = 2.443;
/// Air that flows into a fire through an opening, kg/s for each A√H in m^2.5.
const INFLOW_KG_S_M52: f64 = 0.5;
/// Heat released for each kilogram of air used up, J/kg: 13.1 MJ/kg of oxygen.
const HEAT_PER_AIR_J_KG: f64 = 3.0e6;
/// Radiated share of the embers over that of the flames.
const EMBER_RADIANCE: f64 = 1.8;
/// Share of the flames' radiation that falls on the floor.
const FLAME_TO_FLOOR: f64 = 0.25;
/// Share of the embers' radiation and contact that goes into the floor they lie on.
const EMBERS_TO_FLOOR: f64 = 0.5;
/// Extra exchange between burning gas and surfaces, W/(m² K).
pub const FIRE_FILM_W_M2K: f64 = 20.0;
/// Power of flames per floor area at which half of that exchange is there, W/m².
pub const HALF_POWER_W_M2: f64 = 5000.0;

/// Net calorific value of wood at its moisture, MJ/kg.
#[must_use]
pub fn net_calorific_value_mj_kg(dry_ncv_mj_kg: f64, moisture: f64) -> f64 {
    dry_ncv_mj_kg * (1.0 - moisture) - EVAPORATION_MJ_KG * moisture
}

/// Air to burn 1 kg of dry wood of the given mass shares completely, kg/kg: (M_O₂/M_C C + M_O₂/(2 M_H₂) H − O)/0.2314.
#[must_use]
pub fn stoichiometric_air_kg_kg(carbon: f64, hydrogen: f64, oxygen: f64) -> f64 {
    (31.998 / 12.011 * carbon + 31.998 / 4.032 * hydrogen - oxygen) / 0.2314
}

/// Energy of a feed, J.
#[must_use]
pub fn feed_energy_j(wood: &Wood) -> f64 {
    1.0e6 * wood.mass_kg * net_calorific_value_mj_kg(wood.dry_ncv_mj_kg, wood.moisture).max(0.0)
}

/// Where radiated heat goes, shares of one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// To the floor.
    pub floor: f64,
    /// To the crown (shell away from the fire).
    pub crown: f64,
    /// To the fire's side of the shell.
    pub fire_side: f64,
    /// Out of the mouth.
    pub mouth: f64,
}

/// How the fire lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lie {
    /// Heaped on the oven's fire side.
    OnItsSide,
    /// Heaped elsewhere.
    Elsewhere,
    /// Spread over the floor.
    Spread,
}

/// Shares of flame and ember radiation for a lie of the fire; `side_share` is that of the fire's side, `mouth_share` the
/// mouth's share of the shell, `side_area_share` the fire side's.
#[must_use]
pub fn spreads(lie: Lie, side_share: f64, mouth_share: f64, side_area_share: f64) -> (Spread, Spread) {
    let spread = |floor: f64| {
        let up = 1.0 - floor;
        let mouth = up * mouth_share;
        let side = match lie {
            // The share given is of all the radiation that does not go into the floor or out.
            Lie::OnItsSide => (up - mouth) * side_share,
            Lie::Elsewhere | Lie::Spread => (up - mouth) * side_area_share,
        };
        Spread { floor, crown: up - mouth - side, fire_side: side, mouth }
    };
    (spread(FLAME_TO_FLOOR), spread(EMBERS_TO_FLOOR))
}

/// Most heat a fire can release on the air that an opening of `area_m2` and `height_m` lets in, W.
#[must_use]
pub fn air_limited_power_w(area_m2: f64, height_m: f64) -> f64 {
    INFLOW_KG_S_M52 * area_m2 * height_m.sqrt() * HEAT_PER_AIR_J_KG
}

/// What a burning store does with its energy, for one lane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Habit {
    /// Share burnt.
    pub combustion: f64,
    /// Share of that radiated.
    pub radiant: f64,
    /// Where the radiation goes.
    pub spread: Spread,
    /// Time constant, s.
    pub time_s: f64,
    /// Most power on the air there is, W.
    pub limit_w: f64,
}

/// One burning store of a pack.
#[derive(Debug, Clone, Copy)]
pub struct Burning<R> {
    rate_per_s: R,
    limit_w: R,
    /// Shares of the release that go to floor, crown, fire side, out of the mouth, unburnt; the rest to the gas.
    shares: [R; 5],
}

impl<R: Real> Burning<R> {
    /// Packs the habits of each lane.
    #[must_use]
    pub fn from_lanes(lane: impl Fn(usize) -> Habit) -> Self {
        let pick = |f: fn(Habit) -> f64| R::from_lanes(|i| f(lane(i)));
        Self {
            rate_per_s: pick(|h| 1.0 / h.time_s),
            limit_w: pick(|h| h.limit_w),
            shares: [
                pick(|h| h.combustion * h.radiant * h.spread.floor),
                pick(|h| h.combustion * h.radiant * h.spread.crown),
                pick(|h| h.combustion * h.radiant * h.spread.fire_side),
                pick(|h| h.combustion * h.radiant * h.spread.mouth),
                pick(|h| 1.0 - h.combustion),
            ],
        }
    }

    /// Power released by a store of energy, W: E/τ while there is air for it, rounded into the limit as
    /// P = r (1 + (r/P_air)⁴)^−¼.
    #[inline(always)]
    pub fn release_w(&self, energy_j: R) -> Slope<R> {
        let free = Slope::variable(energy_j) * Slope::constant(self.rate_per_s);
        let load = free / Slope::constant(self.limit_w);
        let square = load * load;
        free / (square * square).offset(1.0).sqrt().sqrt()
    }

    /// Its flows: from energy node `store` to the rows `[floor, crown, fire side]`, the gas and the ledger.
    #[inline]
    pub fn flows<S: Sink<R>>(
        &self,
        x: &[R],
        store: usize,
        surfaces: [usize; 3],
        gas: usize,
        accounts: usize,
        sink: &mut S,
    ) {
        let release = self.release_w(x[store]);
        let mouth = accounts + Account::MouthRadiation as usize;
        let unburnt = accounts + Account::Unburnt as usize;
        let mut rest = R::splat(1.0);
        for (row, share) in [surfaces[0], surfaces[1], surfaces[2], mouth, unburnt].into_iter().zip(self.shares) {
            sink.flow(store, row, release.value * share, [(store, release.slope * share)]);
            rest -= share;
        }
        sink.flow(store, gas, release.value * rest, [(store, release.slope * rest)]);
    }
}

/// Radiated share of the embers for that of the flames.
#[must_use]
pub fn ember_radiant_share(fire_radiant_share: f64) -> f64 {
    (EMBER_RADIANCE * fire_radiant_share).min(0.9)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spreads_sum_to_one() {
        for lie in [Lie::OnItsSide, Lie::Elsewhere, Lie::Spread] {
            let (a, b) = spreads(lie, 0.45, 0.06, 0.3);
            for s in [a, b] {
                assert!((s.floor + s.crown + s.fire_side + s.mouth - 1.0).abs() < 1e-15);
            }
        }
    }
}
