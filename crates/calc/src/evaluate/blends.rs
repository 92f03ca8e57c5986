//! Blends side by side: curves and rows for the screen, the sheet and scripts.

use super::{Derived, Evaluation, GrainFigures, Value, WhyNot, place_guides};
use crate::formula::Formula;
use crate::grit::blend::{self, Grain};
use crate::grit::calibrate::Calibration;
use crate::number::{NumberStyle, format_f64};
use crate::quantity::Grams;
use crate::rules::Rules;

/// One blend to be shown.
#[derive(Clone, Copy, Debug)]
pub struct BlendSide<'a> {
    /// The formula that holds it.
    pub formula: &'a Formula,
    /// Its figures.
    pub evaluation: &'a Evaluation,
    /// Grams of product in one use.
    pub per_use: Grams,
}

/// One figure of several blends.
#[derive(Clone, Debug, PartialEq)]
pub struct BlendRow {
    /// Stable key, with its unit, for scripts.
    pub key: &'static str,
    /// Name on screen.
    pub name: String,
    /// One value per blend.
    pub values: Vec<Value>,
    /// The second less or over the first, where there are two.
    pub difference: String,
    /// True for a model's estimate.
    pub estimate: bool,
}

/// How two values are set against each other.
#[derive(Clone, Copy)]
enum Against {
    /// Difference in the unit of the row.
    Less,
    /// Difference of two shares in %.
    Points,
    /// Ratio.
    Over,
    /// Not.
    Not,
}

fn difference(values: &[Value], how: Against, style: NumberStyle) -> String {
    let [a, b] = values else { return String::new() };
    match how {
        Against::Not => String::new(),
        Against::Less => b.difference(a, style).unwrap_or_default(),
        Against::Points => b.difference(a, style).map_or(String::new(), |d| format!("{d} points")),
        Against::Over => {
            let (Some(a), Some(b)) = (a.number(), b.number()) else { return String::new() };
            if !(a > 0.0 && b > 0.0) {
                return String::new();
            }
            let (sign, ratio) = if b >= a { ("×", b / a) } else { ("÷", a / b) };
            let places = u32::from(ratio < 9.95);
            format!("{sign} {}", format_f64(ratio, places, style))
        }
    }
}

/// Figures of blends side by side. `cut_um` is the size above which the share of grains is
/// given beside the usual 300 and 500 um; `scale` adds the workshop's own score.
#[must_use]
pub fn blend_rows(
    sides: &[BlendSide<'_>],
    cut_um: f64,
    scale: Option<&Calibration>,
    rules: &Rules,
    style: NumberStyle,
) -> Vec<BlendRow> {
    let mut rows = Vec::with_capacity(20);
    let mut add = |key, name: &str, how, estimate, value: &dyn Fn(&BlendSide<'_>) -> Value| {
        let values: Vec<Value> = sides.iter().map(value).collect();
        let difference = difference(&values, how, style);
        rows.push(BlendRow { key, name: name.to_owned(), values, difference, estimate });
    };
    let of = |s: &BlendSide<'_>, figure: &dyn Fn(&GrainFigures) -> Value| match &s.evaluation.grains
    {
        Ok(f) => figure(f),
        Err(why) => Value::Absent(why.clone()),
    };
    let um = |x: f64| format_f64(x, 0, style);
    let use_of = |s: &BlendSide<'_>| s.per_use.to_f64();

    add("exfoliant_percent", "Exfoliants, %", Against::Less, false, &|s| {
        of(s, &|f| Value::Exact(f.load.0, 2))
    });
    add("d10_d50_d90_um", "D10 / D50 / D90, µm", Against::Not, false, &|s| {
        of(s, &|f| {
            let t = &f.stats;
            Value::Text(format!("{} / {} / {}", um(t.d10), um(t.d50), um(t.d90)))
        })
    });
    add("span", "Span", Against::Less, false, &|s| of(s, &|f| Value::Number(f.stats.span, 2)));
    add("sauter_um", "Sauter mean D(3,2), µm", Against::Less, false, &|s| {
        of(s, &|f| Value::Number(f.stats.sauter_um, 0))
    });
    add("de_brouckere_um", "De Brouckere mean D(4,3), µm", Against::Less, false, &|s| {
        of(s, &|f| Value::Number(f.stats.de_brouckere_um, 0))
    });
    let mut cuts = vec![300.0, 500.0];
    if cut_um.is_finite() && cuts.iter().all(|c| (c - cut_um).abs() > 0.5) {
        cuts.push(cut_um);
    }
    cuts.sort_by(f64::total_cmp);
    for cut in cuts {
        let (key, name) = match cut {
            c if (c - 300.0).abs() < 0.5 => ("above_300_um_percent", "Above 300 µm, %".to_owned()),
            c if (c - 500.0).abs() < 0.5 => ("above_500_um_percent", "Above 500 µm, %".to_owned()),
            c => ("above_cut_percent", format!("Above the cut at {} µm, %", um(c))),
        };
        add(key, &name, Against::Points, false, &|s| {
            of(s, &|f| Value::Number(100.0 * blend::fraction_above(&f.blend, cut), 1))
        });
    }
    add("grains_per_gram", "Grains in 1 g of product", Against::Over, true, &|s| {
        of(s, &|f| Value::Number(round_3(f.stats.grains_per_gram_of_product), 0))
    });
    add("grains_per_use", "Grains in one use", Against::Over, true, &|s| {
        of(s, &|f| Value::Number(round_3(f.stats.grains_per_gram_of_product * use_of(s)), 0))
    });
    add("grams_per_use", "Product in one use, g", Against::Not, false, &|s| {
        Value::Exact(s.per_use.0, s.per_use.0.normalize().scale().min(2))
    });
    add("grit_index", "Grit index", Against::Over, true, &|s| {
        of(s, &|f| Value::Number(f.grit.index, 0))
    });
    let dissolves = |s: &BlendSide<'_>| {
        s.evaluation.grains.as_ref().is_ok_and(|f| f.blend.iter().any(|g| g.dissolves()))
    };
    if sides.iter().any(dissolves) {
        add("grit_in_use", "Grit index in use", Against::Over, true, &|s| {
            of(s, &|f| Value::Number(f.grit.in_use, 0))
        });
    }
    add("grit_band", "In words", Against::Not, true, &|s| {
        of(s, &|f| Value::Text(f.grit.band.name().to_owned()))
    });
    if let Some(scale) = scale {
        add("own_score", "On your scale of 1 to 10", Against::Less, true, &|s| {
            of(s, &|f| Value::Number(scale.score(f.grit.index), 1))
        });
    }
    add("guide", "Within the guides for", Against::Not, true, &|s| {
        of(s, &|f| Value::Text(places_within(f, s.formula, rules, style)))
    });
    add("blend_cost_per_100g", "Exfoliants in 100 g, cost", Against::Less, false, &|s| {
        match blend_cost(s.evaluation) {
            Ok(cost) => Value::Number(cost, 2),
            Err(why) => Value::Absent(why),
        }
    });
    add("cost_per_100g", "Cost of 100 g", Against::Less, false, &|s| {
        let cost = &s.evaluation.cost;
        if cost.is_complete() {
            Value::Exact(cost.per_100g.0, 2)
        } else {
            let mut names = cost.unpriced_names.clone();
            if cost.lines_left_out > 0 {
                names.push(format!("{} lines not counted", cost.lines_left_out));
            }
            Value::Absent(WhyNot::Unknown { what: "price", names })
        }
    });
    rows
}

