//! The kitchen's network: an address no browser takes for secure. A screen is let in with the code only.

use crate::driver::{PATIENCE, PHONE, SERVER_GONE};
use crate::kitchen::Kitchen;
use crate::{rules, with_driver};
use fantoccini::Locator;
use serde_json::json;
use std::time::Instant;

#[test]
fn refused_and_let_in() {
    with_driver(|driver| async move {
        let Some(mut kitchen) = Kitchen::lan(true) else { return };
        kitchen.halt();
        let code = kitchen.app.as_ref().unwrap().access.code();
        let screen = driver.session(PHONE).await;
        screen.goto(&kitchen.at("/ovens/slipway-demo/now")).await;
        assert!(screen.run("return location.pathname").await == json!("/pair"), "sent to be paired");
        assert_eq!(screen.run("return isSecureContext").await, json!(false));
        let type_code = async |code: &str| {
            let field = screen.client.find(Locator::Css("#code")).await.unwrap();
            field.clear().await.unwrap();
            field.send_keys(code).await.unwrap();
            screen.click("main form button").await;
        };
        let wrong = if code == "00000000" { "11111111" } else { "00000000" };
        screen.client.find(Locator::Css("#who")).await.unwrap().send_keys("Bea").await.unwrap();
        type_code(wrong).await;
        screen.until_text("#code-wrong", "not the code").await;
        assert_eq!(screen.run("return document.getElementById('who').value").await, json!("Bea"), "nothing is lost");
        rules::kept(&screen, "/pair with a wrong code").await;
        screen.console_says_only("status of 4").await;
        type_code(&code).await;
        screen.until("return location.pathname === '/ovens/slipway-demo/now'").await;
        // Writing, and a server that goes away and comes back, on this address too.
        screen.open_sheet("read").await;
        screen.click("[data-kind=probe]").await;
        screen.pad("251").await;
        screen.click("#entry .big").await;
        screen.until_text("#written", "by Bea").await;
        screen.goto(&kitchen.at("/screens")).await;
        screen.until("return Boolean(document.querySelector('.square svg'))").await;
        rules::kept(&screen, "/screens on the network").await;
        screen.goto(&kitchen.at("/ovens/slipway-demo/now")).await;
        screen.open_sheet("read").await;
        kitchen.stop();
        let gone = Instant::now();
        screen.until("return !document.getElementById('reach').hidden").await;
        assert!(gone.elapsed() < PATIENCE);
        screen.click("[data-kind=probe]").await;
        screen.pad("250").await;
        screen.click("#entry .big").await;
        kitchen.begin();
        kitchen.halt();
        // Still paired after the server was started again.
        screen.until_text("#written", "probe 250 °C").await;
        screen.console_says_only(SERVER_GONE).await;
        screen.close().await;
    });
}

#[test]
fn guessing_has_an_end() {
    with_driver(|driver| async move {
        let Some(kitchen) = Kitchen::lan(false) else { return };
        let code = kitchen.app.as_ref().unwrap().access.code();
        let wrong = if code == "00000000" { "11111111" } else { "00000000" };
        let screen = driver.session(PHONE).await;
        for _ in 0..6 {
            screen.goto(&kitchen.at(&format!("/pair?code={wrong}"))).await;
            screen.click("main form button").await;
            screen.until_text("#code-wrong", "code").await;
        }
        screen.until_text("#code-wrong", "Too many wrong codes").await;
        screen.goto(&kitchen.at(&format!("/pair?code={code}"))).await;
        screen.click("main form button").await;
        screen.until_text("#code-wrong", "Too many wrong codes").await;
        screen.console_says_only("status of 4").await;
        screen.close().await;
    });
}
