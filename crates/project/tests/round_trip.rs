//! Saving and loading give back the same project.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

mod arbitrary;
mod arbitrary_material;

use std::sync::Arc;

use proptest::prelude::*;
use quern_calc::formula::Formula;
use quern_project::{LoadError, Project, library, parse, to_text};

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 192,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn what_is_saved_is_what_is_loaded(project in arbitrary::project()) {
        let text = to_text(&project).unwrap();
        let loaded = match parse(&text, "any.ron") {
            Ok(loaded) => loaded,
            Err(error) => return Err(TestCaseError::fail(format!("{error}\n{text}"))),
        };
        prop_assert_eq!(&loaded.project, &project, "{}", text);
        prop_assert_eq!(loaded.upgraded_from, None);
        prop_assert_eq!(to_text(&loaded.project).unwrap(), text);
    }

    #[test]
    fn any_text_is_refused_in_words(text in any::<String>()) {
        let error = parse(&text, "any.ron").unwrap_err().to_string();
        prop_assert!(error.starts_with("any.ron"), "{}", error);
    }

    // A single damaged character never panics, and never slips in a number that is none.
    #[test]
    fn damage_is_noticed_or_harmless(at in any::<prop::sample::Index>(), c in any::<char>()) {
        let text = to_text(&Project::blank()).unwrap();
        let mut chars: Vec<char> = text.chars().collect();
        let at = at.index(chars.len());
        chars[at] = c;
        let damaged: String = chars.into_iter().collect();
        match parse(&damaged, "any.ron") {
            Ok(loaded) => prop_assert!(to_text(&loaded.project).is_ok()),
            Err(LoadError::Syntax { line, column, .. }) => prop_assert!(line > 0 && column > 0),
            Err(_) => {}
        }
    }
}

#[test]
fn the_built_in_materials_survive_a_project() {
    let mut project = Project::blank();
    for material in library::builtin().materials.values() {
        assert!(project.carry(material));
        assert!(!project.carry(material));
    }
    let text = to_text(&project).unwrap();
    let loaded = parse(&text, "all.ron").unwrap().project;
    assert_eq!(loaded, project);
    assert_eq!(loaded.unused_materials().len(), loaded.materials.len());
    assert!(library::updates(&loaded, library::builtin()).is_empty());
}

#[test]
fn a_large_project_stays_within_its_budget() {
    let mut project = Project::blank();
    let template = Formula::clone(&project.formulas[0]);
    let materials: Vec<_> = library::builtin().materials.values().take(12).cloned().collect();
    project.formulas = (0..1000_u32)
        .map(|n| {
            let mut formula = template.clone();
            formula.id = quern_calc::formula::FormulaId::new(&format!("f-{n}"));
            let phase = formula.phases[0].id;
            for m in &materials {
                let item = quern_calc::formula::Item::Material(m.id.clone());
                let line = formula.add_line(phase, item, None).unwrap();
                let amount = quern_calc::formula::Amount::percent(n.into());
                formula.set_amount(line, Some(amount)).unwrap();
            }
            Arc::new(formula)
        })
        .collect();
    let start = std::time::Instant::now();
    let text = to_text(&project).unwrap();
    let wrote = start.elapsed();
    let loaded = parse(&text, "large.ron").unwrap();
    let read = start.elapsed() - wrote;
    assert_eq!(loaded.project, project);
    println!("{} bytes: written in {wrote:?}, read in {read:?}", text.len());
    // The budget is 0.3 s and 0.5 s for a release build; this only catches a slip in order.
    assert!(wrote.as_secs() < 6 && read.as_secs() < 10, "{wrote:?} {read:?}");
}
