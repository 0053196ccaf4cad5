//! Pairing a screen, naming it, and forgetting it.

use crate::access::{self, Reach, hash};
use crate::app::{App, COOKIE, Who, at_the_machine, token};
use crate::error::WebError;
use axum::Json;
use axum::extract::rejection::JsonRejection;
use axum::extract::{Path, Request, State};
use axum::http::request::Parts;
use axum::http::{StatusCode, header};
use axum::response::{AppendHeaders, IntoResponse};
use ovenfall_store::TokenHash;
use qrcode::render::svg;
use qrcode::{EcLevel, QrCode};
use serde::{Deserialize, Serialize};

/// How long a screen stays paired, s: a year; a phone that is used stays paired.
const STAYS_S: u32 = 31_536_000;
/// Least size of the square code, px.
const SQUARE_PX: u32 = 240;
/// Hexadecimal digits that tell one screen from another in a list.
const ID_DIGITS: usize = 16;

/// What a screen sends to be paired.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pair {
    /// The code, with or without blanks.
    pub code: String,
    /// Who writes on the screen.
    #[serde(default)]
    pub who: String,
}

/// The cookie that holds a token. No `Secure`: a kitchen's network has plain HTTP. `Strict` keeps the token from going out with
/// links from elsewhere.
#[must_use]
pub fn cookie(token: &str) -> String {
    format!("{COOKIE}={token}; Path=/; HttpOnly; SameSite=Strict; Max-Age={STAYS_S}")
}

impl App {
    /// Pairs a screen: the right code gives a token.
    ///
    /// # Errors
    /// [`WebError::WrongCode`], [`WebError::TooManyTries`], or what the store says.
    pub async fn pair(&self, sent: &Pair) -> Result<String, WebError> {
        self.access.check(&sent.code, self.now())?;
        self.let_in(&access::name(&sent.who)).await
    }

    /// Lets a new screen in under a name, and keeps it.
    async fn let_in(&self, who: &str) -> Result<String, WebError> {
        let token = access::new_token(&mut rand::rng());
        self.keep_screen(hash(&token), who).await?;
        Ok(token)
    }

    async fn keep_screen(&self, token: TokenHash, who: &str) -> Result<(), WebError> {
        let (now, name) = (self.now(), who.to_owned());
        self.on_disk(move |store| Ok(store.keep_screen(&token, &name, now)?)).await?;
        self.access.let_in(token, who.to_owned());
        Ok(())
    }

    async fn forget_screen(&self, token: TokenHash) -> Result<(), WebError> {
        let now = self.now();
        self.access.forget(&token);
        self.on_disk(move |store| Ok(store.forget_screen(&token, now)?)).await
    }

    /// Addresses at which other screens are paired, with the code in them.
    #[must_use]
    pub fn pairing_addresses(&self) -> Vec<String> {
        let code = self.access.code();
        self.addresses.iter().map(|address| format!("{address}/pair?code={code}")).collect()
    }
}

/// `POST /api/pair`: the code on the oven's screen, and a name to write entries under.
///
/// # Errors
/// [`WebError::WrongCode`], [`WebError::TooManyTries`].
pub async fn pair(
    State(app): State<App>,
    sent: Result<Json<Pair>, JsonRejection>,
) -> Result<impl IntoResponse, WebError> {
    let Json(sent) = sent?;
    let token = app.pair(&sent).await?;
    Ok((StatusCode::NO_CONTENT, AppendHeaders([(header::SET_COOKIE, cookie(&token))])))
}

/// `DELETE /api/pair`: forgets this screen.
///
/// # Errors
/// What the store says.
pub async fn forget(State(app): State<App>, request: Request) -> Result<impl IntoResponse, WebError> {
    let (parts, _) = request.into_parts();
    if let Some(token) = token(&parts) {
        app.forget_screen(hash(&token)).await?;
    }
    let cookie = format!("{COOKIE}=; Path=/; HttpOnly; SameSite=Strict; Max-Age=0");
    Ok((StatusCode::NO_CONTENT, AppendHeaders([(header::SET_COOKIE, cookie)])))
}

/// How this screen stands.
#[derive(Debug, Serialize)]
pub struct Me {
    who: String,
    /// Whether it is known by a token, not only by sitting at the machine.
    paired: bool,
    /// Whether other screens can be paired.
    lan: bool,
}

fn me_of(app: &App, parts: &Parts) -> Result<Me, WebError> {
    let token = token(parts);
    let who = app.access.who(token.as_deref(), at_the_machine(parts))?;
    let paired = app.access.holder(token.as_deref()).is_some();
    Ok(Me { who, paired, lan: app.access.reach() == Reach::Lan })
}

