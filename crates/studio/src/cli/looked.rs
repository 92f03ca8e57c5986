//! What was checked of a formula, met or not, as text.

use quern_calc::evaluate::{Evaluation, MarketFigures, chemistry_rows};
use quern_calc::findings::Quantity;
use quern_calc::formula::Formula;
use quern_calc::number::NumberStyle;
use quern_calc::quantity::Percent;
use quern_calc::safety::keeping::MICROBES;
use quern_calc::safety::limits::{LimitCheck, Verdict};

use super::findings::ran;
use super::text::wrap;

/// Limits, allergens, preservation, exposure and chemistry; then what they rest on.
pub(super) fn looked_at(out: &mut String, formula: &Formula, e: &Evaluation, style: NumberStyle) {
    for market in &e.safety.markets {
        limits(out, market, style);
        allergens(out, market, style);
    }
    preservation(out, e, style);
    for exposure in &e.safety.exposures {
        wrap(out, "  exposure  ", &exposure.headline(style));
        for step in exposure.steps(style) {
            wrap(out, "            ", &step);
        }
    }
    for part in chemistry_rows(e, formula, style) {
        for row in part.rows {
            wrap(out, "  chemistry ", &format!("{}: {}", row.name, row.value));
        }
        for note in part.notes {
            wrap(out, "  chemistry ", &format!("{}: {note}", part.name));
        }
    }
    ran(out, &e.safety.checked_against(), &e.safety.not_checked());
}

fn pct(p: Percent, style: NumberStyle) -> String {
    Quantity::Percent(p).words(style)
}

/// One limit in a line.
fn limit(check: &LimitCheck, style: NumberStyle) -> String {
    let amount = pct(check.amount, style);
    let cap = check.cap.map_or("no maximum".to_owned(), |c| pct(c, style));
    let came = match check.verdict {
        Verdict::NoMaximum => format!("{amount}, no maximum for this product"),
        Verdict::Within => format!("{amount} of {cap}"),
        Verdict::AtMost => format!("a share is not stated; at most within {cap}"),
        Verdict::Above => format!("{amount}, above {cap}"),
        Verdict::NotAllowed => format!("{amount}, not allowed in this product"),
        Verdict::Undecided => format!("{amount} and an unknown share of {cap}"),
    };
    format!("{}: {came} ({}; {})", check.counted_name(), check.reference, check.about.provenance())
}

fn limits(out: &mut String, market: &MarketFigures, style: NumberStyle) {
    let code = &market.code;
    if market.checks.limits.is_empty() {
        let text = format!("{}: no limit names anything in the formula", market.name);
        wrap(out, "  limit     ", &text);
    }
    for check in &market.checks.limits {
        wrap(out, "  limit     ", &format!("{code}: {}", limit(check, style)));
    }
    for s in &market.checks.statements {
        let place = if s.label { "on the pack" } else { "for the file" };
        wrap(out, "  condition ", &format!("{code}: {} ({place}; {})", s.text, s.reference));
    }
}

fn allergens(out: &mut String, market: &MarketFigures, style: NumberStyle) {
    let Some(checks) = &market.allergens else { return };
    for sum in &checks.sums {
        let word = match (sum.over, sum.required_now) {
            (true, true) => "named on the label",
            (true, false) => "will have to be named",
            (false, _) => "not named",
        };
        let from: Vec<&str> = sum.sources.iter().map(|s| s.name.as_str()).collect();
        let text = format!(
            "{}: {} {}, threshold {}: {word}; from {}",
            market.code,
            sum.label,
            pct(sum.amount, style),
            pct(sum.threshold, style),
            from.join(", ")
        );
        wrap(out, "  allergen  ", &text);
    }
    for unknown in &checks.unknown {
        let text = format!("{}: not stated for {}", market.code, unknown.name);
        wrap(out, "  allergen  ", &text);
    }
}

fn preservation(out: &mut String, e: &Evaluation, style: NumberStyle) {
    let k = &e.safety.keeping;
    for line in k.advice(style) {
        wrap(out, "  keeping   ", &line);
    }
    for system in &k.systems {
        let head = format!("{}: {}", system.inci, system.counts.name());
        wrap(out, "  keeping   ", &head);
        for line in system.words(style) {
            wrap(out, "              ", &line);
        }
    }
    if !k.systems.is_empty() {
        let reach: Vec<String> = MICROBES
            .into_iter()
            .zip(k.coverage)
            .map(|(name, reach)| format!("{name} {}", reach.name()))
            .collect();
        wrap(out, "  keeping   ", &format!("reach of those that count: {}", reach.join(", ")));
    }
}
