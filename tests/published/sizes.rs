//! Grain sizes: ISO 9276-2 moments, Hatch and Choate 1929, and the statistics of fluids.

use quern_calc::grit::blend::{self, Grain};
use quern_calc::grit::sizes::{GrainSize, SizeData};

use crate::{near, number, reference, rows, same};

fn lognormal(d50_um: f64, sigma: f64) -> GrainSize {
    GrainSize::fit(&SizeData::Lognormal { d50_um, sigma }).unwrap()
}

/// fluids 1.3.1, `PSDLognormal` of order 3 (by volume), twelve grades.
#[test]
fn statistics_of_fluids() {
    let published = rows(&reference()["lognormal"]);
    assert!(published.len() >= 12);
    for row in published {
        let size = lognormal(number(&row["d50_um"]), number(&row["sigma"]));
        for (name, value) in [
            ("d10", size.d10_um()),
            ("d50", size.d50_um()),
            ("d90", size.d90_um()),
            ("span", size.span()),
            ("d32", size.sauter_um()),
            ("d43", size.de_brouckere_um()),
            ("d1_0", size.count_mean_um()),
            ("d3_0", size.volume_mean_um()),
        ] {
            same(&format!("{name} of {size:?}"), value, number(&row[name]), 1e-9);
        }
        for point in rows(&row["below"]) {
            let um = number(&point[0]);
            let what = format!("below {um} um of {size:?}");
            near(&what, size.fraction_below(um), number(&point[1]), 1e-10);
            near(&what, 1.0 - size.fraction_above(um), number(&point[1]), 1e-10);
        }
    }
}

/// Hatch and Choate, J. Franklin Inst. 207 (1929) 369, in the notation of ISO 9276-2: for a
/// lognormal grade with mass median D50, D(p,q) = D50 exp((p + q - 6) sigma^2 / 2).
#[test]
fn hatch_choate() {
    for (d50, sigma) in [(300.0, 0.4), (60.0, 0.5), (1100.0, 0.12), (250.0, 0.9), (300.0, 0.0)] {
        let size = lognormal(d50, sigma);
        let published = |p: f64, q: f64| d50 * ((p + q - 6.0) * sigma * sigma / 2.0).exp();
        same("D(3,2)", size.sauter_um(), published(3.0, 2.0), 1e-12);
        same("D(4,3)", size.de_brouckere_um(), published(4.0, 3.0), 1e-12);
        same("D(3,0)", size.volume_mean_um(), published(3.0, 0.0), 1e-12);
        same("D(1,0)", size.count_mean_um(), published(1.0, 0.0), 1e-12);
        // Both means of the mass distribution stand evenly about its median.
        same("D32 x D43", size.sauter_um() * size.de_brouckere_um(), d50 * d50, 1e-12);
    }
}

/// The example of ISO 9276-2, a lognormal powder of D50 5 um and spread 0.5, to the nanometre, as
/// fluids quotes it in its own tests.
#[test]
fn the_example_of_iso_9276_2() {
    let size = lognormal(5.0, 0.5);
    near("D(1,0)", size.count_mean_um(), 2.676, 5e-4);
    near("D(3,2)", size.sauter_um(), 4.412, 5e-4);
    near("D(4,3)", size.de_brouckere_um(), 5.666, 5e-4);
}

/// Worked by hand from those formulas for D50 300 um, sigma 0.4, and equal to fluids.
#[test]
fn one_grade_by_hand() {
    let size = lognormal(300.0, 0.4);
    near("D10", size.d10_um(), 179.677, 1e-3);
    near("D90", size.d90_um(), 500.898, 1e-3);
    near("span", size.span(), 1.07074, 1e-5);
    near("D32", size.sauter_um(), 276.935, 1e-3);
    near("D43", size.de_brouckere_um(), 324.986, 1e-3);
    near("D30", size.volume_mean_um(), 235.988, 1e-3);
    near("count mean", size.count_mean_um(), 201.096, 1e-3);
    near("mass above 500 um, %", 100.0 * size.fraction_above(500.0), 10.0790, 1e-4);
}

/// Grains in a gram: the mass of a sphere, pi/6 rho d^3, with D(3,0) for d. By hand.
#[test]
fn grains_in_a_gram() {
    same("a grade", lognormal(300.0, 0.4).particles_per_gram(1.35), 107_645.0, 1e-5);
    same("one size", lognormal(300.0, 0.0).particles_per_gram(1.35), 52_397.0, 1e-5);
    // 1 cm spheres of 6/pi g/mL weigh 1 g each.
    same(
        "marbles",
        lognormal(10_000.0, 0.0).particles_per_gram(6.0 / std::f64::consts::PI),
        1.0,
        1e-12,
    );
}

