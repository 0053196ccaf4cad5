//! Ovens described on a form and as JSON: what is kept, what is refused and where it is said, and what nobody can break.
#![allow(clippy::unwrap_used, reason = "a test that cannot run must stop")]

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Method, Request, StatusCode, header};
use ovenfall_record::oven_file::read_oven;
use ovenfall_store::{OvenId, Store};
use ovenfall_web::{Access, App, Reach, router};
use serde_json::{Value, json};
use std::sync::Arc;
use tempfile::TempDir;
use tower::ServiceExt;

const OVEN: &str = include_str!("../../../data/demo/oven.toml");
const FORM: &str = "application/x-www-form-urlencoded";
const JSON: &str = "application/json";

struct Kitchen {
    _dir: TempDir,
    store: Arc<Store>,
    router: Router,
}

struct Answer {
    status: StatusCode,
    to: Option<String>,
    body: String,
}

impl Answer {
    fn json(&self) -> Value {
        serde_json::from_str(&self.body).unwrap()
    }

    /// What the page says is wrong with a field; empty where nothing is.
    fn wrong_at(&self, field: &str) -> String {
        let at = format!("data-wrong=\"{field}\"");
        let message = self.body.split("<p ").find(|p| p.contains(&at)).unwrap();
        message.split_once('>').unwrap().1.split("</p>").next().unwrap().to_owned()
    }

    /// Whether the page says anything is wrong.
    fn is_well(&self) -> bool {
        !self.body.contains("aria-invalid=\"true\"") && !self.body.contains("Not kept yet")
    }
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
    fn new() -> Self {
        Self::reached(Reach::Loopback)
    }

    fn reached(reach: Reach) -> Self {
        let dir = TempDir::new().unwrap();
        let store = Arc::new(Store::open(&dir.path().join("kitchen.db")).unwrap());
        let access = Arc::new(Access::new(reach, Vec::new(), &mut rand::rng()));
        let clock = Arc::new(|| "2026-06-13T12:00:00Z".parse().unwrap());
        let app = App::new(Arc::clone(&store), access, clock);
        Self { _dir: dir, store, router: router(app) }
    }

    fn with_an_oven() -> Self {
        let kitchen = Self::new();
        let now = "2026-06-01T08:00:00Z".parse().unwrap();
        kitchen.store.write_oven(&OvenId::new("quay").unwrap(), OVEN, "", now).unwrap();
        kitchen
    }

    async fn send(&self, method: Method, path: &str, kind: &str, body: String) -> Answer {
        let request = Request::builder().method(method).uri(path).header(header::HOST, "127.0.0.1:8020");
        let request = request.header(header::CONTENT_TYPE, kind).body(Body::from(body)).unwrap();
        let response = self.router.clone().oneshot(request).await.unwrap();
        let to = response.headers().get(header::LOCATION).map(|to| to.to_str().unwrap().to_owned());
        let status = response.status();
        let bytes = to_bytes(response.into_body(), usize::MAX).await.unwrap();
        Answer { status, to, body: String::from_utf8(bytes.to_vec()).unwrap() }
    }

    async fn get(&self, path: &str) -> Answer {
        self.send(Method::GET, path, FORM, String::new()).await
    }

    async fn post(&self, path: &str, pairs: &[(&str, &str)]) -> Answer {
        self.send(Method::POST, path, FORM, form(pairs)).await
    }

    async fn json(&self, method: Method, path: &str, body: &Value) -> Answer {
        self.send(method, path, JSON, body.to_string()).await
    }

    fn text(&self, oven: &str) -> String {
        self.store.oven_text(&OvenId::new(oven).unwrap()).unwrap()
    }
}

