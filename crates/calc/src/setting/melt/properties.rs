#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use super::tests::oil;
use super::*;
use proptest::prelude::*;

/// Melting point in C, heat in kJ/mol, group.
type Solid = (f64, f64, Option<u8>);

fn any_fat() -> impl Strategy<Value = Vec<FatComponent>> {
    let crystal = (10.0f64..90.0, 15.0f64..200.0, prop::option::of(0u8..3));
    let part = (0.0f64..30.0, 150.0f64..900.0, prop::option::weighted(0.8, crystal));
    prop::collection::vec(part, 1..10).prop_map(|parts| {
        let one = |(grams, molar_mass, crystal): (f64, f64, Option<Solid>)| FatComponent {
            moles: grams / molar_mass,
            molar_mass,
            crystal: crystal.map(|(tm_c, kj, group)| Crystal {
                tm_k: tm_c + ZERO_CELSIUS,
                dh_j_mol: kj * 1e3,
                group,
            }),
        };
        parts.into_iter().map(one).collect()
    })
}

/// Moles of every component in the liquid and in the solid.
fn split(fat: &[FatComponent], t_c: f64) -> (Vec<f64>, Vec<f64>) {
    let mut liquid = Vec::new();
    liquid_moles(fat, t_c + ZERO_CELSIUS, &mut liquid);
    let solid = fat.iter().zip(&liquid).map(|(c, l)| c.moles - l).collect();
    (liquid, solid)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn melts_steadily(fat in any_fat(), t_c in -20.0f64..90.0, step in 0.0f64..10.0) {
        let (cold, warm) = (solid_fraction(&fat, t_c), solid_fraction(&fat, t_c + step));
        prop_assert!((0.0..=1.0).contains(&cold) && warm <= cold + 1e-9);
        if let Some(top) = liquidus_c(&fat) {
            prop_assert!(solid_fraction(&fat, top + 1e-6) <= 1e-9);
            prop_assert!(solid_fraction(&fat, top - 1e-3) > 0.0);
        }
    }

    /// Conditions of the one Gibbs-energy minimum: no mass is lost, nothing exceeds its saturation,
    /// and what is partly solid is saturated.
    #[test]
    fn is_in_equilibrium(fat in any_fat(), t_c in -20.0f64..90.0) {
        let (dissolved, solid) = split(&fat, t_c);
        let liquid: f64 = dissolved.iter().sum();
        let total: f64 = fat.iter().map(|c| c.moles).sum();
        let mut crystals = [0.0; 3];
        for (c, s) in fat.iter().zip(&solid) {
            prop_assert!(*s >= -1e-12 && *s <= c.moles);
            if let Some(Crystal { group: Some(g), .. }) = c.crystal {
                crystals[usize::from(g)] += s;
            }
        }
        // Nothing to compare with where all is solid.
        if liquid <= 1e-6 * total {
            return Ok(());
        }
        for ((c, l), s) in fat.iter().zip(&dissolved).zip(&solid) {
            let Some(crystal) = c.crystal else {
                prop_assert!(s.abs() <= 1e-12);
                continue;
            };
            let t_k = t_c + ZERO_CELSIUS;
            let exponent = crystal.dh_j_mol / GAS_CONSTANT * (1.0 / crystal.tm_k - 1.0 / t_k);
            let saturation = exponent.exp();
            let x = l / liquid;
            let own = match crystal.group {
                Some(g) if *s > 0.0 => s / crystals[usize::from(g)],
                _ => 1.0,
            };
            prop_assert!(x <= saturation * (1.0 + 1e-9));
            if *s > 1e-6 * total {
                let miss = (x - saturation * own).abs();
                prop_assert!(miss <= 1e-7 * saturation.max(1e-3), "{x} {saturation} {own}");
            }
        }
    }

    #[test]
    fn oil_never_hardens(fat in any_fat(), t_c in -20.0f64..90.0, grams in 0.1f64..50.0) {
        let (_, before) = split(&fat, t_c);
        let mut more = fat.clone();
        more.push(oil(grams));
        let (_, after) = split(&more, t_c);
        for (b, a) in before.iter().zip(&after) {
            prop_assert!(*a <= b + 1e-9);
        }
    }

    /// The direct way and the iteration agree where both apply.
    #[test]
    fn both_solvers_agree(fat in any_fat(), t_c in -20.0f64..90.0) {
        let pure: Vec<_> = fat
            .into_iter()
            .map(|c| FatComponent { crystal: c.crystal.map(|k| Crystal { group: None, ..k }), ..c })
            .collect();
        let mut ready = Fat::new(&pure);
        let direct = ready.solve(t_c + ZERO_CELSIUS);
        let iterated = ready.liquid_of_mixed();
        prop_assert!((direct - iterated).abs() <= 1e-9 * ready.moles, "{direct} {iterated}");
    }

    #[test]
    fn temperature_undoes_fraction(fat in any_fat(), fraction in 0.001f64..=1.0) {
        if let Some(t_c) = temperature_at_solid(&fat, fraction) {
            prop_assert!(solid_fraction(&fat, t_c) >= fraction - 1e-9);
            prop_assert!(solid_fraction(&fat, t_c + 1e-6) < fraction + 1e-9);
        }
    }
}
