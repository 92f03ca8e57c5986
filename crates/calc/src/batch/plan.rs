//! Batch size: gross, net and pieces, with loss (conventions C2 and C8).

use rust_decimal::Decimal;

use crate::quantity::{Date, Grams, Percent};

/// A scale on the bench.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scale {
    /// Name, such as "pocket".
    pub name: String,
    /// Readability d in grams; above zero.
    pub readability: Grams,
    /// Capacity in grams.
    pub capacity: Grams,
    /// Mass of the pot or cup that stands on it; counts against the capacity.
    pub tare: Grams,
}

impl Scale {
    /// A scale without a tare.
    #[must_use]
    pub fn new(name: &str, readability: Decimal, capacity: Decimal) -> Self {
        Self {
            name: name.to_owned(),
            readability: Grams(readability),
            capacity: Grams(capacity),
            tare: Grams::ZERO,
        }
    }

    /// Mass that it can still hold above its tare.
    #[must_use]
    pub fn room(&self) -> Grams {
        self.capacity - self.tare
    }
}

/// The pot that the batch is made in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Vessel {
    /// Name.
    pub name: String,
    /// The most that it should hold, in grams of product (about 70 % of its brim).
    pub holds: Grams,
}

/// How the batch size is stated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BatchSize {
    /// What goes into the pot.
    Gross(Grams),
    /// What comes out of it.
    Net(Grams),
    /// Pieces of a weight.
    Pieces {
        /// How many.
        count: u32,
        /// Weight of one, net.
        each: Grams,
    },
}

/// What is to be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BatchPlan {
    /// Size as stated.
    pub size: BatchSize,
    /// Loss as a share of what is made, 0 to below 100 %.
    pub loss: Percent,
    /// Scales on the bench.
    pub scales: Vec<Scale>,
    /// Pot, if its size is known.
    pub vessel: Option<Vessel>,
    /// Weight of one piece, kept while the size is stated another way.
    pub piece: Option<Grams>,
    /// Batch code; empty for a proposed one.
    pub code: String,
}

impl Default for BatchPlan {
    /// 500 g gross, 3 % loss, one kitchen scale of 0.1 g to 3 kg.
    fn default() -> Self {
        Self {
            size: BatchSize::Gross(Grams(Decimal::from(500))),
            loss: Percent(Decimal::from(3)),
            scales: vec![Scale::new("bench", Decimal::new(1, 1), Decimal::from(3000))],
            vessel: None,
            piece: None,
            code: String::new(),
        }
    }
}

/// Why a plan gives no batch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlanProblem {
    /// The size is zero or below.
    NoSize,
    /// No pieces.
    NoPieces,
    /// A loss of 100 % or more leaves nothing.
    LossAll,
    /// A loss below zero.
    LossNegative,
}

/// The batch in grams.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BatchFigures {
    /// What goes into the pot.
    pub gross: Grams,
    /// What comes out.
    pub net: Grams,
    /// Their difference.
    pub lost: Grams,
    /// Whole pieces that the net gives, when a piece weight is known.
    pub pieces: Option<u32>,
    /// Weight of one piece.
    pub piece: Option<Grams>,
}

impl BatchPlan {
    /// Gross and net: `gross = net / (1 - loss)`, a division, because loss is a share of
    /// what is made (convention C2: 3 % loss on 1800 g is 1855.67 g, not 1854).
    ///
    /// # Errors
    /// A [`PlanProblem`] when there is no batch to speak of.
    pub fn figures(&self) -> Result<BatchFigures, PlanProblem> {
        if self.loss.is_negative() {
            return Err(PlanProblem::LossNegative);
        }
        if self.loss >= Percent::HUNDRED {
            return Err(PlanProblem::LossAll);
        }
        let keep = Percent::HUNDRED - self.loss;
        let gross_of = |net: Grams| {
            net.0
                .saturating_mul(Decimal::ONE_HUNDRED)
                .checked_div(keep.0)
                .map_or(Grams::ZERO, Grams)
        };
        let (gross, net) = match self.size {
            BatchSize::Gross(gross) => (gross, keep.of(gross)),
            BatchSize::Net(net) => (gross_of(net), net),
            BatchSize::Pieces { count: 0, .. } => return Err(PlanProblem::NoPieces),
            BatchSize::Pieces { count, each } => {
                let net = each.times(Decimal::from(count));
                (gross_of(net), net)
            }
        };
        if gross.0 <= Decimal::ZERO {
            return Err(PlanProblem::NoSize);
        }
        let piece = match self.size {
            BatchSize::Pieces { each, .. } => Some(each),
            _ => self.piece,
        }
        .filter(|p| p.0 > Decimal::ZERO);
        let pieces = match self.size {
            BatchSize::Pieces { count, .. } => Some(count),
            _ => piece.and_then(|p| {
                use rust_decimal::prelude::ToPrimitive as _;
                net.0.checked_div(p.0)?.floor().to_u32()
            }),
        };
        Ok(BatchFigures { gross, net, lost: gross - net, pieces, piece })
    }
}

/// A proposed batch code: two letters of the name, year and month, running number.
#[must_use]
pub fn batch_code(name: &str, date: Date, running: u32) -> String {
    let mut letters: String =
        name.chars().filter(char::is_ascii_alphabetic).take(2).collect::<String>().to_uppercase();
    while letters.len() < 2 {
        letters.push('X');
    }
    format!("{letters}-{:02}{:02}-{running:02}", date.year() % 100, date.month())
}
