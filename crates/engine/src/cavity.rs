//! The chamber in one phase of the day: which surfaces there are, and every flow between them.
//!
//! # Equation
//! Nodes: hot faces of the columns, shells, lids, liquids, solids' faces, gas, fire, probe. Flows between them: grey
//! radiation G_ij σ(T_i⁴ − T_j⁴), natural convection from the gas, exchange through mouth or gaps, conduction through the
//! mouth's masonry, the fire's shares, and the flows inside pots. A phase lasts from one event to the next; radiation and
//! coefficients are worked out once for it.
//!
//! # Validity
//! See `radiation`, `convection`, `openings`, `fire`, `pot`. The gas is well mixed and transparent; its heat capacity is
//! that of the chamber's air at 200 °C, kept constant.
//!
//! # Source
//! Named in the modules that hold the laws. The dome counts as half ceiling, half upright wall: judgement.

use crate::convection::{FREE_PLATE, FilmCoefficient, TRAPPED_PLATE, UPRIGHT_PLATE, gas_to_surface};
use crate::drive::{Door, Placing};
use crate::fire::{self, Burning, FIRE_FILM_W_M2K, HALF_POWER_W_M2, Habit, Lie};
use crate::flow::Sink;
use crate::ledger::Account;
use crate::model::{FIRE_SIDE_AREA_SHARE, OvenModel};
use crate::openings::{open_coefficient, open_loss, shut_coefficient, shut_loss};
use crate::pack::Real;
use crate::pot::{PackedPot, PotNodes, PotShape};
use crate::radiation::{STEFAN_BOLTZMANN_W_M2K4, exchange_areas_m2};
use crate::slope::Slope;
use crate::step::Exchange;
use crate::view_factors::{Sight, enclosure};

/// Film on the inside of a door that stands aside, W/(m² K): both convection and radiation; judgement.
const ASIDE_FILM_W_M2K: f64 = 12.0;
/// Emissivity of the top of open food.
const FOOD_EMISSIVITY: f64 = 0.9;
/// Share of the probe's view that is floor and pots.
const PROBE_DOWN: f64 = 0.4;
/// Volumetric heat capacity of the chamber's air at 200 °C, J/(m³ K).
pub const GAS_CAPACITY_J_M3K: f64 = 765.0;

/// What the day has set: the input of a phase.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// The mouth.
    pub door: Door,
    /// How the fire lies.
    pub lie: Lie,
    /// Placings inside, in order of their index.
    pub inside: Vec<usize>,
    /// Outdoor temperature of each lane, °C.
    pub ambient_c: Vec<f64>,
}

/// Rows of the cavity's nodes. Sources and what hangs on one neighbour come first: they fill in least.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rows {
    /// Flames.
    pub flames: usize,
    /// Embers.
    pub embers: usize,
    /// Pots, in order of [`Setting::inside`].
    pub pots: Vec<PotNodes>,
    /// Free floor, crown, fire side, door.
    pub parts: [usize; 4],
    /// Gas.
    pub gas: usize,
    /// Probe.
    pub probe: usize,
    /// Number of nodes; accounts follow.
    pub len: usize,
}

impl Rows {
    /// Numbers the nodes of a phase.
    #[must_use]
    pub fn new(inside: &[usize], placings: &[Placing], shapes: &[PotShape]) -> Self {
        let mut next = 0;
        let mut take = || {
            next += 1;
            next - 1
        };
        let (flames, embers) = (take(), take());
        let mut pots = Vec::with_capacity(inside.len());
        for &i in inside {
            let liquid = shapes[i].has_liquid.then(|| (take(), take())).map(|(water, liquid)| (liquid, water));
            let solid = shapes[i].solid.is_some().then(|| (take(), take())).map(|(water, face)| (face, water));
            let (under, shell) = (take(), take());
            let lid = placings[i].pot.lid.then(&mut take);
            pots.push(PotNodes { under, shell, lid, liquid, solid });
        }
        let door = take();
        let parts = [take(), take(), take(), door];
        Self { flames, embers, pots, parts, gas: take(), probe: take(), len: next }
    }
}

/// Convection from the gas to one node.
#[derive(Debug, Clone, Copy)]
struct Film<R> {
    node: usize,
    coefficient: FilmCoefficient<R>,
    fire_w_k: R,
}