#[tokio::test]
async fn from_nothing_to_an_oven_in_one_form() {
    let kitchen = Kitchen::new();
    assert_eq!(kitchen.get("/").await.to.as_deref(), Some("/first"));
    assert!(kitchen.get("/ovens").await.body.contains("There is none yet."));
    let first = kitchen.get("/first").await;
    assert!(first.is_well() && first.body.contains("<svg") && first.body.contains("kWh"), "{}", first.body);
    let sent = [
        ("name", "Slipway"),
        ("form", "dome"),
        ("diameter_cm", "36 in"),
        ("rise_cm", "42,5"),
        ("time_zone", "Europe/Lisbon"),
    ];
    let kept = kitchen.post("/first", &sent).await;
    assert_eq!((kept.status, kept.to.as_deref()), (StatusCode::SEE_OTHER, Some("/ovens/slipway/now")));
    let oven = read_oven("slipway", &kitchen.text("slipway")).unwrap();
    assert_eq!(oven.sheet.rise_cm, Some(42.5));
    assert!((oven.sheet.diameter_cm.unwrap() - 91.44).abs() < 1e-9);
    let now = kitchen.get("/ovens/slipway/now").await;
    assert!(now.status == StatusCode::OK && now.body.contains("A new day."));
    assert!(kitchen.get("/ovens").await.body.contains("No day yet."));
}

#[tokio::test]
async fn an_oven_of_which_nothing_is_known_can_be_used() {
    let kitchen = Kitchen::new();
    let kept = kitchen.post("/first", &[]).await;
    assert_eq!(kept.to.as_deref(), Some("/ovens/oven/now"));
    let page = kitchen.get("/ovens/oven").await;
    assert!(page.is_well(), "{}", page.body);
    // Every field is there, and every number has what stands in for it.
    for key in ["diameter_cm", "rise_cm", "mouth_width_cm", "altitude_m", "probe_mm", "infrared_emissivity"] {
        let input = page.body.split("<input ").find(|input| input.contains(&format!("name=\"{key}\""))).unwrap();
        assert!(input.contains("placeholder=\"usual: ") && input.contains("value=\"\""), "{input}");
    }
    let again = kitchen.post("/ovens/oven", &[]).await;
    assert_eq!(again.to.as_deref(), Some("/ovens/oven?kept=1"));
    assert!(kitchen.get("/ovens/oven?kept=1").await.body.contains("Kept."));
}

#[tokio::test]
async fn ovens_of_one_name_are_two_ovens() {
    let kitchen = Arc::new(Kitchen::new());
    let sent: Vec<_> = (0..8)
        .map(|_| {
            let kitchen = Arc::clone(&kitchen);
            tokio::spawn(async move { kitchen.post("/first", &[("name", "Quay")]).await.to.unwrap() })
        })
        .collect();
    let mut to = Vec::new();
    for answer in sent {
        to.push(answer.await.unwrap());
    }
    to.sort();
    to.dedup();
    assert_eq!(to.len(), 8, "{to:?}");
    assert!(to.contains(&"/ovens/quay/now".to_owned()) && to.contains(&"/ovens/quay-8/now".to_owned()));
    let list = kitchen.get("/ovens").await.body;
    assert_eq!(list.matches("<strong>Quay</strong>").count(), 8);
}

