//! The label as text.

use quern_calc::label::{Look, Zone};
use quern_calc::number::format_plain;
use quern_calc::quantity::derived;

use super::Made;
use crate::cli::findings;
use crate::cli::text::wrap;

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
        wrap(
            &mut out,
            "STOP  ",
            &format!("{stops} Stop stands: see `quern check` before anything is printed"),
        );
    }
    stale(&mut out, made);

    out.push_str("\nOn the pack\n");
    let mut put = |name: &str, value: &str| wrap(&mut out, &format!("  {name:<14} "), value);
    put("function", &label.function);
    put("directions", &label.directions);
    for caution in &label.cautions {
        put("caution", &caution.text);
    }
    put("list", &label.list.text());
    put("net content", label.net.as_deref().unwrap_or("not stated"));
    put("date", label.best_before.as_deref().unwrap_or("none"));
    put("open jar", label.after_opening.as_deref().unwrap_or("none"));
    let code = label.code.as_ref().map_or_else(|e| format!("not made: {e}"), Clone::clone);
    put("lot", &code);
    put("answers for it", label.responsible.as_deref().unwrap_or("not stated"));
    if let Some(origin) = &label.origin {
        put("origin", origin);
    }

    out.push_str("\nThe list explained\n");
    for (i, entry) in label.list.entries.iter().enumerate() {
        if label.list.first_free == Some(i) {
            out.push_str("  ---- 1 %: below, the order is free ----\n");
        }
        let zone = match entry.zone {
            Zone::Ordered | Zone::Free => "",
            Zone::Allergen => "allergen; ",
            Zone::Colour => "colour; ",
        };
        let percent = format_plain(derived(entry.percent.0).normalize(), made.style);
        let place = i.saturating_add(1);
        wrap(&mut out, &format!("  {place:>3}  "), &format!("{} {percent} %", entry.name));
        let from = if entry.sources.is_empty() {
            String::new()
        } else {
            format!("; from {}", entry.sources.join(", "))
        };
        wrap(&mut out, "       ", &format!("{zone}{}{from}", entry.words(made.style)));
    }
    for left in &label.list.left_out {
        wrap(&mut out, "  not printed: ", &left.words(made.style));
    }

    out.push_str("\nLooked at\n");
    for remark in &label.remarks {
        let word = match remark.look {
            Look::Short => "short",
            Look::Know => "know",
            Look::Reaches => "reached",
        };
        wrap(&mut out, &format!("  {word:<8} "), &remark.text);
    }
    for caution in &label.cautions {
        wrap(&mut out, "  caution  ", &format!("{}: {}", caution.text, caution.source));
    }
    findings::accepted(&mut out, &made.evaluation, made.style);
    out.push('\n');
    findings::ran(&mut out, &made.evaluation.safety.checked_against(), &label.not_checked);
    out
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
