//! Tests of the pictures, in one binary.
#![allow(clippy::unwrap_used, reason = "test support: a panic is a failed test")]

mod any_input;
mod json;
mod past_day;
mod pictures;
mod scene;
mod touch;
mod touch_oven;
mod walls;
mod xml;
