//! The figures of an evaluation as rows, for tables, comparison and scripts.

use rust_decimal::Decimal;

use super::{Banded, Derived, Evaluation, WhyNot};
use crate::number::{NumberStyle, format_f64, format_fixed};
use crate::quantity::decimal_to_f64;

/// A value with the places it is shown to.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// An exact amount.
    Exact(Decimal, u32),
    /// A physical figure.
    Number(f64, u32),
    /// Words.
    Text(String),
    /// Why there is none.
    Absent(WhyNot),
}

impl Value {
    /// As shown on screen; an absent value is a dash.
    #[must_use]
    pub fn text(&self, style: NumberStyle) -> String {
        match self {
            Self::Exact(d, places) => format_fixed(*d, *places, style),
            Self::Number(x, places) => format_f64(*x, *places, style),
            Self::Text(text) => text.clone(),
            Self::Absent(_) => "–".to_owned(),
        }
    }

    /// The number behind it, if there is one.
    #[must_use]
    pub fn number(&self) -> Option<f64> {
        match self {
            Self::Exact(d, _) => Some(decimal_to_f64(*d)),
            Self::Number(x, _) => Some(*x),
            Self::Text(_) | Self::Absent(_) => None,
        }
    }

    /// This less another, shown to the same places with its sign; `None` for words.
    #[must_use]
    pub fn difference(&self, other: &Self, style: NumberStyle) -> Option<String> {
        let signed = |text: String, up: bool| if up { format!("+{text}") } else { text };
        match (self, other) {
            (Self::Exact(a, places), Self::Exact(b, _)) => {
                let d = a.saturating_sub(*b);
                Some(signed(format_fixed(d, *places, style), d > Decimal::ZERO))
            }
            _ => {
                let (a, b) = (self.number()?, other.number()?);
                let places = match self {
                    Self::Number(_, p) | Self::Exact(_, p) => *p,
                    _ => 0,
                };
                // Of the figures as shown, so that the row adds up.
                let step = 10_f64.powi(i32::try_from(places).unwrap_or(0));
                let shown = |x: f64| (x * step).round() / step;
                let d = shown(a) - shown(b);
                Some(signed(format_f64(d, places, style), d > 0.0))
            }
        }
    }
}

/// One figure.
#[derive(Clone, Debug, PartialEq)]
pub struct FigureRow {
    /// Stable key, with its unit, for scripts.
    pub key: &'static str,
    /// Name on screen.
    pub name: &'static str,
    /// Unit on screen; empty for none.
    pub unit: &'static str,
    /// The value.
    pub value: Value,
    /// True for a model's estimate.
    pub estimate: bool,
}

impl FigureRow {
    /// Name with unit, and that it is an estimate.
    #[must_use]
    pub fn title(&self) -> String {
        match (self.unit, self.estimate) {
            ("", false) => self.name.to_owned(),
            ("", true) => format!("{}, estimate", self.name),
            (unit, false) => format!("{}, {unit}", self.name),
            (unit, true) => format!("{}, {unit}, estimate", self.name),
        }
    }
}

fn derived<T>(figure: &Result<T, WhyNot>, make: impl FnOnce(&T) -> Value) -> Value {
    figure.as_ref().map_or_else(|why| Value::Absent(why.clone()), make)
}

/// Where a cooling batch sets, °C.
pub(super) fn sets_c(e: &Evaluation) -> Derived<Banded> {
    let m = e.melt.as_ref().map_err(Clone::clone)?;
    m.sets_c.ok_or(WhyNot::Nothing("set point: it stays too soft"))
}

