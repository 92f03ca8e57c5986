//! Reads the format number alone, so that a newer file is known as such whatever else it holds.

use std::cell::Cell;
use std::fmt;

use ron::error::SpannedError;
use serde::Deserialize;
use serde::de::{DeserializeSeed, Deserializer, Error, IgnoredAny, MapAccess, Visitor};

/// The format number; `None` when a well-formed file has none.
pub(crate) fn peek_format(text: &str) -> Result<Option<u32>, SpannedError> {
    let found = Cell::new(None);
    match super::options().from_str_seed(text, Peek(&found)) {
        // Finding the number ends the reading with an error on purpose.
        Err(_) if found.get().is_some() => Ok(found.get()),
        Err(error) => Err(error),
        Ok(()) => Ok(found.get()),
    }
}

#[derive(Deserialize)]
#[serde(field_identifier, rename_all = "lowercase")]
enum Key {
    Format,
    #[serde(other)]
    Other,
}

struct Peek<'a>(&'a Cell<Option<u32>>);

impl<'de> DeserializeSeed<'de> for Peek<'_> {
    type Value = ();
    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        deserializer.deserialize_struct("file", &["format"], self)
    }
}

impl<'de> Visitor<'de> for Peek<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a Quern project, such as (format: {}, ...)", super::FORMAT)
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        while let Some(key) = map.next_key()? {
            match key {
                Key::Format => {
                    self.0.set(Some(map.next_value()?));
                    return Err(A::Error::custom("found"));
                }
                Key::Other => {
                    map.next_value::<IgnoredAny>()?;
                }
            }
        }
        Ok(())
    }
}
