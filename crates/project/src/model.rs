//! A project in memory: formulas with their versions, the materials they use, and a plan for each.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use quern_calc::batch::BatchPlan;
use quern_calc::formula::{Formula, FormulaId, Item, Library, Material, MaterialId};
use quern_calc::grit::notes::GritNotes;
use quern_calc::setting::notes::SettingNotes;

use crate::{Binned, KeptVersion};

/// A project. Entries sit behind their own `Arc`, so that a snapshot for undo copies
/// pointers only.
#[derive(Clone, Debug, PartialEq)]
pub struct Project {
    /// Name, such as the workshop's.
    pub name: String,
    /// Currency of all prices, as the user writes it; empty when none is stated.
    pub currency: String,
    /// Formulas in the order of the list.
    pub formulas: Vec<Arc<Formula>>,
    /// The materials that the project carries, so that a shared file opens anywhere.
    pub materials: BTreeMap<MaterialId, Arc<Material>>,
    /// Batch plans by formula; a formula without one uses [`BatchPlan::default`].
    pub plans: BTreeMap<FormulaId, Arc<BatchPlan>>,
    /// Free note.
    pub note: String,
    /// What the workshop keeps about grit.
    pub grit: Arc<GritNotes>,
    /// What the workshop keeps about setting: temperatures, moulds, measurements.
    pub setting: Arc<SettingNotes>,
    /// Earlier versions of the formulas, frozen, in the order in which they were kept.
    pub kept: Vec<Arc<KeptVersion>>,
    /// Formulas that were taken out, oldest first.
    pub bin: Vec<Arc<Binned>>,
}

impl Project {
    /// A project with one empty formula.
    #[must_use]
    pub fn blank() -> Self {
        Self {
            name: "Untitled workshop".to_owned(),
            currency: String::new(),
            formulas: vec![Arc::new(Formula::empty(FormulaId::new("formula-1"), "New formula"))],
            materials: BTreeMap::new(),
            plans: BTreeMap::new(),
            note: String::new(),
            grit: Arc::default(),
            setting: Arc::default(),
            kept: Vec::new(),
            bin: Vec::new(),
        }
    }

    /// The formula of this id.
    #[must_use]
    pub fn formula(&self, id: &FormulaId) -> Option<&Arc<Formula>> {
        self.formulas.iter().find(|f| f.id == *id)
    }

    /// The formula of this name, letter case aside; an exact match wins.
    #[must_use]
    pub fn formula_named(&self, name: &str) -> Option<&Arc<Formula>> {
        self.formulas.iter().find(|f| f.name == name).or_else(|| {
            let wanted = name.to_lowercase();
            self.formulas.iter().find(|f| f.name.to_lowercase() == wanted)
        })
    }

    /// The plan of a formula.
    #[must_use]
    pub fn plan(&self, id: &FormulaId) -> BatchPlan {
        self.plans.get(id).map(|p| (**p).clone()).unwrap_or_default()
    }

    /// What lines can refer to.
    #[must_use]
    pub fn library(&self) -> Library {
        Library::new(self.materials.values().cloned(), self.formulas.iter().cloned())
    }

    /// A formula id that is not in use, made from a name, nor in the bin. Nor does a score, a
    /// measurement or the reference bar name it: a new formula must not take over how an older one
    /// felt or set.
    #[must_use]
    pub fn free_formula_id(&self, name: &str) -> FormulaId {
        let mut base: String = name
            .to_lowercase()
            .chars()
            .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
            .take(40)
            .collect();
        base = base.trim_matches('-').to_owned();
        if base.is_empty() {
            base.push_str("formula");
        }
        let taken = |id: &FormulaId| {
            self.formula(id).is_some()
                || self.bin.iter().any(|b| b.formula.id == *id)
                || self.grit.score(id).is_some()
                || self.setting.reference.as_ref() == Some(id)
                || self.setting.of(id).next().is_some()
        };
        let mut id = FormulaId::new(&base);
        let mut n = 2_u32;
        while taken(&id) {
            id = FormulaId::new(&format!("{base}-{n}"));
            n = n.saturating_add(1);
        }
        id
    }

    /// Puts a library material into the project, so that the file holds what its formulas use.
    /// One that the project already carries stays as it is; true when it was added.
    pub fn carry(&mut self, material: &Arc<Material>) -> bool {
        if self.materials.contains_key(&material.id) {
            return false;
        }
        self.materials.insert(material.id.clone(), Arc::clone(material));
        true
    }

    /// Every formula that the project holds in any state: at work, kept or in the bin.
    pub fn all_formulas(&self) -> impl Iterator<Item = &Arc<Formula>> {
        let kept = self.kept.iter().map(|k| &k.formula);
        let binned = self
            .bin
            .iter()
            .flat_map(|b| std::iter::once(&b.formula).chain(b.kept.iter().map(|k| &k.formula)));
        self.formulas.iter().chain(kept).chain(binned)
    }

    /// Materials that the project carries but no line or alternative names, in the order of
    /// their ids. Kept versions and the bin count.
    #[must_use]
    pub fn unused_materials(&self) -> Vec<MaterialId> {
        let lines = self.all_formulas().flat_map(|f| f.lines()).map(|(_, line)| line);
        let used: BTreeSet<&MaterialId> = lines
            .flat_map(|l| std::iter::once(&l.item).chain(l.alternatives.iter().map(|a| &a.item)))
            .filter_map(|item| match item {
                Item::Material(id) => Some(id),
                Item::Formula(_) => None,
            })
            .collect();
        self.materials.keys().filter(|id| !used.contains(id)).cloned().collect()
    }
}
