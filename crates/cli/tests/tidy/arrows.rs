//! Crates depend on each other one way only, and the ones without input and output lean on nothing that has any.

/// From the top down: a crate may use the ones after it, never one before it.
pub const ORDER: [&str; 10] = ["cli", "web", "store", "answer", "draw", "plan", "learn", "record", "food", "engine"];

/// Outside crates that open files, sockets or clocks, write logs, or run tasks.
const WITH_IO: [&str; 19] = [
    "async-std",
    "axum",
    "chrono",
    "clap",
    "env_logger",
    "getrandom",
    "hyper",
    "log",
    "mdns-sd",
    "notify",
    "reqwest",
    "rumqttc",
    "rusqlite",
    "tempfile",
    "tokio",
    "tower",
    "tracing",
    "ureq",
    "walkdir",
];

/// The tables of a manifest that name dependencies, with those for one target.
fn dependency_names(manifest: &toml::Table) -> Vec<(bool, String)> {
    let mut names = Vec::new();
    for (key, dev) in [("dependencies", false), ("build-dependencies", false), ("dev-dependencies", true)] {
        if let Some(table) = manifest.get(key).and_then(toml::Value::as_table) {
            names.extend(table.keys().map(|name| (dev, name.clone())));
        }
    }
    if let Some(targets) = manifest.get("target").and_then(toml::Value::as_table) {
        names.extend(targets.values().filter_map(toml::Value::as_table).flat_map(dependency_names));
    }
    names
}

/// The folder of a crate of this workspace, from its package name.
fn folder_of(package: &str) -> Option<&str> {
    if package == "ovenfall" { Some("cli") } else { package.strip_prefix("ovenfall-") }
}

/// What is wrong with the dependencies of the crate in `folder`.
pub fn problems(folder: &str, manifest: &toml::Table, without_io: &[&str]) -> Vec<String> {
    let rank = |name: &str| ORDER.iter().position(|n| *n == name);
    let Some(own) = rank(folder) else {
        return vec![format!("crates/{folder}: not in the order of crates; give it its place")];
    };
    let mut found = Vec::new();
    for (dev, name) in dependency_names(manifest) {
        match folder_of(&name) {
            Some(other) if rank(other).is_none_or(|r| r <= own) => {
                found.push(format!("crates/{folder}: depends on `{name}`, against the direction of the arrows"));
            }
            None if !dev && without_io.contains(&folder) && WITH_IO.contains(&name.as_str()) => {
                found.push(format!("crates/{folder}: does no input or output, yet depends on `{name}`"));
            }
            _ => {}
        }
    }
    found
}

#[cfg(test)]
fn sample(text: &str) -> toml::Table {
    text.parse().expect("a sample manifest")
}

#[test]
fn an_arrow_that_turns_back_is_found() {
    let back = sample("[dependencies]\novenfall-learn.workspace = true\n");
    assert_eq!(problems("record", &back, &[]).len(), 1);
    assert!(problems("plan", &back, &[]).is_empty());
    let in_tests = sample("[dev-dependencies]\novenfall = { path = \"../cli\" }\n");
    assert_eq!(problems("engine", &in_tests, &[]).len(), 1);
    let for_target = sample("[target.'cfg(unix)'.dependencies]\novenfall-web = \"1\"\n");
    assert_eq!(problems("draw", &for_target, &[]).len(), 1);
    let own = sample("[dependencies]\novenfall-food = \"1\"\n");
    assert_eq!(problems("food", &own, &[]).len(), 1);
}

#[test]
fn an_unknown_crate_is_found() {
    assert_eq!(problems("misc", &sample(""), &[]).len(), 1);
    assert_eq!(problems("cli", &sample("[dependencies]\novenfall-misc = \"1\"\n"), &[]).len(), 1);
}

#[test]
fn a_dependency_with_io_is_found() {
    let manifest = sample("[dependencies]\nrusqlite = \"1\"\n[dev-dependencies]\ntempfile = \"1\"\n");
    assert_eq!(problems("learn", &manifest, &["learn"]).len(), 1, "the one for tests is fine");
    assert!(problems("store", &manifest, &["learn"]).is_empty());
}
