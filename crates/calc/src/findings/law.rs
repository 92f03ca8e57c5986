//! Rules of limits and duties of law, market by market.

use super::allergy::check_allergens;
use super::law_words::{self, Remedy};
use super::rule::{Fix, Quantity, Rule, RuleKind};
use super::words::Say;
use super::{Finding, Problem, Severity, Where, Words};
use crate::evaluate::{MarketFigures, Opened};
use crate::formula::{Formula, LineId};
use crate::quantity::{Date, Percent};
use crate::rules::Rules;
use crate::safety::limits::{
    ClashHeld, LimitCheck, LimitSource, MarketChecks, PendingHeld, StatementHeld, UnknownSource,
    Verdict,
};
use crate::safety::market::Market;
use crate::safety::rounded;

/// Which data a finding of law rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Edition {
    /// Key of the market.
    pub code: String,
    /// Name of the market.
    pub name: String,
    /// What its file was made from.
    pub edition: String,
    /// As of this day.
    pub as_of: Date,
    /// The product in words.
    pub product: String,
}

impl Edition {
    pub(super) fn of(market: &Market, formula: &Formula) -> Self {
        Self {
            code: market.code.clone(),
            name: market.name.clone(),
            edition: market.edition.clone(),
            as_of: market.as_of,
            product: formula.product.words(),
        }
    }

    /// The market in short: its key in capitals.
    pub(super) fn short(&self) -> String {
        self.code.to_uppercase()
    }
}

/// What such a rule found.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // each argument is what its type says
pub enum LawProblem {
    /// Above a cap.
    Above { edition: Edition, check: Box<LimitCheck>, remedy: Remedy },
    /// Not allowed in this product.
    NotAllowed { edition: Edition, check: Box<LimitCheck>, remedy: Remedy },
    /// A share that is not stated decides.
    Undecided { edition: Edition, check: Box<LimitCheck> },
    /// Two substances that must not meet.
    Clash {
        edition: Edition,
        clash: Box<ClashHeld>,
        names: (Vec<String>, Vec<String>),
        line: LineId,
    },
    /// A condition that is not an amount.
    Condition { edition: Edition, held: Box<StatementHeld> },
    /// A change that is coming or proposed.
    Pending { edition: Edition, held: Box<PendingHeld>, today: Date },
}

impl LawProblem {
    fn edition(&self) -> &Edition {
        match self {
            Self::Above { edition, .. }
            | Self::NotAllowed { edition, .. }
            | Self::Undecided { edition, .. }
            | Self::Clash { edition, .. }
            | Self::Condition { edition, .. }
            | Self::Pending { edition, .. } => edition,
        }
    }
}

