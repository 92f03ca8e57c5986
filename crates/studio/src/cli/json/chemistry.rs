//! HLB, active matter, water activity and natural origin for scripts.

use quern_calc::evaluate::{Derived, Evaluation};
use serde::Serialize;

use super::{Missing, exact};

/// The figures; what is null has its reason in `missing`.
#[derive(Debug, Serialize)]
pub(super) struct Chemistry {
    hlb: Option<Hlb>,
    active_matter: Option<Active>,
    water_activity: Option<Activity>,
    natural_origin: Option<Natural>,
    missing: Vec<Missing>,
}

#[derive(Debug, Serialize)]
struct Hlb {
    oil_percent: String,
    emulsifier_percent: String,
    required: Option<Required>,
    present: Option<f64>,
    coverage_percent: f64,
    without_required: Vec<String>,
    without_hlb: Vec<String>,
    bases_beside_fatty_acids: Vec<String>,
    missing: Vec<Missing>,
}

#[derive(Debug, Serialize)]
struct Required {
    at: f64,
    low: f64,
    high: f64,
}

#[derive(Debug, Serialize)]
struct Active {
    percent: String,
    anionic_percent: String,
    amphoteric_percent: String,
    nonionic_percent: String,
    cationic_percent: String,
    anionic_to_amphoteric: Option<f64>,
    not_known: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Activity {
    estimate: f64,
    solutes: Vec<String>,
    without_constant: Vec<String>,
    more_than_dissolves: Vec<String>,
    not_counted: Vec<String>,
    beyond_trials: bool,
}

#[derive(Debug, Serialize)]
struct Natural {
    with_water_low_percent: f64,
    with_water_high_percent: f64,
    without_water_low_percent: Option<f64>,
    without_water_high_percent: Option<f64>,
    index_known_percent: f64,
    not_known: Vec<String>,
}

/// The value, or `None` with its reason in the list.
fn or_missing<'a, T>(
    figure: &'static str,
    value: &'a Derived<T>,
    missing: &mut Vec<Missing>,
) -> Option<&'a T> {
    value.as_ref().map_err(|why| missing.push(Missing::new(figure, why.words()))).ok()
}

/// Chemistry of a formula.
pub(super) fn chemistry(e: &Evaluation) -> Chemistry {
    let safety = &e.safety;
    let mut missing = Vec::new();
    let hlb = or_missing("hlb", &safety.hlb, &mut missing).map(|h| {
        let mut missing = Vec::new();
        Hlb {
            oil_percent: exact(h.oil.0),
            emulsifier_percent: exact(h.emulsifier.0),
            required: or_missing("required", &h.required, &mut missing).map(|r| Required {
                at: r.at,
                low: r.low,
                high: r.high,
            }),
            present: or_missing("present", &h.blend, &mut missing).copied(),
            coverage_percent: h.coverage,
            without_required: h.without_required.clone(),
            without_hlb: h.without_hlb.clone(),
            bases_beside_fatty_acids: h.neutralisers.clone(),
            missing,
        }
    });
    let active_matter =
        or_missing("active_matter", &safety.actives, &mut missing).map(|a| Active {
            percent: exact(a.total.0),
            anionic_percent: exact(a.anionic.0),
            amphoteric_percent: exact(a.amphoteric.0),
            nonionic_percent: exact(a.nonionic.0),
            cationic_percent: exact(a.cationic.0),
            anionic_to_amphoteric: a.anionic_to_amphoteric().filter(|r| r.is_finite()),
            not_known: a.unknown.clone(),
        });
    let activity = &safety.keeping.activity;
    let water_activity = or_missing("water_activity", activity, &mut missing).map(|w| Activity {
        estimate: w.aw,
        solutes: w.solutes.clone(),
        without_constant: w.ideal.clone(),
        more_than_dissolves: w.saturated.clone(),
        not_counted: w.ignored.clone(),
        beyond_trials: w.beyond,
    });
    let natural_origin =
        or_missing("natural_origin", &safety.natural, &mut missing).map(|n| Natural {
            with_water_low_percent: n.with_water,
            with_water_high_percent: n.with_water_most,
            without_water_low_percent: n.without_water,
            without_water_high_percent: n.without_water_most,
            index_known_percent: 100.0 * n.known_share,
            not_known: n.unknown.clone(),
        });
    Chemistry { hlb, active_matter, water_activity, natural_origin, missing }
}
