//! The Label view: list, content, dates, cautions, the sheet and the alarm when it is stale.

use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use quern_calc::formula::Net;
use quern_studio::app::App;
use quern_studio::app::files::Answer;
use quern_tests::{Open, window};

use crate::grit::shows;
use crate::{enter, keys, press, said};

fn label_window(answers: Vec<Answer>) -> Harness<'static, App> {
    let mut h = window(Open { size: [1280.0, 2200.0], answers, ..Open::default() });
    keys(&mut h, Modifiers::COMMAND, Key::Num6);
    h.run_steps(4);
    h
}

#[test]
fn the_list_is_explained_for_each_market() {
    let mut h = label_window(Vec::new());
    shows(&h, "Ingredients: Sodium Cocoyl Isethionate, Zea Mays Starch, ");
    shows(&h, "1 %: below, the order is free");
    shows(&h, "by amount; from Maize starch");
    shows(&h, "fragrance allergen above 0.01 %: named in addition");
    press(&mut h, "United States");
    h.run_steps(3);
    shows(&h, "Corn");
    shows(&h, "21 CFR 701");
    press(&mut h, "Copy list");
    assert!(said(&h).contains("Ingredient list copied"), "{}", said(&h));
}

#[test]
fn what_the_pack_says_is_typed_and_undone() {
    let mut h = label_window(Vec::new());
    let label = |h: &mut Harness<'_, App>| h.state_mut().here().unwrap().formula.label.clone();
    enter(&mut h, "Name on the pack", "Dune face bar");
    assert_eq!(label(&mut h).name, "Dune face bar");
    enter(&mut h, "Net content", "2.5 oz");
    assert_eq!(label(&mut h).net, Some(Net::Grams("70.8738078125".parse().unwrap())));
    enter(&mut h, "Net content", "75 cm");
    assert!(said(&h).contains("Net content"), "{}", said(&h));
    // A bar is sold by mass.
    enter(&mut h, "Net content", "75");
    shows(&h, "75 g");
    press(&mut h, "United States");
    h.run_steps(3);
    shows(&h, "Net Wt 2.6 oz (75 g)");
    press(&mut h, "European Union");
    h.run_steps(3);
    // 30 months or less: a date; more: the open jar.
    enter(&mut h, "Made on", "2026-01-15");
    enter(&mut h, "Keeps unopened in months", "24");
    shows(&h, "Best used before the end of 12/2027");
    enter(&mut h, "Keeps unopened in months", "36");
    enter(&mut h, "Keeps opened in months", "12");
    shows(&h, "open jar 12M");
    enter(&mut h, "Keeps opened in months", "1.5");
    assert!(said(&h).contains("whole number"), "{}", said(&h));
    enter(&mut h, "Pattern of the lot code", "{name:3}-{yy}{ddd}");
    shows(&h, "Lot DUN-26015");
    enter(&mut h, "Pattern of the lot code", "{nam}");
    shows(&h, "Batch code: ");
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    h.run_steps(2);
    shows(&h, "Lot DUN-26015");
    enter(&mut h, "Letter height in mm", "1");
    shows(&h, "Small letters of the list: ");
}

#[test]
fn the_sheet_is_written_and_goes_stale_when_the_formula_changes() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("dune-label.html");
    let mut h = label_window(vec![Answer::Path(path.clone())]);
    press(&mut h, "Label sheet...");
    press(&mut h, "HTML...");
    h.run_steps(4);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{e}; {}", said(&h)));
    for word in ["Sodium Cocoyl Isethionate", "What was not checked", "qualified assessor", "70"] {
        assert!(text.contains(word), "the sheet lacks {word}");
    }
    shows(&h, "As it was printed on 25 November 2026");
    // A change that the label does not show is no alarm; one that it shows is.
    keys(&mut h, Modifiers::COMMAND, Key::Num1);
    h.run_steps(3);
    enter(&mut h, "Glycerine, percent", "4.5");
    keys(&mut h, Modifiers::COMMAND, Key::Num6);
    h.run_steps(4);
    shows(&h, "The label has changed since it was printed on 25 November 2026 for version 4");
    shows(&h, "ingredients, then: ");
    let here = h.state_mut().here().unwrap();
    assert!(here.evaluation.findings.iter().any(|f| f.rule() == "label-stale"));
    // What was printed is in the file.
    let text = quern_project::to_text(h.state().document().project()).unwrap();
    assert!(text.contains("printed: ["), "kept with the formula");
}

#[test]
fn a_stop_is_told_before_anything_is_printed() {
    let mut h = label_window(Vec::new());
    keys(&mut h, Modifiers::COMMAND, Key::Num1);
    h.run_steps(3);
    enter(&mut h, "Phenoxyethanol with ethylhexylglycerin, 9 to 1, percent", "2");
    keys(&mut h, Modifiers::COMMAND, Key::Num6);
    h.run_steps(4);
    shows(&h, "A Stop stands: see the Findings view before anything is printed");
    assert!(h.query_by_label_contains("safe to").is_none());
}
