//! Chromium through its WebDriver: sessions of a size and colour scheme, and what their consoles said.

use fantoccini::wd::{Capabilities, WebDriverCompatibleCommand};
use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use tempfile::TempDir;

const DRIVERS: [&str; 2] = ["/usr/bin/chromedriver", "/usr/lib/chromium/chromedriver"];
const BROWSERS: [&str; 2] = ["/usr/bin/chromium", "/usr/bin/chromium-browser"];
/// How long anything may take on a slow machine.
pub const PATIENCE: Duration = Duration::from_secs(40);

/// A size and colour scheme.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    pub phone: bool,
    pub dark: bool,
}

/// What a console says of a server that was stopped.
pub const SERVER_GONE: &str = "net::ERR_";

pub const PHONE: Look = Look { phone: true, dark: false };

/// A driver process; gone with it are its browsers.
pub struct Driver {
    child: Child,
    port: u16,
}

impl Drop for Driver {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn first_of(paths: &[&'static str]) -> Option<&'static str> {
    paths.iter().copied().find(|path| Path::new(path).exists())
}

impl Driver {
    /// Starts a driver; `None`, said plainly, where there is no browser. On a build machine that is an error.
    pub fn start() -> Option<Self> {
        let Some((driver, _)) = first_of(&DRIVERS).zip(first_of(&BROWSERS)) else {
            assert_ne!(std::env::var("CI").as_deref(), Ok("true"), "chromium and its driver are missing");
            eprintln!("SKIPPED: chromium or chromedriver is not installed, so nothing was tried in a browser");
            return None;
        };
        let mut child = Command::new(driver).arg("--port=0").stdout(Stdio::piped()).spawn().unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let port = lines.map_while(Result::ok).find_map(|line| {
            line.split("on port ").nth(1)?.trim_end_matches('.').trim().parse().ok().filter(|port| *port != 0)
        });
        Some(Self { child, port: port.expect("the driver says its port") })
    }

    /// A browser.
    pub async fn session(&self, look: Look) -> Screen {
        let profile = TempDir::new().unwrap();
        let mut arguments = vec![
            "--headless=new".to_owned(),
            "--no-sandbox".to_owned(),
            "--disable-gpu".to_owned(),
            "--disable-dev-shm-usage".to_owned(),
            "--disable-background-networking".to_owned(),
            "--disable-component-update".to_owned(),
            "--no-first-run".to_owned(),
            "--window-size=1280,800".to_owned(),
            format!("--user-data-dir={}", profile.path().display()),
        ];
        if look.dark {
            arguments.push("--blink-settings=preferredColorScheme=0".to_owned());
        }
        let mut options = json!({ "args": arguments, "binary": first_of(&BROWSERS) });
        if look.phone {
            let metrics = json!({ "width": 390, "height": 844, "pixelRatio": 2, "touch": true });
            options["mobileEmulation"] = json!({ "deviceMetrics": metrics });
        }
        let mut capabilities = Capabilities::new();
        capabilities.insert("goog:chromeOptions".to_owned(), options);
        capabilities.insert("goog:loggingPrefs".to_owned(), json!({ "browser": "ALL" }));
        let mut builder = ClientBuilder::new(HttpConnector::new());
        builder.capabilities(capabilities);
        let client = builder.connect(&format!("http://127.0.0.1:{}", self.port)).await.unwrap();
        Screen { client, _profile: profile }
    }
}

/// A browser that shows a page.
pub struct Screen {
    pub client: Client,
    _profile: TempDir,
}

/// What the console said since it was last asked.
#[derive(Debug)]
struct ConsoleLog;

impl WebDriverCompatibleCommand for ConsoleLog {
    fn endpoint(&self, base: &url::Url, session: Option<&str>) -> Result<url::Url, url::ParseError> {
        base.join(&format!("session/{}/se/log", session.unwrap_or_default()))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(json!({ "type": "browser" }).to_string()))
    }
}

/// A command of the browser's own protocol.
#[derive(Debug)]
struct Protocol(&'static str, Value);

impl WebDriverCompatibleCommand for Protocol {
    fn endpoint(&self, base: &url::Url, session: Option<&str>) -> Result<url::Url, url::ParseError> {
        base.join(&format!("session/{}/goog/cdp/execute", session.unwrap_or_default()))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(json!({ "cmd": self.0, "params": self.1 }).to_string()))
    }
}

impl Screen {
    pub async fn goto(&self, address: &str) {
        self.client.goto(address).await.unwrap();
    }

    /// Runs a script and gives what it returns.
    pub async fn run(&self, script: &str) -> Value {
        self.client.execute(script, Vec::new()).await.unwrap_or_else(|error| panic!("{script}: {error}"))
    }

    pub async fn text(&self, css: &str) -> String {
        let script = format!("return document.querySelector({css:?})?.textContent ?? ''");
        self.run(&script).await.as_str().unwrap_or_default().to_owned()
    }

    /// Waits until a script returns something true.
    pub async fn until(&self, script: &str) -> Value {
        let begun = Instant::now();
        loop {
            let value = self.client.execute(script, Vec::new()).await.unwrap_or(Value::Null);
            let truthy = !matches!(value, Value::Null | Value::Bool(false)) && value != json!("") && value != json!(0);
            if truthy {
                return value;
            }
            if begun.elapsed() > PATIENCE {
                let page = self.text("body").await;
                panic!("never true: {script}\n{}", page.chars().take(3000).collect::<String>());
            }
            tokio::time::sleep(Duration::from_millis(40)).await;
        }
    }

    pub async fn until_text(&self, css: &str, words: &str) {
        let script = format!("return (document.querySelector({css:?})?.textContent ?? '').includes({words:?})");
        self.until(&script).await;
    }

    /// Clicks as a person does: where the element can be seen.
    pub async fn click(&self, css: &str) {
        loop {
            self.until(&format!("return Boolean(document.querySelector({css:?})?.getClientRects().length)")).await;
            self.run(&format!("document.querySelector({css:?})?.scrollIntoView({{ block: 'center' }})")).await;
            let Ok(found) = self.client.find(fantoccini::Locator::Css(css)).await else { continue };
            match found.click().await {
                Ok(()) => return,
                // News put the part in anew between the look and the click: a person would press again.
                Err(error) if error.to_string().contains("stale element") => {}
                Err(error) => panic!("{css} cannot be clicked: {error}"),
            }
        }
    }

    /// Types digits on the page's own pad.
    pub async fn pad(&self, number: &str) {
        for key in number.chars() {
            let name = if key == '.' { "point".to_owned() } else { key.to_string() };
            self.click(&format!(".pad button[aria-label=\"{name}\"]")).await;
        }
    }

    /// Opens the sheet at one of its two sides.
    pub async fn open_sheet(&self, side: &str) {
        if self.run("return document.getElementById('sheet').hidden").await == json!(true) {
            self.click("#write").await;
        }
        self.click(&format!("input[name=page][value={side}]")).await;
    }

    /// What the console said went wrong since it was last asked.
    async fn went_wrong(&self) -> Vec<String> {
        let said = self.client.issue_cmd(ConsoleLog).await.unwrap();
        let severe = said.as_array().into_iter().flatten().filter(|entry| entry["level"] == json!("SEVERE"));
        severe.map(|entry| entry["message"].as_str().unwrap_or_default().to_owned()).collect()
    }

    /// Nothing went wrong in the page but what a test brought about, and that did.
    pub async fn console_says_only(&self, expected: &str) {
        let said = self.went_wrong().await;
        assert!(!said.is_empty(), "{expected} was not said");
        assert!(said.iter().all(|message| message.contains(expected)), "{said:?}");
    }

    /// Shows the page as it would be printed, or as it is.
    pub async fn media(&self, media: &str) {
        self.protocol("Emulation.setEmulatedMedia", json!({ "media": media })).await;
    }

    /// A finger set down and moved; lifted afterwards.
    pub async fn touch(&self, points: &[(f64, f64)]) {
        for (i, (x, y)) in points.iter().enumerate() {
            let kind = if i == 0 { "touchStart" } else { "touchMove" };
            self.protocol("Input.dispatchTouchEvent", json!({ "type": kind, "touchPoints": [{ "x": x, "y": y }] }))
                .await;
        }
        self.protocol("Input.dispatchTouchEvent", json!({ "type": "touchEnd", "touchPoints": [] })).await;
    }

    /// A command of the browser's own protocol.
    pub async fn protocol(&self, command: &'static str, parameters: Value) {
        self.client.issue_cmd(Protocol(command, parameters)).await.unwrap();
    }

    /// Ends the browser, in which nothing may have gone wrong that a test did not ask about.
    pub async fn close(self) {
        let said = self.went_wrong().await;
        assert!(said.is_empty(), "{said:?}");
        let _ = self.client.close().await;
    }
}
