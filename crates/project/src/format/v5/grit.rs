//! What the workshop keeps about grit.

use quern_calc::formula::{FormulaId, Place};
use quern_calc::grit::notes::{self, GritNotes};
use quern_calc::quantity::Grams;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use crate::format::word::Word;

/// Own figures and scores.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "record")]
pub(super) struct Grit {
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    grams_per_use: Vec<(Word<Place>, Word<Grams>)>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    scores: Vec<Score>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "score")]
struct Score {
    formula: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    name: String,
    index: f64,
    score: Word<Decimal>,
}

impl Grit {
    pub(super) fn of(notes: &GritNotes) -> Self {
        let scores = notes.scores.iter().map(|s| Score {
            formula: s.formula.as_str().to_owned(),
            name: s.name.clone(),
            index: s.index,
            score: Word(s.score),
        });
        Self {
            grams_per_use: notes.grams_per_use.iter().map(|(p, g)| (Word(*p), Word(*g))).collect(),
            scores: scores.collect(),
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.grams_per_use.is_empty() && self.scores.is_empty()
    }

    pub(super) fn into_domain(self) -> GritNotes {
        let scores = self.scores.into_iter().map(|s| notes::Score {
            formula: FormulaId::new(&s.formula),
            name: s.name,
            index: s.index,
            score: s.score.0,
        });
        GritNotes {
            grams_per_use: self.grams_per_use.into_iter().map(|(p, g)| (p.0, g.0)).collect(),
            scores: scores.collect(),
        }
    }
}
