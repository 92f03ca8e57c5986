//! Finds a blend for a wanted grit index: which kinds, and how much of each.
//!
//! The index is concave in the loads and rises with each, so that "at least this rough" is a
//! convex set and the cheapest blend in it can be found and proved. Every set of kinds is solved
//! by Newton steps, each a small quadratic program (clarabel, an interior-point library); where a
//! rougher blend would be better still (a fixed total, or a present blend that is too rough) the
//! best point lies on an edge of the allowed loads, and the edges are searched one by one.

mod ask;
mod program;
mod reach;
mod subset;

pub use ask::{Ask, Prefer, SizeLimit};
pub use program::{Answer, Program, Row};
pub use reach::{Limit, Relaxed};

use super::blend::Grain;
use super::index::GritModel;
use super::surface::IndexSurface;
use subset::{AT_LIMIT, Aim, Box3};

/// A kind counts in a blend from this load, in % w/w of the product.
pub const KIND_FROM: f64 = 0.25;

/// Candidates at most; more sets than these give are not looked through.
pub const CANDIDATES_MAX: usize = 40;

/// An exfoliant that may be used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// Its grains; the load is that of the present blend, 0 where it is not in it.
    pub grain: Grain,
    /// Money per % w/w in 100 g of product, which is the price of a gram; `None` when unknown.
    pub cost: Option<f64>,
    /// % w/w at least when it is used; a kind counts from [`KIND_FROM`].
    pub least: f64,
    /// % w/w at most.
    pub most: f64,
    /// Stays at its present load, whatever else is chosen.
    pub held: bool,
    /// Not to be used, because the maker said so.
    pub barred: bool,
}

/// Why a candidate could not take part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LeftOut {
    /// The maker barred it.
    Barred,
    /// Too much of it, as a share, lies above the size limit.
    TooLarge(f64),
    /// No price, and the cheapest was asked for.
    NoPrice,
    /// Its grain data cannot be calculated with.
    NoData,
    /// It stands beyond [`CANDIDATES_MAX`].
    TooMany,
}

/// A blend that has the wanted index.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// % w/w of every candidate, in their order; 0 for those not used.
    pub loads: Vec<f64>,
    /// Grit index, the wanted one within 1e-6.
    pub index: f64,
    /// % w/w of all exfoliants.
    pub total: f64,
    /// Money per 100 g of product for exfoliants; `None` when a price is missing.
    pub cost: Option<f64>,
    /// Limits that it stands on: relaxing one of these would give a better blend.
    pub binding: Vec<Limit>,
    /// What was made small: money, % or squared %.
    pub value: f64,
    /// The program, linear at the solution, whose best point the solution is.
    pub program: Program,
}

/// What came of the search.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// The best blend and the next best ones with other kinds; empty when none has the index.
    pub found: Vec<Solution>,
    /// Candidates that could not take part.
    pub left_out: Vec<(usize, LeftOut)>,
    /// The least and greatest index within the limits; `None` when the limits shut out everything.
    pub reachable: Option<(f64, f64)>,
    /// When nothing was found: limits of which each alone would let the index be reached.
    pub relax: Vec<Relaxed>,
}

/// How many blends are offered.
const OFFERED: usize = 3;

/// Finds the blends that have the wanted index.
///
/// Total for any input: what cannot be used is left out and named. `density_g_ml` is that of the
/// product.
#[must_use]
pub fn solve(candidates: &[Candidate], density_g_ml: f64, model: &GritModel, ask: &Ask) -> Outcome {
    solve_while(candidates, density_g_ml, model, ask, &|| true)
}

/// As [`solve`], for as long as `go_on` says so; it is asked before each set of kinds. What comes
/// of a search that was stopped is incomplete and of no use.
#[must_use]
pub fn solve_while(
    candidates: &[Candidate],
    density_g_ml: f64,
    model: &GritModel,
    ask: &Ask,
    go_on: &dyn Fn() -> bool,
) -> Outcome {
    let mut search = Search { go_on, ..Search::new(candidates, density_g_ml, model, ask) };
    let mut found = search.best(OFFERED, f64::INFINITY);
    let (reachable, relax) = if found.is_empty() && go_on() {
        (search.reachable(), reach::what_would_help(candidates, density_g_ml, model, ask))
    } else {
        (None, Vec::new())
    };
    if let Some(first) = found.first_mut()
        && go_on()
    {
        let more = reach::what_holds(candidates, density_g_ml, model, ask, first.value);
        first.binding.extend(more);
    }
    Outcome { found, left_out: search.left_out, reachable, relax }
}

