//! What was checked, for `check --json`, `report --json` and `label --json`.

use quern_calc::evaluate::{Evaluation, ExposureFigures, MarketFigures};
use quern_calc::number::NumberStyle;
use quern_calc::safety::allergens::{AllergenFrom, AllergenSum};
use quern_calc::safety::limits::{
    ClashHeld, LimitCheck, LimitSource, PendingHeld, StatementHeld, UnknownSource, Verdict,
};
use quern_calc::safety::market::Regime;
use serde::Serialize;

use super::chemistry::{self, Chemistry};
use super::exact;
use super::keeping::{Preservation, preservation};

/// Everything that was checked of one formula.
#[derive(Debug, Serialize)]
pub(in crate::cli) struct Checks {
    against: Vec<String>,
    not_checked: Vec<String>,
    markets: Vec<Market>,
    preservation: Preservation,
    exposures: Vec<Exposure>,
    chemistry: Chemistry,
}

#[derive(Debug, Serialize)]
struct Market {
    code: String,
    name: String,
    edition: String,
    limits: Vec<Limit>,
    conditions: Vec<Condition>,
    clashes: Vec<Clash>,
    coming: Vec<Coming>,
    allergens: Option<Allergens>,
    not_checked: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Limit {
    rule: String,
    reference: String,
    title: String,
    counted: String,
    percent: String,
    most_percent: Option<String>,
    limit_percent: Option<String>,
    equal_is_too_much: bool,
    verdict: &'static str,
    sources: Vec<Source>,
    not_stated: Vec<NotStated>,
    arithmetic: Vec<String>,
    source: String,
}

/// A material that brings a substance which a rule names.
#[derive(Debug, Serialize)]
struct Source {
    line: u32,
    material: String,
    name: String,
    inci: String,
    percent: String,
    counted_percent: String,
}

/// One that brings it without an amount.
#[derive(Debug, Serialize)]
struct NotStated {
    line: u32,
    material: String,
    name: String,
    inci: String,
    most_percent: Option<String>,
}

#[derive(Debug, Serialize)]
struct Condition {
    rule: String,
    reference: String,
    on_pack: bool,
    text: String,
    percent: String,
    above_percent: Option<String>,
    assumed: bool,
    source: String,
}

#[derive(Debug, Serialize)]
struct Clash {
    rules: [String; 2],
    references: [String; 2],
    why: String,
    source: String,
}

#[derive(Debug, Serialize)]
struct Coming {
    text: String,
    from: Option<String>,
    sources: Vec<Source>,
    not_stated: Vec<NotStated>,
    source: String,
}

#[derive(Debug, Serialize)]
struct Allergens {
    new_ones_free_until: Option<String>,
    found: Vec<Allergen>,
    not_stated: Vec<Silent>,
}

#[derive(Debug, Serialize)]
struct Allergen {
    reference: String,
    label: String,
    list: &'static str,
    percent: String,
    threshold_percent: String,
    above: bool,
    named: bool,
    sources: Vec<AllergenSource>,
    source: String,
}

#[derive(Debug, Serialize)]
struct AllergenSource {
    line: u32,
    material: String,
    name: String,
    percent: String,
    from: &'static str,
    assumed: bool,
}

/// A material whose allergens are not known.
#[derive(Debug, Serialize)]
struct Silent {
    line: u32,
    material: String,
    name: String,
    percent: String,
    without_amount: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Exposure {
    component: String,
    percent: String,
    line: Option<String>,
    stand_in: String,
    applied_mg_kg_day: Option<f64>,
    absorbed_percent: String,
    exposure_mg_kg_day: Option<f64>,
    departure_mg_kg_day: Option<f64>,
    oral: bool,
    margin: Option<f64>,
    arithmetic: Vec<String>,
    edition: String,
    source: String,
}

/// Key of a verdict.
fn verdict(v: Verdict) -> &'static str {
    match v {
        Verdict::NoMaximum => "no-maximum",
        Verdict::Within => "within",
        Verdict::AtMost => "at-most",
        Verdict::Above => "above",
        Verdict::NotAllowed => "not-allowed",
        Verdict::Undecided => "undecided",
    }
}

fn sources(list: &[LimitSource]) -> Vec<Source> {
    list.iter()
        .map(|s| Source {
            line: s.line.0,
            material: s.material.to_string(),
            name: s.name.clone(),
            inci: s.member.clone(),
            percent: exact(s.percent.0),
            counted_percent: exact(s.counted.0),
        })
        .collect()
}

fn not_stated(list: &[UnknownSource]) -> Vec<NotStated> {
    list.iter()
        .map(|u| NotStated {
            line: u.line.0,
            material: u.material.to_string(),
            name: u.name.clone(),
            inci: u.member.clone(),
            most_percent: u.bound.map(|b| exact(b.0)),
        })
        .collect()
}

fn limit(check: &LimitCheck) -> Limit {
    Limit {
        rule: check.rule.clone(),
        reference: check.reference.clone(),
        title: check.title.clone(),
        counted: check.counted_name().to_owned(),
        percent: exact(check.amount.0),
        most_percent: check.most.map(|m| exact(m.0)),
        limit_percent: check.cap.map(|c| exact(c.0)),
        equal_is_too_much: check.at_or_above,
        verdict: verdict(check.verdict),
        sources: sources(&check.sources),
        not_stated: not_stated(&check.unknown),
        arithmetic: check.steps(NumberStyle::default()),
        source: check.about.provenance(),
    }
}

fn condition(s: &StatementHeld) -> Condition {
    Condition {
        rule: s.rule.clone(),
        reference: s.reference.clone(),
        on_pack: s.label,
        text: s.text.clone(),
        percent: exact(s.amount.0),
        above_percent: s.above.map(|a| exact(a.0)),
        assumed: s.assumed,
        source: s.about.provenance(),
    }
}

fn clash(c: &ClashHeld) -> Clash {
    Clash {
        rules: [c.rules.0.clone(), c.rules.1.clone()],
        references: [c.references.0.clone(), c.references.1.clone()],
        why: c.why.clone(),
        source: c.about.provenance(),
    }
}

fn coming(p: &PendingHeld) -> Coming {
    Coming {
        text: p.text.clone(),
        from: p.from.map(|d| d.to_string()),
        sources: sources(&p.sources),
        not_stated: not_stated(&p.unknown),
        source: p.about.provenance(),
    }
}

fn allergen(sum: &AllergenSum) -> Allergen {
    let source = |s: &quern_calc::safety::allergens::AllergenSource| AllergenSource {
        line: s.line.0,
        material: s.material.to_string(),
        name: s.name.clone(),
        percent: exact(s.percent.0),
        from: match s.from {
            AllergenFrom::Declared => "declared",
            AllergenFrom::Composition => "composition",
            AllergenFrom::Itself => "itself",
            AllergenFrom::Group => "group",
        },
        assumed: s.assumed,
    };
    Allergen {
        reference: sum.reference.clone(),
        label: sum.label.clone(),
        list: match sum.regime {
            Regime::Old => "old",
            Regime::New => "new",
        },
        percent: exact(sum.amount.0),
        threshold_percent: exact(sum.threshold.0),
        above: sum.over,
        named: sum.over && sum.required_now,
        sources: sum.sources.iter().map(source).collect(),
        source: sum.about.provenance(),
    }
}

fn market(m: &MarketFigures) -> Market {
    Market {
        code: m.code.clone(),
        name: m.name.clone(),
        edition: m.edition.clone(),
        limits: m.checks.limits.iter().map(limit).collect(),
        conditions: m.checks.statements.iter().map(condition).collect(),
        clashes: m.checks.clashes.iter().map(clash).collect(),
        coming: m.checks.pending.iter().map(coming).collect(),
        allergens: m.allergens.as_ref().map(|a| Allergens {
            new_ones_free_until: a.new_free_until.map(|d| d.to_string()),
            found: a.sums.iter().map(allergen).collect(),
            not_stated: a
                .unknown
                .iter()
                .map(|u| Silent {
                    line: u.line.0,
                    material: u.material.to_string(),
                    name: u.name.clone(),
                    percent: exact(u.percent.0),
                    without_amount: u.without_amount.clone(),
                })
                .collect(),
        }),
        not_checked: m.not_checked.clone(),
    }
}

fn exposure(x: &ExposureFigures) -> Exposure {
    let finite = |x: Option<f64>| x.filter(|x| x.is_finite());
    Exposure {
        component: x.ask.component.clone(),
        percent: exact(x.percent.0),
        line: x.line.as_ref().map(|l| l.name.clone()),
        stand_in: x.stand_in.clone(),
        applied_mg_kg_day: finite(x.line.as_ref().map(|l| l.e_mg_kg_day)),
        absorbed_percent: exact(x.ask.absorbed.0),
        exposure_mg_kg_day: finite(x.sed),
        departure_mg_kg_day: finite(x.departure),
        oral: x.ask.oral,
        margin: finite(x.margin),
        arithmetic: x.steps(NumberStyle::default()),
        edition: x.edition.clone(),
        source: x.ask.source.clone(),
    }
}

impl Checks {
    pub fn new(e: &Evaluation) -> Self {
        let safety = &e.safety;
        Self {
            against: safety.checked_against(),
            not_checked: safety.not_checked(),
            markets: safety.markets.iter().map(market).collect(),
            preservation: preservation(e),
            exposures: safety.exposures.iter().map(exposure).collect(),
            chemistry: chemistry::chemistry(e),
        }
    }
}
