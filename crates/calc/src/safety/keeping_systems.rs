//! Which preservatives a product holds, and whether each counts at its pH and amount.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::keeping::{AcidHere, Band, Counts, System};
use super::preservation::{ActiveAcid, Preservative, Preservatives};
use crate::chemistry::acid::undissociated;
use crate::chemistry::molar::acid_factor;
use crate::evaluate::Opened;
use crate::formula::{Component, Formula, Function, LineId, Material, Span};
use crate::quantity::Percent;
use crate::rules::Rules;

/// Preservatives of the product, by amount.
pub(super) fn systems(
    formula: &Formula,
    opened: &Opened<'_>,
    rules: &Rules,
    ph: Option<f64>,
) -> Vec<System> {
    let mut out: Vec<System> = Vec::new();
    for component in &opened.composition.components {
        let Some(data) = rules.preservatives.of(&component.inci) else { continue };
        if component.percent.0 <= Decimal::ZERO || in_passing(opened, data, component) {
            continue;
        }
        let mut lines: BTreeMap<LineId, Percent> = BTreeMap::new();
        for source in &component.sources {
            *lines.entry(source.line).or_default() += source.percent;
        }
        let lines = most_first(lines);
        out.push(known(formula, data, component.percent, lines, ph));
    }
    // Preservatives that the data do not know, and blends that keep their make-up to themselves.
    let mut closed: BTreeMap<&str, (&Material, BTreeMap<LineId, Percent>)> = BTreeMap::new();
    for leaf in opened.leaves.iter().filter(|l| l.percent.0 > Decimal::ZERO) {
        let m = leaf.material;
        // A blend is opened only where every share is stated.
        let opened_up =
            !m.composition.is_empty() && m.composition.iter().all(|p| p.share.is_some());
        let told = if opened_up {
            m.composition.iter().any(|p| rules.preservatives.of(&p.inci).is_some())
        } else {
            rules.preservatives.of(&m.inci).is_some()
        };
        if m.function != Some(Function::Preservative) || told {
            continue;
        }
        let (of, lines) = closed.entry(m.inci.as_str()).or_insert_with(|| (m, BTreeMap::new()));
        if m.id < of.id {
            *of = m;
        }
        *lines.entry(leaf.line).or_default() += leaf.percent;
    }
    for (_, (m, lines)) in closed {
        let percent = lines.values().copied().sum();
        out.push(unknown(formula, m, percent, most_first(lines), ph, &rules.preservatives));
    }
    for system in &mut out {
        judge(system, ph.is_some());
    }
    out.sort_by(|a, b| b.percent.cmp(&a.percent).then_with(|| a.inci.cmp(&b.inci)));
    out
}

/// True for what came with something else and is too little to hold anything: the alcohol of a
/// tincture, a glycol that moistens. An acid is kept, for what its pH does.
fn in_passing(opened: &Opened<'_>, data: &Preservative, component: &Component) -> bool {
    let little = data.least.as_ref().is_some_and(|l| component.percent < l.value);
    little
        && data.acid.is_none()
        && !opened.leaves.iter().any(|l| {
            l.material.function == Some(Function::Preservative)
                && component.sources.iter().any(|s| s.line == l.line && s.material == l.material.id)
        })
}

/// True for a blend of unknown shares that names nothing but helpers.
fn helpers(material: &Material, data: &Preservatives) -> bool {
    let mut any = false;
    let names = material.inci.split(" (and) ").map(str::trim);
    names.filter_map(|n| data.of(n)).all(|p| {
        any = true;
        p.helper
    }) && any
}

/// The lines that bring something, the one that brings most first.
fn most_first(sums: BTreeMap<LineId, Percent>) -> Vec<LineId> {
    let mut lines: Vec<(LineId, Percent)> = sums.into_iter().collect();
    lines.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    lines.into_iter().map(|(line, _)| line).collect()
}

