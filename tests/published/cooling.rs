//! Cooling: the slab solved in depth and the lumped estimate, against analytic solutions and
//! against calculations made apart. What "calculated apart" means here stands in `setting.py`.
//!
//! What the scheme reached is stated beside each tolerance, in per cent of the printed time.

use quern_calc::setting::cooling::{Cooling, Enthalpy, neumann, plane_wall};
use quern_calc::setting::melt::{FatComponent, curve};
use serde_json::Value;

use crate::melt::{fat, mixed, oil, pure};
use crate::{near, number, rows, same, setting};

const HOUR: f64 = 3600.0;

/// A slab of the made-up bar that cools on both faces, or on one where `depth` is the whole of it.
fn slab(depth: f64, h: f64, air_c: f64) -> Cooling {
    Cooling { density: 1150.0, volume_over_area: depth, depth, h, k: 0.25, air_c }
}

/// Without latent heat.
fn plain() -> Enthalpy {
    Enthalpy::of_fat(&[(0.0, 0.0), (100.0, 0.0)], 0.0, 0.0, 1700.0).unwrap()
}

/// Seconds until the middle is at `to_c`.
#[track_caller]
fn middle_at(cooling: &Cooling, heat: &Enthalpy, from_c: f64, to_c: f64, nodes: usize) -> f64 {
    cooling.slab(heat, from_c, to_c, nodes).unwrap().last().unwrap().0
}

fn lumped_at(cooling: &Cooling, heat: &Enthalpy, from_c: f64, to_c: f64) -> f64 {
    cooling.lumped(heat, from_c, to_c).unwrap().last().unwrap().0
}

/// The first root and constant of a plane wall: to 1e-9 against scipy's root finding, to the last
/// digit against the table that text books of heat transfer print (from memory).
#[test]
fn one_term_of_a_plane_wall() {
    for row in rows(&setting()["walls"]) {
        let biot = number(&row["biot"]);
        let (zeta, c) = plane_wall(biot).unwrap();
        near(&format!("root at {biot}"), zeta, number(&row["zeta"][0]), 1e-9);
        near(&format!("constant at {biot}"), c, number(&row["c"][0]), 1e-9);
    }
    for (biot, zeta, c) in [
        (0.01, 0.0998, 1.0017),
        (0.1, 0.3111, 1.0161),
        (0.2, 0.4328, 1.0311),
        (1.0, 0.8603, 1.1191),
        (2.0, 1.0769, 1.1785),
        (10.0, 1.4289, 1.2620),
        (40.0, 1.5325, 1.2723),
        (100.0, 1.5552, 1.2731),
    ] {
        let found = plane_wall(biot).unwrap();
        near(&format!("root at {biot}"), found.0, zeta, 6e-5);
        near(&format!("constant at {biot}"), found.1, c, 6e-5);
    }
}

/// The sums of a wall's series at a Fourier number: middle and face, as shares of the first excess.
fn series(wall: &Value, fourier: f64) -> (f64, f64) {
    rows(&wall["zeta"]).iter().zip(rows(&wall["c"])).fold((0.0, 0.0), |sum, (zeta, c)| {
        let zeta = number(zeta);
        let term = number(c) * (-zeta * zeta * fourier).exp();
        (sum.0 + term, sum.1 + term * zeta.cos())
    })
}

/// Every step of a slab without latent heat against the full series, from a Biot number of 0.01 to
/// 100: 75 C in air of 21 C, from a Fourier number of 0.05, where the first 20 terms are exact. The
/// error falls with the square of the layers: at most 0.016 K in the middle and 0.037 K on the
/// face with 30 of them, 0.23 and 0.39 K with 8.
#[test]
fn a_slab_follows_the_series_of_a_plane_wall() {
    for wall in rows(&setting()["walls"]) {
        let biot = number(&wall["biot"]);
        let cooling = slab(0.015, biot * 0.25 / 0.015, 21.0);
        let per_fourier = 1150.0 * 1700.0 / 0.25 * 0.015 * 0.015;
        for nodes in [8_u32, 15, 30, 60] {
            // The weakest film takes the longest, and has the least error.
            if biot < 0.1 && nodes > 30 {
                continue;
            }
            let finer = (8.0 / f64::from(nodes)).powi(2);
            let run = cooling.slab(&plain(), 75.0, 24.0, nodes as usize).unwrap();
            let mut met = 0;
            for (seconds, middle, face) in run {
                let fourier = seconds / per_fourier;
                if fourier < 0.05 {
                    continue;
                }
                met += 1;
                let exact = series(wall, fourier);
                let what = format!("{nodes} layers, Biot {biot}, Fourier {fourier}");
                near(&format!("middle, {what}"), middle, 21.0 + 54.0 * exact.0, 0.26 * finer);
                near(&format!("face, {what}"), face, 21.0 + 54.0 * exact.1, 0.56 * finer);
            }
            assert!(met > 20, "{met} steps, {nodes} layers, Biot {biot}");
        }
    }
}

