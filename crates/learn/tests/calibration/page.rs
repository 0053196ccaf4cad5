//! The page with the figures, `docs/calibration.md`: each study writes the part between its own marks, and nothing by hand.

use std::path::{Path, PathBuf};
use std::sync::Mutex;

/// Tests run side by side and write into one file.
static WRITING: Mutex<()> = Mutex::new(());

fn path() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/calibration.md")
}

/// `page` with what stands between the marks of `part` replaced; `None` where they are missing.
fn replaced(page: &str, part: &str, text: &str) -> Option<String> {
    let (begin, end) = (format!("<!-- begin {part} -->\n"), format!("<!-- end {part} -->"));
    let (before, rest) = page.split_once(&begin)?;
    let (_, after) = rest.split_once(&end)?;
    Some(format!("{before}{begin}\n{text}\n{end}{after}"))
}

/// Prints a study's figures, and writes them to the page when `OVENFALL_WRITE` is set.
pub fn part(part: &str, text: &str) {
    println!("{text}");
    if std::env::var_os("OVENFALL_WRITE").is_none() {
        return;
    }
    let _guard = WRITING.lock();
    let page = std::fs::read_to_string(path()).unwrap();
    let page = replaced(&page, part, text).unwrap_or_else(|| panic!("no part `{part}` on the page"));
    std::fs::write(path(), page).unwrap();
}

#[test]
fn every_study_has_its_part_with_figures() {
    let page = std::fs::read_to_string(path()).unwrap();
    for part in ["prior", "ranks", "heavy", "long chain", "soak"] {
        let empty = replaced(&page, part, "").unwrap_or_else(|| panic!("no part `{part}` on the page"));
        assert!(page.len() > empty.len() + 200, "part `{part}` is empty");
    }
}

#[test]
fn only_the_part_between_the_marks_is_replaced() {
    let page = "a\n<!-- begin x -->\n\nold\n<!-- end x -->\nb\n";
    let new = replaced(page, "x", "new").unwrap();
    assert_eq!(new, "a\n<!-- begin x -->\n\nnew\n<!-- end x -->\nb\n");
    assert_eq!(replaced(page, "y", "new"), None);
}
