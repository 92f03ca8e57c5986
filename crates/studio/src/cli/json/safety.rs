//! What was checked, for `check --json`, `report --json` and `label --json`.

use quern_calc::evaluate::{Evaluation, MarketFigures, chemistry_rows};
use quern_calc::formula::Formula;
use quern_calc::number::NumberStyle;
use quern_calc::safety::allergens::AllergenSum;
use quern_calc::safety::keeping::MICROBES;
use quern_calc::safety::limits::{LimitCheck, Verdict};
use serde::Serialize;

use super::exact;

/// Everything that was checked of one formula.
#[derive(Debug, Serialize)]
pub(in crate::cli) struct Checks {
    against: Vec<String>,
    not_checked: Vec<String>,
    markets: Vec<Market>,
    preservation: Preservation,
    exposures: Vec<Exposure>,
    chemistry: Vec<Part>,
}

#[derive(Debug, Serialize)]
struct Market {
    code: String,
    name: String,
    edition: String,
    limits: Vec<Limit>,
    conditions: Vec<Condition>,
    allergens: Option<Vec<Allergen>>,
    allergens_not_stated: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Limit {
    rule: String,
    reference: String,
    title: String,
    counted: String,
    percent: String,
    limit_percent: Option<String>,
    verdict: &'static str,
    arithmetic: Vec<String>,
    source: String,
}

#[derive(Debug, Serialize)]
struct Condition {
    reference: String,
    on_pack: bool,
    text: String,
    source: String,
}

#[derive(Debug, Serialize)]
struct Allergen {
    reference: String,
    label: String,
    percent: String,
    threshold_percent: String,
    named: bool,
    above: bool,
    sources: Vec<AllergenSource>,
    source: String,
}

#[derive(Debug, Serialize)]
struct AllergenSource {
    material: String,
    percent: String,
}

#[derive(Debug, Serialize)]
struct Preservation {
    need: &'static str,
    free_water_percent: String,
    ph: Option<f64>,
    ph_measured: Option<bool>,
    reach: Vec<Reach>,
    systems: Vec<System>,
    criteria: Vec<Criterion>,
    advice: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Reach {
    of: &'static str,
    reach: &'static str,
}

#[derive(Debug, Serialize)]
struct System {
    inci: String,
    percent: String,
    counts: &'static str,
    undissociated_percent: Option<f64>,
    words: Vec<String>,
    source: String,
}

#[derive(Debug, Serialize)]
struct Criterion {
    criterion: &'static str,
    met: Option<bool>,
}

#[derive(Debug, Serialize)]
struct Exposure {
    component: String,
    percent: String,
    line: Option<String>,
    sed_mg_kg_day: Option<f64>,
    margin: Option<f64>,
    arithmetic: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Part {
    key: &'static str,
    rows: Vec<Row>,
    notes: Vec<String>,
    source: String,
}

#[derive(Debug, Serialize)]
struct Row {
    key: &'static str,
    value: String,
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

fn limit(check: &LimitCheck) -> Limit {
    Limit {
        rule: check.rule.clone(),
        reference: check.reference.clone(),
        title: check.title.clone(),
        counted: check.counted_name().to_owned(),
        percent: exact(check.amount.0),
        limit_percent: check.cap.map(|c| exact(c.0)),
        verdict: verdict(check.verdict),
        arithmetic: check.steps(NumberStyle::default()),
        source: check.about.provenance(),
    }
}

fn allergen(sum: &AllergenSum) -> Allergen {
    Allergen {
        reference: sum.reference.clone(),
        label: sum.label.clone(),
        percent: exact(sum.amount.0),
        threshold_percent: exact(sum.threshold.0),
        named: sum.over && sum.required_now,
        above: sum.over,
        sources: sum
            .sources
            .iter()
            .map(|s| AllergenSource { material: s.name.clone(), percent: exact(s.percent.0) })
            .collect(),
        source: sum.about.provenance(),
    }
}

fn market(m: &MarketFigures) -> Market {
    let condition = |s: &quern_calc::safety::limits::StatementHeld| Condition {
        reference: s.reference.clone(),
        on_pack: s.label,
        text: s.text.clone(),
        source: s.about.provenance(),
    };
    Market {
        code: m.code.clone(),
        name: m.name.clone(),
        edition: m.edition.clone(),
        limits: m.checks.limits.iter().map(limit).collect(),
        conditions: m.checks.statements.iter().map(condition).collect(),
        allergens: m.allergens.as_ref().map(|a| a.sums.iter().map(allergen).collect()),
        allergens_not_stated: m
            .allergens
            .iter()
            .flat_map(|a| a.unknown.iter().map(|u| u.name.clone()))
            .collect(),
    }
}

fn preservation(e: &Evaluation) -> Preservation {
    use quern_calc::safety::keeping::Need;
    let k = &e.safety.keeping;
    let style = NumberStyle::default();
    Preservation {
        need: match k.need {
            Need::Water => "water",
            Need::WetUse => "wet-use",
            Need::Dry => "dry",
        },
        free_water_percent: exact(k.water.free.0),
        ph: k.ph.map(|p| p.0),
        ph_measured: k.ph.map(|p| p.1),
        reach: MICROBES
            .into_iter()
            .zip(k.coverage)
            .map(|(of, r)| Reach { of, reach: r.name() })
            .collect(),
        systems: k
            .systems
            .iter()
            .map(|s| System {
                inci: s.inci.clone(),
                percent: exact(s.percent.0),
                counts: s.counts.name(),
                undissociated_percent: s.acid.as_ref().and_then(|a| a.at).map(|a| a.1),
                words: s.words(style),
                source: s.source.clone(),
            })
            .collect(),
        criteria: k.criteria.iter().map(|c| Criterion { criterion: c.name, met: c.met }).collect(),
        advice: k.advice(style),
    }
}

impl Checks {
    pub fn new(formula: &Formula, e: &Evaluation) -> Self {
        let style = NumberStyle::default();
        let safety = &e.safety;
        Self {
            against: safety.checked_against(),
            not_checked: safety.not_checked(),
            markets: safety.markets.iter().map(market).collect(),
            preservation: preservation(e),
            exposures: safety
                .exposures
                .iter()
                .map(|x| Exposure {
                    component: x.ask.component.clone(),
                    percent: exact(x.percent.0),
                    line: x.line.as_ref().map(|l| l.name.clone()),
                    sed_mg_kg_day: x.sed,
                    margin: x.margin,
                    arithmetic: x.steps(style),
                })
                .collect(),
            chemistry: chemistry_rows(e, formula, style)
                .into_iter()
                .map(|p| Part {
                    key: p.key,
                    rows: p.rows.into_iter().map(|r| Row { key: r.key, value: r.value }).collect(),
                    notes: p.notes,
                    source: p.source,
                })
                .collect(),
        }
    }
}
