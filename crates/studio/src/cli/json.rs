//! What scripts read. `docs/report.schema.json` describes it, and a test holds the two together.
//!
//! Exact amounts are decimal strings, so that nothing is lost; physics are numbers. Whatever
//! cannot be had is null, and `missing` beside it says why. Keys come in a fixed order, so the
//! same project gives the same bytes.

mod chemistry;
mod compare;
pub(super) mod grit;
mod keeping;
pub(super) mod label;
mod report;
pub(super) mod safety;
pub(super) mod setting;

pub(super) use compare::compare;
pub(super) use report::{Report, report_formula};

use quern_calc::evaluate::{Evaluation, Value};
use quern_calc::findings::Quantity;
use quern_calc::formula::Formula;
use quern_calc::number::NumberStyle;
use quern_calc::quantity::Date;
use quern_project::Project;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;
use serde::Serialize;

use super::{Bad, findings};

/// Version of the schema; raised when a key changes its meaning or goes.
const SCHEMA: u32 = 2;

/// The text of a document.
pub(super) fn text(document: &impl Serialize) -> Result<String, Bad> {
    let mut text = serde_json::to_string_pretty(document)
        .map_err(|e| Bad::new(format!("the JSON could not be written: {e}")))?;
    text.push('\n');
    Ok(text)
}

/// The decimal in plain digits.
fn exact(value: Decimal) -> String {
    if value.is_zero() { "0".to_owned() } else { value.normalize().to_string() }
}

