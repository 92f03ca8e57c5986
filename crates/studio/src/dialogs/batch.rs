//! Batch code, piece weight, pot and scales.

use egui::{RichText, TextEdit, Ui};
use quern_calc::batch::{BatchSize, Scale, Vessel};
use quern_calc::number::parse;
use quern_calc::quantity::Grams;
use rust_decimal::Decimal;

use super::line::mass;
use super::{Foot, error, foot, note, text_row, title};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::state::BatchDraft;
use crate::look::icons::Icon;
use crate::widgets::icon_button;

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
    title(ui, "Batch and scales");
    let proposed = scene.here.evaluation.batch_code.clone();
    text_row(ui, "Batch code", &mut draft.plan.code, 160.0, &proposed);
    text_row(ui, "Piece weight", &mut draft.piece, 100.0, "70 g");
    text_row(ui, "Pot", &mut draft.vessel.0, 160.0, "steel pot, 3 l");
    text_row(ui, "Pot holds", &mut draft.vessel.1, 100.0, "2 kg");
    note(ui, "About 70 % of the brim. Leave both empty when the pot does not matter");
    ui.add_space(8.0);
    ui.label(RichText::new("Scales").strong());
    note(
        ui,
        "A line goes to the finest scale that can hold it. The pot or cup that stands on a scale counts against its capacity",
    );
    let mut remove = None;
    for (i, row) in draft.scales.iter_mut().enumerate() {
        let n = i + 1;
        let [name, readability, capacity, tare] = row;
        ui.horizontal(|ui| {
            for (text, width, what) in [
                (name, 110.0, "name"),
                (readability, 70.0, "readability"),
                (capacity, 80.0, "capacity"),
                (tare, 70.0, "tare"),
            ] {
                ui.add(TextEdit::singleline(text).desired_width(width).hint_text(what))
                    .accessible_name(format!("Scale {n}, {what}"));
            }
            let name = format!("Remove scale {n}");
            if icon_button(ui, Icon::Remove, &name, &name, true).clicked() {
                remove = Some(i);
            }
        });
    }
    if let Some(i) = remove {
        draft.scales.remove(i);
    }
    if draft.scales.len() < MOST_SCALES && ui.button("+ Add a scale").clicked() {
        draft.scales.push(["".into(), "0.01 g".into(), "200 g".into(), "0 g".into()]);
    }
    error(ui, draft.error.as_ref());
    match foot(ui, "Apply") {
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
    let typed = parse(text, scene.syntax()).map_err(|e| format!("{what}: {e}"))?;
    mass(typed)
        .filter(|g| !g.is_negative())
        .ok_or_else(|| format!("{what} is a mass, such as 100 g"))
}

fn finish(scene: &Scene<'_>, draft: &mut BatchDraft) -> Result<(), String> {
    let positive = |g: Grams, what: &str| {
        if g.0 > Decimal::ZERO { Ok(g) } else { Err(format!("{what} must be above 0 g")) }
    };
    draft.plan.piece = match draft.piece.trim() {
        "" => None,
        text => Some(positive(grams(scene, text, "The piece weight")?, "The piece weight")?),
    };
    if let (BatchSize::Pieces { count, .. }, Some(each)) = (draft.plan.size, draft.plan.piece) {
        draft.plan.size = BatchSize::Pieces { count, each };
    }
    draft.plan.vessel = match (draft.vessel.0.trim(), draft.vessel.1.trim()) {
        (_, "") => None,
        (name, holds) => Some(Vessel {
            name: if name.is_empty() { "the pot".to_owned() } else { name.to_owned() },
            holds: positive(grams(scene, holds, "What the pot holds")?, "What the pot holds")?,
        }),
    };
    let mut scales = Vec::new();
    for (i, [name, readability, capacity, tare]) in draft.scales.iter().enumerate() {
        let what = |field: &str| format!("The {field} of scale {}", i + 1);
        let field = |text: &str, name: &str| grams(scene, text, &what(name));
        let readability = positive(field(readability, "readability")?, &what("readability"))?;
        let capacity = positive(field(capacity, "capacity")?, &what("capacity"))?;
        let tare = if tare.trim().is_empty() { Grams::ZERO } else { field(tare, "tare")? };
        if tare >= capacity {
            return Err(format!("{} leaves no room for a batch", what("tare")));
        }
        let name = match name.trim() {
            "" => format!("scale {}", i + 1),
            name => name.to_owned(),
        };
        scales.push(Scale { name, readability, capacity, tare });
    }
    draft.plan.scales = scales;
    draft.error = None;
    Ok(())
}
