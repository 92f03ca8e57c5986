//! Rules of the user's own, from a folder.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use quern_calc::rules::Rules;

use super::problem::RulesProblem;
use super::{builtin_rules, exposure, guides, interactions, market, preservatives};
use crate::load::read_up_to;

/// Largest rules file that is read, in bytes (4 MiB).
pub const MOST_FILE_BYTES: u64 = 4 * 1024 * 1024;
/// Most files that are read from a folder.
pub const MOST_FILES: usize = 50;

/// The built-in rules with the user's own in their place, and what was wrong with those.
///
/// Files of the folder that end in `.ron` are read in the order of their names. `guides.ron`,
/// `preservatives.ron`, `exposure.ron` and `interactions.ron` replace the built-in file of that
/// name; a file of any other name is a market's, and replaces the built-in market of the same
/// code or joins the others. A file that cannot be used is named in the problems, and what is
/// built in stays. A folder that does not exist holds no rules and is no problem.
#[must_use]
pub fn load_user_rules(folder: &Path) -> (Rules, Vec<RulesProblem>) {
    let mut rules = builtin_rules().clone();
    let mut problems = Vec::new();
    let mut files = match list(folder) {
        Ok(files) => files,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return (rules, problems),
        Err(error) => {
            let folder = folder.display().to_string();
            problems.push(RulesProblem::Folder { folder, message: error.to_string() });
            return (rules, problems);
        }
    };
    if files.len() > MOST_FILES {
        problems.push(RulesProblem::TooMany {
            folder: folder.display().to_string(),
            found: files.len(),
            most: MOST_FILES,
        });
        files.truncate(MOST_FILES);
    }
    let mut markets = BTreeMap::new();
    for path in files {
        if let Err(problem) = take(&path, &mut rules, &mut markets) {
            log::warn!("own rules: {problem}");
            problems.push(problem);
        }
    }
    (rules, problems)
}

/// Rules files of a folder by name. Hidden files are left out: editors keep copies in them.
fn list(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        let is_rules = path.extension().is_some_and(|e| e.eq_ignore_ascii_case("ron"));
        let is_hidden = path.file_name().is_some_and(|n| n.to_string_lossy().starts_with('.'));
        if is_rules && !is_hidden && path.is_file() {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

/// Puts what a file holds into the rules. `markets`: codes that a file was read for, with it.
fn take(
    path: &Path,
    rules: &mut Rules,
    markets: &mut BTreeMap<String, String>,
) -> Result<(), RulesProblem> {
    let file = path.display().to_string();
    let bytes = read_up_to(path, MOST_FILE_BYTES)?;
    let text = std::str::from_utf8(&bytes)
        .map_err(|e| RulesProblem::NotText { file: file.clone(), offset: e.valid_up_to() })?;
    let name = path.file_name().map(|n| n.to_string_lossy().to_lowercase()).unwrap_or_default();
    match name.as_str() {
        "guides.ron" => guides::read(text, &file)?.put_in(rules),
        "preservatives.ron" => rules.preservatives = Arc::new(preservatives::read(text, &file)?),
        "exposure.ron" => rules.exposure = Arc::new(exposure::read(text, &file)?),
        "interactions.ron" => rules.interactions = Arc::new(interactions::read(text, &file)?),
        _ => {
            let market = Arc::new(market::read(text, &file)?);
            if let Some(first) = markets.get(&market.code) {
                let (code, first) = (market.code.clone(), first.clone());
                return Err(RulesProblem::Twice { file, code, first });
            }
            markets.insert(market.code.clone(), file);
            match rules.markets.iter_mut().find(|m| m.code == market.code) {
                Some(place) => *place = market,
                None => rules.markets.push(market),
            }
        }
    }
    Ok(())
}
