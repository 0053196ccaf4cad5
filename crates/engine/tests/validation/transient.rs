//! Drives one of the engine's columns through time with the engine's own stepper at its production tolerance: what a case
//! sees is the error of grid and steps together.

use ovenfall_engine::conduction::{Column, Cuts, Metric, PackedColumn, Slab};
use ovenfall_engine::control::Control;
use ovenfall_engine::flow::Sink;
use ovenfall_engine::ledger::Account;
use ovenfall_engine::pack::Lane;
use ovenfall_engine::simulate::Options;
use ovenfall_engine::step::{ActiveColumn, ColdFace, Exchange, Phase, Store};
use std::sync::Arc;

/// Cells a column may have.
pub const MOST_CELLS: usize = 50;

type Number = Lane<1>;

/// What a face of the column meets.
#[derive(Debug, Clone, Copy)]
pub enum Face {
    /// Nothing passes.
    Insulated,
    /// A film against a temperature.
    Film {
        /// W/(m² K).
        film_w_m2k: f64,
        /// °C.
        ambient_c: f64,
    },
    /// A flux into the column, W/m²; hot face only.
    Flux(f64),
}

impl Face {
    /// The face is held at a temperature, °C, by a film so strong that the difference is a millionth of a kelvin for each W/m².
    pub const fn held(t_c: f64) -> Self {
        Self::Film { film_w_m2k: 1.0e6, ambient_c: t_c }
    }
}

/// Where the hot face's heat is booked, and the cold face's.
const HOT: Account = Account::MouthAir;
const COLD: Account = Account::DomeOut;

/// The hot face's surroundings, for one square metre: the only node of the phase is that face.
#[derive(Debug, Clone, Copy)]
struct HotSide(Face);

impl Exchange<Number> for HotSide {
    fn nodes(&self) -> usize {
        1
    }

    fn flows<S: Sink<Number>>(&self, x: &[Number], sink: &mut S) {
        let account = 1 + HOT as usize;
        match self.0 {
            Face::Insulated => {}
            Face::Film { film_w_m2k, ambient_c } => {
                sink.flow(0, account, (x[0] + -ambient_c) * film_w_m2k, [(0, Lane([film_w_m2k]))]);
            }
            Face::Flux(q) => sink.flow(account, 0, Lane([q]), []),
        }
    }
}

/// A column under way. Everything is per area of the hot face.
pub struct Run {
    column: Column,
    phase: Phase<Number, HotSide>,
    state: Vec<Number>,
}

impl Run {
    /// A column of layers with one starting temperature each, °C; joints start with the mean by heat capacity.
    pub fn new(metric: Metric, slabs: &[Slab], cuts: &Cuts, start_c: &[f64], [hot, cold]: [Face; 2]) -> Self {
        assert!(cuts.nodes() <= MOST_CELLS + 1, "{} nodes", cuts.nodes());
        let column = Column::new(metric, slabs, cuts);
        let nodes = cuts.nodes();
        let mut state = vec![Lane([0.0]); nodes + Account::ALL.len()];
        for (layer, t_c) in start_c.iter().enumerate() {
            // The same grid with the capacity of this layer only gives each node's share of it.
            let only: Vec<Slab> =
                slabs.iter().enumerate().map(|(i, slab)| if i == layer { *slab } else { massless(slab) }).collect();
            let part = Column::new(metric, &only, cuts);
            for (j, h) in state[..nodes].iter_mut().enumerate() {
                h.0[0] += part.enthalpy_j_m2(j, *t_c);
            }
        }
        let active = ActiveColumn {
            first: 0,
            node: 0,
            area_m2: Lane([1.0]),
            grid: Arc::new(PackedColumn::pack(&[&column])),
            cold: cold_face(cold),
        };
        let len = state.len();
        let phase = Phase::new(HotSide(hot), vec![active], vec![Store::Face { column: 0 }], nodes, len);
        Self { column, phase, state }
    }

    /// Temperature of a node, °C; 0 is the hot face.
    pub fn node_c(&self, j: usize) -> f64 {
        self.phase.columns[0].grid.temperature_c(&self.state, j).0[0]
    }

