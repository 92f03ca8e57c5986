//! Writing numbers for people. Nothing here changes a stored value.

use rust_decimal::{Decimal, RoundingStrategy};

use super::{CurrencyPlace, DateOrder, DecimalSign, MassUnit};

/// Between groups of three digits: a narrow space at which no line may break.
const GROUP_SPACE: char = '\u{202f}';
/// The minus sign proper, as wide as a plus sign.
const MINUS: char = '\u{2212}';
/// Shortest whole part, in digits, that is split into groups.
const GROUP_FROM: usize = 5;
/// Most decimals a `Decimal` can hold.
const MOST_PLACES: u32 = 28;

/// How numbers, days, sums of money and masses are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct NumberStyle {
    /// The sign between the whole part and the decimals.
    pub sign: DecimalSign,
    /// The order of a day in figures.
    pub dates: DateOrder,
    /// Where the sign of the currency stands.
    pub currency: CurrencyPlace,
    /// The unit of masses that a person weighs.
    pub mass: MassUnit,
}

impl NumberStyle {
    /// This decimal sign, and the usual rest.
    #[must_use]
    pub const fn with_sign(sign: DecimalSign) -> Self {
        Self {
            sign,
            dates: DateOrder::YearFirst,
            currency: CurrencyPlace::After,
            mass: MassUnit::Gram,
        }
    }
}

/// Writes `value` with exactly `places` decimals, rounded half away from zero.
///
/// Whole parts of five digits or more are split in threes by narrow no-break spaces (U+202F). Negative numbers begin
/// with U+2212; a value that rounds to zero has no sign. `places` above 28 counts as 28.
#[must_use]
pub fn format_fixed(value: Decimal, places: u32, style: NumberStyle) -> String {
    let places = places.min(MOST_PLACES);
    let rounded = half_away(value, places);
    let text = rounded.abs().to_string();
    let (whole, fraction) = text.split_once('.').unwrap_or((&text, ""));
    lay_out(rounded < Decimal::ZERO, whole, fraction, places, style)
}

/// Writes every digit of `value` and no more: no grouping, no closing zeros, `-` for negative numbers.
///
/// Meant for editing and for exchange with other programs; with a decimal point the result is what
/// [`parse_decimal`](super::parse_decimal) reads.
#[must_use]
pub fn format_plain(value: Decimal, style: NumberStyle) -> String {
    let value = if value.is_zero() { Decimal::ZERO } else { value.normalize() };
    let text = value.to_string();
    match style.sign {
        DecimalSign::Point => text,
        DecimalSign::Comma => text.replace('.', ","),
    }
}

/// Writes a mass in grams with as many decimals as the `readability` of the scale has (grams per division, above 0).
///
/// 0.1 and 0.5 give one decimal, 0.01 gives two, 1 and 5 give none. The mass is rounded to those decimals, not to a
/// division; use [`round_to_step`] first for that. No unit is added. Zero as readability gives no decimals.
#[must_use]
pub fn format_grams(value: Decimal, readability: Decimal, style: NumberStyle) -> String {
    format_fixed(value, readability.normalize().scale(), style)
}

/// The multiple of `step` nearest to `value`, half away from zero.
///
/// `value` comes back unchanged when `step` is not above zero, or when the multiple is beyond what a `Decimal` holds.
#[must_use]
pub fn round_to_step(value: Decimal, step: Decimal) -> Decimal {
    if step <= Decimal::ZERO {
        return value;
    }
    // The remainder is exact where a quotient would already be rounded.
    let nearest = value.checked_rem(step).and_then(|over| {
        let below = value.checked_sub(over)?;
        if over.abs() < step.checked_sub(over.abs())? {
            Some(below)
        } else if value < Decimal::ZERO {
            below.checked_sub(step)
        } else {
            below.checked_add(step)
        }
    });
    nearest.unwrap_or(value)
}

/// A percentage rounded to 10 decimals, half away from zero: the precision in which derived percentages are kept.
#[must_use]
pub fn percent_10(value: Decimal) -> Decimal {
    half_away(value, 10)
}

