//! A user's text on its way to paper.

/// One line of text without control characters or marks that reorder what follows them.
///
/// Line breaks and tabs become spaces; runs of spaces become one.
pub(crate) fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        let c = if c.is_control() || matches!(c, '\u{2028}' | '\u{2029}') { ' ' } else { c };
        // Embeddings, overrides and isolates would turn the figures beside them around.
        if matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}') {
            continue;
        }
        if c == ' ' && (out.is_empty() || out.ends_with(' ')) {
            continue;
        }
        out.push(c);
    }
    out.truncate(out.trim_end_matches(' ').len());
    out
}

/// True when a display name tells something that the INCI name does not.
pub(crate) fn name_helps(name: &str, inci: &str) -> bool {
    let words = |text: &str| -> Vec<String> {
        text.to_lowercase()
            .split(|c: char| !c.is_alphanumeric())
            .filter(|w| !w.is_empty())
            .map(str::to_owned)
            .collect()
    };
    let known = words(inci);
    words(name).iter().any(|w| !known.contains(w))
}

/// Line numbers as ranges: "9\u{2013}11, 14".
pub(crate) fn ranges(numbers: &[usize]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for &n in numbers {
        match runs.last_mut() {
            Some((_, end)) if *end + 1 == n => *end = n,
            _ => runs.push((n, n)),
        }
    }
    runs.iter()
        .map(|(a, b)| match b - a {
            0 => a.to_string(),
            1 => format!("{a}, {b}"),
            _ => format!("{a}\u{2013}{b}"),
        })
        .collect::<Vec<_>>()
        .join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cleaning() {
        assert_eq!(clean("  a\r\nb\t c\u{0} \u{202e}d "), "a b c d");
        assert_eq!(clean("\u{5e9}\u{5dc} \u{1f33f} <b>"), "\u{5e9}\u{5dc} \u{1f33f} <b>");
        assert_eq!(clean("\n\n"), "");
    }

    #[test]
    fn names() {
        assert!(name_helps("Jojoba beads", "Hydrogenated Jojoba Oil, bead"));
        assert!(!name_helps("stearyl alcohol", "Stearyl Alcohol"));
        assert!(!name_helps("White kaolin", "Kaolin, white"));
        assert!(!name_helps("", "Kaolin"));
    }

    #[test]
    fn number_ranges() {
        assert_eq!(ranges(&[9, 10, 11, 14]), "9\u{2013}11, 14");
        assert_eq!(ranges(&[1, 2]), "1, 2");
        assert_eq!(ranges(&[]), "");
    }
}
