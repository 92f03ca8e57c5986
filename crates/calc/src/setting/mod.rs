//! Does it melt, pour and set: the melt curve of a fat phase, pourability, cooling, shelf, and
//! what a workshop measures itself.

pub mod calibrate;
pub mod cooling;
pub mod density;
pub mod melt;
pub mod mould;
pub mod notes;
pub mod pour;
pub mod shelf;
pub mod table;
