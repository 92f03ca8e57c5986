//! May it be used, and how: limits, preservation, allergens, exposure, cautions.

pub mod allergens;
pub mod contents;
pub mod exposure;
pub mod exposure_table;
pub mod factor;
pub mod interactions;
pub mod keeping;
mod keeping_words;
mod limit_words;
pub mod limits;
pub mod market;
pub mod natural;
pub mod preservation;
mod tally;
