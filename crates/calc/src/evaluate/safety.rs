//! Everything that the Findings and Label views, the label sheet and scripts show of use and
//! checks: limits and allergens by market, preservation, exposure, chemistry, natural origin.

use super::exposures::{ExposureFigures, exposures};
use super::{Context, Derived, Opened};
use crate::chemistry::actives::{ActiveMatter, active_matter};
use crate::chemistry::emulsion::{HlbFigures, hlb_figures};
use crate::findings::{self, Finding};
use crate::formula::{Form, Formula};
use crate::label::{AllergenItem, Label, LabelAsk, assemble, content_height_mm};
use crate::number::NumberStyle;
use crate::quantity::{Date, Percent};
use crate::rules::{Rules, not_checked};
use crate::safety::Contents;
use crate::safety::allergens::{AllergenChecks, allergen_sums};
use crate::safety::keeping::{Keeping, keeping};
use crate::safety::limits::{MarketChecks, check_contents};
use crate::safety::market::Market;
use crate::safety::natural::{NaturalOrigin, natural_figures};

/// What was checked for one market.
#[derive(Clone, Debug, PartialEq)]
pub struct MarketFigures {
    /// Code.
    pub code: String,
    /// Name.
    pub name: String,
    /// Edition and as of when.
    pub edition: String,
    /// Limits.
    pub checks: MarketChecks,
    /// Allergens, where the market has a list.
    pub allergens: Option<AllergenChecks>,
    /// What this program does not check there.
    pub not_checked: Vec<String>,
    /// How many limits and how many allergens the rules hold.
    pub held: (usize, usize),
}

/// All of it.
#[derive(Clone, Debug, PartialEq)]
pub struct SafetyFigures {
    /// By market.
    pub markets: Vec<MarketFigures>,
    /// Edition of the guides, and as of when.
    pub guides: String,
    /// Edition of the interaction figures.
    pub interactions: String,
    /// Preservation.
    pub keeping: Keeping,
    /// Required and present HLB.
    pub hlb: Derived<HlbFigures>,
    /// Active surfactant by charge.
    pub actives: Derived<ActiveMatter>,
    /// Natural origin by ISO 16128.
    pub natural: Derived<NaturalOrigin>,
    /// Exposures that were asked for.
    pub exposures: Vec<ExposureFigures>,
}

/// What was checked in each market that a formula is meant for.
pub(crate) fn market_figures(
    formula: &Formula,
    opened: &Opened<'_>,
    rules: &Rules,
    date: Date,
) -> Vec<MarketFigures> {
    // A premix is judged where it is used.
    if formula.product.form == Form::Premix || rules.markets.is_empty() {
        return Vec::new();
    }
    let contents = Contents::of(opened);
    // What will be sold later is held against what holds then.
    let day = formula.safety.placed.map_or(date, |p| p.max(date));
    let one = |market: &Market| MarketFigures {
        code: market.code.clone(),
        name: market.name.clone(),
        edition: format!("{}, as of {}", market.edition, market.as_of.words()),
        checks: check_contents(formula, &contents, market, day),
        allergens: market.allergens.as_ref().map(|a| allergen_sums(formula, opened, a, date)),
        not_checked: market.not_checked.clone(),
        held: (market.limits.len(), market.allergens.as_ref().map_or(0, |a| a.entries.len())),
    };
    rules.markets_of(formula).map(|m| one(m)).collect()
}

pub(super) fn safety(
    formula: &Formula,
    opened: &Opened<'_>,
    rules: &Rules,
    context: &Context,
) -> SafetyFigures {
    let date = context.date;
    let markets = market_figures(formula, opened, rules, date);
    SafetyFigures {
        markets,
        guides: format!("{}, as of {}", rules.edition, rules.as_of.words()),
        interactions: rules.interactions.edition.clone(),
        keeping: keeping(formula, opened, rules),
        hlb: hlb_figures(opened),
        actives: active_matter(opened),
        natural: natural_figures(opened),
        exposures: exposures(formula, &opened.composition, &rules.exposure, date),
    }
}

