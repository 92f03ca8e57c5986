//! May it be used, and how: limits, preservation, allergens, exposure, cautions.

pub mod exposure;
pub mod exposure_table;
pub mod interactions;
pub mod keeping;
mod keeping_words;
pub mod market;
pub mod natural;
pub mod preservation;
