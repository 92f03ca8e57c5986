//! Finding a material in the table itself.

use egui::{
    Area, Frame, Id, Key, Modifiers, Order, Rect, RichText, ScrollArea, TextEdit, Ui, vec2,
};

use quern_calc::formula::Item;

use crate::app::Scene;
use crate::app::action::Action;
use crate::app::table::{Finding, TableAction};
use crate::dialogs::pick;
use crate::look::{Tokens, size};
use crate::widgets::choices;
use crate::words;

/// What the search field is called and what stands in it while it is empty.
const NAME: &str = term!("Part of a common or INCI name, or a CAS number");

/// Where the search field keeps its focus.
#[must_use]
pub fn finding_id() -> Id {
    Id::unique("table-finding")
}

/// The search as it stands.
#[derive(Clone, Debug, Default)]
struct Buffer {
    finding: Option<Finding>,
    query: String,
    at: usize,
    /// Where the list was drawn last.
    list: Option<Rect>,
}

/// Starts a search with what was typed on the cell.
pub(super) fn begin(ui: &Ui, finding: Finding) {
    let typed: String = ui.input_mut(|i| {
        let mut typed = String::new();
        i.events.retain(|e| match e {
            egui::Event::Text(t) => {
                typed.push_str(t);
                false
            }
            _ => true,
        });
        typed
    });
    let buffer = Buffer { finding: Some(finding), query: typed, ..Buffer::default() };
    ui.data_mut(|d| d.insert_temp(finding_id(), buffer));
}

/// The field with its list below.
pub(super) fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    rect: Rect,
    finding: Finding,
    actions: &mut Vec<Action>,
) {
    let id = finding_id();
    let mut buffer: Buffer = ui.data(|d| d.get_temp(id)).unwrap_or_default();
    if buffer.finding != Some(finding) {
        buffer = Buffer { finding: Some(finding), ..Buffer::default() };
    }
    let had_focus = ui.memory(|m| m.has_focus(id));
    let key = |ui: &Ui, key| had_focus && ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    let (down, up) = (key(ui, Key::ArrowDown), key(ui, Key::ArrowUp));
    let (enter, escape) = (key(ui, Key::Enter), key(ui, Key::Escape));
    let response = ui
        .put(
            rect.shrink2(vec2(0.0, 1.0)),
            TextEdit::singleline(&mut buffer.query)
                .id(id)
                .desired_width(rect.width() - 16.0)
                .hint_text(words::text(NAME))
                .min_size(vec2(0.0, size::CONTROL - 2.0)),
        )
        .accessible_name(words::text(NAME));
    if response.changed() {
        buffer.at = 0;
    }
    // What takes the place of a fat is looked for among fats first.
    let like = match finding {
        Finding::On(line) => scene.formula().line(line).and_then(|l| match &l.item {
            Item::Material(id) => scene.project.materials.get(id).map(std::sync::Arc::as_ref),
            Item::Formula(_) => None,
        }),
        Finding::New { .. } => None,
    };
    let rows = pick::items(scene, buffer.query.trim(), like);
    buffer.at = if up { buffer.at.saturating_sub(1) } else { buffer.at + usize::from(down) };
    buffer.at = buffer.at.min(rows.len().saturating_sub(1));

    let t = Tokens::of(ui);
    let mut taken = None;
    let screen = ui.ctx().content_rect();
    let width = rect.width().max(360.0).min(screen.width() - 24.0);
    let below = screen.bottom() - rect.bottom() - 16.0;
    let above = rect.top() - screen.top() - 16.0;
    let upwards = below < 160.0 && above > below;
    let height = if upwards { above } else { below }.clamp(90.0, 320.0);
    let wanted = (rows.len().max(1) as f32 * choices::HEIGHT).min(height - 12.0);
    let top = if upwards { rect.top() - wanted - 14.0 } else { rect.bottom() + 2.0 };
    let area = Area::new(id.with("list"))
        .order(Order::Foreground)
        .fixed_pos(egui::pos2(rect.left(), top))
        .constrain_to(screen)
        .show(ui.ctx(), |ui| {
            Frame::new()
                .fill(t.raised)
                .stroke(egui::Stroke::new(1.0, t.edge))
                .corner_radius(6)
                .inner_margin(6)
                .show(ui, |ui| {
                    ui.set_width(width - 12.0);
                    ui.spacing_mut().item_spacing.y = 0.0;
                    if rows.is_empty() {
                        ui.label(RichText::new(say!("Nothing of that name")).color(t.muted));
                    }
                    ScrollArea::vertical().max_height(wanted).id_salt("found").show(ui, |ui| {
                        for (i, row) in rows.into_iter().enumerate() {
                            let here = i == buffer.at;
                            let response = choices::row(ui, row.choice(), here);
                            if here && (up || down) {
                                response.scroll_to_me(None);
                            }
                            if response.clicked() || (enter && here) {
                                taken = Some(row.take);
                            }
                        }
                    });
                });
        });
    let on_list = |rect: Option<Rect>| {
        ui.ctx().pointer_latest_pos().is_some_and(|p| rect.is_some_and(|r| r.contains(p)))
    };
    let left = response.lost_focus() && !on_list(buffer.list);
    buffer.list = Some(area.response.rect);
    if let Some(item) = taken {
        actions.push(Action::Table(TableAction::Take(item)));
        ui.data_mut(|d| d.remove_temp::<Buffer>(id));
        return;
    }
    if escape || left {
        let back = escape || ui.input(|i| i.key_pressed(Key::Escape));
        ui.data_mut(|d| d.remove_temp::<Buffer>(id));
        // Escape goes back to the cell; a click keeps the focus where it went.
        let ends = if back { TableAction::GiveUp } else { TableAction::Find(None) };
        actions.push(Action::Table(ends));
        return;
    }
    if response.lost_focus() {
        response.request_focus();
    }
    ui.data_mut(|d| d.insert_temp(id, buffer));
}
