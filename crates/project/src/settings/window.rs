//! Where the window was and what it looked like.

use ron::Value;
use serde::Serialize;

/// Columns that are remembered.
pub const MOST_COLUMNS: usize = 32;
/// Longest key of a column or view that is kept, in bytes.
const MOST_KEY: usize = 64;
/// Widest column that is kept, in points.
const MOST_WIDTH: f32 = 4_000.0;
/// Smallest window that is restored, in points; the window itself allows no smaller one.
const LEAST_SIZE: [f32; 2] = [320.0, 200.0];
/// Largest window that is restored, in points.
const MOST_SIZE: f32 = 20_000.0;
/// How far from the first screen's corner a window can lie, in points: several screens.
const MOST_PLACE: f32 = 30_000.0;

/// Place and size of the window in points. Without a place the system chooses one.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct WindowPlace {
    /// Left upper corner with its frame; some systems do not tell.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<(f32, f32)>,
    /// Size without its frame.
    pub size: (f32, f32),
    /// Fills the screen.
    pub maximised: bool,
}

impl WindowPlace {
    /// What can be restored of this: a size that a window can have, and a place only where a
    /// screen could be.
    #[must_use]
    pub fn plausible(self) -> Option<Self> {
        let fits = |v: f32, least: f32| (least..=MOST_SIZE).contains(&v);
        let near = |v: f32| (-MOST_PLACE..=MOST_PLACE).contains(&v);
        let (w, h) = self.size;
        (fits(w, LEAST_SIZE[0]) && fits(h, LEAST_SIZE[1]))
            .then(|| Self { at: self.at.filter(|(x, y)| near(*x) && near(*y)), ..self })
    }
}

/// A column of a table as the user has it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ColumnSetting {
    /// Which.
    pub key: String,
    /// Its width in points.
    pub width: f32,
    /// True while it is shown.
    pub shown: bool,
}

/// The entries of a record.
fn entries(value: Value) -> Option<Vec<(String, Value)>> {
    let Value::Map(map) = value else { return None };
    map.into_iter()
        .map(|(key, value)| match key {
            Value::String(key) => Some((key, value)),
            _ => None,
        })
        .collect()
}

fn pair(value: Value) -> Option<(f32, f32)> {
    value.into_rust().ok().filter(|(x, y): &(f32, f32)| x.is_finite() && y.is_finite())
}

/// Reads a place of the window.
pub(super) fn place(value: Value) -> Result<WindowPlace, String> {
    let expected = || {
        "expected (at: (x, y), size: (width, height), maximised: true or false) with a size that \
         a window can have"
            .to_owned()
    };
    let (mut at, mut size, mut maximised) = (None, None, false);
    for (key, value) in entries(value).ok_or_else(expected)? {
        match key.as_str() {
            "at" => at = Some(pair(value).ok_or_else(expected)?),
            "size" => size = Some(pair(value).ok_or_else(expected)?),
            "maximised" => maximised = value.into_rust().map_err(|_| expected())?,
            _ => return Err(expected()),
        }
    }
    let place = WindowPlace { at, size: size.ok_or_else(expected)?, maximised };
    place.plausible().ok_or_else(expected)
}

fn column(value: Value) -> Option<ColumnSetting> {
    let (mut key, mut width, mut shown) = (None, None, None);
    for (name, value) in entries(value)? {
        match name.as_str() {
            "key" => key = super::short(value, MOST_KEY),
            "width" => width = value.into_rust::<f32>().ok(),
            "shown" => shown = value.into_rust::<bool>().ok(),
            _ => return None,
        }
    }
    let width = width.filter(|w| (0.0..=MOST_WIDTH).contains(w))?;
    Some(ColumnSetting { key: key?, width, shown: shown? })
}

/// Reads columns; those that cannot be used are left out, and how many they were is said.
pub(super) fn columns(value: Value) -> (Vec<ColumnSetting>, Result<(), String>) {
    let Value::Seq(list) = value else {
        return (Vec::new(), Err("expected a list of columns".to_owned()));
    };
    let all = list.len();
    let mut out: Vec<ColumnSetting> = Vec::new();
    for value in list {
        if let Some(column) = column(value)
            && out.len() < MOST_COLUMNS
            && out.iter().all(|c| c.key != column.key)
        {
            out.push(column);
        }
    }
    let lost = all.saturating_sub(out.len());
    let said = if lost == 0 {
        Ok(())
    } else {
        Err(format!(
            "{lost} of {all} columns cannot be used; expected (key: \"...\", width: 0 to \
             {MOST_WIDTH}, shown: true or false), each key once, at most {MOST_COLUMNS}"
        ))
    };
    (out, said)
}

/// Reads the key of a view.
pub(super) fn view(value: Value) -> Result<String, String> {
    super::short(value, MOST_KEY).ok_or_else(|| "expected the name of a view in quotes".to_owned())
}
