//! A value with its slope in one variable: flows that depend on a single temperature carry their exact derivative.
//!
//! # Equation
//! (u, u′): (uv)′ = u′v + uv′, (1/u)′ = −u′/u², (√u)′ = u′/(2√u), (eᵘ)′ = u′eᵘ.
//!
//! # Validity
//! Exact to rounding wherever the function is differentiable. Where only the value is used the compiler drops the rest.
//!
//! # Source
//! Forward differentiation; any textbook of calculus.

use crate::pack::Real;
use std::ops::{Add, Div, Mul, Sub};

/// A value and its derivative in one variable.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slope<R> {
    /// The value.
    pub value: R,
    /// Its derivative.
    pub slope: R,
}

impl<R: Real> Slope<R> {
    /// The variable itself.
    #[inline(always)]
    pub fn variable(value: R) -> Self {
        Self { value, slope: R::splat(1.0) }
    }

    /// Something that does not depend on the variable.
    #[inline(always)]
    pub fn constant(value: R) -> Self {
        Self { value, slope: R::splat(0.0) }
    }

    /// Square root.
    #[inline(always)]
    pub fn sqrt(self) -> Self {
        let value = self.value.sqrt();
        Self { value, slope: self.slope / (value * 2.0) }
    }

    /// Exponential.
    #[inline]
    pub fn exp(self) -> Self {
        let value = self.value.exp();
        Self { value, slope: self.slope * value }
    }

    /// One over it.
    #[inline(always)]
    pub fn recip(self) -> Self {
        let value = R::splat(1.0) / self.value;
        Self { value, slope: -(self.slope * value * value) }
    }

    /// Times a plain number.
    #[inline(always)]
    pub fn scale(self, factor: f64) -> Self {
        Self { value: self.value * factor, slope: self.slope * factor }
    }

    /// Plus a plain number.
    #[inline(always)]
    pub fn offset(self, term: f64) -> Self {
        Self { value: self.value + term, slope: self.slope }
    }

    /// Positive part rounded over `width`: 0 below zero, x²/(2w) up to w, x − w/2 above; its slope has no jump.
    #[inline(always)]
    pub fn ramp(self, width: f64) -> Self {
        let x = self.value;
        let zero = R::splat(0.0);
        let high = x + -width;
        let value = high.pick(x + -0.5 * width, x.pick(x * x * (0.5 / width), zero));
        let steepness = high.pick(R::splat(1.0), x.pick(x * (1.0 / width), zero));
        Self { value, slope: self.slope * steepness }
    }

    /// A magnitude given the sign of another value.
    #[inline(always)]
    pub fn with_sign_of(self, other: Self) -> Self {
        Self { value: other.value.pick(self.value, -self.value), slope: other.value.pick(self.slope, -self.slope) }
    }

    /// Smooth magnitude to a quarter, (x² + w²)^⅛.
    #[inline(always)]
    pub fn quarter_power(self, width: f64) -> Self {
        (self * self).offset(width * width).sqrt().sqrt().sqrt()
    }
}

impl<R: Real> Add for Slope<R> {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        Self { value: self.value + other.value, slope: self.slope + other.slope }
    }
}

impl<R: Real> Add<f64> for Slope<R> {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: f64) -> Self {
        self.offset(other)
    }
}

impl<R: Real> Sub for Slope<R> {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        Self { value: self.value - other.value, slope: self.slope - other.slope }
    }
}

impl<R: Real> Mul for Slope<R> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: Self) -> Self {
        Self { value: self.value * other.value, slope: self.slope * other.value + self.value * other.slope }
    }
}

impl<R: Real> Div for Slope<R> {
    type Output = Self;
    #[inline(always)]
    fn div(self, other: Self) -> Self {
        let value = self.value / other.value;
        Self { value, slope: (self.slope - value * other.slope) / other.value }
    }
}