/// What suppliers state, read as a lognormal: two percentiles fix the spread,
/// sigma = ln(d2/d1) / (z2 - z1). Worked by hand with z90 = 1.28155 and z95 = 1.64485 (Abramowitz
/// and Stegun, table 26.5).
#[test]
fn stated_sizes() {
    let data = SizeData::Percentiles { d10_um: 150.0, d50_um: 300.0, d90_um: 550.0 };
    near("sigma", GrainSize::fit(&data).unwrap().sigma(), 0.50692, 1e-5);
    near("asymmetry", GrainSize::asymmetry(&data).unwrap(), -0.0870, 1e-4);

    // How sellers state a fruit-stone grade: at most 10 % below 200 um, at least 95 % below 500 um.
    let data = SizeData::TwoPoints { d1_um: 200.0, p1: 0.10, d2_um: 500.0, p2: 0.95 };
    let size = GrainSize::fit(&data).unwrap();
    near("D50", size.d50_um(), 298.74, 0.005);
    near("sigma", size.sigma(), 0.31311, 1e-5);
    near("below 200 um", size.fraction_below(200.0), 0.10, 1e-12);
    near("below 500 um", size.fraction_below(500.0), 0.95, 1e-12);
}

/// Mixtures of two grades, integrated numerically over the logarithm of size (numpy), kinds
/// weighted by volume in the moments as ISO 9276-2 asks.
#[test]
fn mixtures_integrated_numerically() {
    for mix in rows(&reference()["mixes"]) {
        let grains: Vec<Grain> = rows(&mix["kinds"])
            .iter()
            .map(|kind| Grain {
                size: lognormal(number(&kind["d50_um"]), number(&kind["sigma"])),
                density_g_ml: number(&kind["density"]),
                hardness_mpa: 250.0,
                angularity: 0.6,
                dissolves_um_per_s: None,
                percent: 5.0 * number(&kind["share"]),
            })
            .collect();
        let stats = blend::stats(&grains).unwrap();
        for (name, value) in [
            ("d10", stats.d10),
            ("d50", stats.d50),
            ("d90", stats.d90),
            ("d32", stats.sauter_um),
            ("d43", stats.de_brouckere_um),
            ("above_500", blend::fraction_above(&grains, 500.0)),
            ("grains_per_gram", stats.grains_per_gram_of_blend),
        ] {
            same(&format!("{name} of {mix}"), value, number(&mix[name]), 1e-8);
        }
        same(
            "per gram of product",
            stats.grains_per_gram_of_product,
            number(&mix["grains_per_gram"]) * 0.05,
            1e-8,
        );
    }
}

/// The first of them by an earlier and separate calculation. Volume weights give 364.29 and 491.58
/// um; mass weights (361.75 and 487.88 um) would be wrong with unequal densities.
#[test]
fn a_mixture_rounded() {
    let grain = |d50, sigma, density_g_ml, percent| Grain {
        size: lognormal(d50, sigma),
        density_g_ml,
        hardness_mpa: 250.0,
        angularity: 0.6,
        dissolves_um_per_s: None,
        percent,
    };
    let grains = [grain(300.0, 0.4, 1.35, 3.0), grain(700.0, 0.3, 1.30, 2.0)];
    let stats = blend::stats(&grains).unwrap();
    near("D10", stats.d10, 203.73, 0.01);
    near("D50", stats.d50, 421.82, 0.01);
    near("D90", stats.d90, 862.09, 0.01);
    near("span", stats.span, 1.5608, 1e-4);
    near("D32", stats.sauter_um, 364.29, 0.01);
    near("D43", stats.de_brouckere_um, 491.58, 0.01);
    near("above 500 um, %", 100.0 * blend::fraction_above(&grains, 500.0), 40.807, 1e-3);
    same("grains in a gram", stats.grains_per_gram_of_blend, 67_156.0, 1e-5);
}

/// scipy.stats.norm at twenty points each way. A grade of spread 1 shows the normal distribution as
/// it is: D_p = D50 exp(z_p).
#[test]
fn the_normal_distribution_of_scipy() {
    let size = lognormal(1000.0, 1.0);
    let normal = &reference()["normal"];
    assert!(rows(&normal["quantile"]).len() >= 20 && rows(&normal["cdf"]).len() >= 20);
    for row in rows(&normal["quantile"]) {
        let (p, z) = (number(&row[0]), number(&row[1]));
        near(&format!("z at {p}"), (size.quantile_um(p) / 1000.0).ln(), z, 1e-10);
    }
    for row in rows(&normal["cdf"]) {
        let (z, p) = (number(&row[0]), number(&row[1]));
        // Relative, so that the far tail counts as much as the middle.
        same(&format!("cdf at {z}"), size.fraction_below(1000.0 * z.exp()), p, 1e-9);
    }
}

/// Abramowitz and Stegun, tables 26.1 and 26.5, from memory.
#[test]
fn the_normal_distribution_as_printed() {
    let size = lognormal(1000.0, 1.0);
    for (p, z) in [(0.9, 1.28155), (0.95, 1.64485), (0.975, 1.95996), (0.99, 2.32635), (0.5, 0.0)] {
        near(&format!("z at {p}"), (size.quantile_um(p) / 1000.0).ln(), z, 5.1e-6);
    }
    for (z, p) in [(1.0, 0.841_344_746), (2.0, 0.977_249_868), (3.0, 0.998_650_102)] {
        near(&format!("cdf at {z}"), size.fraction_below(1000.0 * f64::exp(z)), p, 5.1e-10);
    }
}