/// What every document begins with.
#[derive(Debug, Serialize)]
pub(super) struct Head {
    quern: &'static str,
    schema: u32,
    kind: &'static str,
    project: String,
    currency: String,
    date: String,
    rules: Rules,
    library: String,
    not_checked: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Rules {
    edition: String,
    as_of: String,
}

impl Head {
    pub fn new(kind: &'static str, project: &Project, today: Date) -> Self {
        let rules = quern_project::rules::in_use();
        Self {
            quern: env!("CARGO_PKG_VERSION"),
            schema: SCHEMA,
            kind,
            project: project.name.clone(),
            currency: project.currency.clone(),
            date: today.to_string(),
            rules: Rules { edition: rules.edition.clone(), as_of: rules.as_of.to_string() },
            library: quern_project::library::builtin().edition.clone(),
            not_checked: rules.not_checked(),
        }
    }
}

/// Why a sibling is null.
#[derive(Debug, Serialize)]
pub(super) struct Missing {
    figure: String,
    why: String,
}

impl Missing {
    fn new(figure: &str, why: impl Into<String>) -> Self {
        Self { figure: figure.to_owned(), why: why.into() }
    }
}

/// Which version of a formula it is.
#[derive(Debug, Serialize)]
struct Version {
    number: u32,
    state: &'static str,
    reason: String,
    parent: Option<Parent>,
}

#[derive(Debug, Serialize)]
struct Parent {
    formula: String,
    version: u32,
}

impl Version {
    fn new(formula: &Formula) -> Self {
        let version = &formula.version;
        Self {
            number: version.number,
            state: version.state.name(),
            reason: version.reason.clone(),
            parent: version
                .parent
                .as_ref()
                .map(|(id, number)| Parent { formula: id.to_string(), version: *number }),
        }
    }
}

/// Which formula it is.
#[derive(Debug, Serialize)]
struct Subject {
    name: String,
    id: String,
    version: Version,
    product: Product,
}

impl Subject {
    fn new(formula: &Formula) -> Self {
        Self {
            name: formula.name.clone(),
            id: formula.id.to_string(),
            version: Version::new(formula),
            product: Product::new(formula),
        }
    }
}

/// What a formula is for.
#[derive(Debug, Serialize)]
struct Product {
    form: &'static str,
    place: &'static str,
    contact: &'static str,
    pack: &'static str,
    under_three: bool,
}

impl Product {
    fn new(formula: &Formula) -> Self {
        let product = formula.product;
        Self {
            form: product.form.name(),
            place: product.place.name(),
            contact: product.contact.name(),
            pack: product.pack.name(),
            under_three: product.under_three,
        }
    }
}

/// A figure's value.
#[derive(Debug, PartialEq, Serialize)]
#[serde(untagged)]
enum Cell {
    Exact(String),
    Whole(i64),
    Number(f64),
    Text(String),
}

/// The value, or why there is none.
fn cell(value: &Value) -> Result<Cell, String> {
    match value {
        Value::Exact(d, 0) if d.is_integer() => {
            d.to_i64().map(Cell::Whole).ok_or_else(|| "too large".to_owned())
        }
        Value::Exact(d, _) => Ok(Cell::Exact(exact(*d))),
        Value::Number(x, _) if x.is_finite() => Ok(Cell::Number(*x)),
        Value::Number(..) => Err("the model gives no finite number".to_owned()),
        Value::Text(text) => Ok(Cell::Text(text.clone())),
        Value::Absent(why) => Err(why.words()),
    }
}

/// How many findings of each severity stand, and how many warnings were accepted.
#[derive(Debug, Serialize)]
pub(super) struct Counts {
    stop: usize,
    warn: usize,
    note: usize,
    accepted: usize,
}

impl From<findings::Counted> for Counts {
    fn from(c: findings::Counted) -> Self {
        let [stop, warn, note] = c.standing;
        Self { stop, warn, note, accepted: c.accepted }
    }
}

impl Counts {
    fn of(e: &Evaluation) -> Self {
        findings::Counted::of(e).into()
    }
}

/// One finding.
#[derive(Debug, Serialize)]
struct Finding {
    rule: &'static str,
    severity: &'static str,
    kind: &'static str,
    key: String,
    place: Place,
    title: String,
    why: String,
    fix: String,
    source: String,
    figure: Option<Reading>,
    limit: Option<Reading>,
    arithmetic: Vec<String>,
    accepted: Option<Acceptance>,
}

/// A figure or a limit of a finding.
#[derive(Debug, Serialize)]
struct Reading {
    value: Cell,
    unit: &'static str,
}

/// Why a warning was accepted.
#[derive(Debug, Serialize)]
struct Acceptance {
    reason: String,
    date: Option<String>,
}

impl Reading {
    /// `None` for a number that is not finite.
    fn new(q: &Quantity) -> Option<Self> {
        let value = match q {
            Quantity::Percent(p) => Cell::Exact(exact(p.0)),
            Quantity::Grams(g) => Cell::Exact(exact(g.0)),
            Quantity::Celsius(x) | Quantity::Micrometres(x) | Quantity::Number(x, _) => {
                Cell::Number(Some(*x).filter(|x| x.is_finite())?)
            }
            Quantity::Count(n) => Cell::Whole(i64::try_from(*n).ok()?),
        };
        Some(Self { value, unit: q.unit() })
    }
}

#[derive(Debug, Serialize)]
struct Place {
    kind: &'static str,
    id: Option<u32>,
    name: String,
}

fn found(formula: &Formula, e: &Evaluation) -> Vec<Finding> {
    e.findings.iter().map(|f| finding(f, formula, e)).collect()
}

fn finding(f: &quern_calc::findings::Finding, formula: &Formula, e: &Evaluation) -> Finding {
    let words = f.words(NumberStyle::default());
    let place = findings::place(f, formula, e);
    Finding {
        rule: f.rule(),
        severity: f.severity().name(),
        kind: f.kind().name(),
        key: f.key(),
        place: Place { kind: place.kind, id: place.id, name: place.name },
        title: words.title,
        why: words.why,
        fix: words.fix,
        source: words.source,
        figure: f.figure().as_ref().and_then(Reading::new),
        limit: f.limit().as_ref().and_then(Reading::new),
        arithmetic: f.steps(NumberStyle::default()),
        accepted: f
            .accepted
            .as_ref()
            .map(|a| Acceptance { reason: a.reason.clone(), date: a.date.map(|d| d.to_string()) }),
    }
}

/// `check --json`.
#[derive(Debug, Serialize)]
pub(super) struct Check {
    #[serde(flatten)]
    pub head: Head,
    pub counts: Counts,
    pub formulas: Vec<CheckedFormula>,
}

/// A formula with its findings.
#[derive(Debug, Serialize)]
pub(super) struct CheckedFormula {
    name: String,
    id: String,
    version: Version,
    product: Product,
    counts: Counts,
    findings: Vec<Finding>,
    checks: safety::Checks,
}

impl CheckedFormula {
    pub fn new(formula: &Formula, e: &Evaluation) -> Self {
        Self {
            name: formula.name.clone(),
            id: formula.id.to_string(),
            version: Version::new(formula),
            product: Product::new(formula),
            counts: Counts::of(e),
            findings: found(formula, e),
            checks: safety::Checks::new(e),
        }
    }
}
