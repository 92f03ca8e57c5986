//! Exposure to components that the maker asked for, with the arithmetic. Never a verdict.

use crate::formula::{Composition, ExposureAsk, Formula};
use crate::number::{NumberStyle, format_f64, format_plain};
use crate::quantity::{Date, Percent, decimal_to_f64, derived};
use crate::safety::exposure::{MARGIN_LEAST, margin, pod_from_oral, sed_mg_kg_day};
use crate::safety::exposure_table::{ExposureLine, ExposureTable};

/// One exposure.
#[derive(Clone, Debug, PartialEq)]
pub struct ExposureFigures {
    /// What was asked.
    pub ask: ExposureAsk,
    /// % of the component in the product.
    pub percent: Percent,
    /// Line of the table that is used; `None` where none suits the product.
    pub line: Option<ExposureLine>,
    /// Why that line stands in for the product; empty where it is the product itself.
    pub stand_in: String,
    /// Systemic exposure dose in mg per kg of body weight a day.
    pub sed: Option<f64>,
    /// Systemic point of departure in mg/kg a day.
    pub departure: Option<f64>,
    /// Margin.
    pub margin: Option<f64>,
    /// Edition of the table.
    pub edition: String,
}

/// Works the exposures of a formula out.
pub(super) fn exposures(
    formula: &Formula,
    composition: &Composition,
    table: &ExposureTable,
    date: Date,
) -> Vec<ExposureFigures> {
    let usual = table.products.iter().find(|p| p.when.holds(formula.product, date));
    let one = |ask: &ExposureAsk| {
        let percent = composition.percent_of(&ask.component);
        let (line, stand_in) = match &ask.line {
            Some(name) => (table.line(name), String::new()),
            None => match usual {
                Some(usual) => (table.line(&usual.line), usual.why.clone()),
                None => (None, String::new()),
            },
        };
        let absorbed = ask.absorbed.to_f64();
        let sed = line.and_then(|l| sed_mg_kg_day(l.e_mg_kg_day, percent, absorbed));
        let typed = decimal_to_f64(ask.departure);
        let departure = if ask.oral { pod_from_oral(typed) } else { Some(typed) };
        ExposureFigures {
            ask: ask.clone(),
            percent,
            line: line.cloned(),
            stand_in,
            sed,
            departure,
            margin: departure.zip(sed).and_then(|(pod, sed)| margin(pod, sed)),
            edition: table.edition.clone(),
        }
    };
    formula.safety.exposures.iter().map(one).collect()
}

/// A number to so many significant figures that small ones can be read.
fn significant(x: f64, style: NumberStyle) -> String {
    let places = match x.abs() {
        a if a >= 100.0 => 0,
        a if a >= 1.0 => 2,
        a if a >= 0.01 => 4,
        _ => 6,
    };
    format_f64(x, places, style)
}

impl ExposureFigures {
    /// The arithmetic, a step a line.
    #[must_use]
    pub fn steps(&self, style: NumberStyle) -> Vec<String> {
        let pct = |p: Percent| format!("{} %", format_plain(derived(p.0).normalize(), style));
        let Some(line) = &self.line else {
            return vec!["No line of the exposure table suits this product: choose one".to_owned()];
        };
        let mut out = vec![format!(
            "{}: {} mg of product per kg of body weight a day ({} g a day, {} of it stays)",
            line.name,
            format_f64(line.e_mg_kg_day, 2, style),
            format_f64(line.g_day, 3, style),
            format_f64(line.retention, 2, style),
        )];
        if !self.stand_in.is_empty() {
            out.push(self.stand_in.clone());
        }
        match self.sed {
            Some(sed) => out.push(format!(
                "Systemic exposure = {} × {} × {} absorbed = {} mg/kg a day",
                format_f64(line.e_mg_kg_day, 2, style),
                pct(self.percent),
                pct(self.ask.absorbed),
                significant(sed, style),
            )),
            None => out.push("The exposure cannot be worked out from these figures".to_owned()),
        }
        if let Some(pod) = self.departure {
            let typed = format_plain(self.ask.departure, style);
            out.push(if self.ask.oral {
                format!("Point of departure = {typed} × 0.5 (oral, no data on absorption) = {} mg/kg a day", significant(pod, style))
            } else {
                format!("Point of departure = {typed} mg/kg a day")
            });
        }
        match (self.margin, self.departure, self.sed) {
            (Some(margin), Some(pod), Some(sed)) => out.push(format!(
                "Margin = {} / {} = {}; the Notes of Guidance look for at least {}",
                significant(pod, style),
                significant(sed, style),
                format_f64(margin, if margin < 1000.0 { 1 } else { 0 }, style),
                format_f64(MARGIN_LEAST, 0, style),
            )),
            _ => out.push("Without exposure there is no margin: the component is not in the formula, or nothing of it is absorbed".to_owned()),
        }
        out.push(format!("Table: {}; {}", self.edition, line.about.provenance()));
        if !self.ask.source.is_empty() {
            out.push(format!("Point of departure and absorption: {}", self.ask.source));
        }
        out.push("This is arithmetic on figures that were entered, not an assessment".to_owned());
        out
    }

    /// The margin in one line.
    #[must_use]
    pub fn headline(&self, style: NumberStyle) -> String {
        match (self.sed, self.margin) {
            (Some(sed), Some(m)) => format!(
                "{}: exposure {} mg/kg a day, margin {}",
                self.ask.component,
                significant(sed, style),
                format_f64(m, if m < 1000.0 { 1 } else { 0 }, style)
            ),
            _ => format!("{}: no figure", self.ask.component),
        }
    }
}
