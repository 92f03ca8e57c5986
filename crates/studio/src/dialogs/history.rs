//! Every step, to go back or forward several at once.

use egui::{RichText, ScrollArea, Ui};

use super::{note, title};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::versions::{HistoryDraft, VersionAction};
use crate::look::{Tokens, size};

/// With a capital first letter.
fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

/// Shows the dialog.
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    draft: &mut HistoryDraft,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(440.0_f32.min(ui.available_width()));
    title(ui, say!("History"));
    let t = Tokens::of(ui);
    let steps = scene.document.steps();
    note(
        ui,
        say!(
            "Newest first. Choose a step to go to where it was just done; steps above the present were taken back and are lost with the next change"
        ),
    );
    ui.add_space(6.0);
    let row = size::ROW;
    let height = (ui.ctx().content_rect().height() - 240.0).clamp(120.0, 420.0);
    let mut area =
        ScrollArea::vertical().max_height(height).id_salt("history").auto_shrink([false, true]);
    let taken_back = steps.all.len() - steps.done;
    if !draft.placed {
        draft.placed = true;
        let above = taken_back as f32 * (row + ui.spacing().item_spacing.y);
        area = area.vertical_scroll_offset((above - height / 2.0).max(0.0));
    }
    area.show_rows(ui, row, steps.all.len() + 1, |ui, rows| {
        for i in rows {
            // How many steps are done at this row.
            let done = steps.all.len() - i;
            let here = done == steps.done;
            let what = match done.checked_sub(1).and_then(|at| steps.all.get(at)) {
                Some(step) if step.time.is_empty() => format!("{done}. {}", capital(&step.label)),
                Some(step) => format!("{done}. {}, {}", capital(&step.label), step.time),
                None if steps.forgot => say!("The oldest state that is remembered").to_owned(),
                None => say!("As it was at first").to_owned(),
            };
            let what = if here { say!("{what}, the present", what) } else { what };
            let color = if done > steps.done { t.muted } else { t.ink };
            let label = egui::Button::selectable(here, RichText::new(&what).color(color))
                .min_size(egui::vec2(ui.available_width(), row));
            let response = ui.add(label);
            if here {
                super::focus_first(ui, &response);
            }
            if response.clicked() && !here {
                actions.push(Action::Version(VersionAction::JumpTo(done)));
            }
        }
    });
    ui.add_space(8.0);
    ui.button(say!("Close")).clicked()
}
