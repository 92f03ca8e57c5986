#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::float_cmp)]

use super::*;

// Pure-component data: melting points and heats of fusion of the organic tables of the CRC
// Handbook; behenic heat, cetyl palmitate heat, emulsifier and cocoa pseudo-component are model
// assumptions; tristearin is the beta form. Expected figures were computed apart from this code
// with the same equations, unless a measurement is named.

fn fat(grams: f64, molar_mass: f64, tm_c: f64, dh_kj: f64) -> FatComponent {
    let crystal = Crystal { tm_k: tm_c + ZERO_CELSIUS, dh_j_mol: dh_kj * 1e3, group: None };
    FatComponent { moles: grams / molar_mass, molar_mass, crystal: Some(crystal) }
}

fn grouped(group: u8, mut component: FatComponent) -> FatComponent {
    component.crystal.as_mut().unwrap().group = Some(group);
    component
}

fn capric(g: f64) -> FatComponent {
    fat(g, 172.26, 31.39, 27.80)
}
fn lauric(g: f64) -> FatComponent {
    fat(g, 200.32, 43.82, 36.30)
}
fn myristic(g: f64) -> FatComponent {
    fat(g, 228.37, 54.16, 45.10)
}
fn palmitic(g: f64) -> FatComponent {
    fat(g, 256.42, 62.49, 53.70)
}
fn stearic(g: f64) -> FatComponent {
    fat(g, 284.48, 69.30, 61.20)
}
fn behenic(g: f64) -> FatComponent {
    fat(g, 340.58, 80.60, 78.0)
}
fn cetyl(g: f64) -> FatComponent {
    fat(g, 242.44, 49.30, 33.6)
}
fn stearyl(g: f64) -> FatComponent {
    fat(g, 270.49, 58.00, 45.0)
}
fn cetyl_palmitate(g: f64) -> FatComponent {
    fat(g, 480.85, 54.0, 96.0)
}
fn tristearin(g: f64) -> FatComponent {
    fat(g, 891.48, 73.0, 197.5)
}
fn emulsifier(g: f64) -> FatComponent {
    fat(g, 430.0, 56.0, 60.0)
}
fn cocoa(g: f64) -> FatComponent {
    fat(g, 862.0, 36.0, 140.0)
}
pub(super) fn oil(g: f64) -> FatComponent {
    FatComponent { moles: g / 885.43, molar_mass: 885.43, crystal: None }
}

#[track_caller]
fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value}, expected {expected}");
}

#[track_caller]
fn solids(fat: &[FatComponent], expected: &[(f64, f64)]) {
    for &(t_c, percent) in expected {
        near(100.0 * solid_fraction(fat, t_c), percent, 0.005);
    }
}

fn t99(fat: &[FatComponent]) -> f64 {
    temperature_at_solid(fat, 0.01).unwrap()
}

/// Eutectic temperature in C and moles of the liquid just above it: what melts first from any
/// mixture.
fn eutectic(fat: &[FatComponent]) -> (f64, Vec<f64>) {
    let t_c = temperature_at_solid(fat, 1.0).unwrap();
    let mut liquid = Vec::new();
    liquid_moles(fat, t_c + ZERO_CELSIUS + 1e-8, &mut liquid);
    (t_c, liquid)
}

#[test]
fn two_acid_eutectics() {
    // Measured: lauric/myristic 34.2 C, 66.0 % (Int. J. Energy Res. 29 (2005) 857); lauric/palmitic
    // 35.2 C, 69.0 % (Energy 30 (2005) 677); palmitic/stearic 57.9 C
    // (Thermochim. Acta 369 (2001) 39).
    for (a, b, t_c, percent) in [
        (lauric(50.0), myristic(50.0), 34.39, 62.5),
        (lauric(50.0), palmitic(50.0), 38.15, 73.2),
        (lauric(50.0), stearic(50.0), 40.43, 81.4),
        (myristic(50.0), palmitic(50.0), 45.57, 61.3),
        (myristic(50.0), stearic(50.0), 48.57, 70.6),
        (palmitic(50.0), stearic(50.0), 54.43, 59.8),
    ] {
        let (t, liquid) = eutectic(&[a, b]);
        near(t, t_c, 0.02);
        let (ma, mb) = (liquid[0] * a.molar_mass, liquid[1] * b.molar_mass);
        near(100.0 * ma / (ma + mb), percent, 0.1);
    }
    let (_, liquid) = eutectic(&[lauric(50.0), myristic(50.0)]);
    near(liquid[0] / (liquid[0] + liquid[1]), 0.655, 5e-4);
    let (_, n) = eutectic(&[palmitic(50.0), stearic(50.0)]);
    near((n[0] * 53.70 + n[1] * 61.20) * 1e3 / (n[0] * 256.42 + n[1] * 284.48), 211.7, 0.2);
}