/// One phase of a pack.
#[derive(Debug, Clone)]
pub struct Cavity<R> {
    /// Rows of the nodes.
    pub rows: Rows,
    /// Outdoor temperature, °C.
    pub ambient_c: R,
    flames: Burning<R>,
    embers: Burning<R>,
    half_power_w: R,
    pairs: Vec<(usize, usize, R)>,
    to_mouth: Vec<(usize, R)>,
    films: Vec<Film<R>>,
    opening: (bool, R),
    door_aside_w_k: Option<R>,
    masonry_w_k: R,
    rim_w_k: R,
    pots: Vec<PackedPot<R>>,
    probe_film: R,
    probe_radiation: R,
    probe_views: Vec<(usize, R)>,
    probe_mouth_view: R,
}

/// A radiating surface for the assembly.
struct Surface {
    node: Option<usize>,
    sight: Sight,
    emissivity: f64,
    area_m2: f64,
}

fn pot_surfaces(rows: &Rows, setting: &Setting, placings: &[Placing], shapes: &[PotShape]) -> Vec<Surface> {
    let mut surfaces = Vec::new();
    for (nodes, &i) in rows.pots.iter().zip(&setting.inside) {
        let (pot, shape) = (&placings[i].pot, &shapes[i]);
        let emissivity = pot.emissivity;
        surfaces.push(Surface { node: Some(nodes.shell), sight: Sight::PotSide, emissivity, area_m2: shape.side_m2 });
        let (top, emissivity) = top_of(nodes, shape, emissivity);
        surfaces.push(Surface { node: Some(top), sight: Sight::PotTop, emissivity, area_m2: shape.base_m2 });
    }
    surfaces
}

/// The node that faces the dome from a pot, and its emissivity.
fn top_of(nodes: &PotNodes, shape: &PotShape, emissivity: f64) -> (usize, f64) {
    match (nodes.lid, nodes.liquid, nodes.solid) {
        (Some(lid), _, _) => (lid, emissivity),
        (None, Some((liquid, _)), _) if !shape.open_solid => (liquid, FOOD_EMISSIVITY),
        (None, _, Some((solid, _))) => (solid, FOOD_EMISSIVITY),
        (None, Some((liquid, _)), None) => (liquid, FOOD_EMISSIVITY),
        (None, None, None) => (nodes.shell, emissivity),
    }
}

/// Free share of the mouth.
fn free_share(door: Door) -> f64 {
    match door {
        Door::Shut => 0.0,
        Door::Ajar(share) => share,
        Door::Open => 1.0,
    }
}

/// Free floor of a member with these pots inside, m².
#[must_use]
pub fn free_floor_m2(model: &OvenModel, inside: &[usize], shapes: &[PotShape]) -> f64 {
    model.chamber.floor_m2 - inside.iter().map(|&i| shapes[i].base_m2).sum::<f64>()
}

fn surfaces_of(
    model: &OvenModel,
    rows: &Rows,
    setting: &Setting,
    placings: &[Placing],
    shapes: &[PotShape],
) -> Vec<Surface> {
    let (chamber, eps) = (&model.chamber, model.parameters.chamber_emissivity);
    let free = free_share(setting.door);
    let patch = |sight, node: Option<usize>, emissivity, area_m2| Surface { node, sight, emissivity, area_m2 };
    let floor_m2 = free_floor_m2(model, &setting.inside, shapes);
    let mut all = vec![
        Surface { node: Some(rows.parts[0]), sight: Sight::Floor, emissivity: eps, area_m2: floor_m2 },
        patch(Sight::Shell, Some(rows.parts[1]), eps, chamber.dome_m2 * (1.0 - FIRE_SIDE_AREA_SHARE)),
        patch(Sight::Shell, Some(rows.parts[2]), eps, chamber.dome_m2 * FIRE_SIDE_AREA_SHARE),
    ];
    if free < 1.0 {
        all.push(patch(Sight::Flat, Some(rows.parts[3]), 0.85, chamber.mouth_m2 * (1.0 - free)));
    }
    if free > 0.0 {
        // The opening is black at the outdoor temperature.
        all.push(patch(Sight::Flat, None, 1.0, chamber.mouth_m2 * free));
    }
    all.extend(pot_surfaces(rows, setting, placings, shapes));
    all
}

