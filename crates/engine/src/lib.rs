//! The heat of a masonry oven: pure functions, no input or output.
//!
//! # Equation
//! An oven is a handful of one-dimensional **columns** (floor, floor under each pot, dome, dome on the fire's side, door,
//! food) whose hot faces, together with gas, pots and fire, are the **nodes** of one small **cavity**:
//!
//! - columns      ∂H/∂t = ∂/∂x (A k(T) ∂T/∂x)                     [`conduction`]
//! - radiation    Q_ij = G_ij σ (T_i⁴ − T_j⁴)                      [`radiation`], [`view_factors`]
//! - convection   Q = C A P(T_gas) L^−¼ |ΔT|^¼ ΔT                  [`convection`]
//! - openings     Q = ṁ(T_gas) c_p (T_gas − T_out)                 [`openings`]
//! - fire         dE/dt = −E/τ, shared out to surfaces and gas     [`fire`]
//! - pots         shell, lid, liquid m(t), solids                  [`pot`]
//! - probe, spot  what instruments read                            [`observe`]
//! - ledger       in = out + change in store                       [`ledger`]
//!
//! States are enthalpies and masses ([`state`]); every flow is written once, as an edge ([`flow`]). Time goes on by a
//! Rosenbrock method with exact Jacobian ([`step`], [`control`]) from one event to the next ([`day`], [`simulate`]), for
//! several members side by side ([`pack`]).
//!
//! Symbols: T temperature (°C in names `_c`, K in `_k`), H enthalpy (J/m² of hot face, or J), A area (m²), k conductivity
//! (W/(m K)), σ the Stefan–Boltzmann constant, G exchange area (m²), ṁ mass flow (kg/s), E energy of fuel (J), τ time
//! constant (s), m mass of liquid (kg).
//!
//! # Validity
//! Left out, on purpose and for now: conduction along walls (dome foot, floor rim), layers of air of different
//! temperature, water in the masonry, radiation of steam, the pressure of steam against in-leaking air. Spreads of the parameters must cover what these do to a forecast.
//!
//! # Source
//! Each module names its own.
#![forbid(unsafe_code)]

pub mod appraisal;
pub mod cavity;
pub mod conduction;
pub mod control;
pub mod convection;
pub mod day;
pub mod description;
pub mod drive;
pub mod elimination;
pub mod error;
pub mod fire;
pub mod flow;
pub mod geometry;
pub mod history;
pub mod ledger;
pub mod material;
pub mod model;
pub mod observe;
pub mod openings;
mod output;
pub mod pack;
pub mod parameters;
pub mod pot;
pub mod radiation;
pub mod simulate;
pub mod slope;
pub mod state;
pub mod step;
pub mod sums;
pub mod view_factors;
pub mod water;
