//! A formula as the rules of mixing and scent look at it: what each material brings, by list.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::{Decimal, RoundingStrategy};

use crate::evaluate::{Opened, is_fat};
use crate::formula::{Charge, Formula, Function, LeafUse, LineId, Material, MaterialId, PhaseId};
use crate::quantity::Percent;
use crate::rules::Rules;

use super::rule::Fix;
use super::words::{Say, list};

/// What one material brings to a sum.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bringer {
    /// The material.
    pub material: MaterialId,
    /// Its display name.
    pub name: String,
    /// The material itself, % of the product.
    pub supplied: Percent,
    /// What counts of it, % of the product.
    pub counted: Percent,
    /// The lines that hold it, with the share of each; `true` where the line is the material itself.
    pub lines: Vec<(LineId, Percent, bool)>,
}

/// A sum over materials, with what each brings; the largest first, then by name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Brought {
    /// % of the product.
    pub total: Percent,
    /// Material by material.
    pub by: Vec<Bringer>,
}

impl Brought {
    /// Display names, each once.
    #[must_use]
    pub fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = Vec::new();
        for b in &self.by {
            if !names.contains(&b.name) {
                names.push(b.name.clone());
            }
        }
        names
    }

    /// True when nothing was found.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.by.is_empty()
    }

    /// Sets the one line of the one material so that what counts comes to the limit.
    pub(crate) fn set_to(&self, limit: Percent) -> Option<Fix> {
        let [only] = self.by.as_slice() else { return None };
        let [(line, _, true)] = only.lines.as_slice() else { return None };
        let scaled = limit.0.saturating_mul(only.supplied.0).checked_div(only.counted.0)?;
        // Rounded down, so that what is set does not exceed the limit by its last digit.
        let percent = Percent(scaled.round_dp_with_strategy(4, RoundingStrategy::ToZero));
        (percent.0 > Decimal::ZERO).then_some(Fix::SetPercent { line: *line, percent })
    }

    /// One step a material, and the sum.
    pub(crate) fn steps(&self, say: &Say) -> Vec<String> {
        let mut steps: Vec<String> = self
            .by
            .iter()
            .map(|b| {
                if b.counted == b.supplied {
                    format!("{}: {}", b.name, say.exact(b.supplied))
                } else {
                    let (s, c) = (say.exact(b.supplied), say.exact(b.counted));
                    format!("{}: {s} as supplied, {c} counts", b.name)
                }
            })
            .collect();
        if self.by.len() > 1 {
            steps.push(format!("Together {}", say.exact(self.total)));
        }
        steps
    }
}

/// Names in a row, each written as in running text; past four they are counted.
pub(crate) fn row(names: &[String]) -> String {
    const MOST: usize = 4;
    let mut shown: Vec<String> = names.iter().take(MOST).cloned().collect();
    if names.len() > MOST {
        shown.push(format!("{} more", names.len() - MOST));
    }
    list(&shown)
}

/// A component as one line brings it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bit<'a> {
    pub leaf: &'a LeafUse<'a>,
    pub inci: &'a str,
    /// % of the product at most: the share where it is stated, else the whole material.
    pub most: Percent,
    /// Active matter of it, % of the product; `None` while not stated.
    pub pure: Option<Percent>,
}

/// A figure of the rules in force.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Bound {
    pub value: f64,
    pub percent: Percent,
    /// Where it is from, with the edition.
    pub source: String,
}

/// A formula opened for these rules.
pub(crate) struct Case<'a> {
    pub formula: &'a Formula,
    pub opened: &'a Opened<'a>,
    pub rules: &'a Rules,
    pub bits: Vec<Bit<'a>>,
    found: RefCell<BTreeMap<String, Vec<Bit<'a>>>>,
    missing: RefCell<BTreeSet<String>>,
    unsure: RefCell<BTreeSet<String>>,
    ph_asked: RefCell<BTreeMap<&'static str, Vec<String>>>,
}

impl<'a> Case<'a> {
    pub fn new(formula: &'a Formula, opened: &'a Opened<'a>, rules: &'a Rules) -> Self {
        let mut bits = Vec::new();
        for leaf in opened.leaves.iter().filter(|l| l.percent.0 > Decimal::ZERO) {
            add_bits(leaf, &mut bits);
        }
        Self {
            formula,
            opened,
            rules,
            bits,
            found: RefCell::default(),
            missing: RefCell::default(),
            unsure: RefCell::default(),
            ph_asked: RefCell::default(),
        }
    }

