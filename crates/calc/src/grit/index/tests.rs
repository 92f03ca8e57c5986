#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::float_cmp)]
use super::*;
use proptest::prelude::*;

const MODEL: GritModel = GritModel::REFERENCE;
const BAR: f64 = 1.15;

fn grain(
    d50: f64,
    sigma: f64,
    rho: f64,
    hardness_mpa: f64,
    angularity: f64,
    percent: f64,
) -> Grain {
    let size = GrainSize::known(d50, sigma);
    Grain { size, density_g_ml: rho, hardness_mpa, angularity, dissolves_um_per_s: None, percent }
}

fn sugar(percent: f64) -> Grain {
    Grain { dissolves_um_per_s: Some(10.0), ..grain(350.0, 0.35, 1.587, 600.0, 0.55, percent) }
}

fn index(grains: &[Grain]) -> f64 {
    grit(grains, BAR, &MODEL).index
}

#[track_caller]
fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value}, expected {expected}");
}

// All expected figures were computed apart from this code; there is no published index to compare
// with.

#[test]
fn severity_and_sum() {
    near(MODEL.severity(300.0, 250.0, 0.6), 0.458_687, 1e-6);
    near(MODEL.severity(150.0, 250.0, 0.6), 0.212_143, 1e-6);
    near(MODEL.severity(300.0, 15.0, 0.0), 0.019_036_4, 1e-6);
    near(MODEL.severity(600.0, 250.0, 0.6), 0.936_355, 1e-6);
    assert_eq!((MODEL.severity(0.0, 250.0, 0.6), MODEL.severity(300.0, 0.0, 0.6)), (0.0, 0.0));
    let takes = |volume: f64| 1.0 - (-volume / MODEL.v0).exp();
    let mut bins = [
        Bin { severity: 0.019_036_4, takes: takes(0.05), um: 300.0, index: 1 },
        Bin { severity: 0.936_355, takes: takes(0.03), um: 600.0, index: 0 },
    ];
    near(layer_cake(&mut bins, |_, _| ()), 0.248_235_0, 1e-6);
    near(MODEL.reference_roughness(), 0.172_405, 1e-6);
}

#[test]
fn blends() {
    let stone = |d50, sigma, percent| grain(d50, sigma, 1.35, 250.0, 0.6, percent);
    let beads = |percent| grain(354.0, 0.21, 0.90, 15.0, 0.0, percent);
    let coconut = |percent| grain(500.0, 0.35, 1.40, 300.0, 0.75, percent);
    let seed = |percent| grain(1100.0, 0.12, 1.25, 200.0, 0.35, percent);
    near(index(&[MODEL.reference]), 50.0, 1e-9);
    for (grains, expected) in [
        (vec![stone(299.0, 0.313, 10.0)], 85.7),
        (vec![stone(299.0, 0.313, 20.0)], 130.8),
        (vec![stone(120.0, 0.40, 3.0)], 11.9),
        (vec![stone(120.0, 0.40, 5.0)], 18.7),
        (vec![grain(316.0, 0.28, 1.35, 250.0, 0.70, 5.0)], 59.0),
        (vec![grain(350.0, 0.35, 1.35, 280.0, 0.60, 5.0)], 61.7),
        (vec![coconut(5.0), seed(3.0)], 160.5),
        (vec![coconut(2.5), seed(1.5)], 91.6),
        (vec![coconut(8.0)], 153.5),
        (vec![seed(3.0)], 77.6),
        (vec![beads(5.0)], 3.3),
        (vec![beads(10.0)], 5.2),
        (vec![grain(60.0, 0.50, 2.35, 5000.0, 0.85, 5.0)], 8.5),
        (vec![grain(400.0, 0.35, 2.35, 5000.0, 0.85, 10.0)], 139.9),
        (vec![grain(150.0, 0.40, 2.1, 1500.0, 0.30, 3.0)], 8.3),
        (vec![grain(200.0, 0.40, 1.50, 150.0, 0.35, 5.0)], 17.6),
        (vec![grain(250.0, 0.55, 1.40, 40.0, 0.30, 5.0)], 11.1),
        (vec![grain(450.0, 0.40, 1.30, 90.0, 0.45, 5.0)], 43.8),
        (vec![grain(150.0, 0.50, 1.45, 250.0, 0.55, 3.0)], 14.4),
        (vec![grain(400.0, 0.45, 1.45, 150.0, 0.40, 3.0)], 26.8),
    ] {
        near(index(&grains), expected, 0.0501);
    }
}

#[test]
fn grains_that_dissolve() {
    let g = grit(&[sugar(5.0)], BAR, &MODEL);
    near(g.index, 58.53, 0.05);
    near(g.in_use, 34.93, 0.05);
    assert_eq!(g.band, Band::Medium);
    near(grit(&[sugar(30.0)], BAR, &MODEL).in_use, 130.4, 0.0501);
    let salt =
        Grain { dissolves_um_per_s: Some(10.0), ..grain(400.0, 0.30, 2.165, 200.0, 0.60, 10.0) };
    near(grit(&[salt], BAR, &MODEL).in_use, 48.4, 0.0501);
    let mean =
        (0..3000).map(|i| MODEL.reach(350.0 - (f64::from(i) + 0.5) / 10.0)).sum::<f64>() / 3000.0;
    near(MODEL.mean_reach(350.0, 300.0), mean, 1e-7);
    near(MODEL.mean_reach(350.0, 1e-3), MODEL.reach(350.0), 1e-5);
}

