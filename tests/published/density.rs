//! Densities of mixtures and what they fill.

use quern_calc::setting::density::mix_density;

use crate::{near, number, reference};

fn mix(parts: &[(f64, f64)]) -> f64 {
    mix_density(parts.iter().copied()).unwrap()
}

/// Additive specific volumes, sum m / sum (m / rho); by hand: 2 / (1/0.92 + 1/1.50) = 1.14050.
#[test]
fn two_halves() {
    near("half and half", mix(&[(50.0, 0.92), (50.0, 1.50)]), 1.14050, 5e-6);
}

/// A made-up cold bar, by hand: 100 g fill 85.382 mL.
#[test]
fn a_cold_bar() {
    let bar = [(30.0, 1.15), (15.0, 1.50), (10.0, 2.60), (5.0, 1.35), (27.2, 0.98), (12.8, 0.915)];
    let rho = mix(&bar);
    near("cold bar", rho, 1.17122, 5e-6);
    // 1000 g of it in cavities of 110 mL, no loss: 7 whole ones.
    let cavities = 1000.0 / (110.0 * rho);
    assert_eq!(cavities.floor(), 7.0);
    near("cavities", cavities, 7.762, 0.001);
}

/// The made-up paste while hot, fat at 0.86 g/mL (from memory for molten fat), by hand.
#[test]
fn a_hot_paste() {
    let paste = [(30.0, 1.15), (15.0, 1.50), (10.0, 2.60), (5.0, 1.35), (39.0, 0.86), (1.0, 1.0)];
    near("hot paste", mix(&paste), 1.1113, 5e-5);
}

/// Salt in oil does not change either volume, so the rule is exact there. CRC Handbook density of
/// sodium chloride 2.17 and IAPWS-95 density of water at 25 C, both as chemicals 1.5.2 gives them.
#[test]
fn published_densities_mix() {
    let published = &reference()["densities"];
    let (salt, water) = (number(&published["Sodium chloride"]), number(&published["Water, 25 C"]));
    near("sodium chloride", salt, 2.17, 0.001);
    near("water at 25 C", water, 0.99705, 1e-5);
    near("pure salt", mix(&[(7.0, salt)]), salt, 1e-12);
    // By hand: 1 / (0.5/2.17 + 0.5/0.92).
    near("half salt, half oil", mix(&[(1.0, salt), (1.0, 0.92)]), 1.29217, 1e-4);
    // Dissolving is another matter: a saturated brine, 26.4 % at 25 C, weighs 1.198 g/mL (CRC
    // Handbook, from memory), where the rule says 1.16. The program does not model solutions.
    let brine = mix(&[(26.4, salt), (73.6, water)]);
    assert!(brine < 1.18 && brine > 1.15, "{brine}");
}
