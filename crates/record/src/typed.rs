//! What a person typed into a field of a form, as TOML, and a number as a person types it.

/// Whether nothing was typed: nobody knows.
pub(crate) fn unknown(typed: &str) -> bool {
    typed.trim().is_empty()
}

/// A text as TOML: quoted, and on one line.
pub(crate) fn quoted(text: &str) -> String {
    let one_line: String = text.trim().chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    format!("\"{}\"", one_line.replace('\\', "\\\\").replace('"', "\\\""))
}

/// A number as TOML; what is none goes in as a text, so that the reader says what is wrong with it or finds its unit.
pub(crate) fn number_or_text(typed: &str) -> String {
    let typed = typed.trim();
    // A comma before three digits could part thousands: the reader of texts asks which.
    let thousands = typed.rsplit_once(',').is_some_and(|(_, after)| after.len() == 3);
    let plain = typed.replace(',', ".");
    let digits = plain.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | '-' | '+'));
    match plain.parse::<f64>() {
        Ok(value) if digits && !thousands && value.is_finite() => format!("{value}"),
        _ => quoted(typed),
    }
}

/// A number without the last bits that come of converting inches.
pub(crate) fn short_number(value: f64) -> String {
    let short = (value * 1e6).round() / 1e6;
    if (short - value).abs() <= 1e-12 * value.abs() { short.to_string() } else { value.to_string() }
}
