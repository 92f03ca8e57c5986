//! Why each name of the list stands where it does, in words.

use rust_decimal::Decimal;

use super::super::shown;
use super::{Entry, LeftOut, LeftReason, ONE, Why, Zone};
use crate::number::NumberStyle;
use crate::quantity::Percent;

/// One sentence, without a full stop, on why an entry stands where it does.
///
/// A percentage has two decimals, and more where two would hide on which side of an edge it lies.
#[must_use]
pub fn words(why: &Why, style: NumberStyle) -> String {
    match *why {
        Why::ByAmount { percent } => by_amount(percent, style),
        Why::Free { percent } => free(percent, style),
        Why::Colour { percent } => {
            format!("{}, colourant: after all others, by name", share(percent, None, style))
        }
        Why::Allergen { percent, above, zone } => {
            let what = match above {
                Some(above) => format!(
                    "{}, fragrance allergen above {}: named in addition",
                    share(percent, Some(above), style),
                    share(above, None, style)
                ),
                None => format!(
                    "{}, fragrance allergen: named in addition",
                    share(percent, None, style)
                ),
            };
            let place = match zone {
                Zone::Ordered => "by amount",
                Zone::Free => "in the free block by amount",
                Zone::Allergen | Zone::Colour => "after the other ingredients",
            };
            format!("{what}, {place}")
        }
    }
}

impl Entry {
    /// [`words()`], and what was summed.
    #[must_use]
    pub fn words(&self, style: NumberStyle) -> String {
        let place = words(&self.why, style);
        if !self.is_merged() {
            return place;
        }
        let parts = self.parts.iter().map(|part| {
            let from = if part.sources.is_empty() {
                part.name.clone()
            } else {
                part.sources.join(" and ")
            };
            format!("{} from {from}", share(part.percent, None, style))
        });
        format!("{place}; summed: {}", parts.collect::<Vec<_>>().join(", "))
    }
}

impl LeftOut {
    /// One sentence on why it is not printed.
    #[must_use]
    pub fn words(&self, style: NumberStyle) -> String {
        match self.reason {
            LeftReason::NotPositive => {
                let percent = share(self.percent, None, style);
                format!("{}: {percent} is not above zero, so it is not printed", self.name)
            }
            LeftReason::NoName => {
                let percent = share(self.percent, None, style);
                format!("An ingredient of {percent} has no name to print")
            }
            LeftReason::NotAbove(above) => format!(
                "{}: {} is not above {}, so it is not named",
                self.name,
                share(self.percent, Some(above), style),
                share(above, None, style)
            ),
            LeftReason::AlreadyListed => {
                format!("{}: on the list already, as an ingredient of its own", self.name)
            }
        }
    }
}

fn by_amount(percent: Percent, style: NumberStyle) -> String {
    let text = share(percent, Some(Percent(ONE)), style);
    if percent.0 == ONE {
        format!("{text}, exactly 1 %: kept in the order by amount")
    } else {
        format!("{text}, above 1 %: by amount")
    }
}

fn free(percent: Percent, style: NumberStyle) -> String {
    let text = share(percent, Some(Percent(ONE)), style);
    let side = if percent.0 == ONE { "not above" } else { "below" };
    format!("{text}, {side} 1 %: the order is free here; sorted by amount")
}

/// A percentage that reads on the same side of `edge` as it lies.
fn share(percent: Percent, edge: Option<Percent>, style: NumberStyle) -> String {
    let edges = [Decimal::ZERO, edge.map_or(Decimal::ZERO, |e| e.0)];
    format!("{} %", shown(percent.0, &edges, style))
}
