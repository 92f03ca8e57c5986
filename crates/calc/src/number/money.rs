//! Sums of money with the sign of their currency.

use super::NumberStyle;

/// Where the sign of a currency stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum CurrencyPlace {
    /// `€12.50`, `EUR 12.50`
    Before,
    /// `12.50 €`, `12.50 EUR`
    #[default]
    After,
}

impl CurrencyPlace {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Before, Self::After];
}

/// A written number with its currency in the place that the style asks for. Nothing is added
/// where the project has no currency. Before the number, a sign such as `€` stands close and a
/// word such as `EUR` apart; a minus stays in front.
#[must_use]
pub fn with_currency(number: &str, currency: &str, style: NumberStyle) -> String {
    let currency = currency.trim();
    if currency.is_empty() {
        return number.to_owned();
    }
    match style.currency {
        CurrencyPlace::After => format!("{number} {currency}"),
        CurrencyPlace::Before => {
            let (minus, figures) = match number.strip_prefix(['\u{2212}', '-']) {
                Some(rest) => ("\u{2212}", rest),
                None => ("", number),
            };
            let apart = if currency.ends_with(char::is_alphabetic) { " " } else { "" };
            format!("{minus}{currency}{apart}{figures}")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Both places are common practice; the European style guide has the sign after the amount in
    // most languages and before it in English.
    #[test]
    fn the_sign_stands_where_it_is_wanted() {
        let style = |currency| NumberStyle { currency, ..NumberStyle::default() };
        for (currency, before, after) in [
            ("€", "€12.50", "12.50 €"),
            ("EUR", "EUR 12.50", "12.50 EUR"),
            ("US$", "US$12.50", "12.50 US$"),
            (" kr ", "kr 12.50", "12.50 kr"),
            ("", "12.50", "12.50"),
        ] {
            assert_eq!(with_currency("12.50", currency, style(CurrencyPlace::Before)), before);
            assert_eq!(with_currency("12.50", currency, style(CurrencyPlace::After)), after);
        }
        let minus = with_currency("\u{2212}3.00", "€", style(CurrencyPlace::Before));
        assert_eq!(minus, "\u{2212}€3.00");
    }
}
