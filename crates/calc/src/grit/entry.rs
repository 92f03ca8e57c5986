//! Grain sizes in the words of suppliers: "40/60 mesh", "250-500 µm", "95 % below 500 µm",
//! "D10 150, D50 300, D90 550".

use super::sieves::{opening_of_mesh, parse_mesh_range};
use super::sizes::{GrainSize, SizeData, SizeError, USUAL_SIGMA};
use crate::number::{NumberStyle, Syntax, format_f64, parse};

/// Share that is taken to pass a single stated sieve (model assumption: a "60 mesh" powder passes
/// No. 60 but for a trace).
const PASSES: f64 = 0.95;

/// Share that "100 %" or "0 %" is taken to leave (model assumption).
const ALL_BUT: f64 = 0.01;

/// Why an entry is not understood.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum EntryError {
    /// Nothing was typed.
    #[error("type the sizes as the supplier gives them, such as 40/60 mesh or 250-500 um")]
    Empty,
    /// Two numbers that may be sieves or micrometres.
    #[error("say whether {0} and {1} are mesh or um")]
    MeshOrUm(String, String),
    /// A sieve that is not in the series.
    #[error("{0} is no sieve of ASTM E11; give the range in um")]
    NoSieve(String),
    /// A number that cannot be read.
    #[error("{0}")]
    Number(String),
    /// Two units of length.
    #[error("write all sizes in one unit, um or mm")]
    TwoUnits,
    /// A single size says nothing about the spread.
    #[error("one size alone gives no range; add a second, or a share such as 95 % below it")]
    OneSize,
    /// More statements than can be read this way.
    #[error("three or more shares are a sieve table; enter them there")]
    TooMany,
    /// No pattern fits.
    #[error(
        "not understood; write 40/60 mesh, 250-500 um, 95 % below 500 um, or D10 150 D50 300 D90 550"
    )]
    Unknown,
    /// Understood, but the sizes cannot be.
    #[error(transparent)]
    Size(#[from] SizeError),
}

#[derive(Clone, Debug, PartialEq)]
enum Token {
    Number(f64, String),
    Word(String),
    Sign(char),
}

/// Reads sizes in the words of a supplier. Lengths are micrometres unless "mm" follows; decimal
/// signs as the syntax has them.
///
/// # Errors
/// When the words fit no pattern, could mean two things, or name sizes that cannot be.
///
/// # Examples
/// ```
/// use quern_calc::grit::entry::read_sizes;
/// use quern_calc::grit::sizes::SizeData;
/// use quern_calc::number::Syntax;
///
/// let sizes = read_sizes("40/60 mesh", Syntax::default());
/// assert_eq!(sizes, Ok(SizeData::SieveRange { lo_um: 250.0, hi_um: 425.0 }));
/// assert!(read_sizes("40-60", Syntax::default()).is_err());
/// ```
pub fn read_sizes(text: &str, syntax: Syntax) -> Result<SizeData, EntryError> {
    let tokens = tokens(text, syntax)?;
    if tokens.is_empty() {
        return Err(EntryError::Empty);
    }
    let named = |unit: &str| tokens.iter().any(|t| matches!(t, Token::Word(w) if w == unit));
    if named("mm") && (named("um") || named("micron") || named("microns")) {
        return Err(EntryError::TwoUnits);
    }
    let sizes = pattern(&tokens)?;
    GrainSize::fit(&sizes)?;
    Ok(sizes)
}

