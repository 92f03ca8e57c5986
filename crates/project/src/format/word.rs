//! Values that files keep as short text: keys of enums, exact numbers, amounts, masses, dates.

use std::fmt;
use std::marker::PhantomData;

use quern_calc::batch::BatchSize;
use quern_calc::formula::{
    AmountUnit, AtPour, Basis, Caution, Charge, Confidence, Contact, Form, Function, Net, Pack,
    PhaseKind, Place, PowderShape, UseScope, VersionState, WaterKind,
};
use quern_calc::number::MassUnit;
use quern_calc::quantity::{Date, Grams, Percent};
use quern_calc::setting::mould::Wall;
use quern_calc::setting::pour::PourClass;
use rust_decimal::Decimal;
use serde::de::{Deserialize, Deserializer, Error, Visitor};
use serde::ser::{Serialize, Serializer};

use crate::check::quoted;

/// A value with one spelling in files.
pub(crate) trait Worded: Sized {
    /// Reads the spelling; the error says what was expected.
    fn read(text: &str) -> Result<Self, String>;
    /// The spelling.
    fn write(&self) -> String;
}

/// A [`Worded`] value in a file type.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Word<T>(pub(crate) T);

impl<T: Worded> Serialize for Word<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0.write())
    }
}

impl<'de, T: Worded> Deserialize<'de> for Word<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Reader<T>(PhantomData<T>);
        impl<T: Worded> Visitor<'_> for Reader<T> {
            type Value = Word<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("text in quotes")
            }
            fn visit_str<E: Error>(self, text: &str) -> Result<Word<T>, E> {
                T::read(text).map(Word).map_err(E::custom)
            }
        }
        deserializer.deserialize_str(Reader(PhantomData))
    }
}

/// The entry of `all` with this key.
pub(crate) fn key<T: Copy>(
    what: &str,
    text: &str,
    all: &[T],
    name: impl Fn(T) -> &'static str,
) -> Result<T, String> {
    all.iter().copied().find(|v| name(*v) == text).ok_or_else(|| {
        let keys: Vec<&str> = all.iter().map(|v| name(*v)).collect();
        format!("{} is not a known {what}; expected one of {}", quoted(text), keys.join(", "))
    })
}

macro_rules! keyed {
    ($($ty:ty, $what:literal;)*) => {
        $(impl Worded for $ty {
            fn read(text: &str) -> Result<Self, String> {
                key($what, text, &<$ty>::ALL, <$ty>::name)
            }
            fn write(&self) -> String {
                self.name().to_owned()
            }
        })*
    };
}

keyed! {
    Place, "place of use";
    Contact, "contact";
    Form, "product form";
    Pack, "pack";
    VersionState, "version state";
    Function, "function";
    AtPour, "state at pouring";
    Charge, "charge";
    Caution, "caution";
    WaterKind, "kind of water";
    UseScope, "scope of a use level";
    PowderShape, "grain shape";
    Wall, "material of a mould";
    PourClass, "class of pouring";
}

impl Worded for PhaseKind {
    fn read(text: &str) -> Result<Self, String> {
        // A material that goes anywhere reads better as "any".
        if text == "any" {
            return Ok(Self::Other);
        }
        key("kind of phase", text, &Self::ALL, Self::name)
    }
    fn write(&self) -> String {
        self.name().to_owned()
    }
}

const CONFIDENCES: [Confidence; 3] = [Confidence::High, Confidence::Medium, Confidence::Low];

fn confidence_key(value: Confidence) -> &'static str {
    match value {
        Confidence::High => "H",
        Confidence::Medium => "M",
        Confidence::Low => "L",
    }
}

impl Worded for Confidence {
    fn read(text: &str) -> Result<Self, String> {
        key("confidence", text, &CONFIDENCES, confidence_key)
    }
    fn write(&self) -> String {
        confidence_key(*self).to_owned()
    }
}

const BASES: [Basis; 8] = [
    Basis::Read,
    Basis::DataSet,
    Basis::Computed,
    Basis::Practice,
    Basis::Memory,
    Basis::Assumption,
    Basis::User,
    Basis::Unstated,
];

fn basis_key(value: Basis) -> &'static str {
    match value {
        Basis::Read => "read",
        Basis::DataSet => "dataset",
        Basis::Computed => "computed",
        Basis::Practice => "practice",
        Basis::Memory => "memory",
        Basis::Assumption => "assumption",
        Basis::User => "user",
        Basis::Unstated => "unstated",
    }
}

impl Worded for Basis {
    fn read(text: &str) -> Result<Self, String> {
        key("basis of a figure", text, &BASES, basis_key)
    }
    fn write(&self) -> String {
        basis_key(*self).to_owned()
    }
}

/// Reads `-12.50`: no exponent, no separators, no digit lost.
fn exact(text: &str) -> Result<Decimal, String> {
    let digits = text.strip_prefix('-').unwrap_or(text);
    let (whole, fraction) = digits.split_once('.').unwrap_or((digits, "0"));
    let plain = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    if !plain(whole) || !plain(fraction) {
        return Err(format!("{} is not a number; expected digits such as 12.5", quoted(text)));
    }
    Decimal::from_str_exact(text)
        .map_err(|_| format!("{} has more digits than can be kept (28)", quoted(text)))
}

impl Worded for Decimal {
    fn read(text: &str) -> Result<Self, String> {
        exact(text)
    }
    fn write(&self) -> String {
        self.to_string()
    }
}

