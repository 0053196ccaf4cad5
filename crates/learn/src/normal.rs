//! The standard normal distribution's quantile, with the same bits on every platform.
//!
//! # Equation
//! z = Φ⁻¹(p): rational approximations of degree 7 over 7 in q = p − ½ (centre) and in √(−ln min(p, 1 − p)) (tails).
//!
//! # Validity
//! 1.4e-11 < p < 1 − 1.4e-11, that is |z| < 6.65, relative error near 1e-16; p outside is moved to that limit.
//!
//! # Source
//! M. J. Wichura, Algorithm AS 241, Applied Statistics 37 (1988) 477–484, routine PPND16 (coefficients from memory;
//! the tests compare them with an independent implementation).

/// Smallest probability the approximation is used for.
const SMALLEST_P: f64 = 1.4e-11;

const CENTRE_OVER: [f64; 8] = [
    3.387_132_872_796_366_5,
    133.141_667_891_784_38,
    1_971.590_950_306_551_3,
    13_731.693_765_509_46,
    45_921.953_931_549_87,
    67_265.770_927_008_7,
    33_430.575_583_588_13,
    2_509.080_928_730_122_7,
];
const CENTRE_UNDER: [f64; 8] = [
    1.0,
    42.313_330_701_600_91,
    687.187_007_492_057_9,
    5_394.196_021_424_751,
    21_213.794_301_586_597,
    39_307.895_800_092_71,
    28_729.085_735_721_943,
    5_226.495_278_852_854,
];
const TAIL_OVER: [f64; 8] = [
    1.423_437_110_749_683_5,
    4.630_337_846_156_546,
    5.769_497_221_460_691,
    3.647_848_324_763_204_5,
    1.270_458_252_452_368_4,
    0.241_780_725_177_450_6,
    0.022_723_844_989_269_184,
    7.745_450_142_783_414e-4,
];
const TAIL_UNDER: [f64; 8] = [
    1.0,
    2.053_191_626_637_759,
    1.676_384_830_183_803_8,
    0.689_767_334_985_1,
    0.148_103_976_427_480_08,
    0.015_198_666_563_616_457,
    5.475_938_084_995_345e-4,
    1.050_750_071_644_416_9e-9,
];

fn polynomial(coefficients: &[f64; 8], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

/// The standard normal quantile of `p`.
#[must_use]
pub fn quantile(p: f64) -> f64 {
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        return q * polynomial(&CENTRE_OVER, r) / polynomial(&CENTRE_UNDER, r);
    }
    let tail = p.min(1.0 - p).max(SMALLEST_P);
    let r = libm::sqrt(-libm::log(tail)) - 1.6;
    let z = polynomial(&TAIL_OVER, r) / polynomial(&TAIL_UNDER, r);
    if q < 0.0 { -z } else { z }
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{ContinuousCDF, Normal};

    /// Φ(Φ⁻¹(p)) = p against an independent distribution function, over centre and both tails.
    #[test]
    fn quantile_inverts_the_distribution_function() {
        let standard = Normal::new(0.0, 1.0).unwrap();
        for k in 1..2000 {
            let p = f64::from(k) / 2000.0;
            let back = standard.cdf(quantile(p));
            assert!((back - p).abs() < 1e-10, "p {p}: {back}");
        }
        for p in [1e-10, 1e-8, 1e-6, 1e-4] {
            let back = standard.cdf(quantile(p));
            assert!((back / p - 1.0).abs() < 1e-6, "p {p}: {back}");
            assert!((quantile(1.0 - p) + quantile(p)).abs() < 1e-5, "p {p}");
        }
    }

    /// Tabled values: 1.959964 at 0.975 and 3.090232 at 0.999 (any table of the normal distribution).
    #[test]
    fn quantile_has_the_tabled_values() {
        assert!((quantile(0.975) - 1.959_963_984_540_054).abs() < 1e-13);
        assert!((quantile(0.999) - 3.090_232_306_167_813_5).abs() < 1e-13);
        assert!(quantile(0.5).abs() < 1e-300);
    }

    #[test]
    fn quantile_stays_finite_at_the_ends() {
        assert!(quantile(0.0) < -6.0 && quantile(0.0) > -7.0);
        assert!(quantile(1.0) > 6.0 && quantile(1.0) < 7.0);
    }
}
