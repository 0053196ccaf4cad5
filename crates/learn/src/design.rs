//! Points that represent independent standard normal coordinates well with few members.
//!
//! # Equation
//! Members come in blocks of [`BLOCK`]. Within a block each coordinate has exactly one member in each of [`BLOCK`]
//! equally probable strata (Latin hypercube). Their pairing starts at random and is then changed so that coordinates
//! are nearly uncorrelated: with C = L Lᵀ the block's correlation, each coordinate is put in the order that L⁻¹ z has.
//! Without that, chance correlations among 28 coordinates in a block would be near 1/√64 and would pass into the width
//! of every band, and later into what a reading seems to say about a parameter.
//!
//! # Validity
//! Blocks are independent of each other and of the number of members, so a larger ensemble starts with the smaller
//! one. One Latin hypercube over the whole ensemble would be a little more even and would not have that. Ensembles
//! that end inside a block are plain samples in their last part.
//!
//! No member is set at the median: members are equally probable draws, and whoever wants the median oven has it at
//! z = 0. Mirrored pairs (z, −z) were considered and left out: strata already fix the mean of each coordinate, and
//! mirrored members say nothing new about the width.
//!
//! # Source
//! M. D. McKay, R. J. Beckman, W. J. Conover, Technometrics 21 (1979) 239–245; R. L. Iman, W. J. Conover,
//! Communications in Statistics B 11 (1982) 311–334 (both from memory).

use crate::normal;
use crate::random::{self, Purpose};
use rand_pcg::Pcg64;

/// Members in a block.
pub const BLOCK: usize = 64;

type Column = Vec<f64>;

/// One coordinate: one member in each stratum, in random order.
fn stratified(generator: &mut Pcg64) -> Column {
    let order = random::order(BLOCK, generator);
    let in_stratum = order.into_iter().map(|stratum| {
        let u = random::uniform(generator);
        normal::quantile((stratum as f64 + u) / BLOCK as f64)
    });
    in_stratum.collect()
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// Centred and scaled to length 1, so that products of columns are correlations.
fn standardised(column: &[f64]) -> Column {
    let mean = column.iter().sum::<f64>() / column.len() as f64;
    let centred: Column = column.iter().map(|z| z - mean).collect();
    let length = dot(&centred, &centred).sqrt();
    centred.iter().map(|z| z / length).collect()
}

/// L⁻¹ z for all members, column by column: each column less its projection on those before it. (This is the
/// triangular solve with the factor of the correlation matrix, written as orthogonalisation.)
fn uncorrelated(columns: &[Column]) -> Vec<Column> {
    let mut done: Vec<Column> = Vec::with_capacity(columns.len());
    for column in columns {
        let mut rest = standardised(column);
        for earlier in &done {
            let along = dot(&rest, earlier);
            for (r, e) in rest.iter_mut().zip(earlier) {
                *r -= along * e;
            }
        }
        done.push(standardised(&rest));
    }
    done
}

fn ascending(values: &[f64]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
    order
}

/// The values of `column`, in the order that `like` has.
fn reordered(column: &[f64], like: &[f64]) -> Column {
    let mut placed = vec![0.0; column.len()];
    for (to, from) in ascending(like).into_iter().zip(ascending(column)) {
        placed[to] = column[from];
    }
    placed
}

/// The members of block `index`, each with `dimension` coordinates (less than [`BLOCK`]).
fn block(seed: u64, index: usize, dimension: usize) -> Vec<Vec<f64>> {
    let generator = &mut random::generator(seed, Purpose::Members, index);
    let mut columns: Vec<Column> = (0..dimension).map(|_| stratified(generator)).collect();
    for _ in 0..2 {
        let targets = uncorrelated(&columns);
        columns = columns.iter().zip(&targets).map(|(c, t)| reordered(c, t)).collect();
    }
    (0..BLOCK).map(|member| columns.iter().map(|column| column[member]).collect()).collect()
}

/// The first `members` members for `seed`, each with `dimension` coordinates.
#[must_use]
pub fn members(seed: u64, members: usize, dimension: usize) -> Vec<Vec<f64>> {
    let blocks = members.div_ceil(BLOCK);
    let mut all: Vec<Vec<f64>> = (0..blocks).flat_map(|b| block(seed, b, dimension)).collect();
    all.truncate(members);
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{ContinuousCDF, Normal};

    #[test]
    fn each_coordinate_has_one_member_in_each_stratum() {
        let standard = Normal::new(0.0, 1.0).unwrap();
        let points = members(5, BLOCK, 28);
        for d in 0..28 {
            let mut strata: Vec<usize> = points.iter().map(|z| (standard.cdf(z[d]) * BLOCK as f64) as usize).collect();
            strata.sort_unstable();
            assert_eq!(strata, (0..BLOCK).collect::<Vec<_>>(), "coordinate {d}");
        }
    }

    fn largest_correlation(points: &[Vec<f64>]) -> f64 {
        let column = |d: usize| standardised(&points.iter().map(|z| z[d]).collect::<Vec<_>>());
        let columns: Vec<Column> = (0..points[0].len()).map(column).collect();
        let pairs = (0..columns.len()).flat_map(|i| (0..i).map(move |j| (i, j)));
        pairs.map(|(i, j)| dot(&columns[i], &columns[j]).abs()).fold(0.0, f64::max)
    }

    /// Random pairing would leave the largest of 378 correlations near 3/√256 = 0.19.
    #[test]
    fn coordinates_are_nearly_uncorrelated() {
        let largest = largest_correlation(&members(11, 256, 28));
        assert!(largest < 0.06, "{largest}");
    }

    #[test]
    fn a_larger_ensemble_starts_with_the_smaller() {
        let (small, large) = (members(2, 100, 28), members(2, 256, 28));
        assert_eq!(small[..], large[..100]);
        assert_ne!(members(3, 100, 28), small);
    }
}
