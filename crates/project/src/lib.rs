//! Project files and the materials library; the only crate that touches disk.

mod model;

pub use model::Project;
