//! The file of usual amounts by kind of product, for those who begin from a skeleton.

use std::sync::OnceLock;

use quern_calc::formula::{
    AtPour, Basis, Confidence, Counts, FormulaId, Function, KindRanges, MaterialId, UsualRange,
};
use quern_calc::quantity::Date;
use serde::Deserialize;

use super::parts::{Once, Share, Text};
use super::problem::RulesProblem;
use super::read;
use crate::check::{Problems, quoted};
use crate::format::word::{Word, Worded};

const FILE: &str = include_str!("../../../../assets/rules/skeleton-ranges.ron");

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "ranges")]
struct File {
    #[serde(rename = "format")]
    _format: u32,
    edition: Word<Text>,
    as_of: Word<Date>,
    kinds: Vec<Kind>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "kind")]
struct Kind {
    skeleton: Word<Text>,
    about: Word<Text>,
    keeping: Word<Text>,
    rows: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "row")]
struct Row {
    what: Word<Text>,
    counts: Vec<Word<Counting>>,
    state: Option<Word<AtPour>>,
    #[serde(default)]
    active: bool,
    min: Word<Share>,
    usual: Option<(Word<Share>, Word<Share>)>,
    max: Option<Word<Share>>,
    #[serde(default)]
    note: String,
    conf: Word<Confidence>,
    basis: Word<Basis>,
    src: Word<Text>,
}

/// "function butter", "group oil" or "material aqua".
struct Counting(Counts);

impl Worded for Counting {
    fn read(text: &str) -> Result<Self, String> {
        let counts = match text.split_once(' ') {
            Some(("function", name)) => Counts::Function(<Function as Worded>::read(name)?),
            Some(("group", name)) => Counts::Group(name.to_owned()),
            Some(("material", id)) => Counts::Material(MaterialId::new(id)),
            _ => {
                return Err(format!(
                    "{} is not known; expected function, group or material and a name",
                    quoted(text)
                ));
            }
        };
        Ok(Self(counts))
    }

    fn write(&self) -> String {
        match &self.0 {
            Counts::Function(f) => format!("function {}", f.name()),
            Counts::Group(g) => format!("group {g}"),
            Counts::Material(id) => format!("material {id}"),
        }
    }
}

/// The usual amounts of each kind of product, with their edition.
#[derive(Debug)]
pub struct UsualRanges {
    /// Edition and day.
    pub edition: String,
    /// One for each skeleton.
    pub kinds: Vec<KindRanges>,
}

impl UsualRanges {
    /// Those of a skeleton.
    #[must_use]
    pub fn of(&self, skeleton: &FormulaId) -> Option<&KindRanges> {
        self.kinds.iter().find(|k| k.skeleton == *skeleton)
    }
}

fn row(row: Row, kind: &str, problems: &mut Problems) -> UsualRange {
    let share = |word: Word<Share>| word.0.0;
    let range = UsualRange {
        what: row.what.0.0,
        counts: row.counts.into_iter().map(|w| w.0.0).collect(),
        state: row.state.map(|w| w.0),
        active: row.active,
        min: share(row.min),
        usual: row.usual.map(|(low, high)| (share(low), share(high))),
        max: row.max.map(share),
        note: row.note,
        confidence: row.conf.0,
        basis: row.basis.0,
        source: row.src.0.0,
    };
    let (low, high) = range.usual.unwrap_or((range.min, range.min));
    let rises = range.min <= low && low <= high && range.max.is_none_or(|max| high <= max);
    if !rises || range.counts.is_empty() {
        problems.push(format!(
            "{kind}, {}: expected materials that count, and least, usual and most in this order",
            quoted(&range.what)
        ));
    }
    range
}

/// Reads the file; `file` names it in messages.
fn parse(text: &str, file: &str) -> Result<UsualRanges, RulesProblem> {
    let read: File = read::read(text, file)?;
    let mut problems = Problems::default();
    let mut names = Once::default();
    let kinds = read
        .kinds
        .into_iter()
        .map(|k| {
            let skeleton = k.skeleton.0.0;
            names.see(&skeleton, "the skeleton", &mut problems);
            KindRanges {
                about: k.about.0.0,
                keeping: k.keeping.0.0,
                rows: k.rows.into_iter().map(|r| row(r, &skeleton, &mut problems)).collect(),
                skeleton: FormulaId::new(&skeleton),
            }
        })
        .collect();
    let edition = super::parts::edition(&read.edition.0.0, read.as_of.0);
    read::sound(UsualRanges { edition, kinds }, problems, file)
}

/// The built-in usual amounts, read at the first call.
#[must_use]
pub fn usual_ranges() -> &'static UsualRanges {
    static RANGES: OnceLock<UsualRanges> = OnceLock::new();
    RANGES.get_or_init(|| {
        parse(FILE, "skeleton-ranges.ron").unwrap_or_else(|problem| {
            // A test keeps the file sound; without it a skeleton shows no ranges.
            log::error!("built-in rules: {problem}");
            UsualRanges { edition: String::new(), kinds: Vec::new() }
        })
    })
}

#[cfg(test)]
mod tests {
    use super::{FILE, parse};

    #[test]
    fn the_file_is_sound() {
        let ranges = parse(FILE, "skeleton-ranges.ron");
        assert!(ranges.is_ok(), "{ranges:?}");
    }

    #[test]
    fn a_range_that_falls_is_told() {
        let text = FILE.replacen("min: \"25\"", "min: \"70\"", 1);
        let told = parse(&text, "x.ron").map_or_else(|p| p.to_string(), |_| String::new());
        assert!(told.contains("solid-scrub-bar") && told.contains("least"), "{told}");
        let text = FILE.replacen("group wax", "sort wax", 1);
        let told = parse(&text, "x.ron").map_or_else(|p| p.to_string(), |_| String::new());
        assert!(told.contains("sort wax"), "{told}");
    }
}
