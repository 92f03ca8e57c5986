//! What stands behind an estimated figure: its model, its band, and what it leaves out.

use quern_calc::evaluate::{Evaluation, FigureRow, SETTING, Value};
use quern_calc::number::{NumberStyle, format_f64};

/// The model of a figure.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Estimate {
    /// Model and assumptions in a short phrase.
    pub model: String,
    /// Lowest and highest value that the model's assumptions allow, where it gives them.
    pub band: Option<(f64, f64)>,
    /// Materials that it leaves out for want of data.
    pub left_out: Vec<String>,
}

impl Estimate {
    /// In words.
    pub fn words(&self, style: NumberStyle) -> String {
        let mut words = self.model.clone();
        if let Some((low, high)) = self.band {
            let (low, high) = (format_f64(low, 0, style), format_f64(high, 0, style));
            words.push_str(&format!("; {low} to {high} by how the fats mix"));
        }
        if !self.left_out.is_empty() {
            words.push_str(&format!("; without {}", self.left_out.join("; ")));
        }
        words
    }
}

/// What stands behind the figure; `None` for one that is no estimate or cannot be had.
pub(super) fn estimate(row: &FigureRow, e: &Evaluation) -> Option<Estimate> {
    if !row.estimate || matches!(row.value, Value::Absent(_)) {
        return None;
    }
    let melt = e.melt.as_ref().ok();
    let fats_left_out = || melt.map(|m| m.fat.left_out.clone()).unwrap_or_default();
    let grains = e.grains.as_ref().ok();
    let grains_left_out = || grains.map(|g| g.left_out.clone()).unwrap_or_default();
    let (model, band, left_out) = match row.key {
        "heat_to_c" => {
            let reason = e.heat_to.as_ref().map(|h| h.reason.words()).unwrap_or_default();
            (reason, None, fats_left_out())
        }
        "fats_clear_c" => (
            "1 % still solid, ideal melt, fatty alcohols as one mixed crystal".to_owned(),
            melt.map(|m| m.band_c),
            fats_left_out(),
        ),
        "all_melted_c" => (
            "nothing still solid, ideal melt, fatty alcohols as one mixed crystal".to_owned(),
            melt.map(|m| (m.melted_c.low, m.melted_c.high)),
            fats_left_out(),
        ),
        "sets_at_c" => (
            format!(
                "{} % of the fat solid; it may stay liquid a few degrees below",
                100.0 * SETTING
            ),
            melt.and_then(|m| m.sets_c).map(|b| (b.low, b.high)),
            fats_left_out(),
        ),
        "pour_class" => {
            let pour = e.pour.as_ref().ok();
            let model = pour.map_or_else(String::new, |p| {
                let style = NumberStyle::default();
                let (from, to) = p.class_band;
                format!(
                    "at {} °C, solids at {} % of what they jam at; from {} to {} by its band",
                    format_f64(p.at_c, 0, style),
                    format_f64(100.0 * p.ratio, 0, style),
                    from.name(),
                    to.name()
                )
            });
            (model, None, pour.map(|p| p.left_out.clone()).unwrap_or_default())
        }
        "density_g_ml" => {
            let mut model = "additive volumes, no air".to_owned();
            let lacking = e.paste.density_left_out;
            if lacking > 0.0 {
                let lacking = format_f64(lacking, 1, NumberStyle::default());
                model.push_str(&format!(", {lacking} % of the product left out"));
            }
            (model, None, Vec::new())
        }
        "grit_index" | "grit_in_use" | "grit_band" => {
            let mut model = "relative wear model, not a skin test".to_owned();
            if let Some(g) = grains.filter(|g| g.density_assumed) {
                let density = format_f64(g.product_density, 2, NumberStyle::default());
                model.push_str(&format!(", product density taken as {density} g/mL"));
            }
            (model, None, grains_left_out())
        }
        "grains_per_gram" => ("grains taken as spheres".to_owned(), None, grains_left_out()),
        _ => ("model".to_owned(), None, Vec::new()),
    };
    Some(Estimate { model, band, left_out })
}
