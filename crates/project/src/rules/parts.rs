//! Values that rules files have in common. What can be judged by itself is judged while it is
//! read, so that the message names line and column.

use std::collections::BTreeSet;
use std::fmt;
use std::sync::Arc;

use quern_calc::formula::{Basis, Confidence, Contact, Figure, Form, Function, Pack, Place, Span};
use quern_calc::quantity::{Date, Percent};
use quern_calc::safety::market::{NetRule, Regime, Uses, When};
use quern_calc::safety::preservation::Reach;
use rust_decimal::Decimal;
use serde::Deserialize;
use serde::de::{Deserializer, Error};

use crate::check::{Problems, quoted};
use crate::format::word::{Word, Worded, key};

/// Largest number, either way.
const MOST_NUMBER: f64 = 1e12;
/// Longest code of a market, in characters.
const MOST_CODE: usize = 20;

/// A text that says something.
#[derive(Clone, Debug)]
pub(super) struct Text(pub(super) String);

impl Worded for Text {
    fn read(text: &str) -> Result<Self, String> {
        if text.trim().is_empty() {
            return Err("this text is empty; expected words".to_owned());
        }
        Ok(Self(text.to_owned()))
    }
    fn write(&self) -> String {
        self.0.clone()
    }
}

/// The texts of a list.
pub(super) fn texts(list: Vec<Word<Text>>) -> Vec<String> {
    list.into_iter().map(|w| w.0.0).collect()
}

/// Key of a market.
#[derive(Clone, Debug)]
pub(super) struct Code(pub(super) String);

impl Worded for Code {
    fn read(text: &str) -> Result<Self, String> {
        let plain = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-';
        if text.is_empty() || text.len() > MOST_CODE || !text.bytes().all(plain) {
            return Err(format!(
                "{} is not a code; expected up to {MOST_CODE} small letters, digits and hyphens, \
                 such as eu",
                quoted(text)
            ));
        }
        Ok(Self(text.to_owned()))
    }
    fn write(&self) -> String {
        self.0.clone()
    }
}

/// A CAS registry number whose check digit is right.
#[derive(Clone, Debug)]
pub(super) struct Cas(pub(super) String);

impl Worded for Cas {
    fn read(text: &str) -> Result<Self, String> {
        match cas_check(text) {
            None => Err(format!("{} is not a CAS number; expected such as 65-85-0", quoted(text))),
            Some((given, right)) if given != right => Err(format!(
                "the CAS number {} ends in {given}, but the digits before give {right}; one of \
                 them is mistyped",
                quoted(text)
            )),
            Some(_) => Ok(Self(text.to_owned())),
        }
    }
    fn write(&self) -> String {
        self.0.clone()
    }
}

/// The last digit of a CAS number, and what it has to be: the other digits from the right times
/// 1, 2, 3 and so on, summed, modulo 10. `None` when it is no such number.
fn cas_check(text: &str) -> Option<(u32, u32)> {
    let mut parts = text.split('-');
    let (first, second, third) = (parts.next()?, parts.next()?, parts.next()?);
    let digits = |s: &str, least: usize, most: usize| {
        (least..=most).contains(&s.len()) && s.bytes().all(|b| b.is_ascii_digit())
    };
    if parts.next().is_some()
        || !digits(first, 2, 7)
        || !digits(second, 2, 2)
        || !digits(third, 1, 1)
    {
        return None;
    }
    let given = third.chars().next()?.to_digit(10)?;
    let sum: u32 = (first.chars().chain(second.chars()).rev().zip(1_u32..))
        .filter_map(|(c, n)| Some(c.to_digit(10)? * n))
        .sum();
    Some((given, sum % 10))
}

/// The numbers of a list.
pub(super) fn cas(list: Vec<Word<Cas>>) -> Vec<String> {
    list.into_iter().map(|w| w.0.0).collect()
}

/// A chemical formula by its characters: element symbols, counts and brackets.
#[derive(Clone, Debug)]
pub(super) struct Molecule(pub(super) String);

