//! Which of the things that `quern grit` does is asked for, and with what.

use quern_calc::evaluate::{BlendAsk, bench_load};
use quern_calc::formula::Place;
use quern_calc::grit::solve::Prefer;
use quern_calc::number::DecimalSign;
use quern_calc::quantity::{Grams, Percent};
use rust_decimal::Decimal;

use super::super::args::Grit;
use super::super::text::quoted;
use super::super::{Bad, numbers};

const SIGN: DecimalSign = DecimalSign::Point;

/// Formulas beside the first at most, as many as a page holds.
const MOST_BESIDE: usize = 3;

/// What is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Mode {
    Report,
    Beside,
    Solve,
    Pair,
    Map,
    Swap,
}

/// The mode that the options ask for.
///
/// # Errors
/// When options do not go together.
pub(super) fn mode(args: &Grit) -> Result<Mode, Bad> {
    let asked = [
        ("--beside", Mode::Beside, !args.beside.is_empty()),
        ("--pair", Mode::Pair, !args.pair.is_empty()),
        ("--map", Mode::Map, !args.map.is_empty()),
        ("--swap", Mode::Swap, args.swap.is_some()),
        ("--solve", Mode::Solve, args.solve.is_some()),
    ];
    let asked: Vec<(&str, Mode)> =
        asked.into_iter().filter(|(_, _, given)| *given).map(|(name, m, _)| (name, m)).collect();
    let (name, mode) = match asked.as_slice() {
        [] => ("", Mode::Report),
        [one] => *one,
        // The share of a pair that has an index is a question of its own.
        [pair @ (_, Mode::Pair), (_, Mode::Solve)] => *pair,
        [(a, _), (b, _), ..] => {
            return Err(Bad::new(format!(
                "{a} and {b} are two questions; give one of them at a time"
            )));
        }
    };
    fit(args, mode, name)?;
    lengths(args)?;
    Ok(mode)
}

/// Refuses an option that the mode would not look at.
fn fit(args: &Grit, mode: Mode, asked: &str) -> Result<(), Bad> {
    use Mode as M;
    let look: &[Mode] = &[M::Report, M::Beside];
    let solve: &[Mode] = &[M::Solve];
    let options: [(&str, bool, &[Mode], &str); 15] = [
        ("--out", args.out.is_some(), look, ""),
        ("--cut", args.cut.is_some(), &[M::Report, M::Beside, M::Pair, M::Map], ""),
        ("--place", args.place.is_some(), look, ""),
        ("--use", args.per_use.is_some(), look, ""),
        ("--most", args.most.is_some(), &[M::Solve, M::Pair, M::Map], "--solve, --pair or --map"),
        ("--in-use", args.in_use, &[M::Solve, M::Pair, M::Map], "--solve, --pair or --map"),
        ("--least", args.least.is_some(), solve, "--solve"),
        ("--nothing-above", args.nothing_above.is_some(), solve, "--solve"),
        ("--tolerance", args.tolerance.is_some(), solve, "--solve"),
        ("--kinds", args.kinds.is_some(), solve, "--solve"),
        ("--kinds-most", args.kinds_most.is_some(), solve, "--solve"),
        ("--without", !args.without.is_empty(), solve, "--solve"),
        ("--from", !args.from.is_empty(), solve, "--solve"),
        ("--prefer", args.prefer.is_some(), solve, "--solve"),
        ("--apply", args.apply.is_some(), solve, "--solve"),
    ];
    for (option, given, modes, needs) in options {
        if !given || modes.contains(&mode) {
            continue;
        }
        return Err(Bad::new(if mode == M::Report {
            format!("{option} goes with {needs}; add that, or leave {option} out")
        } else {
            format!("{option} says nothing beside {asked}; leave one of the two out")
        }));
    }
    match (&args.swap, &args.with) {
        (Some(_), None) => {
            Err(Bad::new("--swap needs --for, the exfoliant that is to take the line"))
        }
        (None, Some(_)) => Err(Bad::new("--for needs --swap, the exfoliant that is to go")),
        _ if args.tolerance.is_some() && args.nothing_above.is_none() => {
            Err(Bad::new("--tolerance needs --nothing-above, the size that it is about"))
        }
        _ => Ok(()),
    }
}

/// Options that are given more than once add up, which two of them must not.
fn lengths(args: &Grit) -> Result<(), Bad> {
    if args.beside.len() > MOST_BESIDE {
        return Err(Bad::new(format!(
            "--beside is given {} times; a page holds {MOST_BESIDE} beside the first",
            args.beside.len()
        )));
    }
    if args.pair.len() > 2 || args.map.len() > 3 {
        let option = if args.map.is_empty() { "--pair" } else { "--map" };
        return Err(Bad::new(format!("{option} is given more than once; ask for one at a time")));
    }
    Ok(())
}