fn inside(window: Option<Span>, ph: Option<f64>) -> Option<bool> {
    let (window, ph) = (window?, ph?);
    Some(window.low.is_none_or(|l| ph >= l) && window.high.is_none_or(|h| ph <= h))
}

/// The warmest phase that one of these lines stands in.
fn warmest(formula: &Formula, lines: &[LineId]) -> Option<f64> {
    lines.iter().filter_map(|l| formula.phase_of(*l)?.temperature.warmest_c()).reduce(f64::max)
}

fn known(
    formula: &Formula,
    data: &Preservative,
    percent: Percent,
    lines: Vec<LineId>,
    ph: Option<f64>,
) -> System {
    let window = data.ph.as_ref().map(|f| f.value);
    let heat = data.heat_c.as_ref().map(|f| f.value).zip(warmest(formula, &lines));
    System {
        inci: data.inci.clone(),
        percent,
        acid: data.acid.as_ref().and_then(|a| acid_here(a, percent, ph)),
        window,
        in_window: inside(window, ph),
        heat,
        least: data.least.as_ref().map(|f| f.value),
        reach: Some(data.reach),
        helper: data.helper,
        counts: Counts::Yes,
        bound: data.bound_by_ethoxylates,
        note: data.note.clone(),
        source: data.about.provenance(),
        lines,
    }
}

fn unknown(
    formula: &Formula,
    material: &Material,
    percent: Percent,
    lines: Vec<LineId>,
    ph: Option<f64>,
    data: &Preservatives,
) -> System {
    let window = material.ph_window.as_ref().map(|f| f.value);
    let heat = material.heat_limit_c.as_ref().map(|f| f.value).zip(warmest(formula, &lines));
    let level = material.use_levels.iter().filter_map(|l| l.value.low).min();
    System {
        inci: material.inci.clone(),
        percent,
        lines,
        acid: None,
        window,
        in_window: inside(window, ph),
        heat,
        least: level,
        reach: None,
        helper: helpers(material, data),
        counts: Counts::Yes,
        bound: false,
        note: "What it reaches is not known: ask the supplier for its make-up".to_owned(),
        source: material.about.provenance(),
    }
}

fn acid_here(acid: &ActiveAcid, percent: Percent, ph: Option<f64>) -> Option<AcidHere> {
    let factor = acid_factor(&acid.added, &acid.acid, acid.moles).ok()?;
    let total = percent.times(factor);
    let at = ph.and_then(|ph| {
        let fraction = undissociated(ph, acid.pka)?;
        Some((fraction, fraction * total.to_f64()))
    });
    let band = at.map(|(_, here)| {
        if here >= acid.good.to_f64() {
            Band::Good
        } else if here >= acid.weak.to_f64() {
            Band::Weak
        } else {
            Band::Idle
        }
    });
    Some(AcidHere {
        name: acid.name.clone(),
        pka: acid.pka,
        total,
        at,
        band,
        bands: (acid.good, acid.weak),
    })
}

/// Settles whether a system counts, from its window, its acid and its amount.
fn judge(system: &mut System, ph_stated: bool) {
    let depends = system.acid.is_some() || system.window.is_some();
    let narrow =
        system.acid.is_some() || system.window.is_some_and(|w| w.high.is_some_and(|h| h < 8.0));
    if !ph_stated && depends && narrow {
        system.counts = Counts::PhUnknown;
        return;
    }
    if system.in_window == Some(false)
        || system.acid.as_ref().is_some_and(|a| a.band == Some(Band::Idle))
    {
        system.counts = Counts::Idle;
        return;
    }
    if system.helper {
        system.counts = Counts::Helps;
        return;
    }
    let weak_acid = system.acid.as_ref().is_some_and(|a| a.band == Some(Band::Weak));
    let little = system.least.is_some_and(|l| system.percent < l);
    if weak_acid || little {
        system.counts = Counts::Weakly;
    }
}
