//! Formulas in a line or two, and what the rules say of them.

use std::sync::Arc;

use quern_calc::batch::BatchPlan;
use quern_calc::evaluate::{Context, evaluate};
use quern_calc::findings::{Finding, Problem, Severity};
use quern_calc::formula::{
    Amount, Certificate, Contact, Form, Formula, FormulaId, Item, Library, Line, LineId, Material,
    MaterialId, PhReading, Phase, PhaseId, PhaseKind, PhaseTemperature, Place, Product, Step,
};
use quern_calc::number::NumberStyle;
use quern_calc::quantity::{Date, Percent};
use quern_calc::rules::Rules;
use quern_calc::safety::interactions::Interactions;
use quern_project::rules::builtin_rules;
use rust_decimal::Decimal;

pub fn interactions() -> &'static Interactions {
    &builtin_rules().interactions
}

pub fn rules() -> Rules {
    builtin_rules().clone()
}

pub fn d(text: &str) -> Decimal {
    text.parse().unwrap()
}

/// A formula on the bench: built-in materials by id, and own ones.
#[derive(Clone, Debug)]
pub struct Bench {
    pub formula: Formula,
    pub own: Vec<Material>,
    pub rules: Rules,
}

pub fn bench(form: Form) -> Bench {
    let contact = match form {
        Form::Emulsion | Form::Balm => Contact::LeaveOn,
        _ => Contact::RinseOff,
    };
    let mut formula = Formula::empty(FormulaId::new("bench"), "Bench");
    formula.product = Product::new(form, Place::Body, contact);
    formula.phases.clear();
    Bench { formula, own: Vec::new(), rules: rules() }
}

pub fn lotion() -> Bench {
    bench(Form::Emulsion)
}

pub fn bar() -> Bench {
    bench(Form::ScrubBar)
}

/// A liquid cleanser, gel or other product of water.
pub fn liquid() -> Bench {
    bench(Form::Other)
}

impl Bench {
    /// A phase of lines "material, %"; a second one with the same kind is a phase of its own.
    pub fn phase(
        mut self,
        kind: PhaseKind,
        temperature: PhaseTemperature,
        lines: &[(&str, &str)],
    ) -> Self {
        let next = self.formula.lines().map(|(_, l)| l.id.0).max().unwrap_or(0);
        let lines = lines.iter().zip(next + 1..).map(|((material, percent), id)| Line {
            id: LineId(id),
            item: Item::Material(MaterialId::new(material)),
            amount: Some(Amount::percent(d(percent))),
            locked: false,
            alternatives: Vec::new(),
            note: String::new(),
        });
        let id = PhaseId(u32::try_from(self.formula.phases.len()).unwrap() + 1);
        self.formula.phases.push(Phase {
            id,
            name: format!("Phase {}", id.0),
            kind,
            temperature,
            steps: Vec::new(),
            lines: lines.collect(),
        });
        self
    }

    pub fn water(self, lines: &[(&str, &str)]) -> Self {
        self.phase(PhaseKind::Water, PhaseTemperature::Unstated, lines)
    }

    pub fn melt(self, lines: &[(&str, &str)]) -> Self {
        self.phase(PhaseKind::Melt, PhaseTemperature::HeatTo(75.0), lines)
    }

    pub fn cool(self, lines: &[(&str, &str)]) -> Self {
        self.phase(PhaseKind::CoolDown, PhaseTemperature::Below(45.0), lines)
    }

    /// A material of this INCI name, changed by `with`; its id is the name in lower case.
    pub fn own(mut self, inci: &str, with: impl FnOnce(&mut Material)) -> Self {
        let id = MaterialId::new(&inci.to_lowercase());
        let mut material = Material::named(id, inci, inci);
        with(&mut material);
        self.own.push(material);
        self
    }

    /// A changed copy of a built-in material, under its own id.
    pub fn changed(mut self, id: &str, with: impl FnOnce(&mut Material)) -> Self {
        let mut material = built_in(id);
        with(&mut material);
        self.own.push(material);
        self
    }

    pub fn ph(mut self, value: &str, measured: bool) -> Self {
        self.formula.ph = Some(PhReading { value: d(value), measured, date: None });
        self
    }

    pub fn step(mut self, text: &str) -> Self {
        let phase = self.formula.phases.last_mut().unwrap();
        phase.steps.push(Step { text: text.to_owned(), ..Step::default() });
        self
    }

    pub fn category(mut self, category: &str) -> Self {
        self.formula.safety.category = category.to_owned();
        self
    }

    pub fn product(mut self, place: Place, contact: Contact) -> Self {
        self.formula.product.place = place;
        self.formula.product.contact = contact;
        self
    }

    pub fn library(&self) -> Library {
        let built_in = quern_project::library::builtin().materials.values().cloned();
        let own = self.own.iter().cloned().map(Arc::new);
        Library::new(built_in.chain(own), [Arc::new(self.formula.clone())])
    }

    /// Findings of mixing and scent.
    pub fn findings(&self) -> Vec<Finding> {
        let library = self.library();
        for (_, line) in self.formula.lines() {
            let Item::Material(id) = &line.item else { continue };
            assert!(library.material(id).is_some(), "no material {id}");
        }
        of(&self.formula, &library, &self.rules)
    }

    /// The finding of a rule, if there is one.
    pub fn find(&self, rule: &str) -> Option<Finding> {
        self.findings().into_iter().find(|f| f.rule() == rule)
    }

    #[track_caller]
    pub fn says(&self, rule: &str, severity: Severity) -> Finding {
        let all = self.findings();
        let found: Vec<_> = all.iter().filter(|f| f.rule() == rule).collect();
        let titles: Vec<_> = all.iter().map(Finding::said).collect();
        assert_eq!(found.len(), 1, "{rule} in {titles:?}");
        assert_eq!(found[0].severity(), severity, "{titles:?}");
        sound(found[0]);
        found[0].clone()
    }

    #[track_caller]
    pub fn silent(&self, rule: &str) {
        let found = self.find(rule).map(|f| f.said());
        assert_eq!(found, None, "{rule}");
    }
}

/// What every finding owes its reader.
pub fn sound(f: &Finding) {
    let w = f.words(NumberStyle::default());
    for text in [&w.title, &w.why, &w.fix, &w.source] {
        assert!(!text.trim().is_empty(), "{w:?}");
        assert!(!text.ends_with('.') && !text.contains("  ") && !text.contains("NaN"), "{text}");
        let lower = text.to_lowercase();
        assert!(!lower.contains("compliant") && !lower.contains(" safe "), "{text}");
    }
    assert!(w.title.len() < 200, "{}", w.title);
}

pub fn of(formula: &Formula, library: &Library, rules: &Rules) -> Vec<Finding> {
    let context = Context::on(Date::new(2026, 11, 26).unwrap());
    let all = evaluate(formula, library, rules, &BatchPlan::default(), &context).findings;
    all.into_iter()
        .filter(|f| matches!(f.problem, Problem::Mixing(_) | Problem::Scent(_)))
        .collect()
}

pub fn built_in(id: &str) -> Material {
    let found = quern_project::library::builtin().materials.values().find(|m| m.id.as_str() == id);
    (**found.unwrap_or_else(|| panic!("no material {id}"))).clone()
}

pub fn certificate(category: &str, limit: &str) -> Certificate {
    Certificate {
        standard: "Amendment 51".to_owned(),
        date: None,
        limits: vec![(category.to_owned(), Percent(d(limit)))],
    }
}
