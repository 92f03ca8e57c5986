//! The whole label of a formula in one market, with the reason and source of each part, and
//! whether it is still the one that was printed.

use rust_decimal::Decimal;

use super::cautions::cautions;
use super::items::{ListGap, list_items};
use super::remarks::{gap_remarks, heights, net_content};
use super::{
    AllergenItem, BatchPattern, DurabilityNote, DurabilityRule, IngredientList, OrderRules,
    best_before, durability, order,
};
use crate::evaluate::Opened;
use crate::formula::{Form, Formula, Net, Place};
use crate::number::NumberStyle;
use crate::quantity::{Date, Percent};
use crate::safety::market::{Market, NetRule};

/// What a label is made from.
#[derive(Clone, Copy, Debug)]
pub struct LabelAsk<'a> {
    /// The formula.
    pub formula: &'a Formula,
    /// The formula opened.
    pub opened: &'a Opened<'a>,
    /// The market.
    pub market: &'a Market,
    /// The day.
    pub date: Date,
    /// Allergens that are named, with their shares.
    pub allergens: &'a [AllergenItem],
    /// Above which share they are named.
    pub allergens_above: Option<Percent>,
    /// Words that a limit asks for, each with its source.
    pub statements: &'a [(String, String)],
    /// Batch code of the plan, where the label has no pattern of its own.
    pub batch_code: &'a str,
    /// How numbers are written in remarks; the pack itself is the same for every reader.
    pub style: NumberStyle,
}

/// A caution on the pack.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PackCaution {
    /// The words.
    pub text: String,
    /// Why it stands there.
    pub source: String,
}

/// Whether something that was looked at is as it should be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Look {
    /// Missing or too small.
    Short,
    /// To be known.
    Know,
    /// As asked for.
    Reaches,
}

/// A remark on the label.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LabelRemark {
    /// How it stands.
    pub look: Look,
    /// In words.
    pub text: String,
}

/// The label as it was last printed, where it differs by now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stale {
    /// When it was printed.
    pub date: Date,
    /// Version at the time.
    pub version: u32,
    /// What differs: part, then, now.
    pub changed: Vec<(String, String, String)>,
}

/// A label.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// Code of the market.
    pub market: String,
    /// Name of the market.
    pub market_name: String,
    /// Edition of its rules, and as of when.
    pub edition: String,
    /// Name on the pack.
    pub name: String,
    /// What it is for.
    pub function: String,
    /// The list.
    pub list: IngredientList,
    /// What the list rests on.
    pub gaps: Vec<ListGap>,
    /// Net content as printed; `None` while it is not stated.
    pub net: Option<String>,
    /// Date of minimum durability as printed.
    pub best_before: Option<String>,
    /// What stands in the open jar.
    pub after_opening: Option<String>,
    /// Batch code; what is wrong with the pattern.
    pub code: Result<String, String>,
    /// Cautions.
    pub cautions: Vec<PackCaution>,
    /// How to use it.
    pub directions: String,
    /// Who answers for it; `None` leaves a place to write on.
    pub responsible: Option<String>,
    /// Country of origin, where stated.
    pub origin: Option<String>,
    /// Particulars that the market asks for.
    pub particulars: Vec<String>,
    /// Heights, dates, what is missing.
    pub remarks: Vec<LabelRemark>,
    /// What is not checked.
    pub not_checked: Vec<String>,
    /// Differs from the one that was last printed.
    pub stale: Option<Stale>,
    /// It was printed before, on this day.
    pub printed: Option<Date>,
    /// Width and height in mm.
    pub size_mm: (Decimal, Decimal),
    /// Letter height in mm.
    pub letter_mm: Decimal,
}

/// Usual size of a label in mm, where none is stated.
const SIZE_MM: (Decimal, Decimal) =
    (Decimal::from_parts(80, 0, 0, false, 0), Decimal::from_parts(50, 0, 0, false, 0));
/// Usual height of capitals in mm: with it the small o is 1/16 inch high, rounded up.
const LETTER_MM: Decimal = Decimal::from_parts(22, 0, 0, false, 1);

