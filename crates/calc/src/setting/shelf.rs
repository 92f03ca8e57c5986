//! After setting: how firm, whether it keeps its shape in a warm parcel, how readily its oils
//! oxidise.

/// Iodine value of triglycerides with these fatty acids, g iodine per 100 g.
///
/// Coefficients of AOCS Cd 1c-85 for triglycerides; those of ricinoleic acid and of 22:2, which the
/// method does not list, are stoichiometric. Acids are named by carbons and double bonds ("18:2"; "18:1-OH" is
/// ricinoleic), each in % of all fatty acids; others count nothing.
#[must_use]
pub fn iodine_value(acids: &[(String, f64)]) -> f64 {
    let one = |(name, percent): &(String, f64)| {
        let per = match name.as_str() {
            "16:1" => 0.950,
            "18:1" => 0.860,
            "18:2" => 1.732,
            "18:3" => 2.616,
            "20:1" => 0.785,
            "22:1" => 0.723,
            "22:2" => 1.454,
            "18:1-OH" => 0.816,
            _ => 0.0,
        };
        per * percent
    };
    acids.iter().map(one).sum()
}

/// How readily one fatty acid oxidises, per % of it: oleic 1, linoleic 10.3, linolenic 21.6, over
/// 100 (usually credited to Fatemi and Hammond, Lipids 15 (1980) 379; from memory). The order is
/// certain, the ratios depend on the study.
#[must_use]
pub fn oxidation_weight(acid: &str) -> f64 {
    match acid {
        "18:1" => 0.01,
        "18:2" => 0.103,
        "18:3" => 0.216,
        _ => 0.0,
    }
}

/// Relative oxidisability of oils with these fatty acids: 0 for saturated ones, about 1.8 for
/// olive, 6.8 for sunflower, 14 for flaxseed.
#[must_use]
pub fn oxidisability(acids: &[(String, f64)]) -> f64 {
    acids.iter().map(|(name, percent)| oxidation_weight(name) * percent).sum()
}

/// How long oils keep, by their relative oxidisability (bands are a model assumption).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stability {
    /// Below 1.5.
    VeryStable,
    /// 1.5 to 3.5.
    Good,
    /// 3.5 to 6.
    Moderate,
    /// 6 to 9.
    Poor,
    /// Above 9.
    KeepCold,
}

impl Stability {
    /// All of them, most stable first.
    pub const ALL: [Self; 5] =
        [Self::VeryStable, Self::Good, Self::Moderate, Self::Poor, Self::KeepCold];

    /// Where each but the last ends.
    pub const ENDS: [f64; 4] = [1.5, 3.5, 6.0, 9.0];

    /// The band of an oxidisability; what is not a number is taken as the worst.
    #[must_use]
    pub fn of(oxidisability: f64) -> Self {
        let mut ends = Self::ENDS.iter().zip(Self::ALL);
        ends.find(|(end, _)| oxidisability < **end).map_or(Self::KeepCold, |(_, band)| band)
    }

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::VeryStable => "very stable",
            Self::Good => "good",
            Self::Moderate => "moderate",
            Self::Poor => "poor",
            Self::KeepCold => "keep cold",
        }
    }
}

/// Exponent of firmness over solids (model assumption: published power laws of fat networks run
/// from about 2 to 6, from memory).
pub const FIRMNESS_POWER: i32 = 4;

/// Exponent of a needle's depth: yield value falls with the depth of a cone to the power of 1.6
/// (Haighton's rule for margarine and butter, from memory).
pub const NEEDLE_POWER: f64 = 1.6;

/// Firmness of a paste whose solids fill this share of what they jam at; on no scale of its own,
/// so that only ratios mean anything. 0 for what is not above 0.
#[must_use]
pub fn firmness(ratio: f64) -> f64 {
    if ratio > 0.0 { ratio.powi(FIRMNESS_POWER) } else { 0.0 }
}

/// Firmness of one sample over another's by the depth that the same needle sinks in each, mm;
/// `None` unless both are finite and positive.
#[must_use]
pub fn firmness_by_needle(depth_mm: f64, other_mm: f64) -> Option<f64> {
    let sound = |x: f64| x.is_finite() && x > 0.0;
    (sound(depth_mm) && sound(other_mm)).then(|| libm::pow(other_mm / depth_mm, NEEDLE_POWER))
}

/// Whether a piece keeps its shape, by its solids over what they jam at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Keeps {
    /// Keeps it.
    Shape,
    /// Dents and sticks to its wrap.
    Softens,
    /// Sags out of shape.
    Slumps,
}

impl Keeps {
    /// Solids over the packing limit above which a piece keeps its shape, and below which it sags
    /// (model assumption: what would have to be pressed keeps it, what would pour sags).
    pub const ENDS: [f64; 2] = [0.95, 0.86];

    /// By the ratio of solids to the packing limit; what is not a number sags.
    #[must_use]
    pub fn of(ratio: f64) -> Self {
        let [keeps, sags] = Self::ENDS;
        if ratio >= keeps {
            Self::Shape
        } else if ratio >= sags {
            Self::Softens
        } else {
            Self::Slumps
        }
    }

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Shape => "keeps its shape",
            Self::Softens => "softens",
            Self::Slumps => "slumps",
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;

    fn acids(list: &[(&str, f64)]) -> Vec<(String, f64)> {
        list.iter().map(|(n, p)| ((*n).to_owned(), *p)).collect()
    }

    // AOCS Cd 1c-85, coefficients for triglycerides; the sum by hand.
    #[test]
    fn iodine_values() {
        let sunflower = acids(&[("18:1", 25.0), ("18:2", 63.0), ("18:3", 0.1), ("16:0", 6.0)]);
        assert!((iodine_value(&sunflower) - 130.878).abs() < 1e-3);
        assert!((iodine_value(&acids(&[("18:1", 100.0)])) - 86.0).abs() < 0.01);
        assert!((oxidisability(&sunflower) - 6.7606).abs() < 1e-3);
        assert_eq!(Stability::of(oxidisability(&sunflower)), Stability::Poor);
        assert!(iodine_value(&[]).abs() < f64::EPSILON);
    }

    #[test]
    fn bands_and_edges() {
        assert_eq!(Stability::of(0.0), Stability::VeryStable);
        assert_eq!(Stability::of(1.5), Stability::Good);
        assert_eq!(Stability::of(13.8), Stability::KeepCold);
        assert_eq!(Stability::of(f64::NAN), Stability::KeepCold);
        assert_eq!(Keeps::of(0.95), Keeps::Shape);
        assert_eq!(Keeps::of(0.9), Keeps::Softens);
        // The ends are those of a paste that is pressed and of one that pours.
        let [_, pours, spoons, _] = crate::setting::pour::PourClass::ENDS;
        assert_eq!(Keeps::ENDS, [spoons, pours]);
        assert_eq!(Keeps::of(0.5), Keeps::Slumps);
        assert_eq!(Keeps::of(f64::NAN), Keeps::Slumps);
    }

    #[test]
    fn firmer_with_solids_and_with_a_shallower_needle() {
        assert!(firmness(1.1) > firmness(1.0) && firmness(-1.0) <= 0.0);
        assert!((firmness_by_needle(2.0, 4.0).unwrap() - 3.0314).abs() < 1e-4);
        assert_eq!(firmness_by_needle(0.0, 1.0), None);
        assert_eq!(firmness_by_needle(1.0, f64::NAN), None);
    }
}
