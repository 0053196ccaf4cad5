//! Reading a file a person names: its text, what kind it is, and a clear problem where it cannot be read.

use crate::failure::Failure;
use ovenfall_answer::{InputText, Inputs};
use ovenfall_record::problem::{Problem, Severity};
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

/// Longer files are not taken into memory, bytes; each reader has a limit of its own below this.
pub const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// What a file is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// An oven file.
    Oven,
    /// The file of a day.
    Day,
    /// A file of pots and dishes.
    Pots,
}

impl Kind {
    /// As it is called in files and messages.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Oven => "oven",
            Self::Day => "day",
            Self::Pots => "pots",
        }
    }
}

/// A problem of a file as a whole.
pub fn whole_file(name: &str, what: String, limits: Option<String>, suggestion: &str) -> Problem {
    let suggestion = Some(suggestion.to_owned());
    Problem { severity: Severity::Error, file: name.to_owned(), line: 0, column: 0, what, limits, suggestion }
}

/// Reads a file.
pub fn read(path: &Path) -> Result<InputText, Problem> {
    let name = path.display().to_string();
    let text = decode(&name, bytes_of(path)?)?;
    Ok(InputText { name, text })
}

/// Reads a file that must be of a kind.
pub fn read_as(path: &Path, wanted: Kind) -> Result<InputText, Problem> {
    let file = read(path)?;
    match kind(&file) {
        Some(kind) if kind != wanted => {
            let what = format!("this looks like a file of kind `{}`", kind.name());
            let limits = Some(format!("kind `{}`", wanted.name()));
            Err(whole_file(&file.name, what, limits, "name the files in their own places"))
        }
        _ => Ok(file),
    }
}

/// What kind it is, seen from what it says; `None` when that tells nothing.
pub fn kind(file: &InputText) -> Option<Kind> {
    let text = file.text.trim_start_matches('\u{feff}');
    if text.trim_start().to_lowercase().starts_with("# ovenfall day") {
        return Some(Kind::Day);
    }
    let lines = || text.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('#'));
    let value = |line: &str, key: &str| {
        let (name, value) = line.split_once('=')?;
        (name.trim() == key).then(|| value.trim().trim_matches(['"', '\'']).to_lowercase())
    };
    match lines().find_map(|line| value(line, "kind")).as_deref().map(|said| said.split('"').next().unwrap_or(said)) {
        Some("oven") => return Some(Kind::Oven),
        Some("pots") => return Some(Kind::Pots),
        _ => {}
    }
    let has = |starts: &[&str]| lines().any(|line| starts.iter().any(|start| line.starts_with(start)));
    let first_is_a_row = lines().next().is_some_and(|line| !line.contains('=') && line.contains([',', ';', '\t']));
    if first_is_a_row {
        Some(Kind::Day)
    } else if has(&["[[dish", "[wood"]) {
        Some(Kind::Pots)
    } else if has(&["diameter", "dome", "vault", "floor", "form", "construction", "mouth", "rise", "door"]) {
        Some(Kind::Oven)
    } else {
        kind_by_name(file)
    }
}

fn kind_by_name(file: &InputText) -> Option<Kind> {
    let name = file.name.to_lowercase();
    if name.ends_with(".csv") {
        Some(Kind::Day)
    } else if name.ends_with("pots.toml") {
        Some(Kind::Pots)
    } else if name.ends_with("oven.toml") {
        Some(Kind::Oven)
    } else {
        None
    }
}

/// The pots file of a day when none is named: `pots.toml` beside it, else the day's name with `.pots.toml`.
pub fn pots_beside(day: &Path) -> Option<PathBuf> {
    let named = day.with_extension("pots.toml");
    [day.with_file_name("pots.toml"), named].into_iter().find(|path| path.is_file())
}

