//! The architecture page names the crates there are, all of them and no other.

use std::collections::BTreeSet;

/// Crate folders a text names as `crates/<folder>`.
fn named(text: &str) -> BTreeSet<String> {
    let folder = |part: &str| {
        part.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '-' || *c == '_').collect::<String>()
    };
    text.split("crates/").skip(1).map(folder).filter(|name| !name.is_empty()).collect()
}

/// Differences between the page and the workspace.
pub fn problems(page: &str, crates: &[String]) -> Vec<String> {
    let (named, there) = (named(page), crates.iter().cloned().collect::<BTreeSet<_>>());
    let missing = there.difference(&named).map(|name| format!("ARCHITECTURE.md: does not name `crates/{name}`"));
    let gone =
        named.difference(&there).map(|name| format!("ARCHITECTURE.md: names `crates/{name}`, which is not there"));
    missing.chain(gone).collect()
}

#[test]
fn a_list_that_has_drifted_is_found() {
    let there = ["engine".to_string(), "food".to_string()];
    assert_eq!(problems("`crates/engine`: physics\n", &there).len(), 1);
    assert_eq!(problems("crates/engine/src, crates/food, crates/gone/src\n", &there).len(), 1);
    assert!(problems("all live in `crates/*`: crates/engine crates/food/\n", &there).is_empty());
}
