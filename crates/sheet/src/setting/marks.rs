//! The temperatures that are marked in the melt curve.

use quern_calc::evaluate::SPAN_C;
use quern_calc::formula::PhaseTemperature;
use quern_calc::number::{NumberStyle, format_f64};
use quern_calc::setting::notes::{SKIN_C, SettingNotes};

use super::SettingSide;
use super::picture::cut;
use crate::text::clean;

/// A temperature that matters.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Mark {
    pub c: f64,
    pub words: String,
    /// True for pouring, which is drawn strong.
    pub pour: bool,
}

/// Room, skin, parcel, pouring and the phases, coolest first; what stands at one degree is one
/// mark.
pub(super) fn marks(
    side: &SettingSide<'_>,
    other: Option<(&SettingSide<'_>, &str)>,
    notes: &SettingNotes,
    style: NumberStyle,
) -> Vec<Mark> {
    const NAME_MOST: usize = 14;
    const MARKS_MOST: usize = 12;
    let mut all: Vec<(f64, String, bool)> = vec![
        (notes.room(), "room".to_owned(), false),
        (SKIN_C, "skin".to_owned(), false),
        (notes.parcel(), "parcel".to_owned(), false),
    ];
    let poured = |s: &SettingSide<'_>| s.figures.pour.is_ok().then_some(s.figures.pour_c);
    match (poured(side), other.and_then(|(s, name)| Some((poured(s)?, name)))) {
        (Some(c), Some((d, _))) if (c - d).abs() < 0.5 => {
            all.push((c, "both poured".to_owned(), true));
        }
        (first, second) => {
            all.extend(first.map(|c| (c, "poured".to_owned(), true)));
            let named = |name: &str| format!("{} poured", cut(name, NAME_MOST));
            all.extend(second.map(|(c, name)| (c, named(name), true)));
        }
    }
    for phase in &side.formula.phases {
        let name = match clean(&phase.name) {
            name if name.is_empty() => "phase".to_owned(),
            name => cut(&name, NAME_MOST),
        };
        match phase.temperature {
            PhaseTemperature::HeatTo(c) => all.push((c, format!("{name} to"), false)),
            PhaseTemperature::Below(c) => all.push((c, format!("{name} below"), false)),
            PhaseTemperature::Unstated => {}
        }
    }
    all.retain(|m| (SPAN_C.0..=SPAN_C.1).contains(&m.0));
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut groups: Vec<(f64, Vec<String>, bool)> = Vec::new();
    for (c, name, pour) in all {
        match groups.last_mut() {
            Some(last) if (last.0 - c).abs() < 0.5 => {
                if !last.1.contains(&name) {
                    last.1.push(name);
                }
                last.2 |= pour;
            }
            _ => groups.push((c, vec![name], pour)),
        }
    }
    groups
        .into_iter()
        .take(MARKS_MOST)
        .map(|(c, names, pour)| {
            let places = u32::from((c - c.round()).abs() > 0.05);
            let words = format!("{} {} \u{b0}C", names.join(", "), format_f64(c, places, style));
            Mark { c, words, pour }
        })
        .collect()
}
