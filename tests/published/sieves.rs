//! Test sieves: ASTM E11-20 and ISO 3310-1.

use quern_calc::grit::sieves::{ASTM_E11, ISO_3310_1, opening_of_mesh, parse_mesh_range};
use quern_calc::grit::sizes::{GrainSize, SizeData};

use crate::{near, number, reference, rows};

/// ASTM E11-20, table 1, as tabulated in fluids 1.3.1 (`ASTM_E11_sieves`): every numbered sieve
/// from No. 4 to No. 635, none missing, none added.
#[test]
fn astm_e11_openings() {
    let published = rows(&reference()["sieves"]["astm_e11"]);
    assert_eq!(published.len(), ASTM_E11.len());
    for (row, sieve) in published.iter().zip(ASTM_E11) {
        let mesh = row[0].as_str().unwrap();
        assert_eq!((mesh, number(&row[1])), (sieve.mesh, sieve.opening_um));
        assert_eq!(opening_of_mesh(mesh), Some(sieve.opening_um), "No. {mesh}");
    }
}

/// ISO 3310-1, as tabulated in fluids 1.3.1 (`ISO_3310_1_sieves`): every opening up to 1.25 mm.
#[test]
fn iso_3310_1_openings() {
    let published: Vec<f64> =
        rows(&reference()["sieves"]["iso_3310_1_um"]).iter().map(number).collect();
    assert_eq!(published, ISO_3310_1);
}

/// Pairs that any printed copy of ASTM E11 shows; from memory, apart from fluids.
#[test]
fn astm_e11_from_memory() {
    for (mesh, um) in [
        ("10", 2000.0),
        ("18", 1000.0),
        ("20", 850.0),
        ("30", 600.0),
        ("35", 500.0),
        ("40", 425.0),
        ("60", 250.0),
        ("80", 180.0),
        ("100", 150.0),
        ("140", 106.0),
        ("200", 75.0),
        ("325", 45.0),
        ("400", 38.0),
    ] {
        assert_eq!(opening_of_mesh(mesh), Some(um), "No. {mesh}");
    }
}

/// ASTM E11: the standard series runs by the fourth root of 2, to rounding. The two finest, 25 and
/// 20 um, stand outside that series.
#[test]
fn openings_step_by_the_fourth_root_of_two() {
    for pair in ASTM_E11.windows(2).filter(|p| p[1].opening_um >= 32.0) {
        let ratio = pair[0].opening_um / pair[1].opening_um;
        near(&format!("No. {} to {}", pair[0].mesh, pair[1].mesh), ratio, 2f64.powf(0.25), 0.03);
    }
}

/// A trade "35/60" grade passes No. 35 (500 um) and stays on No. 60 (250 um), ASTM E11; that these
/// are its 5th and 95th percentile is a model assumption, and D50 353.553 um, sigma 0.21070 follow.
#[test]
fn a_mesh_range() {
    let data = parse_mesh_range("35/60").unwrap();
    assert_eq!(data, SizeData::SieveRange { lo_um: 250.0, hi_um: 500.0 });
    let size = GrainSize::fit(&data).unwrap();
    near("D50", size.d50_um(), 353.553, 1e-3);
    near("sigma", size.sigma(), 0.21070, 1e-5);
    near("mass above No. 35", size.fraction_above(500.0), 0.05, 1e-12);
    near("mass below No. 60", size.fraction_below(250.0), 0.05, 1e-12);
}
