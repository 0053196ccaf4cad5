//! Drives one of the engine's columns through time: the engine's grid, fluxes, Jacobian and elimination, with steps so
//! short that what remains is the error of the grid.
//!
//! Time: the two-stage Rosenbrock method ROS2, γ = 1 − 1/√2, L-stable and of second order (Verwer, Spee, Blom & Hundsdorfer
//! 1999). Heat that leaves is an extra state of the same stages.

use ovenfall_engine::conduction::{Column, Cuts, Elimination, Metric, PackedColumn, Slab};
use ovenfall_engine::pack::Lane;

/// Cells a column may have.
pub const MOST_CELLS: usize = 5000;

/// Longest step, as a share of a run.
const STEPS: f64 = 4000.0;

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
    /// A flux into the column, W/m².
    Flux(f64),
}

impl Face {
    /// The face is held at a temperature, °C, by a film so strong that the difference is below a millionth of a kelvin a W/m².
    pub const fn held(t_c: f64) -> Self {
        Self::Film { film_w_m2k: 1.0e6, ambient_c: t_c }
    }

    /// Heat into the column per area of this face, W/m², and by how much it falls with the face's temperature.
    fn inflow(self, face_c: f64) -> (f64, f64) {
        match self {
            Self::Insulated => (0.0, 0.0),
            Self::Film { film_w_m2k, ambient_c } => (film_w_m2k * (ambient_c - face_c), film_w_m2k),
            Self::Flux(q) => (q, 0.0),
        }
    }
}

/// A column under way. Everything is per area of the hot face.
pub struct Run {
    column: Column,
    packed: PackedColumn<Number>,
    elimination: Elimination<Number>,
    enthalpy: Vec<Number>,
    hot: Face,
    cold: Face,
    /// Heat that has come in through the hot face, J/m².
    pub through_hot_j_m2: f64,
    /// Heat that has come in through the cold face, J/m².
    pub through_cold_j_m2: f64,
}

/// Rates of a state: of the nodes, and through the two faces.
struct Rates {
    nodes: Vec<Number>,
    through: [f64; 2],
}

impl Run {
    /// A column of layers with one starting temperature each, °C; joints start with the mean by heat capacity.
    pub fn new(metric: Metric, slabs: &[Slab], cuts: &Cuts, start_c: &[f64], faces: [Face; 2]) -> Self {
        assert!(cuts.nodes() <= MOST_CELLS + 1, "{} nodes", cuts.nodes());
        let whole = Column::new(metric, slabs, cuts);
        let mut enthalpy = vec![Lane([0.0]); cuts.nodes()];
        for (layer, t_c) in start_c.iter().enumerate() {
            // The same grid with the capacity of this layer only gives each node's share of it.
            let only: Vec<Slab> =
                slabs.iter().enumerate().map(|(i, slab)| if i == layer { *slab } else { massless(slab) }).collect();
            let part = Column::new(metric, &only, cuts);
            for (j, h) in enthalpy.iter_mut().enumerate() {
                h.0[0] += part.enthalpy_j_m2(j, *t_c);
            }
        }
        Self {
            packed: PackedColumn::pack(&[&whole]),
            elimination: Elimination::new(cuts.nodes()),
            column: whole,
            enthalpy,
            hot: faces[0],
            cold: faces[1],
            through_hot_j_m2: 0.0,
            through_cold_j_m2: 0.0,
        }
    }

    /// Temperature of a node, °C; 0 is the hot face.
    pub fn node_c(&self, j: usize) -> f64 {
        self.packed.temperature_c(&self.enthalpy, j).0[0]
    }

    /// Temperature of the cold face, °C.
    pub fn cold_c(&self) -> f64 {
        self.node_c(self.packed.len() - 1)
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
        self.enthalpy.iter().map(|h| h.0[0]).sum()
    }

    /// Heat into the column through the hot face now, W/m².
    pub fn hot_flux_w_m2(&self) -> f64 {
        self.hot.inflow(self.node_c(0)).0
    }

