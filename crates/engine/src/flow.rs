//! Flows as edges: each flow of heat or mass is written once and feeds the rates, the Jacobian and its pattern.
//!
//! # Equation
//! A flow q from row i to row j adds −q to i and +q to j; its derivatives do the same in the Jacobian. Rows are the
//! nodes of the cavity first, then the ledger's accounts, so whatever leaves a store arrives in another or in the
//! ledger: the first law holds by construction.
//!
//! # Validity
//! Exact to rounding.
//!
//! # Source
//! First law of thermodynamics.

use crate::pack::Real;

/// Takes flows.
pub trait Sink<R: Real> {
    /// A flow `q` from row `from` to row `to` with its derivatives in the values of nodes.
    fn flow<const N: usize>(&mut self, from: usize, to: usize, q: R, by: [(usize, R); N]);
    /// A rate that belongs to one row only (mass, a thermometer's own temperature).
    fn rate<const N: usize>(&mut self, row: usize, q: R, by: [(usize, R); N]);
}

/// Sums flows into rates.
pub struct RateSink<'a, R>(pub &'a mut [R]);

impl<R: Real> Sink<R> for RateSink<'_, R> {
    #[inline(always)]
    fn flow<const N: usize>(&mut self, from: usize, to: usize, q: R, _: [(usize, R); N]) {
        self.0[from] -= q;
        self.0[to] += q;
    }

    #[inline(always)]
    fn rate<const N: usize>(&mut self, row: usize, q: R, _: [(usize, R); N]) {
        self.0[row] += q;
    }
}

/// Sums derivatives into a row-major matrix with `columns` columns.
pub struct JacobianSink<'a, R> {
    /// The matrix, rows × columns.
    pub matrix: &'a mut [R],
    /// Number of nodes.
    pub columns: usize,
}

impl<R: Real> Sink<R> for JacobianSink<'_, R> {
    #[inline(always)]
    fn flow<const N: usize>(&mut self, from: usize, to: usize, _: R, by: [(usize, R); N]) {
        for (node, slope) in by {
            self.matrix[from * self.columns + node] -= slope;
            self.matrix[to * self.columns + node] += slope;
        }
    }

    #[inline(always)]
    fn rate<const N: usize>(&mut self, row: usize, _: R, by: [(usize, R); N]) {
        for (node, slope) in by {
            self.matrix[row * self.columns + node] += slope;
        }
    }
}

/// Notes which entries of the Jacobian can be other than zero.
pub struct PatternSink<'a> {
    /// The pattern, rows × columns.
    pub pattern: &'a mut [bool],
    /// Number of nodes.
    pub columns: usize,
}

impl<R: Real> Sink<R> for PatternSink<'_> {
    fn flow<const N: usize>(&mut self, from: usize, to: usize, _: R, by: [(usize, R); N]) {
        for (node, _) in by {
            self.pattern[from * self.columns + node] = true;
            self.pattern[to * self.columns + node] = true;
        }
    }

    fn rate<const N: usize>(&mut self, row: usize, _: R, by: [(usize, R); N]) {
        for (node, _) in by {
            self.pattern[row * self.columns + node] = true;
        }
    }
}
