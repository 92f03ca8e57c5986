//! The label as text.

use quern_calc::label::{Entry, Look, Why, Zone};
use quern_calc::number::format_plain;
use quern_calc::quantity::{Percent, derived};

use super::Made;
use crate::cli::findings;
use crate::cli::text::{hang, listed, wrap};

/// The label, what it rests on, and what was not checked.
pub(super) fn text(made: &Made<'_>) -> String {
    let label = &made.side.label;
    let mut out = String::new();
    wrap(&mut out, "== ", &label.name);
    let about = format!(
        "{}, version {}; label for {}, {}",
        made.formula.name, made.formula.version.number, label.market_name, label.edition
    );
    wrap(&mut out, "", &about);
    let [stops, _, _] = made.evaluation.counts();
    if stops > 0 {
        let count = if stops == 1 { "One Stop stands" } else { "Stops stand" };
        let text = format!("{count}: do not print this label; `quern check` tells what is wrong");
        wrap(&mut out, "STOP  ", &text);
    }
    stale(&mut out, made);

    out.push_str("\nOn the pack\n");
    let mut put = |name: &str, value: &str| wrap(&mut out, &format!("  {name:<12} "), value);
    put("name", &label.name);
    put("function", &label.function);
    put("directions", &label.directions);
    for (i, caution) in label.cautions.iter().enumerate() {
        put(&format!("caution {}", i.saturating_add(1)), &caution.text);
    }
    put("list", &label.list.text());
    put("net content", label.net.as_deref().unwrap_or("not stated"));
    put("date", label.best_before.as_deref().unwrap_or("none"));
    put("open jar", label.after_opening.as_deref().unwrap_or("none"));
    let code = label.code.as_ref().map_or_else(|e| format!("not made: {e}"), Clone::clone);
    put("lot", &code);
    put("responsible", label.responsible.as_deref().unwrap_or("not stated"));
    if let Some(origin) = &label.origin {
        put("origin", origin);
    }

    explained(&mut out, made);

    out.push_str("\nLooked at\n");
    for remark in &label.remarks {
        let word = match remark.look {
            Look::Short => "short",
            Look::Know => "know",
            Look::Reaches => "reached",
        };
        wrap(&mut out, &format!("  {word:<8}  "), &remark.text);
    }
    findings::accepted(&mut out, &made.evaluation, made.style);
    if !label.cautions.is_empty() {
        out.push_str("\nWhere the cautions come from\n");
    }
    for (i, caution) in label.cautions.iter().enumerate() {
        wrap(&mut out, &format!("  {:>3}  ", i.saturating_add(1)), &caution.source);
    }
    out.push('\n');
    findings::ran(&mut out, &made.against(), &label.not_checked);
    out
}

/// The list with the reason for each place.
fn explained(out: &mut String, made: &Made<'_>) {
    let list = &made.side.label.list;
    if list.entries.is_empty() {
        return;
    }
    out.push_str("\nThe list explained\n");
    let mut block = None;
    for (i, entry) in list.entries.iter().enumerate() {
        if block != Some(entry.zone) {
            block = Some(entry.zone);
            let head = match entry.zone {
                Zone::Ordered => "By amount",
                Zone::Free => "From 1 % down the order is free; these stand by amount",
                Zone::Allergen => "Fragrance allergens, after the other ingredients",
                Zone::Colour => "Colourants, after all others, by name",
            };
            out.push_str(&format!("  {head}\n"));
        }
        let percent = share(entry.percent, made);
        let place = i.saturating_add(1);
        let text = format!("{} {percent}{}", entry.name, reason(entry, made));
        hang(out, &format!("  {place:>3}  "), 9, &text);
    }
    for left in &list.left_out {
        hang(out, "  not printed: ", 9, &left.words(made.style));
    }
}

fn share(percent: Percent, made: &Made<'_>) -> String {
    format!("{} %", format_plain(derived(percent.0).normalize(), made.style))
}

/// What an entry has beside its place: the materials that bring it, or why it is named.
fn reason(entry: &Entry, made: &Made<'_>) -> String {
    if let Why::Allergen { above, .. } = entry.why {
        let above = above.map(|a| format!(" above {}", share(a, made))).unwrap_or_default();
        return format!(": named in addition, a fragrance allergen{above}");
    }
    if entry.is_merged() {
        let part = |p: &quern_calc::label::Part| {
            let from = if p.sources.is_empty() { p.name.clone() } else { p.sources.join(" and ") };
            format!("{} from {from}", share(p.percent, made))
        };
        let parts: Vec<String> = entry.parts.iter().map(part).collect();
        return format!(": {}", listed(&parts));
    }
    if entry.sources.is_empty() {
        return String::new();
    }
    format!(" from {}", listed(&entry.sources))
}

fn stale(out: &mut String, made: &Made<'_>) {
    let label = &made.side.label;
    let Some(stale) = &label.stale else {
        if let Some(date) = label.printed {
            wrap(out, "", &format!("As it was printed on {}", date.words()));
        }
        return;
    };
    let head = format!(
        "The label has changed since it was printed on {} for version {}",
        stale.date.words(),
        stale.version
    );
    wrap(out, "WARN  ", &head);
    for (part, then, now) in &stale.changed {
        wrap(out, "      ", &format!("{part}, then: {then}"));
        wrap(out, "      ", &format!("{part}, now: {now}"));
    }
}
