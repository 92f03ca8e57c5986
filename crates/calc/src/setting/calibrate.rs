//! What a maker measured on a made batch, and how it corrects the estimates of that formula.

use super::pour::PourClass;
use crate::formula::FormulaId;
use crate::quantity::Date;

/// One measurement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reading {
    /// The fats alone, without powder, stirred while cooling, stopped running at this temperature.
    SetsAt {
        /// °C.
        c: f64,
    },
    /// How the paste behaved at a temperature.
    Flow {
        /// °C.
        at_c: f64,
        /// As seen.
        class: PourClass,
    },
    /// A cavity of known volume, filled level at a temperature, held this much.
    Poured {
        /// °C.
        at_c: f64,
        /// Mass in the cavity, g.
        grams: f64,
        /// Volume of the cavity, mL.
        ml: f64,
    },
    /// The same needle under the same weight sank this deep into a set piece.
    Needle {
        /// °C of the piece.
        at_c: f64,
        /// Depth, mm.
        mm: f64,
    },
}

impl Reading {
    /// Name of the kind, on screen and in files.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Self::SetsAt { .. } => "sets at",
            Self::Flow { .. } => "flow",
            Self::Poured { .. } => "poured weight",
            Self::Needle { .. } => "needle depth",
        }
    }

    /// How many figures the model says of it: the set point for each way to mix crystals, °C; the
    /// solids over the limit; the density, g/mL; the firmness.
    #[must_use]
    pub fn figures_said(&self) -> usize {
        match self {
            Self::SetsAt { .. } => 3,
            Self::Flow { .. } | Self::Poured { .. } | Self::Needle { .. } => 1,
        }
    }

    /// What is out of range, in words; `None` when it can be used.
    #[must_use]
    pub fn problem(&self) -> Option<&'static str> {
        let warm = |c: f64| (-20.0..=110.0).contains(&c);
        let size = |x: f64, most: f64| x.is_finite() && x > 0.0 && x <= most;
        match *self {
            Self::SetsAt { c } if !warm(c) => Some("a set point is from −20 to 110 °C"),
            Self::Flow { at_c, .. } | Self::Poured { at_c, .. } | Self::Needle { at_c, .. }
                if !warm(at_c) =>
            {
                Some("the temperature is from −20 to 110 °C")
            }
            Self::Poured { grams, .. } if !size(grams, 1e5) => {
                Some("a poured weight is above 0 and at most 100 kg")
            }
            Self::Poured { ml, .. } if !size(ml, 1e5) => {
                Some("the volume of the cavity is above 0 and at most 100 L")
            }
            Self::Poured { grams, ml, .. } if !(0.3..=3.0).contains(&(grams / ml)) => {
                Some("that weight in that volume is no density of a cosmetic; check both")
            }
            Self::Needle { mm, .. } if !size(mm, 100.0) => {
                Some("a needle depth is above 0 and at most 100 mm")
            }
            _ => None,
        }
    }
}

/// A measurement on a batch of a formula.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// The formula that was made.
    pub formula: FormulaId,
    /// Its name and version at the time, for the reader.
    pub name: String,
    /// The day.
    pub date: Option<Date>,
    /// What was measured.
    pub reading: Reading,
    /// What the uncorrected model said of that formula at the time, as many figures as
    /// [`Reading::figures_said`]; empty where it was not noted or had nothing to say. Kept, since
    /// a formula changes: what a batch told of the model stays true, what it told of the formula
    /// does not.
    pub said: Vec<f64>,
}

/// How the estimates of a formula are corrected.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Correction {
    /// °C that the melt curve is moved up: with every component pure, as usual, and with all in
    /// one mixed crystal.
    pub shift_c: [f64; 3],
    /// Factor of the packing limit.
    pub packing: f64,
    /// Factor of the density of the paste: below 1 it holds air.
    pub fill: f64,
    /// Factor of the firmness.
    pub firmness: f64,
    /// True when flows contradict each other, so that their factor is a mean that suits none.
    pub disagrees: bool,
}

impl Default for Correction {
    fn default() -> Self {
        Self { shift_c: [0.0; 3], packing: 1.0, fill: 1.0, firmness: 1.0, disagrees: false }
    }
}

impl Correction {
    /// Whether anything is corrected.
    #[must_use]
    pub fn is_none(&self) -> bool {
        *self == Self::default()
    }
}