/// Exchange areas of one member: pairs of surfaces and surfaces to the open mouth.
fn exchange(surfaces: &[Surface]) -> Vec<f64> {
    let areas: Vec<f64> = surfaces.iter().map(|s| s.area_m2).collect();
    let sights: Vec<Sight> = surfaces.iter().map(|s| s.sight).collect();
    let emissivities: Vec<f64> = surfaces.iter().map(|s| s.emissivity).collect();
    exchange_areas_m2(&areas, &emissivities, &enclosure(&areas, &sights))
}

impl<R: Real> Cavity<R> {
    /// Builds a phase. `models` has one member a lane; `pots` one packed placing for each of the day's placings.
    #[must_use]
    pub fn new(
        models: &[OvenModel],
        setting: &Setting,
        placings: &[Placing],
        shapes: &[PotShape],
        pots: &[PackedPot<R>],
    ) -> Self {
        let rows = Rows::new(&setting.inside, placings, shapes);
        let lane = |f: &dyn Fn(&OvenModel) -> f64| R::from_lanes(|i| f(&models[i]));
        let all: Vec<Vec<Surface>> = models.iter().map(|m| surfaces_of(m, &rows, setting, placings, shapes)).collect();
        let exchanged: Vec<Vec<f64>> = all.iter().map(|s| exchange(s)).collect();
        let n = all[0].len();
        let (mut pairs, mut to_mouth) = (Vec::new(), Vec::new());
        for i in 0..n {
            for j in 0..i {
                let g = R::from_lanes(|l| exchanged[l][i * n + j]);
                match (all[0][i].node, all[0][j].node) {
                    (Some(a), Some(b)) => pairs.push((b, a, g)),
                    (Some(a), None) | (None, Some(a)) => to_mouth.push((a, g)),
                    (None, None) => {}
                }
            }
        }
        let (flames, embers) = burning(models, setting);
        let diameter_m = models[0].probe_diameter_m;
        let per_capacity = 1.0 / crate::observe::probe_capacity_j_m2k(diameter_m);
        let (probe_views, probe_mouth_view) = probe_views(&all);
        Self {
            films: films(models, &all),
            flames,
            embers,
            half_power_w: lane(&|m| HALF_POWER_W_M2 * m.chamber.floor_m2),
            pairs,
            to_mouth,
            opening: opening(models, setting),
            door_aside_w_k: (setting.door == Door::Open).then(|| lane(&|m| ASIDE_FILM_W_M2K * m.chamber.mouth_m2)),
            masonry_w_k: lane(&|m| m.mouth_masonry_w_k),
            rim_w_k: lane(&|m| m.floor_rim_w_k),
            pots: setting.inside.iter().map(|&i| pots[i].clone()).collect(),
            probe_film: R::splat(crate::observe::probe_film_w_m2k(diameter_m) * per_capacity),
            probe_radiation: R::splat(models[0].probe_emissivity * per_capacity),
            probe_views,
            probe_mouth_view,
            ambient_c: R::from_lanes(|l| setting.ambient_c[l]),
            rows,
        }
    }

    fn radiation<S: Sink<R>>(&self, x: &[R], accounts: usize, sink: &mut S) {
        for &(i, j, g) in &self.pairs {
            let ((ei, si), (ej, sj)) = (emission(x[i]), emission(x[j]));
            sink.flow(i, j, g * (ei - ej), [(i, g * si), (j, -(g * sj))]);
        }
        let outside = emission(self.ambient_c).0;
        for &(i, g) in &self.to_mouth {
            let (e, s) = emission(x[i]);
            sink.flow(i, accounts + Account::MouthRadiation as usize, g * (e - outside), [(i, g * s)]);
        }
    }

