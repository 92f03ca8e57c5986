//! Amounts given as arguments.

use quern_calc::batch::Scale;
use quern_calc::number::{DecimalSign, NumberError, NumberErrorKind, Syntax, Typed, Unit, parse};
use quern_calc::quantity::{Grams, Percent, decimal_to_f64};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use super::Bad;
use super::text::quoted;

/// Largest batch and largest scale, in grams: ten tonnes, far beyond a bench.
pub(super) const MOST_G: Decimal = Decimal::from_parts(10_000_000, 0, 0, false, 0);

/// Most pieces of a batch.
const MOST_PIECES: u32 = 1_000_000;

/// Coarsest grain that is asked about: a centimetre, far beyond a scrub.
const MOST_UM: Decimal = Decimal::from_parts(10_000, 0, 0, false, 0);

/// Names an argument in an error.
fn at(option: &str, text: &str) -> String {
    format!("--{option} {}", quoted(text))
}

/// A number with its unit, if it has one.
pub(super) fn read(option: &str, text: &str, sign: DecimalSign) -> Result<Typed, Bad> {
    let syntax = Syntax { sign, allow_relative: false };
    parse(text, syntax).map_err(|e| Bad::new(format!("{}: {e}", at(option, text))))
}

fn grams(option: &str, text: &str, sign: DecimalSign) -> Result<Grams, Bad> {
    let typed = read(option, text, sign)?;
    match typed.unit {
        None => Ok(Grams(typed.value)),
        Some(Unit::Mass(unit)) => Ok(Grams(typed.value).times(unit.grams_per_unit())),
        Some(unit) => Err(Bad::new(format!(
            "{}: {} is no mass; give it in g, kg, mg, oz or lb",
            at(option, text),
            unit.symbol()
        ))),
    }
}

/// A mass above 0 and within what a bench could ever hold.
pub(super) fn mass(option: &str, text: &str, sign: DecimalSign) -> Result<Grams, Bad> {
    let grams = grams(option, text, sign)?;
    if grams.0 <= Decimal::ZERO {
        return Err(Bad::new(format!(
            "{}: the mass is not above 0 g; give one such as 500g or 1.8kg",
            at(option, text)
        )));
    }
    if grams.0 > MOST_G {
        return Err(Bad::new(format!(
            "{}: the mass is above 10 000 kg, which no bench makes; check number and unit",
            at(option, text)
        )));
    }
    Ok(grams)
}

/// A loss from 0 to below 100 %.
pub(super) fn loss(text: &str, sign: DecimalSign) -> Result<Percent, Bad> {
    let typed = read("loss", text, sign)?;
    if let Some(unit) = typed.unit.filter(|u| *u != Unit::Percent) {
        return Err(Bad::new(format!(
            "{}: {} is no share; give the loss in %, such as 3%",
            at("loss", text),
            unit.symbol()
        )));
    }
    let wrong = if typed.value < Decimal::ZERO {
        "the loss is negative; give 0% or more"
    } else if typed.value >= Decimal::ONE_HUNDRED {
        "a loss of 100 % or more leaves nothing; give less, such as 3%"
    } else {
        return Ok(Percent(typed.value));
    };
    Err(Bad::new(format!("{}: {wrong}", at("loss", text))))
}

/// A share of the product from 0 to 100 %.
pub(super) fn percent(option: &str, text: &str, sign: DecimalSign) -> Result<Percent, Bad> {
    let typed = read(option, text, sign)?;
    if let Some(unit) = typed.unit.filter(|u| *u != Unit::Percent) {
        return Err(Bad::new(format!(
            "{}: {} is no share; give it in %, such as 6%",
            at(option, text),
            unit.symbol()
        )));
    }
    if typed.value < Decimal::ZERO || typed.value > Decimal::ONE_HUNDRED {
        return Err(Bad::new(format!("{}: give a share from 0% to 100%", at(option, text))));
    }
    Ok(Percent(typed.value))
}

/// A grain size in µm, above 0.
pub(super) fn micrometres(option: &str, text: &str, sign: DecimalSign) -> Result<f64, Bad> {
    let typed = read(option, text, sign)?;
    if let Some(unit) = typed.unit.filter(|u| *u != Unit::Micrometre) {
        return Err(Bad::new(format!(
            "{}: {} is no length; give it in um, such as 400um",
            at(option, text),
            unit.symbol()
        )));
    }
    let wrong = if typed.value <= Decimal::ZERO {
        "the size is not above 0 um; give one such as 400um"
    } else if typed.value > MOST_UM {
        "the size is above 10 000 um, coarser than any scrub; check number and unit"
    } else {
        return Ok(decimal_to_f64(typed.value));
    };
    Err(Bad::new(format!("{}: {wrong}", at(option, text))))
}

