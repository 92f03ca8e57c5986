//! One exfoliant for another: the ways to do it and what each changes.

use egui::{Button, Label, RichText, ScrollArea, Ui};
use quern_calc::evaluate::{Evaluation, Keep, blend_cost, item_name};
use quern_calc::number::{format_f64, format_fixed};

use super::{Foot, foot, note as muted, title};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::grit::{GritAction, SwapDraft, SwapWay};
use crate::app::state::{Dialog, ExfoliantFor, PickFor, Search};
use crate::look::{Tokens, fonts, size};
use crate::widgets::table::row_of;

/// Shows the dialog.
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    draft: &mut SwapDraft,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(640.0_f32.min(ui.available_width()));
    let Some(line) = scene.formula().line(draft.line) else { return true };
    let old = item_name(&line.item, scene.library);
    title(ui, &format!("Swap {old}"));
    let name = draft.new.as_ref().map_or("Choose an exfoliant...".to_owned(), |id| {
        let own = scene.project.materials.get(id);
        let built_in = || quern_project::library::builtin().materials.get(id);
        own.or_else(built_in).map_or_else(|| id.to_string(), |m| m.display_name().to_owned())
    });
    ui.horizontal(|ui| {
        ui.label("for");
        let response = ui.add(Button::new(&name)).accessible_name("The new exfoliant");
        super::focus_first(ui, &response);
        if response.clicked() {
            actions.push(Action::Open(Box::new(Dialog::Pick {
                purpose: PickFor::Exfoliant(ExfoliantFor::Swap(draft.line)),
                search: Search::default(),
            })));
        }
    });
    if draft.new.is_none() {
        muted(ui, "The three ways to swap are worked out once it is chosen");
        ui.add_space(8.0);
        return ui.button("Cancel").clicked();
    }
    ui.add_space(6.0);
    ways(ui, scene, draft);
    ui.horizontal(|ui| {
        ui.label("Keep the");
        for keep in Keep::ALL {
            let can = draft.ways.iter().any(|w| w.option.keep == keep && w.option.result.is_ok());
            let radio = egui::RadioButton::new(draft.keep == keep, keep.name());
            if ui.add_enabled(can, radio).clicked() {
                draft.keep = keep;
            }
        }
    });
    let Some(way) = draft.ways.iter().find(|w| w.option.keep == draft.keep) else { return true };
    changes(ui, way);
    match foot(ui, "Swap") {
        Foot::None => false,
        Foot::Cancel => true,
        Foot::Do => match (&way.option.result, &draft.new) {
            (Ok(_), Some(new)) => {
                let option = Box::new(way.option.clone());
                let action = GritAction::UseSwap(draft.line, option, new.clone());
                actions.push(Action::Grit(action));
                true
            }
            _ => false,
        },
    }
}

/// The ways side by side with how it is now.
fn ways(ui: &mut Ui, scene: &Scene<'_>, draft: &SwapDraft) {
    let t = Tokens::of(ui);
    let style = scene.style();
    let head = |s: &str| RichText::new(s).font(fonts::strong(size::SMALL)).color(t.muted);
    let mut heads = vec![head("now")];
    heads.extend(Keep::ALL.map(|k| head(&format!("same {}", k.name()))));
    row_of(ui, RichText::new(""), &heads, 104.0, true);
    let all: Vec<Option<&Evaluation>> = std::iter::once(Some(&*scene.here.evaluation))
        .chain(draft.ways.iter().map(|w| w.evaluation.as_deref()))
        .collect();
    let dash = || "–".to_owned();
    let now = scene.formula().line(draft.line).and_then(|l| scene.formula().percent_of(l));
    let loads = std::iter::once(now)
        .chain(draft.ways.iter().map(|w| w.option.result.as_ref().ok().map(|(_, p)| *p)));
    let cells: Vec<RichText> = loads
        .map(|p| RichText::new(p.map_or_else(dash, |p| format_fixed(p.0, 2, style))))
        .collect();
    row_of(ui, RichText::new("Load of the line, %"), &cells, 104.0, false);
    let mut row = |name: &str, text: &dyn Fn(&Evaluation) -> String| {
        let cells: Vec<RichText> =
            all.iter().map(|e| RichText::new(e.map_or_else(dash, text))).collect();
        row_of(ui, RichText::new(name), &cells, 104.0, false);
    };
    row("Grit index", &|e| {
        e.grains.as_ref().map_or_else(|_| dash(), |g| format_f64(g.grit.index, 0, style))
    });
    row("In words", &|e| {
        e.grains.as_ref().map_or_else(|_| dash(), |g| g.grit.band.name().to_owned())
    });
    row("D50 / D90, µm", &|e| {
        e.grains.as_ref().map_or_else(
            |_| dash(),
            |g| {
                format!(
                    "{} / {}",
                    format_f64(g.stats.d50, 0, style),
                    format_f64(g.stats.d90, 0, style)
                )
            },
        )
    });
    row("Exfoliants in 100 g, cost", &|e| {
        blend_cost(e).map_or_else(|_| dash(), |c| format_f64(c, 2, style))
    });
    row("Stops, warns, notes", &|e| {
        let [a, b, c] = e.counts();
        format!("{a} / {b} / {c}")
    });
}

/// What the chosen way changes in words.
fn changes(ui: &mut Ui, way: &SwapWay) {
    let t = Tokens::of(ui);
    if let Err(why) = &way.option.result {
        let text = RichText::new(format!("Cannot keep the {}: {why}", way.option.keep.name()));
        ui.label(text.color(t.warn));
        return;
    }
    ScrollArea::vertical().max_height(130.0).id_salt("swap-changes").show(ui, |ui| {
        let mut list = |sign: &str, what: &str, items: &[String]| {
            if !items.is_empty() {
                let text = format!("{sign} {what}: {}", items.join("; "));
                ui.add(Label::new(RichText::new(text).font(fonts::small())).wrap());
            }
        };
        list("+", "on the label", &way.names.0);
        list("−", "off the label", &way.names.1);
        list("+", "findings", &way.findings.0);
        list("−", "findings", &way.findings.1);
    });
}
