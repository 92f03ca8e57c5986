//! Batch plans.

use quern_calc::batch::{self, BatchPlan, BatchSize};
use quern_calc::formula::FormulaId;
use quern_calc::quantity::{Grams, Percent};
use serde::{Deserialize, Serialize};

use crate::format::word::Word;

/// The plan of one formula.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "plan")]
pub(super) struct Plan {
    formula: String,
    size: Word<BatchSize>,
    loss: Word<Percent>,
    #[serde(default)]
    scales: Vec<Scale>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    vessel: Option<Vessel>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    piece: Option<Word<Grams>>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    code: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "scale")]
struct Scale {
    name: String,
    readability: Word<Grams>,
    capacity: Word<Grams>,
    #[serde(default)]
    tare: Word<Grams>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "vessel")]
struct Vessel {
    name: String,
    holds: Word<Grams>,
}

impl Plan {
    pub(super) fn of(id: &FormulaId, plan: &BatchPlan) -> Self {
        Self {
            formula: id.as_str().to_owned(),
            size: Word(plan.size),
            loss: Word(plan.loss),
            scales: plan
                .scales
                .iter()
                .map(|s| Scale {
                    name: s.name.clone(),
                    readability: Word(s.readability),
                    capacity: Word(s.capacity),
                    tare: Word(s.tare),
                })
                .collect(),
            vessel: plan
                .vessel
                .as_ref()
                .map(|v| Vessel { name: v.name.clone(), holds: Word(v.holds) }),
            piece: plan.piece.map(Word),
            code: plan.code.clone(),
        }
    }

    pub(super) fn into_domain(self) -> (FormulaId, BatchPlan) {
        let plan = BatchPlan {
            size: self.size.0,
            loss: self.loss.0,
            scales: self
                .scales
                .into_iter()
                .map(|s| batch::Scale {
                    name: s.name,
                    readability: s.readability.0,
                    capacity: s.capacity.0,
                    tare: s.tare.0,
                })
                .collect(),
            vessel: self.vessel.map(|v| batch::Vessel { name: v.name, holds: v.holds.0 }),
            piece: self.piece.map(|p| p.0),
            code: self.code,
        };
        (FormulaId::new(&self.formula), plan)
    }
}