/// Every figure in the order of the screen.
#[must_use]
pub fn figure_rows(e: &Evaluation) -> Vec<FigureRow> {
    let mut rows = Vec::with_capacity(32);
    let mut add = |key, name, unit, value, estimate| {
        rows.push(FigureRow { key, name, unit, value, estimate });
    };
    let batch = e.batch.as_ref().map_err(|_| WhyNot::NoBatch).copied();
    add("total_percent", "Total", "%", Value::Exact(e.total.0, 2), false);
    add("gross_g", "Batch, gross", "g", derived(&batch, |b| Value::Exact(b.gross.0, 2)), false);
    add("net_g", "Batch, net", "g", derived(&batch, |b| Value::Exact(b.net.0, 2)), false);
    add(
        "pieces",
        "Pieces",
        "",
        derived(&batch.clone().and_then(|b| b.pieces.ok_or(WhyNot::NoPieces)), |n| {
            Value::Exact(Decimal::from(*n), 0)
        }),
        false,
    );
    add("cost_per_100g", "Cost of 100 g", "", priced(e, Some(e.cost.per_100g.0)), false);
    add("cost_per_piece", "Cost of a piece", "", priced(e, e.cost.per_piece.map(|m| m.0)), false);
    add("cost_batch", "Cost of the batch", "", priced(e, e.cost.batch.map(|m| m.0)), false);
    add("powder_percent", "Powders", "%", Value::Exact(e.paste.powder.0, 2), false);
    add("liquid_percent", "Liquid or melted", "%", Value::Exact(e.paste.liquid.0, 2), false);
    add(
        "powder_to_liquid",
        "Powder to liquid",
        "",
        derived(&e.paste.powder_to_liquid, |r| Value::Number(*r, 2)),
        false,
    );
    add(
        "active_surfactant_percent",
        "Active surfactant",
        "%",
        derived(&e.active_surfactant, |p| Value::Exact(p.0, 2)),
        false,
    );
    add(
        "free_water_percent",
        "Free water",
        "%",
        Value::Exact(e.composition.water.free.0, 2),
        false,
    );
    add("heat_to_c", "Heat to", "°C", derived(&e.heat_to, |h| Value::Number(h.c, 0)), true);
    add(
        "fats_clear_c",
        "Fats clear at",
        "°C",
        derived(&e.melt, |m| Value::Number(m.t99_c, 0)),
        true,
    );
    add(
        "all_melted_c",
        "All melted at",
        "°C",
        derived(&e.melt, |m| Value::Number(m.melted_c.at, 0)),
        true,
    );
    add("sets_at_c", "Sets at", "°C", derived(&sets_c(e), |b| Value::Number(b.at, 0)), true);
    add(
        "pour_class",
        "It pours as",
        "",
        derived(&e.pour, |p| Value::Text(p.class.name().to_owned())),
        true,
    );
    add(
        "density_g_ml",
        "Density, set",
        "g/mL",
        derived(&e.paste.density, |d| Value::Number(*d, 2)),
        true,
    );
    let g = &e.grains;
    add("exfoliant_percent", "Exfoliants", "%", derived(g, |f| Value::Exact(f.load.0, 2)), false);
    add("grit_index", "Grit index", "", derived(g, |f| Value::Number(f.grit.index, 0)), true);
    add(
        "grit_in_use",
        "Grit index in use",
        "",
        derived(g, |f| Value::Number(f.grit.in_use, 0)),
        true,
    );
    add(
        "grit_band",
        "Grit band",
        "",
        derived(g, |f| Value::Text(f.grit.band.name().to_owned())),
        true,
    );
    add("d10_um", "D10", "µm", derived(g, |f| Value::Number(f.stats.d10, 0)), false);
    add("d50_um", "D50", "µm", derived(g, |f| Value::Number(f.stats.d50, 0)), false);
    add("d90_um", "D90", "µm", derived(g, |f| Value::Number(f.stats.d90, 0)), false);
    const ABOVE: [(&str, &str); 3] = [
        ("above_300_um_percent", "Grains above 300 µm"),
        ("above_500_um_percent", "Grains above 500 µm"),
        ("above_800_um_percent", "Grains above 800 µm"),
    ];
    for (i, (key, name)) in ABOVE.into_iter().enumerate() {
        let value = derived(g, |f| {
            f.above.get(i).map_or(Value::Text(String::new()), |(_, s)| Value::Number(*s, 1))
        });
        add(key, name, "% of grains", value, false);
    }
    add(
        "grains_per_gram",
        "Grains in 1 g of product",
        "",
        derived(g, |f| Value::Number(f.stats.grains_per_gram_of_product, 0)),
        true,
    );
    rows
}

/// A cost, or which materials lack a price.
fn priced(e: &Evaluation, money: Option<Decimal>) -> Value {
    if !e.cost.is_complete() {
        let mut names = e.cost.unpriced_names.clone();
        if e.cost.lines_left_out > 0 {
            names.push(format!("{} lines not counted", e.cost.lines_left_out));
        }
        return Value::Absent(WhyNot::Unknown { what: "price", names });
    }
    match money {
        Some(m) => Value::Exact(m, 2),
        None => Value::Absent(WhyNot::NoPieces),
    }
}

/// A figure that differs between two evaluations.
#[derive(Clone, Debug, PartialEq)]
pub struct FigureChange {
    /// The figure before.
    pub from: FigureRow,
    /// Its value after.
    pub to: Value,
}

/// Figures that read differently, in the order of the screen.
#[must_use]
pub fn figure_changes(before: &Evaluation, after: &Evaluation) -> Vec<FigureChange> {
    let style = NumberStyle::default();
    figure_rows(before)
        .into_iter()
        .zip(figure_rows(after))
        .filter(|(a, b)| a.value.text(style) != b.value.text(style))
        .map(|(from, to)| FigureChange { from, to: to.value })
        .collect()
}
