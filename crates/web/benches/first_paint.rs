//! How soon Now is painted, with the fall picture in it, on loopback: `cargo bench -p ovenfall-web --bench first_paint`.
//!
//! A plain program around a real browser; the median of twenty loads, each in a fresh profile's first visit and again with
//! what the browser kept.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::print_stdout, reason = "a bench prints what it measured")]
#![allow(clippy::print_stderr, reason = "what was skipped is said plainly")]
#![allow(dead_code, reason = "the tests use more of the driver and the kitchen")]

#[path = "../tests/browser/driver.rs"]
mod driver;
#[path = "../tests/browser/kitchen.rs"]
mod kitchen;

use driver::{Driver, PHONE};
use kitchen::Kitchen;
use tokio::runtime::Runtime;

const LOADS: usize = 20;
/// When the picture is laid out, ms after the address was asked for: at the first paint, if it is in the page by then.
const PAINTED: &str = "const paint = performance.getEntriesByName('first-contentful-paint')[0]; \
                       return paint && document.querySelector('#board figure svg')?.getBoundingClientRect().height > 0 ? paint.startTime : 0";

fn main() {
    let Some(driver) = Driver::start() else { return };
    Runtime::new().unwrap().block_on(async {
        let kitchen = Kitchen::loopback(true);
        kitchen.halt();
        let page = kitchen.at("/ovens/slipway-demo/now");
        let warm = driver.session(PHONE).await;
        warm.goto(&page).await;
        warm.until("return Boolean(document.querySelector('#board figure svg'))").await;
        let (mut first, mut again) = (Vec::new(), Vec::new());
        for _ in 0..LOADS {
            let screen = driver.session(PHONE).await;
            screen.goto(&page).await;
            first.push(screen.until(PAINTED).await.as_f64().unwrap());
            screen.goto(&page).await;
            again.push(screen.until(PAINTED).await.as_f64().unwrap());
            screen.close().await;
        }
        warm.close().await;
        for (name, times) in [("first visit", &mut first), ("kept by the browser", &mut again)] {
            times.sort_by(f64::total_cmp);
            println!(
                "Now, {name}: first paint with the picture, median of {LOADS}: {:.0} ms, slowest {:.0} ms",
                times[LOADS / 2],
                times[LOADS - 1]
            );
        }
    });
}
