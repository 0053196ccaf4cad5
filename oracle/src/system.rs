//! One phase of the day as an ordinary system u' = f(u) in kelvin-like unknowns.
//!
//! Only states that take part are unknowns. Each is divided by a scale, so that one unit weighs about as much as a kelvin:
//! enthalpies by their heat capacity at the start of the phase, masses by 10 g, fuel by a share of what burns, accounts
//! by 5 kJ. One absolute tolerance then serves all.

use crate::jacobian::{Assembly, One, SparseMatrix, state_of};
use ovenfall_engine::cavity::Cavity;
use ovenfall_engine::conduction::temperature_and_capacity;
use ovenfall_engine::ledger::Account;
use ovenfall_engine::pack::{Lane, Real};
use ovenfall_engine::step::{Phase, Store, Work};
use ovenfall_engine::water::WATER_HEAT_CAPACITY_J_KGK;

/// J that weigh as much as a kelvin in an account of the ledger.
const ACCOUNT_SCALE_J: f64 = 5e3;
/// kg that weigh as much as a kelvin.
const MASS_SCALE_KG: f64 = 0.01;
/// J that weigh as much as a kelvin in a store of fuel.
const FUEL_SCALE_J: f64 = 2e4;

/// From when to when, and where output is wanted: rising, after `from_s` and up to `to_s`.
#[derive(Debug, Clone, Copy)]
pub struct Span<'a> {
    /// Start, s.
    pub from_s: f64,
    /// End, s.
    pub to_s: f64,
    /// Output times, s.
    pub wanted_s: &'a [f64],
}

/// What solvers count.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Count {
    /// Steps.
    pub steps: usize,
    /// Evaluations of the right-hand side.
    pub evaluations: usize,
    /// Jacobians assembled.
    pub jacobians: usize,
    /// Factorisations.
    pub factorisations: usize,
}

/// A phase as a plain system.
pub struct System {
    phase: Phase<One, Cavity<One>>,
    work: Work<One>,
    full: Vec<One>,
    active: Vec<usize>,
    scales: Vec<f64>,
    assembly: Assembly,
    /// The point the Jacobian was last filled at.
    filled_at: Vec<f64>,
    /// What was counted so far.
    pub count: Count,
}

impl System {
    /// A phase that starts at state `y` of the day.
    #[must_use]
    pub fn new(phase: Phase<One, Cavity<One>>, y: &[One]) -> Self {
        let scaled = scaled_states(&phase, y);
        let (active, scales): (Vec<usize>, Vec<f64>) = scaled.into_iter().unzip();
        let mut place = vec![None; phase.len];
        for (unknown, state) in active.iter().enumerate() {
            place[*state] = Some(unknown);
        }
        let assembly = Assembly::new(&phase, y, &place, &scales);
        let work = phase.work();
        let filled_at = vec![f64::NAN; active.len()];
        Self { phase, work, full: y.to_vec(), active, scales, assembly, filled_at, count: Count::default() }
    }

    /// Number of unknowns.
    #[must_use]
    pub fn len(&self) -> usize {
        self.active.len()
    }

    /// Whether there are no unknowns; there always are some.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.active.is_empty()
    }

    /// The state behind each unknown.
    #[must_use]
    pub fn active(&self) -> &[usize] {
        &self.active
    }

    /// The scale of each unknown: a state is unknown times scale.
    #[must_use]
    pub fn scales(&self) -> &[f64] {
        &self.scales
    }

    /// The phase.
    #[must_use]
    pub fn phase(&self) -> &Phase<One, Cavity<One>> {
        &self.phase
    }

    /// Unknowns of the state the system was made with or last evaluated at.
    #[must_use]
    pub fn unknowns(&self) -> Vec<f64> {
        self.active.iter().zip(&self.scales).map(|(state, scale)| self.full[*state].lane(0) / scale).collect()
    }

    /// The day's whole state at unknowns `u`.
    pub fn state(&mut self, u: &[f64]) -> &[One] {
        for ((state, scale), u) in self.active.iter().zip(&self.scales).zip(u) {
            self.full[*state] = Lane([u * scale]);
        }
        &self.full
    }

    /// u' at `u`.
    pub fn rate(&mut self, u: &[f64], du: &mut [f64]) {
        self.count.evaluations += 1;
        self.state(u);
        self.phase.evaluate(&self.full, &mut self.work);
        for ((state, scale), du) in self.active.iter().zip(&self.scales).zip(du) {
            *du = self.work.rate[*state].lane(0) / scale;
        }
    }

    /// The Jacobian at `u`.
    pub fn jacobian(&mut self, u: &[f64]) -> &SparseMatrix {
        if self.filled_at != u {
            self.count.jacobians += 1;
            self.state(u);
            self.assembly.fill(&self.phase, &self.full);
            self.filled_at.copy_from_slice(u);
        }
        &self.assembly.matrix
    }

    /// The Jacobian as last filled.
    #[must_use]
    pub fn matrix(&self) -> &SparseMatrix {
        &self.assembly.matrix
    }
}

/// States that take part, in rising order, each with its scale.
fn scaled_states(phase: &Phase<One, Cavity<One>>, y: &[One]) -> Vec<(usize, f64)> {
    let mut all = Vec::new();
    for column in &phase.columns {
        let grid = &column.grid;
        all.extend((0..grid.len()).map(|j| {
            let state = column.first + j;
            (state, temperature_and_capacity(y[state], grid.a[j], grid.b[j]).1.lane(0))
        }));
    }
    let rows = &phase.exchange.rows;
    for (node, store) in phase.stores.iter().enumerate() {
        let scale = match *store {
            Store::Face { .. } => continue,
            Store::Lump { capacity_j_k, .. } => capacity_j_k.lane(0),
            Store::Liquid { water, residue_j_k, .. } => y[water].lane(0) * WATER_HEAT_CAPACITY_J_KGK + residue_j_k,
            Store::Plain { .. } if node == rows.flames || node == rows.embers => FUEL_SCALE_J,
            Store::Plain { .. } if node == rows.probe => 1.0,
            Store::Plain { .. } => MASS_SCALE_KG,
        };
        all.push((state_of(phase, node), scale));
    }
    all.extend((0..Account::ALL.len()).map(|i| (phase.accounts + i, ACCOUNT_SCALE_J)));
    all.sort_unstable_by_key(|s| s.0);
    all
}
