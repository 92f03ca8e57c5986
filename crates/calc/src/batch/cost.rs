//! Material cost of a batch, of 100 g and of a saleable piece.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::BatchFigures;
use crate::formula::{LeafUse, LineId, MaterialId};
use crate::quantity::{Grams, Money, Percent};

/// Material cost; nothing else is in it (no packaging, labour, postage).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CostFigures {
    /// Cost of each line in the batch, for lines whose materials all have a price.
    pub lines: BTreeMap<LineId, Money>,
    /// Cost of 100 g of product, of the priced share.
    pub per_100g: Money,
    /// Cost of the gross batch.
    pub batch: Option<Money>,
    /// Cost of one saleable piece: the gross batch over the pieces, so that loss is in it.
    pub per_piece: Option<Money>,
    /// Materials without a price.
    pub unpriced: Vec<MaterialId>,
    /// Their display names, in the same order.
    pub unpriced_names: Vec<String>,
    /// % of the product that they make up; figures above leave it out.
    pub unpriced_share: Percent,
    /// Lines that could not be counted: blank, or of an unknown material.
    pub lines_left_out: usize,
}

impl CostFigures {
    /// True when every line is counted and every material has a price.
    #[must_use]
    pub fn is_complete(&self) -> bool {
        self.unpriced.is_empty() && self.lines_left_out == 0
    }
}

/// Costs the opened lines; `lines_left_out` could not be opened or are blank.
#[must_use]
pub fn cost(
    leaves: &[LeafUse<'_>],
    batch: Option<&BatchFigures>,
    lines_left_out: usize,
) -> CostFigures {
    let mut out = CostFigures { lines_left_out, ..CostFigures::default() };
    let hundred = Grams(Decimal::ONE_HUNDRED);
    let gross = batch.map(|b| b.gross);
    let mut open_lines: Vec<LineId> = Vec::new();
    for leaf in leaves {
        let per_100 = leaf.material.price.and_then(|p| p.of(leaf.percent.of(hundred)));
        let Some(per_100) = per_100 else {
            out.unpriced_share += leaf.percent;
            if !out.unpriced.contains(&leaf.material.id) {
                out.unpriced.push(leaf.material.id.clone());
                out.unpriced_names.push(leaf.material.display_name().to_owned());
            }
            open_lines.push(leaf.line);
            continue;
        };
        out.per_100g += per_100;
        if let Some(g) = gross
            && let Some(money) = leaf.material.price.and_then(|p| p.of(leaf.percent.of(g)))
        {
            *out.lines.entry(leaf.line).or_default() += money;
        }
    }
    out.lines.retain(|line, _| !open_lines.contains(line));
    out.batch = gross.and_then(|g| {
        out.per_100g.0.saturating_mul(g.0).checked_div(Decimal::ONE_HUNDRED).map(Money)
    });
    out.per_piece = out
        .batch
        .zip(batch.and_then(|b| b.pieces))
        .and_then(|(money, pieces)| money.0.checked_div(Decimal::from(pieces)).map(Money));
    out
}
