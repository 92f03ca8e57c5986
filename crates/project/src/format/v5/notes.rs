//! What a maker decides about use, checks and label of a formula.

use quern_calc::formula as domain;
use quern_calc::formula::Net;
use quern_calc::quantity::{Date, Percent};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use crate::format::word::Word;

#[allow(clippy::trivially_copy_pass_by_ref)] // the shape that serde asks for
fn is_false(value: &bool) -> bool {
    !value
}

/// Markets, accepted warnings and the like. What is left out is the usual.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "safety")]
#[rustfmt::skip]
pub(super) struct Safety {
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    markets: Vec<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    placed: Option<Word<Date>>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    category: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    wet_use: Option<bool>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    unpreserved: String,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    accepted: Vec<Accepted>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    exposures: Vec<Exposure>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "accepted")]
struct Accepted {
    key: String,
    said: String,
    reason: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    date: Option<Word<Date>>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "exposure")]
struct Exposure {
    component: String,
    /// mg per kg of body weight a day.
    departure: Word<Decimal>,
    #[serde(default, skip_serializing_if = "is_false")]
    oral: bool,
    absorbed: Word<Percent>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    source: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    line: Option<String>,
}

impl Safety {
    pub(super) fn is_empty(&self) -> bool {
        self.markets.is_empty()
            && self.placed.is_none()
            && self.category.is_empty()
            && self.wet_use.is_none()
            && self.unpreserved.is_empty()
            && self.accepted.is_empty()
            && self.exposures.is_empty()
    }

    pub(super) fn of(notes: &domain::SafetyNotes) -> Self {
        Self {
            markets: notes.markets.clone(),
            placed: notes.placed.map(Word),
            category: notes.category.clone(),
            wet_use: notes.wet_use,
            unpreserved: notes.unpreserved.clone(),
            accepted: notes
                .accepted
                .iter()
                .map(|a| Accepted {
                    key: a.key.clone(),
                    said: a.said.clone(),
                    reason: a.reason.clone(),
                    date: a.date.map(Word),
                })
                .collect(),
            exposures: notes
                .exposures
                .iter()
                .map(|e| Exposure {
                    component: e.component.clone(),
                    departure: Word(e.departure),
                    oral: e.oral,
                    absorbed: Word(e.absorbed),
                    source: e.source.clone(),
                    line: e.line.clone(),
                })
                .collect(),
        }
    }

    pub(super) fn into_domain(self) -> domain::SafetyNotes {
        domain::SafetyNotes {
            markets: self.markets,
            placed: self.placed.map(|d| d.0),
            category: self.category,
            wet_use: self.wet_use,
            unpreserved: self.unpreserved,
            accepted: self
                .accepted
                .into_iter()
                .map(|a| domain::Accepted {
                    key: a.key,
                    said: a.said,
                    reason: a.reason,
                    date: a.date.map(|d| d.0),
                })
                .collect(),
            exposures: self
                .exposures
                .into_iter()
                .map(|e| domain::ExposureAsk {
                    component: e.component,
                    departure: e.departure.0,
                    oral: e.oral,
                    absorbed: e.absorbed.0,
                    source: e.source,
                    line: e.line,
                })
                .collect(),
        }
    }
}

/// What the label says beside the ingredients. What is left out follows from the formula.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "label")]
#[rustfmt::skip]
pub(super) struct Label {
    #[serde(default, skip_serializing_if = "String::is_empty")]
    name: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    function: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    net: Option<Word<Net>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    keeps_months: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    opened_months: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    made: Option<Word<Date>>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    code_pattern: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    code_number: Option<u32>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    responsible: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    origin: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    directions: String,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    cautions: Vec<String>,
    /// Width and height.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    size_mm: Option<(Word<Decimal>, Word<Decimal>)>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    letter_mm: Option<Word<Decimal>>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    nano: Vec<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    printed: Vec<Printed>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "printed")]
struct Printed {
    market: String,
    date: Word<Date>,
    version: u32,
    lines: Vec<String>,
}

impl Label {
    pub(super) fn is_empty(&self) -> bool {
        self.name.is_empty()
            && self.function.is_empty()
            && self.net.is_none()
            && self.keeps_months.is_none()
            && self.opened_months.is_none()
            && self.made.is_none()
            && self.code_pattern.is_empty()
            && self.code_number.is_none()
            && self.responsible.is_empty()
            && self.origin.is_empty()
            && self.directions.is_empty()
            && self.cautions.is_empty()
            && self.size_mm.is_none()
            && self.letter_mm.is_none()
            && self.nano.is_empty()
            && self.printed.is_empty()
    }

    pub(super) fn of(notes: &domain::LabelNotes) -> Self {
        Self {
            name: notes.name.clone(),
            function: notes.function.clone(),
            net: notes.net.map(Word),
            keeps_months: notes.keeps_months,
            opened_months: notes.opened_months,
            made: notes.made.map(Word),
            code_pattern: notes.code_pattern.clone(),
            code_number: notes.code_number,
            responsible: notes.responsible.clone(),
            origin: notes.origin.clone(),
            directions: notes.directions.clone(),
            cautions: notes.cautions.clone(),
            size_mm: notes.size_mm.map(|(w, h)| (Word(w), Word(h))),
            letter_mm: notes.letter_mm.map(Word),
            nano: notes.nano.clone(),
            printed: notes
                .printed
                .iter()
                .map(|p| Printed {
                    market: p.market.clone(),
                    date: Word(p.date),
                    version: p.version,
                    lines: p.lines.clone(),
                })
                .collect(),
        }
    }

    pub(super) fn into_domain(self) -> domain::LabelNotes {
        domain::LabelNotes {
            name: self.name,
            function: self.function,
            net: self.net.map(|n| n.0),
            keeps_months: self.keeps_months,
            opened_months: self.opened_months,
            made: self.made.map(|d| d.0),
            code_pattern: self.code_pattern,
            code_number: self.code_number,
            responsible: self.responsible,
            origin: self.origin,
            directions: self.directions,
            cautions: self.cautions,
            size_mm: self.size_mm.map(|(w, h)| (w.0, h.0)),
            letter_mm: self.letter_mm.map(|l| l.0),
            nano: self.nano,
            printed: self
                .printed
                .into_iter()
                .map(|p| domain::Printed {
                    market: p.market,
                    date: p.date.0,
                    version: p.version,
                    lines: p.lines,
                })
                .collect(),
        }
    }
}
