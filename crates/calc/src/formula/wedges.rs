//! What a round chart shows of slices: the small ones are gathered in one wedge.

use super::{LineId, Slice};
use crate::quantity::Percent;

/// Smallest share of the whole that is a wedge of its own, in %. A narrower one is a line on
/// screen.
const LEAST: f64 = 2.5;

/// One wedge of a round chart.
#[derive(Clone, Debug, PartialEq)]
pub struct Wedge {
    /// What it stands for.
    pub name: String,
    /// Place of its colour; nothing for small slices gathered.
    pub index: Option<usize>,
    /// % of the product.
    pub percent: Percent,
    /// Share of all that the chart shows, 0 to 1.
    pub share: f64,
    /// The lines that are in it.
    pub lines: Vec<LineId>,
    /// The small slices in it; nothing in a wedge that is one slice.
    pub holds: Vec<Slice>,
}

/// Wedges of slices, in their order, small ones gathered at the end. What is not above nothing has
/// no wedge.
#[must_use]
pub fn wedges(slices: &[Slice]) -> Vec<Wedge> {
    let shown = || slices.iter().filter(|s| s.percent.to_f64() > 0.0);
    let total: f64 = shown().map(|s| s.percent.to_f64()).sum();
    let share = |percent: Percent| percent.to_f64() / total;
    let small = |s: &&Slice| 100.0 * share(s.percent) < LEAST;
    // A single small slice needs no company.
    let gathered: Vec<Slice> = shown().filter(small).cloned().collect();
    let gather = gathered.len() > 1;
    let mut out: Vec<Wedge> = shown()
        .filter(|s| !(gather && small(s)))
        .map(|s| Wedge {
            name: s.name.clone(),
            index: Some(s.index),
            percent: s.percent,
            share: share(s.percent),
            lines: s.lines.clone(),
            holds: Vec::new(),
        })
        .collect();
    if gather {
        let percent: Percent = gathered.iter().map(|s| s.percent).sum();
        let mut lines: Vec<LineId> = Vec::new();
        for line in gathered.iter().flat_map(|s| &s.lines) {
            if !lines.contains(line) {
                lines.push(*line);
            }
        }
        out.push(Wedge {
            name: format!("{} more", gathered.len()),
            index: None,
            percent,
            share: share(percent),
            lines,
            holds: gathered,
        });
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn slices(percents: &[&str]) -> Vec<Slice> {
        percents
            .iter()
            .zip(1_u32..)
            .map(|(p, n)| Slice {
                name: format!("slice {n}"),
                index: n as usize,
                percent: Percent(p.parse().unwrap()),
                lines: vec![LineId(n), LineId(1)],
            })
            .collect()
    }

    #[test]
    fn small_slices_are_gathered_and_named_by_their_number() {
        let all = wedges(&slices(&["60", "35.2", "2.1", "1.6", "1.1"]));
        let names: Vec<&str> = all.iter().map(|w| w.name.as_str()).collect();
        assert_eq!(names, ["slice 1", "slice 2", "3 more"]);
        let more = all.last().unwrap();
        assert_eq!(more.percent.0.to_string(), "4.8");
        assert_eq!(more.holds.len(), 3);
        assert_eq!(more.lines, [LineId(3), LineId(1), LineId(4), LineId(5)]);
        assert_eq!(more.index, None);
        let whole: f64 = all.iter().map(|w| w.share).sum();
        assert!((whole - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_single_small_slice_stays_and_nothing_has_no_wedge() {
        let all = wedges(&slices(&["98", "2", "0", "-4"]));
        assert_eq!(all.len(), 2);
        assert!(all.iter().all(|w| w.holds.is_empty()));
        assert!(wedges(&[]).is_empty());
        assert!(wedges(&slices(&["0", "-1"])).is_empty());
    }

    #[test]
    fn shares_are_of_what_is_there_even_if_it_is_not_100() {
        let all = wedges(&slices(&["20", "20"]));
        assert!(all.iter().all(|w| (w.share - 0.5).abs() < 1e-12));
        // 2 of 40 is 5 % of what is there: not small.
        assert_eq!(wedges(&slices(&["36", "2", "2"])).len(), 3);
    }
}
