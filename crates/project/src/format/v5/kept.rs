//! Kept versions, and formulas in the bin.

use std::sync::Arc;

use quern_calc::quantity::Date;
use serde::{Deserialize, Serialize};

use super::formula::Formula;
use super::plan::Plan;
use crate::check::{Problems, quoted};
use crate::format::word::Word;
use crate::{Binned, KeptVersion};

/// An earlier version of a formula.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "kept_version")]
pub(super) struct Kept {
    date: Word<Date>,
    formula: Formula,
}

/// A formula that was taken out.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "formula_in_the_bin")]
pub(super) struct InBin {
    date: Word<Date>,
    formula: Formula,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    plan: Option<Plan>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    kept: Vec<Kept>,
}

impl Kept {
    pub(super) fn of(kept: &KeptVersion) -> Self {
        Self { date: Word(kept.date), formula: Formula::of(&kept.formula) }
    }

    pub(super) fn into_domain(self, problems: &mut Problems) -> Arc<KeptVersion> {
        let formula = Arc::new(self.formula.into_domain(problems));
        Arc::new(KeptVersion { formula, date: self.date.0 })
    }
}

impl InBin {
    pub(super) fn of(binned: &Binned) -> Self {
        Self {
            date: Word(binned.date),
            formula: Formula::of(&binned.formula),
            plan: binned.plan.as_ref().map(|plan| Plan::of(&binned.formula.id, plan)),
            kept: binned.kept.iter().map(|k| Kept::of(k)).collect(),
        }
    }

    pub(super) fn into_domain(self, problems: &mut Problems) -> Arc<Binned> {
        let formula = Arc::new(self.formula.into_domain(problems));
        let plan = self.plan.map(|plan| {
            let (of, plan) = plan.into_domain();
            if of != formula.id {
                problems.push(format!(
                    "formula {} in the bin has the plan of formula {}; give it its own, or leave \
                     the plan out",
                    quoted(&formula.name),
                    quoted(of.as_str())
                ));
            }
            Arc::new(plan)
        });
        let kept = self.kept.into_iter().map(|k| k.into_domain(problems)).collect();
        Arc::new(Binned { formula, plan, kept, date: self.date.0 })
    }
}
