//! Every row of data says where it comes from, under which terms, and over which range it holds.

/// Files of rows with the keys each of their rows must have, besides source and licence. A row must have one key of each
/// group.
const REQUIRED: [(&str, &[&[&str]]); 4] = [
    ("materials.toml", &[&["valid_c"]]),
    ("constructions.toml", &[]),
    ("dishes.toml", &[&["window_c"]]),
    ("foods.toml", &[]),
];

/// What every row must have.
const ALWAYS: [&str; 2] = ["source", "licence"];

/// The rows of a file: each table of an array of tables at the top, or each table at the top when there is no array.
fn rows(file: &toml::Table) -> Vec<(String, &toml::Table)> {
    let mut rows = Vec::new();
    for (key, value) in file {
        match value {
            toml::Value::Array(list) => {
                rows.extend(
                    list.iter()
                        .filter_map(toml::Value::as_table)
                        .enumerate()
                        .map(|(i, row)| (row_name(key, i, row), row)),
                );
            }
            toml::Value::Table(row) => rows.push((key.clone(), row)),
            _ => {}
        }
    }
    rows
}

fn row_name(key: &str, index: usize, row: &toml::Table) -> String {
    let name = row.get("name").and_then(toml::Value::as_str);
    name.map_or_else(|| format!("{key} {}", index + 1), |name| format!("{key} `{name}`"))
}

/// Whether a key holds something worth the name.
fn holds(row: &toml::Table, key: &str) -> bool {
    row.get(key).is_some_and(|value| value.as_str().is_none_or(|text| !text.trim().is_empty()))
}

/// What is missing from the rows of a data file.
pub fn problems(name: &str, file: &toml::Table) -> Vec<String> {
    let groups = REQUIRED.iter().find(|(known, _)| *known == name).map_or(&[] as &[&[&str]], |(_, groups)| groups);
    let rows = rows(file);
    let mut found = Vec::new();
    if rows.is_empty() {
        found.push(format!("data/{name}: holds no rows"));
    }
    for (row_name, row) in rows {
        for key in ALWAYS.iter().filter(|key| !holds(row, key)) {
            found.push(format!("data/{name}: {row_name} has no `{key}`"));
        }
        for group in groups.iter().filter(|group| !group.iter().any(|key| holds(row, key))) {
            found.push(format!("data/{name}: {row_name} has none of {group:?}"));
        }
    }
    found
}

#[cfg(test)]
fn sample(text: &str) -> toml::Table {
    text.parse().expect("a sample file")
}

#[test]
fn a_row_without_source_licence_or_range_is_found() {
    let complete = "[[material]]\nname = \"brick\"\nsource = \"a table\"\nlicence = \"fact\"\nvalid_c = [20, 800]\n";
    assert!(problems("materials.toml", &sample(complete)).is_empty());
    for key in ["source", "licence", "valid_c"] {
        let without: String = complete.lines().filter(|l| !l.starts_with(key)).map(|l| format!("{l}\n")).collect();
        assert_eq!(problems("materials.toml", &sample(&without)).len(), 1, "{key}");
    }
    assert_eq!(
        problems("foods.toml", &sample("[[food]]\nsource = \" \"\nlicence = \"fact\"\n")).len(),
        1,
        "an empty source"
    );
    assert_eq!(problems("other.toml", &sample("[brick]\nsource = \"a\"\n")).len(), 1, "named tables are rows too");
    assert_eq!(problems("other.toml", &sample("a = 1\n")).len(), 1, "a file without rows");
}
