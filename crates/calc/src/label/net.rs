//! The statement of content: weight or volume at the time of packing.
//!
//! A printed amount never says more than is there: it is cut to its digits, not rounded.

use rust_decimal::{Decimal, RoundingStrategy};

use super::Cited;
use crate::formula::Basis;
use crate::number::{NumberStyle, format_plain};
use crate::quantity::Grams;

/// The statement of content, and that it is not asked for below 5 g or 5 ml.
pub const NET_STATEMENT_EU: Cited =
    Cited { source: "Regulation (EC) 1223/2009, Article 19(1)(b)", basis: Basis::Read };
/// Both systems of units on a pack for the United States.
pub const DUAL_UNITS: Cited = Cited {
    source: "Fair Packaging and Labeling Act as amended in 1992, as summarised; form of words from \
             memory (21 CFR 701.13)",
    basis: Basis::Read,
};

/// Grams in an avoirdupois ounce, exact by definition (international yard and pound agreement of
/// 1959, as in NIST Handbook 44, Appendix C; from memory).
pub const OUNCE_G: Decimal = Decimal::from_parts(2_579_719_349, 6, 0, false, 9);
/// Millilitres in a fluid ounce of the United States, exact: a gallon of 231 cubic inches is 128
/// of them, and an inch is 25.4 mm (NIST Handbook 44, Appendix C; from memory).
pub const FLUID_OUNCE_ML: Decimal = Decimal::from_parts(3_677_519_497, 68, 0, false, 10);

/// Below this many grams or millilitres no statement is asked for in the EU.
const EU_FROM: Decimal = Decimal::from_parts(5, 0, 0, false, 0);

/// The content of one pack.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum NetContent {
    /// Mass, for what is solid, semisolid or viscous.
    Grams(Grams),
    /// Volume, for what is liquid.
    Millilitres(Decimal),
}

impl NetContent {
    /// Grams or millilitres; `None` where there is nothing or less.
    #[must_use]
    pub fn amount(self) -> Option<Decimal> {
        let amount = match self {
            Self::Grams(grams) => grams.0,
            Self::Millilitres(millilitres) => millilitres,
        };
        (amount > Decimal::ZERO).then_some(amount)
    }

    /// Whether the EU asks for a statement of content ([`NET_STATEMENT_EU`]): not below 5 g or
    /// 5 ml. Free samples and packs for one use are exempt too, and are not looked at here.
    /// `None` where there is nothing or less.
    #[must_use]
    pub fn eu_statement_required(self) -> Option<bool> {
        self.amount().map(|amount| amount >= EU_FROM)
    }

    /// "100 g", "1.5 kg", "250 ml", "1 L"; cut to hundredths, from 1000 up to whole grams or
    /// millilitres. `None` where nothing is left to print.
    ///
    /// The litre has a capital, which cannot be taken for a one.
    #[must_use]
    pub fn metric_words(self, style: NumberStyle) -> Option<String> {
        let amount = self.amount()?;
        let (small, large) = match self {
            Self::Grams(_) => ("g", "kg"),
            Self::Millilitres(_) => ("ml", "L"),
        };
        let (value, unit) = if amount < Decimal::ONE_THOUSAND {
            (cut(amount, 2), small)
        } else {
            (cut(amount.checked_div(Decimal::ONE_THOUSAND)?, 3), large)
        };
        (value > Decimal::ZERO).then(|| format!("{} {unit}", format_plain(value, style)))
    }

    /// Both systems of units: "Net Wt 3.5 oz (100 g)", "8.4 fl oz (250 ml)" ([`DUAL_UNITS`]).
    ///
    /// From one pound to below four, and from one pint to below one gallon, ounces are followed
    /// by the larger units, and from there up these stand alone (15 USC 1453(a)(3) and 21 CFR
    /// 701.13, from memory). Ounces are cut to tenths, below one ounce to hundredths, which are
    /// the most decimals allowed (from memory). `None` where nothing is left to print.
    #[must_use]
    pub fn us_words(self) -> Option<String> {
        let style = NumberStyle::default();
        let metric = self.metric_words(style)?;
        let ounces = self.us_ounces()?;
        let inner = match self {
            Self::Grams(_) => customary(ounces, "oz", &[(16, "lb")], Decimal::from(64)),
            Self::Millilitres(_) => {
                let units = [(128, "gal"), (32, "qt"), (16, "pt")];
                customary(ounces, "fl oz", &units, Decimal::from(128))
            }
        };
        let lead = match self {
            Self::Grams(_) => "Net Wt ",
            Self::Millilitres(_) => "",
        };
        Some(match inner {
            Customary::One(text) => format!("{lead}{text} ({metric})"),
            Customary::Two(ounces, larger) => format!("{lead}{ounces} ({larger}) {metric}"),
        })
    }

    /// The ounces or fluid ounces that are printed, never more than there are; `None` below one
    /// hundredth.
    #[must_use]
    pub fn us_ounces(self) -> Option<Decimal> {
        let amount = self.amount()?;
        let unit = match self {
            Self::Grams(_) => OUNCE_G,
            Self::Millilitres(_) => FLUID_OUNCE_ML,
        };
        let exact = amount.checked_div(unit)?;
        let places = if exact < Decimal::ONE { 2 } else { 1 };
        let mut printed = cut(exact, places);
        // The quotient has 28 digits and may have been rounded up onto a printed digit.
        if printed.checked_mul(unit).is_none_or(|back| back > amount) {
            printed = printed.checked_sub(Decimal::new(1, places))?;
        }
        (printed > Decimal::ZERO).then_some(printed)
    }
}

/// An amount in customary units.
enum Customary {
    One(String),
    Two(String, String),
}