/// Names that could break a page, a file or an address: kept as they are, and harmless.
#[tokio::test]
async fn a_name_is_only_a_name() {
    let kitchen = Kitchen::new();
    for name in [
        "<script>alert(1)</script>",
        "\"><img src=x onerror=alert(1)>",
        "O'Brien & \"Sons\" \\ kind = \"pots\"",
        "かまど 🔥 ünïcødé",
        "\u{202e}drawkcab",
        "../../etc",
        "preview",
        "'''",
    ] {
        let kept = kitchen.post("/first", &[("name", name)]).await;
        assert_eq!(kept.status, StatusCode::SEE_OTHER, "{name}: {}", kept.body);
        let to = kept.to.unwrap();
        let id = to.strip_prefix("/ovens/").unwrap().strip_suffix("/now").unwrap();
        assert!(id.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-'), "{id}");
        assert_ne!(id, "preview");
        assert_eq!(read_oven(id, &kitchen.text(id)).unwrap().description.name, name);
        for path in [to.clone(), format!("/ovens/{id}"), "/ovens".to_owned()] {
            let page = kitchen.get(&path).await;
            assert_eq!(page.status, StatusCode::OK, "{path}");
            assert!(!page.body.contains("<script>alert") && !page.body.contains("<img src=x"), "{path}");
        }
    }
}

/// Every field, spoilt: its own message stands at it, and everything typed is still there.
#[tokio::test]
async fn a_bad_field_is_told_at_the_field_and_nothing_is_lost() {
    let kitchen = Kitchen::with_an_oven();
    let bad = [
        ("form", "square"),
        ("construction", "gingerbread"),
        ("rise_cm", "high"),
        ("mouth_width_cm", "-3"),
        ("mouth_height_cm", "9 parsecs"),
        ("door_fit", "leaky"),
        ("under", "sea"),
        ("fire", "up"),
        ("new_or_damp", "maybe"),
        ("time_zone", "Harbour/Slipway"),
        ("altitude_m", "99999"),
        ("outdoor_c", "300"),
        ("wind_m_s", "a gale"),
        ("probe_mm", "80"),
        ("probe_emissivity", "2"),
        ("infrared_emissivity", "0"),
        ("infrared_top_c", "9"),
        ("diameter_cm", "5"),
    ];
    let layers = [
        ("dome.known", "layers"),
        ("dome.material", "firebrick"),
        ("dome.thickness", "11.4"),
        ("dome.material", "cheese"),
        ("dome.thickness", "999"),
        ("floor.known", "layers"),
        ("door.known", "layers"),
    ];
    let sent: Vec<_> = [("name", "Kept \"name\"")].into_iter().chain(bad).chain(layers).collect();
    let before = kitchen.text("quay");
    for path in ["/ovens/quay", "/first"] {
        let page = kitchen.post(path, &sent).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.body.contains("Kept &quot;name&quot;"));
        let asked = |key: &str| page.body.contains(&format!("data-field=\"{key}\""));
        for (key, typed) in bad.into_iter().filter(|(key, _)| asked(key)) {
            assert!(page.wrong_at(key).len() > 10, "{path} {key}: {}", page.wrong_at(key));
            assert!(page.body.contains(&format!("value=\"{typed}\"")), "{path} {key}");
        }
    }
    let page = kitchen.post("/ovens/quay", &sent).await;
    assert!(bad.iter().all(|(key, _)| page.body.contains(&format!("data-field=\"{key}\""))));
    assert_eq!(page.wrong_at("diameter_cm"), "This is 5. Possible: 20 cm to 600 cm.");
    assert_eq!(page.wrong_at("dome 0 material"), "");
    assert!(page.wrong_at("dome 1 material").contains("cheese"));
    assert!(page.wrong_at("dome 1 thickness").contains("0.01 cm to 200 cm"));
    assert!(page.wrong_at("floor").len() > 10 && page.wrong_at("door").len() > 10);
    assert!(page.body.contains("value=\"cheese\"") && page.body.contains("value=\"999\""));
    assert_eq!(kitchen.text("quay"), before);
    assert_eq!(kitchen.store.ovens().unwrap().len(), 1);
}

