//! Format 2, frozen once released. It adds optional fields to format 1 and changes none, so
//! these types read files of both.

mod formula;
mod grain;
mod grit;
mod material;
mod material_in;
mod material_out;
mod plan;
mod project;

pub(crate) use material::MaterialsFile;
pub(crate) use project::File;