#[test]
fn three_acid_eutectics() {
    // The published ideal figure for the first is 17.11 C, with other melting points (Materials
    // 2026, 19, 356).
    near(eutectic(&[capric(1.0), lauric(1.0), myristic(1.0)]).0, 17.44, 0.02);
    near(eutectic(&[myristic(1.0), palmitic(1.0), stearic(1.0)]).0, 42.52, 0.02);
}

#[test]
fn liquidus_of_acids_and_tristearin() {
    // Ph. Eur. 1474: "stearic acid 50" freezes at 53 to 59 C, "95" at 64 to 69 C.
    near(liquidus_c(&[palmitic(50.0), stearic(50.0)]).unwrap(), 57.81, 0.02);
    near(liquidus_c(&[palmitic(5.0), stearic(95.0)]).unwrap(), 68.40, 0.02);
    for (x, t_c) in [(0.5, 69.54), (0.25, 66.15), (0.1, 61.76)] {
        let fat = [tristearin(x * 891.48), oil((1.0 - x) * 885.43)];
        near(liquidus_c(&fat).unwrap(), t_c, 0.02);
    }
}

#[test]
fn acids_in_oil() {
    let fat = [stearic(30.0), oil(70.0)];
    solids(&fat, &[(20.0, 29.378), (25.0, 29.038), (32.0, 28.248), (40.0, 26.525)]);
    solids(&fat, &[(45.0, 24.599), (50.0, 21.383), (55.0, 15.504), (60.0, 2.644)]);
    near(liquidus_c(&fat).unwrap(), 60.613, 0.01);
    near(t99(&fat), 60.391, 0.01);

    let fat = [palmitic(20.0), stearic(20.0), oil(60.0)];
    solids(&fat, &[(20.0, 38.259), (25.0, 37.314), (32.0, 34.966), (40.0, 28.712)]);
    solids(&fat, &[(45.0, 18.730), (50.0, 4.113), (55.0, 0.0)]);
    near(t99(&fat), 51.799, 0.01);
    near(liquidus_c(&fat).unwrap(), 52.300, 0.01);

    let fat = [lauric(50.0), stearic(50.0)];
    solids(&fat, &[(40.0, 100.0), (45.0, 32.947), (50.0, 22.795), (55.0, 4.232), (60.0, 0.0)]);
}

#[test]
fn mixed_crystals() {
    for (share, top, bottom) in [(50.0, 54.39, 53.57), (30.0, 55.95, 55.34)] {
        let fat = [grouped(1, cetyl(share)), grouped(1, stearyl(100.0 - share))];
        near(liquidus_c(&fat).unwrap(), top, 0.02);
        near(temperature_at_solid(&fat, 0.999_999).unwrap(), bottom, 0.02);
    }
    // As pure solids the first is a eutectic that melts lower.
    near(liquidus_c(&[cetyl(50.0), stearyl(50.0)]).unwrap(), 43.5, 0.05);
    near(liquidus_c(&[cetyl(30.0), stearyl(70.0)]).unwrap(), 50.3, 0.05);
}

#[test]
fn twelve_components() {
    let fat = [
        capric(1.0),
        lauric(1.0),
        myristic(1.0),
        palmitic(1.0),
        stearic(1.0),
        behenic(1.0),
        cetyl(1.0),
        stearyl(1.0),
        cetyl_palmitate(1.0),
        tristearin(1.0),
        oil(1.0),
        cocoa(1.0),
    ];
    solids(
        &fat,
        &[
            (20.0, 35.752),
            (25.0, 28.361),
            (32.0, 17.684),
            (40.0, 13.195),
            (45.0, 10.650),
            (60.0, 0.0),
        ],
    );
}

/// A made-up bar: acids, alcohols, emulsifier with the groups given, then cocoa butter solids and
/// oil.
fn bar(acids: Option<u8>, alcohols: Option<u8>, emulsifiers: Option<u8>) -> Vec<FatComponent> {
    let mut fat = vec![
        palmitic(6.0),
        stearic(6.0),
        cetyl(1.8),
        stearyl(4.2),
        emulsifier(6.0),
        cocoa(3.2),
        oil(12.8),
    ];
    for (component, group) in fat.iter_mut().zip([acids, acids, alcohols, alcohols, emulsifiers]) {
        component.crystal.as_mut().unwrap().group = group;
    }
    fat
}

