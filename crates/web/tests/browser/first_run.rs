//! From nothing to a described oven and a first forecast.

use crate::driver::PHONE;
use crate::kitchen::Kitchen;
use crate::{rules, with_driver};
use fantoccini::Locator;
use serde_json::json;

#[test]
fn an_oven_and_its_first_forecast() {
    with_driver(|driver| async move {
        let kitchen = Kitchen::loopback(false);
        let screen = driver.session(PHONE).await;
        screen.goto(&kitchen.at("/")).await;
        assert_eq!(screen.run("return location.pathname").await, json!("/first"));
        let fill = async |id: &str, text: &str| {
            screen.run(&format!("document.getElementById({id:?}).scrollIntoView({{ block: 'center' }})")).await;
            let field = screen.client.find(Locator::Id(id)).await.unwrap();
            field.clear().await.unwrap();
            field.send_keys(text).await.unwrap();
        };
        fill("name", "Quay oven").await;
        screen.run("const f = document.getElementById('form') ?? document.querySelector('[name=form][value=dome]'); if (f.tagName === 'SELECT') { f.value = 'dome'; } else { f.checked = true; } f.dispatchEvent(new Event('input', { bubbles: true })); f.dispatchEvent(new Event('change', { bubbles: true }))").await;
        fill("diameter_cm", "90").await;
        fill("rise_cm", "4").await;
        screen.click("main form [type=submit]").await;
        screen.until("return document.querySelector('#rise_cm')?.getAttribute('aria-invalid') === 'true'").await;
        assert_eq!(screen.run("return document.getElementById('name').value").await, json!("Quay oven"));
        rules::kept(&screen, "/first with a rise that cannot be").await;
        fill("rise_cm", "42").await;
        screen.click("main form [type=submit]").await;
        screen.until("return location.pathname === '/ovens/quay-oven/now'").await;
        screen.open_sheet("done").await;
        screen.click("[data-kind='wood on']").await;
        screen.pad("8").await;
        screen.click("input[name=ago][value='30']").await;
        screen.click("#entry .big").await;
        // The first entry begins the day.
        screen.until("return Boolean(document.body.dataset.day)").await;
        screen.until_text("#board h1", "Fire in").await;
        screen.until("return Boolean(document.querySelector('#board figure svg'))").await;
        screen.close().await;
    });
}
