//! Blends for tests, made from the demo.

use std::sync::Arc;

use quern_calc::evaluate::{
    BlendRow, BlendSide, Context, Evaluation, blend_rows, evaluate, place_guides,
};
use quern_calc::formula::{Amount, Formula, Function, Item, LineId, Material, PhaseKind};
use quern_calc::grit::spread::{Spread, spread};
use quern_calc::number::NumberStyle;
use quern_calc::quantity::Date;
use quern_project::Project;
use quern_project::rules::builtin_rules;

use super::examples::d;
use crate::{About, BlendSheet, Paper};

/// All that a blend sheet is made from.
#[derive(Clone)]
pub struct Blends {
    pub project: Project,
    pub names: Vec<String>,
    pub cut_um: f64,
    pub about: About,
    pub with_spread: bool,
}

/// The figures of the blends.
pub struct Figures {
    pub formulas: Vec<Arc<Formula>>,
    pub evaluations: Vec<Evaluation>,
}

impl Figures {
    pub fn spreads(&self) -> Vec<Option<Spread>> {
        let of =
            |e: &Evaluation| e.grains.as_ref().ok().map(|f| spread(&f.blend, f.product_density));
        self.evaluations.iter().map(of).collect()
    }

    /// Every reason of every place.
    pub fn reasons(&self, style: NumberStyle) -> Vec<String> {
        let mut out = Vec::new();
        for (formula, e) in self.formulas.iter().zip(&self.evaluations) {
            let Ok(f) = &e.grains else { continue };
            let product = formula.product;
            for guide in place_guides(f, product.place, product.form, builtin_rules(), style) {
                out.push(guide.verdict);
                out.extend(guide.reasons.into_iter().map(|r| r.text));
            }
        }
        out
    }
}

impl Blends {
    pub fn figures(&self) -> Figures {
        let library = self.project.library();
        let context = Context::on(self.about.date);
        let formulas: Vec<Arc<Formula>> = self
            .names
            .iter()
            .map(|name| Arc::clone(self.project.formula_named(name).unwrap()))
            .collect();
        let evaluations = formulas
            .iter()
            .map(|f| evaluate(f, &library, builtin_rules(), &self.project.plan(&f.id), &context))
            .collect();
        Figures { formulas, evaluations }
    }

    pub fn sides<'a>(&self, figures: &'a Figures) -> Vec<BlendSide<'a>> {
        figures
            .formulas
            .iter()
            .zip(&figures.evaluations)
            .map(|(formula, evaluation)| BlendSide {
                formula,
                evaluation,
                per_use: self.project.grit.grams_per_use(formula.product.place),
            })
            .collect()
    }

    pub fn rows(&self) -> Vec<BlendRow> {
        let figures = self.figures();
        blend_rows(&self.sides(&figures), self.cut_um, None, builtin_rules(), self.about.style)
    }

    pub fn sheet(&self) -> BlendSheet {
        let figures = self.figures();
        let sides = self.sides(&figures);
        let spreads = if self.with_spread { figures.spreads() } else { Vec::new() };
        BlendSheet::new(&sides, &self.rows(), &spreads, self.cut_um, builtin_rules(), &self.about)
    }

    #[cfg(feature = "pdf")]
    pub fn on(mut self, paper: Paper) -> Self {
        self.about.paper = paper;
        self
    }

    pub fn formula(&mut self, name: &str) -> &mut Formula {
        let found = self.project.formulas.iter_mut().find(|f| f.name == name).unwrap();
        Arc::make_mut(found)
    }

    /// Renames a formula of the demo.
    pub fn rename(&mut self, from: &str, to: &str) {
        self.formula(from).name = to.to_owned();
        for name in self.names.iter_mut().filter(|n| *n == from) {
            *name = to.to_owned();
        }
    }

    /// Changes every exfoliant that the project carries.
    pub fn each_exfoliant(&mut self, mut change: impl FnMut(usize, &mut Material)) {
        let all = self.project.materials.values_mut();
        let grains = all.filter(|m| m.function == Some(Function::Exfoliant));
        for (at, material) in grains.enumerate() {
            change(at, Arc::make_mut(material));
        }
    }
}

/// Formulas of the demo, cut at 300 µm.
pub fn demo(names: &[&str]) -> Blends {
    Blends {
        project: quern_project::demo(),
        names: names.iter().map(|n| (*n).to_owned()).collect(),
        cut_um: 300.0,
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
        with_spread: true,
    }
}

/// This many bars of the demo with this many exfoliants each, coarse and sharp ones first: as
/// much as the guides can say.
pub fn crowd(blends: usize, exfoliants: usize) -> Blends {
    let mut out = demo(&["Shingle", "Cairn", "Dune", "Fen"]);
    out.names.truncate(blends);
    let mut library: Vec<&Arc<Material>> = quern_project::library::builtin()
        .materials
        .values()
        .filter(|m| m.function == Some(Function::Exfoliant))
        .collect();
    let sharp = |m: &Material| m.grain.as_ref().map_or(0.0, |g| g.value.angularity);
    library.sort_by(|a, b| sharp(b).total_cmp(&sharp(a)).then_with(|| a.id.cmp(&b.id)));
    for (at, name) in out.names.clone().iter().enumerate() {
        let grains: Vec<&Arc<Material>> =
            library.iter().skip(at).step_by(4).take(exfoliants).copied().collect();
        for material in &grains {
            out.project.carry(material);
        }
        let formula = out.formula(name);
        let phase = formula.phases.last_mut().unwrap();
        phase.kind = PhaseKind::Grains;
        let pattern = phase.lines.first().cloned().unwrap();
        for other in &mut formula.phases {
            other.lines.retain(|l| l.id.0 < 9 || l.id.0 > 11);
        }
        let phase = formula.phases.last_mut().unwrap();
        for (i, material) in grains.into_iter().enumerate() {
            let mut line = pattern.clone();
            line.id = LineId(100 + u32::try_from(i).unwrap());
            line.item = Item::Material(material.id.clone());
            line.amount = Some(Amount::percent(d("1.25")));
            phase.lines.push(line);
        }
    }
    out
}
