//! May it be used, and how: limits, preservation, allergens, exposure, cautions.

pub mod allergens;
mod contents;
pub mod exposure;
pub mod exposure_table;
pub mod factor;
#[cfg(test)]
pub(crate) mod fixture;
pub mod interactions;
pub mod keeping;
mod keeping_systems;
mod keeping_words;
mod limit_words;
pub mod limits;
pub mod market;
pub mod natural;
pub mod preservation;
mod tally;

pub(crate) use contents::Contents;
pub(crate) use tally::rounded;
