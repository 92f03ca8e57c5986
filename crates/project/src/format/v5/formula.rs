//! Formulas: version, product, phases, lines.

use quern_calc::formula as domain;
use quern_calc::formula::{
    AmountUnit, Contact, Form, FormulaId, Item, LineId, MaterialId, Pack, PhaseId, PhaseKind,
    PhaseTemperature, Place, VersionState,
};
use quern_calc::quantity::{Date, Percent};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use super::notes::{Label, Safety};
use crate::check::{Problems, quoted};
use crate::format::word::{AmountText, Word};

#[allow(clippy::trivially_copy_pass_by_ref)] // the shape that serde asks for
fn is_false(value: &bool) -> bool {
    !value
}

fn hundred() -> Word<Decimal> {
    Word(Decimal::ONE_HUNDRED)
}

fn is_hundred(value: &Word<Decimal>) -> bool {
    value.0 == Decimal::ONE_HUNDRED
}

/// A formula.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "formula")]
pub(super) struct Formula {
    id: String,
    name: String,
    version: Version,
    product: Product,
    /// Id of the line that fills to 100.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    fills: Option<u32>,
    #[serde(default = "hundred", skip_serializing_if = "is_hundred")]
    parts_total: Word<Decimal>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    ph: Option<Ph>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
    #[serde(default)]
    phases: Vec<Phase>,
    #[serde(default, skip_serializing_if = "Safety::is_empty")]
    safety: Safety,
    #[serde(default, skip_serializing_if = "Label::is_empty")]
    label: Label,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "version")]
struct Version {
    number: u32,
    state: Word<VersionState>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    parent: Option<Parent>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    reason: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "parent")]
struct Parent {
    formula: String,
    number: u32,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "product")]
struct Product {
    form: Word<Form>,
    place: Word<Place>,
    contact: Word<Contact>,
    /// The usual of its form when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pack: Option<Word<Pack>>,
    #[serde(default, skip_serializing_if = "is_false")]
    under_three: bool,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "ph")]
struct Ph {
    value: Word<Decimal>,
    /// False for a target.
    measured: bool,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    date: Option<Word<Date>>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "phase")]
struct Phase {
    id: u32,
    name: String,
    kind: Word<PhaseKind>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    heat_to: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    below: Option<f64>,
    #[serde(default)]
    lines: Vec<Line>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    steps: Vec<Step>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "line")]
struct Line {
    id: u32,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    material: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    formula: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    amount: Option<Word<AmountText>>,
    #[serde(default, skip_serializing_if = "is_false")]
    locked: bool,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    alternatives: Vec<Alternative>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "alternative")]
struct Alternative {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    material: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    formula: Option<String>,
    ratio: Word<Decimal>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "step")]
struct Step {
    text: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    temperature_c: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    minutes: Option<f64>,
}

/// The percentage that a typed amount gives, by the arithmetic of entry.
fn derived_percent(typed: Decimal, unit: AmountUnit, parts_total: Decimal) -> Option<Percent> {
    match unit {
        AmountUnit::Percent => Some(Percent(typed)),
        AmountUnit::Parts => Percent::share(typed, parts_total),
        AmountUnit::Mass { unit, of } => {
            Percent::share(typed.saturating_mul(unit.grams_per_unit()), of.0)
        }
    }
}

fn split(item: &Item) -> (Option<String>, Option<String>) {
    match item {
        Item::Material(id) => (Some(id.as_str().to_owned()), None),
        Item::Formula(id) => (None, Some(id.as_str().to_owned())),
    }
}

fn item(
    material: Option<String>,
    formula: Option<String>,
    place: impl Fn() -> String,
    problems: &mut Problems,
) -> Item {
    match (material, formula) {
        (Some(id), None) => Item::Material(MaterialId::new(&id)),
        (None, Some(id)) => Item::Formula(FormulaId::new(&id)),
        (material, _) => {
            let what = if material.is_some() { "both" } else { "neither" };
            problems.push(format!(
                "{} names {what} a material and a formula; expected one of the two",
                place()
            ));
            Item::Material(MaterialId::new(""))
        }
    }
}

