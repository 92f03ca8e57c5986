//! Whether the blend solver overlooks anything: random asks that a known blend meets, and plain
//! grids over the loads.

use quern_calc::grit::solve::{Ask, Candidate, KIND_FROM, Prefer, solve};
use quern_calc::grit::{Grain, GritModel, IndexSurface, Stage};

use crate::grit::{BAR, size};
use crate::solve::{Case, ask, by_microlp, cases, index_of, keeps_to, may, objective};
use crate::{Lcg, near};

const MODEL: GritModel = GritModel::REFERENCE;

fn any_candidate(random: &mut Lcg) -> Candidate {
    Candidate {
        grain: Grain {
            size: size(random.log_between(50.0, 1200.0), random.between(0.1, 0.6)),
            density_g_ml: random.between(0.85, 2.6),
            hardness_mpa: random.log_between(10.0, 5000.0),
            angularity: random.between(0.0, 0.9),
            dissolves_um_per_s: (random.below(4) == 0).then(|| random.between(2.0, 20.0)),
            percent: 0.0,
        },
        cost: Some(random.log_between(0.001, 0.1)),
        least: 0.0,
        most: random.between(1.0, 10.0),
        held: false,
        barred: false,
    }
}

/// A pool of 2 to 4 kinds, an ask that a blend of 1 to 3 of them meets, and that blend's value.
fn any_ask(random: &mut Lcg) -> (Vec<Candidate>, Ask, f64) {
    let count = 2 + random.below(3);
    let mut pool: Vec<Candidate> = (0..count).map(|_| any_candidate(random)).collect();
    let held = random.below(4) == 0;
    if held {
        pool[0].held = true;
        pool[0].grain.percent = random.between(0.5, 3.0);
    }
    let mut blend: Vec<Grain> = pool.iter().map(|c| c.grain).collect();
    let kinds = 1 + random.below(3.min(count) - usize::from(held));
    for k in 0..kinds {
        let i = k + usize::from(held);
        blend[i].percent = random.between(0.3, pool[i].most);
    }
    let total: f64 = blend.iter().map(|g| g.percent).sum();
    let ask = Ask {
        index: 0.0,
        stage: [Stage::Dry, Stage::InUse][random.below(2)],
        total: if random.below(3) == 0 {
            (total, total)
        } else {
            (0.0, total * random.between(1.0, 1.5))
        },
        size: None,
        kinds: (1, 3),
        prefer: [Prefer::Cheapest, Prefer::Least][random.below(2)],
    };
    let ask = Ask { index: index_of(&blend, ask.stage), ..ask };
    let value = pool.iter().zip(&blend).map(|(c, g)| g.percent * worth(c, &ask)).sum();
    (pool, ask, value)
}

fn worth(c: &Candidate, ask: &Ask) -> f64 {
    if ask.prefer == Prefer::Cheapest { c.cost.unwrap() } else { 1.0 }
}

/// 300 random asks: every blend keeps to what was asked, its program has it for the best point by
/// microlp, and the first is no worse than the blend from which the ask was made.
#[test]
fn random_asks() {
    let mut random = Lcg(5);
    for round in 0..300 {
        let (pool, ask, known) = any_ask(&mut random);
        let what = format!("round {round}, {ask:?}, {pool:?}");
        let found = solve(&pool, BAR, &MODEL, &ask).found;
        let best = found.first().unwrap_or_else(|| panic!("nothing found: {what}"));
        assert!(best.value <= known * (1.0 + 1e-6), "{} beside {known}: {what}", best.value);
        for solution in &found {
            keeps_to(&what, &pool, solution, &ask);
            let all = || pool.iter().zip(&solution.loads);
            let chosen = all().filter(|(c, w)| !c.held && **w > 0.0);
            let loads: Vec<f64> =
                chosen.chain(all().filter(|(c, _)| c.held)).map(|(_, w)| *w).collect();
            let here = objective(&solution.program, &loads);
            let least = by_microlp(&solution.program);
            assert!((here - least).abs() <= 1e-6 * here, "{here}, microlp {least}: {what}");
        }
    }
}

/// A kind at its least may be what brings the index: the stone alone makes 22.1 at most, rice alone
/// 17.6, and the cheapest way between is the least of rice beside 1.9 % of stone.
#[test]
fn a_kind_at_its_least_is_used_where_it_is_needed() {
    let (_, rice) = may("rice", 5.0);
    let pool = vec![("rice", Candidate { least: 1.0, ..rice }), may("reference stone", 2.0)];
    let case = Case { name: "stone and rice", pool, ask: ask(24.5, (0.0, 8.0), (1, 3)) };
    let pool: Vec<Candidate> = case.pool.iter().map(|(_, c)| *c).collect();
    let found = solve(&pool, BAR, &MODEL, &case.ask).found;
    let [best] = found.as_slice() else { panic!("one blend expected: {found:?}") };
    let grid = grid_best(&case, 20).unwrap();
    near("cost", best.value, grid, 1e-9);
    near("rice", best.loads[0], 1.0, 1e-9);
}

