//! The file of preservatives.

use quern_calc::formula::{Basis, Confidence};
use quern_calc::quantity::Date;
use quern_calc::safety::preservation::{ActiveAcid, Preservative, Preservatives, Reach};
use serde::Deserialize;

use super::parts::{
    Molecule, Number, Once, RangeValue, Share, ShareValue, Text, Value, edition, figure,
};
use super::problem::RulesProblem;
use super::read;
use crate::check::{Problems, quoted};
use crate::format::word::Word;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "preservatives")]
struct File {
    #[serde(rename = "format")]
    _format: u32,
    edition: Word<Text>,
    as_of: Word<Date>,
    list: Vec<Entry>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "acid")]
struct Acid {
    name: Word<Text>,
    pka: Number,
    acid: Word<Molecule>,
    added: Word<Molecule>,
    #[serde(default = "one")]
    moles: u32,
    good: Word<Share>,
    weak: Word<Share>,
}

fn one() -> u32 {
    1
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "preservative")]
struct Entry {
    inci: Word<Text>,
    #[serde(default)]
    acid: Option<Acid>,
    #[serde(default)]
    ph: Option<RangeValue>,
    #[serde(default)]
    heat_c: Option<Value>,
    #[serde(default)]
    least: Option<ShareValue>,
    bacteria: Word<Reach>,
    yeast: Word<Reach>,
    mould: Word<Reach>,
    #[serde(default)]
    helper: bool,
    #[serde(default)]
    bound_by_ethoxylates: bool,
    #[serde(default)]
    nitrosating: bool,
    #[serde(default)]
    note: String,
    conf: Word<Confidence>,
    basis: Word<Basis>,
    src: Word<Text>,
}

impl Entry {
    fn read(self) -> Preservative {
        Preservative {
            inci: self.inci.0.0,
            acid: self.acid.map(|a| ActiveAcid {
                name: a.name.0.0,
                pka: a.pka.0,
                acid: a.acid.0.0,
                added: a.added.0.0,
                moles: a.moles,
                good: a.good.0.0,
                weak: a.weak.0.0,
            }),
            ph: self.ph.map(RangeValue::read),
            heat_c: self.heat_c.map(Value::read),
            least: self.least.map(ShareValue::read),
            reach: [self.bacteria.0, self.yeast.0, self.mould.0],
            helper: self.helper,
            bound_by_ethoxylates: self.bound_by_ethoxylates,
            nitrosating: self.nitrosating,
            note: self.note,
            about: figure((), self.conf, self.basis, self.src),
        }
    }
}

fn check(entry: &Preservative, problems: &mut Problems) {
    let place = || quoted(&entry.inci);
    if let Some(acid) = &entry.acid {
        if acid.moles == 0 {
            problems.push(format!("{}: moles of 1 or more are needed", place()));
        }
        if acid.good < acid.weak {
            problems.push(format!("{}: good lies below weak", place()));
        }
    }
    if let Some(ph) = &entry.ph {
        let (low, high) = (ph.value.low, ph.value.high);
        if low.is_some_and(|l| high.is_some_and(|h| l > h)) {
            problems.push(format!("{}: the pH ends below where it begins", place()));
        }
        if low.into_iter().chain(high).any(|p| !(0.0..=14.0).contains(&p)) {
            problems.push(format!("{}: expected a pH from 0 to 14", place()));
        }
    }
}

/// Reads the file; `file` names it in messages.
pub(super) fn read(text: &str, file: &str) -> Result<Preservatives, RulesProblem> {
    let read: File = read::read(text, file)?;
    let mut problems = Problems::default();
    let list: Vec<_> = read.list.into_iter().map(Entry::read).collect();
    let mut names = Once::default();
    for entry in &list {
        names.see(&entry.inci, "the preservative", &mut problems);
        check(entry, &mut problems);
    }
    let edition = edition(&read.edition.0.0, read.as_of.0);
    read::sound(Preservatives { list, edition }, problems, file)
}
