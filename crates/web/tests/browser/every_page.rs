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

/// Everything that can be written down.
const KINDS: [&str; 17] = [
    "round",
    "probe",
    "core",
    "liquid",
    "hand count",
    "outdoor",
    "door",
    "placed",
    "taken out",
    "turned",
    "topped up",
    "wood on",
    "fire moved",
    "embers spread",
    "raked out",
    "swept",
    "swabbed",
];

async fn look_at(driver: &Driver, kitchen: &Kitchen, look: Look) {
    let screen = driver.session(look).await;
    for (page, there) in PAGES {
        screen.goto(&kitchen.at(page)).await;
        screen.until(&format!("return Boolean(document.querySelector({there:?}))")).await;
        rules::kept(&screen, &format!("{page} {look:?}")).await;
    }
    sheet(kitchen, &screen, look).await;
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
    for kind in KINDS.into_iter().filter(|_| !look.dark) {
        // The page's own click: that a finger reaches the keys is seen where things are written down.
        screen.run(&format!("document.querySelector('[data-kind=\"{kind}\"]').click()")).await;
        screen.until("return !document.getElementById('entry').hidden").await;
        rules::own_kept(screen, "#sheet", &format!("the sheet, {kind}, {look:?}")).await;
        screen.run("document.getElementById('sheet-back').click()").await;
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

/// By day and at night, in one kitchen: nothing is written, so that what was worked out once stands.
async fn day_and_night(driver: Driver, phone: bool) {
    let kitchen = Kitchen::loopback(true);
    kitchen.halt();
    for dark in [false, true] {
        look_at(&driver, &kitchen, Look { phone, dark }).await;
    }
}

#[test]
fn on_a_phone() {
    with_driver(|driver| day_and_night(driver, true));
}

#[test]
fn on_a_wall() {
    with_driver(|driver| day_and_night(driver, false));
}

/// The rules find what is wrong: one fault of each sort is planted, and each is named.
#[test]
fn the_rules_find_faults() {
    with_driver(|driver| async move {
        let kitchen = Kitchen::loopback(true);
        kitchen.halt();
        let screen = driver.session(PHONE).await;
        screen.goto(&kitchen.at("/ovens")).await;
        rules::kept(&screen, "/ovens as it is").await;
        let faults = [
            ("e = document.createElement('p'); e.textContent = 'pale'; e.style.color = '#777'", "contrast 4.32"),
            (
                "e = document.createElement('p'); e.textContent = 'fine print'; e.style.fontSize = '15px'",
                "text of 15 px",
            ),
            ("e = document.createElement('button'); e.textContent = 'low'; e.style.minHeight = '50px'", "target of"),
            (
                "e = document.createElement('p'); e.textContent = 'wide'; e.style.width = '500px'",
                "wider than the screen",
            ),
            ("e = document.createElement('input')", "label"),
        ];
        for (plant, named) in faults {
            screen.run(&format!("let e; {plant}; e.id = 'fault'; document.querySelector('main').append(e)")).await;
            let found = rules::faults(&screen).await;
            assert!(found.iter().any(|fault| fault.contains(named)), "{named} in {found:?}");
            screen.run("document.getElementById('fault').remove()").await;
        }
        rules::kept(&screen, "/ovens with every fault mended").await;
        screen.close().await;
    });
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
        let weigh = format!(
            "const weight = (rows) => rows.reduce((sum, e) => sum + e.decodedBodySize, 0); const rows = {LOADED}; \
             return [weight(rows.filter((e) => !{ASKED_AGAIN}(e))), weight(rows)]"
        );
        let [bytes, all]: [u64; 2] = serde_json::from_value(screen.run(&weigh).await).unwrap();
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
