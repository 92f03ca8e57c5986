//! How much of a weak acid is undissociated, which is the part that preserves.

/// The widest pH that is calculated with; beyond it no bench reading lies.
const PH_RANGE: std::ops::RangeInclusive<f64> = -2.0..=16.0;

/// Most points of a curve.
const MOST_POINTS: usize = 10_000;

/// Fraction of a monoprotic acid that is undissociated, 0 to 1: 1 / (1 + 10^(pH − pKa)).
///
/// Source: Henderson and Hasselbalch, mass action without activity corrections. `None` for a pH
/// outside −2 to 16 and for a pKa that is no number or beyond ±50.
#[must_use]
pub fn undissociated(ph: f64, pka: f64) -> Option<f64> {
    let sound = PH_RANGE.contains(&ph) && pka.abs() <= 50.0;
    sound.then(|| 1.0 / (1.0 + libm::exp10(ph - pka)))
}

/// The fraction over an even pH axis: (pH, fraction), `points` of them from `from` to `to`.
///
/// Empty for fewer than two or more than 10 000 points, a range that does not rise, and whatever
/// [`undissociated`] refuses.
#[must_use]
pub fn undissociated_curve(pka: f64, from: f64, to: f64, points: usize) -> Vec<(f64, f64)> {
    if !(2..=MOST_POINTS).contains(&points)
        || from.partial_cmp(&to) != Some(std::cmp::Ordering::Less)
    {
        return Vec::new();
    }
    let last = (points - 1) as f64;
    let point = |i: usize| {
        let part = i as f64 / last;
        let ph = from * (1.0 - part) + to * part;
        undissociated(ph, pka).map(|f| (ph, f))
    };
    (0..points).map(point).collect::<Option<_>>().unwrap_or_default()
}

/// Free concentration in the water phase of an emulsion: C · (φ + 1) / (K · φ + R).
///
/// `total` is the concentration in the whole product, `phi` the volume of oil to water, `k` the
/// partition coefficient oil to water of the undissociated acid, `r` total to free acid in the
/// water, 1 without micelles. Source: two-phase balance as in J. Soc. Cosmet. Chem. 18(4), 1967,
/// on benzoic acid; the equation from memory. `None` for what is negative or no number, and for
/// `r` below 1.
#[must_use]
pub fn water_phase_share(total: f64, phi: f64, k: f64, r: f64) -> Option<f64> {
    let sound = |x: f64| x.is_finite() && x >= 0.0;
    if !(sound(total) && sound(phi) && sound(k) && r.is_finite() && r >= 1.0) {
        return None;
    }
    let free = total * (phi + 1.0) / (k * phi + r);
    free.is_finite().then_some(free)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;

    const BAD: [f64; 3] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY];

    #[test]
    fn no_answer() {
        for bad in BAD {
            assert_eq!(undissociated(bad, 4.2), None);
            assert_eq!(undissociated(4.2, bad), None);
            assert!(undissociated_curve(4.2, bad, 7.0, 5).is_empty());
            assert!(undissociated_curve(4.2, 3.0, bad, 5).is_empty());
            assert!(undissociated_curve(bad, 3.0, 7.0, 5).is_empty());
            assert_eq!(water_phase_share(bad, 1.0, 1.0, 1.0), None);
            assert_eq!(water_phase_share(1.0, bad, 1.0, 1.0), None);
            assert_eq!(water_phase_share(1.0, 1.0, bad, 1.0), None);
            assert_eq!(water_phase_share(1.0, 1.0, 1.0, bad), None);
        }
        assert_eq!(undissociated(17.0, 4.2), None);
        for (from, to, points) in [(7.0, 3.0, 5), (3.0, 3.0, 5), (3.0, 7.0, 1), (3.0, 7.0, 20_000)]
        {
            assert!(undissociated_curve(4.2, from, to, points).is_empty());
        }
        assert_eq!(water_phase_share(-1.0, 1.0, 1.0, 1.0), None);
        assert_eq!(water_phase_share(1.0, 1.0, 1.0, 0.5), None);
        assert_eq!(water_phase_share(1e308, 1e300, 0.0, 1.0), None);
    }

    #[test]
    fn the_curve_ends_where_it_was_asked_to() {
        let curve = undissociated_curve(4.2, 3.0, 7.0, 5);
        let ph: Vec<f64> = curve.iter().map(|p| p.0).collect();
        assert_eq!(ph, [3.0, 4.0, 5.0, 6.0, 7.0]);
    }

    proptest! {
        #[test]
        fn falls_with_ph(pka in 0.0f64..14.0, ph in -1.0f64..14.0, more in 1e-3f64..2.0) {
            let low = undissociated(ph, pka).unwrap();
            let high = undissociated(ph + more, pka).unwrap();
            prop_assert!((0.0..=1.0).contains(&low));
            prop_assert!(high < low);
            // Half at the pKa, and the acid and its salt mirror each other about it.
            prop_assert!((undissociated(pka, pka).unwrap() - 0.5).abs() < 1e-12);
        }

        #[test]
        fn oil_takes_from_the_water(phi in 0.0f64..9.0, k in 1.0f64..100.0, r in 1.0f64..20.0) {
            let free = water_phase_share(1.0, phi, k, r).unwrap();
            prop_assert!(free > 0.0 && free <= 1.0 + 1e-12);
        }
    }
}
