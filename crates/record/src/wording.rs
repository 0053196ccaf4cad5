//! How words of files are compared and shown.

/// Lower case, blanks and joining marks as one space: `Taken_Out` and `taken  out` are the same word.
#[must_use]
pub fn normal(word: &str) -> String {
    let spaced: String = word.chars().map(|c| if c == '_' || c == '-' { ' ' } else { c }).collect();
    spaced.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// A text shortened for a message, on one line.
#[must_use]
pub fn short(text: &str) -> String {
    const MAX: usize = 40;
    let line: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).take(MAX).collect();
    if text.chars().count() > MAX { format!("{line}…") } else { line }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_compared_without_their_joints() {
        assert_eq!(normal(" Taken_Out "), normal("taken  out"));
        assert_eq!(short(&"a".repeat(50)).chars().count(), 41);
        assert_eq!(short("a\nb"), "a b");
    }
}
