//! One step of a phase: right-hand side, factorisation, the six stages, and what lies between two steps.
//!
//! # Equation
//! Rodas4P in transformed form: W k_i = f(y + Σ a_ij k_j) + Σ c_ij k_j / h, W = I/(γh) − J; y₁ = y + Σ a_6j k_j + k_6 and
//! the last k is the error estimate. W is solved by eliminating every column down to its hot face, a small sparse
//! system for the cavity, then back-substitution; the ledger's rows depend on the others but nothing depends on them.
//! Between steps y(θ) = (1−θ) y₀ + θ (y₁ + (1−θ)(d₂ + θ d₃)), third order.
//!
//! # Validity
//! L-stable, stiffly accurate, order 4 also for parabolic problems; the error estimate is of order 3. Autonomous within
//! a phase.
//!
//! # Source
//! Steinebach, Order-reduction of ROW-methods for DAEs and method of lines applications, TH Darmstadt Preprint 1741
//! (1995); Hairer & Wanner, Solving Ordinary Differential Equations II, IV.7. Coefficients as printed in several public
//! codes that agree to all digits; an order test checks them here.

use crate::conduction::{Elimination, PackedColumn, temperature_and_capacity};
use crate::convection::outer_loss;
use crate::elimination::Plan;
use crate::flow::{JacobianSink, PatternSink, RateSink, Sink};
use crate::ledger::Account;
use crate::pack::Real;
use crate::sums::{Active, add_scaled};
use crate::water::WATER_HEAT_CAPACITY_J_KGK;
use std::sync::Arc;

const GAMMA: f64 = 0.25;
const A: [[f64; 4]; 4] = [
    [3.0, 0.0, 0.0, 0.0],
    [1.831036793486759, 0.4955183967433795, 0.0, 0.0],
    [2.304376582692669, -0.05249275245743001, -1.176798761832782, 0.0],
    [-7.170454962423024, -4.741636671481785, -16.31002631330971, -1.062004044111401],
];
const C: [[f64; 5]; 5] = [
    [-12.0, 0.0, 0.0, 0.0, 0.0],
    [-8.791795173947035, -2.207865586973518, 0.0, 0.0, 0.0],
    [10.81793056857153, 6.780270611428266, 19.534_859_446_424_1, 0.0, 0.0],
    [34.19095006749676, 15.49671153725963, 54.747_608_759_641_3, 14.16005392148534, 0.0],
    [34.62605830930532, 15.30084976114473, 56.99955578662667, 18.40807009793095, -5.714285714285717],
];
const DENSE: [[f64; 5]; 2] = [
    [25.09876703708589, 11.62013104361867, 28.49148307714626, -5.664021568594133, 0.0],
    [1.638054557396973, -0.7373619806678748, 8.477_918_219_238_99, 15.992_531_487_795_2, -1.882352941176473],
];

/// What couples the nodes of a phase: the oven's chamber, or in tests a film on a slab.
pub trait Exchange<R: Real> {
    /// Number of nodes; the ledger's accounts follow as rows.
    fn nodes(&self) -> usize;
    /// All flows at the nodes' values `x` (°C, kg, J).
    fn flows<S: Sink<R>>(&self, x: &[R], sink: &mut S);
}

/// The cold face of a column.
#[derive(Debug, Clone)]
pub struct ColdFace<R> {
    /// Temperature behind it, °C.
    pub ambient_c: R,
    /// Film independent of the difference, W/(m² K).
    pub film_w_m2k: R,
    /// Quarter-power film.
    pub natural: R,
    /// Emissivity.
    pub emissivity: f64,
    /// Account that receives the loss.
    pub account: Account,
}

/// A column taking part in a phase.
#[derive(Debug, Clone)]
pub struct ActiveColumn<R> {
    /// First state.
    pub first: usize,
    /// Row of its hot face in the cavity.
    pub node: usize,
    /// Hot-face area, m².
    pub area_m2: R,
    /// Grid and properties.
    pub grid: Arc<PackedColumn<R>>,
    /// What is behind it; `None` for symmetry.
    pub cold: Option<ColdFace<R>>,
}

