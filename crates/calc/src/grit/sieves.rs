//! Test sieves: mesh numbers and openings.

use super::sizes::SizeData;

/// One sieve of the American series.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sieve {
    /// Sieve number ("mesh"), without "No.".
    pub mesh: &'static str,
    /// Nominal opening, um.
    pub opening_um: f64,
}

const fn no(mesh: &'static str, opening_um: f64) -> Sieve {
    Sieve { mesh, opening_um }
}

/// Numbered sieves of ASTM E11-20, coarsest first, that may meet a cosmetic grain.
///
/// No. 4 to 8, 500 and 635 are from memory.
pub const ASTM_E11: &[Sieve] = &[
    no("4", 4750.0),
    no("5", 4000.0),
    no("6", 3350.0),
    no("7", 2800.0),
    no("8", 2360.0),
    no("10", 2000.0),
    no("12", 1700.0),
    no("14", 1400.0),
    no("16", 1180.0),
    no("18", 1000.0),
    no("20", 850.0),
    no("25", 710.0),
    no("30", 600.0),
    no("35", 500.0),
    no("40", 425.0),
    no("45", 355.0),
    no("50", 300.0),
    no("60", 250.0),
    no("70", 212.0),
    no("80", 180.0),
    no("100", 150.0),
    no("120", 125.0),
    no("140", 106.0),
    no("170", 90.0),
    no("200", 75.0),
    no("230", 63.0),
    no("270", 53.0),
    no("325", 45.0),
    no("400", 38.0),
    no("450", 32.0),
    no("500", 25.0),
    no("635", 20.0),
];

/// Openings of ISO 3310-1 (series R20/3, R20 and R40/3) from 1250 to 20 um, coarsest first, um.
pub const ISO_3310_1: &[f64] = &[
    1250.0, 1180.0, 1120.0, 1000.0, 900.0, 850.0, 800.0, 710.0, 630.0, 600.0, 560.0, 500.0, 450.0,
    425.0, 400.0, 355.0, 315.0, 300.0, 280.0, 250.0, 224.0, 212.0, 200.0, 180.0, 160.0, 150.0,
    140.0, 125.0, 112.0, 106.0, 100.0, 90.0, 80.0, 75.0, 71.0, 63.0, 56.0, 53.0, 50.0, 45.0, 40.0,
    38.0, 36.0, 32.0, 25.0, 20.0,
];

/// Opening of an ASTM E11 sieve, um. Takes "40", "No. 40", "#40" and "40 mesh"; `None` for an
/// unknown sieve.
pub fn opening_of_mesh(mesh: &str) -> Option<f64> {
    let number = bare(mesh);
    ASTM_E11.iter().find(|sieve| sieve.mesh == number).map(|sieve| sieve.opening_um)
}

/// Reads "40/60" (through No. 40, kept on No. 60; also "40-60 mesh", either sieve first) as a sieve
/// range.
///
/// `None` unless both sieves are known and differ.
pub fn parse_mesh_range(text: &str) -> Option<SizeData> {
    let (a, b) = bare(text).split_once(['/', '-', '\u{2013}'])?;
    let (a, b) = (opening_of_mesh(a)?, opening_of_mesh(b)?);
    (a.min(b) < a.max(b)).then_some(SizeData::SieveRange { lo_um: a.min(b), hi_um: a.max(b) })
}

/// Strips what people write around a sieve number.
fn bare(text: &str) -> &str {
    let mut rest = text.trim();
    for word in ["No.", "no.", "No", "no", "#"] {
        if let Some(short) = rest.strip_prefix(word) {
            rest = short.trim_start();
            break;
        }
    }
    for word in ["mesh", "Mesh"] {
        rest = rest.strip_suffix(word).unwrap_or(rest).trim_end();
    }
    rest
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp, clippy::indexing_slicing)]
    use super::*;

    #[test]
    fn openings() {
        // ASTM E11.
        for (mesh, um) in [
            ("18", 1000.0),
            ("20", 850.0),
            ("35", 500.0),
            ("60", 250.0),
            ("100", 150.0),
            ("200", 75.0),
            ("325", 45.0),
        ] {
            assert_eq!(opening_of_mesh(mesh), Some(um));
            assert_eq!(opening_of_mesh(&format!(" No. {mesh} mesh")), Some(um));
        }
        assert_eq!(opening_of_mesh("#60"), Some(250.0));
        for unknown in ["", "61", "mesh", "60.0", "-60"] {
            assert_eq!(opening_of_mesh(unknown), None, "{unknown}");
        }
    }

    #[test]
    fn ranges() {
        let range = Some(SizeData::SieveRange { lo_um: 250.0, hi_um: 425.0 });
        for text in
            ["40/60", "60/40", " 40 / 60 mesh", "No. 40/No. 60", "40-60", "40\u{2013}60 Mesh"]
        {
            assert_eq!(parse_mesh_range(text), range, "{text}");
        }
        for text in ["40", "40/40", "40/61", "/", "", "40/50/60"] {
            assert_eq!(parse_mesh_range(text), None, "{text}");
        }
    }

    #[test]
    fn tables_fall_steadily_and_agree() {
        assert!(ASTM_E11.windows(2).all(|w| w[0].opening_um > w[1].opening_um));
        assert!(ISO_3310_1.windows(2).all(|w| w[0] > w[1]));
        // Both standards share their openings below 1.2 mm.
        assert!(
            ASTM_E11
                .iter()
                .filter(|s| s.opening_um < 1200.0)
                .all(|s| ISO_3310_1.contains(&s.opening_um))
        );
    }
}
