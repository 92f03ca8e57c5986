//! Pourability: how spheres pack and how thick a paste of them is, against packings and viscosities
//! that others measured, simulated or printed, and against calculations made apart.

use quern_calc::setting::density::mix_density;
use quern_calc::setting::pour::{Law, PourClass, packing_of_spheres, relative_viscosity};

use crate::{near, number, rows, same, setting};

const SPHERES: Law = Law::KriegerDougherty { intrinsic: 2.5 };

fn viscosity(solids: f64, limit: f64, law: Law) -> f64 {
    relative_viscosity(solids, limit, law).unwrap()
}

/// Equal spheres, from memory: 0.6366 +- 0.0005 measured with ball bearings (Scott and Kilgour,
/// Br. J. Appl. Phys. 2 (1969) 863), 0.64 +- 0.02 (Berryman, Phys. Rev. A 27 (1983) 1053); text
/// books give 0.634 to 0.64. The theory behind the fit was set to a simulation, 0.6435.
#[test]
fn equal_spheres() {
    let equal = packing_of_spheres(0.0);
    near("Berryman", equal, 0.64, 0.02);
    for (share, tolerance) in [(0.634, 0.01), (0.637, 0.007), (0.64, 0.004)] {
        near("text book", equal, share, tolerance);
    }
    near("the simulation that the theory was set to", equal, 0.6435, 5e-5);
}

/// The theory itself (Farr and Groot, Close packing density of polydisperse hard spheres, arXiv
/// 0912.0852; f = 0.7654), calculated apart by packing 100 000 rods for each width.
#[test]
fn lognormal_spheres_calculated_apart() {
    let published = rows(&setting()["packing"]);
    assert!(published.len() >= 12);
    for row in published {
        let sigma = number(&row["sigma"]);
        assert!((0.0..=1.0).contains(&sigma));
        near(&format!("width {sigma}"), packing_of_spheres(sigma), number(&row["share"]), 3e-4);
    }
}

/// Simulated packings of spheres with a spread delta (standard deviation over mean) and a skewness
/// S pack to 0.634 + 0.0658 delta + 0.0857 S delta^2 (Desmond and Weeks, Phys. Rev. E 90 (2014)
/// 022204; the numbers from memory). Their equal spheres pack 0.0095 looser; what a spread adds
/// agrees within 0.004.
#[test]
fn lognormal_spheres_simulated() {
    let equal = packing_of_spheres(0.0);
    for sigma in [0.1_f64, 0.2, 0.3, 0.4] {
        // Of a lognormal distribution, by number.
        let delta = (sigma * sigma).exp_m1().sqrt();
        let skew = ((sigma * sigma).exp() + 2.0) * delta;
        let added = 0.0658 * delta + 0.0857 * skew * delta * delta;
        let ours = packing_of_spheres(sigma);
        near(&format!("width {sigma}"), ours, 0.634 + added, 0.0105);
        near(&format!("gain of width {sigma}"), ours - equal, added, 0.004);
    }
}

/// The laws as published; figures calculated apart.
#[test]
fn laws_of_viscosity() {
    for (solids, maron, krieger) in [
        (0.1, 1.4018, 1.3122),
        (0.2, 2.1053, 1.8200),
        (0.3, 3.5095, 2.7452),
        (0.4, 6.9839, 4.7750),
        (0.5, 20.109, 11.179),
    ] {
        same("Maron and Pierce", viscosity(solids, 0.6435, Law::MaronPierce), maron, 5e-5);
        same("Krieger and Dougherty", viscosity(solids, 0.6435, SPHERES), krieger, 5e-5);
    }
}

/// Thin pastes: 1 + 2.5 times the solids (Einstein, Ann. Phys. 19 (1906) 289, corrected 34 (1911)
/// 591); Maron and Pierce grow by 2 over the limit instead, by hand.
#[test]
fn einsteins_limit() {
    for limit in [0.5, 0.6435, 0.8] {
        for solids in [1e-3, 1e-4, 1e-5] {
            let growth = |law| (viscosity(solids, limit, law) - 1.0) / solids;
            near("Einstein", growth(SPHERES), 2.5, 12.0 * solids);
            near("Maron and Pierce", growth(Law::MaronPierce), 2.0 / limit, 15.0 * solids);
            let irregular = growth(Law::KriegerDougherty { intrinsic: 4.0 });
            near("irregular grains", irregular, 4.0, 20.0 * solids);
        }
    }
}