impl<R: Real> ActiveColumn<R> {
    /// Adds the column's own part of the Jacobian.
    fn add_jacobian(&self, y: &[R], accounts: usize, j: &mut [R], len: usize) {
        let nodes = self.grid.len();
        let h = &y[self.first..self.first + nodes];
        for (i, slopes) in self.grid.slopes(h).into_iter().enumerate() {
            let (here, next) = (self.first + i, self.first + i + 1);
            for (column, slope) in [(here, slopes[0]), (next, slopes[1])] {
                j[here * len + column] -= slope;
                j[next * len + column] += slope;
            }
        }
        if let Some(face) = &self.cold {
            let last = self.first + nodes - 1;
            let (t, capacity) = temperature_and_capacity(h[nodes - 1], self.grid.a[nodes - 1], self.grid.b[nodes - 1]);
            let loss = outer_loss(t, face.ambient_c, face.film_w_m2k, face.natural, face.emissivity).slope;
            let slope = loss * self.grid.cold_face_ratio / capacity;
            j[last * len + last] -= slope;
            j[(accounts + face.account as usize) * len + last] += slope * self.area_m2;
        }
    }
}

/// How a node's value follows from the state.
#[derive(Debug, Clone, Copy)]
pub enum Store<R> {
    /// Hot face of column `column`.
    Face {
        /// Index into the phase's columns.
        column: usize,
    },
    /// A lump: enthalpy with capacity a + bT.
    Lump {
        /// Its state.
        state: usize,
        /// Heat capacity, J/K.
        capacity_j_k: R,
        /// Error allowed in it for each kelvin allowed in temperatures, K.
        per_k: f64,
    },
    /// Liquid: enthalpy and mass.
    Liquid {
        /// Enthalpy.
        state: usize,
        /// Mass.
        water: usize,
        /// Row of the mass.
        water_row: usize,
        /// Capacity of what never leaves, J/K.
        residue_j_k: f64,
    },
    /// The state is the value: masses, fuel, probe.
    Plain {
        /// Its state.
        state: usize,
        /// Error allowed in it for each kelvin allowed in temperatures.
        per_k: f64,
    },
}

/// A phase, ready to step.
#[derive(Debug, Clone)]
pub struct Phase<R, E> {
    /// What couples the nodes.
    pub exchange: E,
    /// Columns.
    pub columns: Vec<ActiveColumn<R>>,
    /// One store for each row of the cavity.
    pub stores: Vec<Store<R>>,
    /// First account in the state.
    pub accounts: usize,
    /// Length of the state.
    pub len: usize,
    plan: Plan,
    active: Active,
    /// Entries of the Jacobian that can be other than zero: (row, column), accounts included.
    entries: Vec<(usize, usize)>,
    /// Those of the ledger's rows: (account, column).
    account_entries: Vec<(usize, usize)>,
}

/// Work space of a phase; no step allocates.
#[derive(Debug, Clone)]
pub struct Work<R> {
    k: [Vec<R>; 6],
    stage: Vec<R>,
    /// dy/dt at the start of the step.
    pub rate: Vec<R>,
    x: Vec<R>,
    rows: Vec<R>,
    raw: Vec<R>,
    matrix: Vec<R>,
    account_matrix: Vec<R>,
    chain: Vec<R>,
    by_mass: Vec<R>,
    right: Vec<R>,
    eliminations: Vec<Elimination<R>>,
    cold_slopes: Vec<R>,
    /// One over the tolerance of each state.
    pub weight: Vec<R>,
}

const ACCOUNTS: usize = Account::ALL.len();

