//! Every module says what it does; modules of the engine also give equation, validity and source.

use crate::source::Source;

/// The headings an engine module must have.
const ENGINE_HEADINGS: [&str; 3] = ["# Equation", "# Validity", "# Source"];

/// What is wrong with a module's header.
pub fn problems(source: &Source, engine: bool) -> Vec<String> {
    let header: Vec<&str> = source.text.lines().take_while(|line| line.starts_with("//!")).collect();
    if header.first().is_none_or(|line| line.trim_start_matches("//!").trim().is_empty()) {
        return vec![format!("{}: does not start with a `//!` line that says what the module does", source.name)];
    }
    if !engine {
        return Vec::new();
    }
    ENGINE_HEADINGS
        .iter()
        .filter(|heading| !header.iter().any(|line| line.trim_start_matches("//!").trim().starts_with(*heading)))
        .map(|heading| format!("{}: the module header has no `{heading}` heading", source.name))
        .collect()
}

#[test]
fn a_missing_header_is_found() {
    assert_eq!(problems(&Source::new("a.rs", "use std::fmt;\n"), false).len(), 1);
    assert_eq!(problems(&Source::new("a.rs", "//!\n"), false).len(), 1);
    assert_eq!(problems(&Source::new("a.rs", "//! Roots.\n"), false).len(), 0);
}

#[test]
fn a_missing_heading_is_found() {
    let bad = Source::new("a.rs", "//! Heat.\n//!\n//! # Equation\n//! q = k dT/dx\n\n//! # Source\n");
    assert_eq!(problems(&bad, true).len(), 2, "validity is missing, and the source stands outside of the header");
    let good = Source::new("a.rs", "//! Heat.\n//! # Equations\n//! # Validity\n//! # Source\n");
    assert!(problems(&good, true).is_empty());
}