impl Rule for LawProblem {
    fn id(&self) -> &'static str {
        match self {
            Self::Above { .. } => "law-limit",
            Self::NotAllowed { .. } => "law-not-allowed",
            Self::Undecided { .. } => "law-undecided",
            Self::Clash { .. } => "law-clash",
            Self::Condition { .. } => "law-condition",
            Self::Pending { .. } => "law-pending",
        }
    }

    fn severity(&self) -> Severity {
        match self {
            Self::Above { .. } | Self::NotAllowed { .. } | Self::Clash { .. } => Severity::Stop,
            // It may exceed the law.
            Self::Undecided { .. } => Severity::Warn,
            Self::Condition { .. } | Self::Pending { .. } => Severity::Note,
        }
    }

    fn kind(&self) -> RuleKind {
        match self {
            Self::Undecided { .. } => RuleKind::Unchecked,
            _ => RuleKind::Law,
        }
    }

    fn words(&self, say: &Say) -> Words {
        law_words::words_of(self, say)
    }

    fn subject(&self) -> String {
        let about = match self {
            Self::Above { check, .. }
            | Self::NotAllowed { check, .. }
            | Self::Undecided { check, .. } => match &check.member {
                Some(member) => format!("{} {member}", check.rule),
                None => check.rule.clone(),
            },
            Self::Clash { clash, .. } => format!("{} + {}", clash.rules.0, clash.rules.1),
            Self::Condition { held, .. } => format!("{} condition {}", held.rule, held.index + 1),
            Self::Pending { held, .. } => format!("pending {}", held.index + 1),
        };
        format!("{} {about}", self.edition().code)
    }

    fn reading(&self) -> (Option<Quantity>, Option<Quantity>) {
        let percent = |p: Percent| Some(Quantity::Percent(p));
        match self {
            Self::Above { check, .. } | Self::NotAllowed { check, .. }
                if !check.sources.is_empty() =>
            {
                (percent(check.amount), check.cap.and_then(percent))
            }
            Self::Undecided { check, .. } => {
                (check.most.and_then(percent), check.cap.and_then(percent))
            }
            Self::Condition { held, .. } if !held.sources.is_empty() => {
                (percent(held.amount), held.above.and_then(percent))
            }
            _ => (None, None),
        }
    }

    fn steps(&self, say: &Say) -> Vec<String> {
        law_words::steps_of(self, say)
    }

    fn fixes(&self) -> Vec<Fix> {
        match self {
            Self::Above { check, remedy, .. } | Self::NotAllowed { check, remedy, .. } => {
                let allowed = check.verdict == Verdict::Above;
                let set = remedy.percent.filter(|_| allowed);
                let set = set.map(|percent| Fix::SetPercent { line: remedy.line, percent });
                let swap = (!remedy.premix).then_some(Fix::Swap { line: remedy.line });
                set.into_iter().chain(swap).collect()
            }
            Self::Undecided { check, .. } => check
                .unknown
                .first()
                .map(|u| Fix::Certificate { material: u.material.clone() })
                .into_iter()
                .collect(),
            Self::Clash { line, .. } => vec![Fix::Swap { line: *line }],
            Self::Condition { .. } => Vec::new(),
            Self::Pending { .. } => Vec::new(),
        }
    }
}

/// The line that brings most.
fn place(sources: &[LimitSource], unknown: &[UnknownSource]) -> Where {
    let line = sources.first().map(|s| s.line).or_else(|| unknown.first().map(|u| u.line));
    line.map_or(Where::Formula, Where::Line)
}

/// Holds a formula against the limits and allergens of its markets. A premix is judged where it is used.
///
/// Rules that change are taken as of the later of today and the first day on the market: law
/// speaks of each pack that is placed there, not of the first one.
pub(crate) fn check_law(
    formula: &Formula,
    opened: &Opened<'_>,
    rules: &Rules,
    figures: &[MarketFigures],
    date: Date,
    out: &mut Vec<Finding>,
) {
    for own in figures {
        let Some(market) = rules.market(&own.code) else { continue };
        tell(formula, opened, market, own.checks.clone(), date, out);
    }
    check_allergens(formula, rules, figures, out);
}

fn tell(
    formula: &Formula,
    opened: &Opened<'_>,
    market: &Market,
    checks: MarketChecks,
    today: Date,
    out: &mut Vec<Finding>,
) {
    let edition = || Edition::of(market, formula);
    let mut push = |place, problem| out.push(Finding::new(place, Problem::Law(problem)));
    for check in strictest(checks.limits) {
        let at = place(&check.sources, &check.unknown);
        let Where::Line(line) = at else { continue };
        let (edition, check) = (edition(), Box::new(check));
        let problem = match check.verdict {
            Verdict::Above => {
                let remedy = remedy(formula, opened, &check, line);
                LawProblem::Above { edition, check, remedy }
            }
            Verdict::NotAllowed => {
                let remedy = Remedy::none(opened, line);
                LawProblem::NotAllowed { edition, check, remedy }
            }
            _ => LawProblem::Undecided { edition, check },
        };
        push(at, problem);
    }
    for clash in checks.clashes {
        let at = place(&clash.sources.1, &clash.unknown.1);
        let Where::Line(line) = at else { continue };
        let names = (
            law_words::names(&clash.sources.0, &clash.unknown.0),
            law_words::names(&clash.sources.1, &clash.unknown.1),
        );
        push(at, LawProblem::Clash { edition: edition(), clash: Box::new(clash), names, line });
    }
    // Words for the pack are the label's to print.
    for held in checks.statements.into_iter().filter(|s| !s.label) {
        let at = place(&held.sources, &held.unknown);
        push(at, LawProblem::Condition { edition: edition(), held: Box::new(held) });
    }
    for held in checks.pending {
        let at = place(&held.sources, &held.unknown);
        push(at, LawProblem::Pending { edition: edition(), held: Box::new(held), today });
    }
}