/// Findings that follow from these figures.
pub(super) fn check(
    formula: &Formula,
    opened: &Opened<'_>,
    rules: &Rules,
    context: &Context,
    figures: &SafetyFigures,
    out: &mut Vec<Finding>,
) {
    // Without data there is nothing to hold a formula against.
    if !rules.preservatives.list.is_empty() {
        findings::check_keeping(formula, opened, &figures.keeping, out);
    }
    findings::check_markets(formula, rules, out);
    findings::check_law(formula, opened, rules, &figures.markets, context.date, out);
    findings::check_hlb(formula, &figures.hlb, out);
    // A label takes time to make and is only needed where one was printed.
    for printed in &formula.label.printed {
        let asked = figures.market(&printed.market).is_some();
        if let Some(market) = rules.market(&printed.market).filter(|_| asked) {
            let label =
                label(formula, opened, figures, market, context, "", NumberStyle::default());
            findings::check_label(formula, &label, out);
        }
    }
}

impl SafetyFigures {
    /// What was checked, against which edition, a line each.
    #[must_use]
    pub fn checked_against(&self) -> Vec<String> {
        let mut out = vec![format!("Checked against {}", self.guides)];
        for m in &self.markets {
            // A file of one's own may hold little, and that must be seen.
            let (limits, allergens) = m.held;
            let held = match &m.allergens {
                Some(_) => format!("{limits} limits and {allergens} fragrance allergens"),
                None => format!("{limits} limits"),
            };
            out.push(format!("{}: {held}, {}", m.name, m.edition));
        }
        if !self.interactions.is_empty() {
            out.push(format!("Materials together: {}", self.interactions));
        }
        if !self.keeping.edition.is_empty() {
            out.push(format!("Preservation: {}", self.keeping.edition));
        }
        out
    }

    /// What was checked for one market's label, a line each.
    #[must_use]
    pub fn checked_in(&self, code: &str) -> Vec<String> {
        let mut own = self.clone();
        own.markets.retain(|m| m.code == code);
        own.checked_against()
    }

    /// What no rule looked at, each once.
    #[must_use]
    pub fn not_checked(&self) -> Vec<String> {
        not_checked(self.markets.iter().map(|m| (m.name.as_str(), m.not_checked.as_slice())))
    }

    /// The figures of a market.
    #[must_use]
    pub fn market(&self, code: &str) -> Option<&MarketFigures> {
        self.markets.iter().find(|m| m.code == code)
    }
}

/// The label of a formula in a market.
#[must_use]
pub fn label(
    formula: &Formula,
    opened: &Opened<'_>,
    figures: &SafetyFigures,
    market: &Market,
    context: &Context,
    batch_code: &str,
    style: NumberStyle,
) -> Label {
    let own = figures.market(&market.code);
    let checks = own.and_then(|m| m.allergens.as_ref());
    let named: Vec<AllergenItem> = checks
        .map(|c| {
            c.sums
                .iter()
                .filter(|s| s.over && s.required_now)
                .map(|s| AllergenItem { name: s.label.clone(), percent: s.amount })
                .collect()
        })
        .unwrap_or_default();
    let above: Option<Percent> = checks.and_then(|c| c.sums.first()).map(|s| s.threshold);
    let statements: Vec<(String, String)> = own
        .map(|m| {
            m.checks
                .statements
                .iter()
                .filter(|s| s.label)
                .map(|s| (s.text.clone(), format!("{}, {}", market.name, s.reference)))
                .collect()
        })
        .unwrap_or_default();
    let mut label = assemble(&LabelAsk {
        formula,
        opened,
        market,
        date: context.date,
        allergens: &named,
        allergens_above: above,
        statements: &statements,
        batch_code,
        style,
    });
    // An allergen that is named in addition has no item of its own to tell where it is from.
    for sum in checks.iter().flat_map(|c| &c.sums) {
        let entry = label.list.entries.iter_mut().find(|e| e.name == sum.label);
        if let Some(entry) = entry.filter(|e| e.sources.is_empty()) {
            for source in &sum.sources {
                if !entry.sources.contains(&source.name) {
                    entry.sources.push(source.name.clone());
                }
            }
        }
    }
    label
}

/// A label with the height of its content's figures.
#[derive(Clone, Debug, PartialEq)]
pub struct SideLabel {
    /// The label.
    pub label: Label,
    /// Least height of the figures of the content in mm, where a rule names one.
    pub content_mm: Option<rust_decimal::Decimal>,
}

/// The label of a formula that was evaluated, in a market.
#[must_use]
pub fn side_label(
    formula: &Formula,
    opened: &Opened<'_>,
    evaluation: &super::Evaluation,
    market: &Market,
    context: &Context,
    style: NumberStyle,
) -> SideLabel {
    let code = &evaluation.batch_code;
    let label = label(formula, opened, &evaluation.safety, market, context, code, style);
    let content_mm = content_height_mm(&label, market, formula.label.net);
    SideLabel { label, content_mm }
}