#[test]
fn nothing_and_nonsense() {
    let none = grit(&[], BAR, &MODEL);
    assert_eq!((none.index, none.in_use, none.band), (0.0, 0.0, Band::VeryGentle));
    let broken = Grain { hardness_mpa: f64::NAN, ..MODEL.reference };
    let g = grit(&[broken, MODEL.reference], f64::NAN, &MODEL);
    assert_eq!(g.contributions[0], 0.0);
    near(g.index, 50.0, 1e-9);
    let single = Grain { size: GrainSize::known(300.0, 0.0), ..MODEL.reference };
    near(index(&[single, single]), index(&[Grain { percent: 10.0, ..single }]), 1e-9);
    near(grit(&[MODEL.reference], BAR, &GritModel { bins: 0, ..MODEL }).index, 50.0, 1e-9);
}

#[test]
fn bands() {
    let bands = [0.0, 9.99, 10.0, 25.0, 59.9, 60.0, 130.0, 130.1, f64::NAN].map(Band::from_index);
    use Band::{Coarse, Gentle, Medium, Strong, VeryGentle};
    assert_eq!(
        bands,
        [VeryGentle, VeryGentle, Gentle, Medium, Medium, Strong, Strong, Coarse, Coarse]
    );
    assert!(Band::ALL.iter().all(|b| b.guide().starts_with(b.name())));
}

fn any_grain() -> impl Strategy<Value = Grain> {
    (20.0f64..1500.0, 0.0f64..0.8, 0.9f64..3.0, 5.0f64..5000.0, 0.0f64..=1.0, 0.01f64..20.0)
        .prop_map(|(d50, sigma, rho, hardness, angularity, w)| {
            grain(d50, sigma, rho, hardness, angularity, w)
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn rises_with_everything(
        mut grains in prop::collection::vec(any_grain(), 1..5),
        pick in any::<prop::sample::Index>(),
        factor in 1.01f64..2.0, extra in any_grain(),
    ) {
        let before = index(&grains);
        let which = pick.index(grains.len());
        let old = grains[which];
        for new in [
            Grain { percent: old.percent * factor, ..old },
            Grain { size: GrainSize::known(old.size.d50_um() * factor, old.size.sigma()), ..old },
            Grain { hardness_mpa: old.hardness_mpa * factor, ..old },
            Grain { angularity: (old.angularity * factor).min(1.0), ..old },
        ] {
            grains[which] = new;
            prop_assert!(index(&grains) >= before * (1.0 - 1e-12));
        }
        grains[which] = old;
        grains.push(extra);
        prop_assert!(index(&grains) >= before * (1.0 - 1e-12));
    }

    #[test]
    fn concave_in_amounts(parts in prop::collection::vec((any_grain(), 0.0f64..20.0), 1..5)) {
        let with = |f: &dyn Fn(f64, f64) -> f64| {
            let part = |&(g, w): &(Grain, f64)| Grain { percent: f(g.percent, w), ..g };
            index(&parts.iter().map(part).collect::<Vec<_>>())
        };
        let (a, b, middle) = (with(&|a, _| a), with(&|_, b| b), with(&|a, b| (a + b) / 2.0));
        prop_assert!(middle >= (a + b) / 2.0 - 1e-9);
    }

    #[test]
    fn adds_up_and_softens_in_use(
        grains in prop::collection::vec((any_grain(), prop::option::of(0.0f64..50.0)), 0..5),
    ) {
        let soluble = |(g, rate)| Grain { dissolves_um_per_s: rate, ..g };
        let grains: Vec<_> = grains.into_iter().map(soluble).collect();
        let g = grit(&grains, BAR, &MODEL);
        prop_assert!((g.contributions.iter().sum::<f64>() - g.index).abs() <= 1e-9);
        prop_assert!(g.contributions.iter().all(|&c| c >= 0.0));
        prop_assert!(g.in_use <= g.index * (1.0 + 1e-9));
    }
}

#[test]
fn nothing_and_everything_of_a_grain() {
    let model = GritModel::REFERENCE;
    let at = |percent: f64| Grain { percent, ..model.reference };
    let none = grit(&[at(0.0)], 1.15, &model);
    assert!(none.index.abs() < 1e-12 && none.contributions == [0.0]);
    let all = grit(&[at(100.0)], 1.15, &model);
    assert!(all.index.is_finite() && all.index > grit(&[at(60.0)], 1.15, &model).index);
    // A grain of which there is none changes nothing.
    let beside = grit(&[at(5.0), Grain { hardness_mpa: 5000.0, ..at(0.0) }], 1.15, &model);
    assert!((beside.index - 50.0).abs() < 1e-9);
    let classes = by_size_class(&[at(100.0)], 1.15, &model, &[150.0, 300.0, 500.0]);
    let sum: f64 = classes.iter().flatten().sum();
    assert!((sum - all.index).abs() < 1e-9);
}
