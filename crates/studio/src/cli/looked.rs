//! What was checked of a formula, met or not, as text.

use quern_calc::evaluate::{Evaluation, MarketFigures, chemistry_rows};
use quern_calc::findings::Quantity;
use quern_calc::formula::Formula;
use quern_calc::number::NumberStyle;
use quern_calc::quantity::Percent;
use quern_calc::safety::keeping::MICROBES;
use quern_calc::safety::limits::{LimitCheck, Verdict};

use super::text::{Set, Table, hang, listed, wrap};

/// Below a heading.
const ROW: &str = "    ";

/// Indent of what goes on from a row.
const ON: usize = 6;

/// Limits, allergens, preservation, exposure and chemistry.
pub(super) fn looked_at(out: &mut String, formula: &Formula, e: &Evaluation, style: NumberStyle) {
    for market in &e.safety.markets {
        limits(out, market, style);
        allergens(out, market, style);
    }
    preservation(out, e, style);
    for exposure in &e.safety.exposures {
        heading(out, &format!("Exposure to {}", exposure.headline(style)));
        for step in exposure.steps(style) {
            row(out, &step);
        }
    }
    for part in chemistry_rows(e, formula, style) {
        heading(out, &format!("{} ({})", part.name, part.about));
        let mut table = Table::new([("", Set::Left), ("", Set::Left)]);
        for r in part.rows {
            table.row([format!("  {}", r.name), r.value]);
        }
        table.render(out);
        for note in part.notes {
            row(out, &note);
        }
    }
}

fn heading(out: &mut String, text: &str) {
    hang(out, "  ", ON, text);
}

fn row(out: &mut String, text: &str) {
    hang(out, ROW, ON, text);
}

fn pct(p: Percent, style: NumberStyle) -> String {
    Quantity::Percent(p).words(style)
}

/// What came of a limit.
fn came(check: &LimitCheck, style: NumberStyle) -> String {
    let cap = check.cap.map_or("no maximum".to_owned(), |c| pct(c, style));
    let most = check.most.map_or("an unknown share".to_owned(), |m| pct(m, style));
    match check.verdict {
        Verdict::NoMaximum => "no maximum here".to_owned(),
        Verdict::Within if check.at_or_above => format!("below {cap}"),
        Verdict::Within => format!("within {cap}"),
        Verdict::AtMost => format!("a share is not stated; {most} at most, within {cap}"),
        Verdict::Above if check.at_or_above => format!("not below {cap}"),
        Verdict::Above => format!("above {cap}"),
        Verdict::NotAllowed => "not allowed in this product".to_owned(),
        Verdict::Undecided => format!("a share is not stated, so {cap} was not decided"),
    }
}

fn limits(out: &mut String, market: &MarketFigures, style: NumberStyle) {
    if market.checks.limits.is_empty() && market.checks.pending.is_empty() {
        heading(out, &format!("Limits, {}: none names anything in the formula", market.name));
        return;
    }
    heading(out, &format!("Limits, {}", market.name));
    let mut sources: Vec<String> = Vec::new();
    for check in &market.checks.limits {
        let amount = pct(check.amount, style);
        let text = format!(
            "{}: {amount}, {} ({})",
            check.counted_name(),
            came(check, style),
            check.reference
        );
        row(out, &text);
        let source = check.about.provenance();
        if !sources.contains(&source) {
            sources.push(source);
        }
    }
    for s in &market.checks.statements {
        let place = if s.label { "On the pack" } else { "For the file" };
        row(out, &format!("{place}: {} ({})", s.text, s.reference));
    }
    for clash in &market.checks.clashes {
        let (one, other) = &clash.references;
        row(out, &format!("{one} with {other}: {}", clash.why));
    }
    for coming in &market.checks.pending {
        let from = coming.from.map_or("open".to_owned(), |d| format!("from {}", d.words()));
        row(out, &format!("Coming, {from}: {}", coming.text));
    }
    for source in sources {
        row(out, &format!("Source: {source}"));
    }
}

fn allergens(out: &mut String, market: &MarketFigures, style: NumberStyle) {
    let Some(checks) = &market.allergens else { return };
    let Some(first) = checks.sums.first() else {
        let text = match checks.unknown.as_slice() {
            [] => "none of the list is in the formula",
            _ => "none of the list is known to be in the formula",
        };
        heading(out, &format!("Fragrance allergens, {}: {text}", market.name));
        silent(out, market);
        return;
    };
    let threshold = pct(first.threshold, style);
    heading(out, &format!("Fragrance allergens, {}, named above {threshold}", market.name));
    let mut table =
        Table::new([("", Set::Left), ("", Set::Decimal), ("", Set::Left), ("", Set::Left)]);
    for sum in &checks.sums {
        let word = match (sum.over, sum.required_now) {
            (true, true) => "named",
            (true, false) => "to be named later",
            (false, _) => "not named",
        };
        let from: Vec<&str> = sum.sources.iter().map(|s| s.name.as_str()).collect();
        let from = format!("from {}", listed(&from));
        table.row([format!("  {}", sum.label), pct(sum.amount, style), word.to_owned(), from]);
    }
    table.render(out);
    if let Some(day) = checks.new_free_until {
        row(
            out,
            &format!("Those that were added to the list may be missing until {}", day.words()),
        );
    }
    silent(out, market);
}

fn silent(out: &mut String, market: &MarketFigures) {
    let unknown = market.allergens.iter().flat_map(|a| &a.unknown);
    let names: Vec<&str> = unknown.map(|u| u.name.as_str()).collect();
    if !names.is_empty() {
        row(out, &format!("Not stated for {}", listed(&names)));
    }
}

fn preservation(out: &mut String, e: &Evaluation, style: NumberStyle) {
    let k = &e.safety.keeping;
    heading(out, "Preservation");
    for line in k.advice(style) {
        row(out, &line);
    }
    for system in &k.systems {
        let amount = pct(system.percent, style);
        row(out, &format!("{}, {amount}: {}", system.inci, system.counts.name()));
        for line in system.words(style) {
            wrap(out, "      ", &line);
        }
    }
    if !k.systems.is_empty() {
        let reach: Vec<String> = MICROBES
            .into_iter()
            .zip(k.coverage)
            .map(|(name, reach)| format!("{name} {}", reach.name()))
            .collect();
        let least = if k.coverage_open { ", at least" } else { "" };
        wrap(out, ROW, &format!("Reach of those that count{least}: {}", reach.join(", ")));
    }
}
