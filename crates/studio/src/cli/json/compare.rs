//! `compare --json`.

use quern_calc::evaluate::{Evaluation, FigureRow, item_name};
use quern_calc::formula::{DifferenceRow, Formula, Item as ItemModel, Library};
use serde::Serialize;

use super::{Cell, Head, Version, cell, exact};

/// The document.
#[derive(Debug, Serialize)]
pub(in super::super) struct Compare {
    #[serde(flatten)]
    head: Head,
    formulas: Vec<Side>,
    lines: Vec<Line>,
    figures: Vec<Figure>,
}

#[derive(Debug, Serialize)]
struct Side {
    name: String,
    id: String,
    version: Version,
    counts: super::Counts,
}

#[derive(Debug, Serialize)]
struct Line {
    item: Item,
    percents: Vec<Option<String>>,
    same: bool,
}

#[derive(Debug, Serialize)]
struct Item {
    kind: &'static str,
    id: String,
    name: String,
}

#[derive(Debug, Serialize)]
struct Figure {
    key: &'static str,
    name: &'static str,
    unit: &'static str,
    estimate: bool,
    values: Vec<Option<Cell>>,
    same: bool,
    missing: Vec<NotThere>,
}

/// Why one side has no value.
#[derive(Debug, Serialize)]
pub(super) struct NotThere {
    pub formula: String,
    pub why: String,
}

/// The sides with the rows between them. `figures` holds one list of rows per formula.
pub(in super::super) fn compare(
    head: Head,
    sides: &[(&Formula, &Evaluation)],
    lines: &[DifferenceRow],
    figures: &[Vec<FigureRow>],
    library: &Library,
) -> Compare {
    let first = figures.first().map(Vec::as_slice).unwrap_or_default();
    Compare {
        head,
        formulas: sides
            .iter()
            .map(|(f, e)| Side {
                name: f.name.clone(),
                id: f.id.to_string(),
                version: Version::new(f),
                counts: super::Counts::of(e),
            })
            .collect(),
        lines: lines
            .iter()
            .map(|row| Line {
                item: item(&row.item, library),
                percents: row.percents.iter().map(|p| p.map(|p| exact(p.0))).collect(),
                same: row.same,
            })
            .collect(),
        figures: first.iter().map(|row| figure(row, sides, figures)).collect(),
    }
}

fn item(item: &ItemModel, library: &Library) -> Item {
    let (kind, id) = match item {
        ItemModel::Material(id) => ("material", id.to_string()),
        ItemModel::Formula(id) => ("formula", id.to_string()),
    };
    Item { kind, id, name: item_name(item, library) }
}

fn figure(
    row: &FigureRow,
    sides: &[(&Formula, &Evaluation)],
    figures: &[Vec<FigureRow>],
) -> Figure {
    let mut values = Vec::with_capacity(sides.len());
    let mut missing = Vec::new();
    for ((formula, _), rows) in sides.iter().zip(figures) {
        let value = rows.iter().find(|r| r.key == row.key).map(|r| cell(&r.value));
        values.push(match value {
            Some(Ok(value)) => Some(value),
            Some(Err(why)) => {
                missing.push(NotThere { formula: formula.id.to_string(), why });
                None
            }
            None => None,
        });
    }
    // Two unknowns are not known to be the same.
    let same = values.iter().all(|v| v.is_some() && Some(v) == values.first());
    Figure {
        key: row.key,
        name: row.name,
        unit: row.unit,
        estimate: row.estimate,
        values,
        same,
        missing,
    }
}
