//! What was looked at on a label: letter heights, content, and what the list rests on.

use rust_decimal::Decimal;

use super::assemble::{Label, LabelRemark, Look};
use super::items::ListGap;
use super::{HeightRule, HeightVerdict, NetContent, Panel, check_height};
use crate::findings::Quantity;
use crate::formula::Net;
use crate::number::NumberStyle;
use crate::quantity::{Grams, Percent};
use crate::safety::market::{Market, NetRule};

/// Height of the small o for a height of capitals of 1 in the sheet's typeface (Inter: x-height
/// 0.546 em, capitals 0.727 em). Where letters are mixed, rules measure the small o.
const SMALL_O: Decimal = Decimal::from_parts(75, 0, 0, false, 2);

pub(super) fn net_content(net: Net) -> NetContent {
    match net {
        Net::Grams(g) => NetContent::Grams(Grams(g)),
        Net::Millilitres(ml) => NetContent::Millilitres(ml),
    }
}

/// Compares the letter height with what the market asks of list and content.
pub(super) fn heights(
    net: Option<Net>,
    market: &Market,
    size: (Decimal, Decimal),
    letter: Decimal,
    style: NumberStyle,
    remarks: &mut Vec<LabelRemark>,
) {
    let area = Panel::Rectangle { height: size.1, width: size.0 }.area_mm2();
    let list = match market.label.net {
        NetRule::Metric => HeightRule::EuIngredients,
        // Smaller letters need the surface of the pack, which is not asked for.
        NetRule::Dual => HeightRule::UsIngredients { surface_mm2: None },
    };
    // Where capitals and small letters are mixed, the small o is measured.
    let small = letter.saturating_mul(SMALL_O).round_dp(2);
    let mut compare = |what: &str, rule| {
        let check = check_height(small, rule);
        let look = match check.verdict {
            HeightVerdict::Reaches => Look::Reaches,
            HeightVerdict::Short(_) => Look::Short,
            HeightVerdict::NoLimit { .. } | HeightVerdict::Unknown => Look::Know,
        };
        remarks.push(LabelRemark { look, text: format!("{what}: {}", check.words(style)) });
        check
    };
    compare("Small letters of the list", list);
    let content = match (market.label.net, net) {
        (NetRule::Metric, Some(net)) => Some(HeightRule::EuContent(net_content(net))),
        (NetRule::Dual, _) => area.map(|panel_mm2| HeightRule::UsContent { panel_mm2 }),
        (NetRule::Metric, None) => None,
    };
    // The sheet prints the content as high as is asked for.
    if let Some(least) = content.and_then(|rule| check_height(letter, rule).least_mm) {
        let shown = crate::number::format_plain(least.round_dp(2).normalize(), style);
        let text = format!(
            "Figures of the content are printed {shown} mm high, the least that is asked for"
        );
        remarks.push(LabelRemark { look: Look::Reaches, text });
    }
}

/// Least height of the figures of the content in mm, where a rule names one.
#[must_use]
pub fn content_height_mm(label: &Label, market: &Market, net: Option<Net>) -> Option<Decimal> {
    let area = Panel::Rectangle { height: label.size_mm.1, width: label.size_mm.0 }.area_mm2();
    let rule = match (market.label.net, net) {
        (NetRule::Metric, Some(net)) => HeightRule::EuContent(net_content(net)),
        (NetRule::Dual, _) => HeightRule::UsContent { panel_mm2: area? },
        (NetRule::Metric, None) => return None,
    };
    check_height(label.letter_mm, rule).least_mm
}

pub(super) fn gap_remarks(gaps: &[ListGap], style: NumberStyle, remarks: &mut Vec<LabelRemark>) {
    let pct = |p: Percent| Quantity::Percent(p).words(style);
    for gap in gaps {
        let (look, text) = match gap {
            // Below 1 % the order is free, so that an even split moves nothing.
            ListGap::EvenSplit { material, percent } if *percent <= Percent(Decimal::ONE) => (
                Look::Know,
                format!(
                    "{material} ({}) does not state its shares; below 1 % their order is free",
                    pct(*percent)
                ),
            ),
            ListGap::EvenSplit { material, percent } => (
                Look::Short,
                format!(
                    "{material} ({}) does not state its shares: its names stand by an even split, so ask the supplier",
                    pct(*percent)
                ),
            ),
            ListGap::Nameless { material, percent } => (
                Look::Know,
                format!(
                    "{} of the product comes with {material} and has no name: ask the supplier what else is in it",
                    pct(*percent)
                ),
            ),
            ListGap::NotOpened { lines } => (
                Look::Short,
                format!("{lines} lines cannot be opened and are missing from the list"),
            ),
        };
        remarks.push(LabelRemark { look, text });
    }
}
