//! Evaluation, opening and saving, each beside a yardstick in the same run.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use std::sync::Arc;

use divan::Bencher;
use quern_calc::evaluate::{Context, SettingAsk, evaluate, setting_figures};
use quern_calc::formula::{
    Amount, Contact, Form, Formula, FormulaId, Item, Library, Material, MaterialId, Place, Product,
};
use quern_calc::quantity::Date;
use quern_calc::rules::Rules;
use quern_project::Project;
use quern_project::rules::builtin_rules;
use rust_decimal::Decimal;

fn main() {
    divan::main();
}

fn day() -> Date {
    Date::new(2026, 11, 25).unwrap_or(Date::Y2K)
}

/// The demo's first bar with its lines repeated until there are `n`.
fn formula_of(n: usize) -> (Formula, Library, Project) {
    let project = quern_project::demo();
    let mut formula = (*project.formulas[0]).clone();
    let items: Vec<_> = formula.lines().map(|(_, l)| l.item.clone()).collect();
    let phase = formula.phases[0].id;
    for i in formula.lines().count()..n {
        let item = items[i % items.len()].clone();
        let line = formula.add_line(phase, item, None).unwrap();
        formula.set_amount(line, Some(Amount::percent(Decimal::new(1, 2)))).unwrap();
    }
    let library = project.library();
    (formula, library, project)
}

#[divan::bench(args = [14, 30, 200])]
fn evaluate_lines(bencher: Bencher<'_, '_>, n: usize) {
    let (formula, library, project) = formula_of(n);
    let (rules, plan) = (Rules::default(), project.plan(&formula.id));
    let context = Context::on(day());
    bencher.bench(|| evaluate(&formula, &library, &rules, &plan, &context));
}

/// The same with every rule of the built-in data: limits, allergens, preservation, mixing. The
/// difference to `evaluate_lines` is what the rules cost.
#[divan::bench(args = [14, 30, 200])]
fn evaluate_lines_with_rules(bencher: Bencher<'_, '_>, n: usize) {
    let (formula, library, project) = formula_of(n);
    let (rules, plan) = (builtin_rules(), project.plan(&formula.id));
    let context = Context::on(day());
    bencher.bench(|| evaluate(&formula, &library, rules, &plan, &context));
}

/// A lotion of `n` different materials of the library, evenly over its kinds.
fn varied(n: usize) -> (Formula, Library, Project) {
    let project = quern_project::demo();
    let mut formula = Formula::empty(FormulaId::new("varied"), "Varied");
    formula.product = Product::new(Form::Emulsion, Place::Face, Contact::LeaveOn);
    let library = project.library();
    let materials: Vec<_> = quern_project::library::builtin().materials.values().collect();
    let phase = formula.phases[0].id;
    for i in 0..n {
        let material = materials[i * materials.len() / n];
        let line = formula.add_line(phase, Item::Material(material.id.clone()), None).unwrap();
        let share = Decimal::from(100) / Decimal::from(n);
        formula.set_amount(line, Some(Amount::percent(share.round_dp(4)))).unwrap();
    }
    (formula, library, project)
}

#[divan::bench(args = [30, 200])]
fn evaluate_varied(bencher: Bencher<'_, '_>, n: usize) {
    let (formula, library, project) = varied(n);
    let (rules, plan) = (Rules::default(), project.plan(&formula.id));
    let context = Context::on(day());
    bencher.bench(|| evaluate(&formula, &library, &rules, &plan, &context));
}

#[divan::bench(args = [30, 200])]
fn evaluate_varied_with_rules(bencher: Bencher<'_, '_>, n: usize) {
    let (formula, library, project) = varied(n);
    let (rules, plan) = (builtin_rules(), project.plan(&formula.id));
    let context = Context::on(day());
    bencher.bench(|| evaluate(&formula, &library, rules, &plan, &context));
}

/// Everything of the Setting view for the demo's first bar.
#[divan::bench(args = [14, 30])]
fn setting_of_lines(bencher: Bencher<'_, '_>, n: usize) {
    let (formula, library, project) = formula_of(n);
    let context = Context::on(day());
    let plan = project.plan(&formula.id);
    let e = evaluate(&formula, &library, &Rules::default(), &plan, &context);
    let ask = SettingAsk::default();
    bencher.bench(|| setting_figures(&formula, &library, &context, &e, &ask));
}

/// Yardstick: 10 000 exact decimal additions.
#[divan::bench]
fn yardstick_decimal_sums(bencher: Bencher<'_, '_>) {
    let step = Decimal::new(12_345, 4);
    bencher.bench(|| (0..10_000).fold(Decimal::ZERO, |sum, _| sum + step));
}

fn big_project() -> Project {
    let mut project = quern_project::demo();
    for i in 0..996 {
        let mut f = (*project.formulas[i % 4]).clone();
        f.id = FormulaId::new(&format!("formula-{i}"));
        f.name = format!("Formula {i}");
        project.formulas.push(Arc::new(f));
    }
    project
}

#[divan::bench(sample_count = 20)]
fn save_1000_formulas(bencher: Bencher<'_, '_>) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("big.ron");
    let mut project = big_project();
    let mut n = 0;
    bencher.bench_local(|| {
        n += 1;
        project.note = format!("change {n}");
        quern_project::save(&path, &project, None).unwrap()
    });
}

#[divan::bench(sample_count = 20)]
fn open_1000_formulas(bencher: Bencher<'_, '_>) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("big.ron");
    quern_project::save(&path, &big_project(), None).unwrap();
    bencher.bench_local(|| quern_project::load(&path).unwrap());
}

/// Yardstick: reading and writing as many bytes.
#[divan::bench(sample_count = 20)]
fn yardstick_copy_of_the_same_file(bencher: Bencher<'_, '_>) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("big.ron");
    quern_project::save(&path, &big_project(), None).unwrap();
    bencher.bench_local(|| {
        let bytes = std::fs::read(&path).unwrap();
        std::fs::write(folder.path().join("copy.ron"), bytes).unwrap();
    });
}

#[divan::bench]
fn open_the_demo() -> Project {
    quern_project::demo()
}

#[divan::bench(args = ["shea", "sod coc ise", "caprilic"])]
fn search_the_library(bencher: Bencher<'_, '_>, query: &str) {
    let index = quern_project::library::SearchIndex::new(
        quern_project::library::builtin().materials.values(),
    );
    bencher.bench_local(|| index.find(query, 60));
}

/// The same among 5,000 materials: the library over and over, each time under other names.
#[divan::bench(args = ["shea", "sod coc ise", "caprilic"])]
fn search_5000_materials(bencher: Bencher<'_, '_>, query: &str) {
    let built_in: Vec<_> = quern_project::library::builtin().materials.values().collect();
    let many: Vec<Arc<Material>> = (0..5_000)
        .map(|i| {
            let mut material = (**built_in[i % built_in.len()]).clone();
            let round = i / built_in.len();
            material.id = MaterialId::new(&format!("{}-{round}", material.id));
            for name in &mut material.names {
                name.push_str(&format!(" grade {round}"));
            }
            Arc::new(material)
        })
        .collect();
    let index = quern_project::library::SearchIndex::new(many.iter());
    bencher.bench_local(|| index.find(query, 60));
}
