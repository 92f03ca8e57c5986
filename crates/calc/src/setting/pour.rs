//! Pourability: how thick a paste of solids in molten fat is.
//!
//! Solids fill a share of the volume; the nearer it comes to the share at which they jam, the
//! thicker the paste. The law and the packing of spheres are published; shape factors and classes
//! are model assumptions, to be tuned in the kitchen.

use crate::formula::PowderShape;

/// Viscosity of molten fat or oil at 70 °C, Pa s (from memory: 8 to 15 mPa s).
pub const MOLTEN_FAT_PA_S: f64 = 0.012;

/// How fast oils thin, 1/K: from about 65 mPa s at 25 °C to [`MOLTEN_FAT_PA_S`] at 70 °C (from
/// memory, typical of vegetable oils).
const OIL_THINS: f64 = 0.0375;

/// Viscosity of molten fat or oil at a temperature, Pa s, taken between 0 and 120 °C.
#[must_use]
pub fn oil_pa_s(t_c: f64) -> f64 {
    let t = if t_c.is_nan() { 70.0 } else { t_c.clamp(0.0, 120.0) };
    MOLTEN_FAT_PA_S * libm::exp(OIL_THINS * (70.0 - t))
}

/// Share of the volume at which randomly packed spheres of a lognormal size distribution jam;
/// `sigma` is the natural logarithm of the geometric standard deviation, taken as 0 below it.
///
/// A fit to the theory that maps spheres onto rods packed on a line (arXiv 0912.0852; the formula
/// from memory, checked against such a packing of rods, apart from this code, to 2e-4). 0.6435 for a
/// single size, which text books give as 0.634 to 0.64.
#[must_use]
pub fn packing_of_spheres(sigma: f64) -> f64 {
    let s = if sigma > 0.0 { sigma.min(4.0) } else { 0.0 };
    let bend = 1.0 - libm::exp(-0.75 * libm::pow(s, 0.7) - 0.025 * libm::pow(s, 4.0));
    let ripple = libm::cos(2.0 * core::f64::consts::PI * bend) - 1.0;
    1.0 - 0.57 * libm::exp(-s) + 0.2135 * libm::exp(-0.57 * s / 0.2135) + 0.0019 * ripple
}

/// What irregular grains reach of the packing of spheres (model assumption).
#[must_use]
pub fn shape_factor(shape: PowderShape) -> f64 {
    match shape {
        PowderShape::Bead => 1.00,
        PowderShape::Rounded => 0.90,
        PowderShape::Angular => 0.80,
        PowderShape::Plate => 0.60,
        PowderShape::Fibre => 0.55,
    }
}

/// Law of relative viscosity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Law {
    /// Maron and Pierce: `(1 - x)^-2`, with `x` the solids over the packing limit.
    MaronPierce,
    /// Krieger and Dougherty: `(1 - x)^(-[eta] phi_max)`; the intrinsic viscosity is 2.5 for
    /// spheres and 3 to 5 for irregular grains (from memory).
    KriegerDougherty {
        /// Intrinsic viscosity, positive.
        intrinsic: f64,
    },
}

/// Viscosity of the paste over that of its liquid; `None` when the solids jam, or for shares that
/// are not between 0 and 1.
#[must_use]
pub fn relative_viscosity(solids: f64, limit: f64, law: Law) -> Option<f64> {
    let sound = (0.0..=1.0).contains(&solids) && limit > 0.0 && limit <= 1.0;
    if !sound || solids >= limit {
        return None;
    }
    let free = 1.0 - solids / limit;
    Some(match law {
        Law::MaronPierce => 1.0 / (free * free),
        Law::KriegerDougherty { intrinsic } => libm::pow(free, -intrinsic * limit),
    })
}

/// How a paste behaves at pouring (classes are a model assumption).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PourClass {
    /// Runs by itself.
    FreePour,
    /// Pours from a jug, levels with tapping.
    ThickPour,
    /// Is spooned.
    Spoon,
    /// Is pressed into the mould.
    Press,
    /// Holds too little liquid: crumbles unless it is compacted.
    Crumbly,
}

impl PourClass {
    /// All of them, runniest first.
    pub const ALL: [Self; 5] =
        [Self::FreePour, Self::ThickPour, Self::Spoon, Self::Press, Self::Crumbly];

