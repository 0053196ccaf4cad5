//! The pages in a real browser, driven as a person would: phone and wide screen, light and dark, on this machine's own
//! address and on the network's, which no browser takes for a secure one.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test that cannot run must stop")]
#![allow(clippy::print_stderr, reason = "what was skipped is said plainly")]

mod driver;
mod every_page;
mod first_run;
mod kitchen;
mod pairing;
mod rules;
mod two_screens;
mod write_down;

use driver::Driver;
use std::sync::{Mutex, PoisonError};
use tokio::runtime::Runtime;

/// One at a time: two browsers and a server are enough for two cores.
static ALONE: Mutex<()> = Mutex::new(());

/// Runs a test with a driver; nothing where there is no browser.
fn with_driver<F: Future<Output = ()>>(test: impl FnOnce(Driver) -> F) {
    let _alone = ALONE.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(driver) = Driver::start() {
        Runtime::new().unwrap().block_on(test(driver));
    }
}