impl Worded for Molecule {
    fn read(text: &str) -> Result<Self, String> {
        let mut depth = 0_i32;
        let mut before = '(';
        let mut sound = !text.is_empty();
        for c in text.chars() {
            match c {
                '(' => depth += 1,
                ')' => depth -= 1,
                _ => {}
            }
            sound &= depth >= 0
                && match c {
                    'A'..='Z' | '(' => true,
                    'a'..='z' => before.is_ascii_alphabetic(),
                    '0'..='9' | ')' => before != '(',
                    _ => false,
                };
            before = c;
        }
        if !sound || depth != 0 {
            return Err(format!(
                "{} is not a chemical formula; expected such as C7H5NaO2",
                quoted(text)
            ));
        }
        Ok(Self(text.to_owned()))
    }
    fn write(&self) -> String {
        self.0.clone()
    }
}

/// A share from 0 to 100 %.
#[derive(Clone, Copy, Debug)]
pub(super) struct Share(pub(super) Percent);

impl Worded for Share {
    fn read(text: &str) -> Result<Self, String> {
        let value = <Decimal as Worded>::read(text)?;
        if value < Decimal::ZERO || value > Decimal::ONE_HUNDRED {
            return Err(format!("{} is no share; expected 0 to 100", quoted(text)));
        }
        Ok(Self(Percent(value)))
    }
    fn write(&self) -> String {
        self.0.0.to_string()
    }
}

/// A number that is one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Number(pub(super) f64);

impl<'de> Deserialize<'de> for Number {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let value = f64::deserialize(deserializer)?;
        if value.is_finite() && value.abs() <= MOST_NUMBER {
            Ok(Self(value))
        } else {
            Err(D::Error::custom(format!(
                "{value} cannot be used; expected a number within a million million"
            )))
        }
    }
}

const ANY: &str = "any";

impl Worded for Uses {
    fn read(text: &str) -> Result<Self, String> {
        let function = |name: &str| <Function as Worded>::read(name.trim());
        if text == ANY {
            Ok(Self::Any)
        } else if let Some(name) = text.strip_prefix("only ") {
            function(name).map(Self::Only)
        } else if let Some(name) = text.strip_prefix("except ") {
            function(name).map(Self::Except)
        } else {
            Err(format!(
                "{} is not known; expected any, or only or except and a function, such as only \
                 preservative",
                quoted(text)
            ))
        }
    }
    fn write(&self) -> String {
        match self {
            Self::Any => ANY.to_owned(),
            Self::Only(f) => format!("only {}", f.name()),
            Self::Except(f) => format!("except {}", f.name()),
        }
    }
}

macro_rules! keys {
    ($($ty:ty, $what:literal, [$($value:path => $key:literal),*];)*) => {
        $(impl Worded for $ty {
            fn read(text: &str) -> Result<Self, String> {
                key($what, text, &[$($value),*], |v| match v { $($value => $key),* })
            }
            fn write(&self) -> String {
                match self { $($value => $key),* }.to_owned()
            }
        })*
    };
}

keys! {
    Regime, "regime", [Regime::Old => "old", Regime::New => "new"];
    NetRule, "rule of net content", [NetRule::Metric => "metric", NetRule::Dual => "dual"];
    Reach, "reach", [Reach::None => "none", Reach::Weak => "weak", Reach::Good => "good"];
}

/// Products and days that a row speaks of.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, rename = "when", default)]
pub(super) struct WhenText {
    contact: Option<Word<Contact>>,
    places: Vec<Word<Place>>,
    not_places: Vec<Word<Place>>,
    forms: Vec<Word<Form>>,
    packs: Vec<Word<Pack>>,
    under_three: Option<bool>,
    from: Option<Word<Date>>,
    until: Option<Word<Date>>,
}

impl WhenText {
    /// The domain value; `place` names the row in what goes to `problems`.
    pub(super) fn read(self, place: impl Fn() -> String, problems: &mut Problems) -> When {
        let (from, until) = (self.from.map(|w| w.0), self.until.map(|w| w.0));
        if let (Some(from), Some(until)) = (from, until)
            && from > until
        {
            problems.push(format!("{}: it ends on {until} before it begins on {from}", place()));
        }
        fn all<T>(list: Vec<Word<T>>) -> Vec<T> {
            list.into_iter().map(|w| w.0).collect()
        }
        When {
            contact: self.contact.map(|w| w.0),
            places: all(self.places),
            not_places: all(self.not_places),
            forms: all(self.forms),
            packs: all(self.packs),
            under_three: self.under_three,
            from,
            until,
        }
    }
}