/// What it is for, as it follows from the product.
#[must_use]
pub fn usual_function(formula: &Formula) -> String {
    let p = formula.product;
    let what = match p.form {
        Form::ScrubBar => "Exfoliating bar",
        Form::CleansingBar if p.place == Place::Hair => "Shampoo bar",
        Form::CleansingBar => "Cleansing bar",
        Form::JarScrub => "Exfoliating scrub",
        Form::Emulsion => "Moisturising lotion",
        Form::Balm => "Balm",
        Form::Powder => "Cleansing powder",
        Form::Bath => "Bath product",
        Form::Premix => "Premix, not for sale",
        Form::Other => "Cosmetic product",
    };
    if p.form == Form::Bath {
        what.to_owned()
    } else {
        format!("{what} for the {}", p.place.name())
    }
}

/// How to use it, as it follows from the product.
#[must_use]
pub fn usual_directions(formula: &Formula) -> String {
    match formula.product.form {
        Form::ScrubBar | Form::JarScrub => {
            "Massage onto wet skin with light pressure, then rinse off."
        }
        Form::CleansingBar => {
            "Work up a lather with water, then rinse off. Let the bar dry between uses."
        }
        Form::Powder => "Wet a little in the palm, massage onto wet skin, then rinse off.",
        Form::Bath => "Add to running bath water.",
        Form::Emulsion | Form::Balm => "Spread a little on clean skin.",
        Form::Premix | Form::Other => "",
    }
    .to_owned()
}

/// Own words, or what follows.
fn or_usual(own: &str, usual: impl FnOnce() -> String) -> String {
    if own.trim().is_empty() { usual() } else { own.trim().to_owned() }
}

/// Makes the label.
#[must_use]
pub fn assemble(ask: &LabelAsk<'_>) -> Label {
    let (formula, market, notes) = (ask.formula, ask.market, &ask.formula.label);
    let rules = &market.label;
    let (items, gaps) =
        list_items(ask.opened, &rules.names, if rules.nano { &notes.nano } else { &[] });
    let order_rules = OrderRules {
        one_percent_ordered: rules.one_percent_ordered,
        colours_last: true,
        allergens_after: false,
        allergens_above: ask.allergens_above,
        heading: rules.heading.clone(),
    };
    let list = order(&items, ask.allergens, &order_rules);
    let mut remarks = Vec::new();
    let net = net(notes.net, market, &mut remarks);
    let (best_before, after_opening) = dates(ask, &mut remarks);
    let code = code(ask);
    if let Err(problem) = &code {
        remarks.push(LabelRemark { look: Look::Short, text: format!("Batch code: {problem}") });
    }
    let size_mm = notes.size_mm.unwrap_or(SIZE_MM);
    let letter_mm = notes.letter_mm.unwrap_or(LETTER_MM);
    heights(notes.net, market, size_mm, letter_mm, ask.style, &mut remarks);
    gap_remarks(&gaps, ask.style, &mut remarks);
    let responsible = Some(notes.responsible.trim()).filter(|r| !r.is_empty());
    if responsible.is_none() {
        let text =
            "Who answers for the product, with an address, is not stated: a place is left for it"
                .to_owned();
        remarks.push(LabelRemark { look: Look::Short, text });
    }
    let mut label = Label {
        market: market.code.clone(),
        market_name: market.name.clone(),
        edition: format!("{}, as of {}", market.edition, market.as_of.words()),
        name: or_usual(&notes.name, || formula.name.clone()),
        function: or_usual(&notes.function, || usual_function(formula)),
        list,
        gaps,
        net,
        best_before,
        after_opening,
        code,
        cautions: cautions(ask),
        directions: or_usual(&notes.directions, || usual_directions(formula)),
        responsible: responsible.map(str::to_owned),
        origin: Some(notes.origin.trim()).filter(|o| !o.is_empty()).map(str::to_owned),
        particulars: rules.particulars.clone(),
        remarks,
        not_checked: market.not_checked.clone(),
        stale: None,
        printed: None,
        size_mm,
        letter_mm,
    };
    label.remarks.sort_by_key(|r| r.look);
    if let Some(old) = notes.printed.iter().find(|p| p.market == market.code) {
        label.printed = Some(old.date);
        let changed = differences(&old.lines, &label.lines());
        if !changed.is_empty() {
            label.stale = Some(Stale { date: old.date, version: old.version, changed });
        }
    }
    label
}