/// Writes a computed physical quantity as [`format_fixed`] does, or `–` when it is not finite.
///
/// The shortest decimal that stands for `value` is what gets rounded, so 0.285 to two places is 0.29. `places` above
/// 28 counts as 28.
#[must_use]
pub fn format_f64(value: f64, places: u32, style: NumberStyle) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    let places = places.min(MOST_PLACES);
    let text = value.abs().to_string();
    let (whole, fraction) = text.split_once('.').unwrap_or((&text, ""));
    let (whole, fraction) = round_digits(whole, fraction, places);
    let zero = whole.chars().chain(fraction.chars()).all(|digit| digit == '0');
    lay_out(value < 0.0 && !zero, &whole, &fraction, places, style)
}

fn half_away(value: Decimal, places: u32) -> Decimal {
    value.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero)
}

/// Cuts a number given as digits to at most `places` decimals, half up.
fn round_digits(whole: &str, fraction: &str, places: u32) -> (String, String) {
    let kept = usize::try_from(places).unwrap_or(usize::MAX).min(fraction.len());
    let mut digits: Vec<u8> = whole.bytes().chain(fraction.bytes()).collect();
    let mut carry = digits.get(whole.len() + kept).is_some_and(|digit| *digit >= b'5');
    digits.truncate(whole.len() + kept);
    for digit in digits.iter_mut().rev() {
        if !carry {
            break;
        }
        carry = *digit == b'9';
        *digit = if carry { b'0' } else { *digit + 1 };
    }
    if carry {
        digits.insert(0, b'1');
    }
    let decimals = digits.split_off(digits.len() - kept);
    let text = |digits: Vec<u8>| digits.into_iter().map(char::from).collect();
    (text(digits), text(decimals))
}

fn lay_out(negative: bool, whole: &str, fraction: &str, places: u32, style: NumberStyle) -> String {
    let mut text = String::new();
    if negative {
        text.push(MINUS);
    }
    for (index, digit) in whole.chars().enumerate() {
        let left = whole.len() - index;
        if index > 0 && whole.len() >= GROUP_FROM && left.is_multiple_of(3) {
            text.push(GROUP_SPACE);
        }
        text.push(digit);
    }
    if places > 0 {
        text.push(style.sign.as_char());
        text.push_str(fraction);
        let missing = usize::try_from(places).unwrap_or(0).saturating_sub(fraction.len());
        text.extend(std::iter::repeat_n('0', missing));
    }
    text
}

