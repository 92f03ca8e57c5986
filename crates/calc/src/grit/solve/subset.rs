//! The best loads of one set of kinds.

use super::program::{Program, Row};
use crate::grit::surface::IndexSurface;

/// What is to be small.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Aim {
    /// The sum of loads times these, per % w/w.
    Linear(Vec<f64>),
    /// The squared distance from these loads.
    Near(Vec<f64>),
}

impl Aim {
    pub(super) fn value(&self, w: &[f64]) -> f64 {
        match self {
            Self::Linear(c) => c.iter().zip(w).map(|(c, w)| c * w).sum(),
            Self::Near(at) => at.iter().zip(w).map(|(a, w)| 0.5 * (w - a) * (w - a)).sum(),
        }
    }

    fn gradient(&self, w: &[f64]) -> Vec<f64> {
        match self {
            Self::Linear(c) => c.clone(),
            Self::Near(at) => at.iter().zip(w).map(|(a, w)| w - a).collect(),
        }
    }
}

/// A value that no allowed loads can be below, whatever the index.
pub(super) fn least(aim: &Aim, within: &Box3) -> f64 {
    match aim {
        Aim::Linear(c) => c
            .iter()
            .zip(within.lower.iter().zip(&within.upper))
            .map(|(c, (l, u))| (c * l).min(c * u))
            .sum(),
        Aim::Near(at) => aim.value(&clipped(at, within)),
    }
}

/// Loads that are allowed: bounds on each, and on their sum.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Box3 {
    pub lower: Vec<f64>,
    pub upper: Vec<f64>,
    pub total: (f64, f64),
}

/// Loads this close to a limit stand on it, in % w/w; far below what a bench can weigh.
pub(super) const AT_LIMIT: f64 = 1e-5;

/// Values this close to a bound are put on it; small enough that a sum of them stays within 1e-6.
const ON_LIMIT: f64 = 1e-7;

/// How near the index must come.
pub(super) const NEAR_INDEX: f64 = 1e-7;

/// Steps before a set of kinds is given up.
const STEPS: usize = 40;

/// Steps along the surface; beyond these nothing is gained that a bench could weigh.
const SLIDES: usize = 16;

/// The best loads whose index is `target`; `None` when the set cannot reach it.
pub(super) fn best(
    surface: &IndexSurface,
    aim: &Aim,
    within: &Box3,
    target: f64,
) -> Option<Vec<f64>> {
    // At least the target: a convex set, as the index is concave. Its best point has the target
    // itself unless a rougher blend is better, as with a fixed total or a rough present blend.
    if let Some(w) = at_least(surface, aim, within, target) {
        if (surface.index(&w) - target).abs() <= 1e-6 {
            return Some(w);
        }
    } else {
        return None;
    }
    rougher_is_better(surface, aim, within, target)
}

/// Newton steps on the conditions of optimality, each a quadratic program with the index made
/// linear; earlier linear pieces stay, since a concave index lies below all of them.
fn at_least(surface: &IndexSurface, aim: &Aim, within: &Box3, target: f64) -> Option<Vec<f64>> {
    let n = within.lower.len();
    let mut w = first(surface, within, target);
    let mut slope = Vec::new();
    let mut multiplier = 0.0;
    let mut pieces: Vec<Row> = Vec::new();
    for step in 0..STEPS {
        let index = surface.gradient(&w, &mut slope);
        let at: f64 = slope.iter().zip(&w).map(|(g, w)| g * w).sum();
        let piece =
            Row { coefficients: slope.clone(), low: target - index + at, high: f64::INFINITY };
        pieces.insert(0, piece);
        // The latest touch where the search is; older ones would only cost time.
        pieces.truncate(3);
        let mut quadratic: Vec<f64> =
            surface.hessian(&w).into_iter().map(|h| -multiplier * h).collect();
        let mut cost = aim.gradient(&w);
        if matches!(aim, Aim::Near(_)) {
            for k in 0..n {
                if let Some(q) = quadratic.get_mut(k * n + k) {
                    *q += 1.0;
                }
            }
        }
        // In terms of the loads themselves rather than of the step.
        for (k, c) in cost.iter_mut().enumerate() {
            let row = quadratic.iter().skip(k * n).take(n);
            *c -= row.zip(&w).map(|(q, w)| q * w).sum::<f64>();
        }
        // The programs see an objective of about 1 whatever the currency.
        let size = cost.iter().chain(&quadratic).fold(0.0_f64, |m, c| m.max(c.abs()));
        let size = if size > 0.0 { size } else { 1.0 };
        let mut rows = pieces.clone();
        rows.push(total_row(within));
        let program = Program {
            cost: cost.iter().map(|c| c / size).collect(),
            quadratic: quadratic.iter().map(|q| q / size).collect(),
            rows,
            lower: within.lower.clone(),
            upper: within.upper.clone(),
        };
        let answer = program.solve()?;
        multiplier = (answer.first_row * size).max(0.0);
        let next = snapped(&answer.x, within);
        let moved = next.iter().zip(&w).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        w = next;
        // Newton's error falls with the square of its step.
        if step > 0 && moved < 3e-5 {
            break;
        }
    }
    let short = target - surface.index(&w);
    if short > NEAR_INDEX {
        w = lifted(surface, within, &w, target)?;
    }
    Some(w)
}

