//! Measuring, wrapping and shortening text, and writing figures.
//!
//! A picture is laid out without knowing the reader's font, so widths are those of a wide sans-serif (upper bounds of
//! the common ones, from memory); the real text is rarely wider.

/// Binds a figure to its unit.
pub(crate) const BOUND: char = '\u{a0}';

fn em(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' | ' ' | BOUND => 0.36,
        'f' | 't' | 'r' | '(' | ')' | '-' | '/' => 0.44,
        'm' | 'w' | 'M' | 'W' | '%' | '…' | '@' => 1.0,
        'A'..='Z' => 0.78,
        c if c.is_ascii() => 0.64,
        '\u{2e80}'..='\u{ffff}' | '\u{1f000}'..='\u{1ffff}' => 1.1,
        '°' | '·' => 0.5,
        _ => 0.72,
    }
}

/// Width of `s` set in `size_px`, px.
pub(crate) fn width_px(s: &str, size_px: f64) -> f64 {
    s.chars().map(em).sum::<f64>() * size_px
}

/// Width of `s` set bold, px.
pub(crate) fn bold_width_px(s: &str, size_px: f64) -> f64 {
    width_px(s, size_px) * 1.1
}

/// `s`, cut with an ellipsis where it would be wider than `max_px`.
pub(crate) fn shorten(s: &str, size_px: f64, max_px: f64) -> String {
    if width_px(s, size_px) <= max_px {
        return s.to_owned();
    }
    let room = max_px - width_px("…", size_px);
    let mut used = 0.0;
    let kept: String = s
        .chars()
        .take_while(|c| {
            used += em(*c) * size_px;
            used <= room
        })
        .collect();
    format!("{}…", kept.trim_end())
}

/// `s` in lines no wider than `max_px` without losing a letter: words wider than that go on in the next line.
pub(crate) fn wrap_whole(s: &str, size_px: f64, max_px: f64) -> Vec<String> {
    let mut pieces: Vec<String> = Vec::new();
    for word in s.split(' ') {
        let mut piece = String::new();
        for c in word.chars() {
            if !piece.is_empty() && width_px(&piece, size_px) + em(c) * size_px > max_px {
                pieces.push(std::mem::take(&mut piece));
            }
            piece.push(c);
        }
        pieces.push(piece);
    }
    wrap(&pieces.join(" "), size_px, max_px)
}

/// `s` in lines no wider than `max_px`; words wider than that are shortened.
pub(crate) fn wrap(s: &str, size_px: f64, max_px: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in s.split(' ').filter(|w| !w.is_empty()) {
        let word = shorten(word, size_px, max_px);
        match lines.last_mut() {
            Some(line) if width_px(line, size_px) + width_px(" ", size_px) + width_px(&word, size_px) <= max_px => {
                line.push(' ');
                line.push_str(&word);
            }
            _ => lines.push(word),
        }
    }
    lines
}

/// A figure with so many decimals; a dash where there is none or it is absurd.
pub(crate) fn figure(value: f64, decimals: usize) -> String {
    if !value.is_finite() || value.abs() > 1e7 {
        return "–".to_owned();
    }
    let text = format!("{value:.decimals$}");
    if text.starts_with('-') && text.trim_matches(['-', '0', '.']).is_empty() { text[1..].to_owned() } else { text }
}

/// A temperature with its unit.
pub(crate) fn celsius(value_c: f64) -> String {
    format!("{}{BOUND}°C", figure(value_c, 0))
}

/// An energy with its unit: one decimal below 100.
pub(crate) fn kwh(value_kwh: f64) -> String {
    format!("{}{BOUND}kWh", figure(value_kwh, usize::from(value_kwh.abs() < 99.95)))
}

/// A range of figures in ascending order.
pub(crate) fn range(low: f64, high: f64, decimals: usize) -> String {
    format!("{} to {}", figure(low, decimals), figure(high, decimals))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_have_no_negative_zero_and_no_nan() {
        assert_eq!(figure(-0.2, 0), "0");
        assert_eq!(figure(f64::NAN, 1), "–");
        assert_eq!(celsius(199.6), "200\u{a0}°C");
        assert_eq!(kwh(12.34), "12.3\u{a0}kWh");
        assert_eq!(kwh(123.4), "123\u{a0}kWh");
    }

    #[test]
    fn shortened_and_wrapped_text_fits() {
        let long = "quinces in their own syrup with a very long name indeed";
        assert!(width_px(&shorten(long, 13.0, 100.0), 13.0) <= 100.0);
        assert!(wrap(long, 13.0, 120.0).iter().all(|l| width_px(l, 13.0) <= 120.0));
        assert_eq!(wrap(long, 13.0, 120.0).join(" "), long);
        assert_eq!(shorten("rice", 13.0, 100.0), "rice");
        let unbroken = "kraftbrüheohneeinzigenzwischenraum";
        let lines = wrap_whole(unbroken, 13.0, 120.0);
        assert!(lines.iter().all(|l| width_px(l, 13.0) <= 120.0));
        assert_eq!(lines.concat(), unbroken);
    }
}