impl<R: Real, E: Exchange<R>> Phase<R, E> {
    /// Prepares a phase: works out pattern and fill.
    #[must_use]
    pub fn new(exchange: E, columns: Vec<ActiveColumn<R>>, stores: Vec<Store<R>>, accounts: usize, len: usize) -> Self {
        let n = exchange.nodes();
        let mut pattern = vec![false; (n + ACCOUNTS) * n];
        let x = vec![R::splat(50.0); n];
        exchange.flows(&x, &mut PatternSink { pattern: &mut pattern, columns: n });
        for (k, store) in stores.iter().enumerate() {
            if let Store::Liquid { water_row, .. } = store {
                for i in 0..n + ACCOUNTS {
                    pattern[i * n + water_row] |= pattern[i * n + k];
                }
            }
        }
        let entries: Vec<_> = (0..(n + ACCOUNTS) * n).filter(|&e| pattern[e]).map(|e| (e / n, e % n)).collect();
        let account_entries = entries.iter().filter(|e| e.0 >= n).map(|&(row, k)| (row - n, k)).collect();
        let active = active_states(&columns, &stores, accounts);
        Self {
            plan: Plan::new(n, &pattern),
            active,
            entries,
            account_entries,
            exchange,
            columns,
            stores,
            accounts,
            len,
        }
    }

    /// Work space for this phase.
    #[must_use]
    pub fn work(&self) -> Work<R> {
        let n = self.exchange.nodes();
        let zeros = |len: usize| vec![R::splat(0.0); len];
        Work {
            k: std::array::from_fn(|_| zeros(self.len)),
            stage: zeros(self.len),
            rate: zeros(self.len),
            x: zeros(n),
            rows: zeros(n + ACCOUNTS),
            raw: zeros((n + ACCOUNTS) * n),
            matrix: zeros(n * n),
            account_matrix: zeros(ACCOUNTS * n),
            chain: zeros(n),
            by_mass: zeros(n),
            right: zeros(n),
            eliminations: self.columns.iter().map(|c| Elimination::new(c.grid.len())).collect(),
            cold_slopes: zeros(self.columns.len()),
            weight: zeros(self.len),
        }
    }

    fn value(&self, y: &[R], store: &Store<R>) -> R {
        match *store {
            Store::Face { column } => {
                let c = &self.columns[column];
                c.grid.temperature_c(&y[c.first..], 0)
            }
            Store::Lump { state, capacity_j_k, .. } => y[state] / capacity_j_k,
            Store::Liquid { state, water, residue_j_k, .. } => {
                y[state] / (y[water] * WATER_HEAT_CAPACITY_J_KGK + residue_j_k)
            }
            Store::Plain { state, .. } => y[state],
        }
    }

    /// Values of all nodes, °C, kg, J.
    pub fn values(&self, y: &[R], x: &mut [R]) {
        for (x, store) in x.iter_mut().zip(&self.stores) {
            *x = self.value(y, store);
        }
    }

    fn state_of(&self, store: &Store<R>) -> usize {
        match *store {
            Store::Face { column } => self.columns[column].first,
            Store::Lump { state, .. } | Store::Liquid { state, .. } | Store::Plain { state, .. } => state,
        }
    }

    /// dy/dt at `y`; `x` and `rows` are work space.
    fn rates(&self, y: &[R], dy: &mut [R], x: &mut [R], rows: &mut [R]) {
        let n = self.exchange.nodes();
        for r in rows.iter_mut() {
            *r = R::splat(0.0);
        }
        for column in &self.columns {
            let nodes = column.grid.len();
            let range = column.first..column.first + nodes;
            let (hot, cold) = column.grid.rates(&y[range.clone()], &mut dy[range]);
            x[column.node] = hot;
            if let Some(face) = &column.cold {
                let loss = outer_loss(cold, face.ambient_c, face.film_w_m2k, face.natural, face.emissivity);
                let per_hot_face = loss.value * column.grid.cold_face_ratio;
                dy[column.first + nodes - 1] -= per_hot_face;
                rows[n + face.account as usize] += per_hot_face * column.area_m2;
            }
        }
        for (x, store) in x.iter_mut().zip(&self.stores) {
            if !matches!(store, Store::Face { .. }) {
                *x = self.value(y, store);
            }
        }
        self.exchange.flows(x, &mut RateSink(rows));
        for (row, store) in rows.iter().zip(&self.stores) {
            match *store {
                Store::Face { column } => {
                    let c = &self.columns[column];
                    dy[c.first] += *row / c.area_m2;
                }
                Store::Lump { state, .. } | Store::Liquid { state, .. } | Store::Plain { state, .. } => {
                    dy[state] = *row
                }
            }
        }
        dy[self.accounts..self.accounts + ACCOUNTS].copy_from_slice(&rows[n..n + ACCOUNTS]);
    }

