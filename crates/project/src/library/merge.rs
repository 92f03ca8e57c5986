//! Newer built-in figures for the copies that a project carries.

use std::sync::Arc;

use quern_calc::formula::{Basis, Figure, Material, MaterialId, OwnSolids};

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

/// Materials of the project whose built-in entry differs, in the order of their ids. Prices, lots
/// of grains, tables of solid fat and figures that the user entered are left out, and so is a
/// material whose entry as a whole is the user's own.
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
    keep_lots(ours, &mut new);
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
    keep_solids(ours, &mut new);
    Some(new)
}

/// The table of solid fat is the user's; the library's fat parts only say what its fit stands on.
fn keep_solids(ours: &Material, new: &mut Material) {
    new.solids.clone_from(&ours.solids);
    if let Some(own) = ours.solids.as_ref().filter(|_| new.fat != ours.fat)
        && let Ok(refitted) = OwnSolids::new(own.table.clone(), &new.fat)
    {
        new.solids = Some(refitted);
    }
}

/// Lots are the user's, whoever stated the rest of the grains.
fn keep_lots(ours: &Material, new: &mut Material) {
    match (&ours.grain, &mut new.grain) {
        (Some(ours), Some(new)) => {
            new.value.lots.clone_from(&ours.value.lots);
            new.value.lot_in_use.clone_from(&ours.value.lot_in_use);
        }
        // Lots hang on the grains, so both stay.
        (Some(ours), None) if !ours.value.lots.is_empty() => new.grain = Some(ours.clone()),
        (Some(_), None) | (None, _) => {}
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use std::collections::BTreeMap;

    use quern_calc::formula::{Confidence, FatPart, GrainData, GrainLot, Price};
    use quern_calc::grit::sizes::SizeData;
    use quern_calc::quantity::{Date, Grams, Money};
    use quern_calc::setting::table::SolidTable;
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
    fn lots_stay_and_are_no_change() {
        let grain = GrainData {
            sizes: SizeData::Lognormal { d50_um: 300.0, sigma: 0.3 },
            assumed_size: false,
            hardness_mpa: 40.0,
            angularity: 0.5,
            mohs: None,
            dissolves_um_per_s: None,
            lots: Vec::new(),
            lot_in_use: None,
        };
        let mut theirs = Material::named(MaterialId::new("oat"), "Oat", "Oat");
        theirs.about = read(());
        theirs.grain = Some(read(grain.clone()));
        let mut ours = theirs.clone();
        let sizes = SizeData::Below { um: 500.0, share: 0.95, sigma: 0.35 };
        let lot = GrainLot { name: "A".to_owned(), stated: "95 % below 500".to_owned(), sizes };
        let lots = GrainData { lots: vec![lot], lot_in_use: Some("A".to_owned()), ..grain.clone() };
        ours.grain = Some(read(lots.clone()));
        let id = [ours.id.clone()];
        let mut project = Project::blank();
        project.carry(&Arc::new(ours));
        let grain_now = |project: &Project| {
            project.materials.values().next().unwrap().grain.clone().map(|g| g.value)
        };

        assert!(updates(&project, &library(theirs.clone())).is_empty());
        assert_eq!(apply_from(&mut project, &id, &library(theirs.clone())), 0);

        theirs.grain = Some(read(GrainData { hardness_mpa: 60.0, ..grain }));
        let found = updates(&project, &library(theirs.clone()));
        let change = found.first().unwrap().changes.first().unwrap();
        assert!(change.0 == "Grains" && !change.1.contains("500"), "{change:?}");
        assert_eq!(apply_from(&mut project, &id, &library(theirs.clone())), 1);
        let lots = GrainData { hardness_mpa: 60.0, ..lots };
        assert_eq!(grain_now(&project), Some(lots.clone()));

        theirs.grain = None;
        assert!(updates(&project, &library(theirs.clone())).is_empty());
        assert_eq!(apply_from(&mut project, &id, &library(theirs)), 0);
        assert_eq!(grain_now(&project), Some(lots));
    }

    #[test]
    fn a_table_of_solids_stays_and_is_no_change() {
        let part = |molar_mass| {
            let crystal = Some((38.0, 130.0));
            let (name, group) = ("Stearins".to_owned(), "other".to_owned());
            read(FatPart { name, share: 1.0, molar_mass, crystal, group })
        };
        let table = SolidTable { rows: vec![(20.0, 60.0), (30.0, 20.0)] };
        let mut theirs = Material::named(MaterialId::new("shea"), "Shea", "Shea");
        theirs.about = read(());
        theirs.fat = vec![part(885.0)];
        let mut ours = theirs.clone();
        ours.solids = Some(OwnSolids::new(table.clone(), &ours.fat).unwrap());
        let id = [ours.id.clone()];
        let mut project = Project::blank();
        project.carry(&Arc::new(ours.clone()));
        let solids_now =
            |project: &Project| project.materials.values().next().unwrap().solids.clone();

        assert!(updates(&project, &library(theirs.clone())).is_empty());
        assert_eq!(apply_from(&mut project, &id, &library(theirs.clone())), 0);

        theirs.density_melt = Some(read(0.89));
        assert_eq!(apply_from(&mut project, &id, &library(theirs.clone())), 1);
        assert_eq!(solids_now(&project), ours.solids, "what the fit stands on is the same");

        theirs.fat = vec![part(700.0)];
        let found = updates(&project, &library(theirs.clone()));
        let fields: Vec<_> = found.first().unwrap().changes.iter().map(|c| c.0).collect();
        assert_eq!(fields, ["Fat parts"]);
        assert_eq!(apply_from(&mut project, &id, &library(theirs.clone())), 1);
        let refitted = OwnSolids::new(table.clone(), &theirs.fat).unwrap();
        assert_eq!(solids_now(&project), Some(refitted.clone()));
        assert!(ours.solids != Some(refitted));

        theirs.fat.clear();
        assert_eq!(apply_from(&mut project, &id, &library(theirs.clone())), 1);
        assert_eq!(solids_now(&project), Some(OwnSolids::new(table, &[]).unwrap()));
        assert!(updates(&project, &library(theirs)).is_empty());
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
