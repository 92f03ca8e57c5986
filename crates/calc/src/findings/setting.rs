//! Rules of setting: the pour window and the warm parcel.

use super::{Finding, Problem as P, Where};
use crate::evaluate::paste_model::PasteModel;
use crate::evaluate::window::{UpperLimit, moves_from};
use crate::evaluate::{Derived, Mixing};
use crate::formula::Formula;
use crate::setting::notes::SettingNotes;
use crate::setting::shelf::Keeps;

pub(crate) fn check_setting(
    formula: &Formula,
    model: &Derived<PasteModel<'_>>,
    limits: &[UpperLimit],
    notes: &SettingNotes,
    out: &mut Vec<Finding>,
) {
    let Ok(model) = model else { return };
    if let Some(limit) = limits.first()
        && let Some(needs_c) = moves_from(model, limit.c)
    {
        let problem = P::PourWindowEmpty { needs_c, limit_c: limit.c, name: limit.name.clone() };
        out.push(Finding::new(Where::Formula, problem));
    }
    let parcel_c = notes.parcel();
    if formula.product.form.is_bar()
        && Keeps::of(model.at(parcel_c, Mixing::Alcohols, &[]).firm_ratio()) == Keeps::Slumps
    {
        out.push(Finding::new(Where::Formula, P::ParcelSlumps { parcel_c }));
    }
}
