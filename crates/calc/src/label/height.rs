//! The least height of letters and figures.
//!
//! Letters of small type are measured at the lower-case "o", capitals at their own height.

use rust_decimal::Decimal;

use super::{Cited, NetContent, SQUARE_INCH_MM2, shown};
use crate::formula::Basis;
use crate::number::NumberStyle;

/// The EU asks for legible letters and names no height.
const EU_LEGIBLE: Cited =
    Cited { source: "Regulation (EC) 1223/2009, Article 19(1)", basis: Basis::Memory };
/// 1.2 mm, from the law on food: something to compare with, not a rule for cosmetics.
const FOOD_REFERENCE: Cited = Cited {
    source: "Regulation (EU) 1169/2011, Article 13(2): food, not cosmetics",
    basis: Basis::Memory,
};
/// 1/16 inch.
const US_LIST: Cited =
    Cited { source: "21 CFR 701.3(b), edition of 1 April 1996", basis: Basis::Read };
/// 1/32 inch where there is little room.
const US_LIST_SMALL: Cited = Cited {
    source: "21 CFR 701.3, as summarised from the labelling guide of the FDA",
    basis: Basis::Read,
};
/// The figures of the content in the EU.
const EU_FIGURES: Cited = Cited {
    source: "Directive 76/211/EEC, Annex I, 3.1, as summarised by a testing service",
    basis: Basis::Read,
};
/// The statement of content in the United States, up to 100 square inches.
const US_CONTENT: Cited = Cited {
    source: "21 CFR 701.13(i), as summarised from the labelling guide of the FDA",
    basis: Basis::Read,
};
/// The same above 100 square inches.
const US_CONTENT_LARGE: Cited = Cited { source: "21 CFR 701.13(i)", basis: Basis::Memory };

/// The x-height to compare European lists with, mm.
const REFERENCE_MM: Decimal = Decimal::from_parts(12, 0, 0, false, 1);

/// A height in parts of an inch.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct InchHeight {
    /// Over the line.
    pub numerator: u32,
    /// Under the line: 2, 4, 8, 16 or 32.
    pub denominator: u32,
}

impl InchHeight {
    const fn new(numerator: u32, denominator: u32) -> Self {
        Self { numerator, denominator }
    }

    /// In mm, exact.
    #[must_use]
    pub fn mm(self) -> Decimal {
        let mm = Decimal::new(254, 1).saturating_mul(Decimal::from(self.numerator));
        mm.checked_div(Decimal::from(self.denominator)).unwrap_or(mm)
    }
}

/// "1/16 in".
impl std::fmt::Display for InchHeight {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}/{} in", self.numerator, self.denominator)
    }
}

/// The least height of the figures of a European statement of content, in mm: 2 up to 50 g or ml,
/// 3 up to 200, 4 up to 1000, 6 above (Directive 76/211/EEC, Annex I, 3.1, as summarised by a
/// testing service). `None` where there is nothing or less.
#[must_use]
pub fn eu_figure_height_mm(content: NetContent) -> Option<Decimal> {
    let amount = content.amount()?;
    let steps = [(50, 2), (200, 3), (1_000, 4)];
    let step = steps.iter().find(|(up_to, _)| amount <= Decimal::from(*up_to));
    Some(Decimal::from(step.map_or(6, |(_, mm)| *mm)))
}

/// The least height of the American statement of content by the area of the principal display
/// panel in mm²: 1/16 in up to 5 square inches, 1/8 up to 25, 3/16 up to 100, 1/4 up to 400, 1/2
/// above (21 CFR 701.13(i); the last two from memory). `None` for an area of zero or less.
#[must_use]
pub fn us_type_height(area_mm2: Decimal) -> Option<InchHeight> {
    if area_mm2 <= Decimal::ZERO {
        return None;
    }
    let steps = [
        (5, InchHeight::new(1, 16)),
        (25, InchHeight::new(1, 8)),
        (100, InchHeight::new(3, 16)),
        (400, InchHeight::new(1, 4)),
    ];
    let within = |square_inches: i64| {
        area_mm2 <= SQUARE_INCH_MM2.saturating_mul(Decimal::from(square_inches))
    };
    let step = steps.iter().find(|(up_to, _)| within(*up_to));
    Some(step.map_or(InchHeight::new(1, 2), |(_, height)| *height))
}

/// Which letters are looked at, under which rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum HeightRule {
    /// The ingredient list in the EU: no height is laid down.
    EuIngredients,
    /// The ingredient list in the United States.
    UsIngredients {
        /// mm² that could bear labelling; below 12 square inches smaller letters will do. Where
        /// it is not known the larger ones are asked for.
        surface_mm2: Option<Decimal>,
    },
    /// The figures of the content in the EU.
    EuContent(NetContent),
    /// The statement of content in the United States.
    UsContent {
        /// mm² of the principal display panel, see [`super::Panel`].
        panel_mm2: Decimal,
    },
}

/// What a comparison of heights gave.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum HeightVerdict {
    /// At least the least height.
    Reaches,
    /// Lower than the least height by this many mm.
    Short(Decimal),
    /// The rule names no height; the reference is for comparison only.
    NoLimit {
        /// Whether the letters reach the reference.
        reaches_reference: bool,
    },
    /// The letters, the content or the area are zero or less, so there is nothing to compare.
    Unknown,
}

/// Letters compared with a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HeightCheck {
    /// mm, as measured.
    pub height_mm: Decimal,
    /// mm, the least that the rule allows.
    pub least_mm: Option<Decimal>,
    /// mm to compare with where the rule names nothing.
    pub reference_mm: Option<Decimal>,
    /// What came out.
    pub verdict: HeightVerdict,
    /// The rule, or the reference.
    pub cited: Cited,
}