/// Where to begin: on the way from the least loads to the most, where the index is the target.
fn first(surface: &IndexSurface, within: &Box3, target: f64) -> Vec<f64> {
    let at = |t: f64| -> Vec<f64> {
        within.lower.iter().zip(&within.upper).map(|(l, u)| l + t * (u - l)).collect()
    };
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..16 {
        let middle = 0.5 * (low + high);
        if surface.index(&at(middle)) < target { low = middle } else { high = middle }
    }
    at(high)
}

/// Raises one load that is free to move until the last of the index is there; where the total has
/// no room left, another gives way for it.
fn lifted(surface: &IndexSurface, within: &Box3, w: &[f64], target: f64) -> Option<Vec<f64>> {
    let mut slope = Vec::new();
    let short = target - surface.gradient(w, &mut slope);
    let room = |k: usize| Some(within.upper.get(k)? - w.get(k)?);
    let spare = |k: usize| Some(w.get(k)? - within.lower.get(k)?);
    let by_slope = |a: &(usize, f64), b: &(usize, f64)| a.1.total_cmp(&b.1);
    let each = || slope.iter().copied().enumerate();
    let (up, gain) =
        each().filter(|(k, _)| room(*k).is_some_and(|r| r > AT_LIMIT)).max_by(by_slope)?;
    let left = within.total.1 - w.iter().sum::<f64>();
    let mut out = w.to_vec();
    let mut shift = |k: usize, by: f64| {
        if let Some(x) = out.get_mut(k) {
            *x += by;
        }
    };
    // The library stops within a hair of the optimum; more than that is a failure, not a hair.
    let hair = |add: f64| (0.0..1e-3).contains(&add);
    if hair(short / gain) && short / gain <= left {
        shift(up, short / gain);
        return Some(out);
    }
    let (down, loss) = each()
        .filter(|(k, _)| *k != up && spare(*k).is_some_and(|r| r > AT_LIMIT))
        .min_by(by_slope)?;
    let add = short / (gain - loss);
    if !hair(add) {
        return None;
    }
    shift(up, add);
    shift(down, -add);
    Some(out)
}

fn total_row(within: &Box3) -> Row {
    let binds = within.total.0 > within.lower.iter().sum();
    Row {
        coefficients: vec![1.0; within.lower.len()],
        low: if binds { within.total.0 } else { f64::NEG_INFINITY },
        high: within.total.1,
    }
}

/// Values within a hair of a bound are on it.
pub(super) fn snapped(x: &[f64], within: &Box3) -> Vec<f64> {
    x.iter()
        .zip(within.lower.iter().zip(&within.upper))
        .map(|(&x, (&lo, &hi))| {
            if x < lo + ON_LIMIT {
                lo
            } else if x > hi - ON_LIMIT {
                hi
            } else {
                x
            }
        })
        .collect()
}

/// The best loads at the target when rougher ones would be better still. A concave index makes
/// the set "at most the target" the outside of a convex one, so that the best point of a linear
/// aim lies on an edge of the allowed loads; edges are few and each is searched by halving.
fn rougher_is_better(
    surface: &IndexSurface,
    aim: &Aim,
    within: &Box3,
    target: f64,
) -> Option<Vec<f64>> {
    let better = |a: &Vec<f64>, b: &Vec<f64>| aim.value(a).total_cmp(&aim.value(b));
    let mut starts: Vec<Vec<f64>> = edges(within)
        .into_iter()
        .flat_map(|(from, to)| crossings(surface, &from, &to, target))
        .collect();
    if let Aim::Near(at) = aim {
        // A distance may be least off the edges, and there may be several hollows: slide from every
        // edge, and from where the way to the present blend crosses.
        starts.sort_by(better);
        starts.truncate(2);
        let way = crossings(surface, &within.lower, &clipped(at, within), target);
        starts.extend(way.into_iter().filter(|w| total_fits(within, w)));
        let slid: Vec<_> =
            starts.iter().filter_map(|s| slide(surface, aim, within, s, target)).collect();
        starts.extend(slid);
    }
    starts.into_iter().min_by(better)
}

