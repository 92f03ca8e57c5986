//! The rows of the weigh table.

use std::collections::BTreeMap;

use quern_calc::batch::{BatchPlan, Scale, WeighLine, assign_scale};
use quern_calc::evaluate::{Evaluation, LineFigures, item_inci};
use quern_calc::formula::{Alternative, Formula, Library, Line, LineId, phase_letter};
use quern_calc::number::{NumberStyle, format_plain, round_to_step};
use quern_calc::quantity::Grams;
use rust_decimal::Decimal;

use super::build::heat;
use super::{LineRow, PhaseRows, TotalRow, Under};
use crate::figure::{Figure, align, percent_places};
use crate::text::{clean, name_helps};

/// Decimals of a mass that no scale weighs, and of exact totals.
const EXACT_PLACES: u32 = 2;

/// Which line is weighed on which scale.
pub(super) struct ScaleUse<'a> {
    pub plan: &'a BatchPlan,
    /// The scale that most lines use; the finer one at a tie.
    pub main: Option<&'a Scale>,
    main_index: Option<usize>,
    /// Line numbers by scale.
    lines: BTreeMap<usize, Vec<usize>>,
}

impl<'a> ScaleUse<'a> {
    pub fn new(evaluation: &Evaluation, plan: &'a BatchPlan) -> Self {
        let mut lines: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        if evaluation.batch.is_ok() {
            for (index, row) in evaluation.weigh.lines.iter().enumerate() {
                if let Some(scale) = row.scale.filter(|_| row.target.is_some()) {
                    lines.entry(scale).or_default().push(index + 1);
                }
            }
        }
        let finer = |i: usize| std::cmp::Reverse(plan.scales.get(i).map(|s| s.readability));
        let main_index =
            lines.iter().max_by_key(|(i, used)| (used.len(), finer(**i))).map(|(i, _)| *i);
        Self { plan, main: main_index.and_then(|i| plan.scales.get(i)), main_index, lines }
    }

    /// The other scales in use with the lines that they weigh.
    pub fn others(&self) -> impl Iterator<Item = (&'a Scale, Vec<usize>)> + '_ {
        self.lines
            .iter()
            .filter(|(i, _)| Some(**i) != self.main_index)
            .filter_map(|(i, lines)| Some((self.plan.scales.get(*i)?, lines.clone())))
    }

    /// Every scale of the plan, when none is in use.
    pub fn listed(&self, size: impl Fn(Grams) -> String) -> String {
        let all: Vec<String> = self.plan.scales.iter().map(|s| size(s.readability)).collect();
        all.join(", ")
    }

    /// A scale by its readability, or by its name where the main one has the same.
    pub fn told_apart(&self, scale: &Scale, size: impl Fn(Grams) -> String) -> String {
        let same = self.main.is_some_and(|m| m.readability == scale.readability);
        match clean(&scale.name) {
            name if same && !name.is_empty() => name,
            _ => size(scale.readability),
        }
    }

    fn of(&self, row: &WeighLine) -> Option<&'a Scale> {
        row.scale.and_then(|i| self.plan.scales.get(i))
    }

    fn is_other(&self, row: &WeighLine) -> bool {
        row.scale.is_some() && row.scale != self.main_index
    }
}

/// Decimals that show a division of the scale.
fn places(scale: Option<&Scale>) -> u32 {
    scale.map_or(EXACT_PLACES, |s| s.readability.0.normalize().scale())
}

pub(super) fn phases(
    formula: &Formula,
    evaluation: &Evaluation,
    library: &Library,
    plan: &BatchPlan,
    scales: &ScaleUse<'_>,
    style: NumberStyle,
) -> Vec<PhaseRows> {
    let figures: BTreeMap<LineId, &LineFigures> =
        evaluation.lines.iter().map(|l| (l.line, l)).collect();
    let weighed: BTreeMap<LineId, &WeighLine> =
        evaluation.weigh.lines.iter().map(|l| (l.line, l)).collect();
    let batch = evaluation.batch.is_ok();
    let mut number = 0;
    let mut running_places = 0;
    let mut out = Vec::new();
    for (index, phase) in formula.phases.iter().enumerate() {
        let mut lines = Vec::new();
        let mut phase_places = 0;
        for line in &phase.lines {
            number += 1;
            let weigh = weighed.get(&line.id).copied().filter(|w| batch && w.target.is_some());
            let scale = weigh.and_then(|w| scales.of(w));
            if weigh.is_some() {
                running_places = running_places.max(places(scale));
                phase_places = phase_places.max(places(scale));
            }
            let mut row = blank_row(number, line, figures.get(&line.id).copied(), library, style);
            if let Some(weigh) = weigh {
                weighing(&mut row, weigh, scale, scales, running_places, style);
            }
            row.under = under(line, weigh, library, plan, style);
            lines.push(row);
        }
        if lines.is_empty() {
            continue;
        }
        let sums = evaluation.phases.iter().find(|p| p.phase == phase.id);
        let (heat, reading) = heat(phase, style);
        out.push(PhaseRows {
            letter: phase_letter(index),
            name: clean(&phase.name),
            heat,
            reading,
            percent: sums.map_or_else(Figure::none, |s| {
                Figure::exact(s.percent.0, percent_places(s.percent.0), style)
            }),
            grams: sums
                .filter(|_| batch)
                .map_or_else(Figure::none, |s| Figure::new(s.grams.0, phase_places, style)),
            lines,
        });
    }
    out
}

