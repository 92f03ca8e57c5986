#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::float_cmp)]
use super::*;
use crate::grit::sizes::GrainSize;
use crate::grit::surface::Stage;
use proptest::prelude::*;

fn candidate(d50: f64, sigma: f64, rho: f64, h: f64, a: f64, cost: f64, most: f64) -> Candidate {
    Candidate {
        grain: Grain {
            size: GrainSize::known(d50, sigma),
            density_g_ml: rho,
            hardness_mpa: h,
            angularity: a,
            dissolves_um_per_s: None,
            percent: 0.0,
        },
        cost: Some(cost),
        least: 0.0,
        most,
        held: false,
        barred: false,
    }
}

fn stone(most: f64) -> Candidate {
    candidate(299.0, 0.313, 1.35, 250.0, 0.6, 0.012, most)
}

fn beads(most: f64) -> Candidate {
    candidate(354.0, 0.21, 0.90, 15.0, 0.0, 0.040, most)
}

fn fine(most: f64) -> Candidate {
    candidate(120.0, 0.40, 1.35, 250.0, 0.6, 0.014, most)
}

fn ask(index: f64, total: (f64, f64)) -> Ask {
    Ask { index, stage: Stage::Dry, total, size: None, kinds: (1, 3), prefer: Prefer::Cheapest }
}

fn run(candidates: &[Candidate], ask: &Ask) -> Outcome {
    solve(candidates, 1.15, &GritModel::REFERENCE, ask)
}

// Worked example, computed apart from this code: reference stone (12 a kg, at most 5 %), beads
// (40), fine stone (14), at most 8 % in all, index 25.
#[test]
fn the_cheapest_blend_is_the_worked_one() {
    let out = run(&[stone(5.0), beads(5.0), fine(5.0)], &ask(25.0, (0.0, 8.0)));
    let best = &out.found[0];
    assert!((best.loads[0] - 2.287).abs() < 5e-4, "{:?}", best.loads);
    assert_eq!(&best.loads[1..], &[0.0, 0.0]);
    assert!((best.index - 25.0).abs() < 1e-6);
}

// Worked example: two kinds, 6 % in all, index 30: 0.4321 of stone, 0.5679 of beads.
#[test]
fn a_fixed_total_is_the_worked_one() {
    let out = run(&[stone(100.0), beads(100.0)], &ask(30.0, (6.0, 6.0)));
    let best = &out.found[0];
    assert!((best.loads[0] / 6.0 - 0.4321).abs() < 1e-4, "{:?}", best.loads);
    assert!((best.total - 6.0).abs() < 1e-9 && (best.index - 30.0).abs() < 1e-6);
}

#[test]
fn one_set_alone_is_the_same() {
    let all = [stone(5.0), beads(5.0), fine(5.0)];
    let ask = Ask { kinds: (3, 3), ..ask(30.0, (0.0, 8.0)) };
    let one = solve_set(&all, 1.15, &GritModel::REFERENCE, &ask).unwrap();
    assert_eq!(one.loads, run(&all, &ask).found[0].loads);
    assert!(solve_set(&all, 1.15, &GritModel::REFERENCE, &Ask { index: 900.0, ..ask }).is_none());
}

#[test]
fn limits_are_named() {
    let all = [stone(2.0), beads(5.0), fine(5.0)];
    let out = run(&all, &ask(30.0, (0.0, 8.0)));
    assert!(out.found[0].binding.contains(&Limit::Most(0, 2.0)), "{:?}", out.found[0]);
    // Two kinds are more than the cheapest blend needs.
    let two = Ask { kinds: (2, 3), ..ask(25.0, (0.0, 8.0)) };
    let out = run(&[stone(5.0), beads(5.0), fine(5.0)], &two);
    assert!(out.found[0].binding.contains(&Limit::KindsLeast(2)), "{:?}", out.found[0]);
    assert!(out.found[0].loads.iter().filter(|w| **w >= KIND_FROM - 1e-9).count() >= 2);
    // The stone has more than 1 % above 500 um and would be the cheapest.
    let small = SizeLimit { um: 500.0, tolerance: 0.01 };
    let out = run(&[stone(5.0), fine(9.0)], &Ask { size: Some(small), ..ask(15.0, (0.0, 9.0)) });
    assert!(matches!(out.left_out[0], (0, LeftOut::TooLarge(_))));
    assert!(out.found[0].binding.contains(&Limit::Size));
    let mut barred = stone(5.0);
    barred.barred = true;
    let out = run(&[barred, fine(9.0)], &ask(15.0, (0.0, 9.0)));
    assert!(out.found[0].binding.contains(&Limit::Barred));
    assert_eq!(out.left_out[0], (0, LeftOut::Barred));
}

