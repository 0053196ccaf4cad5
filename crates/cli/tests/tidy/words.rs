//! Words that have no place in the tree, wherever they stand. They are put together here from pieces, so that this file
//! does not find itself.

use std::path::Path;

/// Files whose text comes from elsewhere and keeps its wording.
const FOREIGN: [&str; 3] = ["Cargo.lock", "LICENSE-APACHE", "LICENSE-MIT"];

/// Names that say nothing about what is in a file.
const EMPTY_NAMES: [&str; 6] = ["utils.rs", "util.rs", "helpers.rs", "helper.rs", "common.rs", "misc.rs"];

/// The forbidden words in lower case, and why.
fn forbidden() -> Vec<(String, &'static str)> {
    let word = |pieces: &[&str]| pieces.concat();
    let unfinished = "unfinished work belongs into an issue";
    let machine = "a path of one machine";
    let registry = "a registry is the business of the build tool";
    let itself = "the project speaks of itself alone";
    vec![
        (word(&["to", "do!"]), unfinished),
        (word(&["to", "do:"]), unfinished),
        (word(&["to", "do("]), unfinished),
        (word(&["fix", "me"]), unfinished),
        (word(&["x", "xx:"]), unfinished),
        (word(&["/wo", "rk/"]), machine),
        (word(&["/t", "mp/"]), machine),
        (word(&["/ro", "ot/"]), machine),
        (word(&["/ho", "me/"]), machine),
        (word(&["crates", ".io"]), registry),
        (word(&["docs", ".rs"]), registry),
        (word(&["py", "pi.org"]), registry),
        (word(&["npm", "js."]), registry),
        (word(&["trans", "cript"]), itself),
        (word(&["seed ", "doc"]), itself),
        (word(&["design ", "doc"]), itself),
    ]
}

/// Forbidden words in a text, and a forbidden file name.
pub fn problems(name: &str, text: &str) -> Vec<String> {
    let file = Path::new(name).file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    let mut found = Vec::new();
    if EMPTY_NAMES.contains(&file.as_str()) {
        found.push(format!("{name}: a file is called after the concept it holds"));
    }
    if FOREIGN.contains(&file.as_str()) {
        return found;
    }
    let words = forbidden();
    for (i, line) in text.lines().enumerate() {
        let line = line.to_lowercase();
        for (word, why) in words.iter().filter(|(word, _)| stands_in(&line, word)) {
            found.push(format!("{name}:{}: `{word}`: {why}", i + 1));
        }
    }
    found
}

/// Whether a word stands in a line; a path only counts where it begins, so `a/b/` does not hold `/b/`.
fn stands_in(line: &str, word: &str) -> bool {
    let begins =
        |at: usize| !line[..at].chars().next_back().is_some_and(|c| c.is_alphanumeric() || "._-$}".contains(c));
    line.match_indices(word).any(|(at, _)| begins(at))
}

#[test]
fn every_forbidden_word_is_found() {
    for (word, _) in forbidden() {
        assert_eq!(problems("a.md", &format!("Here: {}\n", word.to_uppercase())).len(), 1, "{word}");
    }
}

#[test]
fn empty_names_are_found() {
    assert_eq!(problems("crates/engine/src/utils.rs", "").len(), 1);
    assert!(problems("crates/engine/src/conduction.rs", "").is_empty());
}

#[test]
fn parts_of_other_words_are_let_through() {
    for good in ["target/tmp/a", "a home/made loaf", "${x}/tmp/", "the design of documents", "autodocs.rst"] {
        assert!(problems("a.md", good).is_empty(), "{good}");
    }
}
