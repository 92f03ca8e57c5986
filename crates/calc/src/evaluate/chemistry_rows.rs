//! Chemistry and natural origin as rows in words, for the view and for scripts.

use super::{Derived, Evaluation, SafetyFigures};
use crate::chemistry::actives::usual_active;
use crate::chemistry::water_activity::growing_at;
use crate::formula::Formula;
use crate::number::{NumberStyle, format_f64, format_fixed};
use crate::quantity::Percent;

/// One row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChemistryRow {
    /// Stable key, for scripts.
    pub key: &'static str,
    /// Name on screen.
    pub name: String,
    /// Value in words.
    pub value: String,
}

/// Rows of one subject.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChemistryPart {
    /// Stable key, for scripts.
    pub key: &'static str,
    /// Heading.
    pub name: &'static str,
    /// What it is, beside the heading.
    pub about: &'static str,
    /// Rows.
    pub rows: Vec<ChemistryRow>,
    /// What to know.
    pub notes: Vec<String>,
    /// Source.
    pub source: String,
}

struct Say(NumberStyle);

impl Say {
    fn pct(&self, p: Percent) -> String {
        format!("{} %", format_fixed(p.0, 2, self.0))
    }
    fn f(&self, x: f64, places: u32) -> String {
        format_f64(x, places, self.0)
    }
}

fn row(key: &'static str, name: &str, value: String) -> ChemistryRow {
    ChemistryRow { key, name: name.to_owned(), value }
}

/// Every part that the formula has something for.
#[must_use]
pub fn chemistry_rows(e: &Evaluation, formula: &Formula, style: NumberStyle) -> Vec<ChemistryPart> {
    let say = Say(style);
    vec![
        hlb(&e.safety, &say),
        surfactants(&e.safety, formula, &say),
        activity(&e.safety, &say),
        natural(&e.safety, &say),
    ]
}

fn shown<T>(figure: &Derived<T>, words: impl FnOnce(&T) -> String) -> String {
    match figure {
        Ok(value) => words(value),
        Err(why) => why.words(),
    }
}

fn hlb(safety: &SafetyFigures, say: &Say) -> ChemistryPart {
    let mut rows = Vec::new();
    let mut notes = Vec::new();
    match &safety.hlb {
        Err(why) => notes.push(format!("Not worked out: {}", why.words())),
        Ok(h) => {
            rows.push(row("oil_percent", "Oil phase", say.pct(h.oil)));
            rows.push(row("emulsifier_percent", "Emulsifiers", say.pct(h.emulsifier)));
            rows.push(row(
                "required_hlb",
                "Required HLB",
                shown(&h.required, |r| {
                    format!("{} ({} to {})", say.f(r.at, 1), say.f(r.low, 1), say.f(r.high, 1))
                }),
            ));
            rows.push(row("hlb", "HLB of the emulsifiers", shown(&h.blend, |b| say.f(*b, 1))));
            rows.push(row(
                "coverage",
                "Oil phase with a figure",
                format!("{} %", say.f(h.coverage, 0)),
            ));
            if !h.without_required.is_empty() {
                notes.push(format!("No required HLB known for {}", h.without_required.join(", ")));
            }
            if !h.without_hlb.is_empty() {
                notes.push(format!("No HLB known for {}", h.without_hlb.join(", ")));
            }
            if !h.neutralisers.is_empty() {
                notes.push(format!(
                    "{} turns part of a fatty acid to soap, which these figures do not see",
                    h.neutralisers.join(", ")
                ));
            }
        }
    }
    ChemistryPart {
        key: "hlb",
        name: "HLB",
        about: "exact arithmetic on soft figures: a hint, not stability",
        rows,
        notes,
        source: "Griffin, J. Soc. Cosmet. Chem. 1 (1949) 311; required figures from handbooks, several from memory; oil in water only".to_owned(),
    }
}

