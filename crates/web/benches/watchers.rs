//! How long an entry takes from its writer's answer to fifty screens: `cargo bench -p ovenfall-web --bench watchers`.
//!
//! A plain program: what is of interest is the spread over screens and entries, and that nothing is missed.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::print_stdout, reason = "a bench prints what it measured")]
#![allow(dead_code, reason = "the test writes many at once")]

#[path = "../tests/fifty/mod.rs"]
mod fifty;

use fifty::{Kitchen, watch};
use std::thread;
use std::time::{Duration, Instant};

const SCREENS: usize = 50;
const ENTRIES: usize = 200;

fn main() {
    let kitchen = Kitchen::start();
    let watchers: Vec<_> = (0..SCREENS).map(|_| watch(kitchen.port, 0)).collect();
    let written: Vec<(String, Instant)> = (0..ENTRIES)
        .map(|n| {
            let begun = Instant::now();
            let id = kitchen.write_one(n);
            thread::sleep(Duration::from_millis(20));
            (id, begun)
        })
        .collect();
    thread::sleep(Duration::from_secs(2));
    let ids: Vec<String> = written.iter().map(|(id, _)| id.clone()).collect();
    let mut late_ms: Vec<f64> = Vec::new();
    for watcher in watchers {
        let got = watcher.until(&ids);
        let begun = |id: &str| written.iter().find(|(known, _)| known == id).map(|(_, begun)| *begun);
        late_ms.extend(got.iter().filter_map(|(id, at)| Some(at.duration_since(begun(id)?).as_secs_f64() * 1e3)));
    }
    late_ms.sort_by(f64::total_cmp);
    let quantile = |share: f64| late_ms[((late_ms.len() - 1) as f64 * share) as usize];
    println!(
        "{SCREENS} screens, {ENTRIES} entries: {} updates, {} missed; from sending an entry to a screen: median {:.1} ms, \
         95 % within {:.1} ms, the last {:.1} ms",
        late_ms.len(),
        SCREENS * ENTRIES - late_ms.len(),
        quantile(0.5),
        quantile(0.95),
        quantile(1.0)
    );
}