#[test]
fn one_bar_four_ways() {
    let at = [20.0, 25.0, 32.0, 40.0, 45.0, 50.0, 55.0];
    for (fat, expected, t) in [
        (bar(None, None, None), [52.99, 42.49, 22.04, 7.07, 1.60, 0.0, 0.0], 45.48),
        (bar(None, Some(0), None), [59.91, 48.93, 27.98, 7.07, 1.60, 0.0, 0.0], 45.48),
        (bar(Some(1), Some(0), None), [61.05, 51.31, 39.25, 21.37, 16.75, 8.96, 0.0], 53.16),
        (bar(Some(0), Some(0), Some(0)), [65.16, 60.83, 57.11, 54.47, 51.28, 45.19, 31.17], 59.16),
    ] {
        for (t_c, percent) in at.into_iter().zip(expected) {
            near(100.0 * solid_fraction(&fat, t_c), percent, 0.0051);
        }
        near(t99(&fat), t, 0.0051);
    }
}

#[test]
fn edges() {
    assert_eq!(solid_fraction(&[], 20.0), 0.0);
    assert_eq!((liquidus_c(&[]), temperature_at_solid(&[], 0.01)), (None, None));
    let inert = [oil(10.0), oil(20.0)];
    assert_eq!((solid_fraction(&inert, -50.0), liquidus_c(&inert)), (0.0, None));
    let empty = [stearic(0.0), palmitic(f64::NAN), stearic(-1.0)];
    assert_eq!((solid_fraction(&empty, 20.0), liquidus_c(&empty)), (0.0, None));

    for one in [stearic(5.0), grouped(3, stearic(5.0))] {
        near(liquidus_c(&[one]).unwrap(), 69.30, 1e-9);
        near(t99(&[one]), 69.30, 1e-8);
        assert_eq!((solid_fraction(&[one], 69.0), solid_fraction(&[one], 69.4)), (1.0, 0.0));
    }
    // A group whose members are one and the same substance melts at one point.
    let twins = [grouped(3, stearic(5.0)), grouped(3, stearic(2.0))];
    near(liquidus_c(&twins).unwrap(), 69.30, 1e-8);
    near(solid_fraction(&twins, 69.0), 1.0, 1e-9);

    let fat = [stearic(30.0), oil(70.0)];
    for fraction in [0.0, -1.0, 0.5, 1.1, f64::NAN] {
        assert_eq!(temperature_at_solid(&fat, fraction), None, "{fraction}");
    }
    assert!(solid_fraction(&fat, f64::NAN).is_nan());
    near(solid_fraction(&fat, -400.0), 0.3, 1e-9);
    let unsound = FatComponent {
        crystal: Some(Crystal { tm_k: 340.0, dh_j_mol: 0.0, group: None }),
        ..oil(1.0)
    };
    assert_eq!(solid_fraction(&[unsound], 20.0), 0.0);
    // What cannot be real must at least end.
    let absurd = FatComponent {
        crystal: Some(Crystal { tm_k: 1e300, dh_j_mol: 1e300, group: None }),
        ..oil(1.0)
    };
    let also = FatComponent {
        crystal: Some(Crystal { tm_k: 1e-300, dh_j_mol: 1e300, group: Some(1) }),
        ..oil(1.0)
    };
    let low = FatComponent {
        crystal: Some(Crystal { tm_k: 300.0, dh_j_mol: 1e-300, group: Some(1) }),
        ..oil(1.0)
    };
    for fat in [[absurd, also, low], [low, low, also]] {
        assert!((0.0..=1.0).contains(&solid_fraction(&fat, 20.0)));
        let _ = (liquidus_c(&fat), temperature_at_solid(&fat, 0.5));
    }
}

#[test]
fn curve_has_both_ends() {
    let fat = [stearic(30.0), oil(70.0)];
    let points = curve(&fat, 20.0, 60.0, 5);
    assert_eq!(points.iter().map(|p| p.0).collect::<Vec<_>>(), [20.0, 30.0, 40.0, 50.0, 60.0]);
    assert!(points.iter().all(|&(t_c, solid)| solid == solid_fraction(&fat, t_c)));
    assert_eq!((curve(&fat, 20.0, 60.0, 0).len(), curve(&fat, 20.0, 60.0, 1)[0].0), (0, 20.0));
}
