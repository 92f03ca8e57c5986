//! A workshop's own scale: its scores of made bars against their grit index.

/// Slope of the scale along the logarithm: index 0 to 10 is one step, as 10 to 30 is the next
/// (model assumption; sensations grow roughly with the logarithm of what causes them).
const KNEE: f64 = 10.0;

/// A straight line through scores over `ln(1 + index / 10)`.
#[derive(Clone, Debug, PartialEq)]
pub struct Calibration {
    /// Score at index 0.
    pub at_zero: f64,
    /// Score gained per unit of `ln(1 + index / 10)`.
    pub slope: f64,
    /// Score less fit, in the order given.
    pub residuals: Vec<f64>,
    /// Root mean square of the residuals over the degrees of freedom; `None` with two scores,
    /// through which any line passes.
    pub error: Option<f64>,
    /// The least and greatest index that was scored.
    pub range: (f64, f64),
}

/// Why no scale can be fitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum NoScale {
    /// Fewer than two scores.
    #[error("score at least two bars that differ in grit; with three an error can be shown")]
    TooFew,
    /// All bars have the same index.
    #[error("the scored bars have the same grit index; score one that is rougher or gentler")]
    AllAlike,
    /// A score or index that is not a number.
    #[error("a score or index is not a number of 0 or more")]
    NotANumber,
}

fn place(index: f64) -> f64 {
    libm::log1p(index.max(0.0) / KNEE)
}

impl Calibration {
    /// Fits a workshop's scale to pairs of index and score by least squares.
    ///
    /// # Errors
    /// When there are fewer than two scores, or none that differ in index.
    pub fn fit(scores: &[(f64, f64)]) -> Result<Self, NoScale> {
        if scores.iter().any(|(i, s)| !i.is_finite() || *i < 0.0 || !s.is_finite()) {
            return Err(NoScale::NotANumber);
        }
        if scores.len() < 2 {
            return Err(NoScale::TooFew);
        }
        let n = scores.len() as f64;
        let mean_x = scores.iter().map(|(i, _)| place(*i)).sum::<f64>() / n;
        let mean_y = scores.iter().map(|(_, s)| s).sum::<f64>() / n;
        let (mut xx, mut xy) = (0.0, 0.0);
        for (index, score) in scores {
            let x = place(*index) - mean_x;
            xx += x * x;
            xy += x * (score - mean_y);
        }
        if xx < 1e-6 {
            return Err(NoScale::AllAlike);
        }
        let slope = xy / xx;
        let at_zero = mean_y - slope * mean_x;
        let residuals: Vec<f64> =
            scores.iter().map(|(i, s)| s - (at_zero + slope * place(*i))).collect();
        let squares: f64 = residuals.iter().map(|r| r * r).sum();
        let error = (scores.len() > 2).then(|| libm::sqrt(squares / (n - 2.0)));
        let all = || scores.iter().map(|(i, _)| *i);
        let range = (all().fold(f64::INFINITY, f64::min), all().fold(0.0, f64::max));
        Ok(Self { at_zero, slope, residuals, error, range })
    }

    /// The score that the scale gives an index; may lie outside 1 to 10.
    #[must_use]
    pub fn score(&self, index: f64) -> f64 {
        self.at_zero + self.slope * place(index)
    }

    /// True when the index lies outside what was scored, so that the scale is only extended.
    #[must_use]
    pub fn is_extended(&self, index: f64) -> bool {
        index < self.range.0 || index > self.range.1
    }

    /// True when rougher bars were scored lower: the index does not describe these bars.
    #[must_use]
    pub fn contradicts(&self) -> bool {
        self.slope <= 0.0
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn scores_on_a_line_are_met() {
        let line = |i: f64| 1.5 + 2.0 * libm::log1p(i / 10.0);
        let scores: Vec<(f64, f64)> =
            [3.0, 18.0, 60.0, 140.0].iter().map(|i| (*i, line(*i))).collect();
        let c = Calibration::fit(&scores).unwrap();
        assert!((c.at_zero - 1.5).abs() < 1e-12 && (c.slope - 2.0).abs() < 1e-12);
        assert!(c.error.unwrap() < 1e-12 && (c.score(60.0) - line(60.0)).abs() < 1e-12);
        assert!(c.is_extended(200.0) && !c.is_extended(60.0) && !c.contradicts());
    }

    #[test]
    fn what_cannot_be_fitted() {
        assert_eq!(Calibration::fit(&[(5.0, 3.0)]), Err(NoScale::TooFew));
        assert_eq!(Calibration::fit(&[(5.0, 3.0), (5.0, 4.0)]), Err(NoScale::AllAlike));
        assert_eq!(Calibration::fit(&[(f64::NAN, 3.0), (5.0, 4.0)]), Err(NoScale::NotANumber));
        let two = Calibration::fit(&[(5.0, 6.0), (50.0, 3.0)]).unwrap();
        assert!(two.error.is_none() && two.contradicts());
    }
}