fn total_fits(within: &Box3, w: &[f64]) -> bool {
    let total: f64 = w.iter().sum();
    total <= within.total.1 + 1e-9 && total >= within.total.0 - 1e-9
}

fn clipped(w: &[f64], within: &Box3) -> Vec<f64> {
    w.iter()
        .zip(within.lower.iter().zip(&within.upper))
        .map(|(w, (l, u))| w.clamp(*l, *u))
        .collect()
}

/// Steps along the surface of the target towards the aim, each a program within a shrinking
/// neighbourhood.
fn slide(
    surface: &IndexSurface,
    aim: &Aim,
    within: &Box3,
    start: &[f64],
    target: f64,
) -> Option<Vec<f64>> {
    let n = start.len();
    let mut w = start.to_vec();
    let mut reach = 4.0;
    let mut slope = Vec::new();
    for _ in 0..SLIDES {
        let index = surface.gradient(&w, &mut slope);
        let at: f64 = slope.iter().zip(&w).map(|(g, w)| g * w).sum();
        let level = target - index + at;
        let program = Program {
            cost: match aim {
                Aim::Linear(c) => c.clone(),
                Aim::Near(at) => at.iter().map(|a| -a).collect(),
            },
            quadratic: match aim {
                Aim::Linear(_) => Vec::new(),
                Aim::Near(_) => {
                    (0..n * n).map(|i| if i / n == i % n { 1.0 } else { 0.0 }).collect()
                }
            },
            rows: vec![
                Row { coefficients: slope.clone(), low: level, high: level },
                total_row(within),
            ],
            lower: within.lower.iter().zip(&w).map(|(l, w)| l.max(w - reach)).collect(),
            upper: within.upper.iter().zip(&w).map(|(u, w)| u.min(w + reach)).collect(),
        };
        // Back onto the surface.
        let next = program.solve().and_then(|a| onto(surface, aim, within, &a.x, target));
        match next.filter(|next| aim.value(next) < aim.value(&w)) {
            Some(next) => w = next,
            None => reach *= 0.4,
        }
        if reach < 1e-6 {
            break;
        }
    }
    Some(w)
}

/// The best point on the surface near `x`, when one load gives way or two exchange.
fn onto(
    surface: &IndexSurface,
    aim: &Aim,
    within: &Box3,
    x: &[f64],
    target: f64,
) -> Option<Vec<f64>> {
    let x = clipped(x, within);
    let n = x.len();
    let pairs = (0..n).flat_map(|k| (0..n).filter(move |j| *j != k).map(move |j| (k, Some(j))));
    let mut slope = Vec::new();
    (0..n)
        .map(|k| (k, None))
        .chain(pairs)
        .filter_map(|(up, down)| {
            let mut w = x.clone();
            for _ in 0..12 {
                let off = target - surface.gradient(&w, &mut slope);
                if off.abs() < 0.1 * NEAR_INDEX {
                    break;
                }
                let steep = slope.get(up)? - down.map_or(Some(0.0), |j| slope.get(j).copied())?;
                if steep.abs() < 1e-12 {
                    return None;
                }
                *w.get_mut(up)? += off / steep;
                if let Some(x) = down.and_then(|j| w.get_mut(j)) {
                    *x -= off / steep;
                }
            }
            let fits = w
                .iter()
                .zip(within.lower.iter().zip(&within.upper))
                .all(|(w, (l, u))| *w >= l - 1e-9 && *w <= u + 1e-9)
                && total_fits(within, &w)
                && (surface.index(&w) - target).abs() < NEAR_INDEX;
            fits.then_some(w)
        })
        .min_by(|a, b| aim.value(a).total_cmp(&aim.value(b)))
}

/// The points of a segment whose index is the target: at most two, as the index is concave on it.
fn crossings(surface: &IndexSurface, from: &[f64], to: &[f64], target: f64) -> Vec<Vec<f64>> {
    let at = |t: f64| -> Vec<f64> { from.iter().zip(to).map(|(a, b)| a + t * (b - a)).collect() };
    let index = |t: f64| surface.index(&at(t)) - target;
    // Golden section finds the top of the segment.
    let (mut a, mut b) = (0.0, 1.0);
    for _ in 0..40 {
        let (l, r) = (a + 0.381_966 * (b - a), a + 0.618_034 * (b - a));
        if index(l) < index(r) { a = l } else { b = r }
    }
    let top = [0.0, 1.0, 0.5 * (a + b)]
        .into_iter()
        .max_by(|x, y| index(*x).total_cmp(&index(*y)))
        .unwrap_or(0.0);
    let mut out = Vec::new();
    for end in [0.0, 1.0] {
        if index(top) < 0.0 || index(end) > 0.0 {
            continue;
        }
        let (mut low, mut high) = (end, top);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if index(middle) < 0.0 { low = middle } else { high = middle }
        }
        out.push(at(high));
    }
    out
}

