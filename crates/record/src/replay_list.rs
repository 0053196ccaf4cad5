//! A list of finished days to be replayed, in the order in which they were: TOML, each day a folder beside the list.
//!
//! ```toml
//! ovenfall = 1
//! kind = "replays"
//! [[day]]
//! folder = "first"
//! shut = "19:20"  # the hour the door was shut at, on the oven's clock, or a full time
//! ```
//!
//! Without `shut` the hour is found in the day.

use crate::day_file::error_at;
use crate::problem::Problem;
use crate::suggest;
use crate::toml_place::line_and_column;
use crate::wording::short;
use toml::{Table, Value};

/// Most days in a list.
pub const MAX_DAYS: usize = 1000;

/// One day of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListedDay {
    /// Its folder, beside the list.
    pub folder: String,
    /// The hour the door was shut at, as written.
    pub shut: Option<String>,
}

/// Reads a list.
///
/// # Errors
/// Every problem found.
pub fn read_replay_list(file: &str, text: &str) -> Result<Vec<ListedDay>, Vec<Problem>> {
    let whole = |what: String, suggestion: &str| {
        vec![Problem { suggestion: Some(suggestion.to_owned()), ..error_at(file, 0, 0, what) }]
    };
    let table: Table = text.strip_prefix('\u{feff}').unwrap_or(text).parse().map_err(|error: toml::de::Error| {
        let (line, column) = error.span().map_or((0, 0), |span| line_and_column(text, span.start));
        vec![error_at(file, line, column, error.message().to_owned())]
    })?;
    if table.get("kind").and_then(Value::as_str) != Some("replays") || table.get("ovenfall") != Some(&Value::Integer(1))
    {
        return Err(whole(
            "this is no list of days to replay".to_owned(),
            "begin it with `ovenfall = 1` and `kind = \"replays\"`",
        ));
    }
    let mut problems = Vec::new();
    unknown_keys(file, &table, &["ovenfall", "kind", "day"], "", &mut problems);
    let days = table.get("day").and_then(Value::as_array).map_or(&[][..], Vec::as_slice);
    if days.is_empty() || days.len() > MAX_DAYS {
        return Err(whole(
            format!("the list has {} days", days.len()),
            "give each day a `[[day]]`, up to 1000 of them",
        ));
    }
    let listed: Vec<ListedDay> =
        days.iter().enumerate().filter_map(|(i, day)| listed(file, i + 1, day, &mut problems)).collect();
    if problems.is_empty() { Ok(listed) } else { Err(problems) }
}

fn listed(file: &str, number: usize, day: &Value, problems: &mut Vec<Problem>) -> Option<ListedDay> {
    let mut wrong = |what: String| problems.push(error_at(file, 0, 0, format!("day {number} of the list: {what}")));
    let Some(day) = day.as_table() else {
        wrong("it is no `[[day]]`".to_owned());
        return None;
    };
    let text = |key: &str| day.get(key).map(|value| value.as_str().map(str::to_owned).ok_or_else(|| key.to_owned()));
    let folder = match text("folder") {
        Some(Ok(folder)) if !folder.trim().is_empty() => Some(folder),
        _ => {
            wrong("`folder` must name a folder beside the list".to_owned());
            None
        }
    };
    let shut = match text("shut").transpose() {
        Ok(shut) => shut,
        Err(key) => {
            wrong(format!("`{key}` must be a text such as \"19:20\""));
            None
        }
    };
    unknown_keys(file, day, &["folder", "shut"], &format!("day {number} of the list: "), problems);
    Some(ListedDay { folder: folder?, shut })
}

fn unknown_keys(file: &str, table: &Table, known: &[&str], place: &str, problems: &mut Vec<Problem>) {
    for key in table.keys().filter(|key| !known.contains(&key.as_str())) {
        let what = format!("{place}unknown key `{}`", short(key));
        let suggestion = suggest::nearest(key, known.iter().copied()).map(|near| format!("did you mean `{near}`?"));
        problems.push(Problem { suggestion, limits: Some(known.join(", ")), ..error_at(file, 0, 0, what) });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const HEAD: &str = "ovenfall = 1\nkind = \"replays\"\n";

    fn told(text: &str) -> String {
        let problems = read_replay_list("list.toml", text).unwrap_err();
        problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
    }

    #[test]
    fn days_stay_in_their_order() {
        let text = format!("{HEAD}[[day]]\nfolder = \"b\"\nshut = \"19:20\"\n[[day]]\nfolder = \"a\"\n");
        let days = read_replay_list("list.toml", &text).unwrap();
        assert_eq!(days[0], ListedDay { folder: "b".into(), shut: Some("19:20".into()) });
        assert_eq!(days[1], ListedDay { folder: "a".into(), shut: None });
    }

    #[test]
    fn what_is_wrong_is_told() {
        assert!(told("kind = \"pots\"").contains("this is no list of days to replay\n  try: begin it with"));
        assert!(told(HEAD).contains("the list has 0 days"));
        assert!(told("a = \n").starts_with("error: list.toml:1:"));
        let text = format!("{HEAD}[[day]]\nfolder = 3\nshut = 4\nshutt = \"1\"\n");
        let told = told(&text);
        for words in ["day 1 of the list: `folder` must name", "`shut` must be a text", "unknown key `shutt`"] {
            assert!(told.contains(words), "{words:?} in {told}");
        }
    }

    proptest::proptest! {
        #[test]
        fn no_text_breaks_it(text in "[ -~\n]{0,120}") {
            let _ = read_replay_list("list.toml", &text);
            let _ = read_replay_list("list.toml", &format!("{HEAD}{text}"));
        }
    }
}
