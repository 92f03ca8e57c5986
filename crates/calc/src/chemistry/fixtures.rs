//! Small formulas for the tests of this module.
#![allow(clippy::unwrap_used)]

use std::sync::Arc;

use crate::evaluate::Opened;
use crate::formula::{
    Amount, AtPour, FatPart, Figure, Formula, FormulaId, Function, Item, Library, Material,
    MaterialId, PhaseId, Water, WaterKind,
};
use crate::quantity::Percent;

/// Opens a formula of these materials and amounts in %, and looks at it.
pub(crate) fn open<T>(lines: Vec<(Material, &str)>, look: impl Fn(&Opened<'_>) -> T) -> T {
    let mut formula = Formula::empty(FormulaId::new("f"), "Test");
    for (m, amount) in &lines {
        let id = formula.add_line(PhaseId(1), Item::Material(m.id.clone()), None).unwrap();
        formula.set_amount(id, Some(Amount::percent(amount.parse().unwrap()))).unwrap();
    }
    let library = Library::new(lines.into_iter().map(|(m, _)| Arc::new(m)), []);
    look(&Opened::new(&formula, &library))
}

/// A share of water.
pub(crate) fn with_water(m: Material, percent: &str, kind: WaterKind) -> Material {
    let percent = Figure::user(Percent(percent.parse().unwrap()));
    Material { water: Some(Water { percent, kind }), ..m }
}

/// Water itself.
pub(crate) fn water() -> Material {
    let m = Material {
        function: Some(Function::Solvent),
        at_pour: Some(AtPour::Liquid),
        ..Material::named(MaterialId::new("aqua"), "Aqua", "Water")
    };
    with_water(m, "100", WaterKind::Free)
}

/// A solid fat of one crystal.
pub(crate) fn fat(name: &str, group: &str) -> Material {
    let part = FatPart {
        name: name.to_owned(),
        share: 1.0,
        molar_mass: 284.48,
        crystal: Some((69.3, 61.2)),
        group: group.to_owned(),
    };
    Material {
        function: Some(Function::Structure),
        at_pour: Some(AtPour::Melts),
        fat: vec![Figure::user(part)],
        ..Material::named(MaterialId::new(name), name, name)
    }
}
