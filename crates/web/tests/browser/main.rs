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
use tokio::runtime::Runtime;
use tokio::sync::Semaphore;

/// Two at a time: more browsers and servers only wait for each other on two cores.
static TURNS: Semaphore = Semaphore::const_new(2);

/// Runs a test with a driver; nothing where there is no browser.
fn with_driver<F: Future<Output = ()>>(test: impl FnOnce(Driver) -> F) {
    let _turn = Runtime::new().unwrap().block_on(TURNS.acquire()).unwrap();
    if let Some(driver) = Driver::start() {
        Runtime::new().unwrap().block_on(test(driver));
    }
}