#[test]
fn what_is_out_of_reach_names_what_would_help() {
    let all = [stone(5.0), beads(5.0)];
    let out = run(&all, &ask(90.0, (0.0, 4.0)));
    assert!(out.found.is_empty());
    let (least, most) = out.reachable.unwrap();
    assert!(least < 5.0 && most > 40.0 && most < 50.0, "{least} {most}");
    // Neither the total nor the stone's limit alone is enough.
    assert!(out.relax.is_empty(), "{:?}", out.relax);
    let out = run(&all, &ask(45.0, (0.0, 4.0)));
    let total = out.relax.iter().find(|r| matches!(r.limit, Limit::TotalMost(_))).unwrap();
    assert!(total.to.unwrap() > 4.0 && total.to.unwrap() < 5.5, "{total:?}");
    // Too gentle to be reached with so many kinds.
    let out = run(&all, &Ask { kinds: (2, 3), ..ask(1.0, (0.0, 4.0)) });
    assert!(out.found.is_empty());
    assert!(out.relax.iter().any(|r| matches!(r.limit, Limit::KindsLeast(2))), "{out:?}");
}

#[test]
fn what_is_held_stays() {
    let mut held = fine(5.0);
    held.grain.percent = 1.5;
    held.held = true;
    let out = run(&[stone(5.0), held], &ask(30.0, (0.0, 8.0)));
    assert_eq!(out.found[0].loads[1], 1.5);
    assert!((out.found[0].index - 30.0).abs() < 1e-6);
}

#[test]
fn no_input_is_too_odd() {
    let nan = candidate(300.0, 0.3, f64::NAN, 250.0, 0.6, 1.0, 5.0);
    let out = run(&[nan], &ask(30.0, (0.0, 8.0)));
    assert_eq!((out.found.len(), out.left_out[0]), (0, (0, LeftOut::NoData)));
    assert!(run(&[], &ask(30.0, (0.0, 8.0))).found.is_empty());
    for index in [f64::NAN, f64::INFINITY, -5.0, 0.0] {
        assert!(run(&[stone(5.0)], &ask(index, (0.0, 8.0))).found.is_empty());
    }
    assert!(run(&[stone(5.0)], &ask(30.0, (9.0, 3.0))).found.is_empty());
    let out = run(&[stone(-1.0)], &ask(30.0, (0.0, 8.0)));
    assert!(out.found.is_empty() && out.reachable.is_none());
    let mut unpriced = stone(5.0);
    unpriced.cost = None;
    assert_eq!(run(&[unpriced], &ask(30.0, (0.0, 8.0))).left_out[0].1, LeftOut::NoPrice);
    let least = Ask { prefer: Prefer::Least, ..ask(30.0, (0.0, 8.0)) };
    assert_eq!(run(&[unpriced], &least).found.len(), 1);
}

/// Nothing on a fine grid within the limits is better.
fn grid_best(candidates: &[Candidate], ask: &Ask) -> Option<f64> {
    let grains: Vec<Grain> = candidates.iter().map(|c| c.grain).collect();
    let surface = IndexSurface::new(&grains, 1.15, &GritModel::REFERENCE, ask.stage);
    let n = candidates.len();
    let mut best: Option<f64> = None;
    // All but the last load on a grid; the last is found by halving, as the index rises with it.
    let steps = if n == 2 { 400 } else { 90 };
    let places: usize = (0..n - 1).map(|_| steps + 1).product();
    for place in 0..places {
        let mut w = vec![0.0; n];
        let mut rest = place;
        for (k, x) in w.iter_mut().enumerate().take(n - 1) {
            let c = &candidates[k];
            let lo = c.least.max(KIND_FROM);
            *x = lo + (c.most - lo) * (rest % (steps + 1)) as f64 / steps as f64;
            rest /= steps + 1;
        }
        let last = &candidates[n - 1];
        let (mut lo, mut hi) = (last.least.max(KIND_FROM), last.most);
        let index = |w: &mut Vec<f64>, x: f64| {
            w[n - 1] = x;
            surface.index(w)
        };
        if index(&mut w, lo) > ask.index || index(&mut w, hi) < ask.index {
            continue;
        }
        for _ in 0..45 {
            let middle = 0.5 * (lo + hi);
            if index(&mut w, middle) < ask.index { lo = middle } else { hi = middle }
        }
        w[n - 1] = hi;
        let total: f64 = w.iter().sum();
        if total > ask.total.1 + 1e-9 || total < ask.total.0 - 1e-9 {
            continue;
        }
        let value: f64 = match ask.prefer {
            Prefer::Cheapest => w.iter().zip(candidates).map(|(w, c)| w * c.cost.unwrap()).sum(),
            Prefer::Least => total,
            Prefer::Nearest => {
                w.iter().zip(candidates).map(|(w, c)| 0.5 * (w - c.grain.percent).powi(2)).sum()
            }
        };
        best = Some(best.map_or(value, |b: f64| b.min(value)));
    }
    best
}

