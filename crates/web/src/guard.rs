//! Keeps pages of other sites out: a browser in the kitchen may have any page open, and that page may send requests here.
//!
//! Two checks. The name a request is sent to must be an address or `localhost`: a site that points a name of its own
//! here (rebinding) is turned away. A request that may change something must come from a page of this server: browsers
//! say so in `Sec-Fetch-Site`, or else in `Origin`.

use crate::error::WebError;
use axum::extract::Request;
use axum::http::{HeaderMap, HeaderValue, Method, header};
use axum::middleware::Next;
use axum::response::Response;
use std::net::IpAddr;

/// The host of `host:port`, without brackets of an IPv6 address.
fn host_of(authority: &str) -> &str {
    match authority.strip_prefix('[') {
        Some(rest) => rest.split(']').next().unwrap_or_default(),
        None => authority.rsplit_once(':').map_or(authority, |(host, _)| host),
    }
}

fn ours(authority: &str) -> bool {
    let host = host_of(authority);
    host.eq_ignore_ascii_case("localhost") || host.parse::<IpAddr>().is_ok()
}

fn text<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    headers.get(name).and_then(|value| value.to_str().ok())
}

/// Whether a request may go on.
///
/// # Errors
/// [`WebError::FromElsewhere`] when not.
pub fn check(method: &Method, headers: &HeaderMap) -> Result<(), WebError> {
    let host = text(headers, header::HOST.as_str()).ok_or(WebError::FromElsewhere("no host is named"))?;
    if !ours(host) {
        return Err(WebError::FromElsewhere("use the address, not a name"));
    }
    if matches!(*method, Method::GET | Method::HEAD) {
        return Ok(());
    }
    match (text(headers, "sec-fetch-site"), text(headers, header::ORIGIN.as_str())) {
        (Some("same-origin"), _) => Ok(()),
        (Some(_), _) => Err(WebError::FromElsewhere("sent by a page of another site")),
        (None, Some(origin)) if origin == format!("http://{host}") => Ok(()),
        (None, Some(_)) => Err(WebError::FromElsewhere("sent by a page of another site")),
        // No browser: a script or a probe's sender says neither.
        (None, None) => Ok(()),
    }
}

/// What a page may load and who may frame it: only this server, nothing from elsewhere, no script in the page's own text.
const POLICY: &str =
    "default-src 'self'; img-src 'self' data:; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";

/// Puts the heads on an answer that keep a page to this server and out of other people's caches.
fn close(answer: &mut Response) {
    let heads = answer.headers_mut();
    heads.insert(header::CONTENT_SECURITY_POLICY, HeaderValue::from_static(POLICY));
    heads.insert(header::X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff"));
    // Not `no-referrer`: with it a browser names no origin for a form of our own either, on an address it does not trust.
    heads.insert(header::REFERRER_POLICY, HeaderValue::from_static("same-origin"));
    heads.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
}

/// The check as a layer.
///
/// # Errors
/// As [`check`].
pub async fn guard(request: Request, next: Next) -> Result<Response, WebError> {
    check(request.method(), request.headers())?;
    let mut answer = next.run(request).await;
    close(&mut answer);
    Ok(answer)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn allowed(method: &Method, pairs: &[(&'static str, &'static str)]) -> bool {
        let headers = pairs
            .iter()
            .map(|(name, value)| (axum::http::HeaderName::from_static(name), HeaderValue::from_static(value)));
        check(method, &headers.collect()).is_ok()
    }

    #[test]
    fn only_addresses_and_localhost_are_names_of_ours() {
        for host in ["127.0.0.1:8020", "localhost:8020", "[::1]:8020", "192.168.1.7"] {
            assert!(allowed(&Method::GET, &[("host", host)]), "{host}");
        }
        for host in ["evil.example", "evil.example:8020", "127.0.0.1.evil.example", ""] {
            assert!(!allowed(&Method::GET, &[("host", host)]), "{host}");
        }
        assert!(!allowed(&Method::GET, &[]));
    }

    #[test]
    fn a_page_of_another_site_changes_nothing() {
        let host = ("host", "192.168.1.7:8020");
        let post = |more: &[(&'static str, &'static str)]| allowed(&Method::POST, &[&[host], more].concat());
        assert!(post(&[]));
        assert!(post(&[("sec-fetch-site", "same-origin")]));
        assert!(post(&[("origin", "http://192.168.1.7:8020")]));
        assert!(!post(&[("sec-fetch-site", "cross-site")]));
        assert!(!post(&[("sec-fetch-site", "none"), ("origin", "null")]));
        assert!(!post(&[("origin", "http://evil.example")]));
        assert!(!post(&[("origin", "http://192.168.1.7:9999")]));
    }
}
