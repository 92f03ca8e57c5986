//! The index scale: bands, and where each blend stands with its spread.

use quern_calc::evaluate::BlendSide;
use quern_calc::grit::Band;
use quern_calc::grit::spread::{DRAWS, Spread};
use quern_calc::number::{NumberStyle, format_f64};

use crate::text::clean;

/// Size of a step along the scale: index 0 to 10 takes as much room as 10 to 30.
const KNEE: f64 = 10.0;

/// Least index at the right end, so that "coarse" has room for its name.
const TOP_LEAST: f64 = 220.0;

/// Difference of two indices that can be seen on the scale.
const SEEN: f64 = 0.5;

/// What the index means and does not mean.
pub(super) const MEANING: &str = "Relative index from a wear model: 50 is a medium fruit-stone \
    grade at 5 %. It ranks blends; it is not a safety test, and no skin study stands behind its \
    constants";

/// The scale with its places as shares of the width, 0 to 1.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Scale {
    /// Where each band begins and ends, and its name.
    pub bands: Vec<(f64, f64, &'static str)>,
    /// Where the bands meet, with the index there.
    pub edges: Vec<(f64, String)>,
    pub rows: Vec<ScaleRow>,
    /// What the bars and hollow marks are; empty without any.
    pub key: String,
}

/// One blend on the scale.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct ScaleRow {
    pub name: String,
    /// "72", or why there is none.
    pub index: String,
    /// "spread 60 to 92", or empty.
    pub spread: String,
    pub at: Option<f64>,
    pub range: Option<(f64, f64)>,
    /// Where the index in use is another.
    pub in_use: Option<f64>,
}

impl Scale {
    /// The scale; `None` without a blend that has an index.
    pub fn new(
        sides: &[BlendSide<'_>],
        names: &[String],
        spreads: &[Option<Spread>],
        style: NumberStyle,
    ) -> Option<Self> {
        let whole = |x: f64| format_f64(x, 0, style);
        let grains = |s: &BlendSide<'_>| s.evaluation.grains.as_ref().ok().map(|f| f.grit.clone());
        let spread = |at: usize| {
            let spread = spreads.get(at).and_then(Option::as_ref);
            spread.filter(|s| s.low.is_finite() && s.high.is_finite())
        };
        let most = sides
            .iter()
            .enumerate()
            .filter_map(|(at, s)| {
                let index = grains(s)?.index;
                Some(spread(at).map_or(index, |s| s.high.max(index)))
            })
            .filter(|x| x.is_finite())
            .reduce(f64::max)?;
        let top = (most * 1.08).max(TOP_LEAST);
        let place =
            |index: f64| ((index.max(0.0) / KNEE).ln_1p() / (top / KNEE).ln_1p()).clamp(0.0, 1.0);

        let mut ends: Vec<f64> = vec![0.0];
        ends.extend(Band::EDGES.map(place));
        ends.push(1.0);
        let rows: Vec<ScaleRow> = sides
            .iter()
            .zip(names)
            .enumerate()
            .map(|(at, (side, name))| match &side.evaluation.grains {
                Err(why) => ScaleRow {
                    name: name.clone(),
                    index: clean(&why.words()),
                    spread: String::new(),
                    at: None,
                    range: None,
                    in_use: None,
                },
                Ok(f) => ScaleRow {
                    name: name.clone(),
                    index: whole(f.grit.index),
                    spread: spread(at).map_or(String::new(), |s| {
                        format!("spread {} to {}", whole(s.low), whole(s.high))
                    }),
                    at: Some(place(f.grit.index)),
                    range: spread(at).map(|s| (place(s.low), place(s.high))),
                    in_use: (f.grit.index - f.grit.in_use > SEEN).then(|| place(f.grit.in_use)),
                },
            })
            .collect();
        let mut key = Vec::new();
        if rows.iter().any(|r| r.range.is_some()) {
            key.push(format!("bar: 5 to 95 % of {DRAWS} draws of the model's constants"));
        }
        if rows.iter().any(|r| r.in_use.is_some()) {
            key.push("hollow: in use, as grains dissolve".to_owned());
        }
        Some(Self {
            bands: ends
                .windows(2)
                .zip(Band::ALL)
                .filter_map(|(w, band)| match w {
                    [a, b] => Some((*a, *b, band.name())),
                    _ => None,
                })
                .collect(),
            edges: Band::EDGES.map(|e| (place(e), whole(e))).to_vec(),
            rows,
            key: key.join("; "),
        })
    }

    /// The scale in a sentence, for those who do not see it.
    pub fn words(&self) -> String {
        let rows: Vec<String> = self
            .rows
            .iter()
            .map(|r| match (&r.at, r.spread.is_empty()) {
                (Some(_), false) => format!("{} {}, {}", r.name, r.index, r.spread),
                _ => format!("{} {}", r.name, r.index),
            })
            .collect();
        let edges: Vec<&str> = self.edges.iter().map(|(_, words)| words.as_str()).collect();
        format!(
            "Index of each blend on a scale from very gentle to coarse, with bands that meet at \
             {}. {}",
            edges.join(", "),
            rows.join("; ")
        )
    }
}
