//! Bad input: it never panics, never loses data and is told in words.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use quern_calc::batch::{BatchPlan, BatchSize, PlanProblem};
use quern_calc::evaluate::{Context, evaluate};
use quern_calc::formula::{Amount, Formula, FormulaId, Item, MaterialId};
use quern_calc::number::{NumberErrorKind, Syntax, parse};
use quern_calc::quantity::{Grams, Percent};
use quern_calc::rules::Rules;
use quern_project::Project;
use quern_tests::day;
use rust_decimal::Decimal;

fn check(formula: &Formula, project: &Project, plan: &BatchPlan) -> Vec<&'static str> {
    let e = evaluate(formula, &project.library(), &Rules::default(), plan, &Context::on(day()));
    for finding in &e.findings {
        let words = finding.words(Default::default());
        assert!(
            !words.title.is_empty() && !words.why.is_empty() && !words.fix.is_empty(),
            "{finding:?}"
        );
        assert!(!words.source.is_empty(), "{finding:?}");
    }
    e.findings.iter().map(quern_calc::findings::Finding::rule).collect()
}

#[test]
fn entries_that_are_no_amounts_are_refused_in_words() {
    for (text, kind) in [
        ("NaN", NumberErrorKind::NotFinite),
        ("inf", NumberErrorKind::NotFinite),
        ("", NumberErrorKind::Empty),
        ("1/0", NumberErrorKind::DivisionByZero),
        ("1e13", NumberErrorKind::TooLarge),
    ] {
        let error = parse(text, Syntax::default()).expect_err(text);
        assert_eq!(error.kind, kind, "{text}");
        assert!(error.to_string().len() > 8, "{error}");
    }
    let deep = format!("{}1{}", "(".repeat(90), ")".repeat(90));
    assert_eq!(parse(&deep, Syntax::default()).expect_err("deep").kind, NumberErrorKind::TooDeep);
}

#[test]
fn absurd_amounts_are_findings_not_crashes() {
    let project = quern_project::demo();
    for value in
        ["-1", "0", "1000000000", "-1000000000", "0.0000000001", "79228162514264337593543950335"]
    {
        let mut filled = (*project.formulas[0]).clone();
        let line = filled.lines().next().unwrap().1.id;
        let mut plain = filled.clone();
        plain.set_fills(None).unwrap();
        for formula in [&mut filled, &mut plain] {
            let amount = Amount::percent(value.parse().unwrap());
            formula.set_amount(line, Some(amount)).unwrap();
        }
        let plan = project.plan(&filled.id);
        let rules = check(&filled, &project, &plan);
        let told = [
            "amount-negative",
            "amount-zero",
            "fill-negative",
            "use-below",
            "function-missing",
            "too-small-to-weigh",
        ];
        assert!(rules.iter().any(|r| told.contains(r)), "{value}: {rules:?}");
        let rules = check(&plain, &project, &plan);
        assert!(rules.contains(&"total"), "{value}: {rules:?}");
    }
}

#[test]
fn a_batch_of_nothing_is_told() {
    let project = quern_project::demo();
    let formula = &project.formulas[0];
    let with = |size, loss: i64| BatchPlan {
        size,
        loss: Percent(Decimal::from(loss)),
        ..BatchPlan::default()
    };
    let some = Grams(Decimal::from(70));
    for (plan, problem) in [
        (with(BatchSize::Gross(Grams::ZERO), 0), PlanProblem::NoSize),
        (with(BatchSize::Gross(Grams(Decimal::from(-5))), 0), PlanProblem::NoSize),
        (with(BatchSize::Pieces { count: 0, each: some }, 0), PlanProblem::NoPieces),
        (with(BatchSize::Net(some), 100), PlanProblem::LossAll),
        (with(BatchSize::Net(some), 1_000_000), PlanProblem::LossAll),
        (with(BatchSize::Net(some), -1), PlanProblem::LossNegative),
    ] {
        assert_eq!(plan.figures(), Err(problem));
        assert!(check(formula, &project, &plan).contains(&"batch-plan"), "{problem:?}");
    }
}

#[test]
fn names_of_any_kind_go_through_everything() {
    let mut project = quern_project::demo();
    let names = [
        "quote \" and ' and \\",
        "line\nbreak\r\nand\ttab",
        "שלום عربى",
        "🧼 emoji",
        "",
        "#panic(1) *b* $x$ `code` <script>alert(1)</script> | pipe",
        "=1+1",
    ];
    for (i, name) in names.iter().enumerate() {
        let mut formula = (*project.formulas[0]).clone();
        formula.id = FormulaId::new(&format!("odd-{i}"));
        formula.name = (*name).to_owned();
        project.formulas.push(std::sync::Arc::new(formula));
    }
    // Two formulas of one name are allowed; ids tell them apart.
    let mut twin = (*project.formulas[0]).clone();
    twin.id = FormulaId::new("twin");
    project.formulas.push(std::sync::Arc::new(twin));
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("odd.ron");
    quern_project::save(&path, &project, None).unwrap();
    let back = quern_project::load(&path).unwrap().project;
    assert_eq!(back, project);
    let library = project.library();
    for formula in &project.formulas {
        let plan = project.plan(&formula.id);
        let e = evaluate(formula, &library, &Rules::default(), &plan, &Context::on(day()));
        let about =
            quern_studio::app::about(&project, day(), Default::default(), quern_sheet::Paper::A4);
        let sheet = quern_sheet::BenchSheet::new(formula, &e, &library, &plan, &about);
        for format in [
            quern_sheet::Format::Pdf,
            quern_sheet::Format::Html,
            quern_sheet::Format::Csv,
            quern_sheet::Format::Markdown,
        ] {
            let bytes = quern_sheet::export(&sheet, format).unwrap();
            assert!(bytes.len() > 200, "{:?} {format:?}", formula.name);
            if format == quern_sheet::Format::Html {
                assert!(!String::from_utf8_lossy(&bytes).contains("<script>alert"));
            }
        }
    }
}

