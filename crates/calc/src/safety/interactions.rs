//! Figures of the interaction rules, as data: what a rule compares with, and where that is from.

use std::collections::BTreeMap;

use crate::formula::Figure;

/// Figures by key, such as "free-water-emulsion" in %.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Interactions {
    /// Edition of the data.
    pub edition: String,
    /// The figures.
    pub figures: BTreeMap<String, Figure<f64>>,
    /// Lists of INCI names by key, such as "ethoxylates".
    pub lists: BTreeMap<String, Vec<String>>,
}

impl Interactions {
    /// A figure.
    #[must_use]
    pub fn figure(&self, key: &str) -> Option<&Figure<f64>> {
        self.figures.get(key)
    }

    /// True when a list of this key holds the name, letter case aside.
    #[must_use]
    pub fn lists(&self, key: &str, inci: &str) -> bool {
        self.lists.get(key).is_some_and(|l| l.iter().any(|x| x.eq_ignore_ascii_case(inci)))
    }
}