/// The best loads of exactly these kinds, those that are left out aside; `None` when they cannot
/// have the wanted index within the limits.
#[must_use]
pub fn solve_set(
    candidates: &[Candidate],
    density_g_ml: f64,
    model: &GritModel,
    ask: &Ask,
) -> Option<Solution> {
    let search = Search::new(candidates, density_g_ml, model, ask);
    let (surface, within, at) = search.set(&search.free)?;
    let aim = search.aim(&at);
    let w = subset::best(&surface, &aim, &within, ask.index)?;
    search.solution(aim.value(&w), &at, &w)
}

/// The search through sets of kinds.
pub(super) struct Search<'a> {
    candidates: &'a [Candidate],
    density: f64,
    model: &'a GritModel,
    ask: &'a Ask,
    /// Positions of those that stay and of those that may be chosen.
    held: Vec<usize>,
    free: Vec<usize>,
    /// Load that stays but has no grain data: it takes room, and the index does not see it.
    unseen: f64,
    pub left_out: Vec<(usize, LeftOut)>,
    /// Asked before each set.
    go_on: &'a dyn Fn() -> bool,
}

impl<'a> Search<'a> {
    pub(super) fn new(
        candidates: &'a [Candidate],
        density: f64,
        model: &'a GritModel,
        ask: &'a Ask,
    ) -> Self {
        let (mut held, mut free, mut left_out) = (Vec::new(), Vec::new(), Vec::new());
        let mut unseen = 0.0;
        for (i, c) in candidates.iter().enumerate() {
            if i >= CANDIDATES_MAX {
                left_out.push((i, LeftOut::TooMany));
            } else if !c.grain.is_usable() {
                left_out.push((i, LeftOut::NoData));
                if c.held && c.grain.percent > 0.0 {
                    unseen += c.grain.percent;
                }
            } else if c.held {
                held.push(i);
            } else if c.barred {
                left_out.push((i, LeftOut::Barred));
            } else if let Some(share) = too_large(c, ask.size) {
                left_out.push((i, LeftOut::TooLarge(share)));
            } else if ask.prefer == Prefer::Cheapest && c.cost.is_none() {
                left_out.push((i, LeftOut::NoPrice));
            } else {
                free.push(i);
            }
        }
        let go_on = &|| true;
        Self { candidates, density, model, ask, held, free, unseen, left_out, go_on }
    }

    /// Every set of kinds that the ask allows, as positions.
    fn sets(&self) -> Vec<Vec<usize>> {
        let held = self.held.iter().filter(|i| self.load(**i) >= KIND_FROM).count();
        let (from, to) = self.ask.kinds;
        let (from, to) = (from.saturating_sub(held), to.saturating_sub(held).min(3));
        let mut out = Vec::new();
        let free = &self.free;
        for size in from..=to {
            match size {
                0 if !self.held.is_empty() => out.push(Vec::new()),
                1 => out.extend(free.iter().map(|a| vec![*a])),
                2 => {
                    for (i, a) in free.iter().enumerate() {
                        out.extend(free.iter().skip(i + 1).map(|b| vec![*a, *b]));
                    }
                }
                3 => {
                    for (i, a) in free.iter().enumerate() {
                        for (j, b) in free.iter().enumerate().skip(i + 1) {
                            out.extend(free.iter().skip(j + 1).map(|c| vec![*a, *b, *c]));
                        }
                    }
                }
                _ => {}
            }
        }
        out
    }

    fn load(&self, i: usize) -> f64 {
        self.candidates.get(i).map_or(0.0, |c| c.grain.percent)
    }

    /// One set with those that are held: surface, bounds and positions.
    fn set(&self, chosen: &[usize]) -> Option<(IndexSurface, Box3, Vec<usize>)> {
        let at: Vec<usize> = chosen.iter().chain(&self.held).copied().collect();
        let kinds: Vec<&Candidate> = at.iter().filter_map(|i| self.candidates.get(*i)).collect();
        let grains: Vec<Grain> = kinds.iter().map(|c| c.grain).collect();
        let bound = |c: &&Candidate, free: f64| if c.held { c.grain.percent } else { free };
        let lower: Vec<f64> =
            kinds.iter().map(|c| bound(c, c.least.max(KIND_FROM).max(0.0))).collect();
        let upper: Vec<f64> = kinds.iter().map(|c| bound(c, c.most.min(100.0))).collect();
        let total = (self.ask.total.0 - self.unseen, self.ask.total.1 - self.unseen);
        let within = Box3 { lower, upper, total };
        let sound = within.lower.iter().zip(&within.upper).all(|(l, u)| l <= u)
            && within.lower.iter().sum::<f64>() <= within.total.1 + 1e-12
            && within.upper.iter().sum::<f64>() >= within.total.0 - 1e-12;
        sound.then(|| {
            (IndexSurface::new(&grains, self.density, self.model, self.ask.stage), within, at)
        })
    }

