//! Drafts of what suppliers say.

use quern_calc::formula::Material;
use quern_calc::number::{NumberStyle, format_full, format_plain};
use quern_calc::quantity::Percent;

use super::SupplierDraft;

/// The entries of a material, as they would be typed.
#[must_use]
pub fn supplier_draft(material: &Material, style: NumberStyle) -> SupplierDraft {
    let text = |p: Percent| format_plain(p.0.normalize(), style);
    let certificate = material.certificate.clone().unwrap_or_default();
    SupplierDraft {
        material: material.id.clone(),
        standard: certificate.standard,
        date: certificate.date.map_or(String::new(), |d| style.dates.write(d)),
        limits: certificate.limits.iter().map(|(c, p)| (c.clone(), text(*p))).collect(),
        allergens: material
            .allergens
            .iter()
            .map(|a| {
                let high = a.high.as_ref().map(|f| f.value).or(a.low);
                (a.name.clone(), high.map_or(String::new(), text))
            })
            .collect(),
        complete: material.allergens_complete,
        parts: material
            .composition
            .iter()
            .map(|p| {
                let share = p.share.as_ref().map(|f| text(f.value));
                (p.inci.clone(), share.unwrap_or_default())
            })
            .collect(),
        natural: material
            .natural_origin
            .as_ref()
            .map_or(String::new(), |f| format_full(f.value, style)),
        error: None,
    }
}
