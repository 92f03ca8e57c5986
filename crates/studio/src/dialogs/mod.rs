//! Dialogs: one owner, one on top at a time, Escape closes the top one only.

mod accept;
mod ask;
mod batch;
mod bin;
mod blend;
mod details;
mod exposure;
mod grains;
mod guard;
mod handbook;
mod history;
mod line;
mod measure;
mod moulds;
mod notices;
mod palette;
mod phase;
pub mod pick;
mod settings;
mod shortcuts;
mod sieves;
mod skeletons;
mod small;
mod solids;
mod supplier;
mod swap;
mod updates;
mod versions;
mod wrong;

pub use line::mass as line_mass;

use egui::{Id, Key, Modal, Modifiers, RichText, Ui};

use crate::app::Scene;
use crate::app::action::Action;
use crate::app::notices::Notice;
use crate::app::state::Dialog;
use crate::look::{Tokens, fonts, size};

/// True while a dialog is open; in the frame that opens or closes it, as it was before.
#[must_use]
pub fn any_open(ctx: &egui::Context) -> bool {
    ctx.data(|d| d.get_temp::<usize>(depth_key())).is_some_and(|depth| depth > 0)
}

/// Number of open dialogs in egui's memory.
fn depth_key() -> Id {
    Id::unique("dialog-depth")
}

/// Shows the dialog on top. It may change its own draft; anything else it asks for.
pub fn show(
    ctx: &egui::Context,
    scene: &Scene<'_>,
    dialogs: &mut Vec<Dialog>,
    notices: &[Notice],
    actions: &mut Vec<Action>,
) {
    let depth = dialogs.len();
    // What a dialog picks for the one below it, such as an alternative for a line.
    let mut picked = None;
    let mut close = false;
    let before: usize = ctx.data(|d| d.get_temp(depth_key())).unwrap_or(0);
    if before != depth {
        ctx.data_mut(|d| {
            d.insert_temp(depth_key(), depth);
            d.insert_temp(fresh_key(), depth > before);
        });
        guard::opened(ctx);
    }
    if let Some(top) = dialogs.last_mut() {
        let is_draft = matches!(
            top,
            Dialog::Line { .. }
                | Dialog::Phase(_)
                | Dialog::Details(_)
                | Dialog::Batch(_)
                | Dialog::Grains(_)
                | Dialog::Measure(_)
                | Dialog::Moulds(_)
                | Dialog::Solids(_)
                | Dialog::Powder(_)
                | Dialog::Accept(_)
                | Dialog::Supplier(_)
                | Dialog::Exposure(_)
                | Dialog::Keep(_)
        );
        // What is done to it while it takes no answer is undone again.
        let held = guard::holds(ctx, top).then(|| (top.clone(), actions.len()));
        let struck = held.is_some() && guard::strip(ctx);
        wrong::set(ctx, top.wrong());
        let t = Tokens::in_context(ctx);
        let screen = ctx.content_rect();
        let response = Modal::new(Id::unique(("dialog", depth)))
            .backdrop_color(t.backdrop)
            .frame(
                egui::Frame::new()
                    .fill(t.raised)
                    .stroke(egui::Stroke::new(1.0, t.hairline))
                    .corner_radius(8)
                    .inner_margin(20),
            )
            .show(ctx, |ui| {
                ui.set_max_width((screen.width() - 60.0).max(240.0));
                ui.set_max_height((screen.height() - 60.0).max(200.0));
                let searches = matches!(top, Dialog::Pick { .. } | Dialog::Palette(_));
                // These scroll in their own parts.
                let scrolls = matches!(top, Dialog::Guide(_) | Dialog::Shortcuts);
                let mut draw = |ui: &mut Ui| match top {
                    Dialog::Pick { purpose, search } => {
                        pick::material(ui, scene, purpose, search, &mut picked, actions)
                    }
                    Dialog::Palette(search) => palette::palette(ui, scene, search, actions),
                    Dialog::Line { line, alternatives, note, price, error } => {
                        line::show(ui, scene, *line, alternatives, note, price, error, actions)
                    }
                    Dialog::Phase(draft) => phase::show(ui, scene, draft, actions),
                    Dialog::Details(draft) => details::show(ui, scene, draft, actions),
                    Dialog::Batch(draft) => batch::show(ui, scene, draft, actions),
                    Dialog::Normalise(preview) => small::normalise(ui, scene, preview, actions),
                    Dialog::Parts { text, error } => small::parts(ui, scene, text, error, actions),
                    Dialog::Sheet { path, typed, ending, error } => {
                        small::sheet(ui, scene, (path, ending), *typed, error.as_ref(), actions)
                    }
                    Dialog::Path { save, path, why } => ask::path(ui, *save, path, why, actions),
                    Dialog::Unsaved(next) => ask::unsaved(ui, scene, next, actions),
                    Dialog::ChangedOnDisk(text) => ask::changed(ui, text, actions),
                    Dialog::Project { name, currency } => {
                        small::project(ui, name, currency, actions)
                    }
                    Dialog::Skeletons(chosen) => skeletons::show(ui, scene, chosen, actions),
                    Dialog::Grains(draft) => grains::show(ui, scene, draft, actions),
                    Dialog::Swap(draft) => swap::show(ui, scene, draft, actions),
                    Dialog::SaveBlend { name, replace, error } => {
                        blend::save(ui, scene, name, replace, error, actions)
                    }
                    Dialog::UseBlend { chosen, load, error } => {
                        blend::use_kept(ui, scene, chosen, load, error, actions)
                    }
                    Dialog::Page { page, path, typed, error } => {
                        blend::sheet(ui, scene, *page, path, *typed, error.as_ref(), actions)
                    }
                    Dialog::Measure(draft) => measure::show(ui, scene, draft, actions),
                    Dialog::Moulds(draft) => moulds::show(ui, scene, draft, actions),
                    Dialog::Solids(draft) => solids::show(ui, scene, draft, actions),
                    Dialog::Powder(draft) => solids::powder(ui, scene, draft, actions),
                    Dialog::Accept(draft) => accept::show(ui, draft, actions),
                    Dialog::Supplier(draft) => supplier::show(ui, scene, draft, actions),
                    Dialog::Exposure(draft) => exposure::show(ui, scene, draft, actions),
                    Dialog::Updates(chosen) => updates::show(ui, scene, chosen, actions),
                    Dialog::Keep(draft) => versions::keep(ui, draft, actions),
                    Dialog::Versions(draft) => versions::list(ui, scene, draft, actions),
                    Dialog::Bin(draft) => bin::show(ui, scene, draft, actions),
                    Dialog::History(draft) => history::show(ui, scene, draft, actions),
                    Dialog::Notices => notices::show(ui, notices, actions),
                    Dialog::Settings => settings::show(ui, scene, actions),
                    Dialog::Guide(state) => handbook::show(ui, state),
                    Dialog::Shortcuts => shortcuts::show(ui),
                };
                if searches || scrolls {
                    return draw(ui);
                }
                // In a small window the whole dialog scrolls, so that its foot can be reached.
                egui::ScrollArea::vertical()
                    .max_height((screen.height() - 72.0).max(160.0))
                    .id_salt("dialog-scroll")
                    .show(ui, draw)
                    .inner
            });
        // A click beside a draft must not throw it away; Escape and Cancel do.
        let beside = is_draft && response.backdrop_response.clicked();
        close = response.inner || (response.should_close() && !beside);
        if let Some((before, asked)) = held.filter(|_| struck) {
            *top = before;
            actions.truncate(asked);
            picked = None;
            close = false;
        }
    }
    if close && dialogs.len() == depth {
        dialogs.pop();
        if let Some(item) = picked
            && let Some(Dialog::Line { alternatives, .. }) = dialogs.last_mut()
        {
            alternatives.push((
                quern_calc::formula::Alternative {
                    item,
                    ratio: rust_decimal::Decimal::ONE,
                    note: String::new(),
                },
                "1".to_owned(),
            ));
        }
    }
}

