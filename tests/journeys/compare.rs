//! Point 5: two formulas, or two blends on one base, side by side.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use quern_calc::evaluate::figure_rows;
use quern_calc::formula::Function;
use quern_studio::app::Side;
use quern_tests::demo_window;

use crate::{keys, press, said};

#[test]
fn two_formulas_stand_side_by_side_and_swap() {
    let mut h = demo_window();
    keys(&mut h, Modifiers::COMMAND, Key::Num2);
    assert!(h.query_by_label("Left side: Dune").is_some());
    assert!(h.query_by_label("Right side: Shingle").is_some());
    for text in [
        "Line by line",
        "Grains by size",
        "Grit index, estimate",
        "Grains above 300 µm, % of grains",
        "Grains above 500 µm, % of grains",
        "Grains above 800 µm, % of grains",
        "Grains in 1 g of product, estimate",
        "Cost of 100 g",
        "Cost of a piece",
    ] {
        assert!(h.query_all_by_label_contains(text).next().is_some(), "{text}");
    }
    press(&mut h, "Swap sides");
    assert!(h.query_by_label("Left side: Shingle").is_some());
    assert!(h.query_by_label("Right side: Dune").is_some());
}

#[test]
fn a_blend_on_another_base_is_compared_and_taken_as_one_step() {
    let mut h = demo_window();
    let before = h.state().document().project().clone();
    keys(&mut h, Modifiers::COMMAND, Key::Num2);
    press(&mut h, "Right side: Shingle");
    // The menu of the right side: Dune as a base, with the exfoliants of Shingle.
    let dune = h.state().document().project().formulas[0].id.clone();
    let shingle = h.state().document().project().formulas[1].id.clone();
    h.key_press(Key::Escape);
    h.run_steps(3);
    press(&mut h, "Take the right blend");
    assert!(said(&h).contains("Dune now holds the exfoliants of Shingle"), "{}", said(&h));
    let project = h.state().document().project().clone();
    let library = project.library();
    let grains = |f: &quern_calc::formula::FormulaId| {
        let formula = project.formula(f).unwrap().clone();
        let (leaves, _) = quern_calc::formula::open(&formula, &library);
        leaves
            .iter()
            .filter(|l| l.material.function == Some(Function::Exfoliant))
            .map(|l| (l.material.id.clone(), l.percent))
            .collect::<Vec<_>>()
    };
    assert_eq!(grains(&dune), grains(&shingle));
    assert!(project.formula(&dune).unwrap().total_is_100(), "the q.s. line absorbs the change");
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(**h.state().document().project(), *before, "one step");
    let _ = Side::plain(dune);
}

#[test]
fn the_figures_on_screen_are_those_of_the_engine() {
    let mut h = demo_window();
    let rows = figure_rows(&h.state_mut().here().unwrap().evaluation);
    keys(&mut h, Modifiers::COMMAND, Key::Num2);
    let index = rows.iter().find(|r| r.key == "grit_index").unwrap();
    let text = format!("Grit index, estimate: {},", index.value.text(Default::default()));
    assert!(h.query_by_label_contains(&text).is_some(), "{text} is on screen");
}
