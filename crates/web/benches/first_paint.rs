//! How soon the page Now is there in a real browser on this machine: the first contentful paint, and the moment at which the
//! picture of the fall is laid out. Median, least and most of 20 loads on a phone's size, with nothing in the browser's cache.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a bench reports")]
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a bench stops at the first fault")]

#[allow(dead_code, reason = "the tests in a browser need more of it")]
#[path = "../tests/browser/driver.rs"]
mod driver;
#[allow(dead_code, reason = "the tests in a browser need more of it")]
#[path = "../tests/browser/kitchen.rs"]
mod kitchen;

use driver::{Driver, PHONE, Screen};
use kitchen::Kitchen;
use serde_json::{Value, json};

const LOADS: usize = 20;

/// Looks in every frame whether the picture is laid out.
const WATCH: &str = "const look = () => { \
    const there = [...document.querySelectorAll('#board figure svg')].some((svg) => svg.getBoundingClientRect().height > 0); \
    if (there) window.laid_out_ms = performance.now(); else requestAnimationFrame(look); }; requestAnimationFrame(look)";

const PAINTED: &str = "return performance.getEntriesByName('first-contentful-paint')[0]?.startTime";

/// Both moments of one load, ms after it began.
async fn load(screen: &Screen, address: &str) -> [f64; 2] {
    screen.goto(address).await;
    let painted = screen.until(PAINTED).await;
    let laid_out = screen.until("return window.laid_out_ms").await;
    [painted, laid_out].map(|moment: Value| moment.as_f64().unwrap())
}

fn tell(name: &str, mut moments_ms: Vec<f64>) {
    moments_ms.sort_by(f64::total_cmp);
    let median_ms = f64::midpoint(moments_ms[(LOADS - 1) / 2], moments_ms[LOADS / 2]);
    println!("{name}: median {median_ms:.0} ms, {:.0} to {:.0} ms", moments_ms[0], moments_ms[LOADS - 1]);
}

async fn measure(driver: Driver) {
    let kitchen = Kitchen::loopback(true);
    kitchen.halt();
    let screen = driver.session(PHONE).await;
    let now = kitchen.at("/ovens/slipway-demo/now");
    // The board is worked out once, before anything is measured.
    screen.goto(&now).await;
    screen.until("return Boolean(document.querySelector('#board figure svg'))").await;
    screen.protocol("Network.enable", json!({})).await;
    screen.protocol("Network.setCacheDisabled", json!({ "cacheDisabled": true })).await;
    screen.protocol("Page.addScriptToEvaluateOnNewDocument", json!({ "source": WATCH })).await;
    let mut moments_ms = Vec::new();
    for _ in 0..LOADS {
        moments_ms.push(load(&screen, &now).await);
    }
    tell("first contentful paint", moments_ms.iter().map(|of| of[0]).collect());
    tell("picture of the fall laid out", moments_ms.iter().map(|of| of[1]).collect());
    screen.close().await;
}

fn main() {
    if let Some(driver) = Driver::start() {
        tokio::runtime::Runtime::new().unwrap().block_on(measure(driver));
    }
}
