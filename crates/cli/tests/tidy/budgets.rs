//! Files and functions stay small enough to be read at one go.

use crate::source::Source;

/// Nine files in ten have at most this many lines of code.
const FILE_P90: usize = 400;
/// No file is longer than this, comments and tests included.
const FILE_MAX: usize = 600;
/// Half of all functions have at most this many lines.
const FUNCTION_MEDIAN: usize = 12;
/// Nine functions in ten have at most this many lines.
const FUNCTION_P90: usize = 45;
/// No function is longer than this.
const FUNCTION_MAX: usize = 100;

/// The q-th part of sorted values, by the nearest rank.
fn quantile(mut values: Vec<usize>, q: f64) -> usize {
    values.sort_unstable();
    let rank = (q * values.len() as f64).ceil() as usize;
    values.get(rank.saturating_sub(1)).copied().unwrap_or(0)
}

/// Files that are too long, whatever they hold.
pub fn long_files(sources: &[Source]) -> Vec<String> {
    let lines = |s: &Source| s.text.lines().count();
    sources
        .iter()
        .filter(|s| lines(s) > FILE_MAX)
        .map(|s| format!("{}: {} lines, more than {FILE_MAX}: split it by concept", s.name, lines(s)))
        .collect()
}

/// What is wrong with the sizes of library code.
pub fn problems(sources: &[Source]) -> Vec<String> {
    let mut found = Vec::new();
    let mut over = |what: &str, value: usize, limit: usize| {
        if value > limit {
            found.push(format!("{what} is {value} lines, more than {limit}"));
        }
    };
    over(
        "the 90 % quantile of code lines a file",
        quantile(sources.iter().map(Source::code_lines).collect(), 0.9),
        FILE_P90,
    );
    let functions: Vec<_> =
        sources.iter().flat_map(|s| s.functions().into_iter().map(|f| (s.name.as_str(), f))).collect();
    let lengths: Vec<usize> = functions.iter().map(|(_, f)| f.lines).collect();
    over("the median function", quantile(lengths.clone(), 0.5), FUNCTION_MEDIAN);
    over("the 90 % quantile of functions", quantile(lengths, 0.9), FUNCTION_P90);
    for (file, f) in &functions {
        over(&format!("{file}:{}: `{}`", f.line, f.name), f.lines, FUNCTION_MAX);
    }
    found
}

#[cfg(test)]
fn function_of(lines: usize) -> String {
    format!("fn f() {{\n{}}}\n", "    g();\n".repeat(lines - 2))
}

#[test]
fn long_files_and_functions_are_found() {
    let long = Source::new("long.rs", &"// a\n".repeat(FILE_MAX + 1));
    assert_eq!(long_files(&[long]).len(), 1);
    let code = Source::new("code.rs", &"use a::b;\n".repeat(FILE_P90 + 1));
    assert_eq!(problems(&[code]).len(), 1);
    let monster = Source::new("monster.rs", &function_of(FUNCTION_MAX + 1));
    assert_eq!(problems(&[monster]).len(), 3, "the median, the 90 % quantile and the function itself");
    let middling = Source::new("middling.rs", &function_of(FUNCTION_MEDIAN + 1));
    assert_eq!(problems(&[middling]).len(), 1);
    let fine = Source::new("fine.rs", &function_of(FUNCTION_MEDIAN));
    assert!(problems(&[fine]).is_empty());
}

#[test]
fn quantiles_use_the_nearest_rank() {
    assert_eq!(quantile((1..=10).collect(), 0.9), 9);
    assert_eq!(quantile((1..=10).collect(), 0.5), 5);
    assert_eq!(quantile(vec![], 0.5), 0);
}