    fn convection<S: Sink<R>>(&self, x: &[R], sink: &mut S) {
        let (gas, flames) = (self.rows.gas, self.rows.flames);
        // w = P/(P + P₀): how much the burning gas adds.
        let power = self.flames.release_w(x[flames]);
        let share = power / (power + Slope::constant(self.half_power_w));
        for film in &self.films {
            let (q, by_gas, by_surface) = gas_to_surface(x[gas], x[film.node], &film.coefficient);
            let difference = x[gas] - x[film.node];
            let extra = film.fire_w_k * share.value;
            sink.flow(
                gas,
                film.node,
                q + extra * difference,
                [
                    (gas, by_gas + extra),
                    (film.node, by_surface - extra),
                    (flames, film.fire_w_k * share.slope * difference),
                ],
            );
        }
    }

    fn openings<S: Sink<R>>(&self, x: &[R], accounts: usize, sink: &mut S) {
        let gas = self.rows.gas;
        let (open, coefficient) = self.opening;
        let loss = if open {
            open_loss(x[gas], self.ambient_c, coefficient)
        } else {
            shut_loss(x[gas], self.ambient_c, coefficient)
        };
        sink.flow(gas, accounts + Account::MouthAir as usize, loss.value, [(gas, loss.slope)]);
        for (node, w_k, account) in [
            (self.rows.parts[1], self.masonry_w_k, Account::MouthMasonry),
            (self.rows.parts[0], self.rim_w_k, Account::FloorRim),
        ] {
            sink.flow(node, accounts + account as usize, w_k * (x[node] - self.ambient_c), [(node, w_k)]);
        }
        if let Some(aside) = self.door_aside_w_k {
            let door = self.rows.parts[3];
            sink.flow(door, accounts + Account::DoorOut as usize, aside * (x[door] - self.ambient_c), [(door, aside)]);
        }
    }

    fn probe<S: Sink<R>>(&self, x: &[R], sink: &mut S) {
        let (probe, gas) = (self.rows.probe, self.rows.gas);
        let (own, own_slope) = emission(x[probe]);
        let film = self.probe_film;
        let rate = film * (x[gas] - x[probe])
            + self.probe_radiation * (self.probe_mouth_view * emission(self.ambient_c).0 - own);
        sink.rate(probe, rate, [(gas, film), (probe, -(film + self.probe_radiation * own_slope))]);
        for &(node, view) in &self.probe_views {
            let (e, s) = emission(x[node]);
            let factor = self.probe_radiation * view;
            sink.rate(probe, factor * e, [(node, factor * s)]);
        }
    }
}

impl<R: Real> Exchange<R> for Cavity<R> {
    fn nodes(&self) -> usize {
        self.rows.len
    }

    #[inline]
    fn flows<S: Sink<R>>(&self, x: &[R], sink: &mut S) {
        let accounts = self.rows.len;
        let surfaces = [self.rows.parts[0], self.rows.parts[1], self.rows.parts[2]];
        self.flames.flows(x, self.rows.flames, surfaces, self.rows.gas, accounts, sink);
        self.embers.flows(x, self.rows.embers, surfaces, self.rows.gas, accounts, sink);
        self.radiation(x, accounts, sink);
        self.convection(x, sink);
        self.openings(x, accounts, sink);
        for (pot, nodes) in self.pots.iter().zip(&self.rows.pots) {
            pot.flows(nodes, x, accounts, sink);
        }
        self.probe(x, sink);
    }
}

/// σT⁴ and its slope, from °C.
#[inline(always)]
fn emission<R: Real>(t_c: R) -> (R, R) {
    let t_k = t_c + 273.15;
    let cube = t_k * t_k * t_k * STEFAN_BOLTZMANN_W_M2K4;
    (cube * t_k, cube * 4.0)
}

fn burning<R: Real>(models: &[OvenModel], setting: &Setting) -> (Burning<R>, Burning<R>) {
    let free = free_share(setting.door);
    let habits = |l: usize| {
        let (m, p) = (&models[l], &models[l].parameters);
        let shell_m2 = m.chamber.dome_m2 + m.chamber.mouth_m2;
        // Only the free part of the mouth lets radiation out; what a door takes goes to the shell beside it.
        let mouth_share = free * m.chamber.mouth_m2 / shell_m2;
        let (flames, embers) = fire::spreads(setting.lie, p.fire_side_share, mouth_share, FIRE_SIDE_AREA_SHARE);
        let open_m2 = (free * m.chamber.mouth_m2).max(m.gap_m2);
        let limit_w = fire::air_limited_power_w(open_m2, m.chamber.mouth_height_m);
        let habit = |radiant, spread, time_s| Habit { combustion: p.combustion, radiant, spread, time_s, limit_w };
        (
            habit(p.fire_radiant_share, flames, p.flaming_s),
            habit(fire::ember_radiant_share(p.fire_radiant_share), embers, p.embers_s),
        )
    };
    (Burning::from_lanes(|l| habits(l).0), Burning::from_lanes(|l| habits(l).1))
}