/// A number with every digit that it holds and no more, such as 1.503 or 21; reading it gives the
/// same number again. A dash for what is not finite.
#[must_use]
pub fn format_full(value: f64, style: NumberStyle) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    let text = format!("{value}");
    match style.sign {
        DecimalSign::Point => text,
        DecimalSign::Comma => text.replace('.', ","),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
mod tests {
    use proptest::prelude::*;

    use super::super::{Syntax, parse, parse_decimal};
    use super::*;

    const POINT: NumberStyle = NumberStyle::with_sign(DecimalSign::Point);
    const COMMA: NumberStyle = NumberStyle::with_sign(DecimalSign::Comma);

    fn d(text: &str) -> Decimal {
        text.parse().unwrap()
    }

    #[test]
    fn fixed() {
        let cases = [
            ("0", 2, "0.00"),
            ("12.345", 2, "12.35"),
            ("-12.345", 2, "\u{2212}12.35"),
            ("12.344999", 2, "12.34"),
            ("2.5", 0, "3"),
            ("-2.5", 0, "\u{2212}3"),
            ("0.5", 0, "1"),
            ("-0.004", 2, "0.00"),
            ("1732.1", 1, "1732.1"),
            ("9999.95", 1, "10\u{202f}000.0"),
            ("12345", 0, "12\u{202f}345"),
            ("123456", 0, "123\u{202f}456"),
            ("-1234567.891", 2, "\u{2212}1\u{202f}234\u{202f}567.89"),
            ("1.5", 4, "1.5000"),
        ];
        for (value, places, expected) in cases {
            assert_eq!(format_fixed(d(value), places, POINT), expected);
            assert_eq!(format_fixed(d(value), places, COMMA), expected.replace('.', ","));
        }
        assert_eq!(format_fixed(Decimal::ONE, 900, POINT).len(), 30);
        assert_eq!(format_fixed(Decimal::MAX, 28, POINT).chars().count(), 29 + 9 + 1 + 28);
    }

    #[test]
    fn plain() {
        for (value, expected) in [
            ("1.2300", "1.23"),
            ("-12345.60", "-12345.6"),
            ("100", "100"),
            ("-0.00", "0"),
            ("0.0000000001", "0.0000000001"),
        ] {
            assert_eq!(format_plain(d(value), POINT), expected);
            assert_eq!(format_plain(d(value), COMMA), expected.replace('.', ","));
        }
        assert_eq!(format_plain(-Decimal::ZERO, POINT), "0");
    }

    #[test]
    fn grams() {
        let cases = [
            ("0.1", "70.3"),
            ("0.01", "70.25"),
            ("0.001", "70.250"),
            ("0.5", "70.3"),
            ("1", "70"),
            ("5", "70"),
            ("1.0", "70"),
            ("10", "70"),
            ("0", "70"),
        ];
        for (readability, expected) in cases {
            assert_eq!(format_grams(d("70.25"), d(readability), POINT), expected, "{readability}");
        }
    }

    #[test]
    fn steps() {
        let cases = [
            ("0.15", "0.1", "0.2"),
            ("-0.15", "0.1", "-0.2"),
            ("0.1499999", "0.1", "0.1"),
            ("70.25", "0.5", "70.5"),
            ("72.5", "5", "75"),
            ("72.4", "5", "70"),
            ("0.45", "0.3", "0.6"),
            ("7", "0", "7"),
            ("7", "-1", "7"),
            ("0", "0.1", "0"),
            ("0.04", "0.1", "0"),
        ];
        for (value, step, expected) in cases {
            assert_eq!(round_to_step(d(value), d(step)), d(expected), "{value} by {step}");
        }
        assert_eq!(round_to_step(Decimal::MAX, d("10")), Decimal::MAX);
        let _ = round_to_step(Decimal::MAX, Decimal::new(3, 28));
        let _ = round_to_step(Decimal::new(3, 28), Decimal::MAX);
        let _ = round_to_step(Decimal::MIN, Decimal::MAX);
    }

    #[test]
    fn ten_decimals() {
        assert_eq!(percent_10(d("33.33333333335")), d("33.3333333334"));
        assert_eq!(percent_10(d("-33.33333333335")), d("-33.3333333334"));
        assert_eq!(percent_10(d("12.5")), d("12.5"));
    }

    #[test]
    fn floats() {
        let cases = [
            (0.0, 1, "0.0"),
            (-0.04, 1, "0.0"),
            (0.285, 2, "0.29"),
            (2.5, 0, "3"),
            (-2.5, 0, "\u{2212}3"),
            (9999.96, 1, "10\u{202f}000.0"),
            (99.95, 1, "100.0"),
            (0.96, 0, "1"),
            (1e-7, 3, "0.000"),
            (12.0, 2, "12.00"),
            (
                1e21,
                0,
                "1\u{202f}000\u{202f}000\u{202f}000\u{202f}000\u{202f}000\u{202f}000\u{202f}000",
            ),
            (f64::NAN, 2, "–"),
            (f64::INFINITY, 2, "–"),
            (f64::NEG_INFINITY, 2, "–"),
        ];
        for (value, places, expected) in cases {
            assert_eq!(format_f64(value, places, POINT), expected, "{value}");
        }
        assert_eq!(format_f64(1.25, 1, COMMA), "1,3");
        let _ = format_f64(f64::MAX, 99, COMMA);
        let _ = format_f64(f64::MIN_POSITIVE, 99, COMMA);
    }

    fn decimals() -> impl Strategy<Value = Decimal> {
        (-1_000_000_000_000_000_i64..=1_000_000_000_000_000, 3_u32..=12)
            .prop_map(|(mantissa, scale)| Decimal::new(mantissa, scale))
    }

    fn styles() -> impl Strategy<Value = NumberStyle> {
        prop_oneof![Just(POINT), Just(COMMA)]
    }

    fn entries() -> impl Strategy<Value = String> {
        const TOKENS: [&str; 24] = [
            "1e-28",
            "1e12",
            "0",
            "3",
            "7",
            "0.1",
            "1,234",
            "1.234",
            "999999999999.5",
            "1 000",
            "+",
            "-",
            "*",
            "/",
            " x ",
            "/",
            "(",
            ")",
            " g",
            " kg",
            " lb 4 oz",
            "%",
            "(1/3)",
            " ",
        ];
        prop_oneof![
            prop::collection::vec(prop::sample::select(&TOKENS[..]), 0..12)
                .prop_map(|all| all.concat()),
            any::<String>(),
            "[0-9.,' \u{202f}+*/x()=eE\u{2212}%gkmozlbC°-]{0,40}",
            "[0-9]{1,4}[.,' ]?[0-9]{0,4}[.,]?[0-9]{0,4}( ?(g|kg|lb|oz|%))?( ?[x+*/-] ?[0-9]{1,3}( g)?)?",
            "[(]{0,40}[0-9]{1,30}e?[0-9]{0,12}[)]{0,40}",
        ]
    }

    fn swap(text: &str) -> String {
        let other = |c| match c {
            '.' => ',',
            ',' => '.',
            c => c,
        };
        text.chars().map(other).collect()
    }

    proptest! {
        #[test]
        fn fixed_reads_back(value in decimals(), places in 0_u32..=12, style in styles()) {
            let syntax = Syntax { sign: style.sign, allow_relative: false };
            let typed = parse(&format_fixed(value, places, style), syntax).unwrap();
            prop_assert_eq!(typed.value, half_away(value, places));
            prop_assert_eq!(typed.unit, None);
        }

        #[test]
        fn plain_reads_back(value in decimals(), style in styles()) {
            let syntax = Syntax { sign: style.sign, allow_relative: false };
            prop_assert_eq!(parse(&format_plain(value, style), syntax).unwrap().value, value);
            prop_assert_eq!(parse_decimal(&format_plain(value, POINT)), Ok(value));
            prop_assert_eq!(parse_decimal(&value.to_string()), Ok(value));
        }

        #[test]
        fn nothing_panics(text in entries(), allow_relative in any::<bool>()) {
            for sign in [DecimalSign::Point, DecimalSign::Comma] {
                let _ = parse_decimal(&text);
                match parse(&text, Syntax { sign, allow_relative }) {
                    Ok(typed) => prop_assert!(typed.value.abs() <= d("1000000000000")),
                    Err(error) => {
                        prop_assert!((1..=201).contains(&error.column));
                        prop_assert!(!error.to_string().is_empty());
                    }
                }
            }
        }

        #[test]
        fn settings_mirror_each_other(text in entries()) {
            let [point, comma] = [DecimalSign::Point, DecimalSign::Comma]
                .map(|sign| Syntax { sign, allow_relative: true });
            match (parse(&text, point), parse(&swap(&text), comma)) {
                (Ok(one), Ok(other)) => prop_assert_eq!(one, other),
                (Err(one), Err(other)) => prop_assert_eq!(one.column, other.column),
                (one, other) => prop_assert!(false, "{one:?} but {other:?}"),
            }
        }

        #[test]
        fn steps_are_nearest(value in decimals(), step in 1_i64..=100_000, scale in 0_u32..=6) {
            let step = Decimal::new(step, scale);
            let rounded = round_to_step(value, step);
            prop_assert_eq!(round_to_step(rounded, step), rounded);
            prop_assert!((rounded - value).abs() * Decimal::TWO <= step);
            prop_assert!((rounded % step).is_zero());
            prop_assert_eq!(round_to_step(-value, step), -rounded);
        }

        #[test]
        fn floats_agree_with_decimals(value in -1_000_000_000_i64..1_000_000_000, scale in 0_u32..=6, places in 0_u32..=7) {
            let exact = Decimal::new(value, scale);
            let float: f64 = exact.to_string().parse().unwrap();
            prop_assert_eq!(format_f64(float, places, POINT), format_fixed(exact, places, POINT));
        }

        #[test]
        fn any_value_can_be_written(lo in any::<u32>(), mid in any::<u32>(), hi in any::<u32>(), scale in 0_u32..=28, float in any::<f64>(), places in any::<u32>()) {
            let value = Decimal::from_parts(lo, mid, hi, lo % 2 == 1, scale);
            let _ = (format_fixed(value, places, POINT), format_plain(value, COMMA), percent_10(value));
            let _ = (format_grams(value, value, POINT), format_f64(float, places, COMMA));
            let _ = (round_to_step(value, Decimal::new(1, scale)), round_to_step(Decimal::ONE, value));
        }
    }
}
