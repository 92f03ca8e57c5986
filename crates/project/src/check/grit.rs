//! What grains and the notes about grit may not hold.

use std::collections::BTreeSet;

use quern_calc::formula::GrainData;
use quern_calc::grit::notes::GritNotes;
use quern_calc::grit::sizes::SizeData;
use quern_calc::grit::table::{ROWS_MAX, SieveTable};

use super::{Problems, quoted};

/// Most lots of one material.
const MOST_LOTS: usize = 200;

/// Everything in the notes about grit that a file cannot hold.
pub(super) fn check_notes(notes: &GritNotes, problems: &mut Problems) {
    // A place has no order, but few values.
    let mut places = Vec::new();
    for (at, grams) in &notes.grams_per_use {
        let place = || format!("the grams per use for {}", quoted(at.name()));
        if places.contains(at) {
            problems.push(format!("{} are given twice; keep one", place()));
        }
        places.push(*at);
        problems.decimal(place, "mass", grams.0);
        if grams.0.is_zero() || grams.is_negative() {
            problems.push(format!(
                "{}: {grams} g is not above 0; state what one use takes, or leave the place out",
                place()
            ));
        }
    }
    let mut formulas = BTreeSet::new();
    for score in &notes.scores {
        let place = || format!("the score of formula {}", quoted(score.formula.as_str()));
        if !formulas.insert(&score.formula) {
            problems.push(format!("{} is given twice; keep one", place()));
        }
        problems.id(place, score.formula.as_str());
        problems.text(place, "name", &score.name);
        problems.number(place, "grit index", score.index);
        if score.index.is_finite() && score.index < 0.0 {
            problems.push(format!(
                "{}: the grit index of {} is negative; expected the index at that time, 0 or more",
                place(),
                score.index
            ));
        }
        problems.decimal(place, "score", score.score);
    }
}

/// Everything in the grains of a material that a file cannot hold.
pub(super) fn check_grain(grain: &GrainData, place: &impl Fn() -> String, problems: &mut Problems) {
    check_sizes(&grain.sizes, place, problems);
    problems.number(place, "grain hardness", grain.hardness_mpa);
    problems.number(place, "angularity", grain.angularity);
    if let Some(rate) = grain.dissolves_um_per_s {
        problems.number(place, "rate of dissolving", rate);
    }
    problems.text(place, "Mohs hardness", grain.mohs.as_deref().unwrap_or_default());
    check_lots(grain, place, problems);
}

fn check_lots(grain: &GrainData, place: &impl Fn() -> String, problems: &mut Problems) {
    let count = grain.lots.len();
    if count > MOST_LOTS {
        problems.push(format!("{} has {count} lots; at most {MOST_LOTS} fit", place()));
    }
    let mut names = BTreeSet::new();
    for (i, lot) in grain.lots.iter().enumerate() {
        let name = lot.name.as_str();
        if name.trim().is_empty() {
            problems.push(format!(
                "{}: the name of lot {} is empty; give it one",
                place(),
                i.saturating_add(1)
            ));
        } else if !names.insert(name) {
            problems.push(format!(
                "{}: the lot name {} is used twice; give each lot its own",
                place(),
                quoted(name)
            ));
        }
        let place = || format!("lot {} of {}", quoted(name), place());
        problems.text(place, "name", name);
        problems.text(place, "stated size", &lot.stated);
        check_sizes(&lot.sizes, &place, problems);
    }
    if let Some(wanted) = grain.lot_in_use.as_deref().filter(|w| !names.contains(w)) {
        problems.push(format!(
            "{}: lot_in_use names {}, which is none of its lots; name one of them, or leave \
             lot_in_use out",
            place(),
            quoted(wanted)
        ));
        problems.text(place, "name in lot_in_use", wanted);
    }
}

fn check_sizes(sizes: &SizeData, place: &impl Fn() -> String, problems: &mut Problems) {
    let numbers = match *sizes {
        SizeData::SieveRange { lo_um, hi_um } => vec![lo_um, hi_um],
        SizeData::Percentiles { d10_um, d50_um, d90_um } => vec![d10_um, d50_um, d90_um],
        SizeData::TwoPoints { d1_um, p1, d2_um, p2 } => vec![d1_um, p1, d2_um, p2],
        SizeData::Below { um, share, sigma } => vec![um, share, sigma],
        SizeData::Lognormal { d50_um, sigma } => vec![d50_um, sigma],
        SizeData::Sieved(ref table) => return check_table(table, place, problems),
    };
    for number in numbers {
        problems.number(place, "grain size", number);
    }
}

fn check_table(table: &SieveTable, place: &impl Fn() -> String, problems: &mut Problems) {
    let count = table.rows.len();
    if count > ROWS_MAX {
        problems.push(format!(
            "the sieve table of {} has {count} rows; at most {ROWS_MAX} fit",
            place()
        ));
    }
    for (i, row) in table.rows.iter().enumerate() {
        let place = || format!("row {} of the sieve table of {}", i.saturating_add(1), place());
        problems.number(place, "sieve opening", row.opening_um);
        problems.number(place, "mass kept", row.kept);
    }
    let place = || format!("the sieve table of {}", place());
    problems.number(place, "mass in the pan", table.pan);
    if let Some(sample) = table.sample {
        problems.number(place, "mass of the sample", sample);
    }
}
