//! The Grit view: sizes, index, guides, finding, swapping, keeping and sharing a blend.

use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use quern_calc::evaluate::GrainFigures;
use quern_calc::formula::Place;
use quern_studio::app::App;
use quern_tests::{Open, demo_window, window};

use crate::{command, enter, keys, percent, press, said};

const RICE: &str = "Rice powder, fine";
const BEADS: &str = "Jojoba beads, fine";

fn grit_window() -> Harness<'static, App> {
    // Tall enough to see the map and the guides without scrolling.
    let mut h = window(Open { size: [1280.0, 1500.0], ..Open::default() });
    keys(&mut h, Modifiers::COMMAND, Key::Num3);
    h.run_steps(3);
    h
}

fn grains(h: &mut Harness<'_, App>) -> GrainFigures {
    h.state_mut().here().unwrap().evaluation.grains.clone().unwrap()
}

/// Every text in the window, one under the other.
fn texts(h: &Harness<'_, App>) -> String {
    use egui_kittest::kittest::NodeT as _;
    h.root()
        .children_recursive()
        .filter_map(|n| {
            let n = n.accesskit_node();
            n.label().or(n.value())
        })
        .collect::<Vec<_>>()
        .join("\n")
}

#[track_caller]
pub fn shows(h: &Harness<'_, App>, text: &str) {
    let all = texts(h);
    assert!(all.contains(text), "{text:?} is not in\n{all}");
}

/// Types over what a text field of a dialog holds.
#[track_caller]
pub fn fill(h: &mut Harness<'_, App>, field: &str, text: &str) {
    h.get_by_label(field).focus();
    h.run_steps(2);
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.run_steps(1);
    h.get_by_label(field).type_text(text);
    h.run_steps(2);
}

/// Clicks a choice of a box that drops down.
#[track_caller]
pub fn choose(h: &mut Harness<'_, App>, name: &str, choice: &str) {
    press(h, name);
    h.run_steps(2);
    press(h, choice);
    h.run_steps(2);
}

#[test]
fn the_view_says_what_the_index_is_and_is_not() {
    let h = grit_window();
    shows(&h, "Grit index: Dune 7, very gentle");
    shows(&h, "it is not a safety test, and no skin study stands behind its constants");
    shows(&h, "in 90 % of 64 draws of the constants");
    shows(&h, "within the guide");
}

#[test]
fn the_cut_is_typed_dragged_by_keys_and_read() {
    let mut h = grit_window();
    enter(&mut h, "Cut size, µm", "400");
    assert!((h.state().state().grit.cut_um - 400.0).abs() < 1e-9);
    shows(&h, "Above the cut at 400 µm, %");
    h.get_by_label("Cut on the chart, µm").focus();
    h.run_steps(2);
    h.key_press(Key::ArrowRight);
    h.run_steps(2);
    keys(&mut h, Modifiers::SHIFT, Key::ArrowLeft);
    assert!((h.state().state().grit.cut_um - 355.0).abs() < 1e-9);
    // Out of range is brought to the nearest end, never beyond the chart.
    enter(&mut h, "Cut size, µm", "99999");
    assert!((h.state().state().grit.cut_um - 2000.0).abs() < 1e-9);
}

#[test]
fn a_load_is_typed_and_the_rest_fills_to_100() {
    let mut h = grit_window();
    let before = grains(&mut h).grit.index;
    enter(&mut h, &format!("{RICE}, load in percent"), "2.5");
    assert_eq!(percent(&mut h, RICE), "2.5");
    assert!(h.state_mut().here().unwrap().evaluation.total_ok);
    assert!(grains(&mut h).grit.index > before);
}

#[test]
fn a_blend_is_found_used_and_undone_in_one_step() {
    let mut h = grit_window();
    let before = h.state_mut().here().unwrap().formula;
    enter(&mut h, "Largest grain, µm", "900");
    enter(&mut h, "Wanted grit index", "22");
    h.run_steps(4);
    press(&mut h, "Use this blend");
    h.run_steps(3);
    let after = grains(&mut h);
    assert!((after.grit.index - 22.0).abs() < 0.3, "{}", after.grit.index);
    assert!(after.parts.len() >= 2 && after.load <= quern_calc::quantity::Percent(3.into()));
    assert!(h.state_mut().here().unwrap().evaluation.total_ok, "the q.s. line takes up the change");
    assert_eq!(h.state().document().undo_label(), Some("use blend"));
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(*h.state_mut().here().unwrap().formula, *before);
}