/// Ounces alone, ounces with larger units, or larger units alone from `alone` up. `units` are the
/// larger ones with their ounces, largest first.
fn customary(ounces: Decimal, unit: &str, units: &[(u32, &str)], alone: Decimal) -> Customary {
    let plain = |value: Decimal| format_plain(value, NumberStyle::default());
    let small = format!("{} {unit}", plain(ounces));
    let mut rest = ounces;
    let mut larger = Vec::new();
    for (size, name) in units {
        let size = Decimal::from(*size);
        let whole = rest.checked_div(size).map_or(Decimal::ZERO, |n| n.floor());
        if whole > Decimal::ZERO {
            larger.push(format!("{} {name}", plain(whole)));
            rest = rest.checked_rem(size).unwrap_or(Decimal::ZERO);
        }
    }
    if larger.is_empty() {
        return Customary::One(small);
    }
    if rest > Decimal::ZERO {
        larger.push(format!("{} {unit}", plain(rest)));
    }
    let larger = larger.join(" ");
    if ounces < alone { Customary::Two(small, larger) } else { Customary::One(larger) }
}

/// A value without its digits after the given decimals.
fn cut(value: Decimal, places: u32) -> Decimal {
    value.round_dp_with_strategy(places, RoundingStrategy::ToZero)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::number::DecimalSign;

    const COMMA: NumberStyle = NumberStyle::with_sign(DecimalSign::Comma);

    fn d(text: &str) -> Decimal {
        text.parse().unwrap()
    }

    fn g(text: &str) -> NetContent {
        NetContent::Grams(Grams(d(text)))
    }

    fn ml(text: &str) -> NetContent {
        NetContent::Millilitres(d(text))
    }

    #[test]
    fn metric_statements() {
        for (content, words) in [
            (g("100"), "100 g"),
            (g("100.00"), "100 g"),
            (g("1500"), "1.5 kg"),
            (g("1000"), "1 kg"),
            (g("999.999"), "999.99 g"),
            (g("2.5"), "2.5 g"),
            (g("1234.9"), "1.234 kg"),
            (ml("250"), "250 ml"),
            (ml("1000"), "1 L"),
        ] {
            let style = NumberStyle::default();
            assert_eq!(content.metric_words(style).as_deref(), Some(words));
            assert_eq!(content.metric_words(COMMA), Some(words.replace('.', ",")));
        }
    }

    #[test]
    fn statements_in_both_systems() {
        for (content, words) in [
            (g("100"), "Net Wt 3.5 oz (100 g)"),
            (g("28.349523125"), "Net Wt 1 oz (28.34 g)"),
            (g("28.349523124"), "Net Wt 0.99 oz (28.34 g)"),
            (g("5"), "Net Wt 0.17 oz (5 g)"),
            (g("453"), "Net Wt 15.9 oz (453 g)"),
            (g("454"), "Net Wt 16 oz (1 lb) 454 g"),
            (g("700"), "Net Wt 24.6 oz (1 lb 8.6 oz) 700 g"),
            (g("1800"), "Net Wt 63.4 oz (3 lb 15.4 oz) 1.8 kg"),
            (g("2500"), "Net Wt 5 lb 8.1 oz (2.5 kg)"),
            (ml("250"), "8.4 fl oz (250 ml)"),
            (ml("500"), "16.9 fl oz (1 pt 0.9 fl oz) 500 ml"),
            (ml("1000"), "33.8 fl oz (1 qt 1.8 fl oz) 1 L"),
            (ml("1656.2"), "56 fl oz (1 qt 1 pt 8 fl oz) 1.656 L"),
            (ml("4000"), "1 gal 7.2 fl oz (4 L)"),
        ] {
            assert_eq!(content.us_words().as_deref(), Some(words), "{content:?}");
        }
    }

    #[test]
    fn nothing_is_no_statement() {
        for content in [g("0"), g("-100"), ml("0"), ml("-1")] {
            assert_eq!(content.amount(), None);
            assert_eq!(content.eu_statement_required(), None);
            assert_eq!(content.metric_words(NumberStyle::default()), None);
            assert_eq!(content.us_words(), None);
        }
        assert_eq!(g("0.001").metric_words(NumberStyle::default()), None);
        assert_eq!(g("0.1").us_words(), None);
        assert_eq!(g("0.1").metric_words(NumberStyle::default()).as_deref(), Some("0.1 g"));
    }

    #[test]
    fn a_quotient_that_was_rounded_up_is_not_printed() {
        // A breath below a tenth of an ounce: 28 decimals of the quotient cannot tell.
        let below = d("2.8349523124999999999999999999");
        assert_eq!(below / OUNCE_G, d("0.1"));
        assert_eq!(g("2.8349523125").us_ounces(), Some(d("0.1")));
        assert_eq!(NetContent::Grams(Grams(below)).us_ounces(), Some(d("0.09")));
        let _ = NetContent::Grams(Grams(Decimal::MAX)).us_words();
        let _ = NetContent::Millilitres(Decimal::MAX).us_words();
    }

    proptest! {
        #[test]
        fn never_overstates(mantissa in 1_i64..=1_000_000_000_000, scale in 0_u32..=9) {
            let amount = Decimal::new(mantissa, scale);
            for (content, unit) in [
                (NetContent::Grams(Grams(amount)), OUNCE_G),
                (NetContent::Millilitres(amount), FLUID_OUNCE_ML),
            ] {
                if let Some(ounces) = content.us_ounces() {
                    prop_assert!(ounces * unit <= amount);
                    let step = if ounces < Decimal::ONE { d("0.01") } else { d("0.1") };
                    prop_assert!((ounces + step) * unit > amount);
                } else {
                    prop_assert!(d("0.01") * unit > amount);
                }
            }
        }
    }
}
