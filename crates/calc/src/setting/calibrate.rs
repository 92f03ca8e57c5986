//! What a maker measured on a made batch, and how it corrects the estimates of that formula.

use super::pour::PourClass;
use crate::formula::FormulaId;
use crate::quantity::Date;

/// One measurement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reading {
    /// Stirred while cooling, the paste turned dull and stopped running at this temperature.
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
}

impl Default for Correction {
    fn default() -> Self {
        Self { shift_c: [0.0; 3], packing: 1.0, fill: 1.0, firmness: 1.0 }
    }
}

impl Correction {
    /// Whether anything is corrected.
    #[must_use]
    pub fn is_none(&self) -> bool {
        *self == Self::default()
    }
}

/// Factor of the packing limit that brings a ratio of solids to the limit into a class, a quarter
/// of the class in from its near edge: what was seen is rarely the very edge. 1 when it is there
/// already.
#[must_use]
pub fn packing_for(ratio: f64, class: PourClass) -> f64 {
    /// Where the open-ended classes are taken to begin and to end.
    const OPEN: (f64, f64) = (0.50, 1.15);
    if !(ratio.is_finite() && ratio > 0.0) || PourClass::of(ratio) == class {
        return 1.0;
    }
    let place = PourClass::ALL.iter().position(|c| *c == class).unwrap_or(0);
    let low = place.checked_sub(1).and_then(|i| PourClass::ENDS.get(i)).copied();
    let high = PourClass::ENDS.get(place).copied();
    let (low, high) = (low.unwrap_or(OPEN.0), high.unwrap_or(OPEN.1));
    let inside = if ratio >= high { high - 0.25 * (high - low) } else { low + 0.25 * (high - low) };
    ratio / inside
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_limit_moves_into_the_class_from_its_near_edge() {
        for class in PourClass::ALL {
            for ratio in [0.3, 0.74, 0.8, 0.9, 0.97, 1.2] {
                let factor = packing_for(ratio, class);
                assert_eq!(PourClass::of(ratio / factor), class, "{ratio} {class:?}");
                if PourClass::of(ratio) == class {
                    assert!((factor - 1.0).abs() < 1e-12);
                } else {
                    // In the nearer half of the class.
                    let seen = ratio / factor;
                    let near = PourClass::ENDS.iter().map(|e| (seen - e).abs()).fold(1.0, f64::min);
                    assert!(near < 0.07 && near > 0.01, "{seen}");
                }
            }
        }
        assert!((packing_for(f64::NAN, PourClass::Spoon) - 1.0).abs() < 1e-12);
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
