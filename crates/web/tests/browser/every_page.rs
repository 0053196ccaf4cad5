//! Every page at both sizes and in both colour schemes keeps to the rules; weight of Now, values under a finger, paper.

use crate::driver::{Driver, Look, PHONE, Screen};
use crate::kitchen::Kitchen;
use crate::{rules, with_driver};
use serde_json::json;

/// Most that Now may weigh, bytes, nothing compressed.
const MOST_BYTES: u64 = 150_000;

/// Pages, and what has to be there before they are looked at.
const PAGES: [(&str, &str); 10] = [
    ("/ovens/slipway-demo/now", "#board figure svg"),
    ("/ovens/slipway-demo/menu", "#menu figure svg"),
    ("/ovens/slipway-demo/menu/dish?dish=lamb%20shoulder", "#name"),
    ("/ovens/slipway-demo/menu/wood", "#moisture_percent"),
    ("/ovens/slipway-demo/days", "section.day"),
    ("/ovens/slipway-demo/days/slipway-demo-1", "#past figure svg, #past p:not([aria-busy])"),
    ("/ovens/slipway-demo", "main svg"),
    ("/ovens", "main li"),
    ("/screens", "#theme"),
    ("/pair", "#code"),
];

async fn look_at(driver: &Driver, look: Look) {
    let kitchen = Kitchen::loopback(true);
    kitchen.halt();
    let screen = driver.session(look).await;
    for (page, there) in PAGES {
        screen.goto(&kitchen.at(page)).await;
        screen.until(&format!("return Boolean(document.querySelector({there:?}))")).await;
        rules::kept(&screen, &format!("{page} {look:?}")).await;
    }
    sheet(&kitchen, &screen, look).await;
    screen.goto(&kitchen.at("/first")).await;
    screen.until("return Boolean(document.querySelector('main svg'))").await;
    rules::kept(&screen, &format!("/first {look:?}")).await;
    screen.console_is_clean().await;
    screen.goto(&kitchen.at("/nowhere")).await;
    rules::kept(&screen, "a page that is not there").await;
    screen.close().await;
}

/// The sheet at each of its steps.
async fn sheet(kitchen: &Kitchen, screen: &Screen, look: Look) {
    screen.goto(&kitchen.at("/ovens/slipway-demo/now")).await;
    for side in ["read", "done"] {
        screen.open_sheet(side).await;
        rules::kept(screen, &format!("the sheet, {side}, {look:?}")).await;
    }
    for (side, kind) in [("read", "round"), ("done", "wood on"), ("done", "door"), ("done", "placed")] {
        screen.open_sheet(side).await;
        screen.click(&format!("[data-kind=\"{kind}\"]")).await;
        rules::kept(screen, &format!("the sheet, {kind}, {look:?}")).await;
        screen.click("#sheet-back").await;
    }
}

#[test]
fn on_a_phone_in_the_sun() {
    with_driver(|driver| async move { look_at(&driver, PHONE).await });
}

#[test]
fn on_a_phone_at_night() {
    with_driver(|driver| async move { look_at(&driver, Look { phone: true, dark: true }).await });
}

#[test]
fn on_a_wall_by_day() {
    with_driver(|driver| async move { look_at(&driver, Look { phone: false, dark: false }).await });
}

#[test]
fn on_a_wall_at_night() {
    with_driver(|driver| async move { look_at(&driver, Look { phone: false, dark: true }).await });
}

/// What matters is there at once, weighs little, tells its values, and prints.
#[test]
fn now_tells_what_matters() {
    with_driver(|driver| async move {
        let kitchen = Kitchen::loopback(true);
        kitchen.halt();
        let screen = driver.session(PHONE).await;
        screen.goto(&kitchen.at("/")).await;
        screen.until("return Boolean(document.querySelector('#board figure svg'))").await;
        // Loaded anew, with the picture in it: from now on everything has to come with the page.
        screen.goto(&kitchen.at("/ovens/slipway-demo/now")).await;
        assert_eq!(screen.run("return document.querySelectorAll('#board figure svg').length").await, json!(2));
        let size = screen.run("return getComputedStyle(document.querySelector('h1')).fontSize").await;
        assert_eq!(size, json!("40px"));
        let bytes = "const all = [...performance.getEntriesByType('navigation'), ...performance.getEntriesByType('resource')]; \
                     return all.filter((e) => !e.name.includes('/parts/')).reduce((sum, e) => sum + e.decodedBodySize, 0)";
        let bytes = screen.run(bytes).await.as_u64().unwrap();
        eprintln!("Now weighs {bytes} bytes");
        assert!((40_000..=MOST_BYTES).contains(&bytes), "{bytes} bytes");
        let figure = "document.querySelector('#board figure')";
        screen.run(&format!("{figure}.focus()")).await;
        screen
            .run(&format!(
                "{figure}.dispatchEvent(new KeyboardEvent('keydown', {{ key: 'ArrowRight', bubbles: true }}))"
            ))
            .await;
        screen.until("return document.querySelector('[data-draw-readout]').textContent.includes('probe')").await;
        screen.media("print").await;
        let hidden = "return ['.bar', '.act', '#demo', '#written button'].every((css) => !document.querySelector(css)?.getClientRects().length)";
        assert_eq!(screen.run(hidden).await, json!(true), "nothing to press is printed");
        assert_eq!(
            screen.run("return document.querySelector('#board .draw-wide svg').getClientRects().length").await,
            json!(1)
        );
        screen.media("").await;
        screen.console_is_clean().await;
        screen.close().await;
    });
}