#[test]
fn limits_are_kept_and_named() {
    let mut h = grit_window();
    enter(&mut h, "Wanted grit index", "20");
    enter(&mut h, "Exfoliants at most, percent", "6");
    enter(&mut h, "Largest grain, µm", "800");
    enter(&mut h, "Tolerance above, percent of each exfoliant", "1");
    press(&mut h, "Nut shells may be used");
    choose(&mut h, "Prefer: nearest", "cheapest");
    h.run_steps(4);
    shows(&h, "held by: ");
    press(&mut h, "Use this blend");
    let after = grains(&mut h);
    assert!((after.grit.index - 20.0).abs() < 0.3);
    for part in &after.parts {
        assert!(part.grain.size.fraction_above(800.0) <= 0.01 + 1e-9, "{}", part.name);
    }
}

#[test]
fn what_cannot_be_reached_says_what_can_and_what_to_relax() {
    let mut h = grit_window();
    // By default each exfoliant keeps the guide of the face by itself.
    shows(&h, "face: within the guide");
    enter(&mut h, "Largest grain, µm", "2000");
    enter(&mut h, "Wanted grit index", "250");
    h.run_steps(4);
    shows(&h, "No blend has grit 250; these limits reach");
    shows(&h, "at most 3 % in all:");
    // A number out of any range is refused in words, and the ask stays.
    enter(&mut h, "Wanted grit index", "9999");
    assert!(said(&h).contains("from 0.1 to 400"), "{}", said(&h));
    assert!((h.state().state().grit.ask.index - 250.0).abs() < 1e-9);
}

#[test]
fn the_place_of_use_runs_the_guides_again() {
    let mut h = demo_window();
    command(&mut h, "shingle");
    keys(&mut h, Modifiers::COMMAND, Key::Num3);
    h.run_steps(3);
    shows(&h, "on the body, this product");
    shows(&h, "not advised, whatever the index");
    choose(&mut h, "Place of use: body", "feet");
    let here = h.state_mut().here().unwrap();
    assert_eq!(here.formula.product.place, Place::Feet);
    shows(&h, "on the feet, this product");
    assert_eq!(h.state().document().undo_label(), Some("change place of use"));
}

#[test]
fn up_to_four_blends_stand_side_by_side() {
    let mut h = grit_window();
    press(&mut h, "Beside");
    press(&mut h, "Shingle");
    press(&mut h, "Cairn");
    h.key_press(Key::Escape);
    h.run_steps(4);
    shows(&h, "Shingle 74, strong");
    shows(&h, "Cairn 142, coarse");
    press(&mut h, "Remove Cairn");
    h.run_steps(3);
    shows(&h, "difference");
    assert_eq!(h.state().state().grit.beside.len(), 1);
    press(&mut h, "Cumulative");
    assert!(h.state().state().grit.cumulative);
}

#[test]
fn a_lot_in_the_words_of_a_supplier_overrides_the_material() {
    let mut h = grit_window();
    press(&mut h, &format!("Grain data of {RICE}"));
    fill(&mut h, "Name of the lot", "lot 2611");
    fill(&mut h, "Sizes as the supplier states them", "40-60");
    h.run_steps(3);
    shows(&h, "say whether 40 and 60 are mesh or um");
    fill(&mut h, "Sizes as the supplier states them", "40-60 mesh");
    h.run_steps(3);
    shows(&h, "between 250 and 425 µm");
    // Enter adds it.
    h.key_press(Key::Enter);
    h.run_steps(3);
    press(&mut h, "Apply");
    h.run_steps(3);
    let part = grains(&mut h).parts.into_iter().find(|p| p.name == RICE).unwrap();
    assert_eq!(part.lot.as_deref(), Some("lot 2611"));
    // ASTM E11: No. 40 is 425 um and No. 60 is 250 um.
    assert!((part.grain.size.d50_um() - (250.0_f64 * 425.0).sqrt()).abs() < 1e-9);
    let project = h.state().document().project().clone();
    let kept = project.materials.get(&part.material).unwrap().grain.clone().unwrap();
    assert_eq!(kept.value.lots[0].stated, "40-60 mesh");
    assert_ne!(kept.basis, quern_calc::formula::Basis::User, "hardness keeps its own source");
    keys(&mut h, Modifiers::COMMAND, Key::Z);
    assert!(grains(&mut h).parts.iter().all(|p| p.lot.is_none()));
}