/// When the middle of the same slabs has 90, 50, 20 and 5 % of its excess left, by scipy's root
/// finding on the series. 30 layers reach 0.21 % at 90 % and 0.03 % at the others, 60 layers 0.07
/// and 0.02 %.
#[test]
fn a_slab_is_in_time() {
    let layers = [(30, [2.5e-3, 5e-4, 5e-4, 5e-4]), (60, [1e-3, 3e-4, 3e-4, 3e-4])];
    for wall in rows(&setting()["walls"]) {
        let biot = number(&wall["biot"]);
        let cooling = slab(0.015, biot * 0.25 / 0.015, 21.0);
        for (nodes, tolerances) in layers {
            if biot < 0.1 && nodes > 30 {
                continue;
            }
            for (at, tolerance) in rows(&wall["at"]).iter().zip(tolerances) {
                let exact = number(&at["fourier"]) * 0.015 * 0.015 * 1150.0 * 1700.0 / 0.25;
                let to_c = 21.0 + 54.0 * number(&at["middle"]);
                let seconds = middle_at(&cooling, &plain(), 75.0, to_c, nodes);
                same(&format!("{nodes} layers, Biot {biot}, {to_c} C"), seconds, exact, tolerance);
            }
        }
    }
    // 30 mm with a film of 7.5 W/(m2 K), 75 to 32 C: 2.0723 h by the one-term solution, 2.0725 h
    // by an earlier and separate scheme.
    let seconds = middle_at(&slab(0.015, 7.5, 21.0), &plain(), 75.0, 32.0, 30);
    same("hours to 32 C", seconds / HOUR, 2.0723, 2e-4);
}

/// 15 mm of a liquid at its melting point of 60 C, 0.3 W/(m K), 900 kg/m3, 200 kJ/kg, which freezes
/// over 0.01 K, in air so much colder.
fn freezing(h: f64, below: f64, cp: f64) -> (Cooling, Enthalpy) {
    let cooling = Cooling {
        density: 900.0,
        volume_over_area: 0.015,
        depth: 0.015,
        h,
        k: 0.3,
        air_c: 60.0 - below,
    };
    let solid = [(0.0, 1.0), (59.99, 1.0), (60.0, 0.0), (70.0, 0.0)];
    (cooling, Enthalpy::of_fat(&solid, 1.0, 200e3, cp).unwrap())
}

/// Seconds until the last layer, in the middle, is frozen.
fn frozen((cooling, heat): (Cooling, Enthalpy), nodes: usize) -> f64 {
    middle_at(&cooling, &heat, 60.0, 59.989, nodes)
}

/// Roots of Neumann's equation by scipy.
#[test]
fn neumanns_roots() {
    for row in rows(&setting()["stefan"]["roots"]) {
        let stefan = number(&row[0]);
        near(&format!("root at {stefan}"), neumann(stefan).unwrap(), number(&row[1]), 1e-9);
    }
    near("rounded, calculated apart", neumann(0.2).unwrap(), 0.30642, 5e-6);
}