    /// Goes on for a time, s: short steps after the start, where the faces change fast.
    pub fn advance(&mut self, time_s: f64) {
        let longest = time_s / STEPS;
        let mut step = longest * 1.0e-4;
        let mut done = 0.0;
        while done < time_s {
            let this = step.min(time_s - done);
            self.step(this);
            done += this;
            step = (step * 1.05).min(longest);
        }
    }

    fn rates(&self, enthalpy: &[Number]) -> Rates {
        let mut nodes = vec![Lane([0.0]); enthalpy.len()];
        let (hot_c, cold_c) = self.packed.rates(enthalpy, &mut nodes);
        let ratio = self.packed.cold_face_ratio.0[0];
        let through = [self.hot.inflow(hot_c.0[0]).0, ratio * self.cold.inflow(cold_c.0[0]).0];
        nodes[0] += Lane([through[0]]);
        let last = nodes.len() - 1;
        nodes[last] += Lane([through[1]]);
        Rates { nodes, through }
    }

    fn step(&mut self, dt: f64) {
        let gamma = 1.0 - 0.5_f64.sqrt();
        let shift = 1.0 / (gamma * dt);
        let last = self.packed.len() - 1;
        let ratio = self.packed.cold_face_ratio.0[0];
        let slopes = [self.hot.inflow(self.node_c(0)).1, ratio * self.cold.inflow(self.cold_c()).1];
        let eliminated = self.elimination.factorise(&self.packed, &self.enthalpy, Lane([shift]), Lane([slopes[1]]));
        let by_capacity = [self.elimination.inverse_capacity[0], self.elimination.inverse_capacity[last]];
        let corner = eliminated + by_capacity[0] * slopes[0];
        // k solves (I − γΔt J) k = r, for the nodes and for what passes the faces.
        let solve = |rates: Rates| -> Rates {
            let mut k: Vec<Number> = rates.nodes.iter().map(|r| *r * shift).collect();
            self.elimination.forward(&mut k);
            k[0] = k[0] / corner;
            self.elimination.backward(&mut k);
            let by =
                |i: usize, node: usize| rates.through[i] - gamma * dt * slopes[i] * by_capacity[i].0[0] * k[node].0[0];
            let through = [by(0, 0), by(1, last)];
            Rates { nodes: k, through }
        };
        let first = solve(self.rates(&self.enthalpy));
        let ahead: Vec<Number> = self.enthalpy.iter().zip(&first.nodes).map(|(h, k)| *h + *k * dt).collect();
        let mut second = self.rates(&ahead);
        for (r, k) in second.nodes.iter_mut().zip(&first.nodes) {
            *r -= *k * 2.0;
        }
        for (r, k) in second.through.iter_mut().zip(first.through) {
            *r -= 2.0 * k;
        }
        let second = solve(second);
        for (h, (a, b)) in self.enthalpy.iter_mut().zip(first.nodes.iter().zip(&second.nodes)) {
            *h += (*a * 1.5 + *b * 0.5) * dt;
        }
        self.through_hot_j_m2 += dt * (1.5 * first.through[0] + 0.5 * second.through[0]);
        self.through_cold_j_m2 += dt * (1.5 * first.through[1] + 0.5 * second.through[1]);
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
fn the_error_of_the_steps_is_far_below_that_of_the_grid() {
    // A column of one capacity against a film is, with two nodes of perfect conduction between them, an exponential.
    let slab = constant_slab(0.01, 1.0e6, 1000.0, 1000.0);
    let faces = [Face::Film { film_w_m2k: 10.0, ambient_c: 20.0 }, Face::Insulated];
    let mut run = Run::new(Metric::Plane, &[slab], &Cuts::even(1, 1), &[120.0], faces);
    run.advance(1000.0);
    let exact = 20.0 + 100.0 * (-1000.0_f64 / 1000.0).exp();
    assert!((run.node_c(0) - exact).abs() < 1e-5, "{} {exact}", run.node_c(0));
}
