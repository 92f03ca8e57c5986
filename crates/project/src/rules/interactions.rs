//! The file of the figures that interaction rules compare with.

use std::collections::BTreeMap;
use std::fmt;
use std::marker::PhantomData;

use quern_calc::quantity::Date;
use quern_calc::safety::interactions::Interactions;
use serde::Deserialize;
use serde::de::{Deserializer, Error, MapAccess, Visitor};

use super::parts::{Text, Value, edition, texts};
use super::problem::RulesProblem;
use super::read;
use crate::check::quoted;
use crate::format::word::Word;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "interactions")]
struct File {
    #[serde(rename = "format")]
    _format: u32,
    edition: Word<Text>,
    as_of: Word<Date>,
    #[serde(default)]
    figures: Keyed<Value>,
    #[serde(default)]
    lists: Keyed<Vec<Word<Text>>>,
}

/// A map in which no key comes twice; of two, a plain map would keep the last without a word.
#[derive(Debug)]
struct Keyed<T>(BTreeMap<String, T>);

impl<T> Default for Keyed<T> {
    fn default() -> Self {
        Self(BTreeMap::new())
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Keyed<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Reader<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Reader<T> {
            type Value = Keyed<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("entries in braces, such as {\"key\": ...}")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Keyed<T>, A::Error> {
                let mut out = BTreeMap::new();
                while let Some(key) = map.next_key::<Word<Text>>()? {
                    let key = key.0.0;
                    let value = map.next_value()?;
                    if out.contains_key(&key) {
                        return Err(A::Error::custom(format!("{} is there twice", quoted(&key))));
                    }
                    out.insert(key, value);
                }
                Ok(Keyed(out))
            }
        }
        deserializer.deserialize_map(Reader(PhantomData))
    }
}

/// Reads the file; `file` names it in messages.
pub(super) fn read(text: &str, file: &str) -> Result<Interactions, RulesProblem> {
    let read: File = read::read(text, file)?;
    Ok(Interactions {
        edition: edition(&read.edition.0.0, read.as_of.0),
        figures: read.figures.0.into_iter().map(|(k, v)| (k, v.read())).collect(),
        lists: read.lists.0.into_iter().map(|(k, v)| (k, texts(v))).collect(),
    })
}