/// Where a row is from. `conf`, `basis` and `src` stand in the row itself.
pub(super) fn figure<T>(
    value: T,
    conf: Word<Confidence>,
    basis: Word<Basis>,
    src: Word<Text>,
) -> Figure<T> {
    Figure { value, confidence: conf.0, basis: basis.0, source: Arc::from(src.0.0) }
}

/// One number with its source.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "figure")]
pub(super) struct Value {
    v: Number,
    conf: Word<Confidence>,
    basis: Word<Basis>,
    src: Word<Text>,
}

impl Value {
    pub(super) fn read(self) -> Figure<f64> {
        figure(self.v.0, self.conf, self.basis, self.src)
    }
}

/// One exact share with its source.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "figure")]
pub(super) struct ShareValue {
    v: Word<Share>,
    conf: Word<Confidence>,
    basis: Word<Basis>,
    src: Word<Text>,
}

impl ShareValue {
    pub(super) fn read(self) -> Figure<Percent> {
        figure(self.v.0.0, self.conf, self.basis, self.src)
    }
}

/// A range with its source; an end that is left out is open.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "figure")]
pub(super) struct RangeValue {
    low: Option<Number>,
    high: Option<Number>,
    conf: Word<Confidence>,
    basis: Word<Basis>,
    src: Word<Text>,
}

impl RangeValue {
    pub(super) fn read(self) -> Figure<Span> {
        let span = Span { low: self.low.map(|n| n.0), high: self.high.map(|n| n.0) };
        figure(span, self.conf, self.basis, self.src)
    }
}

/// Names seen so far; one that comes again is a problem.
#[derive(Debug, Default)]
pub(super) struct Once(BTreeSet<String>);

impl Once {
    /// Notes a name, letter case aside.
    pub(super) fn see(&mut self, name: &str, what: impl fmt::Display, problems: &mut Problems) {
        if !self.0.insert(name.trim().to_lowercase()) {
            problems.push(format!("{what} {} is there twice", quoted(name)));
        }
    }
}

/// The edition of a file with its day, as findings name it.
pub(super) fn edition(edition: &str, as_of: Date) -> String {
    format!("{edition}, as of {}", as_of.words())
}

#[cfg(test)]
mod tests {
    use super::{Cas, Molecule, Uses, cas_check};
    use crate::format::word::Worded as _;

    #[test]
    fn check_digits() {
        // Water and caffeine, whose numbers are in every textbook on the rule.
        assert_eq!(cas_check("7732-18-5"), Some((5, 5)));
        assert_eq!(cas_check("58-08-2"), Some((2, 2)));
        assert_eq!(cas_check("58-08-3"), Some((3, 2)));
        for text in ["", "-", "58-08", "58-8-2", "58-08-22", "5-08-2", "58-08-2-1", "58-0a-2"] {
            assert!(Cas::read(text).is_err(), "{text}");
        }
        assert!(Cas::read("99999999-99-9").is_err());
        assert!(Cas::read("٥٨-08-2").is_err());
    }

    #[test]
    fn formulas_by_their_characters() {
        for text in ["C7H5NaO2", "Zn", "Zn(C2H3O2)2", "NaHSO3"] {
            assert!(Molecule::read(text).is_ok(), "{text}");
        }
        for text in ["", "7C", "c7", "C7 H5", "C()", "C)(", "C7H5·H2O", "(", "1", "C7(h"] {
            assert!(Molecule::read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn uses_read_back() {
        for text in ["any", "only preservative", "except exfoliant"] {
            assert_eq!(Uses::read(text).map(|u| u.write()), Ok(text.to_owned()));
        }
        for text in ["", "all", "only", "only soap", "except "] {
            assert!(Uses::read(text).is_err(), "{text}");
        }
    }
}
