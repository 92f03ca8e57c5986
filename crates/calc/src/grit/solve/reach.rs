//! Which limits hold a blend back, and which would have to give way.

use super::{Ask, Candidate, Search};
use crate::grit::index::GritModel;

/// A limit of the ask.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limit {
    /// All exfoliants together at most this, % w/w.
    TotalMost(f64),
    /// All exfoliants together at least this, % w/w.
    TotalLeast(f64),
    /// One candidate at most this, % w/w.
    Most(usize, f64),
    /// One candidate at least this when used, % w/w.
    Least(usize, f64),
    /// One candidate stays as it is.
    Held(usize),
    /// The size limit.
    Size,
    /// So many kinds at least.
    KindsLeast(usize),
    /// So many kinds at most.
    KindsMost(usize),
    /// What the maker barred.
    Barred,
    /// Candidates without a price.
    NoPrice,
}

/// A limit that alone would let the wanted index be reached if it gave way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Relaxed {
    /// The limit.
    pub limit: Limit,
    /// The value that it would need, % w/w, um or kinds by its limit; `None` when it has to go.
    pub to: Option<f64>,
}

/// A gain below this share is no gain.
const GAIN: f64 = 1e-3;

/// The ask without one of its wider limits, with the candidates to match.
fn without(candidates: &[Candidate], ask: &Ask, limit: Limit) -> (Vec<Candidate>, Ask) {
    let mut free = candidates.to_vec();
    let mut ask = *ask;
    match limit {
        Limit::TotalMost(_) => ask.total.1 = 100.0,
        Limit::TotalLeast(_) => ask.total.0 = 0.0,
        Limit::Size => ask.size = None,
        Limit::KindsLeast(_) => ask.kinds.0 = 1,
        Limit::KindsMost(_) => ask.kinds.1 = 3,
        Limit::Barred => free.iter_mut().for_each(|c| c.barred = false),
        Limit::Most(i, _) => {
            if let Some(c) = free.get_mut(i) {
                c.most = 100.0;
            }
        }
        Limit::Least(i, _) => {
            if let Some(c) = free.get_mut(i) {
                c.least = 0.0;
            }
        }
        Limit::Held(i) => {
            if let Some(c) = free.get_mut(i) {
                c.held = false;
            }
        }
        // A price cannot be made up; the least mass stands in to see whether it matters.
        Limit::NoPrice => free.iter_mut().for_each(|c| c.cost = c.cost.or(Some(0.0))),
    }
    (free, ask)
}

/// Limits on the choice of kinds that keep a better blend away.
pub(super) fn what_holds(
    candidates: &[Candidate],
    density: f64,
    model: &GritModel,
    ask: &Ask,
    value: f64,
) -> Vec<Limit> {
    let mut asked = Vec::new();
    if ask.size.is_some() {
        asked.push(Limit::Size);
    }
    if ask.kinds.0 > 1 {
        asked.push(Limit::KindsLeast(ask.kinds.0));
    }
    if ask.kinds.1 < 3 {
        asked.push(Limit::KindsMost(ask.kinds.1));
    }
    if candidates.iter().any(|c| c.barred) {
        asked.push(Limit::Barred);
    }
    asked.retain(|limit| {
        let (free, freed) = without(candidates, ask, *limit);
        let better = value - GAIN * value.abs().max(1e-9);
        let best = Search::new(&free, density, model, &freed).best(1, better);
        best.first().is_some_and(|b| b.value < better)
    });
    asked
}

/// Limits of which each alone would let the index be reached.
pub(super) fn what_would_help(
    candidates: &[Candidate],
    density: f64,
    model: &GritModel,
    ask: &Ask,
) -> Vec<Relaxed> {
    if !ask.index.is_finite() {
        return Vec::new();
    }
    let mut limits = vec![Limit::TotalMost(ask.total.1)];
    if ask.total.0 > 0.0 {
        limits.push(Limit::TotalLeast(ask.total.0));
    }
    limits.extend([
        Limit::Size,
        Limit::KindsLeast(ask.kinds.0),
        Limit::KindsMost(ask.kinds.1),
        Limit::Barred,
        Limit::NoPrice,
    ]);
    for (i, c) in candidates.iter().enumerate() {
        if c.held {
            limits.push(Limit::Held(i));
        } else if c.most < 100.0 {
            limits.push(Limit::Most(i, c.most));
        }
    }
    // Set by set: between the ranges of two sets there may be a gap.
    let reaches =
        |free: &[Candidate], ask: &Ask| Search::new(free, density, model, ask).can_reach();
    limits
        .into_iter()
        .filter_map(|limit| {
            let (free, freed) = without(candidates, ask, limit);
            if (free == candidates && freed == *ask) || !reaches(&free, &freed) {
                return None;
            }
            let to = match limit {
                Limit::TotalMost(now) => Some(halve(now, 100.0, |total| {
                    reaches(&free, &Ask { total: (ask.total.0.min(total), total), ..*ask })
                })),
                Limit::TotalLeast(now) => Some(halve(now, 0.0, |total| {
                    reaches(&free, &Ask { total: (total, ask.total.1), ..*ask })
                })),
                Limit::Most(i, now) => Some(halve(now, 100.0, |most| {
                    let mut free = free.clone();
                    if let Some(c) = free.get_mut(i) {
                        c.most = most;
                    }
                    reaches(&free, ask)
                })),
                Limit::KindsLeast(now) => (1..now).rev().find_map(|least| {
                    let ask = Ask { kinds: (least, ask.kinds.1), ..*ask };
                    reaches(&free, &ask).then_some(least as f64)
                }),
                Limit::Size => smallest_size(candidates, ask, &reaches),
                _ => None,
            };
            Some(Relaxed { limit, to })
        })
        .collect()
}

/// The smallest size limit that would do, um, at the tolerance as it is.
fn smallest_size(
    candidates: &[Candidate],
    ask: &Ask,
    reaches: &impl Fn(&[Candidate], &Ask) -> bool,
) -> Option<f64> {
    let limit = ask.size?;
    let mut sizes: Vec<f64> = candidates
        .iter()
        .filter(|c| c.grain.is_usable())
        .map(|c| libm::ceil(c.grain.size.quantile_um(1.0 - limit.tolerance) + 0.5))
        .filter(|um| um.is_finite() && *um > limit.um)
        .collect();
    sizes.sort_by(f64::total_cmp);
    sizes.into_iter().find(|um| {
        let size = Some(super::SizeLimit { um: *um, ..limit });
        reaches(candidates, &Ask { size, ..*ask })
    })
}

/// The value nearest to `no` at which the test holds, to 0.01, given that it holds at `yes`.
fn halve(no: f64, yes: f64, holds: impl Fn(f64) -> bool) -> f64 {
    let (mut no, mut yes) = (no, yes);
    if !no.is_finite() {
        return yes;
    }
    while (yes - no).abs() > 0.005 {
        let middle = 0.5 * (no + yes);
        if holds(middle) { yes = middle } else { no = middle }
    }
    yes
}