fn tokens(text: &str, syntax: Syntax) -> Result<Vec<Token>, EntryError> {
    let text = text.to_lowercase().replace(['\u{b5}', '\u{3bc}'], "u");
    let mut out = Vec::new();
    let mut rest = text.as_str();
    while let Some(c) = rest.chars().next() {
        let end = |test: &dyn Fn(char) -> bool| rest.find(|c| !test(c)).unwrap_or(rest.len());
        if c.is_ascii_digit() {
            let all =
                rest.get(..end(&|c| c.is_ascii_digit() || c == '.' || c == ',')).unwrap_or("");
            // A full stop or comma that ends a phrase is not part of the number.
            let number = all.trim_end_matches(['.', ',']);
            let value = parse(number, syntax).map_err(|e| EntryError::Number(e.to_string()))?;
            out.push(Token::Number(
                crate::quantity::decimal_to_f64(value.value),
                number.to_owned(),
            ));
            rest = rest.get(number.len()..).unwrap_or("");
        } else if c.is_alphabetic() {
            // "d10", "d(0.5)" and "x50" carry a number of their own.
            let word = rest.get(..end(&|c| c.is_alphabetic())).unwrap_or("");
            let after = rest.get(word.len()..).unwrap_or("");
            let digits: String = after.chars().take_while(char::is_ascii_digit).collect();
            if matches!(word, "d" | "x") && matches!(digits.as_str(), "10" | "50" | "90") {
                out.push(Token::Word(format!("d{digits}")));
                rest = after.get(digits.len()..).unwrap_or("");
            } else {
                out.push(Token::Word(word.to_owned()));
                rest = after;
            }
        } else {
            if !c.is_whitespace() && !matches!(c, ',' | ';' | ':' | '=' | '(' | ')' | '.') {
                let c = if matches!(c, '\u{2013}' | '\u{2212}') { '-' } else { c };
                out.push(Token::Sign(c));
            }
            rest = rest.get(c.len_utf8()..).unwrap_or("");
        }
    }
    Ok(out)
}

fn pattern(tokens: &[Token]) -> Result<SizeData, EntryError> {
    let word = |w: &str| tokens.iter().any(|t| matches!(t, Token::Word(x) if x == w));
    let sign = |s: char| tokens.contains(&Token::Sign(s));
    let numbers: Vec<(f64, &str)> = tokens
        .iter()
        .filter_map(|t| match t {
            Token::Number(x, text) => Some((*x, text.as_str())),
            _ => None,
        })
        .collect();
    if tokens.iter().any(|t| matches!(t, Token::Word(w) if is_percentile(w))) {
        return percentiles(tokens);
    }
    if sign('%') {
        return shares(tokens);
    }
    if word("mesh") || word("no") || sign('#') || (sign('/') && !lengths_named(tokens)) {
        return meshes(&numbers, sign('+'));
    }
    match numbers.as_slice() {
        [(a, _), (b, _)] if lengths_named(tokens) => {
            let scale = scale_of(tokens);
            let (a, b) = (a * scale, b * scale);
            Ok(SizeData::SieveRange { lo_um: a.min(b), hi_um: a.max(b) })
        }
        [(_, a), (_, b)] => Err(EntryError::MeshOrUm((*a).to_owned(), (*b).to_owned())),
        [_] => Err(EntryError::OneSize),
        _ => Err(EntryError::Unknown),
    }
}

fn is_percentile(word: &str) -> bool {
    matches!(word, "d10" | "d50" | "d90")
}

fn is_length(word: &str) -> bool {
    matches!(word, "um" | "mm" | "micron" | "microns" | "micrometre" | "micrometres")
}

fn lengths_named(tokens: &[Token]) -> bool {
    tokens.iter().any(|t| matches!(t, Token::Word(w) if is_length(w)))
}

/// Micrometres in the unit of the entry.
fn scale_of(tokens: &[Token]) -> f64 {
    let mm = tokens.iter().any(|t| matches!(t, Token::Word(w) if w == "mm"));
    if mm { 1000.0 } else { 1.0 }
}

fn is_above(word: &str) -> bool {
    matches!(
        word,
        "above" | "over" | "on" | "coarser" | "larger" | "greater" | "bigger" | "retained" | "kept"
    )
}

