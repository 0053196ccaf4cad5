//! A Rust file cut up just far enough: comments and literals blanked out, functions found, code lines counted.
//!
//! This is a scanner, not a parser. It is right for formatted code, which the build demands anyway.

use std::fs;
use std::path::{Path, PathBuf};

/// One Rust file.
pub struct Source {
    /// Where it is, for messages.
    pub name: String,
    /// As written.
    pub text: String,
    /// The same length and lines, with comments and the insides of literals blanked out.
    pub code: String,
}

/// A function: its name, the line it starts on (from 1) and how many lines it takes from signature to closing brace.
#[derive(Debug, PartialEq, Eq)]
pub struct Function {
    /// Its name.
    pub name: String,
    /// The line of its signature, from 1.
    pub line: usize,
    /// Lines from signature to closing brace.
    pub lines: usize,
}

impl Source {
    /// A file from text, as the companion tests make them.
    pub fn new(name: &str, text: &str) -> Self {
        let code = blank_tests(&blank_literals(text));
        Self { name: name.into(), text: text.into(), code }
    }

    /// Lines that hold code outside of in-file tests.
    pub fn code_lines(&self) -> usize {
        self.code.lines().filter(|line| !line.trim().is_empty()).count()
    }

    /// All functions with a body, outside of in-file tests.
    pub fn functions(&self) -> Vec<Function> {
        let mut found = Vec::new();
        for (at, _) in self.code.match_indices("fn ") {
            let before = self.code[..at].chars().next_back();
            if before.is_some_and(|c| c.is_alphanumeric() || c == '_') {
                continue;
            }
            let rest = &self.code[at + 3..];
            let name: String = rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            if name.is_empty() {
                continue; // a function pointer type
            }
            let line = self.line_of(at);
            if let Some(end) = body_end(&self.code, at) {
                found.push(Function { name, line, lines: self.line_of(end) - line + 1 });
            }
        }
        found
    }

    /// The line of a byte offset, from 1.
    pub fn line_of(&self, at: usize) -> usize {
        self.code[..at].matches('\n').count() + 1
    }
}

/// The root of the workspace.
pub fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().and_then(Path::parent).expect("two folders above crates/cli").to_path_buf()
}

/// The folder names under `crates/`, sorted.
pub fn crates() -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(root().join("crates"))
        .expect("the crates folder")
        .map(|entry| entry.expect("a folder entry"))
        .filter(|entry| entry.path().join("Cargo.toml").is_file())
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