#[test]
fn a_sieve_table_is_fitted_beside_its_points() {
    let mut h = grit_window();
    press(&mut h, &format!("Grain data of {RICE}"));
    fill(&mut h, "Name of the lot", "resieved");
    press(&mut h, "as a sieve table");
    for (i, kept) in ["4", "21", "45", "22"].into_iter().enumerate() {
        let field = format!("Kept on sieve {}", i + 1);
        fill(&mut h, &field, kept);
    }
    fill(&mut h, "Mass in the pan", "8");
    fill(&mut h, "Mass weighed in before sieving", "120");
    shows(&h, "add up to 100.00 and the sample is 120.00");
    fill(&mut h, "Mass weighed in before sieving", "100");
    shows(&h, "it misses the points by");
    press(&mut h, "Add this lot");
    press(&mut h, "Apply");
    h.run_steps(3);
    let part = grains(&mut h).parts.into_iter().find(|p| p.name == RICE).unwrap();
    assert_eq!(part.lot.as_deref(), Some("resieved"));
    let d50 = part.grain.size.d50_um();
    assert!((250.0..355.0).contains(&d50), "{d50}");
}

#[test]
fn an_exfoliant_is_swapped_keeping_the_index() {
    let mut h = grit_window();
    let before = grains(&mut h).grit.index;
    press(&mut h, &format!("Swap {RICE}"));
    press(&mut h, "The new exfoliant");
    h.get_by_label("Part of a common or INCI name, or a CAS number").type_text("apricot");
    h.run_steps(3);
    h.key_press(Key::Enter);
    h.run_steps(4);
    shows(&h, "Load of the line, %");
    shows(&h, "on the label");
    press(&mut h, "Swap");
    h.run_steps(3);
    let after = grains(&mut h);
    assert!((after.grit.index - before).abs() < 0.2, "{before} {}", after.grit.index);
    assert!(after.parts.iter().all(|p| p.name != RICE));
    assert_eq!(h.state().document().undo_label(), Some("swap exfoliant"));
}

#[test]
fn a_blend_is_kept_and_dropped_into_another_base() {
    let mut h = grit_window();
    command(&mut h, "keep the blend");
    press(&mut h, "Keep");
    assert!(said(&h).contains("is kept"), "{}", said(&h));
    command(&mut h, "shingle");
    command(&mut h, "use a kept blend");
    press(&mut h, "Dune grains");
    fill(&mut h, "Load, %", "4");
    press(&mut h, "Use it");
    let after = grains(&mut h);
    assert_eq!(after.parts.len(), 2);
    assert!(after.parts.iter().all(|p| !p.direct));
    let share = after.parts.iter().find(|p| p.name == RICE).unwrap().grain.percent;
    assert!((share - 4.0 * 1.8 / 2.9).abs() < 1e-6, "{share}");
    assert!(h.state_mut().here().unwrap().evaluation.total_ok);
}

#[test]
fn a_mix_is_taken_from_the_map_by_keyboard() {
    let mut h = grit_window();
    let map = "Map of mixes";
    let node = h.get_all_by(|n| n.label().is_some_and(|l| l.starts_with(map))).next().unwrap();
    node.focus();
    h.run_steps(2);
    for _ in 0..5 {
        h.key_press(Key::ArrowRight);
        h.run_steps(1);
    }
    assert!((h.state().state().grit.mix[1] - (1.0 / 3.0 + 0.05)).abs() < 1e-9);
    h.key_press(Key::Enter);
    h.run_steps(4);
    let after = grains(&mut h);
    assert_eq!(after.parts.len(), 3);
    assert_eq!(after.load, quern_calc::quantity::Percent(3.into()));
    assert_eq!(h.state().document().undo_label(), Some("use mix"));
    press(&mut h, "As table");
    shows(&h, "shares, %");
}

#[test]
fn two_exfoliants_give_a_line() {
    let mut h = grit_window();
    let top = h
        .get_all_by(|n| n.label().is_some_and(|l| l.starts_with("Exfoliant at the top")))
        .next()
        .unwrap();
    top.click();
    h.run_steps(3);
    press(&mut h, "none");
    h.run_steps(4);
    shows(&h, "Line of mixes");
    press(&mut h, "Use this mix");
    assert_eq!(grains(&mut h).parts.len(), 2);
}