fn meshes(numbers: &[(f64, &str)], kept: bool) -> Result<SizeData, EntryError> {
    let opening =
        |text: &str| opening_of_mesh(text).ok_or_else(|| EntryError::NoSieve(text.to_owned()));
    match numbers {
        [(_, a)] => {
            // "+100 mesh" is what stays on the sieve.
            let share = if kept { 1.0 - PASSES } else { PASSES };
            Ok(SizeData::Below { um: opening(a)?, share, sigma: USUAL_SIGMA })
        }
        [(_, a), (_, b)] => {
            opening(a)?;
            opening(b)?;
            parse_mesh_range(&format!("{a}/{b}")).ok_or(EntryError::OneSize)
        }
        _ => Err(EntryError::Unknown),
    }
}

fn percentiles(tokens: &[Token]) -> Result<SizeData, EntryError> {
    let scale = scale_of(tokens);
    let after = |name: &str| {
        let at = tokens.iter().position(|t| matches!(t, Token::Word(w) if w == name))?;
        tokens.iter().skip(at + 1).find_map(|t| match t {
            Token::Number(x, _) => Some(x * scale),
            _ => None,
        })
    };
    match (after("d10"), after("d50"), after("d90")) {
        (Some(d10_um), Some(d50_um), Some(d90_um)) => {
            Ok(SizeData::Percentiles { d10_um, d50_um, d90_um })
        }
        (Some(a), None, Some(b)) => {
            Ok(SizeData::TwoPoints { d1_um: a, p1: 0.1, d2_um: b, p2: 0.9 })
        }
        (Some(a), Some(b), None) => {
            Ok(SizeData::TwoPoints { d1_um: a, p1: 0.1, d2_um: b, p2: 0.5 })
        }
        (None, Some(a), Some(b)) => {
            Ok(SizeData::TwoPoints { d1_um: a, p1: 0.5, d2_um: b, p2: 0.9 })
        }
        (None, Some(um), None) => Ok(SizeData::Below { um, share: 0.5, sigma: USUAL_SIGMA }),
        _ => Err(EntryError::OneSize),
    }
}

/// "95 % below 500 um" and the like, one or two of them; the size may come first, as in
/// "<= 500 um: >= 95 %", and may be a sieve, as in "98 % passes 60 mesh".
fn shares(tokens: &[Token]) -> Result<SizeData, EntryError> {
    let scale = scale_of(tokens);
    let sieves = tokens.iter().any(|t| match t {
        Token::Word(w) => w == "mesh" || w == "no",
        t => *t == Token::Sign('#'),
    });
    let mut found: Vec<(f64, f64)> = Vec::new();
    let (mut share, mut size): (Option<f64>, Option<(f64, bool)>) = (None, None);
    let mut above = false;
    let mut pair = |um: f64, above: bool, share: f64| {
        let below = if above { 1.0 - share } else { share };
        // "All of it" is what a sieve shows, not what a curve can: all but a hundredth.
        let all = (share - 1.0).abs() < 1e-9 || share.abs() < 1e-9;
        found.push((um, if all { below.clamp(ALL_BUT, 1.0 - ALL_BUT) } else { below }));
    };
    for (i, token) in tokens.iter().enumerate() {
        match token {
            Token::Number(x, _) if tokens.get(i + 1) == Some(&Token::Sign('%')) => {
                match size.take() {
                    // What stood before the size says which side; a sign here means "at least".
                    Some((um, above)) => pair(um, above, x / 100.0),
                    None if share.is_some() => return Err(EntryError::Unknown),
                    None => share = Some(x / 100.0),
                }
                above = false;
            }
            Token::Sign('>' | '\u{2265}' | '+') => above = true,
            Token::Sign('<' | '\u{2264}') => above = false,
            Token::Word(w) if is_above(w) => above = true,
            Token::Number(x, text) => {
                let um = if sieves {
                    opening_of_mesh(text).ok_or_else(|| EntryError::NoSieve(text.clone()))?
                } else {
                    x * scale
                };
                match share.take() {
                    Some(share) => pair(um, above, share),
                    None if size.is_some() => return Err(EntryError::Unknown),
                    None => size = Some((um, above)),
                }
                above = false;
            }
            _ => {}
        }
    }
    if share.is_some() || size.is_some() {
        return Err(EntryError::Unknown);
    }
    match found.as_slice() {
        [(um, share)] => Ok(SizeData::Below { um: *um, share: *share, sigma: USUAL_SIGMA }),
        [(d1_um, p1), (d2_um, p2)] => {
            Ok(SizeData::TwoPoints { d1_um: *d1_um, p1: *p1, d2_um: *d2_um, p2: *p2 })
        }
        [] => Err(EntryError::Unknown),
        _ => Err(EntryError::TooMany),
    }
}

