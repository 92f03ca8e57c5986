//! Exfoliants named in arguments: of the project, or of the built-in library.

use std::collections::BTreeMap;
use std::sync::Arc;

use quern_calc::formula::{Function, Library, Material, MaterialId};
use quern_project::Project;

use super::super::Bad;
use super::super::input::Source;
use super::super::text::quoted;

/// Names that an error lists.
const MOST_NAMES: usize = 4;

/// Adds materials of the built-in library to what lines can refer to. The project stays as it is.
pub(super) fn reach(source: &mut Source, materials: &[Arc<Material>]) {
    let project = &source.project;
    let new = materials.iter().filter(|m| !project.materials.contains_key(&m.id)).cloned();
    let all = project.materials.values().cloned().chain(new);
    source.library = Library::new(all, project.formulas.iter().cloned());
}

/// The exfoliant of a name or id, that of the project before one of the built-in library.
///
/// # Errors
/// When there is none, several have the name, or it is another kind of material.
pub(super) fn exfoliant(project: &Project, option: &str, text: &str) -> Result<Arc<Material>, Bad> {
    let found = material(project, option, text)?;
    if found.function == Some(Function::Exfoliant) {
        return Ok(found);
    }
    Err(Bad::new(format!(
        "--{option} {}: {} is no exfoliant; name one",
        quoted(text),
        quoted(found.display_name())
    )))
}

/// The material of a name or id.
pub(super) fn material(project: &Project, option: &str, text: &str) -> Result<Arc<Material>, Bad> {
    let builtin = &quern_project::library::builtin().materials;
    let id = MaterialId::new(text.trim());
    if let Some(found) = project.materials.get(&id).or_else(|| builtin.get(&id)) {
        return Ok(Arc::clone(found));
    }
    let own = named(&project.materials, text);
    let list = if own.is_empty() { named(builtin, text) } else { own };
    match list.as_slice() {
        [one] => Ok(Arc::clone(one)),
        [] => Err(not_there(project, option, text)),
        several => {
            let ids: Vec<String> = several.iter().map(|m| quoted(m.id.as_str())).collect();
            Err(Bad::new(format!(
                "--{option} {}: {} materials have that name; give the id instead: {}",
                quoted(text),
                several.len(),
                ids.join(", ")
            )))
        }
    }
}

/// Those that have the name. A first name decides before other names, those before INCI names.
fn named<'a>(
    materials: &'a BTreeMap<MaterialId, Arc<Material>>,
    text: &str,
) -> Vec<&'a Arc<Material>> {
    let wanted = text.trim().to_lowercase();
    let same = |name: &str| name.to_lowercase() == wanted;
    let tests: [&dyn Fn(&Material) -> bool; 3] =
        [&|m| same(m.display_name()), &|m| m.names.iter().any(|n| same(n)), &|m| {
            same(&m.inci) || same(&m.inci_and_form())
        }];
    tests
        .into_iter()
        .map(|test| materials.values().filter(|m| test(m)).collect::<Vec<_>>())
        .find(|found| !found.is_empty())
        .unwrap_or_default()
}

/// Names the exfoliants that come nearest to what was typed.
fn not_there(project: &Project, option: &str, text: &str) -> Bad {
    let builtin = &quern_project::library::builtin().materials;
    let own = project.materials.values();
    let others = builtin.values().filter(|m| !project.materials.contains_key(&m.id));
    let pool: Vec<&Arc<Material>> =
        own.chain(others).filter(|m| m.function == Some(Function::Exfoliant)).collect();
    let hits = quern_project::library::search(text, pool.iter().copied(), MOST_NAMES);
    let names: Vec<String> = hits
        .iter()
        .filter_map(|hit| pool.iter().find(|m| m.id == hit.id))
        .map(|m| quoted(m.display_name()))
        .collect();
    let nearest = if names.is_empty() {
        "give a name or id as the project or the material library shows it".to_owned()
    } else {
        format!("did you mean {}?", names.join(", "))
    };
    Bad::new(format!(
        "--{option} {}: neither the project nor the built-in library has it; {nearest}",
        quoted(text)
    ))
}
