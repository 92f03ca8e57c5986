//! The blend solver, against other solvers.
//!
//! Nobody has printed such blends. What can be checked from outside: that a blend keeps every limit
//! and has the index (written again in numpy); that the linear program at which the solver ends has
//! that blend for its best point, by HiGHS (scipy, `exfoliants.py`) and by microlp; and that a plain
//! grid over the loads holds nothing better. Grains are those of the reference file (model
//! assumptions), prices are invented.
//!
//! After a change to the cases: run this test with `UPDATE_PROGRAMS=1`, then `reference.py`, then
//! this test again.

use microlp::{ComparisonOp, OptimizationDirection, Problem};
use quern_calc::grit::solve::{
    Ask, Candidate, KIND_FROM, Prefer, Program, SizeLimit, Solution, solve,
};
use quern_calc::grit::{Grain, GritModel, Stage, grit};
use serde_json::{Value, json};

use crate::grit::{BAR, grain};
use crate::{number, reference, rows, same};

const MODEL: GritModel = GritModel::REFERENCE;

/// Price of a gram.
const PRICES: [(&str, f64); 17] = [
    ("reference stone", 0.012),
    ("fine stone", 0.014),
    ("walnut", 0.009),
    ("olive stone", 0.010),
    ("coconut", 0.011),
    ("strawberry", 0.055),
    ("jojoba", 0.040),
    ("sugar", 0.0015),
    ("salt", 0.001),
    ("fine pumice", 0.008),
    ("coarse pumice", 0.007),
    ("silica", 0.022),
    ("rice", 0.006),
    ("oats", 0.011),
    ("coffee", 0.005),
    ("bamboo", 0.030),
    ("loofah", 0.045),
];