impl Formula {
    pub(super) fn of(formula: &domain::Formula) -> Self {
        let line = |l: &domain::Line| {
            let (material, formula_id) = split(&l.item);
            let amount = l.amount.map(|a| {
                let derived = derived_percent(a.typed, a.unit, formula.parts_total);
                let percent = (derived != Some(a.percent)).then_some(a.percent);
                Word(AmountText { typed: a.typed, unit: a.unit, percent })
            });
            Line {
                id: l.id.0,
                material,
                formula: formula_id,
                amount,
                locked: l.locked,
                alternatives: l.alternatives.iter().map(Alternative::of).collect(),
                note: l.note.clone(),
            }
        };
        let phase = |p: &domain::Phase| {
            let (heat_to, below) = match p.temperature {
                PhaseTemperature::Unstated => (None, None),
                PhaseTemperature::HeatTo(c) => (Some(c), None),
                PhaseTemperature::Below(c) => (None, Some(c)),
            };
            Phase {
                id: p.id.0,
                name: p.name.clone(),
                kind: Word(p.kind),
                heat_to,
                below,
                lines: p.lines.iter().map(line).collect(),
                steps: p
                    .steps
                    .iter()
                    .map(|s| Step {
                        text: s.text.clone(),
                        temperature_c: s.temperature_c,
                        minutes: s.minutes,
                    })
                    .collect(),
            }
        };
        Self {
            id: formula.id.as_str().to_owned(),
            name: formula.name.clone(),
            version: Version {
                number: formula.version.number,
                state: Word(formula.version.state),
                parent: formula.version.parent.as_ref().map(|(id, number)| Parent {
                    formula: id.as_str().to_owned(),
                    number: *number,
                }),
                reason: formula.version.reason.clone(),
            },
            product: Product {
                form: Word(formula.product.form),
                place: Word(formula.product.place),
                contact: Word(formula.product.contact),
                pack: (formula.product.pack != Pack::usual(formula.product.form))
                    .then_some(Word(formula.product.pack)),
                under_three: formula.product.under_three,
            },
            fills: formula.fills.map(|l| l.0),
            parts_total: Word(formula.parts_total),
            ph: formula.ph.as_ref().map(|p| Ph {
                value: Word(p.value),
                measured: p.measured,
                date: p.date.map(Word),
            }),
            note: formula.note.clone(),
            phases: formula.phases.iter().map(phase).collect(),
            safety: Safety::of(&formula.safety),
            label: Label::of(&formula.label),
        }
    }

    pub(super) fn into_domain(self, problems: &mut Problems) -> domain::Formula {
        let parts_total = self.parts_total.0;
        let name = quoted(&self.name);
        let phases =
            self.phases.into_iter().map(|p| p.into_domain(&name, parts_total, problems)).collect();
        domain::Formula {
            id: FormulaId::new(&self.id),
            name: self.name,
            version: domain::Version {
                number: self.version.number,
                state: self.version.state.0,
                parent: self.version.parent.map(|p| (FormulaId::new(&p.formula), p.number)),
                reason: self.version.reason,
            },
            product: domain::Product {
                form: self.product.form.0,
                place: self.product.place.0,
                contact: self.product.contact.0,
                pack: self.product.pack.map_or(Pack::usual(self.product.form.0), |p| p.0),
                under_three: self.product.under_three,
            },
            parts_total,
            fills: self.fills.map(LineId),
            ph: self.ph.map(|p| domain::PhReading {
                value: p.value.0,
                measured: p.measured,
                date: p.date.map(|d| d.0),
            }),
            phases,
            note: self.note,
            safety: self.safety.into_domain(),
            label: self.label.into_domain(),
        }
    }
}

impl Phase {
    fn into_domain(
        self,
        formula: &str,
        parts_total: Decimal,
        problems: &mut Problems,
    ) -> domain::Phase {
        let temperature = match (self.heat_to, self.below) {
            (None, None) => PhaseTemperature::Unstated,
            (Some(c), None) => PhaseTemperature::HeatTo(c),
            (None, Some(c)) => PhaseTemperature::Below(c),
            (Some(c), Some(_)) => {
                problems.push(format!(
                    "phase {} of formula {formula} has both heat_to and below; expected one",
                    self.id
                ));
                PhaseTemperature::HeatTo(c)
            }
        };
        domain::Phase {
            id: PhaseId(self.id),
            name: self.name,
            kind: self.kind.0,
            temperature,
            steps: self
                .steps
                .into_iter()
                .map(|s| domain::Step {
                    text: s.text,
                    temperature_c: s.temperature_c,
                    minutes: s.minutes,
                })
                .collect(),
            lines: self
                .lines
                .into_iter()
                .map(|l| l.into_domain(formula, parts_total, problems))
                .collect(),
        }
    }
}

impl Line {
    fn into_domain(
        self,
        formula: &str,
        parts_total: Decimal,
        problems: &mut Problems,
    ) -> domain::Line {
        let id = self.id;
        let place = || format!("line {id} of formula {formula}");
        let amount = self.amount.and_then(|Word(a)| {
            let percent = a.percent.or_else(|| derived_percent(a.typed, a.unit, parts_total));
            if percent.is_none() {
                problems.push(format!(
                    "{}: the amount cannot become a percentage, because what it is a share of \
                     is 0",
                    place()
                ));
            }
            Some(domain::Amount { typed: a.typed, unit: a.unit, percent: percent? })
        });
        domain::Line {
            id: LineId(id),
            item: item(self.material, self.formula, place, problems),
            amount,
            locked: self.locked,
            alternatives: self
                .alternatives
                .into_iter()
                .map(|a| domain::Alternative {
                    item: item(
                        a.material,
                        a.formula,
                        || format!("an alternative of {}", place()),
                        problems,
                    ),
                    ratio: a.ratio.0,
                    note: a.note,
                })
                .collect(),
            note: self.note,
        }
    }
}

impl Alternative {
    fn of(alternative: &domain::Alternative) -> Self {
        let (material, formula) = split(&alternative.item);
        Self { material, formula, ratio: Word(alternative.ratio), note: alternative.note.clone() }
    }
}
