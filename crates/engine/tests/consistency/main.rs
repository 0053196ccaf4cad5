//! What must hold whatever the numbers are: order of convergence, conservation, same bits, bounds.
mod bits;
mod bounds;
mod effort;
mod grid;
mod jacobian;
mod ledger;
mod sample;
mod time_order;
