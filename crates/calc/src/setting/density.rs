//! Density of a mixture.

/// Density of an ideal mixture, g/mL, from the mass (any one unit) and density (g/mL) of each part.
///
/// Specific volumes add: `rho = sum m / sum (m / rho)`, with no change of volume on mixing (model
/// assumption) and no air. A part of no mass is passed over whatever its density. `None` when
/// nothing is left, when a density is not finite and positive, or when a mass is not finite or
/// negative.
pub fn mix_density(parts: impl Iterator<Item = (f64, f64)>) -> Option<f64> {
    let (mut mass, mut volume) = (0.0, 0.0);
    for (m, rho) in parts {
        if !(m.is_finite() && m >= 0.0) {
            return None;
        }
        if m > 0.0 {
            if !(rho.is_finite() && rho > 0.0) {
                return None;
            }
            mass += m;
            volume += m / rho;
        }
    }
    let density = mass / volume;
    (density.is_finite() && density > 0.0).then_some(density)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn mixtures() {
        // By hand from the formula.
        let half = mix_density([(1.0, 0.92), (1.0, 1.50)].into_iter()).unwrap();
        assert!((half - 1.14050).abs() <= 1e-5, "{half}");
        // A made-up cold bar: surfactant, starch, kaolin, fruit stone, solid fats, oil.
        let bar =
            [(30.0, 1.15), (15.0, 1.50), (10.0, 2.60), (5.0, 1.35), (27.2, 0.98), (12.8, 0.915)];
        let bar = mix_density(bar.into_iter()).unwrap();
        assert!((bar - 1.17122).abs() <= 1e-5, "{bar}");
        // Whole cavities of 110 mL that 1000 g of it fill.
        assert!((1000.0 / (110.0 * bar)).floor() - 7.0 < 0.5 && 1000.0 / (110.0 * bar) >= 7.0);
    }

    #[test]
    fn no_answer() {
        let nan = f64::NAN;
        assert_eq!(mix_density(core::iter::empty()), None);
        for parts in [
            [(1.0, 0.9), (1.0, nan)],
            [(1.0, 0.9), (1.0, 0.0)],
            [(1.0, 0.9), (-1.0, 1.0)],
            [(0.0, 1.0); 2],
        ] {
            assert_eq!(mix_density(parts.into_iter()), None);
        }
        assert_eq!(mix_density([(2.0, 0.5), (0.0, nan)].into_iter()), Some(0.5));
    }

    proptest! {
        #[test]
        fn lies_between_its_parts(
            parts in prop::collection::vec((0.01f64..100.0, 0.3f64..6.0), 1..8),
        ) {
            let rho = mix_density(parts.iter().copied()).unwrap();
            let lo = parts.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
            let hi = parts.iter().map(|p| p.1).fold(0.0, f64::max);
            prop_assert!(rho >= lo * (1.0 - 1e-12) && rho <= hi * (1.0 + 1e-12));
        }
    }
}
