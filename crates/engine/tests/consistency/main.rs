//! What must hold whatever the numbers are: order of convergence, conservation, same bits, bounds.
mod look;
mod sample;
