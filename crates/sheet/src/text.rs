//! A user's text on its way to paper.

use quern_calc::formula::Formula;

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

/// Text that stays text in HTML, in an element and in an attribute.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            _ => out.push(c),
        }
    }
    out
}

/// The text without a place to break between a number and its unit.
pub(crate) fn bound(text: &str) -> String {
    const NO_BREAK_SPACE: char = '\u{a0}';
    const UNITS: [&str; 8] = ["g", "kg", "mg", "%", "\u{b0}C", "\u{b5}m", "\u{3bc}m", "min"];
    let mut out = String::with_capacity(text.len());
    for word in text.split_inclusive(' ') {
        let bare = word.trim_end_matches([' ', ',', ';', '.', ':', ')']);
        let mut before = out.chars().rev();
        if UNITS.contains(&bare)
            && before.next() == Some(' ')
            && before.next().is_some_and(|c| c.is_ascii_digit())
        {
            out.pop();
            out.push(NO_BREAK_SPACE);
        }
        out.push_str(word);
    }
    out
}

/// What a sheet rests on with its edition; empty without one.
pub(crate) fn edition(what: &str, edition: &str) -> String {
    match clean(edition) {
        edition if edition.is_empty() => edition,
        edition => format!("{what} {edition}"),
    }
}

/// The parts that are not empty, joined.
pub(crate) fn joined(parts: &[String], by: &str) -> String {
    parts.iter().filter(|p| !p.is_empty()).cloned().collect::<Vec<_>>().join(by)
}

/// A name for a file: without signs that file systems refuse, and not too long.
pub(crate) fn file_name(title: &str, extension: &str) -> String {
    let stem: String =
        title.chars().map(|c| if r#"/\:*?"<>|"#.contains(c) { '-' } else { c }).take(120).collect();
    let stem = clean(stem.trim_start_matches(['.', '-', ' ']));
    format!("{stem}.{extension}")
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

/// The names of the formulas; where two are alike, their versions tell them apart.
pub(crate) fn names(formulas: &[&Formula]) -> Vec<String> {
    let name = |f: &Formula| match clean(&f.name) {
        name if name.is_empty() => "Unnamed formula".to_owned(),
        name => name,
    };
    let mut names: Vec<String> = formulas.iter().map(|f| name(f)).collect();
    let alike = |names: &[String], at: usize| {
        names.iter().enumerate().any(|(i, n)| i != at && names.get(at) == Some(n))
    };
    let plain = names.clone();
    for (at, formula) in formulas.iter().enumerate() {
        if let Some(name) = names.get_mut(at).filter(|_| alike(&plain, at)) {
            name.push_str(&format!(", version {}", formula.version.number));
        }
    }
    let versioned = names.clone();
    for at in 0..formulas.len() {
        if let Some(name) = names.get_mut(at).filter(|_| alike(&versioned, at)) {
            name.push_str(&format!(" ({})", at + 1));
        }
    }
    names
}

/// The words with a capital first.
pub(crate) fn capital(words: &str) -> String {
    let mut signs = words.chars();
    signs.next().map_or(String::new(), |c| c.to_uppercase().chain(signs).collect())
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
    fn markup_stays_text() {
        assert_eq!(
            escaped(r#"<script>a && "b" 'c'</script>"#),
            "&lt;script&gt;a &amp;&amp; &quot;b&quot; &#39;c&#39;&lt;/script&gt;"
        );
    }

    #[test]
    fn names() {
        assert!(name_helps("Jojoba beads", "Hydrogenated Jojoba Oil, bead"));
        assert!(!name_helps("stearyl alcohol", "Stearyl Alcohol"));
        assert!(!name_helps("White kaolin", "Kaolin, white"));
        assert!(!name_helps("", "Kaolin"));
    }

    #[test]
    fn numbers_keep_their_units() {
        assert_eq!(
            bound("D90 692 \u{b5}m is above 350 \u{b5}m: 2 %, a % b"),
            "D90 692\u{a0}\u{b5}m is above 350\u{a0}\u{b5}m: 2\u{a0}%, a % b"
        );
    }

    #[test]
    fn number_ranges() {
        assert_eq!(ranges(&[9, 10, 11, 14]), "9\u{2013}11, 14");
        assert_eq!(ranges(&[1, 2]), "1, 2");
        assert_eq!(ranges(&[]), "");
    }
}
