//! Writing down: rounds, everything that is done, a server that goes away, taking back, by keyboard, and what is wrong.

use crate::driver::{Driver, PHONE, SERVER_GONE, Screen};
use crate::kitchen::Kitchen;
use crate::{rules, with_driver};
use fantoccini::key::Key;
use fantoccini::wd::Locator;
use serde_json::json;

const DAY: &str = "slipway-demo-1";

async fn demo(driver: &Driver) -> (Kitchen, Screen) {
    let kitchen = Kitchen::loopback(true);
    kitchen.halt();
    let screen = driver.session(PHONE).await;
    screen.goto(&kitchen.at("/")).await;
    (kitchen, screen)
}

/// A round moves on by itself, and every reading arrives at its place, with its value, unit and hour.
#[test]
fn a_round_of_readings() {
    with_driver(|driver| async move {
        let (kitchen, screen) = demo(&driver).await;
        screen.open_sheet("read").await;
        screen.click("[data-kind=round]").await;
        let places = ["Floor back", "Floor centre", "Floor front", "Crown", "Fire side", "Far side"];
        for (i, place) in places.iter().enumerate() {
            screen.until_text("#sheet-title", &format!("{place}, {} of 6", i + 1)).await;
            screen.pad(&format!("24{i}")).await;
            screen.click("#entry .big").await;
        }
        screen.until_text("#sheet-said", "far side 245").await;
        screen.until_text("#written", "far side 245 °C").await;
        let lines = kitchen.lines(DAY);
        for (i, place) in places.iter().enumerate() {
            let end = format!(",spot,{},24{i},C,,", place.to_lowercase());
            let found = lines.iter().find(|line| line.ends_with(&end));
            let found = found.unwrap_or_else(|| panic!("{end} in {lines:?}"));
            assert!(found.contains(",2026-06-13T09:2"), "{found}");
        }
        screen.close().await;
    });
}

/// Every kind of thing done, and readings that are no round.
#[test]
fn everything_that_is_done() {
    with_driver(|driver| async move {
        let (kitchen, screen) = demo(&driver).await;
        let choose = |name: &str, value: &str| format!("input[name={name}][value=\"{value}\"]");
        let steps: [(&str, &str, Vec<String>, &str, &str); 13] = [
            ("done", "wood on", vec![choose("unit", "baskets")], "1.5", ",wood on,,1.5,baskets,,"),
            ("done", "fire moved", vec![choose("what", "left")], "", ",fire moved,left,,,,"),
            ("done", "embers spread", vec![], "", ",embers spread,,,,,"),
            ("done", "raked out", vec![], "", ",raked out,,,,,"),
            ("done", "swept", vec![], "", ",swept,,,,,"),
            ("done", "swabbed", vec![], "0.3", ",swabbed,,0.3,l,,"),
            ("done", "placed", vec![choose("dish", "quinces")], "", ",placed,quinces,,,,"),
            ("done", "turned", vec![choose("dish", "quinces")], "", ",turned,quinces,,,,"),
            ("done", "topped up", vec![choose("dish", "quinces")], "0.2", ",topped up,quinces,0.2,l,,"),
            ("read", "liquid", vec![choose("dish", "quinces")], "88", ",liquid,quinces,88,C,,"),
            ("done", "taken out", vec![choose("dish", "quinces")], "", ",taken out,quinces,,,,"),
            ("done", "door", vec![choose("what", "ajar")], "20", ",door,ajar,20,%,,"),
            ("read", "hand count", vec![], "4", ",hand count,,4,s,,"),
        ];
        for (side, kind, chosen, number, end) in steps {
            screen.open_sheet(side).await;
            screen.click(&format!("[data-kind=\"{kind}\"]")).await;
            for choice in &chosen {
                screen.click(choice).await;
            }
            screen.pad(number).await;
            screen.click("#entry .big").await;
            screen.until_text("#sheet-said", "Written").await;
            screen.until("return document.querySelectorAll('#waiting li').length === 0").await;
            let lines = kitchen.lines(DAY);
            assert!(lines.iter().any(|line| line.ends_with(end)), "{kind}: {lines:?}");
        }
        // A place tapped on the drawing, in °F, a quarter of an hour ago.
        screen.open_sheet("read").await;
        screen.run("document.querySelector('[data-spot=\"back wall\"]').scrollIntoView({ block: 'center' })").await;
        screen.run("document.querySelector('[data-spot=\"back wall\"]').dispatchEvent(new MouseEvent('click', { bubbles: true }))").await;
        screen.pad("590").await;
        screen.click(&choose("unit", "°F")).await;
        screen.click(&choose("ago", "15")).await;
        screen.click("#entry .big").await;
        screen.until("return document.querySelectorAll('#waiting li').length === 0").await;
        let lines = kitchen.lines(DAY);
        let wall = lines.iter().find(|line| line.ends_with(",spot,back wall,590,F,,")).expect("the back wall");
        assert!(wall.contains(",2026-06-13T09:1"), "a quarter of an hour before 09:2x: {wall}");
        screen.close().await;
    });
}

