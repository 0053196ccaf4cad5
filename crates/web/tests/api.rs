//! The server as a screen sees it, request by request and over a real socket.
#![allow(clippy::unwrap_used, reason = "a test that cannot run must stop")]

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Method, Request, StatusCode, header};
use ovenfall_store::Store;
use ovenfall_web::{Access, App, Reach, router};
use serde_json::{Value, json};
use std::sync::Arc;
use std::time::Duration;
use tempfile::TempDir;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};
use tower::ServiceExt;

const OVEN: &str = include_str!("../../../data/demo/oven.toml");

struct Kitchen {
    _dir: TempDir,
    app: App,
    router: Router,
}

struct Answer {
    status: StatusCode,
    cookie: Option<String>,
    body: String,
}

impl Answer {
    fn json(&self) -> Value {
        serde_json::from_str(&self.body).unwrap()
    }
}

impl Kitchen {
    fn new(reach: Reach) -> Self {
        let dir = TempDir::new().unwrap();
        let store = Arc::new(Store::open(&dir.path().join("kitchen.db")).unwrap());
        let access = Arc::new(Access::new(reach, Vec::new(), &mut rand::rng()));
        let clock = Arc::new(|| "2026-06-13T12:00:00Z".parse().unwrap());
        let app = App::new(store, access, clock);
        Self { _dir: dir, router: router(app.clone()), app }
    }

    async fn with_a_day(reach: Reach) -> Self {
        let kitchen = Self::new(reach);
        let cookie = kitchen.paired().await;
        let put = kitchen.send(Method::PUT, "/api/ovens/quay", OVEN.to_owned(), &cookie).await;
        assert_eq!(put.status, StatusCode::NO_CONTENT, "{}", put.body);
        let begun = kitchen.send(Method::POST, "/api/ovens/quay/days/d1", String::new(), &cookie).await;
        assert_eq!(begun.status, StatusCode::NO_CONTENT, "{}", begun.body);
        kitchen
    }

    /// The cookie of a paired screen; empty on the machine itself.
    async fn paired(&self) -> String {
        if self.app.access.reach() == Reach::Loopback {
            return String::new();
        }
        let body = json!({ "code": self.app.access.code(), "who": "Bea" }).to_string();
        self.send(Method::POST, "/api/pair", body, "").await.cookie.unwrap()
    }

    async fn send(&self, method: Method, path: &str, body: String, cookie: &str) -> Answer {
        let kind = if body.starts_with(['{', '[']) { "application/json" } else { "text/plain" };
        let request = Request::builder().method(method).uri(path).header(header::HOST, "127.0.0.1:8020");
        let request = request.header(header::CONTENT_TYPE, kind).header(header::COOKIE, cookie);
        let response = self.router.clone().oneshot(request.body(Body::from(body)).unwrap()).await.unwrap();
        let status = response.status();
        let cookie = response.headers().get(header::SET_COOKIE).map(|value| value.to_str().unwrap().to_owned());
        let cookie = cookie.map(|cookie| cookie.split(';').next().unwrap().to_owned());
        let bytes = to_bytes(response.into_body(), usize::MAX).await.unwrap();
        Answer { status, cookie, body: String::from_utf8(bytes.to_vec()).unwrap() }
    }

    async fn append(&self, entries: Value) -> Answer {
        let cookie = self.paired().await;
        self.send(Method::POST, "/api/days/d1/entries", entries.to_string(), &cookie).await
    }
}

fn probe(id: &str, minute: u32, value: &str) -> Value {
    let at = format!("2026-06-13T11:{minute:02}:00Z");
    json!({ "id": id, "at": at, "kind": "probe", "value": value, "unit": "C" })
}

#[tokio::test]
async fn an_entry_goes_in_once_and_comes_out() {
    let kitchen = Kitchen::with_a_day(Reach::Lan).await;
    let queue = json!([probe("a", 1, "280"), probe("b", 5, "275")]);
    let first = kitchen.append(queue.clone()).await;
    assert_eq!(first.status, StatusCode::OK, "{}", first.body);
    assert_eq!(first.json()[0], json!({ "id": "a", "known_already": false }));
    let again = kitchen.append(queue).await;
    assert_eq!(again.json()[1], json!({ "id": "b", "known_already": true }));
    let cookie = kitchen.paired().await;
    let day = kitchen.send(Method::GET, "/api/days/d1", String::new(), &cookie).await;
    assert_eq!(day.body.lines().filter(|line| line.contains("probe")).count(), 2, "{}", day.body);
    let rows = kitchen.send(Method::GET, "/api/ovens/quay/days", String::new(), &cookie).await.json();
    assert_eq!(rows[0]["entries"], 2);
}

/// Every field of an entry, spoilt: the answer names the field and what to do, and nothing was written.
#[tokio::test]
async fn a_bad_field_is_named() {
    let kitchen = Kitchen::with_a_day(Reach::Loopback).await;
    let good = probe("a", 1, "280");
    for (field, value) in
        [("id", ""), ("at", "noon"), ("written", "x"), ("kind", "feeling"), ("value", "a lot"), ("unit", "m")]
    {
        let mut bad = good.clone();
        bad[field] = json!(value);
        let answer = kitchen.append(json!([probe("x", 0, "1"), bad])).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}: {}", answer.body);
        let problem = &answer.json()["problems"][0];
        assert_eq!((&problem["entry"], &problem["field"]), (&json!(1), &json!(field)), "{}", answer.body);
        assert!(problem["what"].as_str().is_some_and(|what| !what.is_empty()));
    }
    let strike = json!([{ "id": "s", "at": "2026-06-13T11:00:00Z", "kind": "strike", "strikes": "none" }]);
    assert_eq!(kitchen.append(strike).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    let day = kitchen.send(Method::GET, "/api/days/d1", String::new(), "").await;
    assert_eq!(day.body.lines().count(), 2, "{}", day.body);
}