/// Of each rule, and of each member that has a cap of its own, what matters most: not allowed,
/// above the lowest cap, then undecided.
fn strictest(limits: Vec<LimitCheck>) -> Vec<LimitCheck> {
    let rank = |c: &LimitCheck| match c.verdict {
        Verdict::NotAllowed => Some((0, Percent::ZERO)),
        Verdict::Above => Some((1, c.cap.unwrap_or(Percent::ZERO))),
        Verdict::Undecided => Some((2, c.cap.unwrap_or(Percent::ZERO))),
        Verdict::NoMaximum | Verdict::Within | Verdict::AtMost => None,
    };
    let mut out: Vec<LimitCheck> = Vec::new();
    for check in limits {
        let Some(own) = rank(&check) else { continue };
        let same = |c: &&mut LimitCheck| c.rule == check.rule && c.member == check.member;
        match out.iter_mut().find(same) {
            Some(there) if rank(there).is_some_and(|r| r <= own) => {}
            Some(there) => *there = check,
            None => out.push(check),
        }
    }
    out
}

/// The share of a line at which the sum meets the cap, if changing that line alone can do it.
/// The line that fills to 100 takes up what is left, with what it brings itself.
fn remedy(formula: &Formula, opened: &Opened<'_>, check: &LimitCheck, line: LineId) -> Remedy {
    let mut out = Remedy::none(opened, line);
    let (Some(cap), Some(row)) = (check.cap, formula.line(line)) else { return out };
    if out.premix || formula.fills == Some(line) || row.locked {
        return out;
    }
    let Some(now) = formula.percent_of(row) else { return out };
    let per_percent = |id: LineId| {
        let of = formula.line(id).and_then(|l| formula.percent_of(l))?;
        let own: Percent = check.sources.iter().filter(|s| s.line == id).map(|s| s.counted).sum();
        own.0.checked_div(of.0)
    };
    let total: Percent = check.sources.iter().map(|s| s.counted).sum();
    let fill = formula.fills.and_then(per_percent).unwrap_or_default();
    let Some(slope) = per_percent(line).map(|own| own.saturating_sub(fill)) else { return out };
    let excess = total.0.saturating_sub(cap.0);
    let Some(less) = excess.checked_div(slope).filter(|l| l.is_sign_positive()) else {
        return out;
    };
    // As fine as amounts are shown, and finer only for traces.
    let target = now.0.saturating_sub(less);
    let places = if target >= rust_decimal::Decimal::new(1, 1) { 2 } else { 4 };
    let step = rust_decimal::Decimal::new(1, places);
    let mut percent =
        target.round_dp_with_strategy(places, rust_decimal::RoundingStrategy::ToNegativeInfinity);
    // The last place of a long division, and a cap that must not be met exactly.
    for _ in 0..2 {
        let moved = percent.saturating_sub(now.0).saturating_mul(slope);
        let after = rounded(Percent(total.0.saturating_add(moved)), check.converted);
        let fits = after < cap || (after == cap && !check.at_or_above);
        if fits && percent > rust_decimal::Decimal::ZERO {
            out.percent = Some(Percent(percent.normalize()));
            break;
        }
        percent = percent.saturating_sub(step);
    }
    out
}

#[cfg(test)]
mod tests;