/// Compares the height of letters in mm with a rule; the least height itself is enough.
#[must_use]
pub fn check_height(height_mm: Decimal, rule: HeightRule) -> HeightCheck {
    let (least_mm, cited) = least(rule);
    let reference_mm = (rule == HeightRule::EuIngredients).then_some(REFERENCE_MM);
    let verdict = match (least_mm, reference_mm) {
        _ if height_mm <= Decimal::ZERO => HeightVerdict::Unknown,
        (Some(least), _) if height_mm >= least => HeightVerdict::Reaches,
        (Some(least), _) => HeightVerdict::Short(least - height_mm),
        (None, Some(reference)) => {
            HeightVerdict::NoLimit { reaches_reference: height_mm >= reference }
        }
        (None, None) => HeightVerdict::Unknown,
    };
    HeightCheck { height_mm, least_mm, reference_mm, verdict, cited }
}

fn least(rule: HeightRule) -> (Option<Decimal>, Cited) {
    match rule {
        HeightRule::EuIngredients => (None, EU_LEGIBLE),
        HeightRule::UsIngredients { surface_mm2 } => {
            let twelve = SQUARE_INCH_MM2.saturating_mul(Decimal::from(12));
            let small = surface_mm2.is_some_and(|s| s > Decimal::ZERO && s < twelve);
            if small {
                (Some(InchHeight::new(1, 32).mm()), US_LIST_SMALL)
            } else {
                (Some(InchHeight::new(1, 16).mm()), US_LIST)
            }
        }
        HeightRule::EuContent(content) => (eu_figure_height_mm(content), EU_FIGURES),
        HeightRule::UsContent { panel_mm2 } => {
            let large = panel_mm2 > SQUARE_INCH_MM2.saturating_mul(Decimal::ONE_HUNDRED);
            let cited = if large { US_CONTENT_LARGE } else { US_CONTENT };
            (us_type_height(panel_mm2).map(InchHeight::mm), cited)
        }
    }
}

impl HeightCheck {
    /// One sentence, without a full stop, that says what was compared and with what.
    #[must_use]
    pub fn words(&self, style: NumberStyle) -> String {
        let least = self.least_mm.or(self.reference_mm).unwrap_or_default();
        let mm = |value: Decimal| format!("{} mm", shown(value, &[Decimal::ZERO, least], style));
        let height = mm(self.height_mm);
        let source = self.cited.source;
        match self.verdict {
            HeightVerdict::Reaches => {
                format!("{height}; at least {} is asked for ({source})", mm(least))
            }
            HeightVerdict::Short(by) => format!(
                "{height}, {} lower than the {} that are asked for ({source})",
                mm(by),
                mm(least)
            ),
            HeightVerdict::NoLimit { reaches_reference } => {
                let side = if reaches_reference { "not below" } else { "below" };
                format!(
                    "{height}; letters must be legible, no height is laid down ({source}); {side} \
                     the {} of {}, for comparison only",
                    mm(least),
                    FOOD_REFERENCE.source
                )
            }
            HeightVerdict::Unknown => {
                format!("Not compared: a measure is missing or not above zero ({source})")
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Grams;

    fn d(text: &str) -> Decimal {
        text.parse().unwrap()
    }

    fn verdict(height: &str, rule: HeightRule) -> HeightVerdict {
        check_height(d(height), rule).verdict
    }

    #[test]
    fn the_least_height_itself_is_enough() {
        let rule = HeightRule::UsIngredients { surface_mm2: None };
        assert_eq!(verdict("1.5875", rule), HeightVerdict::Reaches);
        assert_eq!(verdict("1.58", rule), HeightVerdict::Short(d("0.0075")));
        let check = check_height(d("1.5874"), rule);
        assert!(check.words(NumberStyle::default()).starts_with("1.587 mm, 0.0001 mm lower"));
    }

    #[test]
    fn little_room_allows_small_letters() {
        let rule = |mm2: &str| HeightRule::UsIngredients { surface_mm2: Some(d(mm2)) };
        // 12 square inches are 7741.92 mm².
        assert_eq!(verdict("0.79375", rule("7741.91")), HeightVerdict::Reaches);
        assert!(matches!(verdict("0.79375", rule("7741.92")), HeightVerdict::Short(_)));
        // An impossible surface is no reason for small letters.
        assert!(matches!(verdict("0.79375", rule("0")), HeightVerdict::Short(_)));
    }

    #[test]
    fn a_european_list_is_compared_and_not_judged() {
        let of = |height| verdict(height, HeightRule::EuIngredients);
        assert_eq!(of("1.2"), HeightVerdict::NoLimit { reaches_reference: true });
        assert_eq!(of("1.19"), HeightVerdict::NoLimit { reaches_reference: false });
        let words = check_height(d("1"), HeightRule::EuIngredients).words(NumberStyle::default());
        assert!(words.contains("no height is laid down") && words.contains("not cosmetics"));
    }

    #[test]
    fn nothing_to_compare() {
        let nothing = NetContent::Grams(Grams::ZERO);
        assert_eq!(verdict("2", HeightRule::EuContent(nothing)), HeightVerdict::Unknown);
        let no_panel = HeightRule::UsContent { panel_mm2: d("-1") };
        assert_eq!(verdict("2", no_panel), HeightVerdict::Unknown);
        assert_eq!(verdict("0", HeightRule::EuIngredients), HeightVerdict::Unknown);
        assert_eq!(us_type_height(Decimal::MAX).map(|h| h.to_string()).as_deref(), Some("1/2 in"));
    }
}
