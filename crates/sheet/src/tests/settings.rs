//! Setting sheets for tests, made from the demo.

use std::sync::Arc;

use quern_calc::evaluate::{
    Context, Evaluation, Readout, Remark, SettingAsk, SettingFigures, SlabFigures, evaluate,
    readouts, remarks, setting_figures, stand_more,
};
use quern_calc::formula::{Formula, Function, Material};
use quern_calc::number::NumberStyle;
use quern_calc::quantity::Date;
use quern_calc::setting::calibrate::{Measured, Reading};
use quern_calc::setting::notes::SettingNotes;
use quern_calc::setting::pour::PourClass;
use quern_project::Project;
use quern_project::rules::builtin_rules;

use crate::{About, Paper, SettingSheet, SettingSide};

/// All that a setting sheet is made from.
#[derive(Clone)]
pub struct Settings {
    pub project: Project,
    pub names: Vec<String>,
    pub notes: SettingNotes,
    pub about: About,
    pub with_slab: bool,
}

/// The figures of one formula.
pub struct Figures {
    pub formula: Arc<Formula>,
    pub evaluation: Evaluation,
    pub figures: SettingFigures,
    pub slab: Option<SlabFigures>,
    pub remarks: Vec<Remark>,
}

impl Figures {
    pub fn readouts(&self) -> Vec<Readout> {
        readouts(&self.evaluation, &self.figures)
    }
}

impl Settings {
    pub fn figures(&self) -> Vec<Figures> {
        let library = self.project.library();
        let context = Context { date: self.about.date, setting: Arc::new(self.notes.clone()) };
        let others = |function: Function, at_least_c: f64| -> Vec<String> {
            let all = self.project.materials.values().map(|m| &**m);
            let found = stand_more(all, function, at_least_c);
            found.into_iter().take(3).map(|(m, _)| m.display_name().to_owned()).collect()
        };
        self.names
            .iter()
            .map(|name| {
                let formula = Arc::clone(self.project.formula_named(name).unwrap());
                let plan = self.project.plan(&formula.id);
                let evaluation = evaluate(&formula, &library, builtin_rules(), &plan, &context);
                let ask = SettingAsk::default();
                let figures = setting_figures(&formula, &library, &context, &evaluation, &ask);
                let cool = figures.cool.as_ref().ok().filter(|_| self.with_slab);
                let slab = cool.and_then(|c| c.slab.run());
                let remarks = remarks(&evaluation, &figures, &others, self.about.style);
                Figures { formula, evaluation, figures, slab, remarks }
            })
            .collect()
    }

    pub fn sheet(&self) -> SettingSheet {
        let figures = self.figures();
        let sides: Vec<SettingSide<'_>> = figures
            .iter()
            .map(|f| SettingSide {
                formula: &f.formula,
                evaluation: &f.evaluation,
                figures: &f.figures,
                slab: f.slab.as_ref(),
                remarks: &f.remarks,
            })
            .collect();
        SettingSheet::new(&sides, &self.notes, &self.about)
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

    /// Changes every material that the project carries.
    pub fn each_material(&mut self, mut change: impl FnMut(usize, &mut Material)) {
        for (at, material) in self.project.materials.values_mut().enumerate() {
            change(at, Arc::make_mut(material));
        }
    }

    /// One measurement of each kind, on a formula of the demo.
    pub fn measured(mut self, name: &str) -> Self {
        let id = self.project.formula_named(name).unwrap().id.clone();
        let readings = [
            Reading::SetsAt { c: 44.0 },
            Reading::Flow { at_c: 60.0, class: PourClass::ThickPour },
            Reading::Poured { at_c: 60.0, grams: 120.5, ml: 110.0 },
            Reading::Needle { at_c: 20.0, mm: 3.5 },
        ];
        self.notes.measured = readings
            .into_iter()
            .map(|reading| Measured {
                formula: id.clone(),
                name: name.to_owned(),
                date: Date::new(2026, 11, 20),
                reading,
                said: Vec::new(),
            })
            .collect();
        self
    }
}

/// Formulas of the demo with the usual temperatures.
pub fn demo(names: &[&str]) -> Settings {
    Settings {
        project: quern_project::demo(),
        names: names.iter().map(|n| (*n).to_owned()).collect(),
        notes: SettingNotes::default(),
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
        with_slab: true,
    }
}