#[tokio::test]
async fn what_cannot_be_is_refused_with_its_reason() {
    let kitchen = Kitchen::with_a_day(Reach::Loopback).await;
    kitchen.append(json!([probe("a", 1, "280")])).await;
    let status = async |method, path: &str, body: &str| kitchen.send(method, path, body.to_owned(), "").await.status;
    assert_eq!(kitchen.append(json!([probe("a", 1, "290")])).await.status, StatusCode::CONFLICT);
    assert_eq!(status(Method::GET, "/api/days/none", "").await, StatusCode::NOT_FOUND);
    assert_eq!(status(Method::GET, "/api/days/none/live", "").await, StatusCode::NOT_FOUND);
    assert_eq!(status(Method::GET, "/api/ovens/a%20b", "").await, StatusCode::BAD_REQUEST);
    assert_eq!(status(Method::PUT, "/api/ovens/quay", "width = 3").await, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(status(Method::POST, "/api/days/d1/entries", "[{\"id\":").await, StatusCode::BAD_REQUEST);
    let large = format!("[{}]", " ".repeat(3_000_000));
    assert_eq!(status(Method::POST, "/api/days/d1/entries", &large).await, StatusCode::PAYLOAD_TOO_LARGE);
}

#[tokio::test]
async fn an_unpaired_screen_gets_nothing() {
    let kitchen = Kitchen::with_a_day(Reach::Lan).await;
    for (method, path) in [
        (Method::GET, "/api/ovens"),
        (Method::GET, "/api/ovens/quay"),
        (Method::PUT, "/api/ovens/quay"),
        (Method::GET, "/api/ovens/quay/days"),
        (Method::POST, "/api/ovens/quay/days/d2"),
        (Method::GET, "/api/days/d1"),
        (Method::GET, "/api/days/d1/live"),
        (Method::POST, "/api/days/d1/entries"),
    ] {
        let answer = kitchen.send(method, path, String::new(), "ovenfall_screen=0123").await;
        assert_eq!(answer.status, StatusCode::UNAUTHORIZED, "{path}");
    }
    let wrong = kitchen.send(Method::POST, "/api/pair", json!({ "code": "1" }).to_string(), "").await;
    assert_eq!((wrong.status, wrong.cookie), (StatusCode::FORBIDDEN, None));
    let cookie = kitchen.paired().await;
    assert_eq!(kitchen.send(Method::GET, "/api/ovens", String::new(), &cookie).await.status, StatusCode::OK);
    kitchen.send(Method::DELETE, "/api/pair", String::new(), &cookie).await;
    assert_eq!(kitchen.send(Method::GET, "/api/ovens", String::new(), &cookie).await.status, StatusCode::UNAUTHORIZED);
}

/// A screen watching over a real socket.
struct Watching {
    socket: TcpStream,
    seen: String,
}

impl Watching {
    async fn new(address: std::net::SocketAddr, last: Option<i64>) -> Self {
        let mut socket = TcpStream::connect(address).await.unwrap();
        let last = last.map_or_else(String::new, |last| format!("Last-Event-ID: {last}\r\n"));
        let request = format!("GET /api/days/d1/live HTTP/1.1\r\nHost: {address}\r\n{last}\r\n");
        socket.write_all(request.as_bytes()).await.unwrap();
        Self { socket, seen: String::new() }
    }

    /// Reads on until all of `ids` were told of.
    async fn until(&mut self, ids: &[String]) {
        let all = async {
            let mut buffer = [0; 65_536];
            while !ids.iter().all(|id| self.seen.contains(&format!("\"id\":\"{id}\""))) {
                let n = self.socket.read(&mut buffer).await.unwrap();
                assert_ne!(n, 0, "closed too early: {}", self.seen);
                self.seen.push_str(&String::from_utf8_lossy(&buffer[..n]));
            }
        };
        tokio::time::timeout(Duration::from_secs(20), all).await.unwrap();
    }
}

/// Twenty screens watch while entries come in: none misses one or is told twice, and one that comes back gets what it missed.
#[tokio::test]
async fn every_screen_sees_every_entry_once() {
    let kitchen = Kitchen::with_a_day(Reach::Loopback).await;
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let address = listener.local_addr().unwrap();
    tokio::spawn(axum::serve(listener, kitchen.router.clone()).into_future());
    let mut screens = Vec::new();
    for _ in 0..20 {
        screens.push(Watching::new(address, None).await);
    }
    let ids: Vec<String> = (0..40).map(|i| format!("e{i}x")).collect();
    for (i, id) in ids.iter().enumerate() {
        assert_eq!(kitchen.append(json!([probe(id, i as u32, "200")])).await.status, StatusCode::OK);
    }
    for screen in &mut screens {
        screen.until(&ids).await;
        for id in &ids {
            assert_eq!(screen.seen.matches(&format!("\"id\":\"{id}\"")).count(), 1, "{id}");
        }
    }
    let mut back = Watching::new(address, Some(38)).await;
    back.until(&ids[38..]).await;
    assert!(!back.seen.contains("\"id\":\"e37x\""));
}