/// A temperature within a range, °C.
pub(super) fn celsius(
    option: &str,
    text: &str,
    (low, high): (f64, f64),
    sign: DecimalSign,
) -> Result<f64, Bad> {
    let no_temperature = |unit: &str| {
        Bad::new(format!(
            "{}: {unit} is no temperature here; give it in C, such as 65C",
            at(option, text)
        ))
    };
    let typed = match parse(text, Syntax { sign, allow_relative: false }) {
        // The units of amounts would be no help.
        Err(NumberError { kind: NumberErrorKind::UnknownUnit(unit), .. }) => {
            return Err(no_temperature(&unit));
        }
        typed => typed.map_err(|e| Bad::new(format!("{}: {e}", at(option, text))))?,
    };
    if let Some(unit) = typed.unit.filter(|u| *u != Unit::Celsius) {
        return Err(no_temperature(unit.symbol()));
    }
    let c = decimal_to_f64(typed.value);
    if (low..=high).contains(&c) {
        return Ok(c);
    }
    Err(Bad::new(format!("{}: give a temperature from {low} to {high} C", at(option, text))))
}

/// A grit index above 0.
pub(super) fn index(option: &str, text: &str, sign: DecimalSign) -> Result<f64, Bad> {
    let typed = read(option, text, sign)?;
    let wrong = if typed.unit.is_some() {
        "an index has no unit; give a number such as 30"
    } else if typed.value <= Decimal::ZERO {
        "the index is not above 0; give one such as 30"
    } else {
        return Ok(decimal_to_f64(typed.value));
    };
    Err(Bad::new(format!("{}: {wrong}", at(option, text))))
}

/// A whole number from 1 to `most`.
pub(super) fn count(
    option: &str,
    text: &str,
    most: usize,
    sign: DecimalSign,
) -> Result<usize, Bad> {
    let typed = read(option, text, sign)?;
    let fits = typed.unit.is_none() && typed.value.is_integer();
    let count = typed.value.to_usize().filter(|n| fits && (1..=most).contains(n));
    count.ok_or_else(|| {
        Bad::new(format!("{}: give a whole number from 1 to {most}", at(option, text)))
    })
}

/// A whole number of pieces from 1.
pub(super) fn pieces(text: &str, sign: DecimalSign) -> Result<u32, Bad> {
    let typed = read("pieces", text, sign)?;
    let count = typed.value;
    let wrong = if typed.unit.is_some() {
        "pieces have no unit; give a whole number such as 24"
    } else if count <= Decimal::ZERO {
        "the batch has no pieces; give 1 or more"
    } else if !count.is_integer() {
        "pieces are whole; give a whole number such as 24"
    } else if count > Decimal::from(MOST_PIECES) {
        "more than 1 000 000 pieces is more than a bench makes; check the number"
    } else if let Some(count) = count.to_u32() {
        return Ok(count);
    } else {
        "give a whole number such as 24"
    };
    Err(Bad::new(format!("{}: {wrong}", at("pieces", text))))
}

/// A scale written as readability and capacity.
pub(super) fn scale(text: &str, sign: DecimalSign) -> Result<Scale, Bad> {
    let Some((step, most)) = text.split_once(':') else {
        return Err(Bad::new(format!(
            "{}: expected readability and capacity with a colon between, such as 0.1g:3kg",
            at("scale", text)
        )));
    };
    let readability = mass("scale", step, sign)?;
    let capacity = mass("scale", most, sign)?;
    if capacity < readability {
        return Err(Bad::new(format!(
            "{}: the capacity is below the readability; write the readability first, such as \
             0.1g:3kg",
            at("scale", text)
        )));
    }
    Ok(Scale::new("", readability.0.normalize(), capacity.0.normalize()))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    const POINT: DecimalSign = DecimalSign::Point;

    #[test]
    fn amounts_come_in_grams() {
        for (text, grams) in
            [("1.8kg", "1800"), ("500", "500"), ("1,5 kg", "1500"), ("24 x 75 g", "1800")]
        {
            assert_eq!(mass("batch", text, POINT).unwrap().to_string(), grams, "{text}");
        }
        assert_eq!(loss("3%", POINT).unwrap(), loss("3", POINT).unwrap());
        assert_eq!(pieces("24", POINT).unwrap(), 24);
        let scale = scale("0.1g:3kg", POINT).unwrap();
        assert_eq!(
            (scale.readability.to_string(), scale.capacity.to_string()),
            ("0.1".into(), "3000".into())
        );
    }

    #[test]
    fn what_cannot_be_is_told_in_words() {
        let says = |bad: Bad, part: &str| assert!(bad.0.contains(part), "{} lacks {part}", bad.0);
        for (text, part) in [
            ("0", "not above 0 g"),
            ("-5 g", "not above 0 g"),
            ("NaN", "Not a finite number"),
            ("inf", "Not a finite number"),
            ("", "Nothing is entered"),
            ("20000 kg", "above 10 000 kg"),
            ("1e400", "too large"),
            ("3 %", "% is no mass"),
            ("1,234", "two meanings"),
            ("5 stone", "Unknown unit"),
        ] {
            says(mass("batch", text, POINT).unwrap_err(), part);
        }
        for (text, part) in [("100%", "leaves nothing"), ("-1", "negative"), ("3 g", "no share")] {
            says(loss(text, POINT).unwrap_err(), part);
        }
        for (text, part) in [
            ("0", "no pieces"),
            ("-2", "no pieces"),
            ("2.5", "whole"),
            ("24 g", "no unit"),
            ("1e9", "more than"),
        ] {
            says(pieces(text, POINT).unwrap_err(), part);
        }
        for (text, part) in [("0.1g", "colon"), ("3kg:0.1g", "first"), ("0g:3kg", "not above 0 g")]
        {
            says(scale(text, POINT).unwrap_err(), part);
        }
    }
}
