//! What a supplier says of a material: use limits of the certificate and allergens.

use std::sync::Arc;

use egui::{TextEdit, Ui};
use quern_calc::formula::{Allergen, Certificate, Figure, Material, Part};
use quern_calc::number::{Unit, parse};
use quern_calc::quantity::{Percent, decimal_to_f64};
use rust_decimal::Decimal;

use super::{Foot, foot, note, text_row, title, wrong};
use crate::app::Scene;
use crate::app::action::Action;
use crate::app::field_error::{At as _, FieldError};
use crate::app::safety::{SafetyAction, SupplierDraft};
use crate::look::icons::Icon;
use crate::look::size;
use crate::widgets::icon_button;
use crate::words;

/// Shows the dialog.
pub fn show(
    ui: &mut Ui,
    scene: &Scene<'_>,
    draft: &mut SupplierDraft,
    actions: &mut Vec<Action>,
) -> bool {
    ui.set_width(520.0_f32.min(ui.available_width()));
    let name = scene
        .project
        .materials
        .get(&draft.material)
        .map_or(draft.material.as_str(), |m| m.display_name());
    title(ui, &say!("Supplier's figures of {name}", name));
    note(
        ui,
        say!(
            "From the certificate of the fragrance standard and the allergen declaration of this lot; both are counted instead of typical figures"
        ),
    );
    text_row(
        ui,
        say!("Standard"),
        &mut draft.standard,
        260.0,
        say!("as printed on the certificate"),
    );
    text_row(ui, say!("Date"), &mut draft.date, 110.0, scene.settings.date_order.example());
    ui.add_space(6.0);
    ui.label(say!("Use limits: category of the standard and % of the product at most"));
    pairs(
        ui,
        &mut draft.limits,
        (say!("Category"), say!("such as 9")),
        say!("Limit"),
        say!("Add a limit"),
    );
    ui.add_space(6.0);
    ui.label(say!("Allergens: name on the label and % of the material"));
    pairs(
        ui,
        &mut draft.allergens,
        (say!("Allergen"), say!("such as Linalool")),
        say!("Share"),
        say!("Add an allergen"),
    );
    ui.checkbox(&mut draft.complete, say!("The declaration names all allergens"));
    ui.add_space(6.0);
    ui.label(say!("What it is made of: INCI name and % of the material, where the supplier says"));
    pairs(
        ui,
        &mut draft.parts,
        (say!("Component"), say!("INCI name")),
        say!("Part"),
        say!("Add a component"),
    );
    text_row(ui, say!("Natural origin"), &mut draft.natural, 70.0, say!("0 to 1"));
    note(ui, say!("Index by ISO 16128 as the supplier declares it; blank is unknown"));
    wrong::tell(ui);
    match foot(ui, say!("Apply")) {
        Foot::None => false,
        Foot::Cancel => true,
        Foot::Do => match finish(scene, draft) {
            Ok(action) => {
                actions.push(Action::Safety(action));
                true
            }
            Err(text) => {
                draft.error = Some(text);
                false
            }
        },
    }
}

/// Rows of a name and a percentage.
fn pairs(
    ui: &mut Ui,
    rows: &mut Vec<(String, String)>,
    (what, hint): (&str, &str),
    figure: &str,
    add: &str,
) {
    let mut remove = None;
    for (i, (name, value)) in rows.iter_mut().enumerate() {
        let n = i.saturating_add(1);
        let mut at_fault = false;
        ui.horizontal(|ui| {
            for (text, width, hint, name) in [
                (name, 240.0, hint, format!("{what} {n}")),
                (value, 70.0, "", say!("{figure} {n}, percent", figure, n)),
            ] {
                let field = ui
                    .add(
                        TextEdit::singleline(text)
                            .desired_width(width)
                            .hint_text(hint.to_owned())
                            .min_size(egui::vec2(0.0, size::CONTROL)),
                    )
                    .accessible_name(&name);
                at_fault |= wrong::marks(ui, &name, &field);
            }
            ui.label("%");
            let label = say!("Remove {what} {n}", what = what.to_lowercase(), n);
            if icon_button(ui, Icon::Remove, &label, &label, true).clicked() {
                remove = Some(i);
            }
        });
        if at_fault {
            wrong::tell(ui);
        }
    }
    if let Some(i) = remove {
        rows.remove(i);
    }
    if ui.button(add).clicked() {
        rows.push((String::new(), String::new()));
    }
}

fn percent(scene: &Scene<'_>, what: &str, text: &str) -> Result<Percent, String> {
    let typed =
        parse(text.trim(), scene.syntax()).map_err(|e| format!("{what}: {}", words::told(e)))?;
    let hundred = Decimal::ZERO..=Decimal::ONE_HUNDRED;
    if typed.unit.is_some_and(|u| u != Unit::Percent) || !hundred.contains(&typed.value) {
        return Err(say!("{what}: expected a percentage from 0 to 100", what));
    }
    Ok(Percent(typed.value))
}

/// The entries with their number, blank rows left out.
fn filled(rows: &[(String, String)]) -> impl Iterator<Item = (usize, &str, &str)> {
    rows.iter()
        .enumerate()
        .map(|(i, (name, value))| (i.saturating_add(1), name.trim(), value.trim()))
        .filter(|(_, name, value)| !name.is_empty() || !value.is_empty())
}

