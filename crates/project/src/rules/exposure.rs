//! The file of daily exposure.

use quern_calc::formula::{Basis, Confidence};
use quern_calc::quantity::Date;
use quern_calc::safety::exposure_table::{ExposureFor, ExposureLine, ExposureTable};
use serde::Deserialize;

use super::parts::{Number, Once, Text, WhenText, edition, figure};
use super::problem::RulesProblem;
use super::read;
use crate::check::{Problems, quoted};
use crate::format::word::Word;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "exposure")]
struct File {
    #[serde(rename = "format")]
    _format: u32,
    edition: Word<Text>,
    as_of: Word<Date>,
    body_weight_kg: Number,
    lines: Vec<Line>,
    products: Vec<For>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "line")]
struct Line {
    name: Word<Text>,
    g_day: Number,
    #[serde(default)]
    mg_kg_day: Option<Number>,
    retention: Number,
    e_g_day: Number,
    e_mg_kg_day: Number,
    /// cm² and uses a day.
    #[serde(default)]
    area: Option<(Number, Number)>,
    conf: Word<Confidence>,
    basis: Word<Basis>,
    src: Word<Text>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "product")]
struct For {
    when: WhenText,
    line: Word<Text>,
    #[serde(default)]
    why: String,
}

fn line(l: Line, problems: &mut Problems) -> ExposureLine {
    let name = l.name.0.0;
    let (cm2, uses) = l.area.map_or((0.0, 0.0), |(a, f)| (a.0, f.0));
    let figures = [
        l.g_day.0,
        l.mg_kg_day.map_or(0.0, |n| n.0),
        l.retention.0,
        l.e_g_day.0,
        l.e_mg_kg_day.0,
        cm2,
        uses,
    ];
    if figures.iter().any(|f| *f < 0.0) {
        problems.push(format!("the line {} has a figure below zero", quoted(&name)));
    }
    if l.retention.0 > 1.0 {
        problems.push(format!("the line {}: expected a retention from 0 to 1", quoted(&name)));
    }
    ExposureLine {
        name,
        g_day: l.g_day.0,
        mg_kg_day: l.mg_kg_day.map(|n| n.0),
        retention: l.retention.0,
        e_g_day: l.e_g_day.0,
        e_mg_kg_day: l.e_mg_kg_day.0,
        area: l.area.map(|(a, f)| (a.0, f.0)),
        about: figure((), l.conf, l.basis, l.src),
    }
}

/// Reads the file; `file` names it in messages.
pub(super) fn read(text: &str, file: &str) -> Result<ExposureTable, RulesProblem> {
    let read: File = read::read(text, file)?;
    let mut problems = Problems::default();
    let table = ExposureTable {
        edition: edition(&read.edition.0.0, read.as_of.0),
        body_weight_kg: read.body_weight_kg.0,
        lines: read.lines.into_iter().map(|l| line(l, &mut problems)).collect(),
        products: read
            .products
            .into_iter()
            .map(|p| {
                let line = p.line.0.0;
                let when = p.when.read(|| format!("a product of {}", quoted(&line)), &mut problems);
                ExposureFor { when, line, why: p.why }
            })
            .collect(),
    };
    if table.body_weight_kg <= 0.0 {
        problems.push("the body weight must be above zero".to_owned());
    }
    let mut names = Once::default();
    for line in &table.lines {
        names.see(&line.name, "the line", &mut problems);
    }
    for product in &table.products {
        if table.line(&product.line).is_none() {
            problems.push(format!(
                "a product names the line {}, which is not here",
                quoted(&product.line)
            ));
        }
    }
    read::sound(table, problems, file)
}
