#![allow(clippy::unwrap_used, clippy::float_cmp)]
use super::*;
use proptest::prelude::*;

fn lognormal(d50_um: f64, sigma: f64) -> GrainSize {
    GrainSize::fit(&SizeData::Lognormal { d50_um, sigma }).unwrap()
}

#[track_caller]
fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value}, expected {expected}");
}

#[test]
fn figures_of_one_grade() {
    // Computed apart from this code and equal to a second lognormal implementation to 12 digits.
    let s = lognormal(300.0, 0.4);
    near(s.d10_um(), 179.677, 1e-3);
    near(s.d50_um(), 300.0, 0.0);
    near(s.d90_um(), 500.898, 1e-3);
    near(s.span(), 1.07074, 1e-3);
    near(s.span(), (s.d90_um() - s.d10_um()) / s.d50_um(), 1e-12);
    near(s.sauter_um(), 276.935, 1e-3);
    near(s.de_brouckere_um(), 324.986, 1e-3);
    near(s.volume_mean_um(), 235.988, 1e-3);
    near(s.count_mean_um(), 201.096, 1e-3);
    near(s.fraction_above(500.0), 0.100_790, 1e-6);
    near(s.particles_per_gram(1.35) / 107_645.0, 1.0, 1e-3);
    near(lognormal(300.0, 0.0).particles_per_gram(1.35) / 52_397.0, 1.0, 1e-3);
}

#[test]
fn fits() {
    let data = SizeData::Percentiles { d10_um: 150.0, d50_um: 300.0, d90_um: 550.0 };
    near(GrainSize::fit(&data).unwrap().sigma(), 0.50692, 1e-4);
    near(GrainSize::asymmetry(&data).unwrap(), -0.0870, 1e-4);
    let s = GrainSize::try_from(SizeData::SieveRange { lo_um: 250.0, hi_um: 500.0 }).unwrap();
    near(s.d50_um(), 353.553, 1e-3);
    near(s.sigma(), 0.21070, 1e-3);
    near(s.fraction_below(250.0), 0.05, 1e-12);
    let s = GrainSize::fit(&SizeData::TwoPoints { d1_um: 200.0, p1: 0.10, d2_um: 500.0, p2: 0.95 })
        .unwrap();
    near(s.d50_um(), 298.74, 1e-2);
    near(s.sigma(), 0.31311, 1e-2);
    let swapped = SizeData::TwoPoints { d1_um: 500.0, p1: 0.95, d2_um: 200.0, p2: 0.10 };
    near(GrainSize::fit(&swapped).unwrap().d50_um(), s.d50_um(), 1e-9);
}

#[test]
fn single_size() {
    let s = lognormal(300.0, 0.0);
    for p in [0.0, 0.1, 1.0] {
        assert_eq!(s.quantile_um(p), 300.0);
    }
    assert!(s.quantile_um(f64::NAN).is_nan());
    assert_eq!((s.d10_um(), s.d90_um(), s.sauter_um(), s.span()), (300.0, 300.0, 300.0, 0.0));
    assert_eq!(
        (s.fraction_above(299.0), s.fraction_above(300.0), s.fraction_below(300.0)),
        (1.0, 0.0, 1.0)
    );
    assert_eq!(s.density_per_ln(300.0), 0.0);
    assert_eq!(lognormal(300.0, 0.4).fraction_above(-1.0), 1.0);
    assert!(s.particles_per_gram(0.0).is_nan());
}

#[test]
fn errors_say_what_is_wrong() {
    let refuse = |data, words: &str| {
        let message = GrainSize::fit(&data).unwrap_err().to_string();
        assert!(message.contains(words), "{message}");
    };
    refuse(
        SizeData::SieveRange { lo_um: 500.0, hi_um: 250.0 },
        "finer sieve must not exceed coarser sieve",
    );
    refuse(SizeData::SieveRange { lo_um: f64::NAN, hi_um: 250.0 }, "finer sieve must lie between");
    refuse(
        SizeData::Percentiles { d10_um: 1.0, d50_um: 3.0, d90_um: 2.0 },
        "D50 must not exceed D90",
    );
    refuse(
        SizeData::Percentiles { d10_um: -1.0, d50_um: 3.0, d90_um: 4.0 },
        "D10 must lie between",
    );
    refuse(SizeData::TwoPoints { d1_um: 1.0, p1: 0.0, d2_um: 2.0, p2: 0.5 }, "first share");
    refuse(SizeData::TwoPoints { d1_um: 1.0, p1: 0.6, d2_um: 2.0, p2: 0.5 }, "larger share");
    refuse(
        SizeData::TwoPoints { d1_um: 1.0, p1: 0.5, d2_um: 1.0, p2: 0.6 },
        "neither may be equal",
    );
    refuse(SizeData::Lognormal { d50_um: 300.0, sigma: -0.1 }, "spread");
    refuse(SizeData::Lognormal { d50_um: f64::INFINITY, sigma: 0.1 }, "D50");
    assert_eq!(GrainSize::asymmetry(&SizeData::Lognormal { d50_um: 300.0, sigma: 0.1 }), None);
    assert_eq!(
        GrainSize::asymmetry(&SizeData::Percentiles { d10_um: 0.0, d50_um: 1.0, d90_um: 2.0 }),
        None
    );
}

proptest! {
    #[test]
    fn a_fit_gives_back_its_percentiles(lo in 1.0f64..900.0, ratio in 1.01f64..8.0) {
        let s = GrainSize::fit(&SizeData::SieveRange { lo_um: lo, hi_um: lo * ratio }).unwrap();
        prop_assert!((s.quantile_um(0.05) / lo - 1.0).abs() < 1e-12);
        prop_assert!((s.quantile_um(0.95) / (lo * ratio) - 1.0).abs() < 1e-12);
        prop_assert!((s.fraction_above(lo) + s.fraction_below(lo) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn no_input_gives_an_unsound_size(
        a in any::<f64>(), b in any::<f64>(), p in any::<f64>(), q in any::<f64>(),
    ) {
        for data in [
            SizeData::SieveRange { lo_um: a, hi_um: b },
            SizeData::Percentiles { d10_um: a, d50_um: p, d90_um: b },
            SizeData::TwoPoints { d1_um: a, p1: p, d2_um: b, p2: q },
            SizeData::Lognormal { d50_um: a, sigma: b },
        ] {
            if let Ok(s) = GrainSize::fit(&data) {
                prop_assert!(s.particles_per_gram(1.0).is_finite() && s.count_mean_um() > 0.0);
            }
        }
    }
}
