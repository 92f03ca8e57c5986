//! What kept versions and the bin may not hold.

use std::collections::BTreeMap;
use std::sync::Arc;

use quern_calc::formula::{Formula, FormulaId};

use super::{Problems, check_formula, check_plan, quoted};
use crate::Project;
use crate::versions::{KeptVersion, MOST_BINNED, MOST_KEPT};

/// Everything in kept versions and in the bin that a file cannot hold.
pub(super) fn check_kept(project: &Project, problems: &mut Problems) {
    let mut by_formula: BTreeMap<&FormulaId, Vec<&Arc<KeptVersion>>> = BTreeMap::new();
    for kept in &project.kept {
        by_formula.entry(&kept.formula.id).or_default().push(kept);
    }
    for (id, kept) in by_formula {
        match project.formula(id) {
            Some(formula) => {
                let whose = format!("formula {}", quoted(&formula.name));
                check_versions(formula, &kept, &whose, problems);
            }
            None => problems.push(format!(
                "versions are kept of formula {}, which is not there; leave them out, or put the \
                 formula back",
                quoted(id.as_str())
            )),
        }
    }
    if project.bin.len() > MOST_BINNED {
        problems
            .push(format!("the bin has {} formulas; at most {MOST_BINNED} fit", project.bin.len()));
    }
    for binned in &project.bin {
        let place = || format!("formula {} in the bin", quoted(&binned.formula.name));
        check_formula(&binned.formula, &place, problems);
        if let Some(plan) = &binned.plan {
            check_plan(binned.formula.id.as_str(), plan, problems);
        }
        let kept: Vec<&Arc<KeptVersion>> = binned.kept.iter().collect();
        check_versions(&binned.formula, &kept, &place(), problems);
        for other in kept.iter().filter(|k| k.formula.id != binned.formula.id) {
            problems.push(format!(
                "{} has a version of formula {}; keep only its own with it",
                place(),
                quoted(other.formula.id.as_str())
            ));
        }
    }
}

/// The kept versions of one formula.
fn check_versions(
    formula: &Formula,
    kept: &[&Arc<KeptVersion>],
    whose: &str,
    problems: &mut Problems,
) {
    if kept.len() > MOST_KEPT {
        problems.push(format!("{whose} has {} kept versions; at most {MOST_KEPT} fit", kept.len()));
    }
    let mut numbers = vec![formula.version.number];
    for k in kept {
        let number = k.formula.version.number;
        if numbers.contains(&number) {
            problems.push(format!(
                "{whose} has the version number {number} twice; give each version its own"
            ));
        }
        numbers.push(number);
        check_formula(&k.formula, &|| format!("version {number} of {whose}"), problems);
    }
}
