//! What the notes about setting may not hold.

use std::collections::BTreeSet;

use quern_calc::setting::calibrate::Measured;
use quern_calc::setting::mould::{MOST_MM, Mould};
use quern_calc::setting::notes::{
    FRIDGE_C, HEATER_W, MEASURED_MAX, MOULDS_MAX, PARCEL_C, ROOM_C, SettingNotes,
};

use super::{MOST_NUMBER, Problems, quoted};

/// How messages name a mould.
pub(crate) fn mould_place(name: &str) -> String {
    format!("the mould {}", quoted(name))
}

/// How messages name a measurement: its place in the list, from 0, and its formula.
pub(crate) fn measurement_place(index: usize, formula: &str) -> String {
    format!("measurement {}, of formula {}", index.saturating_add(1), quoted(formula))
}

/// Everything in the notes about setting that a file cannot hold.
pub(super) fn check_notes(notes: &SettingNotes, problems: &mut Problems) {
    for (field, what, value, (low, high), unit, usual) in [
        ("room_c", "temperature of the room", notes.room_c, (-30.0, 50.0), "°C", ROOM_C),
        ("fridge_c", "temperature of the fridge", notes.fridge_c, (-30.0, 20.0), "°C", FRIDGE_C),
        ("parcel_c", "temperature of a warm parcel", notes.parcel_c, (0.0, 90.0), "°C", PARCEL_C),
        ("heater_w", "power of the heater", notes.heater_w, (10.0, 50_000.0), "W", HEATER_W),
    ] {
        let Some(value) = value.filter(|v| !(low..=high).contains(v)) else { continue };
        // Numbers that nobody could read are told in words.
        if value.abs() <= MOST_NUMBER {
            problems.push(format!(
                "the setting: the {what} is {value} {unit}; expected {low} to {high}, or leave \
                 {field} out for the usual {usual}"
            ));
        } else {
            problems.number(|| "the setting".to_owned(), what, value);
        }
    }
    if let Some(reference) = &notes.reference {
        problems.id(|| "the reference bar of the setting".to_owned(), reference.as_str());
    }
    if let Some(mould) = &notes.mould {
        problems.text(|| "the setting".to_owned(), "name of the mould in use", mould);
    }
    check_moulds(&notes.moulds, problems);
    check_measured(&notes.measured, problems);
}

fn check_moulds(moulds: &[Mould], problems: &mut Problems) {
    let count = moulds.len();
    if count > MOULDS_MAX {
        problems.push(format!("the setting has {count} moulds; at most {MOULDS_MAX} fit"));
    }
    let mut names = BTreeSet::new();
    for (i, mould) in moulds.iter().enumerate() {
        let name = mould.name.as_str();
        if name.trim().is_empty() {
            problems.push(format!(
                "the setting: the name of mould {} is empty; give it one",
                i.saturating_add(1)
            ));
        } else if !names.insert(name) {
            problems.push(format!(
                "the setting: the mould name {} is used twice; give each mould its own",
                quoted(name)
            ));
        }
        let place = || mould_place(name);
        problems.text(place, "name", name);
        for (mm, what) in mould.shape.sizes_mm().into_iter().zip(mould.shape.size_names()) {
            above_zero(place, what, mm, ("mm", MOST_MM), problems);
        }
        if let Some(ml) = mould.measured_ml {
            above_zero(place, "measured volume", ml, ("mL", MOST_NUMBER), problems);
        }
    }
}

fn above_zero(
    place: impl Fn() -> String,
    what: &str,
    value: f64,
    (unit, most): (&str, f64),
    problems: &mut Problems,
) {
    if !value.is_finite() || value.abs() > MOST_NUMBER {
        problems.number(place, what, value);
    } else if value <= 0.0 || value > most {
        let end = if most < MOST_NUMBER { format!(" and at most {most}") } else { String::new() };
        problems.push(format!("{}: the {what} is {value} {unit}; expected above 0{end}", place()));
    }
}

/// A measurement may name a formula that is gone.
fn check_measured(measured: &[Measured], problems: &mut Problems) {
    let count = measured.len();
    if count > MEASURED_MAX {
        problems.push(format!(
            "the setting has {count} measurements; at most {MEASURED_MAX} fit, so leave out the \
             oldest"
        ));
    }
    for (i, entry) in measured.iter().enumerate() {
        let place = || measurement_place(i, entry.formula.as_str());
        problems.id(place, entry.formula.as_str());
        problems.text(place, "name", &entry.name);
        if let Some(problem) = entry.reading.problem() {
            problems.push(format!("{}: {problem}", place()));
        }
        let wants = entry.reading.figures_said();
        let sound = entry.said.iter().all(|x| x.is_finite() && x.abs() <= MOST_NUMBER);
        if !sound || !(entry.said.is_empty() || entry.said.len() == wants) {
            problems.push(format!(
                "{}: said takes {wants} of what the model said at the time, or leave it out",
                place()
            ));
        }
    }
}
