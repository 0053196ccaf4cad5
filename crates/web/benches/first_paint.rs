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

use driver::{Driver, PHONE, Screen};
use kitchen::Kitchen;
use serde_json::json;
use tokio::runtime::Runtime;

const LOADS: usize = 20;
/// Looks in every frame whether the picture is laid out, and keeps the moment.
const WATCH: &str = "const look = () => { \
    const there = [...document.querySelectorAll('#board figure svg')].some((svg) => svg.getBoundingClientRect().height > 0); \
    if (there) window.laid_out_ms = performance.now(); else requestAnimationFrame(look); }; requestAnimationFrame(look)";
const PAINTED: &str = "return performance.getEntriesByName('first-contentful-paint')[0]?.startTime";

/// The first paint and the moment the picture was first found laid out, ms after the address was asked for.
async fn load(screen: &Screen, page: &str) -> [f64; 2] {
    screen.goto(page).await;
    let painted = screen.until(PAINTED).await;
    let laid_out = screen.until("return window.laid_out_ms").await;
    [painted, laid_out].map(|moment| moment.as_f64().unwrap())
}

fn tell(visit: &str, moments_ms: &[[f64; 2]]) {
    for (i, what) in ["first paint", "picture of the fall laid out"].iter().enumerate() {
        let mut of: Vec<f64> = moments_ms.iter().map(|moments| moments[i]).collect();
        of.sort_by(f64::total_cmp);
        let median_ms = f64::midpoint(of[(LOADS - 1) / 2], of[LOADS / 2]);
        println!("Now, {visit}: {what}, median of {LOADS}: {median_ms:.0} ms, slowest {:.0} ms", of[LOADS - 1]);
    }
}

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
            screen.protocol("Page.addScriptToEvaluateOnNewDocument", json!({ "source": WATCH })).await;
            first.push(load(&screen, &page).await);
            again.push(load(&screen, &page).await);
            screen.close().await;
        }
        warm.close().await;
        tell("first visit", &first);
        tell("kept by the browser", &again);
    });
}
