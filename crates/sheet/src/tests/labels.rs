//! Labels for tests: the demo's bar in a market made up here.

use std::sync::Arc;

use quern_calc::evaluate::Opened;
use quern_calc::findings::{Finding, Problem, Where};
use quern_calc::formula::{Accepted, Basis, Confidence, Figure, Formula, Function, Material, Net};
use quern_calc::label::{AllergenItem, Label, LabelAsk, assemble, content_height_mm};
use quern_calc::number::NumberStyle;
use quern_calc::quantity::{Date, Percent};
use quern_calc::safety::market::{LabelCaution, LabelRules, Market, NetRule, Trigger, When};
use quern_project::Project;

use super::examples::d;
use crate::{About, LabelSheet, Paper};

/// All that a label sheet is made from.
#[derive(Clone)]
pub struct Labels {
    pub project: Project,
    pub name: String,
    pub market: Market,
    pub allergens: Vec<AllergenItem>,
    pub findings: Vec<Finding>,
    pub checked: Vec<String>,
    pub about: About,
}

impl Labels {
    pub fn formula(&mut self) -> &mut Formula {
        let found = self.project.formulas.iter_mut().find(|f| f.name == self.name).unwrap();
        Arc::make_mut(found)
    }

    pub fn each_material(&mut self, mut change: impl FnMut(usize, &mut Material)) {
        for (at, material) in self.project.materials.values_mut().enumerate() {
            change(at, Arc::make_mut(material));
        }
    }

    pub fn label(&self) -> Label {
        let formula = self.project.formula_named(&self.name).unwrap();
        let library = self.project.library();
        let opened = Opened::new(formula, &library);
        assemble(&LabelAsk {
            formula,
            opened: &opened,
            market: &self.market,
            date: self.about.date,
            allergens: &self.allergens,
            allergens_above: Some(Percent(d("0.01"))),
            statements: &[("Contains a made up acid".to_owned(), "Annex Q/7".to_owned())],
            batch_code: "DU-2611-02",
            style: Default::default(),
        })
    }

    pub fn sheet(&self) -> LabelSheet {
        self.sheet_of(&self.label())
    }

    pub fn sheet_of(&self, label: &Label) -> LabelSheet {
        let formula = self.project.formula_named(&self.name).unwrap();
        let content = content_height_mm(label, &self.market, formula.label.net);
        LabelSheet::new(formula, label, &self.findings, &self.checked, content, &self.about)
    }

    /// Printed before with another function and without a caution.
    pub fn printed_before(mut self) -> Self {
        let mut lines = self.label().lines();
        lines.retain(|l| !l.starts_with("caution: Contains"));
        lines[1] = "function: Old words".to_owned();
        self.formula().label.printed = vec![quern_calc::formula::Printed {
            market: self.market.code.clone(),
            date: Date::new(2026, 3, 4).unwrap(),
            version: 2,
            lines,
        }];
        self
    }
}

pub fn accepted(problem: Problem, reason: &str, date: Option<Date>) -> Finding {
    let (key, said) = (String::new(), String::new());
    let accepted = Accepted { key, said, reason: reason.to_owned(), date };
    Finding { problem, place: Where::Batch, accepted: Some(accepted) }
}

pub fn stop() -> Finding {
    let problem = Problem::TotalOff { total: Percent(d("97.5")) };
    Finding { problem, place: Where::Formula, accepted: None }
}

fn caution(trigger: Trigger, text: &str) -> LabelCaution {
    LabelCaution {
        key: text.to_owned(),
        when: When::default(),
        trigger,
        text: text.to_owned(),
        about: about(()),
    }
}

fn about<T>(value: T) -> Figure<T> {
    Figure {
        value,
        confidence: Confidence::Medium,
        basis: Basis::Practice,
        source: Arc::from("a made up handbook"),
    }
}

fn market() -> Market {
    Market {
        code: "up".to_owned(),
        name: "Made up market".to_owned(),
        edition: "Made up rules, edition 3".to_owned(),
        as_of: Date::new(2026, 5, 1).unwrap(),
        limits: Vec::new(),
        clashes: Vec::new(),
        pending: Vec::new(),
        allergens: None,
        label: LabelRules {
            heading: "Ingredients".to_owned(),
            one_percent_ordered: true,
            nano: true,
            names: Vec::new(),
            net: NetRule::Metric,
            durability: true,
            particulars: vec!["name and address of who answers for it".to_owned()],
            cautions: vec![
                caution(Trigger::Always, "Keep out of eyes"),
                caution(Trigger::Function(Function::Exfoliant), "Not on broken skin: {names}"),
            ],
            about: about(()),
        },
        not_checked: vec!["claims".to_owned(), "tests on microbes".to_owned()],
    }
}

/// A formula of the demo with a label that fits its frame.
pub fn demo(name: &str) -> Labels {
    let mut labels = Labels {
        project: quern_project::demo(),
        name: name.to_owned(),
        market: market(),
        allergens: vec![
            AllergenItem { name: "Linalool".to_owned(), percent: Percent(d("0.034")) },
            AllergenItem { name: "Citral".to_owned(), percent: Percent(d("0.006")) },
        ],
        findings: Vec::new(),
        checked: vec!["Checked against made up guides, edition 1".to_owned()],
        about: About {
            workshop: "Coast workshop".to_owned(),
            date: Date::new(2026, 11, 25).unwrap(),
            currency: "EUR".to_owned(),
            style: NumberStyle::default(),
            paper: Paper::A4,
            rules_edition: "Quern guides 1".to_owned(),
            library_edition: "1".to_owned(),
            program: "Quern 0.1.0".to_owned(),
        },
    };
    let notes = &mut labels.formula().label;
    notes.net = Some(Net::Grams(d("70")));
    notes.keeps_months = Some(36);
    notes.opened_months = Some(12);
    notes.responsible = "Coast workshop, 1 Harbour Lane, Seatown".to_owned();
    notes.size_mm = Some((d("80"), d("60")));
    labels
}
