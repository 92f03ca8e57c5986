//! Series of charts as people with each kind of dichromacy see them.

use egui::Color32;

use super::{Tokens, themes};

/// Simulation of complete dichromacy on linear RGB: Machado, Oliveira & Fernandes, "A
/// Physiologically-based Model for Simulation of Color Vision Deficiency", IEEE Transactions on
/// Visualization and Computer Graphics 15 (2009), table of matrices, severity 1.0. From memory;
/// the rows sum to 1, as they must for grey to stay grey, and a test below holds that.
const SIGHT: [(&str, [[f64; 3]; 3]); 4] = [
    ("all three cones", [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]),
    (
        "protanopia",
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ],
    ),
    (
        "deuteranopia",
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ],
    ),
    (
        "tritanopia",
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ],
    ),
];

/// CIE L*a*b*, D65, of a colour seen this way.
fn lab(color: Color32, sight: &[[f64; 3]; 3]) -> [f64; 3] {
    let linear = [color.r(), color.g(), color.b()].map(|v| {
        let s = f64::from(v) / 255.0;
        if s <= 0.04045 { s / 12.92 } else { ((s + 0.055) / 1.055).powf(2.4) }
    });
    let times = |m: &[[f64; 3]; 3], v: [f64; 3]| m.map(|r| r[0] * v[0] + r[1] * v[1] + r[2] * v[2]);
    let seen = times(sight, linear).map(|v| v.clamp(0.0, 1.0));
    // IEC 61966-2-1: sRGB to XYZ.
    let xyz = times(
        &[
            [0.412_456_4, 0.357_576_1, 0.180_437_5],
            [0.212_672_9, 0.715_152_2, 0.072_175_0],
            [0.019_333_9, 0.119_192_0, 0.950_304_1],
        ],
        seen,
    );
    let f = |v: f64| {
        let e: f64 = 6.0 / 29.0;
        if v > e.powi(3) { v.cbrt() } else { v / (3.0 * e * e) + 4.0 / 29.0 }
    };
    let [x, y, z] = [f(xyz[0] / 0.950_47), f(xyz[1]), f(xyz[2] / 1.088_83)];
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

/// CIEDE2000 (CIE 142-2001; Sharma, Wu & Dalal 2005).
fn difference(one: [f64; 3], other: [f64; 3]) -> f64 {
    let chroma = |c: [f64; 3]| c[1].hypot(c[2]);
    let seventh = |c: f64| (c.powi(7) / (c.powi(7) + 25_f64.powi(7))).sqrt();
    let g = 0.5 * (1.0 - seventh((chroma(one) + chroma(other)) / 2.0));
    let [(l1, c1, h1), (l2, c2, h2)] = [one, other].map(|c| {
        let a = (1.0 + g) * c[1];
        (c[0], a.hypot(c[2]), c[2].atan2(a).to_degrees().rem_euclid(360.0))
    });
    let grey = c1 * c2 < 1e-12;
    let turn = h2 - h1;
    let dh = if grey {
        0.0
    } else if turn > 180.0 {
        turn - 360.0
    } else if turn < -180.0 {
        turn + 360.0
    } else {
        turn
    };
    let dh = 2.0 * (c1 * c2).sqrt() * (dh / 2.0).to_radians().sin();
    let (l, c) = ((l1 + l2) / 2.0, (c1 + c2) / 2.0);
    let sum = h1 + h2;
    let h = if grey {
        sum
    } else if turn.abs() <= 180.0 {
        sum / 2.0
    } else if sum < 360.0 {
        (sum + 360.0) / 2.0
    } else {
        (sum - 360.0) / 2.0
    };
    let cos = |degrees: f64| degrees.to_radians().cos();
    let t = 1.0 - 0.17 * cos(h - 30.0) + 0.24 * cos(2.0 * h) + 0.32 * cos(3.0 * h + 6.0)
        - 0.20 * cos(4.0 * h - 63.0);
    let sl = 1.0 + 0.015 * (l - 50.0).powi(2) / (20.0 + (l - 50.0).powi(2)).sqrt();
    let sc = 1.0 + 0.045 * c;
    let sh = 1.0 + 0.015 * c * t;
    let theta = 30.0 * (-((h - 275.0) / 25.0).powi(2)).exp();
    let rt = -(2.0 * theta).to_radians().sin() * 2.0 * seventh(c);
    let (dl, dc, dh) = ((l2 - l1) / sl, (c2 - c1) / sc, dh / sh);
    (dl * dl + dc * dc + dh * dh + rt * dc * dh).sqrt()
}

// Pairs 1, 7, 17 and 25 of the test data of Sharma, Wu & Dalal, "The CIEDE2000 color-difference
// formula", Color Research and Application 30 (2005), from memory.
#[test]
fn the_difference_is_that_of_the_published_pairs() {
    for (one, other, wanted) in [
        ([50.0, 2.6772, -79.7751], [50.0, 0.0, -82.7485], 2.0425),
        ([50.0, 0.0, 0.0], [50.0, -1.0, 2.0], 2.3669),
        ([50.0, 2.5, 0.0], [73.0, 25.0, -18.0], 27.1492),
        ([60.2574, -34.0099, 36.2677], [60.4626, -34.1751, 39.4387], 1.2644),
    ] {
        let found = difference(one, other);
        assert!((found - wanted).abs() < 5e-4, "{found} for {wanted}");
    }
}

// Confusion lines pass through white: grey looks the same to everybody.
#[test]
fn grey_stays_grey_in_every_kind_of_sight() {
    for (name, matrix) in SIGHT {
        for row in matrix {
            let sum: f64 = row.iter().sum();
            assert!((sum - 1.0).abs() < 2e-6, "{name}: {sum}");
        }
    }
}

// Reds and greens of one lightness run together without the cones for one of them: the known
// trouble that the palettes avoid, so the simulation must show it.
#[test]
fn the_simulation_makes_red_and_green_run_together() {
    let t = Tokens::theme(false, false);
    let (red, green) = (t.opaque(0xA0, 0x52, 0x2D), t.opaque(0x6B, 0x6B, 0x23));
    let seen = |k: usize| difference(lab(red, &SIGHT[k].1), lab(green, &SIGHT[k].1));
    assert!(seen(0) > 20.0, "{}", seen(0));
    assert!(seen(2) < 0.6 * seen(0), "{} of {}", seen(2), seen(0));
}

/// Least difference between two series: about five just noticeable ones side by side, and above
/// ten they are called different colours; common practice, not a standard.
const LEAST: f64 = 10.5;

#[test]
fn every_two_series_differ_for_everybody() {
    for (theme, _, t) in themes() {
        let sets: [(&str, &[Color32]); 2] = [("phases and slices", &t.phases), ("sides", &t.sides)];
        for (what, set) in sets {
            for (sight, matrix) in &SIGHT {
                for (i, a) in set.iter().enumerate() {
                    for (k, b) in set.iter().enumerate().skip(i + 1) {
                        let apart = difference(lab(*a, matrix), lab(*b, matrix));
                        assert!(apart >= LEAST, "{theme}, {what} {i} and {k}, {sight}: {apart:.1}");
                    }
                }
            }
        }
    }
}
