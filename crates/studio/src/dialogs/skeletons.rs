//! Kinds of product to begin with: what each usually holds, before one chooses.

use egui::{
    Align2, ComboBox, Label, RichText, Role, ScrollArea, Sense, Stroke, Ui, WidgetInfo, pos2, vec2,
};
use quern_calc::formula::{Formula, FormulaId, KindRanges};
use quern_calc::number::format_plain;
use quern_calc::quantity::Percent;
use quern_project::rules::usual_ranges;

use super::{focus_first, note, title};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::home::HomeAction;
use crate::look::{Tokens, fonts, size};
use crate::views::home::kind_name;
use crate::widgets::primary_button;

/// Width of the list of kinds, where there is room for it.
const LIST: f32 = 190.0;

/// Shows the kinds with the one that is looked at; true to close.
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    chosen: &mut Option<FormulaId>,
    actions: &mut Vec<Action>,
) -> bool {
    let wide = ui.available_width() > 640.0;
    ui.set_width(760.0_f32.min(ui.available_width()));
    title(ui, say!("Begin with a kind of product"));
    let skeletons = quern_project::skeletons();
    let here =
        chosen.as_ref().and_then(|id| skeletons.formula(id)).or_else(|| skeletons.formulas.first());
    let Some(here) = here else {
        return ui.button(say!("Close")).clicked();
    };
    let height = (ui.ctx().content_rect().height() - 210.0).clamp(150.0, 460.0);
    if wide {
        ui.horizontal_top(|ui| {
            ui.vertical(|ui| {
                ui.set_width(LIST);
                for f in &skeletons.formulas {
                    let on = f.id == here.id;
                    let name = (kind_name(&f.name), egui::Atom::grow());
                    let button = egui::Button::selectable(on, name);
                    let response = ui.add(button.min_size(vec2(LIST, size::CONTROL)));
                    if on {
                        focus_first(ui, &response);
                    }
                    if response.clicked() || response.gained_focus() {
                        *chosen = Some(f.id.clone());
                    }
                }
            });
            ui.add_space(12.0);
            ui.vertical(|ui| details(ui, scene, here, height));
        });
    } else {
        ComboBox::from_id_salt("skeleton-kind")
            .selected_text(kind_name(&here.name))
            .width(260.0)
            .show_ui(ui, |ui| {
                for f in &skeletons.formulas {
                    if ui.selectable_label(f.id == here.id, kind_name(&f.name)).clicked() {
                        *chosen = Some(f.id.clone());
                    }
                }
            })
            .response
            .accessible_name(say!("Kind of product"));
        ui.add_space(6.0);
        details(ui, scene, here, height);
    }
    ui.add_space(12.0);
    let mut close = false;
    ui.horizontal_wrapped(|ui| {
        if primary_button(ui, say!("Add to this project")).clicked() {
            actions.push(Action::AddSkeleton(here.id.clone()));
            close = true;
        }
        if ui.button(say!("New project from it")).clicked() {
            actions.push(Action::Home(HomeAction::FromSkeleton(here.id.clone())));
            close = true;
        }
        if ui.button(say!("Cancel")).clicked() {
            close = true;
        }
    });
    close
}

fn details(ui: &mut Ui, scene: &Scene<'_>, formula: &Formula, height: f32) {
    let t = Tokens::of(ui);
    let Some(kind) = usual_ranges().of(&formula.id) else {
        note(ui, &formula.note);
        return;
    };
    let about = RichText::new(&kind.about).color(t.muted);
    ui.add(Label::new(about).wrap());
    ScrollArea::vertical().max_height(height).auto_shrink([false, true]).id_salt("ranges").show(
        ui,
        |ui| {
            ranges(ui, scene, formula, kind);
            ui.add_space(8.0);
            ui.add(Label::new(RichText::new(&kind.keeping).font(fonts::small())).wrap());
            ui.add_space(6.0);
            note(
                ui,
                &say!(
                    "{bases}. In % of the product; nothing in a skeleton was tested as a product",
                    bases = bases(kind)
                ),
            );
        },
    );
}

/// What the ranges rest on, in words.
fn bases(kind: &KindRanges) -> String {
    let mut names: Vec<String> = Vec::new();
    for row in &kind.rows {
        let text = match row.basis.name() {
            basis if basis == row.source => basis.to_owned(),
            basis => format!("{} ({basis})", row.source),
        };
        if !names.contains(&text) {
            names.push(text);
        }
    }
    say!("Ranges: {names}", names = names.join("; "))
}

fn ranges(ui: &mut Ui, scene: &Scene<'_>, formula: &Formula, kind: &KindRanges) {
    let materials = &quern_project::skeletons().library();
    let style = scene.style();
    let number = |p: Percent| format_plain(p.0.normalize(), style);
    row(
        ui,
        say!("Function"),
        "",
        [say!("Min"), say!("Usual"), say!("Max"), say!("Here")].map(str::to_owned),
        true,
    );
    for range in &kind.rows {
        let usual = match range.usual {
            Some((low, high)) if low == high => number(low),
            Some((low, high)) => format!("{}–{}", number(low), number(high)),
            None => "–".to_owned(),
        };
        let max = range.max.map_or_else(|| say!("limit").to_owned(), number);
        let held = Percent(range.held(formula, materials).0.round_dp(2));
        row(ui, &range.what, &range.note, [number(range.min), usual, max, number(held)], false);
    }
}

/// A range: what it is with its note below, and four figures at the right.
fn row(ui: &mut Ui, name: &str, about: &str, cells: [String; 4], head: bool) {
    const CELL: f32 = 60.0;
    let t = Tokens::of(ui);
    let width = ui.available_width();
    let room = width - CELL * 4.0 - 4.0;
    let [min, usual, max, here] = &cells;
    let color = if head { t.muted } else { t.ink };
    let font = if head { fonts::strong(size::SMALL) } else { fonts::text() };
    let name_galley = ui.painter().layout(name.to_owned(), font.clone(), color, room);
    let note_galley = ui.painter().layout(about.to_owned(), fonts::small(), t.muted, room);
    let below = if about.is_empty() { 0.0 } else { note_galley.size().y };
    let height = name_galley.size().y + below + 10.0;
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
    response.widget_info(|| {
        let said = say!(
            "{name}: min {min}, usual {usual}, max {max}, here {here}",
            name,
            min,
            usual,
            max,
            here
        );
        let said = if head { name.to_owned() } else { said };
        WidgetInfo::labeled(Role::Label, true, said)
    });
    let painter = ui.painter();
    let top = rect.top() + 4.0;
    let line = name_galley.size().y.min(20.0);
    painter.galley(pos2(rect.left(), top), name_galley.clone(), color);
    painter.galley(pos2(rect.left(), top + name_galley.size().y), note_galley, t.muted);
    for (i, text) in cells.iter().enumerate() {
        let own = i == 3 && !head;
        let font = if own { fonts::strong(size::TEXT) } else { font.clone() };
        #[allow(clippy::cast_precision_loss)] // four
        let x = rect.left() + room + CELL * (i as f32 + 1.0);
        let at = pos2(x, top + line / 2.0);
        painter.text(at, Align2::RIGHT_CENTER, text, font, color);
    }
    let edge = if head { t.edge } else { t.hairline };
    painter.hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, edge));
}
