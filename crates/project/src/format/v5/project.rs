//! The file as a whole.

use std::collections::BTreeMap;
use std::sync::Arc;

use quern_calc::formula::{FormulaId, MaterialId};
use serde::{Deserialize, Serialize};

use super::formula::Formula;
use super::grit::Grit;
use super::kept::{InBin, Kept};
use super::material::Material;
use super::plan::Plan;
use super::setting::Setting;
use crate::check::{Problems, quoted, too_many_tables};
use crate::format::FORMAT;
use crate::model;

/// A project file.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "file")]
pub(crate) struct File {
    pub(crate) format: u32,
    /// What wrote it; for people only.
    #[serde(default)]
    pub(crate) app: String,
    pub(crate) project: Project,
}

/// A project.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "project")]
pub(crate) struct Project {
    name: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    currency: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
    #[serde(default)]
    formulas: Vec<Formula>,
    #[serde(default)]
    plans: Vec<Plan>,
    #[serde(default)]
    materials: Vec<Material>,
    #[serde(default, skip_serializing_if = "Grit::is_empty")]
    grit: Grit,
    #[serde(default, skip_serializing_if = "Setting::is_empty")]
    setting: Setting,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    kept: Vec<Kept>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    bin: Vec<InBin>,
}

impl File {
    /// The file of a project.
    pub(crate) fn of(project: &model::Project) -> Self {
        Self {
            format: FORMAT,
            app: concat!("quern ", env!("CARGO_PKG_VERSION")).to_owned(),
            project: Project {
                name: project.name.clone(),
                currency: project.currency.clone(),
                note: project.note.clone(),
                formulas: project.formulas.iter().map(|f| Formula::of(f)).collect(),
                plans: project.plans.iter().map(|(id, plan)| Plan::of(id, plan)).collect(),
                materials: project.materials.values().map(|m| Material::of(m)).collect(),
                grit: Grit::of(&project.grit),
                setting: Setting::of(&project.setting),
                kept: project.kept.iter().map(|k| Kept::of(k)).collect(),
                bin: project.bin.iter().map(|b| InBin::of(b)).collect(),
            },
        }
    }
}

impl Project {
    /// The domain project; what cannot be used goes to `problems`.
    pub(crate) fn into_model(self, problems: &mut Problems) -> model::Project {
        let formulas =
            self.formulas.into_iter().map(|f| Arc::new(f.into_domain(problems))).collect();
        let mut plans = BTreeMap::new();
        for plan in self.plans {
            let (id, plan) = plan.into_domain();
            let name = quoted(id.as_str());
            if plans.insert(FormulaId::new(id.as_str()), Arc::new(plan)).is_some() {
                problems.push(format!("formula {name} has two plans; keep one"));
            }
        }
        // Told before any is fitted, or a file could keep the reader busy for minutes.
        let tables = self.materials.iter().filter(|m| m.solids.is_some()).count();
        let too_many = too_many_tables(tables);
        let mut materials = BTreeMap::new();
        for mut material in self.materials {
            if too_many.is_some() {
                material.solids = None;
            }
            let material = material.into_domain(problems);
            let id: MaterialId = material.id.clone();
            if materials.insert(id.clone(), Arc::new(material)).is_some() {
                problems.push(format!(
                    "the material id {} is used twice; give each material its own",
                    quoted(id.as_str())
                ));
            }
        }
        too_many.into_iter().for_each(|problem| problems.push(problem));
        model::Project {
            name: self.name,
            currency: self.currency,
            formulas,
            materials,
            plans,
            note: self.note,
            grit: Arc::new(self.grit.into_domain()),
            setting: Arc::new(self.setting.into_domain(problems)),
            kept: self.kept.into_iter().map(|k| k.into_domain(problems)).collect(),
            bin: self.bin.into_iter().map(|b| b.into_domain(problems)).collect(),
        }
    }
}