/// `GET /api/me`: who writes on this screen.
///
/// # Errors
/// [`WebError::NotPaired`].
pub async fn me(State(app): State<App>, parts: Parts) -> Result<Json<Me>, WebError> {
    me_of(&app, &parts).map(Json)
}

/// A name for this screen.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Named {
    who: String,
}

/// `PUT /api/me`: names this screen. At the machine itself, where nobody has to pair, it gets a token to be known by.
///
/// # Errors
/// [`WebError::NotPaired`], or what the store says.
pub async fn name_me(
    State(app): State<App>,
    parts: Parts,
    sent: Result<Json<Named>, JsonRejection>,
) -> Result<impl IntoResponse, WebError> {
    let Json(Named { who }) = sent?;
    let (me, who) = (me_of(&app, &parts)?, access::name(&who));
    let mut heads = Vec::new();
    match token(&parts).filter(|_| me.paired) {
        Some(token) => app.keep_screen(hash(&token), &who).await?,
        None => heads.push((header::SET_COOKIE, cookie(&app.let_in(&who).await?))),
    }
    let me = Me { who, paired: true, ..me };
    Ok((heads.pop().map(|head| AppendHeaders([head])), Json(me)))
}

/// The square code of an address, as SVG: dark on light whatever the page's colours are, or no camera reads it.
#[must_use]
pub fn square(address: &str) -> String {
    let code = QrCode::with_error_correction_level(address, EcLevel::M);
    code.map(|code| {
        code.render::<svg::Color<'_>>()
            .min_dimensions(SQUARE_PX, SQUARE_PX)
            .dark_color(svg::Color("#000000"))
            .light_color(svg::Color("#ffffff"))
            .build()
    })
    .unwrap_or_default()
}

/// How other screens are paired.
#[derive(Debug, Serialize)]
pub struct Pairing {
    /// Whether others can reach the server at all.
    pub lan: bool,
    /// The code.
    pub code: String,
    /// Where they go, the likeliest first.
    pub addresses: Vec<String>,
    /// The first of them as a square code.
    pub square_svg: Option<String>,
    /// The screens that are paired.
    pub screens: Vec<ScreenRow>,
}

/// A screen in a list.
#[derive(Debug, Serialize)]
pub struct ScreenRow {
    /// What tells it from others; no secret.
    pub id: String,
    /// Who writes on it.
    pub who: String,
    /// When it was paired.
    pub paired: String,
}

fn id_of(token: &TokenHash) -> String {
    token.iter().map(|byte| format!("{byte:02x}")).collect::<String>().chars().take(ID_DIGITS).collect()
}

impl App {
    /// How other screens are paired, and which are.
    ///
    /// # Errors
    /// What the store says.
    pub async fn pairing(&self) -> Result<Pairing, WebError> {
        let screens = self.on_disk(|store| Ok(store.screens()?)).await?;
        let row = |screen: ovenfall_store::Screen| ScreenRow {
            id: id_of(&screen.token),
            who: screen.who,
            paired: screen.paired,
        };
        let addresses = self.pairing_addresses();
        Ok(Pairing {
            lan: self.access.reach() == Reach::Lan,
            code: self.access.code(),
            square_svg: addresses.first().map(|address| square(address)),
            addresses,
            screens: screens.into_iter().map(row).collect(),
        })
    }

    /// Forgets the screen with an id of a list. Whether there was one.
    ///
    /// # Errors
    /// What the store says.
    pub async fn forget_by_id(&self, id: &str) -> Result<bool, WebError> {
        let screens = self.on_disk(|store| Ok(store.screens()?)).await?;
        match screens.into_iter().find(|screen| id_of(&screen.token) == id) {
            Some(screen) => self.forget_screen(screen.token).await.map(|()| true),
            None => Ok(false),
        }
    }
}

/// `GET /api/pairing`: code, addresses and screens, for whoever may come in already.
///
/// # Errors
/// [`WebError::NotPaired`], or what the store says.
pub async fn pairing(State(app): State<App>, Who(_): Who) -> Result<Json<Pairing>, WebError> {
    app.pairing().await.map(Json)
}

/// `POST /api/pairing/renew`: a new code.
///
/// # Errors
/// [`WebError::NotPaired`].
pub async fn renew(State(app): State<App>, Who(_): Who) -> Result<Json<Pairing>, WebError> {
    app.access.renew(&mut rand::rng());
    app.pairing().await.map(Json)
}

/// `DELETE /api/screens/{id}`: forgets a screen.
///
/// # Errors
/// [`WebError::NoSuchPage`] when there is none.
pub async fn forget_other(State(app): State<App>, Path(id): Path<String>, Who(_): Who) -> Result<StatusCode, WebError> {
    if app.forget_by_id(&id).await? { Ok(StatusCode::NO_CONTENT) } else { Err(WebError::NoSuchPage) }
}
