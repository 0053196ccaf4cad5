//! Text set to a width.

/// Breaks text into lines of at most so many columns; what follows the first line is indented.
pub fn wrapped(text: &str, columns: usize, indent: usize) -> String {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= columns => {
                line.push(' ');
                line.push_str(word);
            }
            Some(_) => lines.push(format!("{}{word}", " ".repeat(indent))),
            None => lines.push(word.to_owned()),
        }
    }
    lines.join("\n")
}

/// A list under a title, one dash an item; nothing when there is none.
pub fn list(title: &str, items: &[String], columns: usize) -> String {
    if items.is_empty() {
        return String::new();
    }
    let items: Vec<String> = items.iter().map(|item| wrapped(&format!("- {item}"), columns, 2)).collect();
    format!("\n{title}\n{}\n", items.join("\n"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_broken_between_words() {
        assert_eq!(wrapped("one two three", 8, 2), "one two\n  three");
        assert_eq!(wrapped("", 8, 2), "");
        assert_eq!(list("Notes", &[], 80), "");
        assert_eq!(list("Notes", &["a b".to_owned()], 80), "\nNotes\n- a b\n");
    }
}