    /// dy/dt at `y` for any solver; allocates its own work space.
    pub fn derivative(&self, y: &[R], dy: &mut [R]) {
        let n = self.exchange.nodes();
        let mut x = vec![R::splat(0.0); n];
        let mut rows = vec![R::splat(0.0); n + ACCOUNTS];
        self.rates(y, dy, &mut x, &mut rows);
    }

    /// The whole Jacobian ∂f/∂y, row-major, for general solvers and for checks; the stepper never forms it.
    #[must_use]
    pub fn jacobian(&self, y: &[R]) -> Vec<R> {
        let (n, len) = (self.exchange.nodes(), self.len);
        let mut j = vec![R::splat(0.0); len * len];
        for column in &self.columns {
            column.add_jacobian(y, self.accounts, &mut j, len);
        }
        let mut x = vec![R::splat(0.0); n];
        self.values(y, &mut x);
        let mut raw = vec![R::splat(0.0); (n + ACCOUNTS) * n];
        self.exchange.flows(&x, &mut JacobianSink { matrix: &mut raw, columns: n });
        for &(row, k) in &self.entries {
            let (to, scale) = if row >= n {
                (self.accounts + row - n, R::splat(1.0))
            } else if let Store::Face { column } = self.stores[row] {
                (self.columns[column].first, R::splat(1.0) / self.columns[column].area_m2)
            } else {
                (self.state_of(&self.stores[row]), R::splat(1.0))
            };
            let slope = raw[row * n + k] * scale;
            let at = self.state_of(&self.stores[k]);
            match self.stores[k] {
                Store::Face { column } => {
                    let c = &self.columns[column];
                    let (_, capacity) = temperature_and_capacity(y[c.first], c.grid.a[0], c.grid.b[0]);
                    j[to * len + at] += slope / capacity;
                }
                Store::Lump { capacity_j_k, .. } => j[to * len + at] += slope / capacity_j_k,
                Store::Liquid { water, residue_j_k, .. } => {
                    let capacity = y[water] * WATER_HEAT_CAPACITY_J_KGK + residue_j_k;
                    j[to * len + at] += slope / capacity;
                    j[to * len + water] -= slope * x[k] * WATER_HEAT_CAPACITY_J_KGK / capacity;
                }
                Store::Plain { .. } => j[to * len + at] += slope,
            }
        }
        j
    }

    /// dy/dt at `y` into the work space.
    pub fn evaluate(&self, y: &[R], work: &mut Work<R>) {
        self.rates(y, &mut work.rate, &mut work.x, &mut work.rows);
    }

    /// Sets the tolerances' weights at state `y`: every temperature may err by `tolerance_k` in a step.
    pub fn set_weights(&self, y: &[R], work: &mut Work<R>, tolerance_k: f64) {
        for (column, w) in self.columns.iter().map(|c| (c, c.first)) {
            for j in 0..column.grid.len() {
                let (_, c) = temperature_and_capacity(y[w + j], column.grid.a[j], column.grid.b[j]);
                work.weight[w + j] = R::splat(1.0 / tolerance_k) / c;
            }
        }
        for store in &self.stores {
            match *store {
                Store::Face { .. } => {}
                Store::Lump { state, capacity_j_k, per_k } => {
                    work.weight[state] = R::splat(1.0 / (per_k * tolerance_k)) / capacity_j_k;
                }
                Store::Liquid { state, water, residue_j_k, .. } => {
                    let c = y[water] * WATER_HEAT_CAPACITY_J_KGK + residue_j_k;
                    work.weight[state] = R::splat(1.0 / tolerance_k) / c;
                }
                Store::Plain { state, per_k } => work.weight[state] = R::splat(1.0 / (per_k * tolerance_k)),
            }
        }
    }

