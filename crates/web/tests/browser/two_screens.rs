//! What one screen writes the other shows, with who wrote it; and the demo's keys.

use crate::driver::{Look, PHONE};
use crate::kitchen::Kitchen;
use crate::with_driver;
use serde_json::json;

/// A phone by the oven and a screen on the wall: entries and the board come over by themselves.
#[test]
fn a_phone_and_a_wall() {
    with_driver(|driver| async move {
        let kitchen = Kitchen::loopback(true);
        kitchen.halt();
        let wall = driver.session(Look { phone: false, dark: true }).await;
        let phone = driver.session(PHONE).await;
        wall.goto(&kitchen.at("/")).await;
        phone.goto(&kitchen.at("/screens")).await;
        phone.client.find(fantoccini::Locator::Css("#name-who")).await.unwrap().send_keys("Bea <b>").await.unwrap();
        phone.click("#name button").await;
        phone.until_text("#name-said", "Kept").await;
        phone.goto(&kitchen.at("/")).await;
        wall.until("return document.querySelector('#board h1')?.textContent.includes('°C')").await;
        let before = wall.text("#board h1").await;
        phone.open_sheet("done").await;
        phone.click("[data-kind=door]").await;
        phone.click("input[name=what][value=open]").await;
        phone.click("#entry .big").await;
        wall.until_text("#written", "door open").await;
        wall.until_text("#written", "by Bea <b>").await;
        wall.until(&format!("return document.querySelector('#board h1').textContent !== {before:?}")).await;
        assert!(wall.text("#board h1").await.starts_with("Shut now"), "{}", wall.text("#board h1").await);
        wall.close().await;
        phone.close().await;
    });
}

/// The demo's clock runs, is halted, runs on, and its day begins again as a further day.
#[test]
fn the_demo_in_motion() {
    with_driver(|driver| async move {
        let kitchen = Kitchen::loopback(true);
        let screen = driver.session(PHONE).await;
        screen.goto(&kitchen.at("/")).await;
        screen.until_text("#written", "probe 284 °C").await;
        screen.click("#demo summary").await;
        screen.click("[data-demo=halt]").await;
        let at = screen.until("return document.body.dataset.day").await;
        assert_eq!(at, json!("slipway-demo-1"));
        // The face is drawn every second: halted, twice the same; running, a minute further.
        let watch = "const clock = document.getElementById('clock'); window.faces = []; \
                     new MutationObserver(() => window.faces.push(clock.dateTime)).observe(clock, { childList: true })";
        screen.run(watch).await;
        screen.until("const [a, b] = window.faces.slice(-2); return b !== undefined && a === b").await;
        screen.click("[data-demo=go]").await;
        screen.until("const [a, b] = window.faces.slice(-2); return b > a").await;
        screen.click("[data-demo=again]").await;
        screen.until("return document.body.dataset.day === 'slipway-demo-2'").await;
        screen.until_text("#written", "wood on, 0.6 baskets").await;
        screen.close().await;
    });
}