/// Three digits: no count of grains is known better.
fn round_3(x: f64) -> f64 {
    if !(x.is_finite() && x > 0.0) {
        return x;
    }
    let step = 10_f64.powf(x.log10().floor() - 2.0);
    (x / step).round() * step
}

fn places_within(f: &GrainFigures, formula: &Formula, rules: &Rules, style: NumberStyle) -> String {
    let product = formula.product;
    let names: Vec<&str> = place_guides(f, product.place, product.form, rules, style)
        .into_iter()
        .filter(|g| g.guided && g.within)
        .map(|g| g.place.name())
        .collect();
    if names.is_empty() { "none".to_owned() } else { names.join(", ") }
}

/// Cost of the exfoliants in 100 g of product.
///
/// # Errors
/// Names the exfoliants without a price.
pub fn blend_cost(e: &Evaluation) -> Derived<f64> {
    let f = e.grains.as_ref().map_err(Clone::clone)?;
    let mut sum = 0.0;
    let mut names = Vec::new();
    for part in &f.parts {
        match part.price_per_gram {
            Some(price) => sum += price * part.grain.percent,
            None => names.push(part.name.clone()),
        }
    }
    match f.left_out_cost {
        Some(cost) => sum += cost,
        None => names.extend(f.left_out.iter().cloned()),
    }
    if names.is_empty() { Ok(sum) } else { Err(WhyNot::Unknown { what: "price", names }) }
}

/// Share of mass per decade of size: of each exfoliant, scaled by its share of the blend, and of
/// the blend last, which is their sum. Points as in [`blend::density_curve`].
#[must_use]
pub fn density_curves(grains: &[Grain], lo_um: f64, hi_um: f64, n: usize) -> Vec<Vec<(f64, f64)>> {
    let total: f64 = grains.iter().map(|g| g.percent).sum();
    let mut out: Vec<Vec<(f64, f64)>> = grains
        .iter()
        .map(|g| {
            let share = if total > 0.0 { g.percent / total } else { 0.0 };
            let own = blend::density_curve(std::slice::from_ref(g), lo_um, hi_um, n);
            own.into_iter().map(|(um, y)| (um, y * share)).collect()
        })
        .collect();
    out.push(blend::density_curve(grains, lo_um, hi_um, n));
    out
}

/// Share of mass at or below each size: of each exfoliant alone, and of the blend last.
#[must_use]
pub fn cumulative_curves(
    grains: &[Grain],
    lo_um: f64,
    hi_um: f64,
    n: usize,
) -> Vec<Vec<(f64, f64)>> {
    let one = |g| blend::cumulative_curve(std::slice::from_ref(g), lo_um, hi_um, n);
    let mut out: Vec<Vec<(f64, f64)>> = grains.iter().map(one).collect();
    out.push(blend::cumulative_curve(grains, lo_um, hi_um, n));
    out
}
