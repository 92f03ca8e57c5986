//! Project files and the materials library; the only crate that touches disk.
//!
//! | module | what it holds |
//! |---|---|
//! | [`mod@load`] | a file becomes a [`Project`], or words on why not |
//! | [`mod@save`] | a [`Project`] becomes a file, whole or not at all |
//! | [`library`] | the built-in materials, search, and updates of a project's copies |
//! | [`rules`] | guides, law by market, preservatives, exposure: built in, and the user's own |
//! | [`settings`] | what the user prefers |
//! | [`versions`] | kept versions, what may not change, and the bin |
//! | [`folders`] | where settings, own rules, log and panic reports live |
//!
//! Nothing here opens a network connection, and no input can panic it: a file that cannot be
//! used gives an error that names the place and what was expected there.

mod check;
mod fingerprint;
pub mod folders;
mod format;
pub mod library;
pub mod load;
mod model;
mod output;
mod recent;
pub mod rules;
mod samples;
pub mod save;
pub mod settings;
pub mod versions;

pub use check::unsaveable;
pub use fingerprint::Fingerprint;
pub use format::FORMAT;
pub use load::{LoadError, Loaded, load, parse};
pub use model::Project;
pub use output::{WriteError, open_log, write_file};
pub use recent::is_there;
pub use samples::{DEMOS, Demo, demo, demo_text, skeletons, skeletons_text};
pub use save::{SaveError, backup_path, save, to_text};
pub use versions::{Binned, KeptVersion, VersionError};