#[test]
fn own_scores_make_a_scale_with_its_residuals() {
    let mut h = grit_window();
    for (formula, score) in [("dune", "2"), ("shingle", "6.5"), ("cairn", "8")] {
        command(&mut h, formula);
        enter(&mut h, "Score of this bar, 1 to 10", score);
    }
    h.run_steps(2);
    shows(&h, "Typical error");
    shows(&h, "On your scale of 1 to 10");
    assert_eq!(h.state().document().project().grit.scores.len(), 3);
    enter(&mut h, "Score of this bar, 1 to 10", "11");
    assert!(said(&h).contains("1 to 10"));
    assert_eq!(h.state().document().undo_label(), Some("score bar"));
}

#[test]
fn grams_in_one_use_are_the_makers() {
    let mut h = grit_window();
    enter(&mut h, "Grams in one use, face", "2.5");
    let notes = h.state().document().project().grit.clone();
    assert_eq!(notes.grams_per_use(Place::Face).0.to_string(), "2.5");
    shows(&h, "your figure");
    enter(&mut h, "Grams in one use, face", "0");
    assert!(said(&h).contains("above 0"));
}

#[test]
fn an_exfoliant_is_added_from_the_library() {
    let mut h = grit_window();
    press(&mut h, "+ Add an exfoliant");
    h.get_by_label("Part of a common or INCI name, or a CAS number").type_text("bamboo");
    h.run_steps(3);
    h.key_press(Key::Enter);
    h.run_steps(4);
    let after = grains(&mut h);
    assert_eq!(after.parts.len(), 3, "{} {:?}", said(&h), after.left_out);
    let added = after.parts.iter().find(|p| p.name != RICE && p.name != BEADS).unwrap();
    assert!((added.grain.percent - 0.25).abs() < 1e-12);
}

#[test]
fn blends_go_on_one_page_to_share() {
    let folder = tempfile::tempdir().unwrap();
    for (button, file) in [("PDF...", "blends.pdf"), ("HTML...", "blends.html")] {
        let path = folder.path().join(file);
        let answers = vec![quern_studio::app::files::Answer::Path(path.clone())];
        let mut h = window(Open { answers, ..Open::default() });
        keys(&mut h, Modifiers::COMMAND, Key::Num3);
        press(&mut h, "Beside");
        press(&mut h, "Shingle");
        h.key_press(Key::Escape);
        h.run_steps(3);
        command(&mut h, "comparison sheet");
        press(&mut h, button);
        h.run_steps(4);
        assert!(said(&h).contains("Comparison sheet written"), "{}", said(&h));
        let bytes = std::fs::read(&path).unwrap();
        if file.ends_with("pdf") {
            assert!(bytes.starts_with(b"%PDF-"));
        } else {
            let text = String::from_utf8(bytes).unwrap();
            assert!(text.contains("Shingle") && text.contains("not a safety test"));
        }
    }
}

#[test]
fn a_sheet_of_another_kind_is_refused_in_words() {
    let answers = vec![quern_studio::app::files::Answer::NoWindow];
    let mut h = window(Open { answers, ..Open::default() });
    keys(&mut h, Modifiers::COMMAND, Key::Num3);
    command(&mut h, "comparison sheet");
    press(&mut h, "PDF...");
    h.run_steps(3);
    fill(&mut h, "Path of the comparison sheet", "/tmp/blends.docx");
    press(&mut h, "Write");
    h.run_steps(3);
    assert!(said(&h).contains("neither PDF nor HTML"), "{}", said(&h));
    assert_eq!(h.state().state().dialogs.len(), 1, "the path can be mended at once");
}

#[test]
fn a_formula_without_grains_says_so() {
    let mut h = demo_window();
    command(&mut h, "fen");
    keys(&mut h, Modifiers::COMMAND, Key::Num3);
    h.run_steps(3);
    shows(&h, "no exfoliant");
    assert!(h.query_by_label("Add an exfoliant...").is_some());
}

#[test]
fn nothing_is_out_of_reach_in_a_small_window() {
    for (size, scale) in [([640.0, 400.0], 1.0), ([640.0, 400.0], 2.0), ([880.0, 600.0], 1.0)] {
        let mut h = window(Open { size, scale, ..Open::default() });
        keys(&mut h, Modifiers::COMMAND, Key::Num3);
        h.run_steps(3);
        assert!(h.query_by_label("Cut size, µm").is_some(), "{size:?}");
        press(&mut h, "Show figures");
        h.run_steps(2);
        assert!(h.query_by_label("Wanted grit index").is_some(), "{size:?}");
        press(&mut h, "Hide figures");
    }
}

#[test]
fn the_view_rests_when_nothing_happens() {
    let mut h = grit_window();
    // `run` panics when the window keeps asking to be drawn.
    h.run();
}
