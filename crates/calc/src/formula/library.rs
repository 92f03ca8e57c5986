//! The materials and formulas that a formula may name.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::{Formula, FormulaId, Material, MaterialId};

/// Everything that lines can refer to. Cheap to clone: entries are shared.
#[derive(Clone, Debug, Default)]
pub struct Library {
    materials: BTreeMap<MaterialId, Arc<Material>>,
    formulas: BTreeMap<FormulaId, Arc<Formula>>,
}

impl Library {
    /// A library of these materials and formulas; a later one replaces an earlier
    /// one of the same id.
    pub fn new(
        materials: impl IntoIterator<Item = Arc<Material>>,
        formulas: impl IntoIterator<Item = Arc<Formula>>,
    ) -> Self {
        Self {
            materials: materials.into_iter().map(|m| (m.id.clone(), m)).collect(),
            formulas: formulas.into_iter().map(|f| (f.id.clone(), f)).collect(),
        }
    }

    /// The material of this id.
    #[must_use]
    pub fn material(&self, id: &MaterialId) -> Option<&Material> {
        self.materials.get(id).map(Arc::as_ref)
    }

    /// The formula of this id.
    #[must_use]
    pub fn formula(&self, id: &FormulaId) -> Option<&Formula> {
        self.formulas.get(id).map(Arc::as_ref)
    }

    /// Every material, in the order of their ids.
    pub fn materials(&self) -> impl Iterator<Item = &Arc<Material>> {
        self.materials.values()
    }
}