/// Splits `12.5 kg` into the number and the rest.
fn number_then(text: &str) -> Result<(Decimal, &str), String> {
    let end =
        text.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-')).unwrap_or(text.len());
    let (number, rest) = text.split_at_checked(end).unwrap_or((text, ""));
    Ok((exact(number)?, rest.trim()))
}

impl Worded for Percent {
    fn read(text: &str) -> Result<Self, String> {
        match number_then(text.trim())? {
            (value, "%") => Ok(Self(value)),
            _ => Err(format!("{} is not a percentage; expected such as 3 %", quoted(text))),
        }
    }
    fn write(&self) -> String {
        format!("{} %", self.0)
    }
}

const MASS_UNITS: [MassUnit; 5] =
    [MassUnit::Gram, MassUnit::Kilogram, MassUnit::Milligram, MassUnit::Ounce, MassUnit::Pound];

fn mass_unit(text: &str) -> Option<MassUnit> {
    MASS_UNITS.into_iter().find(|u| u.symbol() == text)
}

impl Worded for Grams {
    fn read(text: &str) -> Result<Self, String> {
        let (value, rest) = number_then(text.trim())?;
        let unit = mass_unit(rest).ok_or_else(|| {
            format!("{} is not a mass; expected such as 75 g, in g, kg, mg, oz or lb", quoted(text))
        })?;
        value
            .checked_mul(unit.grams_per_unit())
            .map(Self)
            .ok_or_else(|| format!("{} is too large a mass", quoted(text)))
    }
    fn write(&self) -> String {
        format!("{} g", self.0)
    }
}

impl Worded for Net {
    fn read(text: &str) -> Result<Self, String> {
        if let Some(ml) = text.trim().strip_suffix("ml") {
            return exact(ml.trim()).map(Self::Millilitres);
        }
        Grams::read(text).map(|g| Self::Grams(g.0)).map_err(|_| {
            format!("{} is not a net content; expected such as 100 g or 250 ml", quoted(text))
        })
    }
    fn write(&self) -> String {
        match self {
            Self::Grams(g) => format!("{g} g"),
            Self::Millilitres(ml) => format!("{ml} ml"),
        }
    }
}

impl Worded for Date {
    fn read(text: &str) -> Result<Self, String> {
        Self::parse(text)
            .ok_or_else(|| format!("{} is not a date; expected such as 2026-11-25", quoted(text)))
    }
    fn write(&self) -> String {
        self.to_string()
    }
}

/// An amount of a line: `34 %`, `3 parts`, `12.5 g of 250 g`. ` = 5.1 %` follows only where the
/// percentage is not the one that the typed amount gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct AmountText {
    pub(crate) typed: Decimal,
    pub(crate) unit: AmountUnit,
    pub(crate) percent: Option<Percent>,
}

impl Worded for AmountText {
    fn read(text: &str) -> Result<Self, String> {
        let (typed_text, percent) = match text.split_once('=') {
            Some((left, right)) => (left, Some(Percent::read(right)?)),
            None => (text, None),
        };
        let (typed, rest) = number_then(typed_text.trim())?;
        let unit = match rest {
            "%" => AmountUnit::Percent,
            "part" | "parts" => AmountUnit::Parts,
            _ => {
                let mass = rest
                    .split_once(" of ")
                    .and_then(|(unit, whole)| Some((mass_unit(unit.trim())?, whole)));
                let Some((unit, whole)) = mass else {
                    return Err(format!(
                        "{} is not an amount; expected such as 34 %, 3 parts or 12.5 g of 250 g",
                        quoted(text)
                    ));
                };
                AmountUnit::Mass { unit, of: Grams::read(whole)? }
            }
        };
        Ok(Self { typed, unit, percent })
    }

    fn write(&self) -> String {
        let mut text = match self.unit {
            AmountUnit::Percent => format!("{} %", self.typed),
            AmountUnit::Parts => format!("{} parts", self.typed),
            AmountUnit::Mass { unit, of } => {
                format!("{} {} of {}", self.typed, unit.symbol(), of.write())
            }
        };
        if let Some(percent) = self.percent {
            text.push_str(" = ");
            text.push_str(&percent.write());
        }
        text
    }
}

impl Worded for BatchSize {
    fn read(text: &str) -> Result<Self, String> {
        if let Some(mass) = text.strip_prefix("gross ") {
            return Grams::read(mass).map(Self::Gross);
        }
        if let Some(mass) = text.strip_prefix("net ") {
            return Grams::read(mass).map(Self::Net);
        }
        let pieces = text
            .split_once(" pieces of ")
            .or_else(|| text.split_once(" piece of "))
            .and_then(|(count, each)| Some((count.trim().parse().ok()?, each)));
        match pieces {
            Some((count, each)) => Ok(Self::Pieces { count, each: Grams::read(each)? }),
            None => Err(format!(
                "{} is not a batch size; expected such as gross 1800 g, net 1800 g or \
                 24 pieces of 75 g",
                quoted(text)
            )),
        }
    }

    fn write(&self) -> String {
        match self {
            Self::Gross(mass) => format!("gross {}", mass.write()),
            Self::Net(mass) => format!("net {}", mass.write()),
            Self::Pieces { count, each } => format!("{count} pieces of {}", each.write()),
        }
    }
}
