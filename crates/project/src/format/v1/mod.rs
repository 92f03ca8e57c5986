//! Format 1, frozen once released.

mod formula;
mod material;
mod material_in;
mod material_out;
mod plan;
mod project;

pub(crate) use material::MaterialsFile;
pub(crate) use project::File;