/// Factors of the packing limit, lowest and highest, that bring a ratio of solids to the limit into
/// a class, a little in from its edges: what was seen is rarely the very edge. `None` for a ratio
/// that is not finite and positive.
#[must_use]
pub fn packing_range(ratio: f64, class: PourClass) -> Option<(f64, f64)> {
    /// Where the open-ended classes are taken to begin and to end.
    const OPEN: (f64, f64) = (0.50, 1.15);
    /// How far in from the edges, as a share of the class.
    const INSET: f64 = 0.10;
    if !(ratio.is_finite() && ratio > 0.0) {
        return None;
    }
    let place = PourClass::ALL.iter().position(|c| *c == class)?;
    let low = place.checked_sub(1).and_then(|i| PourClass::ENDS.get(i)).copied();
    let high = PourClass::ENDS.get(place).copied();
    let width = high.unwrap_or(OPEN.1) - low.unwrap_or(OPEN.0);
    // Beyond an open end anything goes.
    let least = high.map_or(0.0, |h| ratio / (h - INSET * width));
    let most = low.map_or(f64::INFINITY, |l| ratio / (l + INSET * width));
    Some((least, most))
}

/// The factor nearest to 1 that suits every range, and whether none does: then it is the mean of
/// what each asks for, by its logarithm. 1 without ranges.
#[must_use]
pub fn packing_of(ranges: &[(f64, f64)]) -> (f64, bool) {
    let least = ranges.iter().fold(0.0_f64, |m, r| m.max(r.0));
    let most = ranges.iter().fold(f64::INFINITY, |m, r| m.min(r.1));
    if least <= most {
        return (1.0_f64.clamp(least, most), false);
    }
    let asked = ranges.iter().map(|(low, high)| libm::log(1.0_f64.clamp(*low, *high)));
    (libm::exp(asked.sum::<f64>() / ranges.len() as f64), true)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;

    #[test]
    fn the_limit_moves_into_the_class_and_no_further() {
        for class in PourClass::ALL {
            for ratio in [0.3, 0.7, 0.8, 0.9, 0.97, 1.2] {
                let range = packing_range(ratio, class).unwrap();
                let (factor, disagrees) = packing_of(&[range]);
                assert_eq!(PourClass::of(ratio / factor), class, "{ratio} {class:?}");
                assert!(!disagrees);
                if range.0 <= 1.0 && range.1 >= 1.0 {
                    assert!((factor - 1.0).abs() < 1e-12);
                }
            }
        }
        assert_eq!(packing_range(f64::NAN, PourClass::Spoon), None);
        assert_eq!(packing_of(&[]), (1.0, false));
    }

    #[test]
    fn readings_that_agree_do_not_water_down_the_one_that_asks() {
        // Free pour at 0.60 agrees, spoon at 0.82 asks for a lower limit; both can be had.
        let free = packing_range(0.60, PourClass::FreePour).unwrap();
        let spoon = packing_range(0.82, PourClass::Spoon).unwrap();
        let (factor, disagrees) = packing_of(&[free, spoon]);
        assert!(!disagrees);
        assert_eq!(PourClass::of(0.60 / factor), PourClass::FreePour);
        assert_eq!(PourClass::of(0.82 / factor), PourClass::Spoon);
        // Nine that agree do not outvote it.
        let (same, _) = packing_of(&[[free; 9].to_vec(), vec![spoon]].concat());
        assert!((same - factor).abs() < 1e-12);
        // What cannot be had together is said.
        let press = packing_range(0.60, PourClass::Press).unwrap();
        assert!(packing_of(&[free, press]).1);
    }

    #[test]
    fn readings_out_of_range_are_told() {
        for (reading, told) in [
            (Reading::SetsAt { c: 44.0 }, false),
            (Reading::SetsAt { c: 440.0 }, true),
            (Reading::Flow { at_c: f64::NAN, class: PourClass::Spoon }, true),
            (Reading::Poured { at_c: 60.0, grams: 120.0, ml: 110.0 }, false),
            (Reading::Poured { at_c: 60.0, grams: 0.0, ml: 110.0 }, true),
            (Reading::Poured { at_c: 60.0, grams: 1.0, ml: -1.0 }, true),
            (Reading::Poured { at_c: 60.0, grams: 500.0, ml: 110.0 }, true),
            (Reading::Needle { at_c: 20.0, mm: 3.0 }, false),
            (Reading::Needle { at_c: 20.0, mm: 0.0 }, true),
        ] {
            assert_eq!(reading.problem().is_some(), told, "{reading:?}");
        }
    }
}