/// The edges of the allowed loads: one load moves between its bounds as far as the total lets it,
/// or two exchange on a bound of the total, while the others stand on bounds.
fn edges(within: &Box3) -> Vec<(Vec<f64>, Vec<f64>)> {
    let n = within.lower.len();
    let mut out = Vec::new();
    for corner in 0..1_usize.checked_shl(u32::try_from(n).unwrap_or(0)).unwrap_or(0) {
        // A load that cannot move has one side only.
        let fixed = |k: usize| within.lower.get(k) == within.upper.get(k);
        if (0..n).any(|k| corner >> k & 1 == 1 && fixed(k)) {
            continue;
        }
        let base: Vec<f64> = (0..n)
            .map(|k| {
                let side = if corner >> k & 1 == 1 { &within.upper } else { &within.lower };
                side.get(k).copied().unwrap_or(0.0)
            })
            .collect();
        for k in 0..n {
            // Each edge once: from the corner where its load is at the lower bound.
            if corner >> k & 1 == 1 {
                continue;
            }
            let rest: f64 = base.iter().enumerate().filter(|(j, _)| *j != k).map(|(_, w)| w).sum();
            let bounds = (within.lower.get(k), within.upper.get(k));
            let (Some(lo), Some(hi)) = bounds else { continue };
            let (lo, hi) = (lo.max(within.total.0 - rest), hi.min(within.total.1 - rest));
            if lo <= hi {
                out.push((put(&base, k, lo), put(&base, k, hi)));
            }
            for j in (k + 1..n).filter(|j| corner >> j & 1 == 0) {
                let (Some(lj), Some(uj)) = (within.lower.get(j), within.upper.get(j)) else {
                    continue;
                };
                let (Some(lk), Some(uk)) = bounds else { continue };
                let rest: f64 = base
                    .iter()
                    .enumerate()
                    .filter(|(i, _)| *i != k && *i != j)
                    .map(|(_, w)| w)
                    .sum();
                for total in [within.total.0, within.total.1] {
                    let both = total - rest;
                    let (lo, hi) = (lk.max(both - uj), uk.min(both - lj));
                    if lo <= hi {
                        let end = |x: f64| put(&put(&base, k, x), j, both - x);
                        out.push((end(lo), end(hi)));
                    }
                }
            }
        }
    }
    out
}

fn put(base: &[f64], k: usize, value: f64) -> Vec<f64> {
    let mut out = base.to_vec();
    if let Some(x) = out.get_mut(k) {
        *x = value;
    }
    out
}

/// The least and greatest index within the allowed loads; `None` when nothing is allowed.
///
/// A concave index is least on a corner, which is an end of an edge, and greatest where Newton
/// steps come to rest.
pub(super) fn reach(surface: &IndexSurface, within: &Box3) -> Option<(f64, f64)> {
    let ends = edges(within);
    let corners = || ends.iter().flat_map(|(a, b)| [a, b]);
    let least = corners().map(|w| surface.index(w)).fold(f64::INFINITY, f64::min);
    if !least.is_finite() {
        return None;
    }
    let start = corners().max_by(|a, b| surface.index(a).total_cmp(&surface.index(b)))?;
    let mut w = start.clone();
    let mut top = surface.index(&w);
    let mut slope = Vec::new();
    for _ in 0..8 {
        surface.gradient(&w, &mut slope);
        let quadratic: Vec<f64> = surface.hessian(&w).into_iter().map(|h| -h).collect();
        let n = w.len();
        let cost: Vec<f64> = slope
            .iter()
            .enumerate()
            .map(|(k, g)| {
                let row = quadratic.iter().skip(k * n).take(n);
                -g - row.zip(&w).map(|(q, w)| q * w).sum::<f64>()
            })
            .collect();
        let program = Program {
            cost,
            quadratic,
            rows: vec![total_row(within)],
            lower: within.lower.clone(),
            upper: within.upper.clone(),
        };
        let Some(answer) = program.solve() else { break };
        let next = snapped(&answer.x, within);
        let index = surface.index(&next);
        if index <= top * (1.0 + 1e-9) {
            break;
        }
        (w, top) = (next, index);
    }
    Some((least, top))
}
