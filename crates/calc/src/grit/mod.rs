//! How rough is it: grain sizes, sieves, the blend of grains and the grit index.
//!
//! The index is a relative figure from a wear model. It is not a safety test, and no skin study
//! stands behind its constants.

pub mod axis;
pub mod blend;
pub mod calibrate;
pub mod entry;
pub mod index;
pub mod map;
pub(crate) mod normal;
pub mod notes;
pub mod sieves;
pub mod sizes;
pub mod solve;
pub mod spread;
pub mod surface;
pub mod table;

pub use blend::{Grain, GrainStats};
pub use index::{Band, Grit, GritModel, grit};
pub use notes::{GritNotes, Score};
pub use sizes::{GrainSize, SizeData, SizeError};
pub use surface::{IndexSurface, Stage};
pub use table::{SieveFit, SieveRow, SieveTable};
