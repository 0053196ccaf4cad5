//! The engine against answers from outside. One file a case, each with its source and its tolerance; one harness runs them
//! all and keeps `VALIDATION.md` current. `cargo test -p ovenfall-engine --test validation -- --nocapture` prints the page.

mod harness;
mod roots;
mod transient;
mod val_constant_flux;
mod val_fuel;
mod val_hemispherical_shell;
mod val_infrared;
mod val_lumps;
mod val_mean_heat_capacity;
mod val_plane_wall;
mod val_radiation;
mod val_semi_infinite;
mod val_two_layer_door_shut;
mod val_water;

use harness::{Case, differences, page};
use std::path::Path;

/// Every case, in the order of the page.
fn cases() -> Vec<Case> {
    vec![
        val_plane_wall::case(),
        val_semi_infinite::case(),
        val_constant_flux::case(),
        val_lumps::case(),
        val_two_layer_door_shut::case(),
        val_hemispherical_shell::case(),
        val_mean_heat_capacity::case(),
        val_radiation::case(),
        val_water::case(),
        val_fuel::case(),
        val_infrared::case(),
    ]
}

#[test]
fn the_page_is_current() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../VALIDATION.md");
    let today = page(&cases());
    println!("{today}");
    if std::env::var_os("OVENFALL_WRITE").is_some() {
        std::fs::write(&path, &today).expect("VALIDATION.md can be written");
    }
    let written = std::fs::read_to_string(&path).unwrap_or_default();
    let differences = differences(&written, &today);
    assert!(
        differences.is_empty(),
        "VALIDATION.md is not current; if that is meant, write it anew with OVENFALL_WRITE=1 and say why:\n{}",
        differences.join("\n")
    );
}

#[test]
fn every_case_file_is_on_the_page() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/validation");
    let mut files: Vec<String> = std::fs::read_dir(folder)
        .expect("the folder of cases")
        .filter_map(|entry| entry.ok()?.path().file_stem()?.to_str().map(String::from))
        .filter(|name| name.starts_with("val_"))
        .collect();
    let mut names: Vec<String> = cases().iter().map(|case| case.name.to_string()).collect();
    files.sort();
    names.sort();
    assert_eq!(files, names);
}