/// Reads oven, day and pots file of an answer.
pub fn read_inputs(oven: &Path, day: &Path, pots: Option<&Path>) -> Result<Inputs, Failure> {
    let beside = pots_beside(day);
    let pots = pots.or(beside.as_deref());
    let files = [(Some(oven), Kind::Oven), (Some(day), Kind::Day), (pots, Kind::Pots)];
    let [oven, day, pots] = files.map(|(path, kind)| path.map(|path| read_as(path, kind)));
    let mut problems = Vec::new();
    let mut keep = |file: Option<Result<InputText, Problem>>| match file {
        Some(Ok(file)) => Some(file),
        Some(Err(problem)) => {
            problems.push(problem);
            None
        }
        None => None,
    };
    let (oven, day, pots) = (keep(oven), keep(day), keep(pots));
    match (oven, day) {
        (Some(oven), Some(day)) if problems.is_empty() => Ok(Inputs::from_texts(&oven, &day, pots.as_ref())?),
        _ => Err(Failure::Problems(problems)),
    }
}

/// The bytes of a file.
pub fn bytes_of(path: &Path) -> Result<Vec<u8>, Problem> {
    let name = path.display().to_string();
    let cannot = |error: &std::io::Error| {
        let (what, suggestion) = match error.kind() {
            std::io::ErrorKind::NotFound => ("there is no such file".to_owned(), "check the name and the folder"),
            std::io::ErrorKind::IsADirectory => ("this is a folder".to_owned(), "name a file in it"),
            std::io::ErrorKind::PermissionDenied => ("it may not be read".to_owned(), "check its permissions"),
            _ => (format!("it cannot be read: {error}"), "check the file and the disk it is on"),
        };
        whole_file(&name, what, None, suggestion)
    };
    let file = File::open(path).map_err(|error| cannot(&error))?;
    let mut bytes = Vec::new();
    file.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(|error| cannot(&error))?;
    if bytes.len() as u64 > MOST_BYTES {
        let limits = Some("up to 8 MB for a day, 1 MB for oven and pots".to_owned());
        return Err(whole_file(&name, "the file is over 64 MB long".to_owned(), limits, "is it the right file?"));
    }
    Ok(bytes)
}

/// The text of bytes.
pub fn decode(name: &str, bytes: Vec<u8>) -> Result<String, Problem> {
    let wide = bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]);
    String::from_utf8(bytes).map_err(|error| {
        let good = &error.as_bytes()[..error.utf8_error().valid_up_to()];
        let line = good.iter().filter(|byte| **byte == b'\n').count() + 1;
        let what = if wide { "the text is UTF-16" } else { "the text is not UTF-8" };
        let suggestion = "save it as UTF-8 (in a spreadsheet: CSV UTF-8)";
        Problem { line: if wide { 0 } else { line }, ..whole_file(name, what.to_owned(), None, suggestion) }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kind(name: &str, text: &str) -> Option<Kind> {
        super::kind(&InputText { name: name.to_owned(), text: text.to_owned() })
    }

    #[test]
    fn the_kind_is_seen_from_the_content() {
        assert_eq!(kind("a", "# a note\novenfall = 1\nkind = \"oven\"  # yes\n"), Some(Kind::Oven));
        assert_eq!(kind("a", "kind='pots'\n"), Some(Kind::Pots));
        assert_eq!(kind("a", "\u{feff}# ovenfall day 1\n"), Some(Kind::Day));
        assert_eq!(kind("a", "id;at;kind\n"), Some(Kind::Day));
        assert_eq!(kind("a", "[[dish]]\nname = \"stew\"\nkind = \"braise\"\n"), Some(Kind::Pots));
        assert_eq!(kind("a", "diameter_cm = 90\n"), Some(Kind::Oven));
    }

    #[test]
    fn the_name_helps_where_the_content_does_not() {
        assert_eq!(kind("day.csv", ""), Some(Kind::Day));
        assert_eq!(kind("x/pots.toml", ""), Some(Kind::Pots));
        assert_eq!(kind("notes.txt", "hello\n"), None);
    }

    #[test]
    fn text_that_is_not_utf_8_is_told_with_its_line() {
        let problem = decode("day.csv", b"id,at\n1,\xe9\n".to_vec()).unwrap_err();
        assert_eq!(
            problem.to_string(),
            "error: day.csv:2: the text is not UTF-8\n  try: save it as UTF-8 (in a spreadsheet: CSV UTF-8)"
        );
    }
}