#[tokio::test]
async fn layers_are_added_and_moved_without_a_script() {
    let kitchen = Kitchen::with_an_oven();
    let rows = [
        ("floor.known", "layers"),
        ("floor.material", "firebrick"),
        ("floor.thickness", "6"),
        ("floor.material", "sand"),
        ("floor.thickness", "3"),
    ];
    let press = async |key| {
        let sent: Vec<_> = rows.into_iter().chain([("name", "typed"), ("do", key)]).collect();
        kitchen.post("/ovens/quay", &sent).await
    };
    let value = |page: &Answer, row: usize| {
        let id = format!("id=\"floor-{row}-thickness\"");
        let input = page.body.split("<input ").find(|input| input.contains(&id)).map(str::to_owned);
        input.map(|input| input.split("value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned())
    };
    let added = press("add floor").await;
    assert_eq!((added.status, value(&added, 2).as_deref()), (StatusCode::OK, Some("")));
    let moved = press("up floor 1").await;
    assert_eq!((value(&moved, 0).as_deref(), value(&moved, 1).as_deref()), (Some("3"), Some("6")));
    let removed = press("remove floor 0").await;
    assert_eq!((value(&removed, 0).as_deref(), value(&removed, 1)), (Some("3"), None));
    assert!(removed.body.contains("value=\"typed\""));
    assert_eq!(kitchen.text("quay"), OVEN, "nothing is kept by moving rows");
}

/// A form that is opened and kept says what it said before.
#[tokio::test]
async fn keeping_what_is_there_changes_nothing() {
    let kitchen = Kitchen::with_an_oven();
    let fields = kitchen.get("/api/ovens/quay/fields").await.json();
    let put = kitchen.json(Method::PUT, "/api/ovens/quay/fields", &fields).await;
    assert_eq!(put.status, StatusCode::OK, "{}", put.body);
    let (before, after) = (read_oven("a", OVEN).unwrap(), read_oven("a", &kitchen.text("quay")).unwrap());
    assert_eq!((before.sheet, before.description), (after.sheet, after.description));
    let no_door = json!({ "values": { "name": "Quay", "form": "vault", "width_cm": 120 }, "layers": { "door": [], "dome": [{ "material": "brick", "thickness": "22" }] } });
    assert_eq!(kitchen.json(Method::PUT, "/api/ovens/quay/fields", &no_door).await.status, StatusCode::OK);
    let kept = read_oven("a", &kitchen.text("quay")).unwrap();
    assert_eq!((kept.sheet.door, kept.sheet.width_cm, kept.sheet.floor), (Some(Vec::new()), Some(120.0), None));
    let page = kitchen.get("/ovens/quay").await;
    assert!(page.is_well() && page.body.contains("<option value=\"brick\" selected>"), "{}", page.body);
}

#[tokio::test]
async fn a_preview_draws_or_says_why_not_and_keeps_nothing() {
    let kitchen = Kitchen::new();
    let preview = async |body: Value| kitchen.json(Method::POST, "/api/ovens/preview", &body).await.json();
    let bare = preview(json!({})).await;
    assert!(bare["svg"].as_str().unwrap().starts_with("<svg"));
    assert_eq!((bare["form"].as_str(), bare["figures"].as_array().unwrap().len()), (Some("dome"), 3));
    assert!(bare["usual"]["diameter_cm"].is_string() && bare["layers"]["dome"].as_array().unwrap().len() > 1);
    let small = preview(json!({ "values": { "diameter_cm": 60 } })).await;
    assert_ne!(small["line"], bare["line"]);
    assert!(small["usual"]["diameter_cm"].is_null());
    let vault = preview(json!({ "values": { "construction": "heavy bakery vault", "new_or_damp": true } })).await;
    assert_eq!(vault["form"], "vault");
    assert!(vault["cautions"][0].as_str().unwrap().contains("no fast fire"));
    let bad = preview(
        json!({ "values": { "diameter_cm": "x", "cheese": "1" }, "layers": { "floor": [{ "material": "tin" }] } }),
    )
    .await;
    let fields: Vec<&str> = bad["problems"].as_array().unwrap().iter().map(|p| p["field"].as_str().unwrap()).collect();
    assert_eq!(bad["svg"], "");
    for field in ["diameter_cm", "cheese", "floor 0 material"] {
        assert!(fields.contains(&field), "{bad}");
    }
    let doubtful = preview(json!({ "values": { "diameter_cm": 100, "rise_cm": 15 } })).await;
    assert_eq!(doubtful["doubts"][0]["field"], "rise_cm");
    assert!(kitchen.store.ovens().unwrap().is_empty());
}

#[tokio::test]
async fn ovens_are_made_by_scripts_too() {
    let kitchen = Kitchen::new();
    let made =
        kitchen.json(Method::POST, "/api/ovens", &json!({ "values": { "name": "Quay", "rise_cm": 40.5 } })).await;
    assert_eq!((made.status, made.json()["oven"].as_str()), (StatusCode::CREATED, Some("quay")));
    let bad = kitchen.json(Method::POST, "/api/ovens", &json!({ "values": { "rise_cm": 4 } })).await;
    assert_eq!(bad.status, StatusCode::UNPROCESSABLE_ENTITY);
    let problem = &bad.json()["problems"][0];
    assert_eq!((problem["field"].as_str(), problem["limits"].as_str()), (Some("rise_cm"), Some("8 cm to 300 cm")));
    for body in ["{", "[]", "{\"value\":{}}", "{\"layers\":{\"roof\":[]}}", "{\"layers\":{\"dome\":[{\"thick\":1}]}}"] {
        let answer = kitchen.send(Method::POST, "/api/ovens", JSON, body.to_owned()).await;
        assert!(answer.status.is_client_error(), "{body}: {}", answer.status);
    }
    assert_eq!(kitchen.store.ovens().unwrap().len(), 1);
}

#[tokio::test]
async fn what_is_not_there_or_far_too_much_is_refused() {
    let kitchen = Kitchen::new();
    for path in ["/ovens/none", "/api/ovens/none/fields"] {
        assert_eq!(kitchen.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
    assert_eq!(kitchen.post("/ovens/none", &[("name", "x")]).await.status, StatusCode::NOT_FOUND);
    let put = kitchen.json(Method::PUT, "/api/ovens/none/fields", &json!({})).await;
    assert_eq!((put.status, kitchen.store.ovens().unwrap().len()), (StatusCode::NOT_FOUND, 0));
    assert_eq!(kitchen.get("/ovens/a%20b").await.status, StatusCode::BAD_REQUEST);
    let long = "9".repeat(300_000);
    let page = kitchen.post("/first", &[("name", &long), ("diameter_cm", &long)]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.wrong_at("name").contains("up to 120") && !page.wrong_at("diameter_cm").is_empty());
    assert!(page.wrong_at("diameter_cm").len() < 200, "{}", page.wrong_at("diameter_cm").len());
    let many: Vec<_> =
        std::iter::once(("dome.known", "layers")).chain((0..5000).map(|_| ("dome.material", "sand"))).collect();
    let page = kitchen.post("/first", &many).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    let huge = kitchen.post("/first", &[("name", &"x".repeat(3_000_000))]).await;
    assert_eq!(huge.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(kitchen.store.ovens().unwrap().is_empty());
}

#[tokio::test]
async fn a_screen_that_is_not_paired_describes_nothing() {
    let kitchen = Kitchen::reached(Reach::Lan);
    for path in ["/ovens", "/first", "/ovens/quay"] {
        assert_eq!(kitchen.get(path).await.to.as_deref(), Some("/pair"), "{path}");
        if path != "/ovens" {
            assert_eq!(kitchen.post(path, &[("name", "x")]).await.to.as_deref(), Some("/pair"), "{path}");
        }
    }
    for (method, path) in [
        (Method::POST, "/api/ovens"),
        (Method::POST, "/api/ovens/preview"),
        (Method::GET, "/api/ovens/quay/fields"),
        (Method::PUT, "/api/ovens/quay/fields"),
    ] {
        assert_eq!(kitchen.json(method, path, &json!({})).await.status, StatusCode::UNAUTHORIZED, "{path}");
    }
    assert!(kitchen.store.ovens().unwrap().is_empty());
}

#[tokio::test]
async fn cautions_stand_where_they_matter() {
    let kitchen = Kitchen::with_an_oven();
    for path in ["/first", "/ovens/quay"] {
        let page = kitchen.get(path).await.body;
        for caution in ["no fast fire", "carbon monoxide", "people licensed for the work"] {
            assert!(page.contains(caution), "{path}: {caution}");
        }
    }
    assert!(kitchen.get("/ovens/quay").await.body.contains("download=\"quay.toml\""));
}