/// The server goes away in the middle of an entry: it is said at once, what is written waits, and is sent once, in order and
/// with its own hours, when the server is back.
#[test]
fn a_server_that_goes_away() {
    with_driver(|driver| async move {
        let (mut kitchen, screen) = demo(&driver).await;
        screen.until("return document.querySelector('#board h1')?.textContent.includes('°C')").await;
        screen.open_sheet("read").await;
        screen.click("[data-kind=probe]").await;
        screen.pad("24").await;
        kitchen.stop();
        screen.until("return !document.getElementById('reach').hidden").await;
        assert!(screen.text("#reach").await.contains("cannot be reached"));
        assert!(screen.text(".sheet [data-reach]").await.contains("out of reach"));
        rules::own_kept(&screen, "#sheet", "the sheet without a server").await;
        screen.pad("1").await;
        screen.click("#entry .big").await;
        screen.open_sheet("done").await;
        screen.click("[data-kind=door]").await;
        screen.click("input[name=what][value=open]").await;
        screen.click("#entry .big").await;
        screen.until_text("#reach", "2 entries wait").await;
        let kept = screen.run("return JSON.parse(localStorage['ovenfall.queue']).map((row) => row.entry.kind)").await;
        assert_eq!(kept, json!(["probe", "door"]));
        let hours = screen.run("return JSON.parse(localStorage['ovenfall.queue']).map((row) => row.entry.at)").await;
        kitchen.begin();
        kitchen.halt();
        screen.until("return document.getElementById('reach').hidden").await;
        screen.until_text("#written", "door open").await;
        let lines = kitchen.lines(DAY);
        let place = |end: &str| {
            let found: Vec<usize> = (0..lines.len()).filter(|i| lines[*i].ends_with(end)).collect();
            assert_eq!(found.len(), 1, "{end} once: {lines:?}");
            found[0]
        };
        let (probe, door) = (place(",probe,,241,C,,"), place(",door,open,,,,"));
        assert!(probe < door, "{lines:?}");
        assert!(lines[probe].contains(hours[0].as_str().unwrap()) && lines[door].contains(hours[1].as_str().unwrap()));
        screen.console_says_only(SERVER_GONE).await;
        screen.close().await;
    });
}

/// What is taken back stays in the day, struck through, and after a reload too.
#[test]
fn taking_back_lasts() {
    with_driver(|driver| async move {
        let (kitchen, screen) = demo(&driver).await;
        screen.click("#written [data-take-back='21']").await;
        screen.until_text("#written .struck", "probe 288 °C").await;
        screen.goto(&kitchen.at("/ovens/slipway-demo/now")).await;
        screen.until_text("#written .struck", "taken back").await;
        assert!(kitchen.lines(DAY).iter().any(|line| line.contains(",strike,") && line.ends_with(",21")));
        screen.close().await;
    });
}

/// A whole reading by keyboard alone: the focus is seen, goes into the sheet, and comes back.
#[test]
fn by_keyboard_alone() {
    with_driver(|driver| async move {
        let (kitchen, screen) = demo(&driver).await;
        let press = async |keys: &str| {
            let focused = screen.client.active_element().await.unwrap();
            focused.send_keys(keys).await.unwrap();
        };
        let tab_to = async |script: &str| {
            for _ in 0..80 {
                if screen.run(&format!("return Boolean({script})")).await == json!(true) {
                    return;
                }
                press(&String::from(char::from(Key::Tab))).await;
            }
            panic!("never reached: {script}");
        };
        let enter = String::from(char::from(Key::Enter));
        tab_to("document.activeElement.id === 'write'").await;
        let outline = screen.run("return getComputedStyle(document.activeElement).outlineStyle").await;
        assert_eq!(outline, json!("solid"), "the focus is seen");
        press(&enter).await;
        assert_eq!(screen.run("return document.activeElement.id").await, json!("sheet-title"));
        tab_to("document.activeElement.dataset.kind === 'probe'").await;
        press(&enter).await;
        press("23").await;
        press(&String::from(char::from(Key::Backspace))).await;
        press("57").await;
        tab_to("document.activeElement.matches('#entry .big')").await;
        press(&enter).await;
        screen.until_text("#sheet-said", "probe 257 °C").await;
        press(&String::from(char::from(Key::Escape))).await;
        screen.until("return document.getElementById('sheet').hidden").await;
        assert_eq!(screen.run("return document.activeElement.id").await, json!("write"), "the focus comes back");
        screen.until_text("#written", "probe 257 °C").await;
        assert!(kitchen.lines(DAY).iter().any(|line| line.ends_with(",probe,,257,C,,")));
        screen.close().await;
    });
}