/// Title of a dialog.
fn title(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(fonts::strong(size::HEAD)));
    ui.add_space(8.0);
}

/// Muted explanation.
fn note(ui: &mut Ui, text: &str) {
    let t = Tokens::of(ui);
    ui.add(egui::Label::new(RichText::new(text).font(fonts::small()).color(t.muted)).wrap());
}

/// What is wrong with an entry, in words beside a sign.
fn error(ui: &mut Ui, text: Option<&String>) {
    let t = Tokens::of(ui);
    if let Some(text) = text {
        let sign = crate::look::icons::Sign::Stop;
        crate::widgets::sign_label(ui, sign, t.stop, RichText::new(text).color(t.stop));
    }
}

/// A labelled line of text. Gives true when Enter was pressed in it.
fn text_row(ui: &mut Ui, label: &str, text: &mut String, width: f32, hint: &str) -> bool {
    let (enter, field) = ui
        .horizontal(|ui| {
            let name = label_cell(ui, label);
            let response = ui
                .add(
                    egui::TextEdit::singleline(text)
                        .desired_width(width)
                        .hint_text(hint.to_owned())
                        .min_size(egui::vec2(0.0, size::CONTROL)),
                )
                .labelled_by(name.id)
                .accessible_name(label);
            focus_first(ui, &response);
            let enter = response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
            if enter {
                // An entry that is refused is typed over at once.
                response.request_focus();
                wrong::asked(ui);
            }
            (enter, response)
        })
        .inner;
    wrong::beside(ui, label, &field);
    enter
}

/// A label of the width of all labels, at the left.
fn label_cell(ui: &mut Ui, label: &str) -> egui::Response {
    let left = egui::Layout::left_to_right(egui::Align::Center);
    ui.allocate_ui_with_layout(egui::vec2(120.0, size::CONTROL), left, |ui| {
        ui.set_min_width(120.0);
        ui.label(label)
    })
    .inner
}

/// The buttons at the foot: one that does it, one that does not. Ctrl+Enter does it.
fn foot(ui: &mut Ui, does: &str) -> Foot {
    ui.add_space(12.0);
    let done = ui.horizontal(|ui| {
        let button = crate::widgets::primary_button(ui, does);
        focus_first(ui, &button);
        let done = button.clicked();
        if ui.button(say!("Cancel")).clicked() {
            return Foot::Cancel;
        }
        if done { Foot::Do } else { Foot::None }
    });
    let by_key = ui.input_mut(|i| i.consume_key(Modifiers::COMMAND, Key::Enter));
    let pressed = if by_key { Foot::Do } else { done.inner };
    if pressed == Foot::Do {
        wrong::asked(ui);
    }
    pressed
}

/// What was pressed at the foot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Foot {
    None,
    Do,
    Cancel,
}

/// Focuses a field when its dialog opens, its text selected.
fn focus_first(ui: &Ui, response: &egui::Response) {
    let fresh: bool = ui.data(|d| d.get_temp(fresh_key())).unwrap_or(false);
    if fresh {
        ui.data_mut(|d| d.insert_temp(fresh_key(), false));
        response.request_focus();
    }
}

/// True in egui's memory from the opening of a dialog until something in it took the focus.
fn fresh_key() -> Id {
    Id::unique("dialog-fresh")
}
