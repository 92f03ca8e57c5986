//! Figures ready to be set in a column, aligned on the decimal mark.

use quern_calc::number::{DecimalSign, NumberStyle, format_fixed, format_plain};
use quern_calc::quantity::derived;
use rust_decimal::Decimal;

/// What stands where there is no figure.
pub(crate) const DASH: &str = "\u{2013}";

/// A number as printed, what pads it to the decimal mark of its column, and the number itself.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Figure {
    /// As printed; [`DASH`] where there is none.
    pub text: String,
    /// The decimals that others in the column have and this one lacks; set unseen.
    pub tail: String,
    /// With a decimal point and no grouping, for other programs; empty where there is none.
    pub plain: String,
    places: u32,
}

impl Figure {
    /// No figure.
    pub fn none() -> Self {
        Self { text: DASH.to_owned(), ..Self::default() }
    }

    /// `value` with this many decimals.
    pub fn new(value: Decimal, places: u32, style: NumberStyle) -> Self {
        Self {
            text: format_fixed(value, places, style),
            tail: String::new(),
            plain: bare(value, places),
            places,
        }
    }

    /// As [`Figure::new`]; the plain form keeps every digit, and at least `places` decimals.
    pub fn exact(value: Decimal, places: u32, style: NumberStyle) -> Self {
        Self { plain: every_digit(value, places), ..Self::new(value, places, style) }
    }

    /// With a sign even above zero.
    pub fn signed(self) -> Self {
        if self.plain.starts_with('-') || self.plain.bytes().all(|b| matches!(b, b'0' | b'.')) {
            return self;
        }
        Self { text: format!("+{}", self.text), ..self }
    }

    /// With "±" in front.
    pub fn plus_minus(self) -> Self {
        if self.plain.is_empty() {
            self
        } else {
            Self { text: format!("\u{b1}{}", self.text), ..self }
        }
    }

    /// True where there is none.
    pub fn is_none(&self) -> bool {
        self.plain.is_empty()
    }
}

/// Pads the figures of one column to a common decimal mark.
pub(crate) fn align<'a>(column: impl IntoIterator<Item = &'a mut Figure>, style: NumberStyle) {
    let column: Vec<&mut Figure> = column.into_iter().collect();
    let most = column.iter().map(|f| f.places).max().unwrap_or(0);
    for figure in column {
        let missing = most.saturating_sub(figure.places);
        figure.tail.clear();
        if missing == 0 {
            continue;
        }
        if figure.places == 0 {
            figure.tail.push(style.sign.as_char());
        }
        figure.tail.extend(std::iter::repeat_n('0', usize::try_from(missing).unwrap_or(0)));
    }
}

/// Decimals to print of a percentage: two, or as many as it was given with up to four, so
/// that 0.005 % does not read 0.01.
pub(crate) fn percent_places(value: Decimal) -> u32 {
    let given = value.normalize().scale();
    if given <= 4 {
        given.max(2)
    } else if value.abs() < Decimal::new(1, 1) {
        4
    } else {
        2
    }
}

const POINT: NumberStyle = NumberStyle::with_sign(DecimalSign::Point);

/// Digits, a decimal point and an ASCII minus, nothing else.
fn bare(value: Decimal, places: u32) -> String {
    format_fixed(value, places, POINT)
        .chars()
        .filter_map(|c| match c {
            '\u{2212}' => Some('-'),
            '0'..='9' | '.' => Some(c),
            _ => None,
        })
        .collect()
}

fn every_digit(value: Decimal, places: u32) -> String {
    let value = derived(value);
    if value.normalize().scale() <= places {
        bare(value, places)
    } else {
        format_plain(value, POINT)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn d(text: &str) -> Decimal {
        text.parse().unwrap_or_default()
    }

    #[test]
    fn columns_align_on_the_mark() {
        let comma = NumberStyle::with_sign(DecimalSign::Comma);
        let mut column = [
            Figure::new(d("588.9"), 1, comma),
            Figure::new(d("3.46"), 2, comma),
            Figure::new(d("12"), 0, comma),
            Figure::none(),
        ];
        align(&mut column, comma);
        let shown: Vec<(&str, &str)> =
            column.iter().map(|f| (f.text.as_str(), f.tail.as_str())).collect();
        assert_eq!(shown, [("588,9", "0"), ("3,46", ""), ("12", ",00"), ("\u{2013}", ",00")]);
    }

    #[test]
    fn plain_numbers_have_a_point_and_no_groups() {
        let comma = NumberStyle::with_sign(DecimalSign::Comma);
        assert_eq!(Figure::new(d("-12345.678"), 1, comma).plain, "-12345.7");
        assert_eq!(Figure::exact(d("1731.9587628866"), 2, comma).plain, "1731.9587628866");
        assert_eq!(Figure::exact(d("1800"), 2, comma).plain, "1800.00");
        assert_eq!(Figure::none().plus_minus(), Figure::none());
    }

    #[test]
    fn signs() {
        let point = NumberStyle::default();
        assert_eq!(Figure::new(d("0.1"), 2, point).signed().text, "+0.10");
        assert_eq!(Figure::new(d("-0.1"), 2, point).signed().text, "\u{2212}0.10");
        assert_eq!(Figure::new(d("0.001"), 2, point).signed().text, "0.00");
    }

    #[test]
    fn small_percentages_keep_their_digits() {
        for (value, places) in
            [("34", 2), ("0.005", 3), ("0.0125", 4), ("33.3333333333", 2), ("0.0333333333", 4)]
        {
            assert_eq!(percent_places(d(value)), places, "{value}");
        }
    }
}
