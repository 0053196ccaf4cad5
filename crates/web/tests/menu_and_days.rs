//! The menu's and the days' pages, request by request: dishes described, refused and kept; a day looked back on.
#![allow(clippy::unwrap_used, reason = "a test that cannot run must stop")]

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Method, Request, StatusCode, header};
use jiff::Timestamp;
use ovenfall_record::day_file::read_day;
use ovenfall_record::pots_file::read_pots;
use ovenfall_store::{DayId, OvenId, Store};
use ovenfall_web::{Access, App, Reach, router};
use serde_json::Value;
use std::sync::Arc;
use tempfile::TempDir;
use tower::ServiceExt;

const OVEN: &str = include_str!("../../../data/demo/oven.toml");
const DAY: &str = include_str!("../../../data/demo/day.csv");
const POTS: &str = include_str!("../../../data/demo/pots.toml");
const FORM: &str = "application/x-www-form-urlencoded";

struct Kitchen {
    _dir: TempDir,
    store: Arc<Store>,
    router: Router,
}

struct Answer {
    status: StatusCode,
    body: String,
}

fn now() -> Timestamp {
    "2026-06-13T21:00:00Z".parse().unwrap()
}

fn day() -> DayId {
    DayId::new("saturday").unwrap()
}

/// A form as a browser sends it.
fn form(pairs: &[(&str, &str)]) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'.');
    let coded = |text: &str| {
        let one = |byte: u8| if plain(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") };
        text.bytes().map(one).collect::<String>()
    };
    pairs.iter().map(|(key, value)| format!("{}={}", coded(key), coded(value))).collect::<Vec<_>>().join("&")
}

impl Kitchen {
    /// An oven without a day.
    fn new() -> Self {
        let dir = TempDir::new().unwrap();
        let store = Arc::new(Store::open(&dir.path().join("kitchen.db")).unwrap());
        store.write_oven(&OvenId::new("quay").unwrap(), OVEN, "", now()).unwrap();
        let access = Arc::new(Access::new(Reach::Loopback, Vec::new(), &mut rand::rng()));
        let app = App::new(Arc::clone(&store), access, Arc::new(now));
        Self { _dir: dir, store, router: router(app) }
    }

    /// The same with the demo's day.
    fn with_a_day() -> Self {
        let kitchen = Self::new();
        kitchen.store.begin_day(&day(), &OvenId::new("quay").unwrap(), now()).unwrap();
        kitchen.store.write_pots(&day(), POTS, "", now()).unwrap();
        kitchen.store.append(&day(), &read_day("day", DAY).unwrap().entries, "Bea", now()).unwrap();
        kitchen
    }

    async fn send(&self, method: Method, path: &str, body: String) -> Answer {
        let request = Request::builder()
            .method(method)
            .uri(path)
            .header(header::HOST, "127.0.0.1")
            .header(header::CONTENT_TYPE, FORM)
            .body(Body::from(body))
            .unwrap();
        let answer = self.router.clone().oneshot(request).await.unwrap();
        let status = answer.status();
        let body = to_bytes(answer.into_body(), 1 << 22).await.unwrap();
        Answer { status, body: String::from_utf8(body.to_vec()).unwrap() }
    }

    async fn get(&self, path: &str) -> Answer {
        self.send(Method::GET, path, String::new()).await
    }

    async fn post(&self, path: &str, pairs: &[(&str, &str)]) -> Answer {
        self.send(Method::POST, path, form(pairs)).await
    }

    fn dishes(&self, day: &str) -> Vec<String> {
        let text = self.store.pots_text(&DayId::new(day).unwrap()).unwrap().unwrap();
        read_pots("pots", &text).unwrap().dishes.into_iter().map(|dish| dish.sheet.name).collect()
    }
}

#[tokio::test]
async fn the_first_dish_begins_the_day() {
    let kitchen = Kitchen::new();
    assert!(kitchen.get("/ovens/quay/menu").await.body.contains("No dish yet"));
    let odd = "stew \"à la\" <quay>, & co";
    let kept = kitchen.post("/ovens/quay/menu/dish", &[("name", odd), ("solid_kg", "1,5"), ("wanted", "19:30")]).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.body);
    assert_eq!(kitchen.dishes("quay-2026-06-13"), [odd]);
    let menu = kitchen.get("/ovens/quay/menu").await.body;
    assert!(menu.contains("stew &quot;à la&quot; &lt;quay&gt;, &amp; co") && menu.contains("19:30"), "{menu}");
    let form = kitchen.get("/ovens/quay/menu/dish?dish=stew%20%22%C3%A0%20la%22%20%3Cquay%3E%2C%20%26%20co").await;
    assert!(form.status.is_success() && form.body.contains("value=\"1.5\""), "{}", form.body);
}

