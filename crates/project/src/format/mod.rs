//! The file boundary: versioned file types, and RON with one set of options both ways.
//!
//! File types are not the domain types. A field that is added, renamed or reinterpreted needs a
//! new format number, because a file never holds a field that its reader does not know. Only where
//! every new field has a default and no other changes, one set of types may read several formats.

mod layout;
mod peek;
pub(crate) mod v5;
pub(crate) mod word;

use ron::Options;
use ron::extensions::Extensions;
use ron::ser::PrettyConfig;
use serde::Serialize;

pub(crate) use peek::peek_format;

/// The newest project format that this build reads, and the one that it writes.
pub const FORMAT: u32 = 5;

/// Options for every RON file, both ways: `None` is left out and `Some` is not written, which a
/// reader with other options would not understand.
pub(crate) fn options() -> Options {
    Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

/// RON text of a file value, laid out for people.
pub(crate) fn to_ron<T: Serialize>(value: &T) -> Result<String, ron::Error> {
    let pretty = PrettyConfig::new().new_line("\n").indentor("    ");
    Ok(layout::compact(&options().to_string_pretty(value, pretty)?))
}
