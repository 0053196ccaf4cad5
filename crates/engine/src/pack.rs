//! Members side by side: the lane type, and the arithmetic the kernel may use.
//!
//! # Equation
//! A [`Lane`] is L numbers that share every operation. [`Real`] is what the right-hand side needs of a number, so that
//! the same code runs on lanes and, in tests, on dual numbers.
//!
//! # Validity
//! Only IEEE additions, multiplications, divisions and square roots, in a fixed order, never contracted: every lane
//! has the bits it would have alone. `exp` comes from a portable library, not from the platform.
//!
//! # Source
//! IEEE 754-2019 (correct rounding of + - * / sqrt); Rust never contracts to fused multiply-add.

use std::fmt::Debug;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// What the right-hand side needs of a number.
pub trait Real:
    Copy
    + Debug
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Mul<f64, Output = Self>
    + Add<f64, Output = Self>
    + Neg<Output = Self>
    + AddAssign
    + SubAssign
{
    /// How many members ride in one value.
    const LANES: usize;
    /// A value made lane by lane.
    fn from_lanes(f: impl FnMut(usize) -> f64) -> Self;
    /// The same number in every lane.
    fn splat(x: f64) -> Self;
    /// One lane's number (for a dual number: its real part).
    fn lane(&self, i: usize) -> f64;
    /// Square root.
    fn sqrt(self) -> Self;
    /// Exponential.
    fn exp(self) -> Self;
    /// `yes` where this is above zero, else `no`; lane by lane.
    fn pick(self, yes: Self, no: Self) -> Self;
}

/// L numbers side by side.
#[derive(Debug, Clone, Copy, PartialEq)]
#[repr(transparent)]
pub struct Lane<const L: usize>(pub [f64; L]);

macro_rules! lanewise {
    ($trait:ident, $fn:ident, $op:tt) => {
        impl<const L: usize> $trait for Lane<L> {
            type Output = Self;
            #[inline(always)]
            fn $fn(mut self, other: Self) -> Self {
                for (x, y) in self.0.iter_mut().zip(other.0) {
                    *x $op y;
                }
                self
            }
        }
    };
}
lanewise!(Add, add, +=);
lanewise!(Sub, sub, -=);
lanewise!(Mul, mul, *=);
lanewise!(Div, div, /=);

impl<const L: usize> Mul<f64> for Lane<L> {
    type Output = Self;
    #[inline(always)]
    fn mul(mut self, other: f64) -> Self {
        for x in &mut self.0 {
            *x *= other;
        }
        self
    }
}

impl<const L: usize> Add<f64> for Lane<L> {
    type Output = Self;
    #[inline(always)]
    fn add(mut self, other: f64) -> Self {
        for x in &mut self.0 {
            *x += other;
        }
        self
    }
}

impl<const L: usize> Neg for Lane<L> {
    type Output = Self;
    #[inline(always)]
    fn neg(mut self) -> Self {
        for x in &mut self.0 {
            *x = -*x;
        }
        self
    }
}

impl<const L: usize> AddAssign for Lane<L> {
    #[inline(always)]
    fn add_assign(&mut self, other: Self) {
        for i in 0..L {
            self.0[i] += other.0[i];
        }
    }
}

impl<const L: usize> SubAssign for Lane<L> {
    #[inline(always)]
    fn sub_assign(&mut self, other: Self) {
        for i in 0..L {
            self.0[i] -= other.0[i];
        }
    }
}

impl<const L: usize> Real for Lane<L> {
    const LANES: usize = L;

    #[inline(always)]
    fn from_lanes(f: impl FnMut(usize) -> f64) -> Self {
        Self(std::array::from_fn(f))
    }

    #[inline(always)]
    fn splat(x: f64) -> Self {
        Self([x; L])
    }

    #[inline(always)]
    fn lane(&self, i: usize) -> f64 {
        self.0[i]
    }

    #[inline(always)]
    fn sqrt(mut self) -> Self {
        for x in &mut self.0 {
            *x = x.sqrt();
        }
        self
    }

    #[inline]
    fn exp(mut self) -> Self {
        for x in &mut self.0 {
            *x = libm::exp(*x);
        }
        self
    }

    #[inline(always)]
    fn pick(self, yes: Self, no: Self) -> Self {
        Self(std::array::from_fn(|i| if self.0[i] > 0.0 { yes.0[i] } else { no.0[i] }))
    }
}
