//! Whether the spreads are honest: ranks of synthetic truths among the members, the smoother beside a long chain, and two
//! firings that feel the same and are not. `docs/calibration.md` has the figures and how to make them anew.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod long_chain;
mod page;
mod ranks;
mod soak;
mod synthetic;
