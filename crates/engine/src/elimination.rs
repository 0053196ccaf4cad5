//! The small system that couples surfaces, gas, pots and fire: sparse elimination in a fixed order.
//!
//! # Equation
//! M x = r, M = I/(γh) − J restricted to the cavity's nodes after every column is eliminated. LU without pivoting; the
//! fill is worked out once a phase, so a step touches only entries that can be other than zero.
//!
//! # Validity
//! M is close to diagonally dominant: heat flows only from warm to cool, so off-diagonal entries of a row sum to less
//! than its diagonal in capacity-weighted form. A zero or non-finite pivot shows as a value that is not finite and stops the run.
//!
//! # Source
//! Duff, Erisman & Reid, Direct Methods for Sparse Matrices.

use crate::pack::Real;

/// The order of elimination and its fill, for one phase.
#[derive(Debug, Clone)]
pub struct Plan {
    size: usize,
    /// For each pivot: rows below with an entry in its column.
    below: Vec<Vec<usize>>,
    /// For each pivot: columns right of it with an entry in its row.
    right: Vec<Vec<usize>>,
}

impl Plan {
    /// Works out the fill of an n × n pattern (row-major); the diagonal is always taken as present.
    #[must_use]
    pub fn new(size: usize, pattern: &[bool]) -> Self {
        let mut full = pattern[..size * size].to_vec();
        let (mut below, mut right) = (Vec::with_capacity(size), Vec::with_capacity(size));
        for p in 0..size {
            let rows: Vec<usize> = (p + 1..size).filter(|&i| full[i * size + p]).collect();
            let columns: Vec<usize> = (p + 1..size).filter(|&j| full[p * size + j]).collect();
            for &i in &rows {
                for &j in &columns {
                    full[i * size + j] = true;
                }
            }
            below.push(rows);
            right.push(columns);
        }
        Self { size, below, right }
    }

    /// Factorises in place; on return the diagonal holds its inverse.
    #[inline]
    pub fn factorise<R: Real>(&self, m: &mut [R]) {
        let n = self.size;
        for p in 0..n {
            let inverse = R::splat(1.0) / m[p * n + p];
            m[p * n + p] = inverse;
            for &i in &self.below[p] {
                let factor = m[i * n + p] * inverse;
                m[i * n + p] = factor;
                for &j in &self.right[p] {
                    let upper = m[p * n + j];
                    m[i * n + j] -= factor * upper;
                }
            }
        }
    }

    /// Solves with a factorised matrix, in place.
    #[inline]
    pub fn solve<R: Real>(&self, m: &[R], r: &mut [R]) {
        let n = self.size;
        for p in 0..n {
            let pivot = r[p];
            for &i in &self.below[p] {
                r[i] -= m[i * n + p] * pivot;
            }
        }
        for p in (0..n).rev() {
            let mut sum = r[p];
            for &j in &self.right[p] {
                sum -= m[p * n + j] * r[j];
            }
            r[p] = sum * m[p * n + p];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pack::Lane;

    #[test]
    fn solves_a_sparse_system_with_fill() {
        let dense = [
            [4.0, 0.0, -1.0, 0.0, -0.5],
            [0.0, 3.0, 0.0, -1.0, 0.0],
            [-1.0, 0.0, 5.0, 0.0, -1.0],
            [0.0, -1.0, -0.3, 4.0, 0.0],
            [-0.5, 0.0, 0.0, 0.0, 2.0],
        ];
        let want = [1.0, -2.0, 3.0, 0.5, -1.5];
        let pattern: Vec<bool> = dense.iter().flatten().map(|x| *x != 0.0).collect();
        let mut m: Vec<Lane<1>> = dense.iter().flatten().map(|x| Lane([*x])).collect();
        let mut r: Vec<Lane<1>> =
            dense.iter().map(|row| Lane([row.iter().zip(want).map(|(a, x)| a * x).sum::<f64>()])).collect();
        let plan = Plan::new(5, &pattern);
        plan.factorise(&mut m);
        plan.solve(&m, &mut r);
        for (got, want) in r.iter().zip(want) {
            assert!((got.0[0] - want).abs() < 1e-13);
        }
    }
}
