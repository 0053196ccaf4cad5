//! The analytic Jacobian against dual numbers, on every phase of the sample day.

use crate::sample;
use num_dual::{Dual64, DualNum};
use ovenfall_engine::day::DayRun;
use ovenfall_engine::pack::{Lane, Real};
use ovenfall_engine::parameters::Parameters;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// A dual number that the engine's right-hand side accepts.
#[derive(Debug, Clone, Copy)]
struct Dual(Dual64);

macro_rules! pass {
    ($($trait:ident $fn:ident),*) => {$(
        impl $trait for Dual {
            type Output = Self;
            fn $fn(self, other: Self) -> Self { Self(self.0.$fn(other.0)) }
        }
    )*};
}
pass!(Add add, Sub sub, Mul mul, Div div);

impl Mul<f64> for Dual {
    type Output = Self;
    fn mul(self, other: f64) -> Self {
        Self(self.0 * other)
    }
}

impl Add<f64> for Dual {
    type Output = Self;
    fn add(self, other: f64) -> Self {
        Self(self.0 + other)
    }
}

impl Neg for Dual {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl AddAssign for Dual {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl SubAssign for Dual {
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}

impl Real for Dual {
    const LANES: usize = 1;
    fn from_lanes(mut f: impl FnMut(usize) -> f64) -> Self {
        Self(Dual64::from(f(0)))
    }
    fn splat(x: f64) -> Self {
        Self(Dual64::from(x))
    }
    fn lane(&self, _: usize) -> f64 {
        self.0.re
    }
    fn sqrt(self) -> Self {
        Self(DualNum::sqrt(&self.0))
    }
    fn exp(self) -> Self {
        Self(DualNum::exp(&self.0))
    }
    fn pick(self, yes: Self, no: Self) -> Self {
        if self.0.re > 0.0 { yes } else { no }
    }
}

/// Compares the Jacobian of one phase with derivatives by dual numbers, entry by entry.
fn compare(plain: &DayRun<'_, Lane<1>>, dual: &DayRun<'_, Dual>, when: &str) {
    let (phase, duals) = (plain.phase(), dual.phase());
    let analytic = phase.jacobian(&plain.y);
    let n = phase.len;
    for column in 0..n {
        let y: Vec<Dual> = plain
            .y
            .iter()
            .enumerate()
            .map(|(i, h)| Dual(Dual64::new(h.0[0], f64::from(u8::from(i == column)))))
            .collect();
        let mut dy = vec![Dual::splat(0.0); n];
        duals.derivative(&y, &mut dy);
        let scale = dy.iter().map(|d| d.0.eps.abs()).fold(1e-30, f64::max);
        for row in 0..n {
            let (got, want) = (analytic[row * n + column].0[0], dy[row].0.eps);
            assert!((got - want).abs() <= 1e-11 * scale, "{when}: row {row}, column {column}: {got:e}, dual {want:e}");
        }
    }
}

#[test]
fn analytic_jacobian_equals_dual_numbers_on_every_phase() {
    let (oven, drive, member) = (sample::oven(), sample::day(), [Parameters::default()]);
    let mut plain: DayRun<'_, Lane<1>> = DayRun::new(&oven, &member, &drive, 1).unwrap();
    let mut dual: DayRun<'_, Dual> = DayRun::new(&oven, &member, &drive, 1).unwrap();
    let mut control = ovenfall_engine::control::Control::new(0.05, None);
    for (i, event) in drive.events.iter().enumerate() {
        plain.apply(i, &event.action).unwrap();
        dual.y = plain.y.iter().map(|h| Dual(Dual64::from(h.0[0]))).collect();
        dual.apply(i, &event.action).unwrap();
        let to_s = drive.events.get(i + 1).map_or(drive.end_s, |e| e.at_s);
        let (phase, mut y) = (plain.phase(), plain.y.clone());
        compare(&plain, &dual, &format!("after event {i}"));
        control.integrate(&phase, &mut y, (event.at_s, to_s), |_| {}).unwrap();
        plain.y = y;
        compare(&plain, &dual, &format!("before event {}", i + 1));
    }
}
