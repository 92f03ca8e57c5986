//! Findings as a list: their order, what was accepted, how many there are.

use super::{Finding, Severity, Where};
use crate::formula::{Formula, LineId};

/// Findings in the order of a list: severity, then place in the formula.
pub(crate) fn sort(findings: &mut [Finding], line_order: &[LineId]) {
    let at = |place: Where| match place {
        Where::Formula => (0, 0),
        Where::Phase(p) => (1, usize::try_from(p.0).unwrap_or(usize::MAX)),
        Where::Line(l) => (2, line_order.iter().position(|x| *x == l).unwrap_or(usize::MAX)),
        Where::Batch => (3, 0),
    };
    findings.sort_by_key(|f| (f.severity(), at(f.place)));
}

/// Marks warnings that the maker accepted. A Stop cannot be accepted, and an acceptance of
/// something that says something else by now does not hold.
pub(crate) fn accept(formula: &Formula, findings: &mut [Finding]) {
    if formula.safety.accepted.is_empty() {
        return;
    }
    for finding in findings.iter_mut().filter(|f| f.severity() != Severity::Stop) {
        let key = finding.key();
        let mut of = formula.safety.accepted.iter().filter(|a| a.key == key).peekable();
        // Sentences are made only where the key fits.
        if of.peek().is_some() {
            let said = finding.said();
            finding.accepted = of.find(|a| a.said == said).cloned();
        }
    }
}

/// Counts by severity: stops, warns, notes. Accepted warnings are not counted.
#[must_use]
pub fn counts(findings: &[Finding]) -> [usize; 3] {
    let count = |s| findings.iter().filter(|f| f.stands() && f.severity() == s).count();
    [count(Severity::Stop), count(Severity::Warn), count(Severity::Note)]
}
