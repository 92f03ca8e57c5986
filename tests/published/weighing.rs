//! Least weights: USP <41> and the looser form for a workshop (convention C6).

use quern_calc::batch::{
    BatchPlan, BatchSize, Scale, WEIGHING_TOLERANCE, WEIGHING_TOLERANCE_STRICT, assign_scale, band,
    smallest_weighable,
};

use crate::{d, grams, percent};

/// USP <41>, official 1 August 2019: twice the standard deviation over the least weight may be
/// 0.10 %, and a standard deviation below 0.41 d counts as 0.41 d. So no scale weighs less than
/// 2 x 0.41 d / 0.10 % = 820 d.
#[test]
fn usp_41() {
    for readability in ["0.0001", "0.001", "0.01", "0.1", "1"] {
        let least = smallest_weighable(grams(readability), percent("0.10"));
        assert_eq!(least.0, d("820") * d(readability), "d = {readability} g");
    }
}

/// The same form at workshop tolerances, worked by hand: grams by readability and tolerance.
#[test]
fn workshop_tolerances() {
    for (readability, at_half, at_1, at_2, at_5) in [
        ("0.0001", "0.0164", "0.0082", "0.0041", "0.00164"),
        ("0.001", "0.164", "0.082", "0.041", "0.0164"),
        ("0.01", "1.64", "0.82", "0.41", "0.164"),
        ("0.1", "16.4", "8.2", "4.1", "1.64"),
        ("1", "164", "82", "41", "16.4"),
    ] {
        for (tolerance, least) in [("0.5", at_half), ("1", at_1), ("2", at_2), ("5", at_5)] {
            assert_eq!(
                smallest_weighable(grams(readability), percent(tolerance)),
                grams(least),
                "d = {readability} g at {tolerance} %"
            );
        }
    }
    // The program's own: 5 %, and 2 % for preservative, acid, alkali and colour; common practice.
    assert_eq!((WEIGHING_TOLERANCE, WEIGHING_TOLERANCE_STRICT), (percent("5"), percent("2")));
}

/// Worked example: 2.00 g of fragrance on a 0.01 g scale is below 8.2 g, so fails USP <41>, but
/// passes at 0.5 % (1.64 g).
#[test]
fn two_grams_of_fragrance() {
    let (target, readability) = (grams("2.00"), grams("0.01"));
    assert!(target < smallest_weighable(readability, percent("0.10")));
    assert!(target >= smallest_weighable(readability, percent("0.5")));
}

/// Worked example: 1000 g in, 962 g out is a yield of 96.2 %, a loss of 3.8 %.
#[test]
fn yield_of_a_batch() {
    let plan = BatchPlan {
        size: BatchSize::Gross(grams("1000")),
        loss: percent("3.8"),
        ..BatchPlan::default()
    };
    let figures = plan.figures().unwrap();
    assert_eq!((figures.net, figures.lost), (grams("962"), grams("38")));
}

/// Common practice on a bench with a pocket and a kitchen scale: each line goes to the finest scale
/// whose room, above the cup on it, holds it.
#[test]
fn a_line_goes_to_the_finest_scale_that_holds_it() {
    let mut pocket = Scale::new("pocket", d("0.01"), d("200"));
    pocket.tare = grams("20");
    let scales = [Scale::new("kitchen", d("1"), d("5000")), pocket];
    assert_eq!(assign_scale(&scales, grams("5")), Some(1));
    assert_eq!(assign_scale(&scales, grams("180")), Some(1));
    assert_eq!(assign_scale(&scales, grams("180.01")), Some(0));
    assert_eq!(assign_scale(&scales, grams("9000")), Some(0));
    assert_eq!(assign_scale(&[], grams("5")), None);
}

/// Common practice: the band beside a target is 1 % of it, but never less than one division.
#[test]
fn band_beside_a_target() {
    assert_eq!(band(grams("250"), grams("0.1")), grams("2.5"));
    assert_eq!(band(grams("10"), grams("0.1")), grams("0.1"));
    assert_eq!(band(grams("2"), grams("0.1")), grams("0.1"));
}
