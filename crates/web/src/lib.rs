//! The kitchen's server: entries come in once each, answers go out, every screen sees what any of them wrote.
//!
//! Plain HTTP. On the loopback address nobody has to say who they are; on the kitchen's network a screen is paired with a
//! code first ([`access`]). A page of another site can neither read nor write here, whatever a browser in the kitchen
//! has open ([`guard`]). This is the only crate that knows HTTP; it reads the clock only through [`Clock`].
#![forbid(unsafe_code)]

pub mod access;
pub mod answers;
pub mod api;
pub mod app;
pub mod assets;
pub mod background;
pub mod boards;
pub mod demo;
pub mod dish_form;
pub mod entries;
pub mod error;
pub mod guard;
pub mod live;
pub mod oven_form;
pub mod oven_form_json;
pub mod oven_preview;
pub mod ovens;
pub mod pages;
pub mod pairing;
pub mod watch;

pub use access::{Access, Reach};
pub use app::{App, Clock, router, serve};
pub use demo::Demo;
pub use error::WebError;
