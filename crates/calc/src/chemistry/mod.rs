//! Does it hold together: emulsifiers, surfactants, acids and water as chemistry sees them.
//!
//! Small pure functions, each with its equation, source and range beside it, and three that read
//! an opened formula: [`emulsion::hlb_figures`], [`actives::active_matter`] and
//! [`water_activity::estimate`]. What they give is an estimate for the bench: only a measured pH,
//! a measured water activity and a challenge test say how a product behaves.

pub mod acid;
pub mod actives;
pub mod emulsion;
#[cfg(test)]
pub(crate) mod fixtures;
pub mod hlb;
pub mod molar;
pub mod pka;
pub mod solutes;
pub mod water_activity;