impl Label {
    /// What is kept when it is printed: a part a line. Dates and batch codes change with each
    /// batch and are left out.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let mut out = vec![
            format!("name: {}", self.name),
            format!("function: {}", self.function),
            format!("ingredients: {}", self.list.text()),
            format!("net content: {}", self.net.as_deref().unwrap_or("not stated")),
            format!("after opening: {}", self.after_opening.as_deref().unwrap_or("none")),
            format!("directions: {}", self.directions),
            format!("responsible: {}", self.responsible.as_deref().unwrap_or("not stated")),
            format!("origin: {}", self.origin.as_deref().unwrap_or("not stated")),
        ];
        out.extend(self.cautions.iter().map(|c| format!("caution: {}", c.text)));
        out
    }
}

/// Parts that differ between two labels: name of the part, then, now.
fn differences(old: &[String], new: &[String]) -> Vec<(String, String, String)> {
    let parts = |lines: &[String]| -> Vec<(String, String)> {
        let mut out: Vec<(String, String)> = Vec::new();
        for line in lines {
            let (part, text) = line.split_once(": ").unwrap_or(("label", line));
            match out.iter_mut().find(|(p, _)| p == part) {
                Some((_, all)) => {
                    all.push_str(" / ");
                    all.push_str(text);
                }
                None => out.push((part.to_owned(), text.to_owned())),
            }
        }
        out
    };
    let (old, new) = (parts(old), parts(new));
    let find = |list: &[(String, String)], part: &str| {
        list.iter().find(|(p, _)| p == part).map_or(String::new(), |(_, t)| t.clone())
    };
    let mut names: Vec<&String> = old.iter().chain(&new).map(|(p, _)| p).collect();
    let mut seen = Vec::new();
    names.retain(|n| {
        !seen.contains(n) && {
            seen.push(*n);
            true
        }
    });
    names
        .into_iter()
        .map(|part| (part.clone(), find(&old, part), find(&new, part)))
        .filter(|(_, then, now)| then != now)
        .collect()
}

fn net(net: Option<Net>, market: &Market, remarks: &mut Vec<LabelRemark>) -> Option<String> {
    let Some(content) = net.map(net_content) else {
        let text = "Net content is not stated".to_owned();
        remarks.push(LabelRemark { look: Look::Short, text });
        return None;
    };
    let words = match market.label.net {
        NetRule::Metric => {
            if content.eu_statement_required() == Some(false) {
                let text = "Below 5 g or 5 ml no statement of content is asked for".to_owned();
                remarks.push(LabelRemark { look: Look::Know, text });
            }
            content.metric_words(NumberStyle::default())
        }
        NetRule::Dual => content.us_words(),
    };
    if words.is_none() {
        let text = "Net content is too small to be printed".to_owned();
        remarks.push(LabelRemark { look: Look::Short, text });
    }
    words
}

/// Date and period after opening as printed.
fn dates(ask: &LabelAsk<'_>, remarks: &mut Vec<LabelRemark>) -> (Option<String>, Option<String>) {
    let notes = &ask.formula.label;
    let mut say = |look: Look, text: String| remarks.push(LabelRemark { look, text });
    let keeps = notes.keeps_months.map(|months| super::Durability { months });
    let opened = notes.opened_months.map(|months| super::Opened { months });
    let statement = durability(keeps, opened, true);
    if !ask.market.label.durability {
        if keeps.is_none() && opened.is_none() {
            return (None, None);
        }
        let text = "No date is asked for in this market; printed because it was entered";
        say(Look::Know, text.to_owned());
    } else {
        for note in &statement.notes {
            // Only the standing remark on evidence is no gap on the pack.
            let look = match note {
                DurabilityNote::NeedsEvidence => Look::Know,
                _ => Look::Short,
            };
            say(look, note.words().to_owned());
        }
    }
    let made = notes.made.unwrap_or(ask.date);
    let date = match (statement.rule, keeps) {
        (Some(DurabilityRule::BestBefore), Some(d)) => match best_before(made, d.months) {
            Ok(date) => Some(date.words()),
            Err(problem) => {
                say(Look::Short, problem.to_string());
                None
            }
        },
        _ => None,
    };
    (date, statement.symbol)
}

fn code(ask: &LabelAsk<'_>) -> Result<String, String> {
    let notes = &ask.formula.label;
    let pattern = notes.code_pattern.trim();
    if pattern.is_empty() {
        return Ok(ask.batch_code.to_owned());
    }
    let pattern: BatchPattern = pattern.parse().map_err(|e: super::PatternError| e.to_string())?;
    let made = notes.made.unwrap_or(ask.date);
    Ok(pattern.code(&ask.formula.name, made, notes.code_number.unwrap_or(1)))
}
