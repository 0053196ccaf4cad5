//! What really came of a day is for the scorer: no forecast, prior, default or test of a forecast may read it. So the word
//! stands in code and text of the scorer only; comments may speak of it.

use crate::source::Source;

/// Sources that may name it: its reader, and the verb that scores.
const SCORER: [&str; 5] = [
    "crates/record/src/truth.rs",
    "crates/record/src/lib.rs",
    "crates/cli/src/came.rs",
    "crates/cli/src/commands/replay.rs",
    "crates/cli/src/arguments.rs",
];

/// Tests that may open such files: of the scorer, and this one.
const TESTS: [&str; 2] = ["crates/cli/tests/replay.rs", "crates/cli/tests/tidy/scorer_only.rs"];

/// The word, and the way to what came.
const WORDS: [&str; 2] = ["truth", "came::"];

/// Names of the files, and their reader.
const FILES: [&str; 3] = ["truth.csv", "truth.json", "read_truth"];

/// Files outside the scorer that call the module with what came.
const CALLERS: [&str; 2] = ["crates/cli/src/replayed.rs", "crates/cli/src/main.rs"];

/// What a library or program source names that it may not.
pub fn problems(source: &Source) -> Vec<String> {
    if SCORER.contains(&source.name.as_str()) {
        return Vec::new();
    }
    let allowed = |word: &str| word == "came::" && CALLERS.contains(&source.name.as_str());
    found(source, WORDS.into_iter().filter(|word| !allowed(word)))
}

/// What a test, bench or example opens that it may not.
pub fn problems_of_test(source: &Source) -> Vec<String> {
    if TESTS.contains(&source.name.as_str()) { Vec::new() } else { found(source, FILES.into_iter()) }
}

fn found<'a>(source: &Source, words: impl Iterator<Item = &'a str>) -> Vec<String> {
    let blanked =
        |line: &str| if line.trim_start().starts_with("//") { " ".repeat(line.len()) } else { line.to_owned() };
    let text = source.text.lines().map(blanked).collect::<Vec<_>>().join("\n").to_ascii_lowercase();
    let of = |word: &'a str| text.match_indices(word).map(move |(at, _)| (at, word)).collect::<Vec<_>>();
    let places = words.flat_map(of);
    places.map(|(at, word)| format!("{}:{}: `{word}`: only the scorer may", source.name, source.line_of(at))).collect()
}

#[test]
fn a_forecast_that_looks_ahead_is_found() {
    let bad = Source::new("crates/learn/src/prior.rs", "use ovenfall_record::truth::read_truth;\n");
    assert_eq!(problems(&bad).len(), 2);
    let in_text = Source::new("crates/learn/src/fall.rs", "fn f() { g(\"A1/truth.csv.gz\") }\n");
    assert_eq!(problems(&in_text).len(), 1);
    let sly = Source::new("crates/cli/src/forecast.rs", "use crate::came::Came;\n");
    assert_eq!(problems(&sly).len(), 1);
    let test = Source::new("crates/learn/tests/forecast/day.rs", "const FILE: &str = \"A1/truth.json\";\n");
    assert_eq!(problems_of_test(&test).len(), 1);
}

#[test]
fn the_scorer_is_let_through() {
    assert!(problems(&Source::new("crates/record/src/truth.rs", "pub fn read_truth() {}\n")).is_empty());
    assert!(problems(&Source::new("crates/cli/src/replayed.rs", "use crate::came::Came;\n")).is_empty());
    assert!(problems(&Source::new("crates/learn/src/fall.rs", "//! Near the truth.\n")).is_empty(), "a comment");
    let own_words = Source::new("crates/learn/tests/forecast/condition.rs", "fn truth(seed: u64) {}\n");
    assert!(problems_of_test(&own_words).is_empty(), "a synthetic oven's own");
}
