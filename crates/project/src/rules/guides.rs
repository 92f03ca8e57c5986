//! The file of guides.

use quern_calc::formula::{Form, Function, Place};
use quern_calc::quantity::{Date, Percent};
use quern_calc::rules::{GrainGuide, NeededFunctions, Rules};
use serde::Deserialize;

use super::parts::{Number, Share, Text};
use super::problem::RulesProblem;
use super::read;
use crate::check::Problems;
use crate::format::word::Word;

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "guides")]
struct File {
    #[serde(rename = "format")]
    _format: u32,
    edition: Word<Text>,
    as_of: Word<Date>,
    grains: Vec<Grains>,
    needed: Vec<Needed>,
    free_water_max: Word<Share>,
    wet_above: Word<Share>,
    hot_from_c: Number,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "grains")]
struct Grains {
    place: Word<Place>,
    d90_um: Option<Number>,
    index: Option<Number>,
    load: Option<Word<Share>>,
    sharp_share: Option<Number>,
    sharp_above_um: Number,
    sharp_angularity: Number,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "needed")]
struct Needed {
    form: Word<Form>,
    any_of: Vec<Vec<Word<Function>>>,
}

/// The guides of a file.
#[derive(Debug)]
pub(super) struct Guides {
    edition: String,
    as_of: Date,
    grains: Vec<GrainGuide>,
    needed: Vec<NeededFunctions>,
    free_water_max: Percent,
    wet_above: Percent,
    hot_from_c: f64,
}

impl Guides {
    /// In place of those that are there.
    pub(super) fn put_in(self, rules: &mut Rules) {
        rules.edition = self.edition;
        rules.as_of = self.as_of;
        rules.grains = self.grains;
        rules.needed = self.needed;
        rules.free_water_max = self.free_water_max;
        rules.wet_above = self.wet_above;
        rules.hot_from_c = self.hot_from_c;
    }
}

fn grain_guide(g: Grains) -> GrainGuide {
    let number = |n: Option<Number>| n.map(|n| n.0);
    GrainGuide {
        place: g.place.0,
        d90_um: number(g.d90_um),
        index: number(g.index),
        load: g.load.map(|w| w.0.0),
        sharp_share: number(g.sharp_share),
        sharp_above_um: g.sharp_above_um.0,
        sharp_angularity: g.sharp_angularity.0,
    }
}

/// Reads the file; `file` names it in messages.
pub(super) fn read(text: &str, file: &str) -> Result<Guides, RulesProblem> {
    let read: File = read::read(text, file)?;
    let mut problems = Problems::default();
    let guides = Guides {
        edition: read.edition.0.0,
        as_of: read.as_of.0,
        grains: read.grains.into_iter().map(grain_guide).collect(),
        needed: read
            .needed
            .into_iter()
            .map(|n| NeededFunctions {
                form: n.form.0,
                any_of: n
                    .any_of
                    .into_iter()
                    .map(|list| list.into_iter().map(|w| w.0).collect())
                    .collect(),
            })
            .collect(),
        free_water_max: read.free_water_max.0.0,
        wet_above: read.wet_above.0.0,
        hot_from_c: read.hot_from_c.0,
    };
    for (at, guide) in guides.grains.iter().enumerate() {
        if guides.grains.iter().take(at).any(|g| g.place == guide.place) {
            problems.push(format!("the guide for the {} is there twice", guide.place.name()));
        }
    }
    for needed in &guides.needed {
        if needed.any_of.iter().any(Vec::is_empty) {
            problems.push(format!(
                "a {} needs one of an empty list; name a function or leave the list out",
                needed.form.name()
            ));
        }
    }
    read::sound(guides, problems, file)
}
