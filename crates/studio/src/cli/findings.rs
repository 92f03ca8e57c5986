//! Findings and cautions as text, and what no rule looks at.

use quern_calc::evaluate::{Evaluation, WhyNot};
use quern_calc::findings::{Finding, Where};
use quern_calc::formula::{Formula, phase_letter};
use quern_calc::number::NumberStyle;

use super::text::{quoted, wrap};

/// What a finding concerns: its kind, its number within the formula, and its name.
pub(super) struct Place {
    pub kind: &'static str,
    pub id: Option<u32>,
    pub name: String,
}

pub(super) fn place(finding: &Finding, formula: &Formula, e: &Evaluation) -> Place {
    match finding.place {
        Where::Formula => Place { kind: "formula", id: None, name: formula.name.clone() },
        Where::Phase(id) => {
            let phase = formula.phases.iter().enumerate().find(|(_, p)| p.id == id);
            let name = phase.map(|(i, p)| format!("{} {}", phase_letter(i), p.name));
            Place { kind: "phase", id: Some(id.0), name: name.unwrap_or_default() }
        }
        Where::Line(id) => {
            let name = e.line(id).map(|l| l.name.clone()).unwrap_or_default();
            Place { kind: "line", id: Some(id.0), name }
        }
        Where::Batch => Place { kind: "batch", id: None, name: e.batch_code.clone() },
    }
}

/// Why there is no batch, in the words of its finding.
pub(super) fn no_batch(e: &Evaluation, style: NumberStyle) -> String {
    let finding = e.findings.iter().find(|f| f.rule() == "batch-plan");
    finding.map_or_else(|| WhyNot::NoBatch.words(), |f| f.words(style).title)
}

/// "1 stop, 2 warn, 0 note".
pub(super) fn counted([stops, warns, notes]: [usize; 3]) -> String {
    format!("{stops} stop, {warns} warn, {notes} note")
}

/// Every finding with why it matters and what would fix it.
pub(super) fn list(out: &mut String, formula: &Formula, e: &Evaluation, style: NumberStyle) {
    if e.findings.is_empty() {
        out.push_str("  Nothing found by the rules that were run\n");
    }
    for finding in &e.findings {
        let words = finding.words(style);
        let severity = match &finding.accepted {
            Some(_) => "OK'D".to_owned(),
            None => finding.severity().name().to_uppercase(),
        };
        let place = place(finding, formula, e);
        let place = match place.kind {
            "phase" | "line" => format!("{} {}", place.kind, quoted(&place.name)),
            kind => kind.to_owned(),
        };
        let kind = finding.kind().name();
        let title = format!("{} ({place}; {kind}; {})", words.title, finding.rule());
        wrap(out, &format!("  {severity}  "), &title);
        for (label, text) in [("why", &words.why), ("fix", &words.fix), ("from", &words.source)] {
            if !text.is_empty() {
                wrap(out, &format!("        {label:<5} "), text);
            }
        }
        for step in finding.steps(style) {
            wrap(out, "        sum   ", &step);
        }
        if let Some(a) = &finding.accepted {
            wrap(out, "        ok    ", &format!("accepted: {}", a.reason));
        }
    }
}

/// Warnings that were accepted, with their reasons.
pub(super) fn accepted(out: &mut String, e: &Evaluation, style: NumberStyle) {
    for finding in &e.findings {
        if let Some(a) = &finding.accepted {
            let on = a.date.map_or(String::new(), |d| format!(" on {}", d.words()));
            let text = format!("{}: accepted{on}: {}", finding.words(style).title, a.reason);
            wrap(out, "  accepted ", &text);
        }
    }
}

/// Which rules were run, and what none looks at; the end of every report.
pub(super) fn ran(out: &mut String, checked: &[String], not_checked: &[String]) {
    for line in checked {
        wrap(out, "", line);
    }
    let text = format!(
        "Not checked: {}. A qualified assessor decides before sale.",
        not_checked.join("; ")
    );
    wrap(out, "", &text);
}

/// The same for commands that look at no formula as a whole.
pub(super) fn not_checked(out: &mut String) {
    let rules = quern_project::rules::in_use();
    let checked = [format!("Checked against {}, as of {}", rules.edition, rules.as_of.words())];
    ran(out, &checked, &rules.not_checked());
}
