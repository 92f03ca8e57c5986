//! Findings and cautions as text, and what no rule looks at.

use quern_calc::evaluate::{Evaluation, WhyNot};
use quern_calc::findings::{Finding, Where};
use quern_calc::formula::{Accepted, Formula, phase_letter};
use quern_calc::number::NumberStyle;

use super::text::{hang, quoted, wrap};

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

/// How many findings stand by severity, and how many warnings were accepted.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Counted {
    /// Stops, warns, notes.
    pub standing: [usize; 3],
    pub accepted: usize,
}

impl Counted {
    pub fn of(e: &Evaluation) -> Self {
        let accepted = e.findings.iter().filter(|f| !f.stands()).count();
        Self { standing: e.counts(), accepted }
    }

    /// Adds those of another formula.
    pub fn add(&mut self, other: Self) {
        let [stops, warns, notes] = &mut self.standing;
        let all = [stops, warns, notes, &mut self.accepted];
        let [a, b, c] = other.standing;
        for (sum, count) in all.into_iter().zip([a, b, c, other.accepted]) {
            *sum = sum.saturating_add(count);
        }
    }

    pub fn stops(self) -> usize {
        let [stops, _, _] = self.standing;
        stops
    }

    /// "1 stop, 2 warn, 0 note", with ", 1 accepted" where there is one.
    pub fn words(self) -> String {
        let [stops, warns, notes] = self.standing;
        let accepted = match self.accepted {
            0 => String::new(),
            n => format!(", {n} accepted"),
        };
        format!("{stops} stop, {warns} warn, {notes} note{accepted}")
    }
}

/// Every finding with why it matters and what would fix it.
pub(super) fn list(out: &mut String, formula: &Formula, e: &Evaluation, style: NumberStyle) {
    if e.findings.is_empty() {
        out.push_str("  Nothing found by the rules that were run\n");
    }
    for finding in &e.findings {
        let words = finding.words(style);
        let severity = match &finding.accepted {
            Some(_) => "ACCEPTED".to_owned(),
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
        if let Some(a) = &finding.accepted {
            part(out, "reason", &reason(a));
        }
        part(out, "why", &words.why);
        part(out, "fix", &words.fix);
        part(out, "from", &words.source);
        for (i, step) in finding.steps(style).iter().enumerate() {
            part(out, if i == 0 { "sum" } else { "" }, step);
        }
    }
}

/// A part of a finding below its title.
fn part(out: &mut String, label: &str, text: &str) {
    if !text.is_empty() {
        wrap(out, &format!("        {label:<6} "), text);
    }
}

/// Why and when a warning was accepted.
fn reason(a: &Accepted) -> String {
    match a.date {
        Some(date) => format!("{} (accepted on {})", a.reason, date.words()),
        None => a.reason.clone(),
    }
}

/// Warnings that were accepted, with their reasons.
pub(super) fn accepted(out: &mut String, e: &Evaluation, style: NumberStyle) {
    for finding in &e.findings {
        if let Some(a) = &finding.accepted {
            let text = format!("{}: {}", finding.words(style).title, reason(a));
            wrap(out, "  accepted  ", &text);
        }
    }
}

/// Against what was checked, and what was not, a line each; the end of every report.
fn looked_at(checked: &[String], not_checked: &[String]) -> Vec<String> {
    let mut out = checked.to_vec();
    // What holds for one market alone begins with its name.
    let mut of_markets: Vec<(&str, Vec<&str>)> = Vec::new();
    let mut of_all = Vec::new();
    let names = || quern_project::rules::in_use().markets.iter().map(|m| m.name.as_str());
    for line in not_checked {
        let own = names().find_map(|n| Some((n, line.strip_prefix(n)?.strip_prefix(": ")?)));
        match own {
            None => of_all.push(line.as_str()),
            Some((name, text)) => match of_markets.iter_mut().find(|(n, _)| *n == name) {
                Some((_, texts)) => texts.push(text),
                None => of_markets.push((name, vec![text])),
            },
        }
    }
    out.push(format!("Not checked: {}", of_all.join("; ")));
    let of_market =
        |(name, texts): (&str, Vec<&str>)| format!("Not checked, {name}: {}", texts.join("; "));
    out.extend(of_markets.into_iter().map(of_market));
    out.push("A qualified assessor decides before sale.".to_owned());
    out
}

/// The same as text.
pub(super) fn ran(out: &mut String, checked: &[String], not_checked: &[String]) {
    for line in looked_at(checked, not_checked) {
        hang(out, "", 2, &line);
    }
}

/// The end of what commands print that look at no formula as a whole, a line each.
pub(super) fn nothing_looked_at() -> Vec<String> {
    let rules = quern_project::rules::in_use();
    let checked = [format!("Checked against {}, as of {}", rules.edition, rules.as_of.words())];
    looked_at(&checked, &rules.not_checked())
}

/// The same as text.
pub(super) fn not_checked(out: &mut String) {
    for line in nothing_looked_at() {
        hang(out, "", 2, &line);
    }
}