/// A front that moves in from a wall 20 K below the melting point (2000 J/(kg K), Stefan number
/// 0.2): Neumann's solution, 3594 s. The front passes whole layers, so that the error falls more
/// slowly: -0.45 % with 10 layers, -0.16 % with 20, -0.06 % with 40, -0.02 % with 80.
#[test]
fn neumanns_front() {
    let wall = &setting()["stefan"]["cold_wall"];
    let exact = number(&wall["seconds"]);
    near("rounded, calculated apart", exact, 3594.0, 0.5);
    for (nodes, tolerance) in [(10, 6e-3), (20, 2.5e-3), (40, 1e-3), (80, 5e-4)] {
        let seconds = frozen(freezing(1e7, 20.0, 2000.0), nodes);
        same(&format!("{nodes} layers"), seconds, exact, tolerance);
    }
    // What the solid gives off as it cools is no rounding error: 3375 s without it.
    near("quasi-steady", number(&wall["quasi_steady_s"]), 3375.0, 1e-6);
}

/// A front behind a film of air. The quasi-steady law of Stefan, rho L / dT (x^2 / 2k + x / h), is
/// 2.4586 h at 7.5 W/(m2 K) and 48.3 K: with a hundredth of the heat capacity, so that there is
/// next to nothing else to give off, the scheme is 0.07 % over it at 20 layers. With all of it, the
/// moving front calculated apart is met within 0.15 %, and the law is 6 % short.
#[test]
fn a_front_behind_a_film() {
    let cases = rows(&setting()["stefan"]["with_film"]);
    assert_eq!(cases.len(), 6);
    for case in cases {
        let [h, below, cp, quasi, exact] =
            ["h", "below", "cp", "quasi_steady_s", "seconds"].map(|key| number(&case[key]));
        let by_hand = 900.0 * 200e3 / below * (0.015 * 0.015 / 0.6 + 0.015 / h);
        same("quasi-steady, by hand", quasi, by_hand, 1e-9);
        let seconds = frozen(freezing(h, below, cp), 20);
        same(&format!("{h} W/(m2 K), {cp} J/(kg K)"), seconds, exact, 2e-3);
        let over = seconds / quasi - 1.0;
        let range = if cp < 100.0 { 0.0..1e-3 } else { 0.05..0.07 };
        assert!(range.contains(&over), "{over} over the quasi-steady law");
    }
    near("hours, calculated apart", number(&cases[0]["quasi_steady_s"]) / HOUR, 2.4586, 5e-5);
}

/// Lumped: rho c V/A (1/h + L/3k) ln(54/11), by hand, as printed by an earlier calculation with and
/// without the resistance inside.
#[test]
fn lumped_without_latent_heat() {
    let bar = slab(0.015, 7.5, 21.0);
    let bare = Cooling { k: 1e12, ..bar };
    for (cooling, resistance, hours) in
        [(bare, 1.0 / 7.5, 1.7281), (bar, 1.0 / 7.5 + 0.015 / 0.75, 1.9873)]
    {
        let seconds = lumped_at(&cooling, &plain(), 75.0, 32.0);
        let by_hand = 1150.0 * 1700.0 * 0.015 * resistance * (54.0_f64 / 11.0).ln();
        same("by hand", seconds, by_hand, 1e-9);
        near("rounded, calculated apart", seconds / HOUR, hours, 5e-5);
    }
}

/// Solid shares over temperature in steps of 0.25 K: the fat of the made-up bar of the melt tests,
/// its alcohols sharing a crystal, or a fat whose solids fall in a line to 60 C.
fn solids(product: &str) -> Vec<(f64, f64)> {
    if product == "line" {
        let at = |i| 10.0 + 0.25 * f64::from(i);
        return (0..=280).map(|i| (at(i), (1.0 - at(i) / 60.0).max(0.0))).collect();
    }
    let bar: Vec<FatComponent> = vec![
        pure("Palmitic acid", 6.0),
        pure("Stearic acid", 6.0),
        mixed(0, pure("Cetyl alcohol", 1.8)),
        mixed(0, pure("Stearyl alcohol", 4.2)),
        fat(6.0, 430.0, 56.0, 60.0),
        fat(3.2, 862.0, 36.0, 140.0),
        oil(12.8),
    ];
    curve(&bar, 10.0, 80.0, 281)
}

/// 40 % of such a fat in the bar, 190 J/g (assumption).
fn enthalpy(product: &str) -> Enthalpy {
    Enthalpy::of_fat(&solids(product), 0.4, 190e3, 1700.0).unwrap()
}