/// Every file below a folder, sorted, without build output and hidden version control data.
pub fn files_below(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let Ok(entries) = fs::read_dir(folder) else {
        return found;
    };
    for path in entries.filter_map(Result::ok).map(|entry| entry.path()) {
        let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        if path.is_dir() {
            if name != "target" && name != ".git" {
                found.extend(files_below(&path));
            }
        } else {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// A path as messages show it.
pub fn shown(path: &Path) -> String {
    path.strip_prefix(root()).unwrap_or(path).to_string_lossy().into_owned()
}

/// The Rust files of `crates/<name>/<part>`.
pub fn rust_files(name: &str, part: &str) -> Vec<Source> {
    files_below(&root().join("crates").join(name).join(part))
        .iter()
        .filter(|path| path.extension().is_some_and(|e| e == "rs"))
        .map(|path| Source::new(&shown(path), &fs::read_to_string(path).expect("a readable source file")))
        .collect()
}

/// Where the body of the function whose signature starts at `at` ends; `None` for a declaration without a body.
fn body_end(code: &str, at: usize) -> Option<usize> {
    let mut depth = 0_i32; // of brackets in the signature, so that `[f64; 2]` is not taken for its end
    let mut open = None;
    for (i, c) in code[at..].char_indices() {
        match c {
            '(' | '[' => depth += 1,
            ')' | ']' => depth -= 1,
            ';' if depth == 0 => return None,
            '{' if depth == 0 => {
                open = Some(at + i);
                break;
            }
            _ => {}
        }
    }
    closing_brace(code, open?)
}

/// The brace that closes the one at `open`.
fn closing_brace(code: &str, open: usize) -> Option<usize> {
    let mut depth = 0_usize;
    for (i, c) in code[open..].char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return Some(open + i);
        }
    }
    None
}

/// Blanks the modules that are compiled for tests only.
fn blank_tests(code: &str) -> String {
    let mut out = code.to_string();
    while let Some(at) = out.find("#[cfg(test)]") {
        let open = out[at..].find('{').map(|i| at + i);
        let stop = out[at..].find(';').map(|i| at + i);
        let end = match (open, stop) {
            (Some(open), stop) if stop.is_none_or(|stop| open < stop) => {
                closing_brace(&out, open).unwrap_or(out.len() - 1)
            }
            (_, Some(stop)) => stop,
            _ => out.len() - 1,
        };
        let blank = blanked(&out[at..=end]);
        out.replace_range(at..=end, &blank);
    }
    out
}

/// The same number of bytes and lines, all blank.
fn blanked(text: &str) -> String {
    text.bytes().map(|b| if b == b'\n' { '\n' } else { ' ' }).collect()
}

/// Blanks comments and the insides of string and character literals.
fn blank_literals(text: &str) -> String {
    let bytes = text.as_bytes();
    let mut out = String::with_capacity(text.len());
    let mut i = 0;
    while i < bytes.len() {
        let (end, keep) = next_piece(bytes, i);
        if keep {
            // Only ASCII carries meaning for this scanner, so the rest becomes a letter of the same length.
            out.extend(bytes[i..end].iter().map(|&b| if b.is_ascii() { char::from(b) } else { 'x' }));
        } else {
            out.extend(bytes[i..end].iter().map(|&b| if b == b'\n' { '\n' } else { ' ' }));
        }
        i = end;
    }
    out
}

/// Where the piece of text that starts at `i` ends, and whether it is code.
fn next_piece(bytes: &[u8], i: usize) -> (usize, bool) {
    let rest = &bytes[i..];
    let in_word = i > 0 && (bytes[i - 1].is_ascii_alphanumeric() || bytes[i - 1] == b'_');
    if rest.starts_with(b"//") {
        (i + rest.iter().position(|&b| b == b'\n').unwrap_or(rest.len()), false)
    } else if rest.starts_with(b"/*") {
        (i + block_comment_length(rest), false)
    } else if !in_word && (rest.starts_with(b"r\"") || rest.starts_with(b"r#\"") || rest.starts_with(b"r##\"")) {
        (i + raw_string_length(rest), false)
    } else if rest[0] == b'"' {
        (i + string_length(rest), false)
    } else if let Some(length) = char_literal_length(rest) {
        (i + length, false)
    } else {
        (i + 1, true)
    }
}

fn block_comment_length(rest: &[u8]) -> usize {
    let (mut depth, mut i) = (0_usize, 0);
    while i < rest.len() {
        if rest[i..].starts_with(b"/*") {
            depth += 1;
            i += 2;
        } else if rest[i..].starts_with(b"*/") {
            depth -= 1;
            i += 2;
            if depth == 0 {
                return i;
            }
        } else {
            i += 1;
        }
    }
    rest.len()
}

fn raw_string_length(rest: &[u8]) -> usize {
    let hashes = rest[1..].iter().take_while(|&&b| b == b'#').count();
    let mut close = vec![b'"'];
    close.extend(std::iter::repeat_n(b'#', hashes));
    let start = 2 + hashes;
    let length = rest[start..].windows(close.len()).position(|w| w == close.as_slice());
    length.map_or(rest.len(), |l| start + l + close.len())
}

fn string_length(rest: &[u8]) -> usize {
    let mut i = 1;
    while i < rest.len() {
        match rest[i] {
            b'\\' => i += 2,
            b'"' => return i + 1,
            _ => i += 1,
        }
    }
    rest.len()
}

/// The length of a character literal; `None` for a lifetime or anything else.
fn char_literal_length(rest: &[u8]) -> Option<usize> {
    if rest.first() != Some(&b'\'') {
        return None;
    }
    if rest.get(1) == Some(&b'\\') {
        let close = rest.iter().skip(3).position(|&b| b == b'\'')?;
        return Some(close + 4);
    }
    // A character is at most four bytes; a lifetime has no closing quote that near, save in `'a,'b`, which rustfmt spaces.
    let close = rest.iter().skip(2).take(4).position(|&b| b == b'\'')? + 2;
    let inside = &rest[1..close];
    (inside.len() == 1 || !inside[0].is_ascii()).then_some(close + 1)
}

#[test]
fn the_scanner_blanks_what_is_not_code() {
    let text = "let a = \"std::fs\"; // std::net\nlet b = '\"'; /* x /* y */ z */ let c = r#\"{\"#;\n";
    let code = Source::new("sample", text).code;
    assert_eq!(code.len(), text.len());
    assert!(!code.contains("std::") && !code.contains('{') && !code.contains('z'), "{code}");
    assert!(code.contains("let a = ") && code.contains("let b = ") && code.contains("let c = "), "{code}");
}

#[test]
fn the_scanner_finds_functions_and_leaves_out_tests() {
    let text = "fn one(a: [f64; 2]) -> f64 {\n    a[0]\n}\ntrait T { fn declared(&self); }\n#[cfg(test)]\nmod tests {\n    fn hidden() {}\n}\n";
    let source = Source::new("sample", text);
    assert_eq!(source.functions(), vec![Function { name: "one".into(), line: 1, lines: 3 }]);
    assert_eq!(source.code_lines(), 4);
}
