//! Does it melt, pour and set: the melt curve of a fat phase, and densities.

pub mod density;
pub mod melt;
