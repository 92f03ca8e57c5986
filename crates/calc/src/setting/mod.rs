//! Does it melt, pour and set: the melt curve of a fat phase, pourability, cooling, densities.

pub mod cooling;
pub mod density;
pub mod melt;
pub mod pour;
