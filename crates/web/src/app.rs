//! The parts of a running server, and its routes.

use crate::access::Access;
use crate::answers::Answers;
use crate::demo::Demo;
use crate::error::WebError;
use crate::live::Live;
use crate::{api, assets, background, entries, guard, oven_form_json, ovens, pages, pairing, watch};
use axum::Router;
use axum::extract::{ConnectInfo, DefaultBodyLimit, FromRequestParts};
use axum::http::request::Parts;
use axum::http::{StatusCode, header};
use axum::middleware;
use axum::response::Redirect;
use axum::routing::{delete, get, post};
use jiff::Timestamp;
use ovenfall_answer::{Board, MenuBoard};
use ovenfall_store::{DayId, Store};
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::sync::{Notify, Semaphore};
use tower_http::compression::CompressionLayer;
use tower_http::timeout::TimeoutLayer;

/// Serves until `stop` is done; then every connection is dropped, also the ones that never end by themselves.
///
/// # Errors
/// When the listener fails.
pub async fn serve(listener: TcpListener, app: App, stop: impl Future<Output = ()>) -> std::io::Result<()> {
    let background = background::run(app.clone());
    let service = router(app).into_make_service_with_connect_info::<SocketAddr>();
    tokio::select! {
        served = axum::serve(listener, service) => served,
        () = background => Ok(()),
        () = stop => Ok(()),
    }
}

/// Name of the cookie that holds a screen's token.
pub const COOKIE: &str = "ovenfall_screen";
/// Largest request, bytes: a queue of some thousand entries.
const LARGEST_REQUEST: usize = 2 * 1024 * 1024;

/// A request whose answer has not begun by then is dropped; streams of news begin at once.
const LONGEST_ANSWER: Duration = Duration::from_secs(60);

/// Tells the time; a test may give its own.
pub type Clock = Arc<dyn Fn() -> Timestamp + Send + Sync>;

/// A running server.
#[derive(Clone)]
pub struct App {
    /// Where everything is kept.
    pub store: Arc<Store>,
    /// Who may come in.
    pub access: Arc<Access>,
    /// Who is told of news.
    pub live: Live,
    /// The time.
    pub clock: Clock,
    /// What is told of the days.
    pub boards: Arc<Answers<Board>>,
    /// When the oven suits the dishes of the days.
    pub menus: Arc<Answers<MenuBoard>>,
    /// Told when an answer is asked for.
    pub asked: Arc<Notify>,
    /// Held by whoever looks back on a day: one at a time.
    pub looks_back: Arc<Semaphore>,
    /// The demo, where there is one.
    pub demo: Option<Arc<Demo>>,
    /// Where the kitchen's network reaches the server, such as `http://192.168.1.7:8020`, the likeliest first.
    pub addresses: Arc<[String]>,
}

impl App {
    /// A server on a data file.
    #[must_use]
    pub fn new(store: Arc<Store>, access: Arc<Access>, clock: Clock) -> Self {
        let asked = Arc::new(Notify::new());
        let (boards, menus) = (Answers::new(Arc::clone(&asked)), Answers::new(Arc::clone(&asked)));
        Self {
            store,
            access,
            live: Live::default(),
            clock,
            boards: Arc::new(boards),
            menus: Arc::new(menus),
            asked,
            looks_back: Arc::new(Semaphore::new(1)),
            demo: None,
            addresses: Arc::default(),
        }
    }

    /// The same with a demo to play with.
    #[must_use]
    pub fn with_demo(self, demo: Demo) -> Self {
        Self { demo: Some(Arc::new(demo)), ..self }
    }

    /// The same with the addresses at which the kitchen's network reaches it.
    #[must_use]
    pub fn with_addresses(self, addresses: Vec<String>) -> Self {
        Self { addresses: addresses.into(), ..self }
    }

    /// The time on a day's clock: the demo has its own.
    #[must_use]
    pub fn now_on(&self, day: &DayId) -> Timestamp {
        self.demo.as_ref().and_then(|demo| demo.now_on(day)).unwrap_or_else(|| self.now())
    }

    /// The time.
    #[must_use]
    pub fn now(&self) -> Timestamp {
        (self.clock)()
    }

    /// Runs what waits for the disk off the threads that serve everybody.
    ///
    /// # Errors
    /// What `f` says; [`WebError::Unfinished`] when it could not be finished.
    pub async fn on_disk<T: Send + 'static>(
        &self,
        f: impl FnOnce(&Store) -> Result<T, WebError> + Send + 'static,
    ) -> Result<T, WebError> {
        let store = Arc::clone(&self.store);
        let done = tokio::task::spawn_blocking(move || f(&store)).await;
        done.unwrap_or_else(|error| Err(WebError::Unfinished(error.to_string())))
    }
}