    /// Temperature of the cold face, °C.
    pub fn cold_c(&self) -> f64 {
        self.node_c(self.column.depth_m.len() - 1)
    }

    /// Temperature at a depth, °C, straight between nodes.
    pub fn at_depth_c(&self, depth_m: f64) -> f64 {
        let depths = &self.column.depth_m;
        let j = depths.iter().rposition(|d| *d <= depth_m).unwrap_or(0).min(depths.len() - 2);
        let part = (depth_m - depths[j]) / (depths[j + 1] - depths[j]);
        self.node_c(j) + part * (self.node_c(j + 1) - self.node_c(j))
    }

    /// The depth at which a temperature is first passed, m, straight between nodes.
    pub fn depth_of_m(&self, t_c: f64) -> Option<f64> {
        let depths = &self.column.depth_m;
        (1..depths.len()).find_map(|j| {
            let (a, b) = (self.node_c(j - 1) - t_c, self.node_c(j) - t_c);
            (a * b <= 0.0 && a.abs() + b.abs() > 0.0).then(|| depths[j - 1] + (depths[j] - depths[j - 1]) * a / (a - b))
        })
    }

    /// Heat in the column over 0 °C, J/m².
    pub fn stored_j_m2(&self) -> f64 {
        self.state[..self.phase.accounts].iter().map(|h| h.0[0]).sum()
    }

    /// Heat that has left through both faces, J/m².
    pub fn left_j_m2(&self) -> f64 {
        let account = |account: Account| self.state[self.phase.accounts + account as usize].0[0];
        account(HOT) + account(COLD)
    }

    /// Heat into the column through the hot face now, W/m².
    pub fn hot_flux_w_m2(&self) -> f64 {
        let mut rates = self.state.clone();
        self.phase.derivative(&self.state, &mut rates);
        -rates[self.phase.accounts + HOT as usize].0[0]
    }

    /// Goes on for a time, s.
    pub fn advance(&mut self, time_s: f64) {
        let mut control = Control::new(Options::default().tolerance_k, None);
        control.integrate(&self.phase, &mut self.state, (0.0, time_s), |_| {}).expect("the column can be computed");
    }
}

fn cold_face(face: Face) -> Option<ColdFace<Number>> {
    match face {
        Face::Film { film_w_m2k, ambient_c } => Some(ColdFace {
            ambient_c: Lane([ambient_c]),
            film_w_m2k: Lane([film_w_m2k]),
            natural: Lane([0.0]),
            emissivity: 0.0,
            account: COLD,
        }),
        Face::Insulated => None,
        Face::Flux(_) => panic!("a flux meets the hot face only"),
    }
}

fn massless(slab: &Slab) -> Slab {
    Slab { capacity_j_m3k: [0.0; 2], ..*slab }
}

/// A layer of constant properties.
pub fn constant_slab(thickness_m: f64, conductivity_w_mk: f64, density_kg_m3: f64, heat_capacity_j_kgk: f64) -> Slab {
    Slab {
        thickness_m,
        conductivity_w_mk: [conductivity_w_mk, 0.0, 0.0],
        capacity_j_m3k: [density_kg_m3 * heat_capacity_j_kgk, 0.0],
    }
}

#[test]
fn a_lump_against_a_film_is_an_exponential() {
    // Two nodes with next to perfect conduction between them.
    let slab = constant_slab(0.01, 1.0e6, 1000.0, 1000.0);
    let faces = [Face::Film { film_w_m2k: 10.0, ambient_c: 20.0 }, Face::Insulated];
    let mut run = Run::new(Metric::Plane, &[slab], &Cuts::even(1, 1), &[120.0], faces);
    run.advance(1000.0);
    let exact = 20.0 + 100.0 * (-1.0_f64).exp();
    assert!((run.node_c(0) - exact).abs() < 0.1, "{} {exact}", run.node_c(0));
    assert!((run.left_j_m2() - 1.0e4 * (120.0 - run.node_c(0))).abs() < 1.0, "{}", run.left_j_m2());
}
