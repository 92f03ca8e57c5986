//! The built-in materials. They are part of the program, so that a project can be started
//! without any other file; they are read at the first call, not at start.

mod merge;
mod search;
mod words;

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::sync::{Arc, OnceLock};

use quern_calc::formula::{Material, MaterialId};
use quern_calc::quantity::Date;

pub use merge::{Update, apply_updates, updates};
pub use search::{Hit, Needles, SearchIndex, fold, search};

use crate::check::{Problems, check_material, quoted};
use crate::format::{options, v5};
use crate::load::syntax;

// `FILES`: name and content of every file in assets/materials.
include!(concat!(env!("OUT_DIR"), "/materials.rs"));

/// Format of the material files.
const LIBRARY_FORMAT: u32 = 1;

/// The built-in materials.
#[derive(Clone, Debug, PartialEq)]
pub struct BuiltIn {
    /// Edition of the files; empty when there are none.
    pub edition: String,
    /// The latest day that a file speaks for.
    pub as_of: Date,
    /// The materials by id.
    pub materials: BTreeMap<MaterialId, Arc<Material>>,
    /// What was wrong with the files, each in a sentence; empty in a sound build.
    pub problems: Vec<String>,
}

/// The built-in materials, read once. A file that cannot be read is left out and named in
/// `problems`.
#[must_use]
pub fn builtin() -> &'static BuiltIn {
    static BUILT_IN: OnceLock<BuiltIn> = OnceLock::new();
    BUILT_IN.get_or_init(|| read(FILES))
}

fn read(files: &[(&str, &str)]) -> BuiltIn {
    let mut built = BuiltIn {
        edition: String::new(),
        as_of: Date::Y2K,
        materials: BTreeMap::new(),
        problems: Vec::new(),
    };
    let mut problems = Problems::default();
    for (name, text) in files {
        let file: v5::MaterialsFile = match options().from_str(text) {
            Ok(file) => file,
            Err(error) => {
                problems.push(syntax(&error, name).to_string());
                continue;
            }
        };
        if file.format != LIBRARY_FORMAT {
            problems.push(format!("{name}: format {} is not known", file.format));
            continue;
        }
        if built.edition.is_empty() {
            built.edition = file.edition;
        } else if built.edition != file.edition {
            problems.push(format!(
                "{name}: edition {} differs from {}",
                quoted(&file.edition),
                quoted(&built.edition)
            ));
        }
        built.as_of = built.as_of.max(file.as_of.0);
        for material in file.materials {
            let material = material.into_domain(&mut problems);
            check_material(&material, &mut problems);
            if material
                .grain
                .as_ref()
                .is_some_and(|g| !g.value.lots.is_empty() || g.value.lot_in_use.is_some())
            {
                problems.push(format!(
                    "{name}: the material {} has lots; they belong in a project",
                    quoted(material.id.as_str())
                ));
            }
            if material.solids.is_some() {
                problems.push(format!(
                    "{name}: the material {} has a table of solids; it belongs in a project",
                    quoted(material.id.as_str())
                ));
            }
            match built.materials.entry(material.id.clone()) {
                Entry::Vacant(place) => {
                    place.insert(Arc::new(material));
                }
                Entry::Occupied(place) => problems.push(format!(
                    "{name}: the material id {} is used twice",
                    quoted(place.key().as_str())
                )),
            }
        }
    }
    built.problems = problems.into_list();
    built
}

#[cfg(test)]
mod tests {
    use super::read;

    #[test]
    fn lots_do_not_belong_here() {
        let built = read(&[(
            "a.ron",
            "(format: 1, edition: \"1\", as_of: \"2026-11-25\", materials: [(id: \"x\", inci: \
             \"X\", confidence: \"H\", grain: (sizes: Lognormal(d50_um: 300, sigma: 0.3), \
             hardness_mpa: 40, angularity: 0.5, conf: \"H\", basis: \"read\", lots: [(name: \
             \"A\", sizes: Lognormal(d50_um: 200, sigma: 0.3))]))])",
        )]);
        assert_eq!(built.problems, ["a.ron: the material “x” has lots; they belong in a project"]);
    }

    #[test]
    fn nor_do_tables_of_solids() {
        let built = read(&[(
            "a.ron",
            "(format: 1, edition: \"1\", as_of: \"2026-11-25\", materials: [(id: \"x\", inci: \
             \"X\", confidence: \"H\", solids: [(20, 60), (30, 10)])])",
        )]);
        assert_eq!(
            built.problems,
            ["a.ron: the material “x” has a table of solids; it belongs in a project"]
        );
    }

    #[test]
    fn nothing_and_nonsense_do_not_panic() {
        assert!(read(&[]).problems.is_empty());
        let built = read(&[
            ("a.ron", "(format: 1, edition: \"1\", as_of: \"2026-11-25\", materials: [(id: 3)])"),
            ("b.ron", "(format: 9, edition: \"1\", as_of: \"2026-11-25\", materials: [])"),
            (
                "c.ron",
                "(format: 1, edition: \"1\", as_of: \"2026-11-25\", materials: [\
                 (id: \"x\", inci: \"X\", confidence: \"H\"), (id: \"x\", inci: \"X\", confidence: \
                 \"H\", density_solid: (v: NaN, conf: \"H\", basis: \"read\"))])",
            ),
        ]);
        let all = built.problems.join("\n");
        assert_eq!(built.materials.len(), 1);
        for part in ["a.ron, line 1", "b.ron: format 9", "used twice", "density of the solid"] {
            assert!(all.contains(part), "{part} in {all}");
        }
    }
}
