//! The rail of views on the left.

use egui::{Rect, Role, Sense, Ui, WidgetInfo, pos2, vec2};

use crate::app::Scene;
use crate::app::action::Action;
use crate::app::commands::Command;
use crate::app::state::View;
use crate::look::icons::{self, Icon};
use crate::look::{Tokens, fonts};

/// Draws the rail.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, low: bool, actions: &mut Vec<Action>) {
    let t = Tokens::of(ui);
    ui.spacing_mut().item_spacing.y = 0.0;
    ui.add_space(if low { 2.0 } else { 8.0 });
    for (view, icon, command) in [
        (View::Home, Icon::Home, Command::ShowHome),
        (View::Formula, Icon::Formula, Command::ShowFormula),
        (View::Grit, Icon::Grit, Command::ShowGrit),
        (View::Setting, Icon::Setting, Command::ShowSetting),
        (View::Findings, Icon::Findings, Command::ShowFindings),
        (View::Label, Icon::Label, Command::ShowLabel),
        (View::Compare, Icon::Compare, Command::ShowCompare),
    ] {
        let here = scene.ui.view == view;
        let name = command.row().name();
        let height = if low { 40.0 } else { 56.0 };
        let (rect, response) =
            ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::click());
        response.widget_info(|| WidgetInfo::selected(Role::Tab, true, here, name));
        let painter = ui.painter();
        if here {
            painter.rect_filled(rect, 0.0, t.paper);
            let edge = Rect::from_min_max(rect.min, pos2(rect.left() + 3.0, rect.bottom()));
            painter.rect_filled(edge, 0.0, t.accent);
        } else if response.hovered() {
            painter.rect_filled(rect, 0.0, t.hover);
        }
        let color = if here { t.accent } else { t.muted };
        let center = if low { rect.center() } else { rect.center() - vec2(0.0, 9.0) };
        icons::draw(painter, icon, Rect::from_center_size(center, vec2(20.0, 20.0)), color);
        if !low {
            let font = if here { fonts::strong(11.5) } else { egui::FontId::proportional(11.5) };
            // A long word in another language must not run over the edge.
            let galley = crate::widgets::fitted(painter, name, font, color, rect.width() - 4.0);
            let at = pos2(rect.center().x, rect.bottom() - 16.0) - galley.size() / 2.0;
            painter.galley(at, galley, color);
        }
        if response.on_hover_text(command.tooltip(ui.ctx())).clicked() {
            actions.push(Action::Show(view));
        }
    }
}
