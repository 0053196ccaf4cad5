//! Style sheets and scripts of the pages, built into the binary. Their address carries a hash of all of them, so that a
//! browser keeps them for good and never mixes two versions.

use crate::error::WebError;
use axum::extract::Path;
use axum::http::header;
use axum::response::IntoResponse;
use ovenfall_draw::theme::page_css;
use ovenfall_draw::touch::TOUCH_JS;
use sha2::{Digest, Sha256};
use std::sync::LazyLock;

const CSS: &str = "text/css; charset=utf-8";
const JS: &str = "text/javascript; charset=utf-8";

/// Name, type and text of every file.
const FILES: [(&str, &str, &str); 21] = [
    ("house.css", CSS, include_str!("static/house.css")),
    ("now.css", CSS, include_str!("static/now.css")),
    ("theme.js", JS, include_str!("static/theme.js")),
    ("clock.js", JS, include_str!("static/clock.js")),
    ("queue.js", JS, include_str!("static/queue.js")),
    ("live.js", JS, include_str!("static/live.js")),
    ("elements.js", JS, include_str!("static/elements.js")),
    ("touch.js", JS, TOUCH_JS),
    ("pad.js", JS, include_str!("static/pad.js")),
    ("now.js", JS, include_str!("static/now.js")),
    ("oven.css", CSS, include_str!("static/oven.css")),
    ("oven.js", JS, include_str!("static/oven.js")),
    ("menu.css", CSS, include_str!("static/menu.css")),
    ("menu.js", JS, include_str!("static/menu.js")),
    ("dish.js", JS, include_str!("static/dish.js")),
    ("parts.js", JS, include_str!("static/parts.js")),
    ("days.css", CSS, include_str!("static/days.css")),
    ("days.js", JS, include_str!("static/days.js")),
    ("take_back.js", JS, include_str!("static/take_back.js")),
    ("screens.js", JS, include_str!("static/screens.js")),
    ("write.js", JS, include_str!("static/write.js")),
];

/// Hash of all files: a part of their address.
static VERSION: LazyLock<String> = LazyLock::new(|| {
    let mut sha = Sha256::new();
    for (name, _, text) in FILES {
        sha.update(name.as_bytes());
        sha.update(text.as_bytes());
    }
    sha.update(page_css().as_bytes());
    sha.finalize().iter().take(8).map(|byte| format!("{byte:02x}")).collect()
});

/// The colours of pictures and pages, then the sheet of the house.
static HOUSE: LazyLock<String> = LazyLock::new(|| page_css() + include_str!("static/house.css"));

/// The address of a file.
#[must_use]
pub fn address(name: &str) -> String {
    format!("/static/{}/{name}", *VERSION)
}

/// `GET /static/{version}/{name}`. An old version gets the new file, kept by nobody.
///
/// # Errors
/// [`WebError::NoSuchPage`].
pub async fn file(Path((version, name)): Path<(String, String)>) -> Result<impl IntoResponse, WebError> {
    let (_, kind, text) = FILES.iter().find(|(known, _, _)| *known == name).ok_or(WebError::NoSuchPage)?;
    let text: &'static str = if name == "house.css" { HOUSE.as_str() } else { text };
    let keep = if version == *VERSION { "public, max-age=31536000, immutable" } else { "no-store" };
    Ok(([(header::CONTENT_TYPE, *kind), (header::CACHE_CONTROL, keep)], text))
}