    /// A figure by key; one that is missing is named in a note at the end.
    pub fn bound(&self, key: &str) -> Option<Bound> {
        let figure = self.rules.interactions.figure(key).filter(|f| f.value.is_finite());
        let percent = figure.and_then(|f| Decimal::try_from(f.value).ok());
        if let (Some(figure), Some(percent)) = (figure, percent) {
            return Some(Bound {
                value: figure.value,
                percent: Percent(percent),
                source: self.cite(&figure.provenance()),
            });
        }
        self.missing.borrow_mut().insert(key.to_owned());
        None
    }

    /// A source with the edition of the rules.
    pub fn cite(&self, source: &str) -> String {
        format!("{source}; {}", self.rules.interactions.edition)
    }

    /// Whether a list holds this name; a list that is missing is named in a note at the end.
    pub fn lists(&self, key: &str, inci: &str) -> bool {
        let held = self.rules.interactions.lists.get(key);
        if held.is_none() {
            self.missing.borrow_mut().insert(key.to_owned());
        }
        held.is_some_and(|l| l.iter().any(|x| x.eq_ignore_ascii_case(inci)))
    }

    /// Components of a list.
    pub fn of(&self, key: &str) -> Vec<Bit<'a>> {
        if let Some(found) = self.found.borrow().get(key) {
            return found.clone();
        }
        let found: Vec<Bit<'a>> =
            self.bits.iter().filter(|b| self.lists(key, b.inci)).copied().collect();
        self.found.borrow_mut().insert(key.to_owned(), found.clone());
        found
    }

    /// Materials that bring a component of a list, as they are supplied.
    pub fn listed(&self, key: &str) -> Brought {
        brought(self.of(key).iter().map(|b| (b.leaf, b.most)), self.opened)
    }

    /// Components of a list when their active matter is above a limit. Where it could be above
    /// but for figures that are not stated, those materials are named in a note at the end.
    pub fn above(&self, key: &str, limit: Percent) -> Option<Brought> {
        let bits = self.of(key);
        let known = bits.iter().filter_map(|b| Some((b.leaf, b.pure?)));
        let known = brought(known, self.opened);
        if known.total > limit {
            return Some(known);
        }
        if bits.iter().map(|b| b.pure.unwrap_or(b.most)).sum::<Percent>() > limit {
            let unknown = bits.iter().filter(|b| b.pure.is_none());
            self.doubt(unknown.map(|b| b.leaf.material.display_name().to_owned()));
        }
        None
    }

    /// Materials that meet a condition.
    pub fn materials(&self, wanted: impl Fn(&Material) -> bool) -> Brought {
        let leaves = self.opened.leaves.iter().filter(|l| l.percent.0 > Decimal::ZERO);
        brought(leaves.filter(|l| wanted(l.material)).map(|l| (l, l.percent)), self.opened)
    }

    /// Materials that meet a condition, as active matter where that is stated.
    pub fn active(&self, wanted: impl Fn(&Material) -> bool) -> Brought {
        let leaves = self.opened.leaves.iter().filter(|l| l.percent.0 > Decimal::ZERO);
        let pure = |l: &LeafUse<'_>| {
            l.material.active.as_ref().map_or(l.percent, |a| a.value.of_percent(l.percent))
        };
        brought(leaves.filter(|l| wanted(l.material)).map(|l| (l, pure(l))), self.opened)
    }

    /// Anionic surfactants and soaps, and soap that forms in the pot.
    pub fn anionic(&self) -> Vec<String> {
        let of = self.materials(|m| m.surfactant && m.charge == Charge::Anionic);
        let mut names = of.names();
        if let Some(soap) = self.soap_in_pot() {
            names.push(soap);
        }
        names
    }

    /// Soap that an alkali and a fatty acid of the formula make.
    pub fn soap_in_pot(&self) -> Option<String> {
        let (acids, alkalis) = (self.listed("fatty-acids"), self.listed("alkalis"));
        if acids.is_empty() || alkalis.is_empty() {
            return None;
        }
        Some(format!("soap of {} and {}", row(&acids.names()), row(&alkalis.names())))
    }

    /// More free water than counts as wet.
    pub fn wet(&self) -> bool {
        self.free() > self.rules.wet_above
    }

    /// Free water in % of the product.
    pub fn free(&self) -> Percent {
        self.opened.composition.water.free
    }

    /// Fats, without beads that stay solid.
    pub fn fats(&self) -> Percent {
        self.materials(|m| is_fat(m) && m.function != Some(Function::Exfoliant)).total
    }

    /// A phase in % of the product, and its free water in % of the product.
    pub fn phase(&self, id: PhaseId) -> (Percent, Percent) {
        let leaves = || self.opened.leaves.iter().filter(move |l| l.phase == id);
        let water = leaves()
            .filter_map(|l| {
                let w = l.material.water.as_ref()?;
                let free = w.kind == crate::formula::WaterKind::Free;
                free.then(|| w.percent.value.of_percent(l.percent))
            })
            .sum();
        (leaves().map(|l| l.percent).sum(), water)
    }

    /// True for a phase that is water for more than half.
    pub fn watery(&self, id: PhaseId) -> bool {
        let (all, water) = self.phase(id);
        water + water > all && water.0 > Decimal::ZERO
    }

    /// A step, a note of a line or the name of a phase holds one of the words of a list.
    pub fn mentions(&self, key: &str) -> bool {
        let Some(wanted) = self.rules.interactions.lists.get(key) else {
            self.missing.borrow_mut().insert(key.to_owned());
            return false;
        };
        let hit = |text: &str| {
            let text = text.to_lowercase();
            wanted.iter().any(|w| text.contains(&w.to_lowercase()))
        };
        self.formula.phases.iter().any(|p| {
            hit(&p.name)
                || p.steps.iter().any(|s| hit(&s.text))
                || p.lines.iter().any(|l| hit(&l.note))
        })
    }

    /// Remembers that a rule wanted to know the active matter of these.
    pub fn doubt(&self, names: impl IntoIterator<Item = String>) {
        self.unsure.borrow_mut().extend(names);
    }

    /// Remembers that a rule wanted to know the pH.
    pub fn ask_ph(&self, what: &'static str, names: Vec<String>) {
        let mut asked = self.ph_asked.borrow_mut();
        let held = asked.entry(what).or_default();
        for name in names {
            if !held.contains(&name) {
                held.push(name);
            }
        }
    }

    /// What could not be decided.
    pub fn open_questions(self) -> Questions {
        Questions {
            missing: self.missing.into_inner().into_iter().collect(),
            active: self.unsure.into_inner().into_iter().collect(),
            ph: self.ph_asked.into_inner().into_iter().collect(),
        }
    }
}