/// The least value on a grid over the loads of every set of kinds that the case allows.
fn grid_best(case: &Case, steps: usize) -> Option<f64> {
    let pool: Vec<Candidate> = case.pool.iter().map(|(_, c)| *c).collect();
    let held: Vec<Candidate> = pool.iter().copied().filter(|c| c.held).collect();
    let free: Vec<Candidate> = pool.iter().copied().filter(|c| !c.held).collect();
    let (from, to) = case.ask.kinds;
    (1..1_usize << free.len())
        .filter(|set| {
            let kinds = set.count_ones() as usize;
            kinds <= 3 && (from..=to).contains(&(kinds + held.len()))
        })
        .filter_map(|set| {
            let chosen = (0..free.len()).filter(|i| set >> i & 1 == 1).map(|i| free[i]);
            let kinds: Vec<Candidate> = chosen.chain(held.iter().copied()).collect();
            Grid::new(&kinds, &case.ask).best(steps)
        })
        .min_by(f64::total_cmp)
}

struct Grid<'a> {
    kinds: &'a [Candidate],
    ask: &'a Ask,
    surface: IndexSurface,
    /// How many of the kinds may move; they come first.
    free: usize,
}

impl<'a> Grid<'a> {
    fn new(kinds: &'a [Candidate], ask: &'a Ask) -> Self {
        let grains: Vec<Grain> = kinds.iter().map(|c| c.grain).collect();
        let surface = IndexSurface::new(&grains, BAR, &MODEL, ask.stage);
        Self { kinds, ask, surface, free: kinds.iter().filter(|c| !c.held).count() }
    }

    /// All loads but those found from the index, and from the total where that is fixed, go through
    /// a grid with both of their limits.
    fn best(&self, steps: usize) -> Option<f64> {
        let fixed = self.ask.total.0 == self.ask.total.1;
        let walked = self.free.checked_sub(if fixed { 2 } else { 1 })?;
        let places = (steps + 1).pow(walked as u32);
        let mut best: Option<f64> = None;
        for place in 0..places {
            let mut loads: Vec<f64> = self.kinds.iter().map(|c| c.grain.percent).collect();
            let mut rest = place;
            for (k, load) in loads.iter_mut().enumerate().take(walked) {
                let (low, high) = self.limits(k);
                *load = low + (high - low) * (rest % (steps + 1)) as f64 / steps as f64;
                rest /= steps + 1;
            }
            let pairs = if fixed {
                self.exchanges(&mut loads, walked, steps)
            } else {
                self.rises(&mut loads, walked)
            };
            best = pairs.into_iter().chain(best).min_by(f64::total_cmp);
        }
        best
    }

    fn limits(&self, k: usize) -> (f64, f64) {
        (self.kinds[k].least.max(KIND_FROM), self.kinds[k].most)
    }

    fn value(&self, loads: &[f64]) -> f64 {
        self.kinds.iter().zip(loads).map(|(c, w)| worth(c, self.ask) * w).sum()
    }

    /// The value where load `k` brings the index, the total being free.
    fn rises(&self, loads: &mut [f64], k: usize) -> Vec<f64> {
        let (mut low, mut high) = self.limits(k);
        let short = |loads: &mut [f64], w: f64| {
            loads[k] = w;
            self.surface.index(loads) - self.ask.index
        };
        if short(loads, low) > 0.0 || short(loads, high) < 0.0 {
            return Vec::new();
        }
        for _ in 0..30 {
            let middle = 0.5 * (low + high);
            if short(loads, middle) < 0.0 { low = middle } else { high = middle }
        }
        let total: f64 = loads.iter().sum();
        let fits = total >= self.ask.total.0 && total <= self.ask.total.1;
        if fits { vec![self.value(loads)] } else { Vec::new() }
    }

    /// The values where loads `k` and `k + 1`, exchanged at the fixed total, bring the index.
    fn exchanges(&self, loads: &mut [f64], k: usize, steps: usize) -> Vec<f64> {
        loads[k] = 0.0;
        loads[k + 1] = 0.0;
        let both = self.ask.total.0 - loads.iter().sum::<f64>();
        let ((a, b), (c, d)) = (self.limits(k), self.limits(k + 1));
        let (from, to) = (a.max(both - d), b.min(both - c));
        if from > to {
            return Vec::new();
        }
        let short = |loads: &mut [f64], w: f64| {
            loads[k] = w;
            loads[k + 1] = both - w;
            self.surface.index(loads) - self.ask.index
        };
        let mut out = Vec::new();
        let mut low = (from, short(loads, from));
        for step in 1..=steps {
            let at = from + (to - from) * step as f64 / steps as f64;
            let high = (at, short(loads, at));
            if low.1 * high.1 <= 0.0 && low.1 != high.1 {
                // Straight between two near points of the grid; 0.5 % is allowed below.
                let cross = low.0 + (high.0 - low.0) * low.1 / (low.1 - high.1);
                short(loads, cross);
                out.push(self.value(loads));
            }
            low = high;
        }
        out
    }
}

/// Three cases, every set of kinds that they allow: no point of the grid is better by more than
/// 0.5 %, and the grid comes near enough to the solver's blend to have seen a better one.
#[test]
fn nothing_on_a_grid_is_better() {
    let all = cases();
    for (name, steps) in [
        ("up to three of eight, little of each", 20),
        ("two stay, least", 40),
        ("in use, fixed total", 60),
    ] {
        let case = all.iter().find(|c| c.name == name).unwrap();
        let best = case.found()[0].value;
        let grid = grid_best(case, steps).unwrap();
        assert!(best <= grid * 1.005, "{name}: {best}, on the grid {grid}");
        assert!(grid <= best * 1.02, "{name}: the grid is too coarse, {grid} beside {best}");
    }
}
