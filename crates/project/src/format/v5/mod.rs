//! Format 5, frozen once released. Formats 2 to 5 add optional fields to format 1 and change
//! none, so these types read files of all five.

mod formula;
mod grain;
mod grit;
mod kept;
mod material;
mod material_in;
mod material_out;
mod notes;
mod plan;
mod project;
mod setting;

pub(crate) use material::MaterialsFile;
pub(crate) use project::File;
