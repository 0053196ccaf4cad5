//! What must hold whatever the numbers are: order of convergence, conservation, same bits, bounds.
#![allow(clippy::unwrap_used, reason = "a test that cannot run must stop")]
mod bits;
mod bounds;
mod branches;
mod effort;
mod grid;
mod jacobian;
mod ledger;
mod sample;
mod time_order;
