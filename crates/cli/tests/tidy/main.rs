//! The shape of the tree, held by tests: each reads the sources and says what is out of line, with file and line.
//!
//! Every guard stands in a module of its own with a companion test that shows it trip on a bad sample.

mod arrows;
mod budgets;
mod crate_list;
mod data_rows;
mod headers;
mod scorer_only;
mod source;
mod units;
mod without_io;
mod words;

use source::{Source, crates, files_below, root, rust_files, shown};
use std::fs;

/// Fails with all problems at once.
fn none(problems: &[String]) {
    assert!(problems.is_empty(), "{} out of line:\n{}\n", problems.len(), problems.join("\n"));
}

/// All library and binary sources.
fn library() -> Vec<Source> {
    crates().iter().flat_map(|name| rust_files(name, "src")).collect()
}

#[test]
fn modules_say_what_they_do() {
    let of = |name: &String| -> Vec<String> {
        rust_files(name, "src").iter().flat_map(|source| headers::problems(source, name == "engine")).collect()
    };
    none(&crates().iter().flat_map(of).collect::<Vec<_>>());
}

#[test]
fn public_numbers_say_their_unit() {
    none(&library().iter().flat_map(units::problems).collect::<Vec<_>>());
}

#[test]
fn files_and_functions_are_small() {
    none(&budgets::problems(&library()));
}

#[test]
fn no_file_is_long() {
    let everywhere = |name: &String| ["src", "tests", "benches", "examples"].map(|part| rust_files(name, part));
    none(&budgets::long_files(&crates().iter().flat_map(everywhere).flatten().collect::<Vec<_>>()));
}

#[test]
fn dependencies_point_one_way() {
    let of = |name: &String| {
        let path = root().join("crates").join(name).join("Cargo.toml");
        let manifest = fs::read_to_string(path).expect("a readable manifest").parse().expect("a manifest");
        arrows::problems(name, &manifest, &without_io::CRATES)
    };
    none(&crates().iter().flat_map(of).collect::<Vec<_>>());
}

#[test]
fn only_the_edges_do_input_and_output() {
    let pure = without_io::CRATES.iter().filter(|name| crates().iter().any(|there| there == *name));
    none(
        &pure
            .flat_map(|name| rust_files(name, "src"))
            .flat_map(|source| without_io::problems(&source))
            .collect::<Vec<_>>(),
    );
}

#[test]
fn only_the_scorer_reads_what_really_came() {
    none(&library().iter().flat_map(scorer_only::problems).collect::<Vec<_>>());
    let others = |name: &String| ["tests", "benches", "examples"].map(|part| rust_files(name, part));
    none(
        &crates().iter().flat_map(others).flatten().flat_map(|s| scorer_only::problems_of_test(&s)).collect::<Vec<_>>(),
    );
}

#[test]
fn no_forbidden_words() {
    let read = |path: &std::path::PathBuf| Some((shown(path), fs::read_to_string(path).ok()?)); // pictures are not text
    let texts = files_below(&root());
    none(&texts.iter().filter_map(read).flat_map(|(name, text)| words::problems(&name, &text)).collect::<Vec<_>>());
}

#[test]
fn the_architecture_page_lists_the_crates() {
    let page = fs::read_to_string(root().join("ARCHITECTURE.md")).expect("ARCHITECTURE.md");
    none(&crate_list::problems(&page, &crates()));
}

#[test]
fn data_rows_are_complete() {
    let files = files_below(&root().join("data"));
    let tables = files
        .iter()
        .filter(|path| path.extension().is_some_and(|e| e == "toml") && path.parent() == Some(&root().join("data")));
    let of = |path: &std::path::PathBuf| {
        let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        let table = fs::read_to_string(path).expect("a readable file").parse().expect("a TOML file");
        data_rows::problems(&name, &table)
    };
    none(&tables.flat_map(of).collect::<Vec<_>>());
}