fn finish(scene: &Scene<'_>, draft: &SupplierDraft) -> Result<SafetyAction, FieldError> {
    let date = match draft.date.trim() {
        "" => None,
        text => {
            let date = scene.settings.date_order.read(text).map_err(words::told);
            Some(date.at(say!("Date"))?)
        }
    };
    let mut limits: Vec<(String, Percent)> = Vec::new();
    for (n, name, value) in filled(&draft.limits) {
        let place = say!("Category {n}", n);
        if name.is_empty() {
            return Err(FieldError::new(
                place,
                say!("The limit {limit} has no category", limit = value),
            ));
        }
        if limits.iter().any(|(n, _)| n.eq_ignore_ascii_case(name)) {
            return Err(FieldError::new(place, say!("Category {name} stands twice", name)));
        }
        let share = percent(scene, &say!("Category {name}", name), value)
            .at(&say!("Limit {n}, percent", n))?;
        limits.push((name.to_owned(), share));
    }
    let old = scene.project.materials.get(&draft.material);
    let mut allergens: Vec<Allergen> = Vec::new();
    for (n, name, value) in filled(&draft.allergens) {
        let place = say!("Allergen {n}", n);
        if name.is_empty() {
            return Err(FieldError::new(
                place,
                say!("The share {share} has no allergen", share = value),
            ));
        }
        if allergens.iter().any(|a| a.name.eq_ignore_ascii_case(name)) {
            return Err(FieldError::new(place, say!("{name} stands twice", name)));
        }
        let high = match value {
            "" => None,
            text => Some(percent(scene, name, text).at(&say!("Share {n}, percent", n))?),
        };
        // What was not changed keeps its source.
        let kept = old.and_then(|m| {
            m.allergens
                .iter()
                .find(|a| a.name == name && a.high.as_ref().map(|f| f.value).or(a.low) == high)
        });
        allergens.push(kept.cloned().unwrap_or_else(|| Allergen {
            name: name.to_owned(),
            low: None,
            high: high.map(Figure::user),
        }));
    }
    let composition = parts(scene, draft, old)?;
    let natural = natural(scene, draft, old)?;
    let standard = draft.standard.trim().to_owned();
    let blank = standard.is_empty() && date.is_none() && limits.is_empty();
    Ok(SafetyAction::Supplier {
        material: draft.material.clone(),
        certificate: (!blank).then_some(Certificate { standard, date, limits }),
        allergens,
        complete: draft.complete,
        composition,
        natural,
    })
}

/// What it is made of; shares together at most the whole.
fn parts(
    scene: &Scene<'_>,
    draft: &SupplierDraft,
    old: Option<&Arc<Material>>,
) -> Result<Vec<Part>, FieldError> {
    let mut out: Vec<Part> = Vec::new();
    let mut sum = Decimal::ZERO;
    for (n, inci, value) in filled(&draft.parts) {
        let place = say!("Component {n}", n);
        if inci.is_empty() {
            return Err(FieldError::new(
                place,
                say!("The part {part} has no INCI name", part = value),
            ));
        }
        if out.iter().any(|p| p.inci.eq_ignore_ascii_case(inci)) {
            return Err(FieldError::new(place, say!("{inci} stands twice", inci)));
        }
        let share = match value {
            "" => None,
            text => Some(percent(scene, inci, text).at(&say!("Part {n}, percent", n))?),
        };
        sum = sum.saturating_add(share.map_or(Decimal::ZERO, |s| s.0));
        let kept = old.and_then(|m| {
            m.composition
                .iter()
                .find(|p| p.inci == inci && p.share.as_ref().map(|f| f.value) == share)
        });
        out.push(
            kept.cloned()
                .unwrap_or_else(|| Part { inci: inci.to_owned(), share: share.map(Figure::user) }),
        );
    }
    if sum > Decimal::ONE_HUNDRED {
        return Err(say!("The components come to {sum} %, more than the whole", sum).into());
    }
    Ok(out)
}

/// The index; one that was not changed keeps its source.
fn natural(
    scene: &Scene<'_>,
    draft: &SupplierDraft,
    old: Option<&Arc<Material>>,
) -> Result<Option<Figure<f64>>, FieldError> {
    let text = draft.natural.trim();
    if text.is_empty() {
        return Ok(None);
    }
    let typed = parse(text, scene.syntax())
        .map_err(|e| say!("Natural origin: {e}", e = words::told(e)))
        .at(say!("Natural origin"))?;
    if typed.unit.is_some() || !(Decimal::ZERO..=Decimal::ONE).contains(&typed.value) {
        let text = say!("A natural origin index is a number from 0 to 1");
        return Err(FieldError::new(say!("Natural origin"), text));
    }
    let value = decimal_to_f64(typed.value);
    let kept =
        old.and_then(|m| m.natural_origin.as_ref()).filter(|f| (f.value - value).abs() < 1e-9);
    Ok(Some(kept.cloned().unwrap_or_else(|| Figure::user(value))))
}