    /// Factorises W = I/(γh) − J at state `y`.
    pub fn factorise(&self, y: &[R], h_s: f64, work: &mut Work<R>) {
        let n = self.exchange.nodes();
        let shift = R::splat(1.0 / (GAMMA * h_s));
        self.values(y, &mut work.x);
        for &(i, k) in &self.entries {
            work.raw[i * n + k] = R::splat(0.0);
        }
        self.exchange.flows(&work.x, &mut JacobianSink { matrix: &mut work.raw, columns: n });
        for m in &mut work.matrix {
            *m = R::splat(0.0);
        }
        for (k, store) in self.stores.iter().enumerate() {
            work.matrix[k * n + k] = shift;
            work.by_mass[k] = R::splat(0.0);
            work.chain[k] = match *store {
                Store::Face { column } => {
                    let (diagonal, inverse_capacity) = self.factorise_column(column, y, shift, work);
                    work.matrix[k * n + k] = diagonal;
                    inverse_capacity
                }
                Store::Lump { capacity_j_k, .. } => R::splat(1.0) / capacity_j_k,
                Store::Liquid { water, residue_j_k, .. } => {
                    let inverse = R::splat(1.0) / (y[water] * WATER_HEAT_CAPACITY_J_KGK + residue_j_k);
                    work.by_mass[k] = -(work.x[k] * WATER_HEAT_CAPACITY_J_KGK * inverse);
                    inverse
                }
                Store::Plain { .. } => R::splat(1.0),
            };
        }
        for a in &mut work.account_matrix {
            *a = R::splat(0.0);
        }
        for &(i, k) in &self.entries {
            let raw = work.raw[i * n + k];
            self.place(i, k, raw * work.chain[k], work);
            if let Store::Liquid { water_row, .. } = self.stores[k] {
                self.place(i, water_row, raw * work.by_mass[k], work);
            }
        }
        self.plan.factorise(&mut work.matrix);
    }

    /// Adds an entry of the Jacobian (in states) to the system, or to the ledger's rows.
    #[inline(always)]
    fn place(&self, row: usize, column: usize, slope: R, work: &mut Work<R>) {
        let n = self.exchange.nodes();
        if row >= n {
            work.account_matrix[(row - n) * n + column] += slope;
        } else if let Store::Face { column: c } = self.stores[row] {
            work.matrix[row * n + column] -= slope / self.columns[c].area_m2;
        } else {
            work.matrix[row * n + column] -= slope;
        }
    }

    fn factorise_column(&self, index: usize, y: &[R], shift: R, work: &mut Work<R>) -> (R, R) {
        let column = &self.columns[index];
        let nodes = column.grid.len();
        let h = &y[column.first..column.first + nodes];
        let slope = column.cold.as_ref().map_or(R::splat(0.0), |face| {
            let t = column.grid.temperature_c(h, nodes - 1);
            outer_loss(t, face.ambient_c, face.film_w_m2k, face.natural, face.emissivity).slope
                * column.grid.cold_face_ratio
        });
        let elimination = &mut work.eliminations[index];
        let diagonal = elimination.factorise(&column.grid, h, shift, slope);
        work.cold_slopes[index] = slope * elimination.inverse_capacity[nodes - 1] * column.area_m2;
        (diagonal, elimination.inverse_capacity[0])
    }

    /// Solves W k = r in place.
    fn solve(&self, h_s: f64, r: &mut [R], work: &mut Solver<'_, R>) {
        let n = self.exchange.nodes();
        for (column, elimination) in self.columns.iter().zip(work.eliminations) {
            elimination.forward(&mut r[column.first..column.first + column.grid.len()]);
        }
        for (right, store) in work.right.iter_mut().zip(&self.stores) {
            *right = r[self.state_of(store)];
        }
        self.plan.solve(work.matrix, work.right);
        for (right, store) in work.right.iter().zip(&self.stores) {
            r[self.state_of(store)] = *right;
        }
        for &(account, k) in &self.account_entries {
            r[self.accounts + account] += work.account_matrix[account * n + k] * work.right[k];
        }
        for ((column, elimination), slope) in self.columns.iter().zip(work.eliminations).zip(work.cold_slopes) {
            let range = column.first..column.first + column.grid.len();
            elimination.backward(&mut r[range.clone()]);
            if let Some(face) = &column.cold {
                let last = r[range.end - 1];
                r[self.accounts + face.account as usize] += *slope * last;
            }
        }
        for account in 0..ACCOUNTS {
            let sum = r[self.accounts + account];
            r[self.accounts + account] = sum * (GAMMA * h_s);
        }
    }

