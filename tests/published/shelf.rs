//! Oxidation: the engine's iodine value against AOCS Cd 1c-85 (the same method is Annex B of ISO
//! 3961), and its order of oils.

use quern_calc::setting::shelf::{Stability, iodine_value, oxidisability};

use crate::near;

fn acids(list: &[(&str, f64)]) -> Vec<(String, f64)> {
    list.iter().map(|(name, percent)| ((*name).to_owned(), *percent)).collect()
}

/// AOCS Cd 1c-85 (reapproved 2009): coefficients for triglycerides, per % of each fatty acid. The
/// stoichiometry of iodine (253.809 g a bond) on a triglyceride of three molecules of an acid gives
/// those that the method leaves out.
#[test]
fn coefficients_of_the_method() {
    for (acid, coefficient) in [
        ("16:1", 0.950),
        ("18:1", 0.860),
        ("18:2", 1.732),
        ("18:3", 2.616),
        ("20:1", 0.785),
        ("22:1", 0.723),
    ] {
        near(acid, iodine_value(&acids(&[(acid, 100.0)])), 100.0 * coefficient, 1e-9);
    }
    for (acid, bonds, molar_mass) in [("18:1-OH", 1.0, 298.46), ("22:2", 2.0, 336.55)] {
        let by_mass = 3.0 * 253.809 * bonds / (3.0 * molar_mass + 38.049);
        near(acid, iodine_value(&acids(&[(acid, 100.0)])), 100.0 * by_mass, 0.1);
    }
    near("saturated", iodine_value(&acids(&[("16:0", 60.0), ("18:0", 40.0)])), 0.0, 1e-12);
}

/// The sums by hand: 0.860 x 25 + 1.732 x 63 + 2.616 x 0.1, and a mix by mass of olive (1 % 16:1,
/// 73 % 18:1, 9 % 18:2, 0.7 % 18:3, 0.3 % 20:1) and grapeseed (0.2, 18, 68, 0.3) oil.
#[test]
fn iodine_values_by_hand() {
    let sunflower = acids(&[("18:1", 25.0), ("18:2", 63.0), ("18:3", 0.1)]);
    near("sunflower", iodine_value(&sunflower), 130.878, 1e-3);
    let olive =
        acids(&[("16:1", 1.0), ("18:1", 73.0), ("18:2", 9.0), ("18:3", 0.7), ("20:1", 0.3)]);
    let grapeseed = acids(&[("16:1", 0.2), ("18:1", 18.0), ("18:2", 68.0), ("18:3", 0.3)]);
    let mix = 0.6 * iodine_value(&olive) + 0.4 * iodine_value(&grapeseed);
    near("olive with grapeseed", mix, 102.523, 1e-2);
}

/// The engine's value of every library oil lies in its stated range; shea, with its
/// unsaponifiables, is beyond the method.
#[test]
fn library_oils_lie_in_their_ranges() {
    let mut met = 0;
    for m in quern_project::library::builtin().materials.values() {
        let Some(range) = m.iodine_value.as_ref().filter(|_| !m.fatty_acids.is_empty()) else {
            continue;
        };
        if m.id.as_str() == "butyrospermum-parkii-butter" {
            continue;
        }
        met += 1;
        let value = iodine_value(&m.fatty_acids);
        let (low, high) = (range.value.low.unwrap(), range.value.high.unwrap());
        assert!((low..=high).contains(&value), "{}: {value:.1}, {low} to {high}", m.id);
    }
    assert!(met >= 30, "{met}");
}

/// The order of how fast oils oxidise is that of common practice: coconut, cocoa butter, olive,
/// sweet almond, sunflower, hempseed, flaxseed. The weights are from memory.
#[test]
fn the_order_of_oils() {
    let rows = [
        acids(&[("18:1", 6.5), ("18:2", 1.7)]),
        acids(&[("18:1", 34.0), ("18:2", 3.0), ("18:3", 0.2)]),
        acids(&[("18:1", 73.0), ("18:2", 9.0), ("18:3", 0.7)]),
        acids(&[("18:1", 67.0), ("18:2", 23.0), ("18:3", 0.1)]),
        acids(&[("18:1", 25.0), ("18:2", 63.0), ("18:3", 0.1)]),
        acids(&[("18:1", 12.0), ("18:2", 56.0), ("18:3", 18.0)]),
        acids(&[("18:1", 19.0), ("18:2", 15.0), ("18:3", 56.0)]),
    ];
    let values: Vec<f64> = rows.iter().map(|r| oxidisability(r)).collect();
    assert!(values.windows(2).all(|w| w[0] < w[1]), "{values:?}");
    near("sunflower", values[4], 6.761, 1e-3);
    let bands: Vec<Stability> = values.iter().map(|v| Stability::of(*v)).collect();
    assert!(bands.windows(2).all(|w| w[0] <= w[1]));
    assert_eq!((bands[0], bands[6]), (Stability::VeryStable, Stability::KeepCold));
}