#[test]
fn a_premix_that_contains_itself_is_refused_in_words() {
    let mut project = Project::blank();
    let (a, b) = (FormulaId::new("a"), FormulaId::new("b"));
    for (id, name, inner) in [(&a, "Outer", &b), (&b, "Inner", &a)] {
        let mut f = Formula::empty(id.clone(), name);
        let phase = f.phases[0].id;
        let line = f.add_line(phase, Item::Formula(inner.clone()), None).unwrap();
        f.set_amount(line, Some(Amount::percent(Decimal::ONE_HUNDRED))).unwrap();
        project.formulas.push(std::sync::Arc::new(f));
    }
    let formula = project.formula(&a).unwrap().clone();
    let e = evaluate(
        &formula,
        &project.library(),
        &Rules::default(),
        &BatchPlan::default(),
        &Context::on(day()),
    );
    let words = e
        .findings
        .iter()
        .find(|f| f.rule() == "cycle")
        .expect("the cycle is found")
        .words(Default::default());
    assert!(words.title.contains("contains itself"), "{}", words.title);
    assert!(words.why.contains("Outer, then Inner, then Outer"), "{}", words.why);
}

#[test]
fn premixes_that_multiply_without_end_are_refused_at_once() {
    let mut project = Project::blank();
    for depth in 0..12 {
        let mut f = Formula::empty(FormulaId::new(&format!("f{depth}")), &format!("Level {depth}"));
        let phase = f.phases[0].id;
        // The last level is empty, so that no leaf is ever reached.
        for _ in 0..if depth == 11 { 0 } else { 300 } {
            let inner = Item::Formula(FormulaId::new(&format!("f{}", depth + 1)));
            let line = f.add_line(phase, inner, None).unwrap();
            f.set_amount(line, Some(Amount::percent(Decimal::new(1, 1)))).unwrap();
        }
        project.formulas.push(std::sync::Arc::new(f));
    }
    let formula = project.formula(&FormulaId::new("f0")).unwrap().clone();
    let start = std::time::Instant::now();
    let rules = check(&formula, &project, &BatchPlan::default());
    assert!(rules.contains(&"nested-too-deep"));
    assert!(start.elapsed().as_secs() < 5, "{:?}", start.elapsed());
}

#[test]
fn bringing_to_100_is_refused_where_a_line_fills() {
    let project = quern_project::demo();
    let mut formula = (*project.formulas[0]).clone();
    assert!(formula.normalise_preview().is_err(), "the q.s. line makes it 100 already");
    formula.set_fills(None).unwrap();
    let total = formula.total();
    let preview = formula.normalise_preview().unwrap();
    formula.normalise(&preview).unwrap();
    assert_eq!(total, formula.total());
    assert_eq!(formula.total().0, Decimal::ONE_HUNDRED);
}

#[test]
fn a_premix_is_opened_in_composition_cost_and_findings() {
    let mut project = quern_project::demo();
    let material = |p: &Project, inci: &str| {
        p.materials.values().find(|m| m.inci == inci).map(|m| m.id.clone()).unwrap()
    };
    let kaolin = material(&project, "Kaolin");
    let mut premix = Formula::empty(FormulaId::new("premix"), "Powder premix");
    premix.product.form = quern_calc::formula::Form::Premix;
    let phase = premix.phases[0].id;
    let line = premix.add_line(phase, Item::Material(kaolin.clone()), None).unwrap();
    premix.fills = Some(line);
    project.formulas.push(std::sync::Arc::new(premix));
    let plain = project.formulas[0].clone();
    let mut nested = (*plain).clone();
    let id = nested
        .lines()
        .find(|(_, l)| l.item == Item::Material(kaolin.clone()))
        .map(|(_, l)| l.id)
        .unwrap();
    nested.set_item(id, Item::Formula(FormulaId::new("premix"))).unwrap();
    let library = project.library();
    let run = |f: &Formula| {
        evaluate(f, &library, &Rules::default(), &project.plan(&plain.id), &Context::on(day()))
    };
    let (a, b) = (run(&plain), run(&nested));
    assert_eq!(a.composition.percent_of("Kaolin"), b.composition.percent_of("Kaolin"));
    assert!(b.composition.percent_of("Kaolin").0 > Decimal::ZERO);
    assert_eq!(a.cost.per_100g, b.cost.per_100g);
    let dust = |e: &quern_calc::evaluate::Evaluation| {
        e.findings.iter().any(|f| {
            f.rule() == "dust"
                && f.words(Default::default()).title.contains("kaolin")
                    | f.words(Default::default()).title.contains("Kaolin")
        })
    };
    assert!(dust(&a) && dust(&b));
}

#[test]
fn a_line_without_its_material_is_a_stop_and_the_rest_still_counts() {
    let project = quern_project::demo();
    let mut formula = (*project.formulas[0]).clone();
    let id = formula.lines().next().unwrap().1.id;
    formula.set_item(id, Item::Material(MaterialId::new("gone"))).unwrap();
    let rules = check(&formula, &project, &project.plan(&formula.id));
    assert!(rules.contains(&"material-missing"), "{rules:?}");
}
