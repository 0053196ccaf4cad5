//! The Jacobian of a phase as a sparse matrix, for solvers with a general sparse LU.
//!
//! The engine never forms it while stepping and hands out a dense one for checks; a peer that had to fill and scan that
//! would be slowed by us. So it is assembled here from the engine's public parts, entry by entry, in compressed columns.

use ovenfall_engine::conduction::temperature_and_capacity;
use ovenfall_engine::convection::outer_loss;
use ovenfall_engine::flow::{JacobianSink, PatternSink};
use ovenfall_engine::ledger::Account;
use ovenfall_engine::pack::{Lane, Real};
use ovenfall_engine::step::{ActiveColumn, Exchange, Phase, Store};
use ovenfall_engine::water::WATER_HEAT_CAPACITY_J_KGK;

/// One number.
pub type One = Lane<1>;

const ACCOUNTS: usize = Account::ALL.len();

/// A square matrix in compressed columns.
#[derive(Debug, Clone, Default)]
pub struct SparseMatrix {
    /// Start of each column in `rows` and `values`; one more than there are columns.
    pub starts: Vec<usize>,
    /// Row of each entry, rising within a column.
    pub rows: Vec<usize>,
    /// Entries.
    pub values: Vec<f64>,
}

impl SparseMatrix {
    /// y = A x.
    pub fn multiply(&self, x: &[f64], y: &mut [f64]) {
        y.fill(0.0);
        for (column, x) in x.iter().enumerate() {
            for e in self.starts[column]..self.starts[column + 1] {
                y[self.rows[e]] += self.values[e] * x;
            }
        }
    }
}

/// Assembles the Jacobian of one phase in scaled states.
#[derive(Debug, Clone)]
pub struct Assembly {
    /// The matrix, as last filled.
    pub matrix: SparseMatrix,
    /// Where each contribution goes, in the order in which [`contributions`] makes them.
    slots: Vec<usize>,
    /// scale of the column over scale of the row, for each entry.
    factors: Vec<f64>,
    entries: Vec<(usize, usize)>,
    x: Vec<One>,
    raw: Vec<One>,
}

impl Assembly {
    /// Works out the pattern. `place` gives the unknown of each state of the day, `scales` the scale of each unknown.
    #[must_use]
    pub fn new<E: Exchange<One>>(phase: &Phase<One, E>, y: &[One], place: &[Option<usize>], scales: &[f64]) -> Self {
        let n = phase.exchange.nodes();
        let mut pattern = vec![false; (n + ACCOUNTS) * n];
        phase.exchange.flows(&vec![Lane([50.0]); n], &mut PatternSink { pattern: &mut pattern, columns: n });
        let entries: Vec<(usize, usize)> = (0..pattern.len()).filter(|e| pattern[*e]).map(|e| (e / n, e % n)).collect();
        let (mut x, mut raw) = (vec![Lane([0.0]); n], vec![Lane([0.0]); pattern.len()]);
        let mut made = Vec::new();
        contributions(phase, y, &entries, (&mut x, &mut raw), |row, column, _| {
            if let (Some(row), Some(column)) = (place[row], place[column]) {
                made.push((column, row));
            }
        });
        let mut all = made.clone();
        all.extend((0..scales.len()).map(|i| (i, i)));
        all.sort_unstable();
        all.dedup();
        Self {
            slots: made.iter().map(|c| all.partition_point(|a| a < c)).collect(),
            factors: all.iter().map(|&(column, row)| scales[column] / scales[row]).collect(),
            matrix: SparseMatrix {
                starts: (0..=scales.len()).map(|i| all.partition_point(|a| a.0 < i)).collect(),
                rows: all.iter().map(|a| a.1).collect(),
                values: vec![0.0; all.len()],
            },
            entries,
            x,
            raw,
        }
    }

    /// Fills the matrix at state `y`.
    pub fn fill<E: Exchange<One>>(&mut self, phase: &Phase<One, E>, y: &[One]) {
        let (values, slots) = (&mut self.matrix.values, &self.slots);
        values.fill(0.0);
        let mut next = 0;
        contributions(phase, y, &self.entries, (&mut self.x, &mut self.raw), |_, _, slope| {
            values[slots[next]] += slope;
            next += 1;
        });
        for (value, factor) in values.iter_mut().zip(&self.factors) {
            *value *= factor;
        }
    }
}

/// All contributions to ∂f/∂y as (row, column, value) in states of the day, always in the same order.
fn contributions<E: Exchange<One>>(
    phase: &Phase<One, E>,
    y: &[One],
    entries: &[(usize, usize)],
    (x, raw): (&mut [One], &mut [One]),
    mut emit: impl FnMut(usize, usize, f64),
) {
    let n = phase.exchange.nodes();
    for column in &phase.columns {
        column_contributions(column, phase.accounts, y, &mut emit);
    }
    phase.values(y, x);
    raw.fill(Lane([0.0]));
    phase.exchange.flows(x, &mut JacobianSink { matrix: raw, columns: n });
    for &(row, k) in entries {
        let (to, area) = if row >= n {
            (phase.accounts + row - n, 1.0)
        } else if let Store::Face { column } = phase.stores[row] {
            (phase.columns[column].first, phase.columns[column].area_m2.lane(0))
        } else {
            (state_of(phase, row), 1.0)
        };
        let (slope, at) = (raw[row * n + k].lane(0) / area, state_of(phase, k));
        match phase.stores[k] {
            Store::Face { column } => {
                let grid = &phase.columns[column].grid;
                emit(to, at, slope / temperature_and_capacity(y[at], grid.a[0], grid.b[0]).1.lane(0));
            }
            Store::Lump { capacity_j_k, .. } => emit(to, at, slope / capacity_j_k.lane(0)),
            Store::Liquid { water, residue_j_k, .. } => {
                let capacity = y[water].lane(0) * WATER_HEAT_CAPACITY_J_KGK + residue_j_k;
                emit(to, at, slope / capacity);
                emit(to, water, -slope * x[k].lane(0) * WATER_HEAT_CAPACITY_J_KGK / capacity);
            }
            Store::Plain { .. } => emit(to, at, slope),
        }
    }
}

/// State of a node of the cavity.
#[must_use]
pub fn state_of<E>(phase: &Phase<One, E>, node: usize) -> usize {
    match phase.stores[node] {
        Store::Face { column } => phase.columns[column].first,
        Store::Lump { state, .. } | Store::Liquid { state, .. } | Store::Plain { state, .. } => state,
    }
}

fn column_contributions(
    column: &ActiveColumn<One>,
    accounts: usize,
    y: &[One],
    emit: &mut impl FnMut(usize, usize, f64),
) {
    let (grid, nodes) = (&column.grid, column.grid.len());
    let h = &y[column.first..column.first + nodes];
    for (i, slopes) in grid.slopes(h).into_iter().enumerate() {
        let (here, next) = (column.first + i, column.first + i + 1);
        for (at, slope) in [(here, slopes[0].lane(0)), (next, slopes[1].lane(0))] {
            emit(here, at, -slope);
            emit(next, at, slope);
        }
    }
    if let Some(face) = &column.cold {
        let last = column.first + nodes - 1;
        let (t, capacity) = temperature_and_capacity(h[nodes - 1], grid.a[nodes - 1], grid.b[nodes - 1]);
        let loss = outer_loss(t, face.ambient_c, face.film_w_m2k, face.natural, face.emissivity).slope;
        let slope = (loss * grid.cold_face_ratio / capacity).lane(0);
        emit(last, last, -slope);
        emit(accounts + face.account as usize, last, slope * column.area_m2.lane(0));
    }
}
