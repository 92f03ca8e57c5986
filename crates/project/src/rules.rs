//! The built-in guides.

use std::sync::OnceLock;

use quern_calc::formula::{Form, Function, Place};
use quern_calc::quantity::{Date, Percent};
use quern_calc::rules::{GrainGuide, NeededFunctions, Rules};
use rust_decimal::Decimal;
use serde::Deserialize;

use crate::format::options;
use crate::format::word::Word;

const GUIDES: &str = include_str!("../../../assets/rules/guides.ron");

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "guides")]
struct File {
    format: u32,
    edition: String,
    as_of: Word<Date>,
    grains: Vec<Grains>,
    needed: Vec<Needed>,
    free_water_max: Word<Decimal>,
    wet_above: Word<Decimal>,
    hot_from_c: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "grains")]
struct Grains {
    place: Word<Place>,
    d90_um: Option<f64>,
    index: Option<f64>,
    load: Option<Word<Decimal>>,
    sharp_share: Option<f64>,
    sharp_above_um: f64,
    sharp_angularity: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "needed")]
struct Needed {
    form: Word<Form>,
    any_of: Vec<Vec<Word<Function>>>,
}

fn read(text: &str) -> Result<Rules, String> {
    let file: File = options().from_str(text).map_err(|e| e.to_string())?;
    if file.format != 1 {
        return Err(format!("guides of format {} are not known", file.format));
    }
    Ok(Rules {
        edition: file.edition,
        as_of: file.as_of.0,
        grains: file
            .grains
            .into_iter()
            .map(|g| GrainGuide {
                place: g.place.0,
                d90_um: g.d90_um,
                index: g.index,
                load: g.load.map(|w| Percent(w.0)),
                sharp_share: g.sharp_share,
                sharp_above_um: g.sharp_above_um,
                sharp_angularity: g.sharp_angularity,
            })
            .collect(),
        needed: file
            .needed
            .into_iter()
            .map(|n| NeededFunctions {
                form: n.form.0,
                any_of: n
                    .any_of
                    .into_iter()
                    .map(|list| list.into_iter().map(|w| w.0).collect())
                    .collect(),
            })
            .collect(),
        free_water_max: Percent(file.free_water_max.0),
        wet_above: Percent(file.wet_above.0),
        hot_from_c: file.hot_from_c,
        ..Rules::default()
    })
}

/// The built-in guides, read at the first call.
#[must_use]
pub fn builtin_rules() -> &'static Rules {
    static RULES: OnceLock<Rules> = OnceLock::new();
    RULES.get_or_init(|| {
        // A test keeps the file sound; the same guides in code stand in all the same.
        read(GUIDES).unwrap_or_else(|problem| {
            log::error!("built-in guides: {problem}");
            Rules::default()
        })
    })
}

/// The rules that the program runs with.
#[must_use]
pub fn in_use() -> &'static Rules {
    builtin_rules()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_and_the_defaults_agree() {
        assert_eq!(read(GUIDES), Ok(Rules::default()));
        assert_eq!(*builtin_rules(), Rules::default());
    }
}
