//! How much of a kind of product reaches the skin in a day, as data.

use super::market::When;
use crate::formula::Figure;

/// One line of an exposure table.
#[derive(Clone, Debug, PartialEq)]
pub struct ExposureLine {
    /// Product, such as "Shower gel".
    pub name: String,
    /// Amount applied, g a day.
    pub g_day: f64,
    /// Amount applied, mg per kg of body weight a day; not all tables print it.
    pub mg_kg_day: Option<f64>,
    /// Share that stays, 0 to 1.
    pub retention: f64,
    /// Exposure, g a day.
    pub e_g_day: f64,
    /// Exposure, mg per kg of body weight a day.
    pub e_mg_kg_day: f64,
    /// Skin area in cm² and uses a day, for absorption by area.
    pub area: Option<(f64, f64)>,
    /// Source and how far to trust it.
    pub about: Figure<()>,
}

/// Which line stands for which product.
#[derive(Clone, Debug, PartialEq)]
pub struct ExposureFor {
    /// Products.
    pub when: When,
    /// Name of the line.
    pub line: String,
    /// Why that line, where it is a stand-in; empty where it is the product itself.
    pub why: String,
}

/// An exposure table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ExposureTable {
    /// Edition of the table.
    pub edition: String,
    /// Body weight behind it in kg.
    pub body_weight_kg: f64,
    /// Lines.
    pub lines: Vec<ExposureLine>,
    /// First match counts.
    pub products: Vec<ExposureFor>,
}

impl ExposureTable {
    /// The line of this name.
    #[must_use]
    pub fn line(&self, name: &str) -> Option<&ExposureLine> {
        self.lines.iter().find(|l| l.name == name)
    }
}