/// What rules could not decide.
pub(crate) struct Questions {
    /// Keys of figures and lists that are not there.
    pub missing: Vec<String>,
    /// Materials whose active matter is not stated and would matter.
    pub active: Vec<String>,
    /// What the pH was wanted for, with the materials.
    pub ph: Vec<(&'static str, Vec<String>)>,
}

fn add_bits<'a>(leaf: &'a LeafUse<'a>, bits: &mut Vec<Bit<'a>>) {
    let m = leaf.material;
    if m.composition.is_empty() {
        let mut names = m.inci.split(" (and) ").map(str::trim);
        let (first, more) = (names.next().unwrap_or_default(), names.next().is_some());
        if !more {
            let pure = m.active.as_ref().map(|a| a.value.of_percent(leaf.percent));
            bits.push(Bit { leaf, inci: first, most: leaf.percent, pure });
            return;
        }
        for inci in m.inci.split(" (and) ").map(str::trim) {
            bits.push(Bit { leaf, inci, most: leaf.percent, pure: None });
        }
        return;
    }
    for part in &m.composition {
        let share = part.share.as_ref().map(|s| s.value.of_percent(leaf.percent));
        if share.is_some_and(|s| s.0 <= Decimal::ZERO) {
            continue;
        }
        let most = share.unwrap_or(leaf.percent);
        bits.push(Bit { leaf, inci: part.inci.trim(), most, pure: share });
    }
}

/// Sums by material, whatever the order and number of the lines.
pub(crate) fn brought<'a>(
    of: impl Iterator<Item = (&'a LeafUse<'a>, Percent)>,
    opened: &Opened<'_>,
) -> Brought {
    let mut by: BTreeMap<&MaterialId, Bringer> = BTreeMap::new();
    let mut seen: Vec<&LeafUse<'_>> = Vec::new();
    let mut total = Percent::ZERO;
    for (leaf, counted) in of {
        total += counted;
        let b = by.entry(&leaf.material.id).or_insert_with(|| Bringer {
            material: leaf.material.id.clone(),
            name: leaf.material.display_name().to_owned(),
            supplied: Percent::ZERO,
            counted: Percent::ZERO,
            lines: Vec::new(),
        });
        b.counted += counted;
        // A material that brings two components of a list is supplied once.
        if !seen.iter().any(|l| std::ptr::eq(*l, leaf)) {
            seen.push(leaf);
            b.supplied += leaf.percent;
            b.lines.push((leaf.line, leaf.percent, opened.is_material(leaf.line)));
        }
    }
    let mut by: Vec<Bringer> = by.into_values().collect();
    by.sort_by(|a, b| b.counted.cmp(&a.counted).then_with(|| a.name.cmp(&b.name)));
    Brought { total, by }
}