#[tokio::test]
async fn what_is_wrong_with_a_dish_is_said_at_its_field_and_nothing_is_lost() {
    let kitchen = Kitchen::with_a_day();
    let before = kitchen.dishes("saturday");
    for (field, bad) in [
        ("name", ""),
        ("name", "a@b"),
        ("name", "quinces"),
        ("wanted", "late"),
        ("solid_kg", "heaps"),
        ("liquid_kg", "-1"),
        ("pot", "glass slipper"),
        ("pot_kg", "900"),
        ("lid", "maybe"),
        ("trivet", "perhaps"),
        ("diameter_cm", "0"),
        ("height_cm", "tall"),
        ("pieces", "cubist"),
        ("piece_cm", "1e9"),
        ("start_c", "-20"),
        ("mostly", "moon rock"),
    ] {
        let mut pairs = vec![("name", "stew"), ("kind", "braise"), ("start_c", "61")];
        pairs.retain(|(key, _)| *key != field);
        pairs.push((field, bad));
        let refused = kitchen.post("/ovens/quay/menu/dish", &pairs).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}={bad}");
        let message = refused.body.split(&format!("id=\"{field}-wrong\"")).nth(1).unwrap();
        let message = message.split_once('>').unwrap().1.split("</p>").next().unwrap();
        assert!(!message.is_empty(), "{field}={bad}");
        assert_eq!(refused.body.matches("aria-invalid=\"true\"").count(), 1, "{field}={bad}");
        if field != "start_c" {
            assert!(refused.body.contains("value=\"61\""), "{field}={bad}: what was typed elsewhere is lost");
        }
    }
    assert_eq!(kitchen.dishes("saturday"), before, "nothing was kept");
    let wood = kitchen.post("/ovens/quay/menu/wood", &[("moisture_percent", "99"), ("basket_kg", "7")]).await;
    assert_eq!(wood.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(wood.body.contains("value=\"99\"") && wood.body.contains("value=\"7\""));
}

#[tokio::test]
async fn a_dish_that_entries_speak_of_stays_as_it_is_called() {
    let kitchen = Kitchen::with_a_day();
    let removed = kitchen.post("/ovens/quay/menu/dish?dish=quinces", &[("name", "quinces"), ("key", "remove")]).await;
    assert_eq!(removed.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(removed.body.contains("speaks of this dish"));
    let renamed = kitchen.post("/ovens/quay/menu/dish?dish=quinces", &[("name", "pears")]).await;
    assert_eq!(renamed.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(kitchen.dishes("saturday").contains(&"quinces".to_owned()));
    let changed = kitchen.post("/ovens/quay/menu/dish?dish=quinces", &[("name", "quinces"), ("solid_kg", "2")]).await;
    assert_eq!(changed.status, StatusCode::SEE_OTHER);
    let none = kitchen.get("/ovens/quay/menu/dish?dish=nothing").await;
    assert_eq!(none.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn an_earlier_days_dishes_are_taken_over() {
    let kitchen = Kitchen::with_a_day();
    let sunday = DayId::new("sunday").unwrap();
    let later = "2026-06-14T08:00:00Z".parse().unwrap();
    kitchen.store.begin_day(&sunday, &OvenId::new("quay").unwrap(), later).unwrap();
    let copied = kitchen.post("/ovens/quay/menu", &[("day", "saturday")]).await;
    assert_eq!(copied.status, StatusCode::SEE_OTHER, "{}", copied.body);
    assert_eq!(kitchen.dishes("sunday"), kitchen.dishes("saturday"));
    let again = kitchen.post("/ovens/quay/menu", &[("day", "saturday")]).await;
    assert_eq!(again.status, StatusCode::SEE_OTHER);
    assert_eq!(kitchen.dishes("sunday").len(), kitchen.dishes("saturday").len(), "each is there once");
}

#[tokio::test]
async fn a_day_is_looked_back_on() {
    let kitchen = Kitchen::with_a_day();
    let days = kitchen.get("/ovens/quay/days").await.body;
    assert!(days.contains("Saturday 13 June 2026") && days.contains("24.9 kg"), "{days}");
    let page = kitchen.get("/ovens/quay/days/saturday").await.body;
    assert!(page.contains("by Bea") && page.contains("lamb shoulder") && page.contains("08:55 (shut)"), "{page}");
    let past = kitchen.get("/api/days/saturday/past").await;
    let past: Value = serde_json::from_str(&past.body).unwrap();
    assert!(past["at"].as_str().unwrap().starts_with("2026-06-13T08:55"), "{past}");
    assert!(past["words"].as_str().unwrap().contains("missed by"), "{past}");
    assert!(past["picture"]["figure"].as_str().unwrap().contains("<svg"));
    // Kept: the same answer again.
    let again: Value = serde_json::from_str(&kitchen.get("/api/days/saturday/past").await.body).unwrap();
    assert_eq!(past, again);
    let bad = kitchen.get("/parts/days/saturday/past?at=soon").await;
    assert!(bad.status.is_success() && bad.body.contains("role=\"alert\""), "{}", bad.body);
}

#[tokio::test]
async fn days_that_are_not_there() {
    let kitchen = Kitchen::with_a_day();
    for path in [
        "/ovens/quay/days/nothing",
        "/ovens/nobody/days",
        "/ovens/nobody/days/saturday",
        "/api/days/x/past",
        "/api/days/x/menu",
    ] {
        assert_eq!(kitchen.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
    let empty = Kitchen::new();
    assert!(empty.get("/ovens/quay/days").await.body.contains("No day yet"));
    assert_eq!(empty.get("/ovens/quay/days/..%2F").await.status, StatusCode::BAD_REQUEST);
}
