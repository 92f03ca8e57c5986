//! Rules as data: guides, law by market, preservatives, exposure, figures of interactions.
//!
//! The built-in files stand in `assets/rules` and are part of the program. A user's own files
//! replace them one by one: [`load_user_rules`]. Whatever is in a file, reading it gives rules or
//! a [`RulesProblem`], never a panic.

mod exposure;
mod guides;
mod interactions;
mod label;
mod market;
mod market_check;
mod parts;
mod preservatives;
mod problem;
mod ranges;
mod read;
mod user;

use std::sync::{Arc, OnceLock};

use quern_calc::rules::Rules;

pub use problem::RulesProblem;
pub use ranges::{UsualRanges, usual_ranges};
pub use user::{MOST_FILE_BYTES, MOST_FILES, load_user_rules};

const GUIDES: &str = include_str!("../../../../assets/rules/guides.ron");
const PRESERVATIVES: &str = include_str!("../../../../assets/rules/preservatives.ron");
const EXPOSURE: &str = include_str!("../../../../assets/rules/exposure.ron");
const INTERACTIONS: &str = include_str!("../../../../assets/rules/interactions.ron");
const MARKETS: [(&str, &str); 2] = [
    ("markets/eu.ron", include_str!("../../../../assets/rules/markets/eu.ron")),
    ("markets/us.ron", include_str!("../../../../assets/rules/markets/us.ron")),
];

struct BuiltIn {
    rules: Rules,
    problems: Vec<RulesProblem>,
}

fn built_in() -> &'static BuiltIn {
    static RULES: OnceLock<BuiltIn> = OnceLock::new();
    RULES.get_or_init(|| {
        let mut problems = Vec::new();
        let mut keep = |result: Result<(), RulesProblem>| {
            if let Err(problem) = result {
                log::error!("built-in rules: {problem}");
                problems.push(problem);
            }
        };
        // Tests keep the files sound; what cannot be read is left as the crate's defaults.
        let mut rules = Rules::default();
        keep(guides::read(GUIDES, "guides.ron").map(|g| g.put_in(&mut rules)));
        keep(preservatives::read(PRESERVATIVES, "preservatives.ron").map(|p| {
            rules.preservatives = Arc::new(p);
        }));
        keep(exposure::read(EXPOSURE, "exposure.ron").map(|e| rules.exposure = Arc::new(e)));
        keep(interactions::read(INTERACTIONS, "interactions.ron").map(|i| {
            rules.interactions = Arc::new(i);
        }));
        for (name, text) in MARKETS {
            keep(market::read(text, name).map(|m| rules.markets.push(Arc::new(m))));
        }
        BuiltIn { rules, problems }
    })
}

/// The built-in rules, read at the first call.
#[must_use]
pub fn builtin_rules() -> &'static Rules {
    &built_in().rules
}

/// What was wrong with the built-in files; empty in a sound build.
#[must_use]
pub fn builtin_problems() -> &'static [RulesProblem] {
    &built_in().problems
}

static OWN: OnceLock<Rules> = OnceLock::new();

/// The rules that the program runs with: those of the user's folder once [`use_folder`] was
/// called, else the built-in ones.
#[must_use]
pub fn in_use() -> &'static Rules {
    OWN.get().unwrap_or_else(|| builtin_rules())
}

/// Takes the user's own rules from a folder, once at the start of the program; what was wrong
/// with them comes back, and what is built in stays in its place. Later calls change nothing.
pub fn use_folder(folder: &std::path::Path) -> Vec<RulesProblem> {
    let (rules, problems) = load_user_rules(folder);
    let _ = OWN.set(rules);
    problems
}
