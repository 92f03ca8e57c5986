//! Newer built-in figures for the copies that a project carries.

use std::sync::Arc;

use quern_calc::formula::{Basis, Figure, Material, MaterialId};

use super::words::fields;
use super::{BuiltIn, builtin};
use crate::Project;

/// What a newer edition of the library would change in one material.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Update {
    /// The material.
    pub id: MaterialId,
    /// Its name on screen.
    pub name: String,
    /// Field, before, after; in words.
    pub changes: Vec<(&'static str, String, String)>,
}

/// Materials of the project whose built-in entry differs, in the order of their ids. Prices and
/// figures that the user entered are left out, and so is a material whose entry as a whole is the
/// user's own.
#[must_use]
pub fn updates(project: &Project, builtin: &BuiltIn) -> Vec<Update> {
    project
        .materials
        .values()
        .filter_map(|ours| {
            let merged = merged(ours, builtin.materials.get(&ours.id)?)?;
            let changes: Vec<_> = fields(ours)
                .into_iter()
                .zip(fields(&merged))
                .filter(|((_, before), (_, after))| before != after)
                .map(|((field, before), (_, after))| (field, before, after))
                .collect();
            (!changes.is_empty()).then(|| Update {
                id: ours.id.clone(),
                name: ours.display_name().to_owned(),
                changes,
            })
        })
        .collect()
}

/// Takes over the built-in entries of these materials, as [`updates`] showed them. Returns how
/// many changed.
pub fn apply_updates(project: &mut Project, ids: &[MaterialId]) -> usize {
    apply_from(project, ids, builtin())
}

fn apply_from(project: &mut Project, ids: &[MaterialId], builtin: &BuiltIn) -> usize {
    let mut changed = 0_usize;
    for id in ids {
        let (Some(ours), Some(theirs)) = (project.materials.get_mut(id), builtin.materials.get(id))
        else {
            continue;
        };
        if let Some(merged) = merged(ours, theirs).filter(|m| *m != **ours) {
            *ours = Arc::new(merged);
            changed = changed.saturating_add(1);
        }
    }
    changed
}

fn users<T>(figure: &Figure<T>) -> bool {
    figure.basis == Basis::User
}

/// The built-in entry with what the user entered; `None` when the whole entry is the user's.
fn merged(ours: &Material, theirs: &Material) -> Option<Material> {
    if users(&ours.about) {
        return None;
    }
    let mut new = theirs.clone();
    new.price = ours.price;
    macro_rules! keep {
        ($($field:ident),*) => {
            $(if ours.$field.as_ref().is_some_and(users) {
                new.$field.clone_from(&ours.$field);
            })*
        };
    }
    keep!(
        active,
        process_min_c,
        density_solid,
        density_melt,
        hlb,
        required_hlb,
        natural_origin,
        ph_window,
        oil_absorption,
        flash_point_c,
        grain,
        iodine_value,
        saponification
    );
    if ours.heat_limit_c.as_ref().is_some_and(users) {
        new.heat_limit_c.clone_from(&ours.heat_limit_c);
        new.heat_limit_only_wet = ours.heat_limit_only_wet;
    }
    if ours.melting_c.as_ref().is_some_and(users) {
        new.melting_c.clone_from(&ours.melting_c);
        new.melts_in_process = ours.melts_in_process;
    }
    if ours.water.as_ref().is_some_and(|w| users(&w.percent)) {
        new.water.clone_from(&ours.water);
    }
    // A list is kept whole: half of the user's split and half of ours would add up to nothing.
    if ours.use_levels.iter().any(users) {
        new.use_levels.clone_from(&ours.use_levels);
    }
    if ours.composition.iter().filter_map(|p| p.share.as_ref()).any(users) {
        new.composition.clone_from(&ours.composition);
    }
    if ours.allergens.iter().filter_map(|a| a.high.as_ref()).any(users) {
        new.allergens.clone_from(&ours.allergens);
    }
    if ours.fat.iter().any(users) {
        new.fat.clone_from(&ours.fat);
    }
    Some(new)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use std::collections::BTreeMap;

    use quern_calc::formula::{Confidence, Price};
    use quern_calc::quantity::{Date, Grams, Money};
    use rust_decimal::Decimal;

    use super::*;

    fn read<T>(value: T) -> Figure<T> {
        Figure {
            value,
            confidence: Confidence::High,
            basis: Basis::Read,
            source: Arc::from("a book"),
        }
    }

    fn library(material: Material) -> BuiltIn {
        BuiltIn {
            edition: "2".to_owned(),
            as_of: Date::Y2K,
            materials: BTreeMap::from([(material.id.clone(), Arc::new(material))]),
            problems: Vec::new(),
        }
    }

    #[test]
    fn users_figures_and_prices_stay() {
        let mut theirs = Material::named(MaterialId::new("wax"), "Wax", "Wax");
        theirs.about = read(());
        theirs.density_solid = Some(read(0.96));
        theirs.heat_limit_c = Some(read(90.0));
        theirs.names.push("Cera".to_owned());

        let mut ours = theirs.clone();
        ours.names.pop();
        ours.density_solid = Some(read(0.90));
        ours.heat_limit_c = Some(Figure::user(80.0));
        let price = Price { amount: Money(Decimal::TEN), pack: Grams(Decimal::ONE_HUNDRED) };
        ours.price = Some(price);

        let mut project = Project::blank();
        assert!(project.carry(&Arc::new(ours)));
        let library = library(theirs);
        let found = updates(&project, &library);
        let fields: Vec<_> = found.first().unwrap().changes.iter().map(|c| c.0).collect();
        assert_eq!(fields, ["Names", "Density of the solid"]);

        let id = MaterialId::new("wax");
        assert_eq!(apply_from(&mut project, std::slice::from_ref(&id), &library), 1);
        let now = project.materials.get(&id).unwrap();
        assert_eq!(now.price, Some(price));
        assert_eq!(now.heat_limit_c, Some(Figure::user(80.0)));
        assert_eq!(now.density_solid, Some(read(0.96)));
        assert!(updates(&project, &library).is_empty());
        assert_eq!(apply_from(&mut project, &[id], &library), 0);
    }

    #[test]
    fn an_entry_of_the_users_own_is_left_alone() {
        let ours = Material::named(MaterialId::new("wax"), "Wax", "My wax");
        let mut theirs = ours.clone();
        theirs.about = read(());
        theirs.inci = "Cera Alba".to_owned();
        let mut project = Project::blank();
        project.carry(&Arc::new(ours));
        assert!(updates(&project, &library(theirs)).is_empty());
    }
}
