#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

use std::collections::BTreeSet;
use std::sync::Arc;

use proptest::prelude::*;
use rust_decimal::Decimal;

use super::*;
use crate::evaluate::market_figures;
use crate::formula::{Amount, Contact, Form};
use crate::number::NumberStyle;
use crate::safety::fixture::{day, formula, formulas, library, market, pct};
use Contact::{LeaveOn, RinseOff};

fn rules() -> Rules {
    let mut other = market();
    other.code = "gb".to_owned();
    Rules { markets: vec![Arc::new(market()), Arc::new(other)], ..Rules::default() }
}

fn found(formula: &Formula) -> Vec<Finding> {
    let library = library();
    let mut out = Vec::new();
    let (opened, rules, date) = (Opened::new(formula, &library), rules(), day("2026-01-01"));
    let figures = market_figures(formula, &opened, &rules, date);
    check_law(formula, &opened, &rules, &figures, date, &mut out);
    out
}

fn eu(formula: &Formula) -> Vec<Finding> {
    let mut formula = formula.clone();
    formula.safety.markets = vec!["eu".to_owned()];
    found(&formula)
}

#[test]
fn too_much_is_told_with_its_arithmetic() {
    let f = formula(RinseOff, &[("Sodium Benzoate", "3.00"), ("Aqua", "97")]);
    let all = eu(&f);
    assert_eq!(all.len(), 1);
    assert_eq!(all[0].key(), "law-limit / line 1 / eu v-1");
    let words = all[0].words(NumberStyle::default());
    assert_eq!(words.title, "Benzoic acid 2.5424 %, above 2.5 % (EU)");
    assert_eq!(
        words.why,
        "Annex V/1 (title of Annex V/1) allows at most 2.5 %, counted as benzoic acid, in this \
         product: body lotion, rinse-off"
    );
    assert_eq!(words.fix, "Reduce “Sodium Benzoate” to 2.94 % or less, or swap it");
    assert_eq!(
        words.source,
        "EU, Annex V/1; Regulation (EC) 1223/2009, as of 13 May 2024; annex export of 13 May \
         2024 (read in the source); sure"
    );
    let Problem::Law(law) = &all[0].problem else { panic!() };
    assert_eq!(
        law.steps(&Say(NumberStyle::default())),
        [
            "Sodium Benzoate 3 % × 122.123 / 144.105 = 2.5424 % benzoic acid",
            "rounded to 4 decimals of a percent before it is compared",
            "limit 2.5 %",
        ]
    );
    let line = LineId(1);
    assert_eq!(law.fixes(), [Fix::SetPercent { line, percent: pct("2.94") }, Fix::Swap { line }]);
    assert_eq!(found(&f).len(), 2, "each market tells its own");
}

#[test]
fn every_kind_has_words() {
    let lines = [
        ("Methylisothiazolinone", "0.001"),
        ("Isothiazolinones", "0.05"),
        ("Triethanolamine", "3"),
        ("Acids of unknown shares", "4"),
        ("Melaleuca Alternifolia Leaf Oil", "0.1"),
        ("Polyethylene", "0.01"),
        ("Lavandula Angustifolia Oil", "0.5"),
    ];
    let all = eu(&formula(LeaveOn, &lines));
    let ids: BTreeSet<&str> = all.iter().map(Finding::rule).collect();
    let every = [
        "allergens-coming",
        "allergens-not-stated",
        "law-clash",
        "law-condition",
        "law-limit",
        "law-not-allowed",
        "law-pending",
        "law-undecided",
    ];
    assert_eq!(ids.into_iter().collect::<Vec<_>>(), every);
    let keys: BTreeSet<String> = all.iter().map(Finding::key).collect();
    assert_eq!(keys.len(), all.len(), "keys tell findings apart");
    let words: Vec<Words> = all.iter().map(|f| f.words(NumberStyle::default())).collect();
    assert!(words.iter().any(|w| w.title == "Polyethylene 0.01 %, not below 0.01 % (EU)"));
    for w in &words {
        for text in [&w.title, &w.why, &w.fix, &w.source] {
            assert!(!text.is_empty() && !text.ends_with('.') && !text.contains("  "), "{text}");
        }
        assert!(w.source.contains("as of 13 May 2024"), "{}", w.source);
        assert!(w.title.ends_with("(EU)") || w.title.starts_with("The allergens"), "{}", w.title);
    }
}

#[test]
fn a_premix_is_judged_where_it_is_used() {
    let mut f = formula(RinseOff, &[("Sodium Benzoate", "30")]);
    f.product.form = Form::Premix;
    assert!(found(&f).is_empty());
}

#[test]
fn a_locked_line_is_not_changed() {
    let mut f = formula(RinseOff, &[("Sodium Benzoate", "3")]);
    f.phases[0].lines[0].locked = true;
    let Problem::Law(law) = &eu(&f)[0].problem else { panic!() };
    assert_eq!(law.fixes(), [Fix::Swap { line: LineId(1) }]);
}

fn said(findings: &[Finding]) -> Vec<(String, Words, Severity)> {
    let mut all: Vec<_> =
        findings.iter().map(|f| (f.key(), f.words(NumberStyle::default()), f.severity())).collect();
    all.sort_by(|a, b| a.0.cmp(&b.0));
    all
}

proptest! {
    #[test]
    fn lines_may_be_in_any_order(f in formulas(), turn in 0_usize..9) {
        let mut other = f.clone();
        let lines = &mut other.phases[0].lines;
        let n = lines.len();
        lines.rotate_left(turn % n);
        prop_assert_eq!(said(&found(&other)), said(&found(&f)));
    }

    #[test]
    fn splitting_a_line_changes_no_title(f in formulas(), at in 0_usize..9, part in 1_i64..=99) {
        let mut split = f.clone();
        let lines = &mut split.phases[0].lines;
        let at = at % lines.len();
        prop_assume!(f.fills != Some(lines[at].id));
        let whole = lines[at].amount.unwrap().percent.0;
        let first = whole * Decimal::new(part, 2);
        let mut second = lines[at].clone();
        second.id = LineId(99);
        second.amount = Some(Amount::percent(whole - first));
        lines[at].amount = Some(Amount::percent(first));
        lines.push(second);
        let titles = |f: &Formula| {
            let mut all: Vec<_> = found(f)
                .iter()
                .filter(|f| f.severity() == Severity::Stop)
                .map(|f| {
                    let limit = match &f.problem {
                        Problem::Law(p) => p.reading().1,
                        _ => None,
                    };
                    (f.words(NumberStyle::default()).title, format!("{limit:?}"))
                })
                .collect();
            all.sort();
            all
        };
        prop_assert_eq!(titles(&split), titles(&f));
    }

    #[test]
    fn what_a_fix_sets_is_within_the_limit(f in formulas()) {
        for finding in eu(&f) {
            let Problem::Law(LawProblem::Above { check, remedy, .. }) = &finding.problem else {
                continue;
            };
            let Some(percent) = remedy.percent else { continue };
            prop_assert!(percent.0 > Decimal::ZERO);
            let mut fixed = f.clone();
            fixed.set_amount(remedy.line, Some(Amount::percent(percent.0))).unwrap();
            let still = eu(&fixed).into_iter().any(|g| match g.problem {
                Problem::Law(LawProblem::Above { check: now, .. }) => {
                    now.rule == check.rule && now.member == check.member && now.cap == check.cap
                }
                _ => false,
            });
            prop_assert!(!still, "{} set to {percent}", finding.key());
        }
    }
}
