//! What the pack says: ingredient list, net content, durability and batch code.
//!
//! | file | question |
//! |---|---|
//! | `order` | in which order do the ingredients stand, and why |
//! | `net` | how is the content stated, metric and in the units of the United States |
//! | `tolerance` | how far may one pack fall short |
//! | `durability` | a date, or a period after opening |
//! | `code` | how does a batch code read |
//! | `panel` | how large is the principal display panel |
//! | `height` | how high must letters and figures be |
//!
//! Everything is exact decimals. Each rule names its source and whether it was read there or is
//! known from memory ([`Cited`]). What is checked is that rule in that edition, and nothing else
//! of the law: addresses, warnings, claims and function are not looked at.

mod assemble;
mod cautions;
mod code;
mod durability;
mod height;
mod items;
mod net;
mod order;
mod panel;
mod remarks;
mod tolerance;

pub use assemble::{
    Label, LabelAsk, LabelRemark, Look, PackCaution, Stale, assemble, usual_directions,
    usual_function,
};
pub use code::{BATCH_CODE_MOST, BatchPattern, PatternError, PatternErrorKind, ReadBack};
pub use durability::{
    BEST_BEFORE_UP_TO_MONTHS, BestBefore, DURABILITY, DateError, Durability, DurabilityNote,
    DurabilityRule, DurabilityStatement, OPENED, Opened, add_months, best_before, durability,
};
pub use height::{
    HeightCheck, HeightRule, HeightVerdict, InchHeight, check_height, eu_figure_height_mm,
    us_type_height,
};
pub use items::{ListGap, list_items};
pub use net::{DUAL_UNITS, FLUID_OUNCE_ML, NET_STATEMENT_EU, NetContent, OUNCE_G};
pub use order::{
    ALLERGENS_EU, AllergenItem, COLOURS_LAST_EU, COLOURS_LAST_US, Entry, IngredientList, ItemKind,
    LeftOut, LeftReason, ListItem, ORDER_EU, ORDER_US, OrderRules, Part, Why, Zone, order, words,
};
pub use panel::{PANEL, Panel, SQUARE_INCH_MM2, mm_from_inches};
pub use remarks::content_height_mm;
pub use tolerance::{Shortfall, TNE, TNE_ROUNDING, Tolerance, shortfall, tne};

use rust_decimal::{Decimal, RoundingStrategy};

use crate::formula::Basis;
use crate::number::{NumberStyle, format_fixed, format_plain};

/// Where a rule or a figure comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cited {
    /// The law, standard or article.
    pub source: &'static str,
    /// Whether it was read there.
    pub basis: Basis,
}

/// Writes a value with two decimals, or with as many as it takes to read on the same side of each
/// edge as it lies: 0.9999 is not written as 1.00 beside "below 1".
fn shown(value: Decimal, edges: &[Decimal], style: NumberStyle) -> String {
    for places in 2..=10 {
        let rounded = value.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero);
        if edges.iter().all(|edge| rounded.cmp(edge) == value.cmp(edge)) {
            return format_fixed(value, places, style);
        }
    }
    format_plain(value, style)
}
