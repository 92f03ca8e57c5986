//! What must not change what the program says: the order of lines, a line in two, a premix in the
//! place of its lines. Over random formulas of the whole library.
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

use formulas::{evaluated, label_of, random, today};
use proptest::prelude::*;
use quern_calc::findings::{Problem, Severity};
use quern_calc::formula::{Amount, Form, Formula, FormulaId, Item, Library, Line, LineId};
use quern_calc::quantity::Percent;
use rust_decimal::Decimal;

fn library(formulas: &[&Formula]) -> Library {
    let materials = quern_project::library::builtin().materials.values().cloned();
    Library::new(materials, formulas.iter().map(|f| Arc::new((*f).clone())))
}

type Said = BTreeSet<(String, Severity, String)>;

/// What is said, by key or by rule alone, with severity and title.
fn said(formula: &Formula, library: &Library, keys: bool, of: fn(&Problem) -> bool) -> Said {
    let all = evaluated(formula, library, today()).findings;
    all.iter()
        .filter(|f| of(&f.problem))
        .map(|f| (if keys { f.key() } else { f.rule().to_owned() }, f.severity(), f.said()))
        .collect()
}

fn texts(formula: &Formula, library: &Library) -> Vec<Vec<String>> {
    ["eu", "us"].map(|m| label_of(formula, library, m, today()).lines()).to_vec()
}

/// Splitting a line halves what is put on the scale, which is the bench's business.
fn not_weighing(problem: &Problem) -> bool {
    use Problem as P;
    !matches!(problem, P::TooSmall { .. } | P::LineAboveScale { .. })
}

/// Of the law and of what keeps it, which look through a premix.
fn of_the_product(problem: &Problem) -> bool {
    use Problem as P;
    matches!(problem, P::Keeping(_) | P::Allergy(_) | P::Hlb(_))
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 96,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn the_order_of_lines_changes_neither_findings_nor_label(formula in random()) {
        let mut other = formula.clone();
        for phase in &mut other.phases {
            phase.lines.reverse();
        }
        let library = library(&[]);
        prop_assert_eq!(texts(&formula, &library), texts(&other, &library));
        let before = said(&formula, &library, true, |_| true);
        prop_assert_eq!(before, said(&other, &library, true, |_| true));
    }

    #[test]
    fn a_line_in_two_changes_neither_titles_nor_label(
        formula in random(), which in 0_usize..40, tenths in 1_i64..10
    ) {
        let mut other = formula.clone();
        let count = formula.lines().count();
        let line = formula.lines().nth(which % count).unwrap().1.clone();
        let whole = line.amount.unwrap().percent;
        let part = Percent(whole.0 * Decimal::new(tenths, 1));
        for phase in &mut other.phases {
            if let Some(at) = phase.lines.iter().position(|l| l.id == line.id) {
                let mut second = phase.lines[at].clone();
                phase.lines[at].amount = Some(Amount::percent((whole - part).0));
                second.id = LineId(999);
                second.amount = Some(Amount::percent(part.0));
                phase.lines.push(second);
            }
        }
        let library = library(&[]);
        prop_assert_eq!(texts(&formula, &library), texts(&other, &library));
        let before = said(&formula, &library, false, not_weighing);
        prop_assert_eq!(before, said(&other, &library, false, not_weighing));
    }

    #[test]
    fn a_premix_is_its_lines(formula in random()) {
        // The first phase as a premix of 100 %, used at its share of the product.
        let mut premix = formula.clone();
        premix.id = FormulaId::new("premix");
        premix.product.form = Form::Premix;
        premix.phases.truncate(1);
        let total: Decimal = premix.phases[0].lines.iter().map(|l| l.amount.unwrap().percent.0).sum();
        let mut nested = formula.clone();
        let mut opened = formula;
        for (inner, outer) in premix.phases[0].lines.iter_mut().zip(&mut opened.phases[0].lines) {
            // To two decimals of the premix, so that shares of shares stay exact.
            let share = (inner.amount.unwrap().percent.0 * Decimal::ONE_HUNDRED / total).round_dp(2);
            inner.amount = Some(Amount::percent(share));
            outer.amount = Some(Amount::percent(share * Decimal::new(5, 1)));
        }
        nested.phases[0].lines = vec![Line {
            id: LineId(999),
            item: Item::Formula(premix.id.clone()),
            amount: Some(Amount::percent(Decimal::from(50))),
            locked: false,
            alternatives: Vec::new(),
            note: String::new(),
        }];
        let library = library(&[&premix]);
        prop_assert_eq!(texts(&nested, &library), texts(&opened, &library));
        let before = said(&nested, &library, false, of_the_product);
        prop_assert_eq!(before, said(&opened, &library, false, of_the_product));
    }
}