/// Thomas drew one line through the measurements of many authors on suspended spheres: 1 + 2.5 x +
/// 10.05 x^2 + 0.00273 exp(16.6 x) (J. Colloid Sci. 20 (1965) 267, from memory). The two laws lie
/// on either side of it, within a third.
#[test]
fn the_laws_enclose_measured_suspensions() {
    let limit = packing_of_spheres(0.0);
    for solids in [0.1_f64, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5] {
        let measured =
            1.0 + 2.5 * solids + 10.05 * solids * solids + 0.00273 * (16.6 * solids).exp();
        let thick = viscosity(solids, limit, Law::MaronPierce) / measured;
        let thin = viscosity(solids, limit, SPHERES) / measured;
        assert!((1.0..1.34).contains(&thick), "{solids}: {thick}");
        assert!((0.67..1.0).contains(&thin), "{solids}: {thin}");
    }
}

/// Powders of a made-up bar, g and g/mL: surfactant, starch, kaolin, fruit stone. It is poured hot,
/// with fat at 0.86 g/mL (from memory for molten fat) and 1 g of fragrance in water.
const POWDERS: [(f64, f64); 4] = [(30.0, 1.15), (15.0, 1.50), (10.0, 2.60), (5.0, 1.35)];

/// Share of powders by volume where they make `percent` of the mass and fat makes room for them.
fn solids_by_volume(percent: f64) -> f64 {
    let powder = percent / mix_density(POWDERS.into_iter()).unwrap();
    let all = POWDERS.map(|(grams, rho)| (grams * percent / 60.0, rho)).into_iter();
    let liquids = [(99.0 - percent, 0.86), (1.0, 1.0)];
    powder * mix_density(all.chain(liquids)).unwrap() / 100.0
}

/// By hand: 43.637 mL of powders in 89.985 mL; three assumed packing limits and their viscosities
/// calculated apart.
#[test]
fn a_bar_of_sixty_per_cent_powder() {
    let all = POWDERS.into_iter().chain([(39.0, 0.86), (1.0, 1.0)]);
    near("density", mix_density(all).unwrap(), 1.1113, 5e-5);
    let solids = solids_by_volume(60.0);
    near("solids by volume", solids, 0.4849, 5e-5);
    for (limit, ratio, thickness, class) in [
        (0.50, 0.970, 1101.0, PourClass::Press),
        (0.55, 0.882, 71.45, PourClass::Spoon),
        (0.60, 0.808, 27.2, PourClass::ThickPour),
    ] {
        near("solids over limit", solids / limit, ratio, 5e-4);
        same("viscosity", viscosity(solids, limit, Law::MaronPierce), thickness, 2e-3);
        assert_eq!(PourClass::of(solids / limit), class);
    }
    near("at 0.55", viscosity(solids, 0.55, Law::MaronPierce), 71.45, 0.005);
    // More and less of the same powders, calculated apart; at 70 % they jam.
    for (percent, solids) in [(30.0, 0.212), (45.0, 0.339), (70.0, 0.595)] {
        near(&format!("{percent} %"), solids_by_volume(percent), solids, 5e-4);
    }
    assert_eq!(relative_viscosity(solids_by_volume(70.0), 0.55, Law::MaronPierce), None);
    assert_eq!(PourClass::of(solids_by_volume(45.0) / 0.55), PourClass::FreePour);
}

/// Classes end where the paste is 16, 51 and 400 times as thick as its liquid, by hand from Maron
/// and Pierce. The ends themselves are model assumptions.
#[test]
fn ends_of_the_classes() {
    for (end, times) in PourClass::ENDS.into_iter().zip([16.0, 51.0, 400.0]) {
        same("viscosity at the end", viscosity(end, 1.0, Law::MaronPierce), times, 1e-3);
    }
    assert_eq!(relative_viscosity(PourClass::ENDS[3], 1.0, Law::MaronPierce), None);
}