/// What is wrong is said at its field, and nothing that was typed is lost.
#[test]
fn what_is_wrong_is_said_at_its_field() {
    with_driver(|driver| async move {
        let (kitchen, screen) = demo(&driver).await;
        screen.open_sheet("done").await;
        screen.click("[data-kind=\"topped up\"]").await;
        screen.click("#entry .big").await;
        assert!(screen.text("#entry-wrong").await.contains("Which dish?"));
        screen.click("#sheet-back").await;
        screen.open_sheet("read").await;
        screen.click("[data-kind=outdoor]").await;
        screen.click("#entry summary").await;
        let note = screen.client.find(Locator::Css("#note")).await.unwrap();
        note.send_keys("in the shade").await.unwrap();
        screen.click("input[name=ago][value=at]").await;
        screen.pad("18").await;
        screen.click("#entry .big").await;
        assert!(screen.text("#entry-wrong").await.contains("hour"), "no hour was given");
        assert_eq!(screen.run("return document.getElementById('note').value").await, json!("in the shade"));
        assert_eq!(screen.text(".display output").await, "18");
        screen.click("input[name=ago][value='0']").await;
        screen.click("#entry .big").await;
        screen.until_text("#written", "outdoors 18 °C").await;
        // What only the server can know: it is kept on the screen, with what is wrong, until somebody decides.
        screen.open_sheet("read").await;
        screen.click("[data-kind=outdoor]").await;
        screen.pad("999").await;
        screen.click("#entry .big").await;
        screen.until_text("#waiting .wrong", "60").await;
        assert!(!kitchen.lines(DAY).iter().any(|line| line.contains(",outdoor,,999")));
        screen.console_says_only("status of 422").await;
        screen.client.back().await.unwrap();
        screen.until("return document.getElementById('sheet').hidden").await;
        rules::kept(&screen, "Now with an entry that was refused").await;
        screen.click("#waiting button").await;
        screen.until("return document.querySelectorAll('#waiting li').length === 0").await;
        screen.close().await;
    });
}

/// Where the pad lies in the sheet, by what the sheet is headed, and what was said about the server, at every change.
const WATCH_PAD: &str = r"
const sheet = document.getElementById('sheet');
window.tops = {};
window.told = new Set();
new MutationObserver(() => {
  const pad = sheet.querySelector('.pad');
  if (!pad) return;
  const line = sheet.querySelector('[data-reach]');
  if (!line.hidden) window.told.add(line.textContent);
  const top = Math.round(pad.getBoundingClientRect().top + sheet.scrollTop);
  (window.tops[document.getElementById('sheet-title').textContent] ??= new Set()).add(top);
}).observe(sheet, { subtree: true, childList: true, characterData: true, attributes: true });
";

/// Nothing moves the pad while somebody types on it, neither what is being sent nor a server that goes away: a key that moves
/// under a finger writes a wrong number.
#[test]
fn the_pad_stays_where_it_is() {
    with_driver(|driver| async move {
        let (mut kitchen, screen) = demo(&driver).await;
        screen.open_sheet("read").await;
        screen.click("[data-kind=round]").await;
        screen.run(WATCH_PAD).await;
        for place in 1..=3 {
            screen.until_text("#sheet-title", &format!("{place} of 6")).await;
            screen.pad("240").await;
            screen.click("#entry .big").await;
        }
        screen.until_text("#written", "floor front 240").await;
        kitchen.stop();
        screen.until("return !document.querySelector('.sheet [data-reach]').hidden").await;
        // Two entries wait: the longest that is said. The pad is looked at once more after that.
        for place in [4, 5] {
            screen.until_text("#sheet-title", &format!("{place} of 6")).await;
            screen.pad("240").await;
            screen.click("#entry .big").await;
        }
        screen.until_text(".sheet [data-reach]", "2 wait").await;
        screen.pad("2").await;
        let told = screen.run("return [...window.told]").await.to_string();
        assert!(told.contains("out of reach"), "{told}");
        let tops = screen.run("return Object.entries(window.tops).map(([title, tops]) => [title, [...tops]])").await;
        let tops = tops.as_array().unwrap();
        assert_eq!(tops.len(), 6, "{tops:?}");
        for of in tops {
            assert_eq!(of[1].as_array().unwrap().len(), 1, "the pad moved: {of}");
        }
        screen.console_says_only(SERVER_GONE).await;
        screen.close().await;
    });
}
