//! No finding without its reasons: title, why, fix and source of every rule, over random and
//! hand-made formulas, and every rule tripped by at least one of them.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::float_cmp
)]

mod formulas;

use std::collections::BTreeSet;
use std::sync::{Arc, Mutex};

use formulas::{day, random, rules, today};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use quern_calc::batch::{BatchPlan, BatchSize, Scale, Vessel};
use quern_calc::evaluate::{Context, evaluate};
use quern_calc::findings::{Finding, RuleKind, Severity, all_rules};
use quern_calc::formula::{Formula, Library, Pack};
use quern_calc::number::NumberStyle;
use quern_calc::quantity::{Grams, Percent};
use rust_decimal::Decimal;

/// Rules of law that always hold a figure against a limit.
const WITH_FIGURES: [&str; 11] = [
    "law-limit",
    "use-above",
    "use-below",
    "heat-limit",
    "preservative-low",
    "salicylic-ph",
    "hlb-off",
    "total",
    "water-without-preservative",
    "grains-large",
    "too-small-to-weigh",
];

fn check(f: &Finding) {
    let id = f.rule();
    assert!(all_rules().contains(&id), "{id} is not in the list");
    let w = f.words(NumberStyle::default());
    for (what, text) in
        [("title", &w.title), ("why", &w.why), ("fix", &w.fix), ("source", &w.source)]
    {
        assert!(!text.trim().is_empty(), "{id}: no {what}: {w:?}");
        assert_eq!(text.trim(), text, "{id}: {what}");
        assert!(!text.contains("  "), "{id}: {what}: {text:?}");
        assert!(!text.contains("NaN") && !text.contains("inf "), "{id}: {what}: {text}");
        let lower = text.to_lowercase();
        for word in lower.split(|c: char| !c.is_alphanumeric()) {
            assert!(
                !["safe", "compliant", "unsafe", "noncompliant"].contains(&word),
                "{id}: {text}"
            );
        }
    }
    for text in [&w.title, &w.why, &w.fix] {
        let whole = text.contains(". ");
        assert!(whole || !text.ends_with('.'), "{id}: one sentence with a full stop: {text}");
    }
    assert!(w.title.chars().count() < 400, "{id}: {}", w.title);
    let first = w.title.chars().next().unwrap();
    assert!(!first.is_whitespace() && first != ';' && first != ',', "{id}: {}", w.title);
    // What could not be checked stops nobody; what the law does not allow is no mere note.
    if f.kind() == RuleKind::Unchecked {
        assert_ne!(f.severity(), Severity::Stop, "{id}");
    }
    if ["law-limit", "law-not-allowed", "law-clash"].contains(&id) {
        assert_eq!((f.severity(), f.kind()), (Severity::Stop, RuleKind::Law), "{id}");
        assert!(w.source.contains("as of") || w.source.contains("20"), "{id}: {}", w.source);
    }
    if WITH_FIGURES.contains(&id) {
        assert!(f.figure().is_some() && f.limit().is_some(), "{id}: no figure and limit: {w:?}");
    }
    for quantity in [f.figure(), f.limit()].into_iter().flatten() {
        assert!(!quantity.words(NumberStyle::default()).trim().is_empty(), "{id}");
    }
    for fix in f.fixes() {
        assert!(!fix.words(NumberStyle::default()).trim().is_empty(), "{id}");
    }
    for step in f.steps(NumberStyle::default()) {
        assert!(!step.trim().is_empty() && !step.contains("  "), "{id}: {step}");
    }
}

fn library() -> Library {
    let materials = quern_project::library::builtin().materials.values().cloned();
    Library::new(materials, Vec::<Arc<Formula>>::new())
}

fn plans() -> Vec<BatchPlan> {
    let grams = |g: i64| Grams(Decimal::from(g));
    let usual = BatchPlan::default();
    vec![
        usual.clone(),
        BatchPlan { scales: Vec::new(), ..usual.clone() },
        BatchPlan { size: BatchSize::Gross(grams(0)), ..usual.clone() },
        BatchPlan {
            size: BatchSize::Gross(grams(9_000)),
            vessel: Some(Vessel { name: "pot".to_owned(), holds: grams(900) }),
            ..usual.clone()
        },
        BatchPlan {
            size: BatchSize::Gross(grams(5)),
            scales: vec![Scale::new("coarse", Decimal::ONE, Decimal::from(100))],
            ..usual.clone()
        },
        BatchPlan { loss: Percent(Decimal::from(100)), ..usual },
    ]
}

/// Random formulas that are the same in every run.
fn formulas(count: usize) -> Vec<Formula> {
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let strategy = random();
    (0..count).map(|_| strategy.new_tree(&mut runner).unwrap().current()).collect()
}

fn seen() -> &'static Mutex<BTreeSet<&'static str>> {
    static SEEN: Mutex<BTreeSet<&'static str>> = Mutex::new(BTreeSet::new());
    &SEEN
}

#[test]
fn every_finding_says_why_what_to_do_and_on_whose_word() {
    let (library, rules, plans) = (library(), rules(), plans());
    let days = [today(), day(2026, 7, 1), day(2035, 1, 1)];
    for (i, mut formula) in formulas(600).into_iter().enumerate() {
        formula.product.pack = Pack::ALL[i % Pack::ALL.len()];
        formula.product.under_three = i % 7 == 0;
        formula.safety.category = if i % 3 == 0 { "9".to_owned() } else { String::new() };
        let context = Context::on(days[i % days.len()]);
        let plan = &plans[i % plans.len()];
        for f in evaluate(&formula, &library, &rules, plan, &context).findings {
            check(&f);
            seen().lock().unwrap().insert(f.rule());
        }
    }
    let seen = seen().lock().unwrap();
    let missing: Vec<&&str> = all_rules().iter().filter(|r| !seen.contains(*r)).collect();
    println!("{} of {} rules; not tripped at random: {missing:?}", seen.len(), all_rules().len());
    assert!(seen.len() > 50, "the random formulas trip too little: {missing:?}");
}

#[test]
fn the_demo_and_the_skeletons_say_it_well() {
    let (rules, context) = (rules(), Context::on(today()));
    for project in [&quern_project::demo(), quern_project::skeletons()] {
        let library = project.library();
        for formula in &project.formulas {
            let plan = project.plan(&formula.id);
            for f in evaluate(formula, &library, &rules, &plan, &context).findings {
                check(&f);
            }
        }
    }
}