    fn aim(&self, at: &[usize]) -> Aim {
        let of = |f: &dyn Fn(&Candidate) -> f64| {
            at.iter().filter_map(|i| self.candidates.get(*i)).map(f).collect()
        };
        match self.ask.prefer {
            Prefer::Cheapest => Aim::Linear(of(&|c| c.cost.unwrap_or(0.0))),
            Prefer::Least => Aim::Linear(of(&|_| 1.0)),
            Prefer::Nearest => Aim::Near(of(&|c| c.grain.percent)),
        }
    }

    /// The best blends with different kinds, best first. Only those better than `than` are looked
    /// for.
    pub(super) fn best(&mut self, most: usize, than: f64) -> Vec<Solution> {
        let held = self.held.iter().filter(|i| self.load(**i) >= KIND_FROM).count();
        let needed = self.ask.kinds.0.saturating_sub(held);
        let mut found: Vec<(f64, usize, Vec<usize>, Vec<f64>)> = Vec::new();
        if !self.ask.index.is_finite() {
            return Vec::new();
        }
        // Sets that cannot be better than what was found already are passed over; the most
        // promising come first, so that most are.
        let mut sets: Vec<_> = self
            .sets()
            .into_iter()
            .filter_map(|chosen| {
                let (surface, within, at) = self.set(&chosen)?;
                let aim = self.aim(&at);
                let least = subset::least(&aim, &within) + self.unused(&at);
                Some((least, chosen, surface, within, at, aim))
            })
            .collect();
        sets.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.4.cmp(&b.4)));
        let mut best_values: Vec<f64> = Vec::new();
        let mut tokens: Vec<Vec<usize>> = Vec::new();
        for (least, chosen, surface, within, at, aim) in sets {
            if !(self.go_on)() {
                break;
            }
            let bar = best_values.get(most.saturating_sub(1)).copied().unwrap_or(f64::INFINITY);
            if least >= bar.min(than) {
                break;
            }
            // Rougher than all of it together, or gentler than the least of it: not in this set.
            if surface.index(&within.upper) < self.ask.index
                || surface.index(&within.lower) > self.ask.index + subset::NEAR_INDEX
            {
                continue;
            }
            let Some(w) = subset::best(&surface, &aim, &within, self.ask.index) else { continue };
            // Kinds at their least, that may only be there to be counted.
            let token: Vec<usize> = chosen
                .iter()
                .enumerate()
                .filter(|(k, _)| {
                    matches!((w.get(*k), within.lower.get(*k)), (Some(x), Some(l)) if x - l < AT_LIMIT)
                })
                .map(|(_, i)| *i)
                .collect();
            let value = aim.value(&w) + self.unused(&at);
            if token.is_empty() || chosen.len() <= needed.max(1) {
                let place = best_values.partition_point(|v| *v <= value);
                best_values.insert(place, value);
            }
            tokens.push(token);
            found.push((value, chosen.len(), at, w));
        }
        // Such a blend is none of its own beside one without the kind that is as good.
        let idle: Vec<bool> = found
            .iter()
            .zip(&tokens)
            .map(|((value, kinds, at, _), token)| {
                *kinds > needed.max(1)
                    && token.iter().any(|t| {
                        found.iter().any(|(v, _, other, _)| {
                            *v <= value + 1e-9 * (1.0 + value.abs())
                                && !other.contains(t)
                                && other.iter().all(|i| at.contains(i))
                        })
                    })
            })
            .collect();
        let mut idle = idle.into_iter();
        found.retain(|_| !idle.next().unwrap_or(false));
        // By value; among equals the blend of fewer kinds, then the order of the candidates.
        found.sort_by(|a, b| {
            let same = (a.0 - b.0).abs() <= 1e-9 * (1.0 + a.0.abs());
            let order = if same { a.1.cmp(&b.1) } else { a.0.total_cmp(&b.0) };
            order.then_with(|| a.2.cmp(&b.2))
        });
        found
            .into_iter()
            .take(most)
            .filter_map(|(value, _, at, w)| self.solution(value, &at, &w))
            .collect()
    }

    /// What leaving the others out adds to the distance from the present blend.
    fn unused(&self, at: &[usize]) -> f64 {
        if self.ask.prefer != Prefer::Nearest {
            return 0.0;
        }
        let others = self.candidates.iter().enumerate().filter(|(i, _)| !at.contains(i));
        others.map(|(_, c)| 0.5 * c.grain.percent * c.grain.percent).sum()
    }

    fn solution(&self, value: f64, at: &[usize], w: &[f64]) -> Option<Solution> {
        let grains: Vec<Grain> =
            at.iter().filter_map(|i| self.candidates.get(*i)).map(|c| c.grain).collect();
        let surface = IndexSurface::new(&grains, self.density, self.model, self.ask.stage);
        let chosen: Vec<usize> = at.iter().copied().filter(|i| !self.held.contains(i)).collect();
        let (_, within, _) = self.set(&chosen)?;
        let mut loads = vec![0.0; self.candidates.len()];
        for (i, x) in at.iter().zip(w) {
            if let Some(place) = loads.get_mut(*i) {
                *place = *x;
            }
        }
        let mut slope = Vec::new();
        let index = surface.gradient(w, &mut slope);
        let level = slope.iter().zip(w).map(|(g, w)| g * w).sum();
        let cost = match self.aim(at) {
            Aim::Linear(c) => c,
            Aim::Near(to) => w.iter().zip(&to).map(|(w, a)| w - a).collect(),
        };
        let program = Program {
            cost,
            quadratic: Vec::new(),
            rows: vec![
                Row { coefficients: slope, low: level, high: level },
                Row { coefficients: vec![1.0; w.len()], low: within.total.0, high: within.total.1 },
            ],
            lower: within.lower.clone(),
            upper: within.upper.clone(),
        };
        let money = at.iter().zip(w).try_fold(0.0, |sum, (i, w)| {
            self.candidates.get(*i).and_then(|c| c.cost).map(|c| sum + c * w)
        });
        Some(Solution {
            total: w.iter().sum(),
            binding: self.bounds_met(at, w, &within),
            loads,
            index,
            cost: money,
            value,
            program,
        })
    }

    /// Bounds on single loads and on their sum that the blend stands on.
    fn bounds_met(&self, at: &[usize], w: &[f64], within: &Box3) -> Vec<Limit> {
        let total: f64 = w.iter().sum();
        let mut out = Vec::new();
        if within.total.1 - total < AT_LIMIT * 10.0 {
            out.push(Limit::TotalMost(within.total.1));
        } else if total - within.total.0 < AT_LIMIT * 10.0 && within.total.0 > 0.0 {
            out.push(Limit::TotalLeast(within.total.0));
        }
        for (i, (x, (lo, hi))) in
            at.iter().zip(w.iter().zip(within.lower.iter().zip(&within.upper)))
        {
            if self.held.contains(i) {
                out.push(Limit::Held(*i));
            } else if hi - x < AT_LIMIT {
                out.push(Limit::Most(*i, *hi));
            } else if x - lo < AT_LIMIT {
                out.push(Limit::Least(*i, *lo));
            }
        }
        out
    }

    /// Whether some set of kinds can have the wanted index within the limits.
    pub(super) fn can_reach(&self) -> bool {
        self.sets().iter().any(|chosen| {
            let Some((surface, within, _)) = self.set(chosen) else { return false };
            subset::reach(&surface, &within)
                .is_some_and(|(lo, hi)| lo <= self.ask.index && self.ask.index <= hi)
        })
    }

    /// The least and greatest index of any set within the limits; there may be gaps between.
    pub(super) fn reachable(&self) -> Option<(f64, f64)> {
        let mut out: Option<(f64, f64)> = None;
        for chosen in self.sets() {
            if !(self.go_on)() {
                break;
            }
            let Some((surface, within, _)) = self.set(&chosen) else { continue };
            let Some((lo, hi)) = subset::reach(&surface, &within) else { continue };
            out = Some(out.map_or((lo, hi), |(a, b)| (a.min(lo), b.max(hi))));
        }
        out
    }
}

fn too_large(c: &Candidate, limit: Option<SizeLimit>) -> Option<f64> {
    let limit = limit?;
    let share = c.grain.size.fraction_above(limit.um);
    (share > limit.tolerance).then_some(share)
}

#[cfg(test)]
mod tests;
