//! "Did you mean": the nearest known word to a misspelt one.
//!
//! The distance counts letters put in, left out, changed, or swapped with a neighbour (optimal string alignment).

/// The known word nearest to `word`, if it is near enough to be what was meant.
#[must_use]
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // Nobody misspells a key of this length, and the table below grows with it.
    const LONGEST: usize = 64;
    let word: Vec<char> = word.trim().to_lowercase().chars().take(LONGEST + 1).collect();
    if word.is_empty() || word.len() > LONGEST {
        return None;
    }
    let allowed = (word.len() / 3).clamp(1, 3);
    known
        .into_iter()
        .map(|candidate| (distance(&word, &candidate.to_lowercase().chars().collect::<Vec<_>>()), candidate))
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

fn distance(a: &[char], b: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for (i, from) in a.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, to) in b.iter().enumerate() {
            let mut best = (row[j] + 1).min(last[j + 1] + 1).min(last[j] + usize::from(from != to));
            if i > 0 && j > 0 && *from == b[j - 1] && a[i - 1] == *to {
                best = best.min(before[j - 1] + 1);
            }
            row.push(best);
        }
        before = std::mem::replace(&mut last, row);
    }
    last.last().copied().unwrap_or(a.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_a_slip_and_leaves_a_stranger() {
        assert_eq!(nearest("tunred", ["turned", "placed"]), Some("turned"));
        assert_eq!(nearest("Firebrik", ["castable", "firebrick"]), Some("firebrick"));
        assert_eq!(nearest("bicycle", ["turned", "placed"]), None);
        assert_eq!(nearest("", ["turned"]), None);
    }
}