/// What 1 kg gives off from 75 to 32 C, with the solids calculated apart by nested root finding:
/// 94.4 kJ for the bar, 73.1 of it for its heat capacity.
#[test]
fn heat_given_off() {
    let published = &setting()["slabs"];
    for product in ["bar", "line"] {
        let solid = solids(product);
        let printed = rows(&published["solid"][product]);
        for (i, (t_c, share)) in rows(&published["grid_c"]).iter().zip(printed).enumerate() {
            let (at, ours) = solid[20 * i];
            near("temperature", at, number(t_c), 1e-9);
            near(&format!("solids of the {product} at {at}"), ours, number(share), 2e-9);
        }
        let heat = enthalpy(product);
        let given = heat.at(75.0) - heat.at(32.0);
        same(product, given, number(&published["heat_75_to_32"][product]), 1e-7);
    }
    let bar = enthalpy("bar");
    near("kJ/kg of the bar", (bar.at(75.0) - bar.at(32.0)) / 1e3, 94.4, 0.05);
    near("kJ/kg without its fat", 43.0 * 1.7, 73.1, 1e-9);
}

/// Slabs that melt over a range, calculated apart: scipy's LSODA on 40 and 80 layers, carried to
/// the limit. When the middle passes 70, 60, 50, 40 and 32 C. 30 layers reach 0.18 %, from 40 C down
/// 0.03 %; 15 layers 0.31 and 0.08 %.
#[test]
fn slabs_with_latent_heat() {
    let cases = rows(&setting()["slabs"]["cases"]);
    assert!(cases.len() >= 6);
    for case in cases {
        let product = case["product"].as_str().unwrap();
        let [depth, h, air_c] = ["depth", "h", "air_c"].map(|key| number(&case[key]));
        let (cooling, heat) = (slab(depth, h, air_c), enthalpy(product));
        for (mark, seconds) in rows(&case["marks_c"]).iter().zip(rows(&case["seconds"])) {
            let (to_c, exact) = (number(mark), number(seconds));
            for (nodes, early, late) in [(15, 5e-3, 1e-3), (30, 2.5e-3, 5e-4)] {
                let ours = middle_at(&cooling, &heat, 75.0, to_c, nodes);
                let tolerance = if to_c > 40.0 { early } else { late };
                let what = format!("{product}, {depth} m, {h} W/(m2 K), {to_c} C, {nodes} layers");
                same(&what, ours, exact, tolerance);
            }
        }
        // The integral by scipy's quad.
        let ours = lumped_at(&cooling, &heat, 75.0, 32.0);
        same("lumped", ours, number(&case["lumped_s"]), 1e-8);
    }
}

/// Hours from 75 to 32 C in air of 21 C, by an earlier and separate calculation: the bar as a slab
/// of 30 mm that cools on both faces, in depth and lumped; as a bar of 80 by 55 by 30 mm that cools
/// all round, lumped; as a slab of 30 mm under one open face, lumped. The slab in depth is later
/// than lumped by 7 to 12 % with two faces and by 16 % with one.
#[test]
fn hours_of_the_bar() {
    let heat = enthalpy("bar");
    for (h, in_depth, lumped, all_round) in
        [(5.0, 4.65, 4.34, 2.26), (7.5, 3.32, 3.03, 1.58), (10.0, 2.66, 2.37, 1.23)]
    {
        let two = slab(0.015, h, 21.0);
        let middle = middle_at(&two, &heat, 75.0, 32.0, 30) / HOUR;
        near("two faces", middle, in_depth, 0.005);
        let mean = lumped_at(&two, &heat, 75.0, 32.0) / HOUR;
        near("two faces, lumped", mean, lumped, 0.005);
        assert!((0.07..0.13).contains(&(middle / mean - 1.0)), "{middle} h, lumped {mean} h");
        // 132 cm3 over 169 cm2.
        let block = Cooling { volume_over_area: 0.132 / 16.9, ..two };
        near("all round", lumped_at(&block, &heat, 75.0, 32.0) / HOUR, all_round, 0.0055);
    }
    let one = slab(0.030, 7.5, 21.0);
    near("one face, lumped", lumped_at(&one, &heat, 75.0, 32.0) / HOUR, 6.84, 0.005);
    near("one face", middle_at(&one, &heat, 75.0, 32.0, 30) / HOUR, 7.94, 0.005);
}