fn surfactants(safety: &SafetyFigures, formula: &Formula, say: &Say) -> ChemistryPart {
    let mut rows = Vec::new();
    let mut notes = Vec::new();
    match &safety.actives {
        Err(why) => notes.push(format!("Not worked out: {}", why.words())),
        Ok(a) => {
            rows.push(row("active_total", "Active matter", say.pct(a.total)));
            for (key, name, part) in [
                ("active_anionic", "of it anionic", a.anionic),
                ("active_amphoteric", "of it amphoteric", a.amphoteric),
                ("active_nonionic", "of it nonionic", a.nonionic),
                ("active_cationic", "of it cationic", a.cationic),
            ] {
                if !part.is_zero() {
                    rows.push(row(key, name, say.pct(part)));
                }
            }
            if let Some(ratio) = a.anionic_to_amphoteric() {
                let value = format!("{} to 1", say.f(ratio, 2));
                rows.push(row("anionic_to_amphoteric", "Anionic to amphoteric", value));
            }
            if let Some((low, high)) = usual_active(formula.product.form, formula.product.place) {
                let value = format!("{} to {} %", say.f(low, 0), say.f(high, 0));
                rows.push(row("active_usual", "Usual for this product", value));
            }
            if !a.unknown.is_empty() {
                notes.push(format!(
                    "Active matter not known for {}: not counted",
                    a.unknown.join(", ")
                ));
            }
        }
    }
    ChemistryPart {
        key: "surfactants",
        name: "Surfactants",
        about: "active matter, not the raw material",
        rows,
        notes,
        source: "common practice; a certificate of analysis wins".to_owned(),
    }
}

fn activity(safety: &SafetyFigures, say: &Say) -> ChemistryPart {
    let keeping = &safety.keeping;
    let mut rows = vec![
        row("free_water", "Free water", say.pct(keeping.water.free)),
        row("bound_water", "Bound in powders", say.pct(keeping.water.bound)),
    ];
    let mut notes = Vec::new();
    match &keeping.activity {
        Err(why) => notes.push(format!("Water activity not estimated: {}", why.words())),
        Ok(a) => {
            rows.push(row("water_activity", "Water activity, estimate", say.f(a.aw, 2)));
            let growing: Vec<&str> = growing_at(a.aw).map(|g| g.organisms).collect();
            if !growing.is_empty() {
                notes.push(format!("Not stopped by it: {}", growing.join("; ")));
            }
            if !a.ideal.is_empty() {
                notes.push(format!(
                    "Counted by Raoult's law alone, for want of a constant: {}",
                    a.ideal.join(", ")
                ));
            }
            if a.beyond {
                notes.push("Beyond what the equation was tried for".to_owned());
            }
        }
    }
    ChemistryPart {
        key: "water",
        name: "Water",
        about: "of the water phase; oils do not lower it",
        rows,
        notes,
        source: "Norrish equation with constants from PMC2836749, others from memory; limits of growth after Beuchat 1981".to_owned(),
    }
}

fn natural(safety: &SafetyFigures, say: &Say) -> ChemistryPart {
    let mut rows = Vec::new();
    let mut notes = Vec::new();
    let band = |low: f64, high: f64| {
        let (a, b) = (say.f(low, 2), say.f(high, 2));
        if a == b { format!("{a} %") } else { format!("{a} to {b} %") }
    };
    match &safety.natural {
        Err(why) => notes.push(format!("Not worked out: {}", why.words())),
        Ok(n) => {
            let with = band(n.with_water, n.with_water_most);
            rows.push(row("natural_with_water", "Natural origin, with water", with));
            if let (Some(low), Some(high)) = (n.without_water, n.without_water_most) {
                let name = "Natural origin, without water";
                rows.push(row("natural_without_water", name, band(low, high)));
            }
            if !n.unknown.is_empty() {
                notes.push(format!(
                    "No index known for {}: counted from 0 to 1, so ask the supplier",
                    n.unknown.join(", ")
                ));
            }
        }
    }
    ChemistryPart {
        key: "natural",
        name: "Natural origin",
        about: "content by ISO 16128, from the index of each material",
        rows,
        notes,
        source: "ISO 16128-2:2017 by public explanations, formula from memory; voluntary, and no claim is checked".to_owned(),
    }
}
