//! What the whole program says of a formula on the bench: every rule, every figure, the label.
#![allow(dead_code)]

#[path = "../interactions/bench.rs"]
mod bench;

use proptest::prelude::*;
use quern_calc::batch::BatchPlan;
use quern_calc::evaluate::{Context, Evaluation, Opened, evaluate, side_label};
use quern_calc::findings::{Finding, Severity};
use quern_calc::formula::{
    Contact, Form, Formula, Item, Library, PhaseKind, PhaseTemperature, Place,
};
use quern_calc::label::Label;
use quern_calc::number::NumberStyle;
use quern_calc::quantity::Date;
use rust_decimal::Decimal;

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
    side_label(formula, &opened, &evaluation, market, &context, NumberStyle::default()).label
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
        assert!(found.is_empty(), "{rule}: {found:?}");
    }
}

/// Ids of the library, in an order that is always the same.
pub fn pool() -> Vec<Item> {
    let all = quern_project::library::builtin().materials.values();
    all.map(|m| Item::Material(m.id.clone())).collect()
}

pub fn random() -> impl Strategy<Value = Formula> {
    let pool = pool();
    let line = (0..pool.len(), 1_i64..3_000);
    let phase = (0..PhaseKind::ALL.len(), prop::collection::vec(line, 1..9));
    let phases = prop::collection::vec(phase, 1..4);
    let what = (0..Form::ALL.len(), 0..Place::ALL.len(), any::<bool>());
    (what, phases, prop::option::of(20_i64..120)).prop_map(
        move |((form, place, on), phases, ph)| {
            let mut case = bench(Form::ALL[form])
                .product(Place::ALL[place], if on { Contact::LeaveOn } else { Contact::RinseOff });
            for (kind, lines) in phases {
                let texts: Vec<(String, String)> = lines
                    .iter()
                    .map(|(m, p)| {
                        let Item::Material(id) = &pool[*m] else { unreachable!() };
                        (id.to_string(), Decimal::new(*p, 2).to_string())
                    })
                    .collect();
                let lines: Vec<(&str, &str)> =
                    texts.iter().map(|(m, p)| (m.as_str(), p.as_str())).collect();
                let heat = PhaseTemperature::HeatTo(60.0);
                case = case.phase(PhaseKind::ALL[kind], heat, &lines);
            }
            if let Some(ph) = ph {
                case = case.ph(&Decimal::new(ph, 1).to_string(), ph % 2 == 0);
            }
            case.formula
        },
    )
}
