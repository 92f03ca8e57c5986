//! Batch code, piece weight, pot and scales.

use egui::{RichText, TextEdit, Ui};
use quern_calc::batch::{BatchSize, Scale, Vessel};
use quern_calc::number::parse;
use quern_calc::quantity::Grams;
use rust_decimal::Decimal;

use super::{Foot, foot, note, text_row, title, wrong};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::field_error::{At as _, FieldError};
use crate::app::state::BatchDraft;
use crate::look::icons::Icon;
use crate::widgets::icon_button;
use crate::words;

/// Scales on the bench at most.
const MOST_SCALES: usize = 12;

/// Shows the dialog.
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    draft: &mut BatchDraft,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(600.0_f32.min(ui.available_width()));
    title(ui, say!("Batch and scales"));
    let proposed = scene.here.evaluation.batch_code.clone();
    text_row(ui, say!("Batch code"), &mut draft.plan.code, 160.0, &proposed);
    text_row(ui, say!("Piece weight"), &mut draft.piece, 100.0, "70 g");
    text_row(ui, say!("Pot"), &mut draft.vessel.0, 160.0, say!("steel pot, 3 l"));
    text_row(ui, say!("Pot holds"), &mut draft.vessel.1, 100.0, "2 kg");
    note(ui, say!("About 70 % of the brim. Leave both empty when the pot does not matter"));
    ui.add_space(8.0);
    ui.label(RichText::new(say!("Scales")).strong());
    note(
        ui,
        say!(
            "A line goes to the finest scale that can hold it. The pot or cup that stands on a scale counts against its capacity"
        ),
    );
    let mut remove = None;
    for (i, row) in draft.scales.iter_mut().enumerate() {
        let n = i + 1;
        let [name, readability, capacity, tare] = row;
        let mut at_fault = false;
        ui.horizontal(|ui| {
            for (text, width, what) in [
                (name, 110.0, say!("name")),
                (readability, 70.0, say!("readability")),
                (capacity, 80.0, say!("capacity")),
                (tare, 70.0, say!("tare")),
            ] {
                let name = say!("Scale {n}, {what}", n, what);
                let field = ui
                    .add(TextEdit::singleline(text).desired_width(width).hint_text(what))
                    .accessible_name(&name);
                at_fault |= wrong::marks(ui, &name, &field);
            }
            let name = say!("Remove scale {n}", n);
            if icon_button(ui, Icon::Remove, &name, &name, true).clicked() {
                remove = Some(i);
            }
        });
        if at_fault {
            wrong::tell(ui);
        }
    }
    if let Some(i) = remove {
        draft.scales.remove(i);
    }
    if draft.scales.len() < MOST_SCALES && ui.button(say!("+ Add a scale")).clicked() {
        draft.scales.push(["".into(), "0.01 g".into(), "200 g".into(), "0 g".into()]);
    }
    wrong::tell(ui);
    match foot(ui, say!("Apply")) {
        Foot::None => false,
        Foot::Cancel => true,
        Foot::Do => match finish(scene, draft) {
            Ok(()) => {
                actions
                    .push(Action::Plan { plan: Box::new(draft.plan.clone()), interaction: None });
                true
            }
            Err(text) => {
                draft.error = Some(text);
                false
            }
        },
    }
}

fn grams(scene: &Scene<'_>, text: &str, what: &str) -> Result<Grams, String> {
    let typed = parse(text, scene.syntax()).map_err(|e| format!("{what}: {}", words::told(e)))?;
    scene
        .grams_of(typed)
        .filter(|g| !g.is_negative())
        .ok_or_else(|| say!("{what} is a mass, such as 100 g", what))
}

fn finish(scene: &Scene<'_>, draft: &mut BatchDraft) -> Result<(), FieldError> {
    let positive = |g: Grams, what: &str| {
        if g.0 > Decimal::ZERO { Ok(g) } else { Err(say!("{what} must be above 0 g", what)) }
    };
    let above_0 = |text: &str, what: &str, field: &str| {
        grams(scene, text, what).and_then(|g| positive(g, what)).at(field)
    };
    draft.plan.piece = match draft.piece.trim() {
        "" => None,
        text => Some(above_0(text, say!("The piece weight"), say!("Piece weight"))?),
    };
    if let (BatchSize::Pieces { count, .. }, Some(each)) = (draft.plan.size, draft.plan.piece) {
        draft.plan.size = BatchSize::Pieces { count, each };
    }
    draft.plan.vessel = match (draft.vessel.0.trim(), draft.vessel.1.trim()) {
        (_, "") => None,
        (name, holds) => Some(Vessel {
            name: if name.is_empty() { say!("the pot").to_owned() } else { name.to_owned() },
            holds: above_0(holds, say!("What the pot holds"), say!("Pot holds"))?,
        }),
    };
    let mut scales = Vec::new();
    for (i, [name, readability, capacity, tare]) in draft.scales.iter().enumerate() {
        let n = i + 1;
        let what = |field: &str| say!("The {field} of scale {n}", field, n);
        let place = |field: &str| say!("Scale {n}, {field}", n, field);
        let readability =
            above_0(readability, &what(say!("readability")), &place(say!("readability")))?;
        let capacity = above_0(capacity, &what(say!("capacity")), &place(say!("capacity")))?;
        let tare = match tare.trim() {
            "" => Grams::ZERO,
            text => grams(scene, text, &what(say!("tare"))).at(&place(say!("tare")))?,
        };
        if tare >= capacity {
            let text = say!("{what} leaves no room for a batch", what = what(say!("tare")));
            return Err(FieldError::new(place(say!("tare")), text));
        }
        let name = match name.trim() {
            "" => say!("scale {n}", n),
            name => name.to_owned(),
        };
        scales.push(Scale { name, readability, capacity, tare });
    }
    draft.plan.scales = scales;
    draft.error = None;
    Ok(())
}