/// Somebody who may come in, by the name they gave.
#[derive(Debug, Clone)]
pub struct Who(pub String);

/// The token in a request's cookies.
#[must_use]
pub fn token(parts: &Parts) -> Option<String> {
    let cookies = parts.headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
    let mut pairs = cookies.flat_map(|cookies| cookies.split(';')).filter_map(|pair| pair.trim().split_once('='));
    pairs.find(|(name, _)| *name == COOKIE).map(|(_, value)| value.to_owned())
}

/// Whether a request comes from this machine.
#[must_use]
pub fn at_the_machine(parts: &Parts) -> bool {
    let peer = parts.extensions.get::<ConnectInfo<SocketAddr>>();
    peer.is_some_and(|ConnectInfo(peer)| peer.ip().to_canonical().is_loopback())
}

impl FromRequestParts<App> for Who {
    type Rejection = WebError;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, WebError> {
        app.access.who(token(parts).as_deref(), at_the_machine(parts)).map(Who)
    }
}

/// Somebody who may see pages. A screen that is not paired is shown how to be.
#[derive(Debug, Clone)]
pub struct PageWho(pub String);

impl FromRequestParts<App> for PageWho {
    type Rejection = Redirect;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Redirect> {
        app.access.who(token(parts).as_deref(), at_the_machine(parts)).map(Self).map_err(|_| Redirect::to("/pair"))
    }
}

/// All routes.
pub fn router(app: App) -> Router {
    Router::new()
        .route("/", get(pages::front))
        .route("/static/{version}/{name}", get(assets::file))
        .route("/first", get(pages::first::page).post(pages::first::save))
        .route("/ovens", get(pages::ovens::page))
        .route("/ovens/{oven}", get(pages::oven::page).post(pages::oven::save))
        .route("/api/ovens/preview", post(oven_form_json::preview))
        .route("/api/ovens/{oven}/fields", get(oven_form_json::fields).put(oven_form_json::put_fields))
        .route("/ovens/{oven}/days", get(pages::days::page))
        .route("/ovens/{oven}/days/{day}", get(pages::days::day_page))
        .route("/parts/days/{day}/entries", get(pages::days::entries_part))
        .route("/parts/days/{day}/past", get(pages::days::past_part))
        .route("/api/days/{day}/past", get(pages::days::past_json))
        .route("/ovens/{oven}/menu", get(pages::menu::page).post(pages::menu::copy))
        .route("/ovens/{oven}/menu/dish", get(pages::dish::page).post(pages::dish::save))
        .route("/ovens/{oven}/menu/wood", get(pages::dish::wood_page).post(pages::dish::save_wood))
        .route("/parts/days/{day}/menu", get(pages::menu::part))
        .route("/api/days/{day}/menu", get(api::menu))
        .route("/api/days/{day}/pots", get(api::pots).put(api::put_pots))
        .route("/ovens/{oven}/now", get(pages::now::page))
        .route("/parts/days/{day}/board", get(pages::now::board_part))
        .route("/parts/days/{day}/touch", get(pages::now::touch_part))
        .route("/parts/days/{day}/written", get(pages::now::written_part))
        .route("/api/days/{day}/board", get(api::board))
        .route("/api/demo", post(api::demo))
        .route("/api/ovens", get(ovens::list).post(oven_form_json::create))
        .route("/api/ovens/{oven}", get(ovens::text).put(ovens::write))
        .route("/api/ovens/{oven}/days", get(ovens::days))
        .route("/api/ovens/{oven}/days/{day}", post(ovens::begin_day))
        .route("/api/days/{day}", get(entries::day))
        .route("/api/days/{day}/entries", post(entries::append))
        .route("/api/days/{day}/live", get(watch::day))
        .route("/pair", get(pages::pair::page).post(pages::pair::pair))
        .route("/screens", get(pages::screens::page).post(pages::screens::keys))
        .route("/api/pair", post(pairing::pair).delete(pairing::forget))
        .route("/api/me", get(pairing::me).put(pairing::name_me))
        .route("/api/pairing", get(pairing::pairing))
        .route("/api/pairing/renew", post(pairing::renew))
        .route("/api/screens/{id}", delete(pairing::forget_other))
        .fallback(pages::pair::nowhere)
        .layer(DefaultBodyLimit::max(LARGEST_REQUEST))
        .layer(middleware::from_fn(guard::guard))
        // Streams of news are left alone: a compressed one would wait for more.
        .layer(CompressionLayer::new())
        .layer(TimeoutLayer::with_status_code(StatusCode::REQUEST_TIMEOUT, LONGEST_ANSWER))
        .with_state(app)
}
