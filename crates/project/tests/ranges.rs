//! Usual amounts by kind of product hold for the skeleton of that kind.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;

use quern_calc::formula::{Basis, Counts, Lies};
use quern_calc::quantity::Percent;
use quern_project::rules::usual_ranges;
use quern_project::{library, skeletons};
use rust_decimal::Decimal;

#[test]
fn every_skeleton_has_its_ranges_and_lies_within_them() {
    let project = skeletons();
    let materials = project.library();
    let ranges = usual_ranges();
    assert_eq!(ranges.kinds.len(), project.formulas.len());
    for formula in &project.formulas {
        let kind = ranges.of(&formula.id).unwrap_or_else(|| panic!("no ranges for {}", formula.id));
        assert!(!kind.about.is_empty() && !kind.keeping.is_empty());
        for row in &kind.rows {
            let held = row.held(formula, &materials);
            assert_eq!(row.lies(held), Lies::Within, "{}: {} is {held}", formula.name, row.what);
        }
        // What the rows name is nearly all of it; the rest is at most 6 %.
        let counted: BTreeSet<_> = kind
            .rows
            .iter()
            .flat_map(|row| {
                formula.lines().filter(|(_, l)| {
                    let mut one = (**formula).clone();
                    one.phases.iter_mut().for_each(|p| p.lines.retain(|x| x.id == l.id));
                    one.fills = None;
                    one.phases.iter_mut().flat_map(|p| &mut p.lines).for_each(|x| {
                        x.amount = Some(quern_calc::formula::Amount::percent(Decimal::ONE))
                    });
                    row.held(&one, &materials) > Percent::ZERO
                })
            })
            .map(|(_, l)| l.id)
            .collect();
        let left: Decimal = formula
            .lines()
            .filter(|(_, l)| !counted.contains(&l.id))
            .filter_map(|(_, l)| formula.percent_of(l))
            .map(|p| p.0)
            .sum();
        assert!(left <= Decimal::from(6), "{}: {left} % is in no row", formula.name);
    }
}

#[test]
fn rows_name_what_the_library_has() {
    let library = library::builtin();
    for row in usual_ranges().kinds.iter().flat_map(|k| &k.rows) {
        assert!(!row.source.is_empty());
        // Part of the trade's know-how without a single source; nothing here was read in one.
        assert!(matches!(row.basis, Basis::Practice | Basis::Memory), "{}", row.what);
        for counts in &row.counts {
            let known = match counts {
                Counts::Function(_) => true,
                Counts::Group(group) => library.materials.values().any(|m| m.group == *group),
                Counts::Material(id) => library.materials.contains_key(id),
            };
            assert!(known, "{}: {counts:?}", row.what);
        }
    }
}

// Amounts just outside, by hand: 24.99 % of surfactant is under the 25 of a scrub bar.
#[test]
fn the_ends_count_as_within() {
    let ranges = usual_ranges();
    let row = ranges.kinds.first().and_then(|k| k.rows.first()).unwrap();
    let at = |text: &str| row.lies(Percent(text.parse().unwrap()));
    assert_eq!(at("24.99"), Lies::Below);
    assert_eq!((at("25"), at("60")), (Lies::Within, Lies::Within));
    assert_eq!(at("60.01"), Lies::Above);
}
