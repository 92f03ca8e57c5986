//! Accepting a warning, with a reason.

use egui::{Label, TextEdit, Ui};

use super::{Foot, error, focus_first, foot, note, title};
use crate::app::action::Action;
use crate::app::safety::{AcceptDraft, SafetyAction};

/// Shows the dialog.
pub fn show(ui: &mut Ui, draft: &mut AcceptDraft, actions: &mut Vec<Action>) -> bool {
    ui.set_width(460.0_f32.min(ui.available_width()));
    title(ui, say!("Accept a warning"));
    ui.add(Label::new(&draft.said).wrap());
    note(
        ui,
        say!(
            "The reason is kept in the file and printed on the label sheet. If the finding says something else later, the warning stands again"
        ),
    );
    ui.add_space(6.0);
    let field = ui
        .add(
            TextEdit::multiline(&mut draft.reason)
                .desired_rows(3)
                .desired_width(f32::INFINITY)
                .hint_text(say!("Why it may stay as it is")),
        )
        .accessible_name(say!("Reason"));
    focus_first(ui, &field);
    error(ui, draft.error.as_ref());
    match foot(ui, say!("Accept")) {
        Foot::None => false,
        Foot::Cancel => true,
        Foot::Do => {
            let reason = draft.reason.trim().to_owned();
            if reason.is_empty() {
                draft.error =
                    Some(say!("A warning is accepted with a reason; write why").to_owned());
                return false;
            }
            let (key, said) = (draft.key.clone(), draft.said.clone());
            actions.push(Action::Safety(SafetyAction::Accept { key, said, reason }));
            true
        }
    }
}