fn opening<R: Real>(models: &[OvenModel], setting: &Setting) -> (bool, R) {
    let free = free_share(setting.door);
    let coefficient = R::from_lanes(|l| {
        let m = &models[l];
        let density = m.air_density_kg_m3(setting.ambient_c[l]);
        if free > 0.0 {
            m.parameters.mouth_exchange * open_coefficient(free * m.chamber.mouth_m2, m.chamber.mouth_height_m, density)
        } else {
            shut_coefficient(m.gap_m2, m.chamber.mouth_height_m, density)
        }
    });
    (free > 0.0, coefficient)
}

/// Plate coefficients (gas warmer, gas cooler than the surface) and the length they are taken on.
fn film_shape(sight: Sight, model: &OvenModel, area_m2: f64) -> (f64, f64, f64) {
    let half = |a: f64, b: f64| 0.5 * (a + b);
    match sight {
        Sight::Floor => (TRAPPED_PLATE, FREE_PLATE, model.chamber.floor_m2 / model.chamber.floor_perimeter_m),
        Sight::Flat => (UPRIGHT_PLATE, UPRIGHT_PLATE, model.chamber.mouth_height_m),
        Sight::Shell => (half(FREE_PLATE, UPRIGHT_PLATE), half(TRAPPED_PLATE, UPRIGHT_PLATE), model.chamber.rise_m),
        Sight::PotSide => (UPRIGHT_PLATE, UPRIGHT_PLATE, 0.12),
        Sight::PotTop => (TRAPPED_PLATE, FREE_PLATE, 0.5 * (area_m2 / std::f64::consts::PI).sqrt()),
    }
}

fn films<R: Real>(models: &[OvenModel], all: &[Vec<Surface>]) -> Vec<Film<R>> {
    let coefficient = |l: usize, k: usize, warm: bool| {
        let (m, s) = (&models[l], &all[l][k]);
        let (warm_gas, cool_gas, length) = film_shape(s.sight, m, s.area_m2);
        let c = if warm { warm_gas } else { cool_gas };
        m.parameters.inner_convection * m.pressure_factor() * c * s.area_m2 / length.sqrt().sqrt()
    };
    let fire = |l: usize, k: usize| FIRE_FILM_W_M2K * models[l].parameters.fire_convection * all[l][k].area_m2;
    (0..all[0].len())
        .filter_map(|k| {
            Some(Film {
                node: all[0][k].node?,
                coefficient: FilmCoefficient {
                    mean: R::from_lanes(|l| 0.5 * (coefficient(l, k, true) + coefficient(l, k, false))),
                    half_difference: R::from_lanes(|l| 0.5 * (coefficient(l, k, true) - coefficient(l, k, false))),
                },
                fire_w_k: R::from_lanes(|l| fire(l, k)),
            })
        })
        .collect()
}

/// Shares of the probe's view: below by area of floor and pots, above by area of the shell.
fn probe_views<R: Real>(all: &[Vec<Surface>]) -> (Vec<(usize, R)>, R) {
    let is_shell = |s: &Surface| matches!(s.sight, Sight::Shell | Sight::Flat);
    let share = |l: usize, k: usize| {
        let s = &all[l][k];
        let same: f64 = all[l].iter().filter(|o| is_shell(o) == is_shell(s)).map(|o| o.area_m2).sum();
        let half = if is_shell(s) { 1.0 - PROBE_DOWN } else { PROBE_DOWN };
        half * s.area_m2 / same
    };
    let (mut views, mut mouth) = (Vec::new(), R::splat(0.0));
    for (k, s) in all[0].iter().enumerate() {
        let view = R::from_lanes(|l| share(l, k));
        match s.node {
            Some(node) => views.push((node, view)),
            None => mouth = view,
        }
    }
    (views, mouth)
}
