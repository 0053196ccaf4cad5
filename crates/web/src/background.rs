//! What runs behind the pages for as long as the server does: boards are computed, the demo's clock goes on.

use crate::app::App;
use crate::boards;
use std::sync::Arc;
use std::time::Duration;

/// How often the demo's clock moves.
const TICK: Duration = Duration::from_secs(1);

/// Runs for as long as it is polled.
pub async fn run(app: App) {
    ask_for_the_latest(&app).await;
    tokio::join!(boards::run(app.clone(), Arc::clone(&app.asked)), play(app));
}

/// Boards of the latest days are computed before anybody asks.
async fn ask_for_the_latest(app: &App) {
    let latest = app.on_disk(|store| {
        let mut days = Vec::new();
        for oven in store.ovens()? {
            days.extend(store.days(&oven.oven)?.into_iter().next().map(|day| day.day));
        }
        Ok(days)
    });
    // Where the list cannot be read, whoever looks at a page asks.
    for day in latest.await.unwrap_or_default() {
        app.boards.ask(&day);
    }
}

/// Moves the demo's clock while somebody watches.
async fn play(app: App) {
    let Some(demo) = app.demo.clone() else { return };
    let mut tick = tokio::time::interval(TICK);
    tick.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Delay);
    loop {
        tick.tick().await;
        if app.live.watchers() == 0 {
            continue;
        }
        let of = Arc::clone(&demo);
        // Written or not: what could not be written now is due again at the next tick.
        if app.on_disk(move |store| of.pass(store, TICK.as_secs_f64())).await.unwrap_or(false) {
            app.live.wake();
        }
    }
}
