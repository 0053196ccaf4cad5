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

/// Everything that can be written down, and the side of the sheet it is on.
const KINDS: [(&str, &str); 17] = [
    ("read", "round"),
    ("read", "probe"),
    ("read", "core"),
    ("read", "liquid"),
    ("read", "hand count"),
    ("read", "outdoor"),
    ("done", "door"),
    ("done", "placed"),
    ("done", "taken out"),
    ("done", "turned"),
    ("done", "topped up"),
    ("done", "wood on"),
    ("done", "fire moved"),
    ("done", "embers spread"),
    ("done", "raked out"),
    ("done", "swept"),
    ("done", "swabbed"),
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
    screen.goto(&kitchen.at("/nowhere")).await;
    rules::kept(&screen, "a page that is not there").await;
    screen.console_says_only("status of 404").await;
    screen.close().await;
}

/// The sheet at each of its steps.
async fn sheet(kitchen: &Kitchen, screen: &Screen, look: Look) {
    screen.goto(&kitchen.at("/ovens/slipway-demo/now")).await;
    for side in ["read", "done"] {
        screen.open_sheet(side).await;
        rules::kept(screen, &format!("the sheet, {side}, {look:?}")).await;
    }
    // Colours are the same in all of them: they are looked at in the dark with most in the sheet, below.
    for (side, kind) in KINDS.into_iter().filter(|_| !look.dark) {
        screen.open_sheet(side).await;
        screen.click(&format!("[data-kind=\"{kind}\"]")).await;
        rules::own_kept(screen, "#sheet", &format!("the sheet, {kind}, {look:?}")).await;
        screen.click("#sheet-back").await;
    }
    // With most in it: a caution, choices, the pad, a note, and what is wrong.
    screen.open_sheet("done").await;
    screen.click("[data-kind=door]").await;
    screen.click("#entry summary").await;
    screen.click("#entry .big").await;
    screen.until("return !document.getElementById('entry-wrong').hidden").await;
    rules::kept(screen, &format!("the sheet, nothing chosen, {look:?}")).await;
    screen.click("input[name=what][value=ajar]").await;
    screen.click("input[name=ago][value=at]").await;
    rules::kept(screen, &format!("the sheet, ajar at an hour, {look:?}")).await;
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

/// Everything that was loaded.
const LOADED: &str = "[...performance.getEntriesByType('navigation'), ...performance.getEntriesByType('resource')]";
/// Whether it is a part that an open page asks for again.
const ASKED_AGAIN: &str = "((e) => e.name.includes('/parts/'))";

/// The picture tells the values under a finger, and others where it is moved to.
async fn under_a_finger(screen: &Screen) {
    let box_of = "const svg = [...document.querySelectorAll('#board figure svg')].find((svg) => svg.getClientRects().length); \
                  svg.scrollIntoView({ block: 'center' }); const box = svg.getBoundingClientRect(); \
                  return [box.left, box.top, box.width, box.height]";
    let found: Vec<f64> = serde_json::from_value(screen.run(box_of).await).unwrap();
    let [left, top, width, height] = found[..] else { panic!("{found:?}") };
    let at = |share: f64| (left + share * width, top + 0.4 * height);
    let told = async || screen.text("#board [data-draw-readout] strong").await;
    screen.run("window.hours = []; new MutationObserver(() => window.hours.push(document.querySelector('#board [data-draw-readout] strong')?.textContent)).observe(document.querySelector('#board [data-draw-readout]'), { childList: true })").await;
    screen.touch(&[at(0.4)]).await;
    screen.until("return window.hours.length > 0").await;
    let first = told().await;
    screen.touch(&[at(0.4), at(0.6), at(0.8)]).await;
    screen.until(&format!("return window.hours.at(-1) !== {first:?}")).await;
    assert_ne!(told().await, first, "another hour further on");
    assert!(screen.text("#board [data-draw-readout]").await.contains("probe"));
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
        // The page with its files and pictures. Once open it asks for its parts again, in case something was missed: told apart.
        screen.until(&format!("return {LOADED}.filter({ASKED_AGAIN}).length >= 3")).await;
        let weigh = async |which: &str| {
            let script = format!("return {LOADED}.filter({which}).reduce((sum, e) => sum + e.decodedBodySize, 0)");
            screen.run(&script).await.as_u64().unwrap()
        };
        let all = weigh("() => true").await;
        let bytes = all - weigh(ASKED_AGAIN).await;
        eprintln!("Now weighs {bytes} bytes, and {all} with what it asks for again; nothing compressed");
        assert!((40_000..=MOST_BYTES).contains(&bytes), "{bytes} bytes");
        let figure = "document.querySelector('#board figure')";
        screen.run(&format!("{figure}.focus()")).await;
        screen
            .run(&format!(
                "{figure}.dispatchEvent(new KeyboardEvent('keydown', {{ key: 'ArrowRight', bubbles: true }}))"
            ))
            .await;
        screen.until("return document.querySelector('[data-draw-readout]').textContent.includes('probe')").await;
        under_a_finger(&screen).await;
        screen.media("print").await;
        let hidden = "return ['.bar', '.act', '#demo', '#written button'].every((css) => !document.querySelector(css)?.getClientRects().length)";
        assert_eq!(screen.run(hidden).await, json!(true), "nothing to press is printed");
        assert_eq!(
            screen.run("return document.querySelector('#board .draw-wide svg').getClientRects().length").await,
            json!(1)
        );
        screen.media("").await;
        screen.close().await;
    });
}