pub struct Case {
    pub name: &'static str,
    pub pool: Vec<(&'static str, Candidate)>,
    pub ask: Ask,
}

/// A kind that may be used, up to `most` % of the product.
pub fn may(name: &'static str, most: f64) -> (&'static str, Candidate) {
    let (_, cost) = PRICES.iter().find(|(n, _)| *n == name).unwrap();
    let grain = grain(name, 0.0);
    let cost = Some(*cost);
    (name, Candidate { grain, cost, least: 0.0, most, held: false, barred: false })
}

/// A kind that stays at its load.
fn stays(name: &'static str, percent: f64) -> (&'static str, Candidate) {
    let (_, candidate) = may(name, 100.0);
    (name, Candidate { grain: grain(name, percent), held: true, ..candidate })
}

pub fn ask(index: f64, total: (f64, f64), kinds: (usize, usize)) -> Ask {
    Ask { index, stage: Stage::Dry, total, size: None, kinds, prefer: Prefer::Cheapest }
}

pub fn cases() -> Vec<Case> {
    let case =
        |name, pool: &[(&'static str, Candidate)], ask| Case { name, pool: pool.to_vec(), ask };
    let eight = |most: f64| {
        [
            "reference stone",
            "fine stone",
            "walnut",
            "jojoba",
            "fine pumice",
            "silica",
            "rice",
            "bamboo",
        ]
        .map(|name| may(name, most))
    };
    let at_least = |name, least| {
        let (name, candidate) = may(name, 6.0);
        (name, Candidate { least, ..candidate })
    };
    let priced = |name, price| {
        let (name, candidate) = may(name, 12.0);
        (name, Candidate { cost: Some(price), ..candidate })
    };
    let least = |ask| Ask { prefer: Prefer::Least, ..ask };
    let in_use = |ask| Ask { stage: Stage::InUse, ..ask };
    vec![
        case(
            "one kind of three",
            &[may("reference stone", 5.0), may("jojoba", 5.0), may("fine stone", 5.0)],
            ask(25.0, (0.0, 8.0), (1, 1)),
        ),
        case("up to three of eight, little of each", &eight(1.2), ask(31.0, (0.0, 6.0), (1, 3))),
        case("least, up to three of eight", &eight(2.0), least(ask(45.0, (0.0, 8.0), (1, 3)))),
        case(
            "two kinds, fixed total",
            &[may("reference stone", 100.0), may("jojoba", 100.0)],
            ask(30.0, (6.0, 6.0), (2, 2)),
        ),
        case(
            "three kinds, fixed total",
            &[may("walnut", 5.0), may("jojoba", 5.0), may("rice", 4.0), may("oats", 5.0)],
            ask(34.0, (8.0, 8.0), (3, 3)),
        ),
        case(
            "dear and strong beside cheap and weak, total full",
            &[may("rice", 6.0), may("strawberry", 4.0), may("loofah", 4.0), may("bamboo", 4.0)],
            ask(40.0, (0.0, 4.0), (1, 3)),
        ),
        case(
            "two kinds, no limit near",
            &[may("strawberry", 6.0), may("rice", 12.0)],
            ask(84.0, (0.0, 20.0), (1, 2)),
        ),
        // Prices in the proportion of what each adds at 2, 2 and 5 %, where the blend is thus best.
        case(
            "three kinds, no limit near",
            &[may("strawberry", 6.0), priced("olive stone", 0.024_885), priced("oats", 0.003_411)],
            ask(84.362, (0.0, 20.0), (3, 3)),
        ),
        case(
            "total of at least",
            &[may("coconut", 5.0), may("jojoba", 5.0), may("oats", 5.0), may("silica", 5.0)],
            ask(28.0, (5.0, 9.0), (2, 3)),
        ),
        case(
            "coffee stays",
            &[
                stays("coffee", 2.0),
                may("reference stone", 1.0),
                may("bamboo", 4.0),
                may("silica", 4.0),
            ],
            ask(38.0, (0.0, 8.0), (1, 3)),
        ),
        case(
            "two stay, least",
            &[
                stays("jojoba", 3.0),
                may("walnut", 1.2),
                stays("oats", 2.0),
                may("olive stone", 1.2),
                may("coffee", 3.0),
            ],
            least(ask(42.0, (0.0, 9.0), (1, 4))),
        ),
        case(
            "in use, sugar beside little stone",
            &[may("sugar", 6.0), may("reference stone", 1.5), may("coffee", 2.0), may("salt", 3.0)],
            in_use(ask(60.0, (0.0, 12.0), (1, 3))),
        ),
        case(
            "in use, fixed total",
            &[
                may("salt", 20.0),
                may("sugar", 20.0),
                may("olive stone", 6.0),
                may("fine stone", 6.0),
            ],
            in_use(ask(70.0, (14.0, 14.0), (2, 3))),
        ),
        case(
            "in use, sugar stays, least",
            &[stays("sugar", 10.0), may("walnut", 1.0), may("coconut", 0.5), may("rice", 3.0)],
            least(in_use(ask(68.0, (0.0, 14.0), (1, 3)))),
        ),
        case(
            "nothing above 450 um",
            &[
                may("fine stone", 2.0),
                may("walnut", 5.0),
                may("silica", 3.0),
                may("fine pumice", 4.0),
            ],
            Ask {
                size: Some(SizeLimit { um: 450.0, tolerance: 0.02 }),
                ..ask(14.0, (0.0, 8.0), (1, 3))
            },
        ),
        case(
            "at least 1.5 % of what is used",
            &[at_least("walnut", 1.5), at_least("rice", 1.5), at_least("jojoba", 1.5)],
            ask(33.0, (0.0, 8.0), (2, 2)),
        ),
    ]
}

impl Case {
    pub fn found(&self) -> Vec<Solution> {
        let pool: Vec<Candidate> = self.pool.iter().map(|(_, c)| *c).collect();
        let found = solve(&pool, BAR, &MODEL, &self.ask).found;
        assert!(!found.is_empty(), "{}: nothing found", self.name);
        found
    }

    /// Kinds of a blend with their loads, in the order of its program: chosen ones, then held ones.
    fn blend(&self, solution: &Solution) -> Vec<(&'static str, Candidate, f64)> {
        let all = || self.pool.iter().zip(&solution.loads).map(|((n, c), w)| (*n, *c, *w));
        let chosen = all().filter(|(_, c, w)| !c.held && *w > 0.0);
        chosen.chain(all().filter(|(_, c, _)| c.held)).collect()
    }
}

pub fn index_of(grains: &[Grain], stage: Stage) -> f64 {
    let g = grit(grains, BAR, &MODEL);
    if stage == Stage::Dry { g.index } else { g.in_use }
}

/// Holds a blend to everything that was asked, within 1e-6.
#[track_caller]
pub fn keeps_to(what: &str, pool: &[Candidate], solution: &Solution, ask: &Ask) {
    assert_eq!(solution.loads.len(), pool.len());
    let grains: Vec<Grain> =
        pool.iter().zip(&solution.loads).map(|(c, w)| Grain { percent: *w, ..c.grain }).collect();
    let index = index_of(&grains, ask.stage);
    assert!((index - ask.index).abs() <= 1e-6, "{what}: index {index}, asked {}", ask.index);
    assert!(
        (solution.index - index).abs() <= 1e-6,
        "{what}: {} said to be {index}",
        solution.index
    );
    let total: f64 = solution.loads.iter().sum();
    let (low, high) = ask.total;
    assert!(total >= low - 1e-6 && total <= high + 1e-6, "{what}: {total} % of {low} to {high}");
    let mut kinds = 0;
    for (c, w) in pool.iter().zip(&solution.loads) {
        if c.held {
            assert_eq!(*w, c.grain.percent, "{what}: what is held moved");
        } else if *w != 0.0 {
            let low = c.least.max(KIND_FROM);
            assert!(
                *w >= low - 1e-6 && *w <= c.most + 1e-6,
                "{what}: {w} % of {low} to {}",
                c.most
            );
        }
        kinds += usize::from(*w >= KIND_FROM - 1e-6);
    }
    assert!((ask.kinds.0..=ask.kinds.1).contains(&kinds), "{what}: {kinds} kinds");
}

pub fn objective(program: &Program, loads: &[f64]) -> f64 {
    assert_eq!(program.cost.len(), loads.len());
    program.cost.iter().zip(loads).map(|(c, w)| c * w).sum()
}

/// The least objective of a linear program by microlp.
pub fn by_microlp(program: &Program) -> f64 {
    assert!(program.quadratic.is_empty());
    // Its tolerances are absolute, so the costs are brought to about 1.
    let scale = program.cost.iter().fold(0.0_f64, |m, c| m.max(c.abs()));
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let bounds = program.lower.iter().zip(&program.upper);
    let x: Vec<_> = (program.cost.iter().zip(bounds))
        .map(|(c, (low, high))| problem.add_var(c / scale, (*low, *high)))
        .collect();
    for row in &program.rows {
        let terms = || x.iter().zip(&row.coefficients).map(|(x, c)| (*x, *c));
        if row.low == row.high {
            problem.add_constraint(terms(), ComparisonOp::Eq, row.low);
        } else {
            problem.add_constraint(terms(), ComparisonOp::Ge, row.low);
            problem.add_constraint(terms(), ComparisonOp::Le, row.high);
        }
    }
    problem.solve().unwrap().into_solution().unwrap().objective() * scale
}

#[test]
fn blends_keep_to_what_was_asked() {
    let mut sizes = [0; 4];
    for case in cases() {
        let pool: Vec<Candidate> = case.pool.iter().map(|(_, c)| *c).collect();
        for solution in case.found() {
            keeps_to(case.name, &pool, &solution, &case.ask);
            let spent = case.blend(&solution).iter().map(|(_, c, w)| c.cost.unwrap() * w).sum();
            same(case.name, solution.cost.unwrap(), spent, 1e-12);
            let chosen = case.blend(&solution).iter().filter(|(_, c, _)| !c.held).count();
            sizes[chosen] += 1;
        }
    }
    // The cases do look at blends of one, two and three kinds.
    assert!(sizes[0] == 0 && sizes[1..].iter().all(|n| *n >= 4), "{sizes:?}");
}

/// Twelve digits, as in the reference file.
fn tidy(x: f64) -> f64 {
    format!("{x:.11e}").parse().unwrap()
}

fn tidied(list: &[f64]) -> Vec<f64> {
    list.iter().copied().map(tidy).collect()
}

/// The program of every blend that the cases find, as it stands in `programs.json`.
fn programs() -> Vec<Value> {
    let mut out = Vec::new();
    for case in cases() {
        for (place, solution) in case.found().iter().enumerate() {
            let p = &solution.program;
            let rows: Vec<Value> = (p.rows.iter())
                .map(|r| json!({
                    "coefficients": tidied(&r.coefficients), "low": tidy(r.low), "high": tidy(r.high),
                }))
                .collect();
            let blend: Vec<Value> =
                case.blend(solution).iter().map(|(name, _, w)| json!([name, tidy(*w)])).collect();
            out.push(json!({
                "name": format!("{}, blend {}", case.name, place + 1),
                "asked": case.ask.index,
                "stage": if case.ask.stage == Stage::Dry { "dry" } else { "in use" },
                "blend": blend, "cost": tidied(&p.cost), "rows": rows,
                "lower": tidied(&p.lower), "upper": tidied(&p.upper),
            }));
        }
    }
    out
}

/// Holds two JSON values to each other, numbers within 1e-7 relative.
fn alike(what: &str, now: &Value, then: &Value) {
    match (now, then) {
        (Value::Number(_), Value::Number(_)) => same(what, number(now), number(then), 1e-7),
        (Value::Array(a), Value::Array(b)) => {
            assert_eq!(a.len(), b.len(), "{what}");
            a.iter().zip(b).for_each(|(a, b)| alike(what, a, b));
        }
        (Value::Object(a), Value::Object(b)) => {
            assert_eq!(a.len(), b.len(), "{what}");
            a.iter().for_each(|(k, v)| alike(&format!("{what}/{k}"), v, &b[k]));
        }
        _ => assert_eq!(now, then, "{what}"),
    }
}

/// What HiGHS was given is what the solver ends at today.
#[test]
fn the_programs_on_file_are_those_of_today() {
    let today = programs();
    if std::env::var_os("UPDATE_PROGRAMS").is_some() {
        let lines: Vec<String> = today.iter().map(|p| format!("  {p}")).collect();
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/published/programs.json");
        std::fs::write(path, format!("[\n{}\n]\n", lines.join(",\n"))).unwrap();
        return;
    }
    let filed: Value = serde_json::from_str(include_str!("programs.json")).unwrap();
    assert!(today.len() >= 25);
    alike("programs.json", &Value::Array(today), &filed);
}

/// HiGHS by scipy 1.17.1 on the same programs, and the index of each blend by numpy, with 3000
/// midpoint steps in time where grains dissolve (the program integrates in closed form).
#[test]
fn programs_solved_by_highs() {
    let filed: Value = serde_json::from_str(include_str!("programs.json")).unwrap();
    let solved = rows(&reference()["programs"]);
    assert_eq!(rows(&filed).len(), solved.len(), "run reference.py");
    for (program, solved) in rows(&filed).iter().zip(solved) {
        assert_eq!(program["name"], solved["name"], "run reference.py");
        let what = program["name"].as_str().unwrap();
        let loads = rows(&program["blend"]).iter().map(|pair| number(&pair[1]));
        let here: f64 =
            rows(&program["cost"]).iter().map(number).zip(loads).map(|(c, w)| c * w).sum();
        same(&format!("objective of {what}"), here, number(&solved["objective"]), 1e-6);
        let tolerance = if program["stage"] == "dry" { 1e-8 } else { 1e-6 };
        same(
            &format!("index of {what}"),
            number(&program["asked"]),
            number(&solved["index"]),
            tolerance,
        );
    }
}
