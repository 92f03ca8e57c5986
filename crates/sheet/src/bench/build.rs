//! From formula and figures to the words around the table.

use quern_calc::batch::BatchPlan;
use quern_calc::evaluate::Evaluation;
use quern_calc::findings::Severity;
use quern_calc::formula::{Formula, Library, Phase, PhaseTemperature, phase_letter};
use quern_calc::number::{NumberStyle, format_f64, format_fixed, format_plain};
use quern_calc::quantity::Grams;
use rust_decimal::Decimal;

use super::table::{self, ScaleUse};
use super::{About, Bare, BenchSheet, Fact, StepRow, TotalRow};
use crate::figure::{DASH, Figure};
use crate::text::{clean, edition, joined, ranges};

pub(super) fn build(
    formula: &Formula,
    evaluation: &Evaluation,
    library: &Library,
    plan: &BatchPlan,
    about: &About,
) -> BenchSheet {
    let style = about.style;
    let scales = ScaleUse::new(evaluation, plan);
    let mut phases = table::phases(formula, evaluation, library, plan, &scales, style);
    let mut total = table::total(evaluation, &scales, style);
    let facts = facts(evaluation, plan, &scales, &total, style);
    table::align_columns(&mut phases, &mut total, style);

    let titles = |severity: Severity| {
        let mut out: Vec<String> = Vec::new();
        for finding in evaluation.findings.iter().filter(|f| f.severity() == severity) {
            let title = clean(&finding.words(style).title);
            if !out.contains(&title) {
                out.push(title);
            }
        }
        out
    };
    let title = match clean(&formula.name) {
        name if name.is_empty() => "Unnamed formula".to_owned(),
        name => name,
    };
    BenchSheet {
        title,
        product: format!(
            "{} \u{b7} version {}, {}",
            formula.product.words(),
            formula.version.number,
            formula.version.state.name()
        ),
        code: clean(&evaluation.batch_code),
        dated: joined(&[about.style.dates.words(about.date), clean(&about.workshop)], " \u{b7} "),
        stops: titles(Severity::Stop),
        warns: titles(Severity::Warn),
        facts,
        phases,
        total,
        steps: steps(formula, style),
        cares: evaluation.cares.iter().map(|c| clean(&c.text)).collect(),
        made_by: joined(
            &[
                format!("{} bench sheet", clean(&about.program)),
                edition("checked against", &about.rules_edition),
                edition("library", &about.library_edition),
            ],
            " \u{b7} ",
        ),
        paper: about.paper,
    }
}

/// A temperature with as many decimals as it has, one at most.
pub(super) fn celsius(value: f64, style: NumberStyle) -> String {
    format!("{} \u{b0}C", one_decimal_at_most(value, style))
}

fn one_decimal_at_most(value: f64, style: NumberStyle) -> String {
    let places = u32::from((value - value.round()).abs() > 0.05);
    format_f64(value, places, style)
}

/// Minutes, hours or days, whichever reads best: "20 min", "4 h", "2 days".
fn duration(minutes: f64, style: NumberStyle) -> String {
    const HOUR: f64 = 60.0;
    const DAY: f64 = 24.0 * HOUR;
    let (value, unit) = match minutes {
        m if m >= 2.0 * DAY => (m / DAY, "days"),
        m if m >= 2.0 * HOUR => (m / HOUR, "h"),
        m => (m, "min"),
    };
    format!("{} {unit}", one_decimal_at_most(value, style))
}

/// "to 74 °C" with no reading, "below 50 °C" with one.
pub(super) fn heat(phase: &Phase, style: NumberStyle) -> (String, bool) {
    match phase.temperature {
        PhaseTemperature::Unstated => (String::new(), false),
        PhaseTemperature::HeatTo(c) => (format!("to {}", celsius(c, style)), false),
        PhaseTemperature::Below(c) => (format!("below {}", celsius(c, style)), true),
    }
}

fn steps(formula: &Formula, style: NumberStyle) -> Vec<StepRow> {
    let mut out = Vec::new();
    for (index, phase) in formula.phases.iter().enumerate() {
        for step in &phase.steps {
            let detail = [
                step.temperature_c.map(|c| celsius(c, style)),
                step.minutes.map(|m| duration(m, style)),
            ];
            out.push(StepRow {
                number: out.len() + 1,
                letter: phase_letter(index),
                text: clean(&step.text),
                detail: detail.into_iter().flatten().collect::<Vec<_>>().join(", "),
                reading: step.temperature_c.is_some(),
                time: step.minutes.is_some(),
            });
        }
    }
    out
}

fn facts(
    evaluation: &Evaluation,
    plan: &BatchPlan,
    scales: &ScaleUse<'_>,
    total: &TotalRow,
    style: NumberStyle,
) -> Vec<Fact> {
    let grams_fact = |label, figure: &Figure| Fact {
        label,
        value: if figure.is_none() { DASH.to_owned() } else { format!("{} g", figure.text) },
        bare: Bare::Grams(figure.plain.clone()),
    };
    let batch = evaluation.batch.as_ref().ok();
    let grams = |g: Option<Grams>| g.map_or_else(Figure::none, |g| Figure::exact(g.0, 2, style));

    let mut out = Vec::new();
    if let Some((count, each)) = batch.and_then(|b| b.pieces.zip(b.piece))
        && count > 0
    {
        let value = format!("{count} \u{d7} {} g", format_plain(each.0, style));
        out.push(Fact { label: "pieces", value, bare: Bare::Words });
    }
    out.push(grams_fact("net", &grams(batch.map(|b| b.net))));
    let loss = format_plain(plan.loss.0.round_dp(2), style).replace('-', "\u{2212}");
    out.push(Fact {
        label: "loss",
        value: format!("{loss} %"),
        bare: Bare::Percent(Figure::exact(plan.loss.0, 0, style).plain),
    });
    out.push(grams_fact("gross, exact", &grams(batch.map(|b| b.gross))));
    let off =
        batch.is_some_and(|b| (evaluation.weigh.exact - b.gross).0.abs() > Decimal::new(5, 3));
    if off {
        out.push(grams_fact("lines, exact", &total.exact));
    }
    out.push(grams_fact("rounded lines", &total.rounded));
    out.push(grams_fact("difference", &total.difference));
    let value = scale_words(scales, style);
    out.push(Fact { label: "scales", value, bare: Bare::Words });
    out
}

/// "0.1 g; 0.01 g for 14".
fn scale_words(scales: &ScaleUse<'_>, style: NumberStyle) -> String {
    const MOST_LINES: usize = 6;
    let size = |g: Grams| format!("{} g", format_plain(g.0, style));
    let Some(main) = scales.main else {
        return if scales.plan.scales.is_empty() {
            "none set".to_owned()
        } else {
            scales.listed(size)
        };
    };
    let mut words = size(main.readability);
    for (scale, lines) in scales.others() {
        let lines = if lines.len() > MOST_LINES {
            format!("{} lines", format_fixed(Decimal::from(lines.len()), 0, style))
        } else {
            ranges(&lines)
        };
        let name = scales.told_apart(scale, size);
        words.push_str(&format!("; {name} for {lines}"));
    }
    words
}