    /// Solids over the packing limit at which each class but the last ends.
    pub const ENDS: [f64; 4] = [0.75, 0.86, 0.95, 1.0];

    /// Class of a ratio of solids to the packing limit; what is not a number is taken as crumbly,
    /// the cautious side.
    #[must_use]
    pub fn of(ratio: f64) -> Self {
        Self::ENDS
            .iter()
            .zip(Self::ALL)
            .find(|(end, _)| ratio < **end)
            .map_or(Self::Crumbly, |(_, class)| class)
    }

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::FreePour => "free pour",
            Self::ThickPour => "thick pour",
            Self::Spoon => "spoon",
            Self::Press => "press",
            Self::Crumbly => "crumbly",
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;

    #[track_caller]
    fn near(value: f64, expected: f64, tolerance: f64) {
        assert!((value - expected).abs() <= tolerance, "{value}, expected {expected}");
    }

    // Computed apart from this code, by the formula and by packing rods.
    #[test]
    fn packing_of_lognormal_spheres() {
        for (sigma, packing) in
            [(0.0, 0.6435), (0.4, 0.6885), (0.6, 0.7267), (0.8, 0.7653), (1.0, 0.8014)]
        {
            near(packing_of_spheres(sigma), packing, 2e-4);
        }
    }

    // The laws as published; figures computed apart from this code.
    #[test]
    fn relative_viscosities() {
        for (solids, maron, krieger) in [
            (0.1, 1.4018, 1.3123),
            (0.2, 2.1053, 1.8200),
            (0.3, 3.5095, 2.7452),
            (0.4, 6.9839, 4.7750),
            (0.5, 20.109, 11.179),
        ] {
            let at = |law| relative_viscosity(solids, 0.6435, law).unwrap();
            near(at(Law::MaronPierce) / maron, 1.0, 1e-3);
            near(at(Law::KriegerDougherty { intrinsic: 2.5 }) / krieger, 1.0, 1e-3);
        }
        near(relative_viscosity(0.4849, 0.55, Law::MaronPierce).unwrap(), 71.45, 0.15);
        // Einstein's limit: 1 + 2.5 times the solids.
        let thin = relative_viscosity(1e-6, 0.64, Law::KriegerDougherty { intrinsic: 2.5 });
        near((thin.unwrap() - 1.0) / 1e-6, 2.5, 1e-4);
    }

    // Typical of vegetable oils, from memory: 60 to 70 mPa s at 25 °C.
    #[test]
    fn oils_thin_in_warmth() {
        near(oil_pa_s(70.0), MOLTEN_FAT_PA_S, 1e-12);
        near(oil_pa_s(25.0), 0.065, 0.005);
        assert!(oil_pa_s(f64::NAN).is_finite() && oil_pa_s(1e9) > 0.0);
    }

    #[test]
    fn classes_and_limits() {
        assert_eq!(PourClass::of(0.5), PourClass::FreePour);
        assert_eq!(PourClass::of(0.75), PourClass::ThickPour);
        assert_eq!(PourClass::of(0.882), PourClass::Spoon);
        assert_eq!(PourClass::of(0.970), PourClass::Press);
        assert_eq!(PourClass::of(1.0), PourClass::Crumbly);
        assert_eq!(PourClass::of(f64::NAN), PourClass::Crumbly);
        assert_eq!(relative_viscosity(0.7, 0.6, Law::MaronPierce), None);
        for bad in [f64::NAN, -0.1, 1.2] {
            assert_eq!(relative_viscosity(bad, 0.6, Law::MaronPierce), None);
        }
        assert_eq!(relative_viscosity(0.2, 0.0, Law::MaronPierce), None);
        assert!(packing_of_spheres(f64::NAN) < 0.65 && packing_of_spheres(1e9) <= 1.0);
    }

    proptest! {
        #[test]
        fn thicker_with_every_solid(a in 0.0f64..0.5, more in 0.0001f64..0.1, limit in 0.3f64..0.8) {
            for law in [Law::MaronPierce, Law::KriegerDougherty { intrinsic: 4.0 }] {
                if let (Some(x), Some(y)) =
                    (relative_viscosity(a, limit, law), relative_viscosity(a + more, limit, law))
                {
                    prop_assert!(y > x);
                }
            }
            prop_assert!(packing_of_spheres(a + more) >= packing_of_spheres(a) - 1e-4);
        }
    }
}
