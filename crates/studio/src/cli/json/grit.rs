//! `grit --json`, as `docs/grit.schema.json` describes it.

mod look;
mod mixes;
mod solve;
mod swap;

pub(in super::super) use look::{beside, report};
pub(in super::super) use mixes::mixes;
pub(in super::super) use solve::solve;
pub(in super::super) use swap::swap;

use quern_calc::evaluate::PlaceGuide;
use quern_calc::grit::surface::Stage;
use quern_calc::quantity::Percent;
use serde::Serialize;

use super::super::grit::NOTE;
use super::{Head, Missing, Subject, exact};

/// What each document begins with.
#[derive(Debug, Serialize)]
struct Top {
    #[serde(flatten)]
    head: Head,
    mode: &'static str,
    note: &'static str,
}

impl Top {
    fn new(head: Head, mode: &'static str) -> Self {
        Self { head, mode, note: NOTE }
    }
}

/// A material.
#[derive(Debug, Serialize)]
struct Named {
    id: String,
    name: String,
}

impl Named {
    fn new(id: &impl ToString, name: &str) -> Self {
        Self { id: id.to_string(), name: name.to_owned() }
    }
}

/// A material with its load.
#[derive(Debug, Serialize)]
struct Load {
    id: String,
    name: String,
    percent: String,
}

/// What the guides say of one place.
#[derive(Debug, Serialize)]
struct Guide {
    place: &'static str,
    within: bool,
    verdict: String,
    reasons: Vec<Reason>,
}

#[derive(Debug, Serialize)]
struct Reason {
    text: String,
    within: bool,
    hard: bool,
}

impl Guide {
    fn new(guide: &PlaceGuide) -> Self {
        Self {
            place: guide.place.name(),
            within: guide.within,
            verdict: guide.verdict.clone(),
            reasons: guide
                .reasons
                .iter()
                .map(|r| Reason { text: r.text.clone(), within: r.within, hard: r.hard })
                .collect(),
        }
    }
}

fn percent(p: Percent) -> String {
    exact(p.0)
}

fn stage(stage: Stage) -> &'static str {
    match stage {
        Stage::Dry => "dry",
        Stage::InUse => "in-use",
    }
}

/// The value, or null with its reason among those missing.
fn or_missing<T>(
    missing: &mut Vec<Missing>,
    figure: &str,
    value: Option<T>,
    why: impl FnOnce() -> String,
) -> Option<T> {
    if value.is_none() {
        missing.push(Missing::new(figure, why()));
    }
    value
}

const NO_PRICE: &str = "a price is missing";
const NO_CUT: &str = "--cut was not given";
