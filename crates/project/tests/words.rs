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
use std::sync::Arc;

use formulas::{Bench, bar, bench, certificate, day, evaluated, lotion, random, rules, today};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use quern_calc::batch::{BatchPlan, BatchSize, Scale, Vessel};
use quern_calc::evaluate::{Context, evaluate};
use quern_calc::findings::{Finding, RuleKind, Severity, all_rules};
use quern_calc::formula::{
    Form, Formula, FormulaId, Function, Item, Library, Line, LineId, Material, MaterialId, Pack,
    Printed,
};
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

#[test]
fn every_finding_says_why_what_to_do_and_on_whose_word() {
    let (library, rules, plans) = (library(), rules(), plans());
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    let days = [today(), day(2026, 7, 1), day(2035, 1, 1)];
    for (i, mut formula) in formulas(600).into_iter().enumerate() {
        formula.product.pack = Pack::ALL[i % Pack::ALL.len()];
        formula.product.under_three = i % 7 == 0;
        formula.safety.category = if i % 3 == 0 { "9".to_owned() } else { String::new() };
        let context = Context::on(days[i % days.len()]);
        let plan = &plans[i % plans.len()];
        for f in evaluate(&formula, &library, &rules, plan, &context).findings {
            check(&f);
            seen.insert(f.rule());
        }
    }
    let missing: Vec<&&str> = all_rules().iter().filter(|r| !seen.contains(*r)).collect();
    assert!(seen.len() > 50, "the random formulas trip too little: {missing:?}");
}

/// Formulas made for the rules that hardly anything trips by chance.
fn made_for_it() -> Vec<Bench> {
    let preserves = |m: &mut Material| m.function = Some(Function::Preservative);
    let water = |lines: &[(&str, &str)]| lotion().water(lines);
    let line = |mut case: Bench, change: &dyn Fn(&mut Line)| {
        change(&mut case.formula.phases[0].lines[0]);
        case
    };
    let kaolin = |percent: &str| bar().melt(&[("kaolin", percent)]);
    let fills = |percent: &str| {
        let mut case = bar().melt(&[("kaolin", percent), ("illite", "0")]);
        case.formula.fills = Some(LineId(2));
        case
    };
    let scent = || bench(Form::Balm).cool(&[("parfum", "1")]);
    let certified = |category: &str| {
        let with = certificate("9", "0.5");
        let case = scent().changed("parfum", |m| m.certificate = Some(with));
        case.category(category)
    };
    let mut argued = kaolin("50");
    argued.formula.safety.unpreserved = "tested".to_owned();
    let mut printed = kaolin("50");
    printed.formula.label.printed =
        vec![Printed { market: "eu".to_owned(), date: today(), version: 1, lines: Vec::new() }];
    let mut without = water(&[("aqua", "90"), ("glycerin-99-5", "5")]);
    let mut data = (*without.rules.interactions).clone();
    data.figures.clear();
    without.rules.interactions = Arc::new(data);
    let mut jar = water(&[("aqua", "80"), ("potassium-sorbate", "0.8")]).ph("5.2", true);
    jar.formula.product.pack = Pack::Jar;
    vec![
        jar,
        water(&[("aqua", "90"), ("parfum", "0.5")]),
        bar(),
        line(kaolin("1"), &|l| l.amount = None),
        kaolin("0"),
        kaolin("-3"),
        fills("101"),
        fills("100"),
        line(kaolin("5"), &|l| l.item = Item::Material(MaterialId::new("nowhere"))),
        line(kaolin("5"), &|l| l.item = Item::Formula(FormulaId::new("nowhere"))),
        line(kaolin("5"), &|l| l.item = Item::Formula(FormulaId::new("bench"))),
        bar().own("Novel", |_| ()).melt(&[("novel", "5")]),
        bar().own("Grit", |m| m.function = Some(Function::Exfoliant)).melt(&[("grit", "5")]),
        bar()
            .changed("pumice-fine-60-um", |m| m.density_solid = None)
            .melt(&[("pumice-fine-60-um", "5")]),
        water(&[("aqua", "80"), ("potassium-sorbate", "0.5")]).melt(&[("cera-alba", "5")]),
        lotion()
            .own("Methylisothiazolinone", preserves)
            .own("Methylchloroisothiazolinone", preserves)
            .own("Methylchloroisothiazolinone (and) Methylisothiazolinone", preserves)
            .water(&[
                ("aqua", "90"),
                ("methylisothiazolinone", "0.001"),
                ("methylchloroisothiazolinone (and) methylisothiazolinone", "0.001"),
            ]),
        lotion()
            .own("Polyaminopropyl Biguanide", preserves)
            .water(&[("aqua", "90"), ("polyaminopropyl biguanide", "0.1")])
            .ph("5", true),
        lotion()
            .own("Novel Emulsifier", |m| m.function = Some(Function::Emulsifier))
            .water(&[("aqua", "70")])
            .melt(&[("caprylic-capric-triglyceride", "20"), ("novel emulsifier", "3")]),
        scent(),
        certified(""),
        certified("5"),
        certified("9"),
        lotion()
            .changed("sodium-hydroxide", |m| m.active = None)
            .water(&[("aqua", "90"), ("sodium-hydroxide", "0.1")]),
        argued,
        printed,
        without,
    ]
}

