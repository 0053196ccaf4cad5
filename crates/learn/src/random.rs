//! Random numbers by seed, purpose and index, with the same bits on every platform and in every order of use.
//!
//! # Equation
//! The generator is PCG XSL RR 128/64, named here so that no change of a library's default can move a forecast. Each
//! (seed, purpose, index) starts its own generator; the three are mixed by the finaliser of SplitMix64, since
//! neighbouring seeds of the generator itself are not independent.
//!
//! # Source
//! M. E. O'Neill, PCG (2014); G. L. Steele, D. Lea, C. H. Flood, Fast splittable pseudorandom number generators,
//! OOPSLA 2014 (constants from memory).

use crate::normal;
use rand_pcg::Pcg64;
use rand_pcg::rand_core::{Rng, SeedableRng};

/// What random numbers are drawn for; each purpose has its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u64)]
pub enum Purpose {
    /// Coordinates of members.
    Members = 1,
    /// Model error of the temperatures.
    TemperatureError = 2,
    /// Model error of the heat in store.
    StoreError = 3,
    /// Perturbations of readings in the smoother.
    Readings = 4,
    /// Coordinates of instruments and model error.
    Instruments = 5,
}

fn mix(x: u64) -> u64 {
    let x = x.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    x ^ (x >> 31)
}

/// The generator of one (seed, purpose, index).
#[must_use]
pub fn generator(seed: u64, purpose: Purpose, index: usize) -> Pcg64 {
    let key = mix(mix(mix(seed) ^ purpose as u64) ^ index as u64);
    Pcg64::seed_from_u64(key)
}

/// A number in the open interval 0 to 1: the middle of one of 2⁵² equal parts.
#[must_use]
pub fn uniform(generator: &mut Pcg64) -> f64 {
    ((generator.next_u64() >> 12) as f64 + 0.5) / (1_u64 << 52) as f64
}

/// A standard normal number, by inversion.
#[must_use]
pub fn standard_normal(generator: &mut Pcg64) -> f64 {
    normal::quantile(uniform(generator))
}

/// A random order of 0 to `n` − 1.
#[must_use]
pub fn order(n: usize, generator: &mut Pcg64) -> Vec<usize> {
    let mut keyed: Vec<(u64, usize)> = (0..n).map(|i| (generator.next_u64(), i)).collect();
    keyed.sort_unstable();
    keyed.into_iter().map(|(_, i)| i).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn generators_of_different_index_purpose_and_seed_differ() {
        let first = |seed, purpose, index| generator(seed, purpose, index).next_u64();
        let base = first(1, Purpose::Members, 0);
        assert_eq!(base, first(1, Purpose::Members, 0));
        assert_ne!(base, first(2, Purpose::Members, 0));
        assert_ne!(base, first(1, Purpose::StoreError, 0));
        assert_ne!(base, first(1, Purpose::Members, 1));
    }

    /// First numbers of neighbouring indices are as good as independent: the mean of n is within 4/√(12 n) of ½.
    #[test]
    fn first_numbers_over_indices_are_uniform() {
        let n = 4000;
        let draws: Vec<f64> = (0..n).map(|i| uniform(&mut generator(7, Purpose::Members, i))).collect();
        let mean = draws.iter().sum::<f64>() / n as f64;
        assert!((mean - 0.5).abs() < 4.0 / (12.0 * n as f64).sqrt(), "{mean}");
        let lag: f64 = draws.windows(2).map(|w| (w[0] - 0.5) * (w[1] - 0.5)).sum::<f64>() * 12.0 / n as f64;
        assert!(lag.abs() < 4.0 / (n as f64).sqrt(), "{lag}");
    }

    #[test]
    fn order_is_a_permutation() {
        let mut seen = order(50, &mut generator(3, Purpose::Members, 9));
        assert_ne!(seen, (0..50).collect::<Vec<_>>());
        seen.sort_unstable();
        assert_eq!(seen, (0..50).collect::<Vec<_>>());
    }
}