fn blank_row(
    number: usize,
    line: &Line,
    figures: Option<&LineFigures>,
    library: &Library,
    style: NumberStyle,
) -> LineRow {
    let inci = clean(&figures.map_or_else(|| item_inci(&line.item, library), |f| f.inci.clone()));
    let name = figures.map(|f| clean(&f.name)).unwrap_or_default();
    let fills = figures.is_some_and(|f| f.fills);
    LineRow {
        number,
        name: if name_helps(&name, &inci) { name } else { String::new() },
        inci,
        marks: if fills { vec!["fills to 100".to_owned()] } else { Vec::new() },
        percent: figures
            .and_then(|f| f.percent)
            .map_or_else(Figure::none, |p| Figure::exact(p.0, percent_places(p.0), style)),
        target: Figure::none(),
        scale: String::new(),
        band: Figure::none(),
        running: Figure::none(),
        under: Vec::new(),
    }
}

fn weighing(
    row: &mut LineRow,
    weigh: &WeighLine,
    scale: Option<&Scale>,
    scales: &ScaleUse<'_>,
    running_places: u32,
    style: NumberStyle,
) {
    let figure =
        |g: Option<Grams>| g.map_or_else(Figure::none, |g| Figure::new(g.0, places(scale), style));
    row.target = figure(weigh.target);
    row.band = figure(weigh.band).plus_minus();
    row.running = Figure::new(weigh.running.0, running_places, style);
    if let Some(scale) = scale {
        row.scale = format_plain(scale.readability.0, NumberStyle::default());
        if scales.is_other(weigh) {
            let size = |g: Grams| format!("{} g", format_plain(g.0, style));
            row.marks.push(format!("{} scale", scales.told_apart(scale, size)));
        }
    }
    if !weigh.fits {
        row.marks.push("weigh in portions".to_owned());
    }
}

fn under(
    line: &Line,
    weigh: Option<&WeighLine>,
    library: &Library,
    plan: &BatchPlan,
    style: NumberStyle,
) -> Vec<Under> {
    let note = clean(&line.note);
    let mut out: Vec<Under> = line
        .alternatives
        .iter()
        .map(|other| alternative(other, weigh, library, plan, style))
        .collect();
    if !note.is_empty() {
        out.push(Under::Note(note));
    }
    out
}

fn alternative(
    other: &Alternative,
    weigh: Option<&WeighLine>,
    library: &Library,
    plan: &BatchPlan,
    style: NumberStyle,
) -> Under {
    let mass =
        weigh.and_then(|w| w.exact).map(|g| g.times(other.ratio)).filter(|g| g.0 > Decimal::ZERO);
    let target = mass.map_or_else(Figure::none, |mass| {
        let scale = assign_scale(&plan.scales, mass).and_then(|i| plan.scales.get(i));
        let rounded = scale.map_or(mass.0, |s| round_to_step(mass.0, s.readability.0));
        Figure::new(rounded, places(scale), style)
    });
    Under::Or {
        inci: clean(&item_inci(&other.item, library)),
        ratio: if other.ratio == Decimal::ONE {
            String::new()
        } else {
            format_plain(other.ratio, style)
        },
        target,
        note: clean(&other.note),
    }
}

pub(super) fn total(
    evaluation: &Evaluation,
    scales: &ScaleUse<'_>,
    style: NumberStyle,
) -> TotalRow {
    let percent = Figure::exact(evaluation.total.0, percent_places(evaluation.total.0), style);
    if evaluation.batch.is_err() {
        return TotalRow {
            percent,
            rounded: Figure::none(),
            exact: Figure::none(),
            difference: Figure::none(),
        };
    }
    let list = &evaluation.weigh;
    let finest = list
        .lines
        .iter()
        .filter(|l| l.target.is_some())
        .map(|l| places(scales.of(l)))
        .max()
        .unwrap_or(EXACT_PLACES);
    TotalRow {
        percent,
        rounded: Figure::new(list.rounded.0, finest, style),
        exact: Figure::exact(list.exact.0, finest.max(EXACT_PLACES), style),
        difference: Figure::new(list.difference().0, finest.max(EXACT_PLACES), style).signed(),
    }
}

/// Lines the figures of each column up on the decimal mark.
pub(super) fn align_columns(phases: &mut [PhaseRows], total: &mut TotalRow, style: NumberStyle) {
    fn column(
        phases: &mut [PhaseRows],
        of: fn(&mut LineRow) -> &mut Figure,
    ) -> impl Iterator<Item = &mut Figure> {
        phases.iter_mut().flat_map(|p| p.lines.iter_mut()).map(of)
    }
    let mut percent: Vec<&mut Figure> = vec![&mut total.percent];
    let mut grams: Vec<&mut Figure> = vec![&mut total.rounded];
    for phase in phases.iter_mut() {
        percent.push(&mut phase.percent);
        grams.push(&mut phase.grams);
        for line in &mut phase.lines {
            percent.push(&mut line.percent);
            grams.push(&mut line.target);
        }
    }
    align(percent, style);
    align(grams, style);
    align(column(phases, |l| &mut l.band), style);
    align(column(phases, |l| &mut l.running), style);
}
