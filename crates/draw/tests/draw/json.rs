//! A reader of JSON, strict enough to tell it from what is not.

/// Fails the test if this is not one JSON value.
pub fn check(text: &str) {
    let rest = value(text.trim()).unwrap_or_else(|| panic!("not JSON: {text}"));
    assert!(rest.trim().is_empty(), "after the end: {rest}");
}

/// What follows the value at the start of `text`; `None` if there is none.
fn value(text: &str) -> Option<&str> {
    let text = text.trim_start();
    match text.chars().next()? {
        '{' => list(&text[1..], '}', |t| value(string(t)?.trim_start().strip_prefix(':')?)),
        '[' => list(&text[1..], ']', value),
        '"' => string(text),
        _ => number(text),
    }
}

fn list<'a>(text: &'a str, end: char, item: impl Fn(&'a str) -> Option<&'a str>) -> Option<&'a str> {
    let mut rest = text.trim_start();
    if let Some(after) = rest.strip_prefix(end) {
        return Some(after);
    }
    loop {
        rest = item(rest.trim_start())?.trim_start();
        match rest.strip_prefix(',') {
            Some(after) => rest = after,
            None => return rest.strip_prefix(end),
        }
    }
}

fn string(text: &str) -> Option<&str> {
    let mut rest = text.strip_prefix('"')?;
    loop {
        let c = rest.chars().next()?;
        rest = &rest[c.len_utf8()..];
        match c {
            '"' => return Some(rest),
            '\\' => {
                let escape = rest.chars().next().filter(|e| "\"\\/bfnrtu".contains(*e))?;
                let length = if escape == 'u' { 5 } else { 1 };
                let code = rest.get(1..length)?;
                rest = code.chars().all(|d| d.is_ascii_hexdigit()).then(|| &rest[length..])?;
            }
            c if c < ' ' => return None,
            _ => {}
        }
    }
}

fn number(text: &str) -> Option<&str> {
    let end = text.find(|c: char| !(c.is_ascii_digit() || ".-".contains(c))).unwrap_or(text.len());
    text[..end].parse::<f64>().ok().map(|_| &text[end..])
}
