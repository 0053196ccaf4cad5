//! Sums of stage vectors over the states that take part in a phase, in one pass over memory.
//!
//! # Equation
//! out = start + Σ f_j k_j, the terms added in their order.
//!
//! # Validity
//! States that take no part keep what they hold. The same bits as term by term.
//!
//! # Source
//! Not applicable.

use crate::pack::Real;
use std::ops::Range;

/// Stretches of the state that take part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Active(Vec<Range<usize>>);

impl Active {
    /// Sorts stretches and joins those that touch.
    #[must_use]
    pub fn new(mut stretches: Vec<Range<usize>>) -> Self {
        stretches.sort_unstable_by_key(|r| r.start);
        let mut joined: Vec<Range<usize>> = Vec::new();
        for stretch in stretches {
            match joined.last_mut() {
                Some(last) if last.end >= stretch.start => last.end = last.end.max(stretch.end),
                _ => joined.push(stretch),
            }
        }
        Self(joined)
    }

    /// The stretches, in order.
    pub fn iter(&self) -> impl Iterator<Item = Range<usize>> + '_ {
        self.0.iter().cloned()
    }
}

/// out = start + Σ f k over the active states; without a start, what `out` holds is the start.
pub(crate) fn add_scaled<R: Real>(active: &Active, out: &mut [R], start: Option<&[R]>, k: &[Vec<R>], factors: &[f64]) {
    for range in active.iter() {
        let out = &mut out[range.clone()];
        if let Some(start) = start {
            out.copy_from_slice(&start[range.clone()]);
        }
        let k = |j: usize| &k[j][range.clone()];
        match *factors {
            [f0] => add_each(out, [k(0)], [f0]),
            [f0, f1] => add_each(out, [k(0), k(1)], [f0, f1]),
            [f0, f1, f2] => add_each(out, [k(0), k(1), k(2)], [f0, f1, f2]),
            [f0, f1, f2, f3] => add_each(out, [k(0), k(1), k(2), k(3)], [f0, f1, f2, f3]),
            [f0, f1, f2, f3, f4] => add_each(out, [k(0), k(1), k(2), k(3), k(4)], [f0, f1, f2, f3, f4]),
            _ => {}
        }
    }
}

fn add_each<R: Real, const N: usize>(out: &mut [R], k: [&[R]; N], factors: [f64; N]) {
    let n = out.len();
    // Slices of one known length: no bounds are checked in the loop.
    let k = k.map(|k| &k[..n]);
    for i in 0..n {
        let mut sum = out[i];
        for j in 0..N {
            sum += k[j][i] * factors[j];
        }
        out[i] = sum;
    }
}