    /// Takes a step of `h_s` from `y`, whose rate is in the work space, into `next`, which must hold the same as `y` in
    /// the states that take no part in the phase. Returns the scaled error, the largest
    /// over nodes and lanes; NaN when something is not finite.
    pub fn step(&self, y: &[R], h_s: f64, next: &mut [R], work: &mut Work<R>) -> f64 {
        self.factorise(y, h_s, work);
        for stage in 0..6 {
            let (done, rest) = work.k.split_at_mut(stage);
            let k = &mut rest[0];
            if stage == 0 {
                k.copy_from_slice(&work.rate);
            } else {
                if stage < 5 {
                    add_scaled(&self.active, &mut work.stage, Some(y), done, &A[stage - 1][..stage]);
                } else {
                    add_scaled(&self.active, &mut work.stage, None, &done[4..], &[1.0]);
                }
                self.rates(&work.stage, k, &mut work.x, &mut work.rows);
                let by_step: [f64; 5] = C[stage - 1].map(|c| c / h_s);
                add_scaled(&self.active, k, None, done, &by_step[..stage]);
            }
            let mut solver = Solver {
                matrix: &work.matrix,
                account_matrix: &work.account_matrix,
                right: &mut work.right,
                eliminations: &work.eliminations,
                cold_slopes: &work.cold_slopes,
            };
            self.solve(h_s, k, &mut solver);
        }
        let mut worst = R::splat(0.0);
        let mut sum = R::splat(0.0);
        for range in self.active.iter() {
            let (error, weight) = (&work.k[5][range.clone()], &work.weight[range.clone()]);
            let (next, stage) = (&mut next[range.clone()], &work.stage[range]);
            for (((next, stage), error), weight) in next.iter_mut().zip(stage).zip(error).zip(weight) {
                *next = *stage + *error;
                let scaled = *error * *weight;
                let square = scaled * scaled;
                sum += square;
                worst = (square - worst).pick(square, worst);
            }
        }
        (0..R::LANES).map(|l| if sum.lane(l).is_finite() { worst.lane(l) } else { f64::NAN }).fold(0.0, nan_max).sqrt()
    }

    /// State at share `theta` of the last step from `y` to `next`.
    pub fn between(&self, y: &[R], next: &[R], theta: f64, work: &Work<R>, out: &mut [R]) {
        for i in 0..self.len {
            let mut d = [R::splat(0.0); 2];
            for (d, row) in d.iter_mut().zip(&DENSE) {
                for (k, c) in work.k.iter().zip(row) {
                    *d += k[i] * *c;
                }
            }
            out[i] = y[i] * (1.0 - theta) + (next[i] + (d[0] + d[1] * theta) * (1.0 - theta)) * theta;
        }
    }
}

/// What a solve needs of the work space.
struct Solver<'a, R> {
    matrix: &'a [R],
    account_matrix: &'a [R],
    right: &'a mut [R],
    eliminations: &'a [Elimination<R>],
    cold_slopes: &'a [R],
}

/// States that take part in a phase.
fn active_states<R: Real>(columns: &[ActiveColumn<R>], stores: &[Store<R>], accounts: usize) -> Active {
    let lumps = stores.iter().filter_map(|store| match *store {
        Store::Face { .. } => None,
        Store::Lump { state, .. } | Store::Liquid { state, .. } | Store::Plain { state, .. } => Some(state..state + 1),
    });
    let columns = columns.iter().map(|c| c.first..c.first + c.grid.len());
    let ledger = std::iter::once(accounts..accounts + ACCOUNTS);
    Active::new(columns.chain(lumps).chain(ledger).collect())
}

fn nan_max(a: f64, b: f64) -> f64 {
    if a.is_nan() || b.is_nan() { f64::NAN } else { a.max(b) }
}
