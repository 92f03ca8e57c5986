//! What `quern setting` is asked for.

use quern_calc::evaluate::{POUR_RANGE_C, SettingAsk};
use quern_calc::number::{DecimalSign, Unit, format_f64};
use quern_calc::quantity::decimal_to_f64;
use quern_calc::setting::mould::{MOST_MM, Mould, Shape, Stand, Wall, ml_of_water};
use quern_calc::setting::notes::SettingNotes;

use super::super::args::Setting;
use super::super::text::quoted;
use super::super::{Bad, numbers};

/// Air that a mould may stand in, °C, as a project may state its room.
const AIR_RANGE_C: (f64, f64) = (-30.0, 50.0);

/// How to write a mould by its sizes, for messages.
const SIZES: &str = "80x55x30mm, disc:70x25mm, oval:85x60x28mm or dome:60mm";

/// The ask of the options.
pub(super) fn ask(args: &Setting, notes: &SettingNotes) -> Result<SettingAsk, Bad> {
    let sign = args.decimal.style().sign;
    let warm = |option, text: &Option<String>, range| {
        text.as_deref().map(|t| numbers::celsius(option, t, range, sign)).transpose()
    };
    Ok(SettingAsk {
        pour_c: warm("pour", &args.pour, POUR_RANGE_C)?,
        air_c: warm("air", &args.air, AIR_RANGE_C)?,
        stand: stand(args)?,
        mould: mould(args, notes, sign)?,
    })
}

fn stand(args: &Setting) -> Result<Stand, Bad> {
    let Some(text) = args.stand.as_deref() else { return Ok(Stand::default()) };
    let found = Stand::ALL.into_iter().find(|s| s.name().eq_ignore_ascii_case(text.trim()));
    found.ok_or_else(|| {
        let known = Stand::ALL.map(Stand::name).join(", ");
        Bad::new(format!("--stand {} is not known; it is one of {known}", quoted(text)))
    })
}

/// The mould asked for; `None` for the project's, as its cavity was measured there.
fn mould(args: &Setting, notes: &SettingNotes, sign: DecimalSign) -> Result<Option<Mould>, Bad> {
    let mould = args.mould.as_deref().map(|text| find(text, notes, sign)).transpose()?;
    let Some(cavity) = args.cavity.as_deref() else { return Ok(mould) };
    let mut mould = mould
        .or_else(|| notes.mould_in_use())
        .ok_or_else(|| Bad::new("--cavity needs a mould; give one with --mould"))?;
    let ml = cavity_ml(cavity, sign)?;
    let by_size = mould.shape.volume_ml();
    mould.measured_ml = Some(ml);
    if !mould.volume_fits() {
        let style = args.decimal.style();
        return Err(Bad::new(format!(
            "--cavity {}: by its sizes {} holds {} mL, so {} mL is a slip or another mould; give \
             the water of one cavity, or the mould's own sizes",
            quoted(cavity),
            quoted(&mould.name),
            format_f64(by_size, 1, style),
            format_f64(ml, 1, style)
        )));
    }
    Ok(Some(mould))
}

/// `--cavity` in mL. A bare number could be either, so it needs its unit.
fn cavity_ml(text: &str, sign: DecimalSign) -> Result<f64, Bad> {
    let typed = numbers::read("cavity", text, sign)?;
    let ml = match typed.unit {
        Some(Unit::Millilitre) => decimal_to_f64(typed.value),
        Some(Unit::Mass(_)) => ml_of_water(numbers::mass("cavity", text, sign)?.to_f64()),
        _ => {
            return Err(Bad::new(format!(
                "--cavity {}: give the unit: mL, or g of the water that fills it, such as 118mL \
                 or 118g",
                quoted(text)
            )));
        }
    };
    if ml > 0.0 {
        Ok(ml)
    } else {
        Err(Bad::new(format!(
            "--cavity {}: the volume is not above 0 mL; give one such as 118mL",
            quoted(text)
        )))
    }
}

/// The mould of a name, of the beginning of one, or of sizes.
fn find(text: &str, notes: &SettingNotes, sign: DecimalSign) -> Result<Mould, Bad> {
    let all = notes.all_moulds();
    let wanted = text.trim().to_lowercase();
    if let Some(exact) = all.iter().find(|m| m.name == text.trim()) {
        return Ok(exact.clone());
    }
    let pick = |found: Vec<&Mould>| match found.as_slice() {
        [] => Ok(None),
        [one] => Ok(Some((*one).clone())),
        several => Err(Bad::new(format!(
            "--mould {} fits {}; write more of the name",
            quoted(text),
            names(several.iter().copied())
        ))),
    };
    let same = all.iter().filter(|m| m.name.to_lowercase() == wanted).collect();
    if let Some(found) = pick(same)? {
        return Ok(found);
    }
    let sized = by_size(text, sign);
    if let Some(Ok(mould)) = sized {
        return Ok(mould);
    }
    let begins = |m: &&Mould| !wanted.is_empty() && m.name.to_lowercase().starts_with(&wanted);
    if let Some(found) = pick(all.iter().filter(begins).collect())? {
        return Ok(found);
    }
    match sized {
        Some(Err(bad)) => Err(bad),
        _ => Err(Bad::new(format!(
            "--mould {} is not known; there are {}; or give sizes, such as {SIZES}",
            quoted(text),
            names(all.iter())
        ))),
    }
}

fn names<'a>(moulds: impl Iterator<Item = &'a Mould>) -> String {
    moulds.map(|m| quoted(&m.name)).collect::<Vec<_>>().join(", ")
}

/// The mould that sizes describe; `None` for a text that is no attempt at sizes.
fn by_size(text: &str, sign: DecimalSign) -> Option<Result<Mould, Bad>> {
    let (outline, sizes) = match text.split_once(':') {
        Some((outline, sizes)) => (outline.trim().to_lowercase(), sizes),
        None => ("block".to_owned(), text),
    };
    let known = ["block", "disc", "oval", "dome"].contains(&outline.as_str());
    let digits = sizes.trim_start().starts_with(|c: char| c.is_ascii_digit() || "-.,".contains(c));
    (digits || text.contains(':') && known).then(|| sized(text, &outline, sizes, sign))
}

fn sized(text: &str, outline: &str, sizes: &str, sign: DecimalSign) -> Result<Mould, Bad> {
    let bad = |what: &str| Bad::new(format!("--mould {}: {what}", quoted(text)));
    let mut mm = Vec::new();
    for part in sizes.split(['x', 'X', '×']) {
        let size = numbers::read("mould", part, sign)
            .map_err(|Bad(why)| Bad::new(format!("{why}; in {}, in mm", quoted(text))))?;
        if let Some(unit) = size.unit.filter(|u| *u != Unit::Millimetre) {
            return Err(bad(&format!("{} is no size; give mm", unit.symbol())));
        }
        mm.push(decimal_to_f64(size.value));
    }
    let shape = Shape::of(outline, &mm)
        .ok_or_else(|| bad(&format!("that is no outline with its sizes; write {SIZES}")))?;
    if !shape.is_sound() {
        return Err(bad(&format!("each size is above 0 and at most {MOST_MM} mm")));
    }
    let name = text.trim().to_owned();
    Ok(Mould { name, shape, measured_ml: None, wall: Wall::default() })
}
