//! Fifty screens watch a day over real sockets while entries come in: each gets every one, in order; one that lost its
//! connection gets what it missed.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test that cannot run must stop")]

mod fifty;

use fifty::{Kitchen, watch};
use std::thread;
use std::time::Duration;

const ON_ITS_WAY: Duration = Duration::from_secs(2);

#[test]
fn nobody_misses_anything() {
    let kitchen = Kitchen::start();
    let watchers: Vec<_> = (0..50).map(|_| watch(kitchen.port, 0)).collect();
    let ids = kitchen.write(40);
    // What was answered for is on its way.
    thread::sleep(ON_ITS_WAY);
    for watcher in watchers {
        let got = watcher.until(&ids);
        assert_eq!(got.iter().map(|(id, _)| id).collect::<Vec<_>>(), ids.iter().collect::<Vec<_>>());
    }
    // A screen that was away says what it has, and gets the rest.
    let late = watch(kitchen.port, 30);
    thread::sleep(ON_ITS_WAY);
    let got = late.until(&ids[30..]);
    assert_eq!(got.len(), 10);
}
