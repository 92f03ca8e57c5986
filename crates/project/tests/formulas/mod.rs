//! What the whole program says of a formula on the bench: every rule, every figure, the label.
#![allow(dead_code)]

#[path = "../interactions/bench.rs"]
mod bench;

use quern_calc::batch::BatchPlan;
use quern_calc::evaluate::{Context, Evaluation, Opened, evaluate, side_label};
use quern_calc::findings::{Finding, Severity};
use quern_calc::formula::{Formula, Library};
use quern_calc::label::Label;
use quern_calc::quantity::Date;

pub use bench::*;

/// The day of the tests, unless one says otherwise.
pub fn today() -> Date {
    day(2026, 11, 26)
}

pub fn day(year: u16, month: u8, day: u8) -> Date {
    Date::new(year, month, day).unwrap()
}

/// A whole evaluation with the built-in rules.
pub fn evaluated(formula: &Formula, library: &Library, date: Date) -> Evaluation {
    let plan = BatchPlan::default();
    evaluate(formula, library, &rules(), &plan, &Context::on(date))
}

/// The label of a formula in a market, as the program assembles it.
pub fn label_of(formula: &Formula, library: &Library, market: &str, date: Date) -> Label {
    let rules = rules();
    let context = Context::on(date);
    let evaluation = evaluate(formula, library, &rules, &BatchPlan::default(), &context);
    let opened = Opened::new(formula, library);
    let market = rules.market(market).unwrap();
    side_label(formula, &opened, &evaluation, market, &context).label
}

/// What every test here asks of a formula on the bench.
pub trait Whole {
    fn whole(&self) -> Evaluation;
    fn label(&self, market: &str) -> Label;
    fn tells(&self, rule: &str, severity: Severity) -> Finding;
    fn quiet(&self, rule: &str);
}

impl Whole for Bench {
    fn whole(&self) -> Evaluation {
        let context = Context::on(today());
        evaluate(&self.formula, &self.library(), &self.rules, &BatchPlan::default(), &context)
    }

    fn label(&self, market: &str) -> Label {
        label_of(&self.formula, &self.library(), market, today())
    }

    /// The one finding of a rule, with its severity.
    #[track_caller]
    fn tells(&self, rule: &str, severity: Severity) -> Finding {
        let all = self.whole().findings;
        let found: Vec<&Finding> = all.iter().filter(|f| f.rule() == rule).collect();
        let titles: Vec<String> = all.iter().map(Finding::said).collect();
        assert_eq!(found.len(), 1, "{rule} in {titles:#?}");
        assert_eq!(found[0].severity(), severity, "{titles:#?}");
        sound(found[0]);
        found[0].clone()
    }

    #[track_caller]
    fn quiet(&self, rule: &str) {
        let all = self.whole().findings;
        let found: Vec<String> =
            all.iter().filter(|f| f.rule() == rule).map(Finding::said).collect();
        assert_eq!(found, [String::new(); 0], "{rule}");
    }
}