/// How an entry was understood, with what was assumed.
#[must_use]
pub fn understood(sizes: &SizeData, style: NumberStyle) -> String {
    let um = |x: f64| format_f64(x, u32::from(x < 10.0), style);
    let percent = |share: f64| format_f64(100.0 * share, 0, style);
    match sizes {
        SizeData::SieveRange { lo_um, hi_um } => format!(
            "between {} and {} µm; 5 % of the mass is taken to be finer and 5 % coarser",
            um(*lo_um),
            um(*hi_um)
        ),
        SizeData::Percentiles { d10_um, d50_um, d90_um } => {
            let mut text =
                format!("D10 {}, D50 {}, D90 {} µm", um(*d10_um), um(*d50_um), um(*d90_um));
            if GrainSize::asymmetry(sizes).is_some_and(|a| a.abs() > 0.15) {
                text.push_str("; lopsided, so that the fitted curve is a rough one");
            }
            text
        }
        SizeData::TwoPoints { d1_um, p1, d2_um, p2 } => format!(
            "{} % below {} µm and {} % below {} µm",
            percent(*p1),
            um(*d1_um),
            percent(*p2),
            um(*d2_um)
        ),
        SizeData::Below { um: d, share, sigma } => format!(
            "{} % below {} µm; the spread is not stated and taken as {}, as usual for a grade",
            percent(*share),
            um(*d),
            format_f64(*sigma, 2, style)
        ),
        SizeData::Sieved(table) => format!("a sieve table of {} sieves", table.rows.len()),
        SizeData::Lognormal { d50_um, sigma } => {
            format!("median {} µm, spread {}", um(*d50_um), format_f64(*sigma, 2, style))
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::number::DecimalSign;

    fn read(text: &str) -> Result<SizeData, EntryError> {
        read_sizes(text, Syntax::default())
    }

    #[test]
    fn words_of_suppliers() {
        let range = |lo_um, hi_um| SizeData::SieveRange { lo_um, hi_um };
        for (text, sizes) in [
            ("40/60", range(250.0, 425.0)),
            ("40/60 mesh", range(250.0, 425.0)),
            ("Mesh 60-40", range(250.0, 425.0)),
            ("-40 +60 mesh", range(250.0, 425.0)),
            ("No. 40 / No. 60", range(250.0, 425.0)),
            ("250-500 um", range(250.0, 500.0)),
            ("250 \u{2013} 500 \u{b5}m", range(250.0, 500.0)),
            ("500 to 250 micron", range(250.0, 500.0)),
            ("0.2-0.5 mm", range(200.0, 500.0)),
            ("60 mesh", SizeData::Below { um: 250.0, share: 0.95, sigma: USUAL_SIGMA }),
            ("95 % below 500 um", SizeData::Below { um: 500.0, share: 0.95, sigma: USUAL_SIGMA }),
            ("95% < 500", SizeData::Below { um: 500.0, share: 0.95, sigma: USUAL_SIGMA }),
            (
                "10 % below 200 um, 95 % below 500 um",
                SizeData::TwoPoints { d1_um: 200.0, p1: 0.1, d2_um: 500.0, p2: 0.95 },
            ),
            (
                "D10 150, D50 300, D90 550",
                SizeData::Percentiles { d10_um: 150.0, d50_um: 300.0, d90_um: 550.0 },
            ),
            (
                "d10=0.15 d50=0.3 d90=0.55 mm",
                SizeData::Percentiles { d10_um: 150.0, d50_um: 300.0, d90_um: 550.0 },
            ),
            (
                "\u{2264} 500 \u{b5}m: \u{2265} 95 %",
                SizeData::Below { um: 500.0, share: 0.95, sigma: USUAL_SIGMA },
            ),
            ("98 % passes 60 mesh", SizeData::Below { um: 250.0, share: 0.98, sigma: USUAL_SIGMA }),
            ("d50: 300 um", SizeData::Below { um: 300.0, share: 0.5, sigma: USUAL_SIGMA }),
        ] {
            assert_eq!(read(text).as_ref(), Ok(&sizes), "{text}");
        }
        let SizeData::TwoPoints { p1, p2, .. } =
            read("90 % above 200 um and 5 % over 500").unwrap()
        else {
            panic!("two points expected");
        };
        assert!((p1 - 0.1).abs() < 1e-12 && (p2 - 0.95).abs() < 1e-12);
    }

    #[test]
    fn which_side_of_the_size_is_meant() {
        for (text, um, below) in [
            ("5 % \u{2265} 500 um", 500.0, 0.95),
            ("95 % larger than 200 um", 200.0, 0.05),
            ("3 % retained on 60 mesh", 250.0, 0.97),
            ("+100 mesh", 150.0, 0.05),
            ("98 % passes No. 60", 250.0, 0.98),
            ("2 % on #60", 250.0, 0.98),
            ("100 % below 500 um", 500.0, 0.99),
            ("0 % above 500 um", 500.0, 0.99),
            ("95 % +100 mesh", 150.0, 0.05),
        ] {
            let Ok(SizeData::Below { um: d, share, .. }) = read(text) else {
                panic!("{text}: {:?}", read(text));
            };
            assert!((d - um).abs() < 1e-9 && (share - below).abs() < 1e-9, "{text}: {d} {share}");
        }
    }

    #[test]
    fn what_is_not_clear_is_asked_about() {
        for (text, words) in [
            ("", "as the supplier"),
            ("40-60", "mesh or um"),
            ("250 500", "mesh or um"),
            ("41/60 mesh", "no sieve"),
            ("300 um", "one size"),
            ("90 um - 0.5 mm", "one unit"),
            ("fine", "not understood"),
            ("% % %", "not understood"),
            ("0-500 um", "finer sieve"),
            ("95 % below 0 um", "size"),
            ("95 % below 200 um, 10 % below 500 um", "larger share"),
            ("10 % < 100, 50 % < 200, 90 % < 400", "sieve table"),
            ("D10 500 D50 300 D90 100", "must not exceed"),
            ("200 % below 500 um", "share"),
        ] {
            let error = read(text).unwrap_err().to_string();
            assert!(error.contains(words), "{text}: {error}");
        }
    }

    #[test]
    fn a_decimal_comma() {
        let syntax = Syntax { sign: DecimalSign::Comma, ..Syntax::default() };
        let sizes = read_sizes("0,25-0,5 mm", syntax).unwrap();
        assert_eq!(sizes, SizeData::SieveRange { lo_um: 250.0, hi_um: 500.0 });
        assert!(read_sizes("99,5 % < 500 um", syntax).is_ok());
    }

    proptest::proptest! {
        #[test]
        fn no_text_is_too_odd(text in ".{0,60}") {
            if let Ok(sizes) = read(&text) {
                let _ = understood(&sizes, NumberStyle::default());
            }
        }

        #[test]
        fn nor_one_of_the_right_words(
            words in proptest::collection::vec(
                proptest::sample::select(vec![
                    "40", "60", "/", "-", "%", "mesh", "um", "mm", "below", "above", "d10", "d50",
                    "d90", "0", "1e9", "999999999999", ",", ".", "<", ">", "no.", "#", "µm",
                ]),
                0..9,
            ),
        ) {
            let _ = read(&words.join(" "));
        }
    }
}
