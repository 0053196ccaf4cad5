//! Physics, food, files' text, learning, planning and drawing open nothing, read no clock and print nothing.

use crate::source::Source;

/// The crates that do no input or output.
pub const CRATES: [&str; 7] = ["engine", "food", "record", "learn", "plan", "draw", "answer"];

/// What they may not name, and why.
const BANNED: [(&str, &str); 17] = [
    ("std::fs", "opens files"),
    ("std::net", "opens sockets"),
    ("std::env", "reads the environment"),
    ("std::process", "starts or ends processes"),
    ("SystemTime", "reads the clock"),
    ("Instant", "reads the clock"),
    ("Zoned::now", "reads the clock"),
    ("Timestamp::now", "reads the clock"),
    ("TimeZone::system", "reads the machine's settings"),
    ("println!", "prints"),
    ("print!", "prints"),
    ("eprintln!", "prints"),
    ("eprint!", "prints"),
    ("dbg!", "prints"),
    ("thread_rng", "draws from a random source"),
    ("from_os_rng", "draws from a random source"),
    ("async fn", "runs tasks"),
];

/// Whether `word` stands at `at` and is not the end of a longer word.
fn stands_alone(code: &str, at: usize, word: &str) -> bool {
    let letter = |c: char| c.is_alphanumeric() || c == '_';
    !code[..at].chars().next_back().is_some_and(letter)
        && (!word.ends_with(letter) || !code[at + word.len()..].chars().next().is_some_and(letter))
}

/// What a file of such a crate names that it may not.
pub fn problems(source: &Source) -> Vec<String> {
    let flat = grouped_imports(&source.code);
    let mut found = Vec::new();
    for (word, why) in BANNED {
        for (at, _) in source.code.match_indices(word).filter(|(at, _)| stands_alone(&source.code, *at, word)) {
            found.push(format!("{}:{}: `{word}` {why}; only the command line may", source.name, source.line_of(at)));
        }
        if flat.iter().any(|path| path == word) {
            found.push(format!("{}: imports `{word}`, which {why}; only the command line may", source.name));
        }
    }
    found
}

/// The first segments behind a braced import from the standard library: `use std::{fs, fmt}` gives `std::fs`, `std::fmt`.
fn grouped_imports(code: &str) -> Vec<String> {
    let mut paths = Vec::new();
    for part in code.split("use std::{").skip(1) {
        let inside = part.split(';').next().unwrap_or_default();
        let segments = inside.split([',', '{', '}']).map(str::trim).filter(|s| !s.is_empty());
        paths.extend(segments.map(|s| format!("std::{}", s.split("::").next().unwrap_or_default())));
    }
    paths
}

#[test]
fn input_and_output_are_found() {
    for bad in [
        "use std::fs;\n",
        "use std::{fmt, fs};\n",
        "use std::{fmt, process::Command};\n",
        "fn f() { let t = std::time::Instant::now(); }\n",
        "fn f() { println!(\"x\"); }\n",
        "fn f() { eprintln!(\"x\"); }\n",
        "fn f() { std::process::exit(1) }\n",
    ] {
        assert_eq!(problems(&Source::new("bad.rs", bad)).len(), 1, "{bad}");
    }
}

#[test]
fn what_only_looks_like_it_is_let_through() {
    for good in [
        "// std::fs is not for here\n",
        "const A: &str = \"std::fs\";\n",
        "struct InstantReading;\n",
        "const D: &str = include_str!(\"a.toml\");\n",
        "#[cfg(test)]\nmod tests {\n    use std::fs;\n}\n",
    ] {
        assert!(problems(&Source::new("good.rs", good)).is_empty(), "{good}");
    }
}
