//! What a workshop keeps about grit: how much of a product goes into one use, and how rough its
//! own bars felt.

use rust_decimal::Decimal;

use super::calibrate::{Calibration, NoScale};
use crate::formula::{FormulaId, Place};
use crate::quantity::{Grams, decimal_to_f64};

/// Lowest and highest score.
pub const SCORES: (i64, i64) = (1, 10);

/// How rough a made bar felt to its maker.
#[derive(Clone, Debug, PartialEq)]
pub struct Score {
    /// The formula that was felt.
    pub formula: FormulaId,
    /// Its name and version at the time, for the reader.
    pub name: String,
    /// Grit index at the time, dry start; kept, since the formula may change later.
    pub index: f64,
    /// From 1 (hardly felt) to 10 (as rough as you would ever make).
    pub score: Decimal,
}

/// What a workshop keeps about grit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct GritNotes {
    /// Grams of product in one use, where the workshop has its own figure.
    pub grams_per_use: Vec<(Place, Grams)>,
    /// Scores of own bars; at most one per formula.
    pub scores: Vec<Score>,
}

impl GritNotes {
    /// Grams of product in one use at a place: the workshop's figure, or the usual one.
    #[must_use]
    pub fn grams_per_use(&self, place: Place) -> Grams {
        self.own_grams(place).unwrap_or_else(|| usual_grams(place))
    }

    /// The workshop's own figure for a place.
    #[must_use]
    pub fn own_grams(&self, place: Place) -> Option<Grams> {
        self.grams_per_use.iter().find(|(p, _)| *p == place).map(|(_, g)| *g)
    }

    /// Sets or, with `None`, forgets the workshop's figure for a place.
    pub fn set_grams(&mut self, place: Place, grams: Option<Grams>) {
        self.grams_per_use.retain(|(p, _)| *p != place);
        if let Some(grams) = grams {
            self.grams_per_use.push((place, grams));
            let order = |p: &Place| Place::ALL.iter().position(|q| q == p);
            self.grams_per_use.sort_by_key(|(p, _)| order(p));
        }
    }

    /// The score of a formula.
    #[must_use]
    pub fn score(&self, formula: &FormulaId) -> Option<&Score> {
        self.scores.iter().find(|s| s.formula == *formula)
    }

    /// The workshop's own scale through its scores.
    ///
    /// # Errors
    /// As [`Calibration::fit`]: fewer than two scores, or none that differ in index.
    pub fn scale(&self) -> Result<Calibration, NoScale> {
        let pair = |s: &Score| (s.index, decimal_to_f64(s.score));
        Calibration::fit(&self.scores.iter().map(pair).collect::<Vec<_>>())
    }

    /// The scale, where there is one that the scores do not contradict.
    #[must_use]
    pub fn usable_scale(&self) -> Option<Calibration> {
        self.scale().ok().filter(|scale| !scale.contradicts())
    }

    /// Sets the score of its formula in place of an earlier one.
    pub fn set_score(&mut self, score: Score) {
        match self.scores.iter_mut().find(|s| s.formula == score.formula) {
            Some(place) => *place = score,
            None => self.scores.push(score),
        }
    }

    /// Forgets the score of a formula.
    pub fn forget_score(&mut self, formula: &FormulaId) {
        self.scores.retain(|s| s.formula != *formula);
    }
}

/// Grams of a solid or soft scrub in one use (house assumption, not a study: about what a wet
/// hand takes off a bar).
#[must_use]
pub fn usual_grams(place: Place) -> Grams {
    Grams(match place {
        Place::Face | Place::Hands => Decimal::ONE,
        Place::Body => Decimal::from(5),
        Place::Feet => Decimal::TWO,
        Place::Lips => Decimal::new(2, 1),
        Place::Hair => Decimal::from(4),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn own_figures_win_and_can_be_forgotten() {
        let mut notes = GritNotes::default();
        assert_eq!(notes.grams_per_use(Place::Body), Grams(Decimal::from(5)));
        notes.set_grams(Place::Body, Some(Grams(Decimal::from(8))));
        notes.set_grams(Place::Face, Some(Grams(Decimal::ONE)));
        assert_eq!(notes.grams_per_use(Place::Body), Grams(Decimal::from(8)));
        assert_eq!(notes.grams_per_use.first().map(|(p, _)| *p), Some(Place::Face));
        notes.set_grams(Place::Body, None);
        assert_eq!(notes.grams_per_use(Place::Body), usual_grams(Place::Body));
    }

    #[test]
    fn a_formula_has_one_score() {
        let mut notes = GritNotes::default();
        let id = FormulaId::new("a");
        for n in [3, 5] {
            let score = Decimal::from(n);
            notes.set_score(Score {
                formula: id.clone(),
                name: "A".to_owned(),
                index: 40.0,
                score,
            });
        }
        assert_eq!(notes.scores.len(), 1);
        assert_eq!(notes.score(&id).map(|s| s.score), Some(Decimal::from(5)));
        notes.forget_score(&id);
        assert!(notes.scores.is_empty());
    }
}
