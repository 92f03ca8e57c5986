//! Test sieves: ASTM E11-20 and ISO 3310-1, grades in the words of suppliers, measured tables.

use quern_calc::grit::entry::read_sizes;
use quern_calc::grit::sieves::{ASTM_E11, ISO_3310_1, opening_of_mesh, parse_mesh_range};
use quern_calc::grit::sizes::{GrainSize, SizeData};
use quern_calc::grit::table::{self, SieveRow, SieveTable};
use quern_calc::number::Syntax;
use serde_json::Value;

use crate::{near, number, reference, rows, same};

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

fn table(row: &Value) -> SieveTable {
    let kept = |r: &Value| SieveRow { opening_um: number(&r[0]), kept: number(&r[1]) };
    SieveTable {
        rows: rows(&row["rows"]).iter().map(kept).collect(),
        pan: number(&row["pan"]),
        sample: row["sample"].as_f64(),
    }
}

/// Seven tables, fitted by scipy 1.17.1 (`curve_fit`, least squares in the share below each sieve).
/// None is quite lognormal, so that a wrong measure of the distance would show.
#[test]
fn tables_fitted_apart() {
    let tables = rows(&reference()["sieve_tables"]);
    assert!(tables.len() >= 7);
    for row in tables {
        let fit = table::fit(&table(row)).unwrap();
        same(&format!("D50 of {row}"), fit.d50_um, number(&row["d50"]), 1e-5);
        same(&format!("sigma of {row}"), fit.sigma, number(&row["sigma"]), 1e-5);
        same(&format!("rms of {row}"), fit.rms, number(&row["rms"]), 1e-5);
        same(&format!("worst of {row}"), fit.worst, number(&row["worst"]), 1e-5);
        assert!(fit.rms > 0.01 && fit.worst > fit.rms, "{fit:?}");
        for (point, below) in fit.points.iter().zip(rows(&row["below"])) {
            near(&format!("below {} um, {row}", point.um), point.below, number(below), 1e-11);
        }
        // The same table as a statement of sizes.
        let size = GrainSize::fit(&SizeData::Sieved(table(row))).unwrap();
        assert_eq!((size.d50_um(), size.sigma()), (fit.d50_um, fit.sigma));
    }
}

/// A sieve analysis with its sums printed: Eocene sand GA 88, in "Example of sieve analysis data" of
/// J. R. Anderson's laboratory manual (Georgia Perimeter College). 33.42 g of 33.52 g came back,
/// 99.70 %; the last column is the coarser share in %.
#[test]
fn a_printed_sieve_analysis() {
    let printed = [
        ("10", 2.95, 8.83),
        ("18", 4.95, 23.64),
        ("35", 13.36, 63.61),
        ("60", 9.55, 92.19),
        ("120", 2.13, 98.56),
        ("230", 0.46, 99.94),
    ];
    let row = |(mesh, kept, _): &(&str, f64, f64)| SieveRow {
        opening_um: opening_of_mesh(mesh).unwrap(),
        kept: *kept,
    };
    let sand =
        SieveTable { rows: printed.iter().map(row).collect(), pan: 0.02, sample: Some(33.52) };
    let fit = table::fit(&sand).unwrap();
    near("found again, %", 100.0 * (1.0 - fit.lost.unwrap()), 99.70, 0.005);
    for (point, (mesh, _, coarser)) in fit.points.iter().rev().zip(printed) {
        near(&format!("coarser than No. {mesh}, %"), 100.0 * (1.0 - point.below), coarser, 0.0051);
    }
    // No median is printed; the straight line between No. 18 and No. 35 gives phi 0.66.
    near("median, phi", -(fit.d50_um / 1000.0).log2(), 0.66, 0.02);
    assert_eq!(sand, table(rows(&reference()["sieve_tables"]).last().unwrap()));
}

/// Trade notation of two sieves, "30/70": finer than the first, coarser than the second (an
/// abrasives supplier's page on mesh sizes). Every pair of the table of fluids 1.3.1, in the words
/// of suppliers and in either order.
#[test]
fn every_pair_of_sieves_in_words() {
    let read = |text: &str| read_sizes(text, Syntax::default());
    assert_eq!(read("30/70 mesh"), Ok(SizeData::SieveRange { lo_um: 212.0, hi_um: 600.0 }));
    assert_eq!(read("40/60 mesh"), Ok(SizeData::SieveRange { lo_um: 250.0, hi_um: 425.0 }));
    let published = rows(&reference()["sieves"]["astm_e11"]);
    let mut pairs = 0;
    for (i, coarse) in published.iter().enumerate() {
        for fine in &published[i + 1..] {
            let (a, b) = (coarse[0].as_str().unwrap(), fine[0].as_str().unwrap());
            let range = SizeData::SieveRange { lo_um: number(&fine[1]), hi_um: number(&coarse[1]) };
            for text in [format!("{a}/{b} mesh"), format!("-{a} +{b} mesh"), format!("No. {b}/{a}")]
            {
                assert_eq!(read(&text).as_ref(), Ok(&range), "{text}");
            }
            let size = GrainSize::fit(&range).unwrap();
            let between =
                size.fraction_below(number(&coarse[1])) - size.fraction_below(number(&fine[1]));
            near(&format!("between No. {a} and No. {b}"), between, 0.90, 1e-12);
            pairs += 1;
        }
    }
    assert!(pairs > 400);
}

/// A seller of apricot stone states "particles <= 500 um: >= 95 % and particles <= 200 um: <= 10 %".
/// The median and spread were worked by hand with z90 and z95 (Abramowitz and Stegun, table 26.5).
#[test]
fn a_published_grade_in_words() {
    for text in [
        ">= 95 % <= 500 um, <= 10 % <= 200 um",
        "\u{2265} 95 % \u{2264} 500 \u{b5}m and \u{2264} 10 % \u{2264} 200 \u{b5}m",
        "95 % below 500 um, 10 % below 200 um",
        "5 % above 0.5 mm, 90 % above 0.2 mm",
    ] {
        let size = GrainSize::fit(&read_sizes(text, Syntax::default()).unwrap()).unwrap();
        near(&format!("D50, {text}"), size.d50_um(), 298.74, 0.01);
        near(&format!("sigma, {text}"), size.sigma(), 0.31311, 1e-5);
    }
}