fn any_candidate() -> impl Strategy<Value = Candidate> {
    (
        (60.0f64..900.0, 0.1f64..0.6, 0.85f64..2.5, 10.0f64..3000.0),
        (0.0f64..0.9, 0.005f64..0.1, 1.0f64..12.0, 0.0f64..6.0),
    )
        .prop_map(|((d50, sigma, rho, h), (a, cost, most, present))| {
            let mut c = candidate(d50, sigma, rho, h, a, cost, most);
            c.grain.percent = present;
            c
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    // The set of all candidates at once, so that grid and solve look at the same blends.
    #[test]
    fn nothing_on_a_grid_is_better(
        candidates in prop::collection::vec(any_candidate(), 2..=3),
        share in 0.1f64..0.9,
        total in 3.0f64..20.0,
        which in 0usize..3,
    ) {
        let n = candidates.len();
        let base = Ask {
            kinds: (n, n),
            prefer: Prefer::ALL[which],
            ..ask(0.0, (0.0, total))
        };
        let model = GritModel::REFERENCE;
        if let Some((lo, hi)) = Search::new(&candidates, 1.15, &model, &base).reachable() {
            let asked = Ask { index: lo + share * (hi - lo), ..base };
            let out = run(&candidates, &asked);
            let grid = grid_best(&candidates, &asked);
            if let Some(best) = out.found.first() {
                prop_assert!((best.index - asked.index).abs() < 1e-6, "{}", best.index);
                prop_assert!(best.total <= total + 1e-6, "{} above {total}, {:?}", best.total, best.loads);
                if let Some(grid) = grid {
                    prop_assert!(best.value <= grid * 1.005 + 1e-9, "{} {grid}", best.value);
                }
                // The program at the solution has the solution as its best point.
                let again = best.program.solve().unwrap();
                let here: f64 = best.program.cost.iter().zip(
                    best.loads.iter()
                ).map(|(c, w)| c * w).sum();
                let size = best.program.cost.iter().map(|c| c.abs()).sum::<f64>() + 1e-9;
                // A distance has a flat bottom: its slope is less sharp than its place.
                let allowed = if asked.prefer == Prefer::Nearest { 1e-3 } else { 1e-6 };
                prop_assert!(
                    (again.objective - here).abs() <= allowed * size,
                    "{} {here}",
                    again.objective
                );
            } else {
                prop_assert!(grid.is_none(), "the grid found {grid:?} within {lo} {hi}");
            }
        }
    }

    #[test]
    fn a_fixed_total_is_kept_and_nothing_on_a_grid_is_better(
        candidates in prop::collection::vec(any_candidate(), 3),
        share in 0.05f64..0.95,
    ) {
        let free: Vec<Candidate> = candidates.into_iter().map(|c| Candidate { most: 6.0, ..c }).collect();
        let base = Ask { kinds: (3, 3), ..ask(0.0, (6.0, 6.0)) };
        let model = GritModel::REFERENCE;
        let (lo, hi) = Search::new(&free, 1.15, &model, &base).reachable().unwrap();
        let asked = Ask { index: lo + share * (hi - lo), ..base };
        let out = run(&free, &asked);
        let best = out.found.first();
        prop_assert!(best.is_some(), "{} not found within {lo} {hi}", asked.index);
        let best = best.unwrap();
        prop_assert!((best.total - 6.0).abs() < 1e-6 && (best.index - asked.index).abs() < 1e-6);
        // Every blend of 6 % on a fine triangle whose index is near enough costs as much.
        let grains: Vec<Grain> = free.iter().map(|c| c.grain).collect();
        let surface = IndexSurface::new(&grains, 1.15, &model, Stage::Dry);
        let n = 120;
        for i in 0..=n {
            let mut last: Option<(f64, f64)> = None;
            for j in 0..=n - i {
                let span = 6.0 - 3.0 * KIND_FROM;
                let a = KIND_FROM + span * f64::from(i) / f64::from(n);
                let b = KIND_FROM + span * f64::from(j) / f64::from(n);
                let w = [a, b, 6.0 - a - b];
                let cost: f64 = w.iter().zip(&free).map(|(w, c)| w * c.cost.unwrap()).sum();
                let off = surface.index(&w) - asked.index;
                if let Some((before, then)) = last && before * off <= 0.0 && before != off {
                    let t = before / (before - off);
                    let here = then + t * (cost - then);
                    prop_assert!(best.value <= here * 1.005 + 1e-9, "{} {here}", best.value);
                }
                last = Some((off, cost));
            }
        }
    }
}