/// `--cut`.
pub(super) fn cut_um(args: &Grit) -> Result<Option<f64>, Bad> {
    args.cut.as_deref().map(|text| numbers::micrometres("cut", text, SIGN)).transpose()
}

/// `--use`, within what the window takes.
pub(super) fn per_use(args: &Grit) -> Result<Option<Grams>, Bad> {
    let Some(text) = args.per_use.as_deref() else { return Ok(None) };
    let grams = numbers::mass("use", text, SIGN)?;
    if grams.0 > Decimal::ONE_THOUSAND {
        return Err(Bad::new(format!(
            "--use {} is more than 1 kg, which is not one use; give a mass such as 5g",
            quoted(text)
        )));
    }
    Ok(Some(grams))
}

/// `--place`.
pub(super) fn place(args: &Grit) -> Result<Option<Place>, Bad> {
    let Some(text) = args.place.as_deref() else { return Ok(None) };
    let found = Place::ALL.into_iter().find(|p| p.name().eq_ignore_ascii_case(text.trim()));
    found.map(Some).ok_or_else(|| {
        let known = Place::ALL.map(Place::name).join(", ");
        Bad::new(format!("--place {} is no place; it is one of {known}", quoted(text)))
    })
}

/// `--prefer`.
pub(super) fn prefer(args: &Grit) -> Result<Prefer, Bad> {
    let Some(text) = args.prefer.as_deref() else { return Ok(BlendAsk::default().prefer) };
    let found = Prefer::ALL.into_iter().find(|p| p.name().eq_ignore_ascii_case(text.trim()));
    found.ok_or_else(|| {
        let known = Prefer::ALL.map(Prefer::name).join(", ");
        Bad::new(format!("--prefer {} is not known; it is one of {known}", quoted(text)))
    })
}

/// `--solve`.
pub(super) fn index(args: &Grit) -> Result<Option<f64>, Bad> {
    args.solve.as_deref().map(|text| numbers::index("solve", text, SIGN)).transpose()
}

/// `--most`, or what is usual at the place.
pub(super) fn most(args: &Grit, place: Place) -> Result<Percent, Bad> {
    let most = match args.most.as_deref() {
        Some(text) => numbers::percent("most", text, SIGN)?,
        None => bench_load(BlendAsk::for_place(place).total.1),
    };
    if most.is_zero() {
        return Err(Bad::new("--most is 0 %, which leaves no exfoliant; give more, such as 6%"));
    }
    Ok(most)
}

/// `--least` and `--most`.
pub(super) fn total(args: &Grit, place: Place) -> Result<(Percent, Percent), Bad> {
    let most = most(args, place)?;
    let least = args.least.as_deref().map(|text| numbers::percent("least", text, SIGN));
    let least = least.transpose()?.unwrap_or(Percent::ZERO);
    if least > most {
        return Err(Bad::new(format!(
            "--least {} % is above --most {} %; give the lower one as --least",
            least.0.normalize(),
            most.0.normalize()
        )));
    }
    Ok((least, most))
}

/// `--nothing-above` with `--tolerance`, if any.
pub(super) fn size(args: &Grit) -> Result<Option<(f64, Percent)>, Bad> {
    let Some(text) = args.nothing_above.as_deref() else { return Ok(None) };
    let um = numbers::micrometres("nothing-above", text, SIGN)?;
    let tolerance = match args.tolerance.as_deref() {
        Some(text) => numbers::percent("tolerance", text, SIGN)?,
        None => Percent(Decimal::ONE),
    };
    Ok(Some((um, tolerance)))
}

/// `--kinds` and `--kinds-most`. Three are chosen at most, beside those that are locked.
pub(super) fn kinds(args: &Grit, locked: usize) -> Result<(usize, usize), Bad> {
    let limit = locked.saturating_add(3);
    let read = |option, text: &Option<String>| {
        text.as_deref().map(|t| numbers::count(option, t, limit, SIGN)).transpose()
    };
    let least = read("kinds", &args.kinds)?;
    let most = read("kinds-most", &args.kinds_most)?;
    let (usual_least, usual_most) = BlendAsk::default().kinds;
    // One that is said pulls along the other.
    let (least, most) = match (least, most) {
        (Some(least), Some(most)) => (least, most),
        (Some(least), None) => (least, usual_most.max(least)),
        (None, Some(most)) => (usual_least.min(most), most),
        (None, None) => (usual_least, usual_most),
    };
    if least > most {
        return Err(Bad::new(format!(
            "--kinds {least} is above --kinds-most {most}; give the lower one as --kinds"
        )));
    }
    Ok((least, most))
}
