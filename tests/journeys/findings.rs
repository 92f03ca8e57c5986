//! The Findings view: rules with their reasons, limits, allergens, preservation, exposure.

use std::sync::Arc;

use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use quern_calc::findings::Severity;
use quern_calc::formula::{Pack, PhaseKind, VersionState};
use quern_studio::app::App;
use quern_studio::app::state::View;
use quern_tests::{Open, window};

use crate::grit::{choose, fill, shows};
use crate::{command, enter, keys, line, percent, press, said};

fn findings_window() -> Harness<'static, App> {
    let mut h = window(Open { size: [1280.0, 1800.0], ..Open::default() });
    keys(&mut h, Modifiers::COMMAND, Key::Num5);
    h.run_steps(4);
    h
}

fn rules(h: &mut Harness<'_, App>) -> Vec<&'static str> {
    let here = h.state_mut().here().unwrap();
    here.evaluation.findings.iter().map(|f| f.rule()).collect()
}

/// Sets an amount in the Formula view and comes back.
fn set(h: &mut Harness<'_, App>, name: &str, amount: &str) {
    keys(h, Modifiers::COMMAND, Key::Num1);
    h.run_steps(3);
    enter(h, &format!("{name}, percent"), amount);
    keys(h, Modifiers::COMMAND, Key::Num5);
    h.run_steps(4);
}

const PRESERVATIVE: &str = "Phenoxyethanol with ethylhexylglycerin, 9 to 1";

#[test]
fn a_limit_of_law_is_told_opened_and_fixed_by_a_click() {
    let mut h = findings_window();
    shows(&h, "note, law: ");
    // 90 % of 1.5 % is 1.35 % phenoxyethanol, and Annex V/29 allows 1 %.
    set(&mut h, PRESERVATIVE, "1.5");
    shows(&h, "stop, law: Phenoxyethanol 1.35 %, above 1 % (EU)");
    shows(&h, "1.35 % against 1 %");
    shows(&h, "Annex V/29");
    let title = "Phenoxyethanol 1.35 %, above 1 % (EU)";
    press(&mut h, &format!("Show arithmetic: {title}"));
    shows(&h, "1.35 %");
    press(&mut h, &format!("Hide arithmetic: {title}"));
    // One click brings the line to the limit, and undo takes it back.
    press(&mut h, &format!("Set to 1.11 %: {title}"));
    assert_eq!(percent(&mut h, PRESERVATIVE), "1.11");
    assert!(!rules(&mut h).contains(&"law-limit"));
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(percent(&mut h, PRESERVATIVE), "1.5");
    // The place in the formula is one click away.
    press(&mut h, &format!("Go to {PRESERVATIVE}: {title}"));
    assert_eq!(h.state().state().view, View::Formula);
    let at = line(&mut h, PRESERVATIVE);
    assert_eq!(h.state().state().line, Some(at));
}

#[test]
fn a_warning_is_accepted_with_a_reason_and_stands_again_when_it_changes() {
    let mut h = findings_window();
    set(&mut h, "Lavender essential oil", "2");
    let count = |h: &mut Harness<'_, App>| h.state_mut().here().unwrap().evaluation.counts();
    let [_, before, _] = count(&mut h);
    assert!(before > 0, "{:?}", rules(&mut h));
    let title = "Lavender essential oil at 2.00 %, above 1.00 %";
    press(&mut h, &format!("Accept: {title}"));
    press(&mut h, "Accept");
    shows(&h, "A warning is accepted with a reason; write why");
    h.get_by_label("Reason").focus();
    h.run_steps(2);
    h.get_by_label("Reason").type_text("Four testers liked it");
    h.run_steps(2);
    press(&mut h, "Accept");
    h.run_steps(3);
    assert_eq!(count(&mut h)[1], before - 1);
    shows(&h, "accepted, supplier: Lavender");
    shows(&h, "Accepted on 25 November 2026: Four testers liked it");
    // It is in the file.
    let project = Arc::clone(h.state().document().project());
    let text = quern_project::to_text(&project).unwrap();
    assert!(text.contains("Four testers liked it"));
    // More of it is not what was accepted.
    set(&mut h, "Lavender essential oil", "3");
    assert!(count(&mut h)[1] >= before);
    set(&mut h, "Lavender essential oil", "2");
    assert_eq!(count(&mut h)[1], before - 1);
    press(&mut h, &format!("Take back: {title}"));
    assert_eq!(count(&mut h)[1], before);
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(count(&mut h)[1], before - 1, "taking back can be undone");
}

#[test]
fn findings_are_filtered_by_severity_and_kind() {
    let mut h = findings_window();
    shows(&h, "Dust from");
    press(&mut h, "Notes 4");
    shows(&h, "All findings are hidden by the filters above");
    press(&mut h, "Notes 4");
    choose(&mut h, "Kind of rule: all kinds", "supplier");
    let texts = |h: &Harness<'_, App>| h.query_all_by_label_contains("Dust from").next().is_some();
    assert!(!texts(&h), "dust is practice, no supplier's limit");
    shows(&h, "All findings are hidden by the filters above");
    choose(&mut h, "Kind of rule: supplier", "all kinds");
    assert!(texts(&h));
}

/// A market's name stands over what was not checked for it, too.
fn tick(h: &mut Harness<'_, App>, name: &str) {
    h.get_by_role_and_label(egui::accesskit::Role::CheckBox, name).click();
    h.run();
}

#[test]
fn product_and_markets_decide_what_is_checked() {
    let mut h = findings_window();
    choose(&mut h, "Comes in a: wrapper", "tube");
    let pack = |h: &mut Harness<'_, App>| h.state_mut().here().unwrap().formula.product.pack;
    assert_eq!(pack(&mut h), Pack::Tube);
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(pack(&mut h), Pack::Wrapper);
    tick(&mut h, "United States");
    let markets =
        |h: &mut Harness<'_, App>| h.state_mut().here().unwrap().formula.safety.markets.clone();
    assert_eq!(markets(&mut h), ["eu"]);
    tick(&mut h, "European Union");
    assert!(said(&h).contains("At least one market"), "{}", said(&h));
    tick(&mut h, "United States");
    assert!(markets(&mut h).is_empty(), "all of them again");
    // A leave-on product has a lower threshold for allergens.
    press(&mut h, "Allergens");
    shows(&h, "Named above 0.01 % in rinse-off products");
    shows(&h, "Limonene 0.004 %: not named");
    choose(&mut h, "On the skin: rinse-off", "leave-on");
    shows(&h, "Named above 0.001 % in leave-on products");
    shows(&h, "Limonene 0.004 %: named on the label");
    // Stock from before the change may go on without the new ones.
    enter(&mut h, "Packs placed on", "2026-07-01");
    shows(&h, "Those of the new list are asked for in this product after");
    shows(&h, "Linalyl Acetate 0.188 %: will have to be named");
    enter(&mut h, "Packs placed on", "soon");
    assert!(said(&h).contains("is not a date"), "{}", said(&h));
}

#[test]
fn limits_that_are_met_are_listed_with_their_arithmetic() {
    let mut h = findings_window();
    press(&mut h, "Limits");
    shows(&h, "Phenoxyethanol: 0.81 % of at most 1 %");
    shows(&h, "Annex V/29");
    press(&mut h, "Show arithmetic: Phenoxyethanol");
    shows(&h, "Limit: at most 1 %; an amount that equals it is within");
    shows(&h, "No limit of these rules names anything in the formula");
}

#[test]
fn preservation_is_assessed_with_its_curve() {
    let mut h = findings_window();
    command(&mut h, "fen");
    h.run_steps(3);
    press(&mut h, "Preservation");
    shows(&h, "free water: treat it as a product with water");
    shows(&h, "pH 5.20 is a target: measure the finished product");
    shows(&h, "Reach");
    shows(&h, "water activity below 0.75");
    // Give it an acid preservative: the curve follows.
    keys(&mut h, Modifiers::COMMAND, Key::Num1);
    h.run_steps(3);
    keys(&mut h, Modifiers::COMMAND, Key::Enter);
    h.get_by_label("Part of a common or INCI name, or a CAS number").type_text("sodium benzoate");
    h.run_steps(4);
    h.key_press(Key::Enter);
    h.run_steps(4);
    enter(&mut h, "Sodium benzoate, percent", "0.5");
    keys(&mut h, Modifiers::COMMAND, Key::Num5);
    h.run_steps(4);
    shows(&h, "Undissociated acid over pH: a: benzoic acid (pKa 4.20)");
    press(&mut h, "As table");
    shows(&h, "4.0: 61.3 %");
    press(&mut h, "As chart");
}

#[test]
fn exposure_is_worked_out_from_what_is_entered() {
    let mut h = findings_window();
    command(&mut h, "fen");
    h.run_steps(3);
    press(&mut h, "Exposure");
    shows(&h, "SCCS Notes of Guidance, 12th revision");
    press(&mut h, "Add exposure…");
    press(&mut h, "Apply");
    shows(&h, "Choose a component");
    press(&mut h, "Component: choose");
    h.run_steps(2);
    // Further down in the list than is seen at once.
    h.get_by_label("Benzyl Alcohol").click_accesskit();
    h.run_steps(4);
    fill(&mut h, "Departure point", "0");
    press(&mut h, "Apply");
    shows(&h, "above 0");
    fill(&mut h, "Departure point", "50");
    fill(&mut h, "Absorbed, %", "10");
    press(&mut h, "Apply");
    h.run_steps(3);
    let here = h.state_mut().here().unwrap();
    let last = here.evaluation.safety.exposures.last().unwrap();
    // Hand cream, 32.70 mg/kg a day: the formula of the Notes of Guidance.
    let share = last.percent.to_f64() / 100.0;
    assert!((last.sed.unwrap() - 32.70 * share * 0.1).abs() < 1e-9);
    assert!((last.margin.unwrap() - 50.0 / last.sed.unwrap()).abs() < 1e-6);
    shows(&h, "Margin = 50");
    let count = here.formula.safety.exposures.len();
    press(&mut h, &format!("Remove exposure {count}"));
    assert_eq!(h.state_mut().here().unwrap().formula.safety.exposures.len(), count - 1);
}

#[test]
fn the_suppliers_certificate_is_typed_and_enforced() {
    let mut h = findings_window();
    assert!(rules(&mut h).contains(&"fragrance-no-certificate"));
    press(
        &mut h,
        "Supplier's figures…: No certificate for Lavender essential oil: the limit was not checked",
    );
    press(&mut h, "Add a limit");
    fill(&mut h, "Category 1", "9");
    fill(&mut h, "Limit 1, percent", "0.2");
    press(&mut h, "Apply");
    h.run_steps(3);
    shows(&h, "category");
    enter(&mut h, "Fragrance category", "9");
    assert!(rules(&mut h).contains(&"fragrance-certificate"), "{:?}", rules(&mut h));
    let here = h.state_mut().here().unwrap();
    let stop =
        here.evaluation.findings.iter().find(|f| f.rule() == "fragrance-certificate").unwrap();
    assert_eq!(stop.severity(), Severity::Stop);
    // An entry that is wrong is told and taken from nobody.
    keys(&mut h, Modifiers::COMMAND, Key::Num1);
    press(&mut h, "Lavender essential oil, material");
    command(&mut h, "supplier's figures");
    fill(&mut h, "Limit 1, percent", "200");
    press(&mut h, "Apply");
    shows(&h, "expected a percentage from 0 to 100");
    fill(&mut h, "Limit 1, percent", "0.4");
    press(&mut h, "Apply");
    assert!(!rules(&mut h).contains(&"fragrance-certificate"), "0.4 % is within 0.4 %");
}

#[test]
fn heat_sensitive_material_moves_to_the_cool_down() {
    let mut h = findings_window();
    keys(&mut h, Modifiers::COMMAND, Key::Num1);
    press(&mut h, "Rice bran oil, material");
    keys(&mut h, Modifiers::COMMAND, Key::Enter);
    h.get_by_label("Part of a common or INCI name, or a CAS number").type_text("benzyl alcohol");
    h.run_steps(4);
    h.key_press(Key::Enter);
    h.run_steps(4);
    enter(&mut h, "Benzyl alcohol, percent", "0.5");
    keys(&mut h, Modifiers::COMMAND, Key::Num5);
    h.run_steps(4);
    let found = rules(&mut h);
    assert!(found.contains(&"heat-limit"), "{found:?}");
    let here = h.state_mut().here().unwrap();
    let heat = here.evaluation.findings.iter().find(|f| f.rule() == "heat-limit").unwrap();
    let title = heat.words(quern_calc::number::NumberStyle::default()).title;
    press(&mut h, &format!("Move to cool-down: {title}"));
    let at = line(&mut h, "Benzyl alcohol");
    let here = h.state_mut().here().unwrap();
    assert_eq!(here.formula.phase_of(at).unwrap().kind, PhaseKind::CoolDown);
    assert!(said(&h).contains("Moved to the cool-down"), "{}", said(&h));
}

#[test]
fn everything_is_there_in_a_small_window_by_keyboard() {
    let mut h = window(Open { size: [640.0, 400.0], scale: 2.0, ..Open::default() });
    keys(&mut h, Modifiers::COMMAND, Key::Num5);
    h.run_steps(4);
    shows(&h, "Dust from");
    keys(&mut h, Modifiers::COMMAND, Key::I);
    h.run_steps(4);
    shows(&h, "What it is for");
    shows(&h, "Not checked");
    let released = h.state_mut().here().unwrap().formula.version.state;
    assert_eq!(released, VersionState::Draft, "the panel changes nothing by itself");
}