/// A chain of premixes, each half of the one before and half kaolin, each 80 % in all.
fn nested() -> (Formula, Library) {
    let formulas: Vec<Formula> = (0..18)
        .map(|i| {
            let mut case = bar().melt(&[("kaolin", "40"), ("kaolin", "40")]);
            case.formula.id = FormulaId::new(&format!("premix-{i}"));
            if i < 17 {
                let inner = FormulaId::new(&format!("premix-{}", i + 1));
                case.formula.phases[0].lines[0].item = Item::Formula(inner);
            }
            case.formula
        })
        .collect();
    let materials = quern_project::library::builtin().materials.values().cloned();
    let outer = formulas[0].clone();
    (outer, Library::new(materials, formulas.into_iter().map(Arc::new)))
}

/// Rules that no formula here trips: each has tests of its own beside the other rules of mixing.
const ELSEWHERE: [&str; 6] = [
    "gum-not-wetted",
    "isethionate-in-cold-water",
    "nitrosamine",
    "oil-without-antioxidant-unchecked",
    "powder-too-dry-unchecked",
    "starch-in-hot-water",
];

#[test]
fn every_rule_is_tripped_by_a_formula() {
    let (library, rules, plans) = (library(), rules(), plans());
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    for (i, (formula, plan)) in formulas(400).iter().zip(plans.iter().cycle()).enumerate() {
        let context = Context::on(if i % 2 == 0 { today() } else { day(2026, 7, 1) });
        let all = evaluate(formula, &library, &rules, plan, &context).findings;
        seen.extend(all.iter().map(Finding::rule));
    }
    for case in made_for_it() {
        for plan in &plans {
            let context = Context::on(today());
            let library = case.library();
            for f in evaluate(&case.formula, &library, &case.rules, plan, &context).findings {
                check(&f);
                seen.insert(f.rule());
            }
        }
    }
    let mut far = bar().melt(&[("kaolin", "80")]);
    far.formula.safety.markets = vec!["atlantis".to_owned()];
    for f in evaluated(&far.formula, &library, today()).findings {
        check(&f);
        seen.insert(f.rule());
    }
    let (outer, chain) = nested();
    let context = Context::on(today());
    for f in evaluate(&outer, &chain, &rules, &plans[0], &context).findings {
        check(&f);
        seen.insert(f.rule());
    }
    let missing: Vec<&str> = all_rules().iter().copied().filter(|r| !seen.contains(r)).collect();
    let surprising: Vec<&&str> = missing.iter().filter(|r| !ELSEWHERE.contains(*r)).collect();
    assert!(surprising.is_empty(), "nothing trips {surprising:?}");
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
