//! Where on the body a blend suits, each verdict with its reasons.

use super::GrainFigures;
use crate::formula::{Form, Place};
use crate::grit::Band;
use crate::number::{NumberStyle, format_f64, format_fixed};
use crate::rules::Rules;

/// One thing that was looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlaceReason {
    /// The figure and the guide in words.
    pub text: String,
    /// False when the guide is passed.
    pub within: bool,
    /// True for a guide that no index can outweigh.
    pub hard: bool,
    /// True for what is worth knowing but has no guide.
    pub info: bool,
}

/// What the guides say of one place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlaceGuide {
    /// The place.
    pub place: Place,
    /// True where the house has a guide; the others have nothing to be within.
    pub guided: bool,
    /// True when no guide is passed.
    pub within: bool,
    /// The verdict in a few words.
    pub verdict: String,
    /// Everything that was looked at.
    pub reasons: Vec<PlaceReason>,
}

/// Guidance for face, body and feet, and for the product's own place when it is another. Guidance
/// from a wear model and house guides, not law and no safety test.
#[must_use]
pub fn place_guides(
    f: &GrainFigures,
    own: Place,
    form: Form,
    rules: &Rules,
    style: NumberStyle,
) -> Vec<PlaceGuide> {
    let mut places = vec![Place::Face, Place::Body, Place::Feet];
    if !places.contains(&own) {
        places.push(own);
    }
    places.into_iter().map(|place| guide(f, place, form, rules, style)).collect()
}

fn guide(
    f: &GrainFigures,
    place: Place,
    form: Form,
    rules: &Rules,
    style: NumberStyle,
) -> PlaceGuide {
    let mut reasons = Vec::new();
    let whole = |x: f64| format_f64(x, 0, style);
    let mut add = |text: String, within: bool, hard: bool| {
        reasons.push(PlaceReason { text, within, hard, info: false });
    };
    let limits = rules.grain_guide(place);
    if let Some(limits) = limits {
        if let Some(most) = limits.index {
            let within = f.grit.index <= most;
            let sign = if within { "within" } else { "above" };
            // A decimal where whole numbers would read "25 is above 25".
            let near = whole(f.grit.index) == whole(most) && !within;
            let index = format_f64(f.grit.index, u32::from(near), style);
            let mut text = format!("grit {index} is {sign} {}", whole(most));
            let melts = !within && f.mostly_dissolves() && f.insoluble_index <= most;
            if melts {
                text.push_str(&format!(
                    ", but most grains dissolve: {} in use, {} without them",
                    whole(f.grit.in_use),
                    whole(f.insoluble_index)
                ));
            }
            add(text, within || melts, false);
        }
        if let Some(most) = limits.d90_um {
            let within = f.stats.d90 <= most;
            let sign = if within { "within" } else { "above" };
            add(
                format!("D90 {} µm is {sign} {} µm", whole(f.stats.d90), whole(most)),
                within,
                false,
            );
        }
        if let Some(most) = limits.sharp_share {
            let (share, names) = f.sharp_above(limits.sharp_above_um, limits.sharp_angularity);
            let within = share <= most;
            let mut text = format!(
                "sharp grains above {} µm are {} % of the blend, guide {} %",
                whole(limits.sharp_above_um),
                format_f64(share, 1, style),
                whole(most)
            );
            if !within {
                text.push_str(&format!(": {}", names.join(", ")));
            }
            add(text, within, true);
        }
        if let Some(most) = limits.load {
            let within = f.load <= most;
            let sign = if within { "within" } else { "above" };
            add(
                format!(
                    "load {} % is {sign} {} %",
                    format_fixed(f.load.0, 2, style),
                    format_fixed(most.0, 0, style)
                ),
                within,
                false,
            );
        }
    }
    // Shape has no limit of its own below the sharp rule, but a maker wants to know it.
    let sharp: Vec<&str> = f
        .parts
        .iter()
        .filter(|p| p.grain.angularity > 0.5 && !p.grain.dissolves())
        .map(|p| p.name.as_str())
        .collect();
    let shape = if sharp.is_empty() {
        "no insoluble grain is sharp-edged".to_owned()
    } else {
        format!("sharp-edged: {}", sharp.join(", "))
    };
    let mut tell = |text: String| {
        reasons.push(PlaceReason { text, within: true, hard: false, info: true });
    };
    tell(shape);
    if place == Place::Feet && f.grit.band < Band::Strong {
        let text = "below strong: gentle work on hard skin".to_owned();
        tell(text);
    }
    if form == Form::Bath {
        let text = "a bath product is not rubbed on; the guides are for rubbing".to_owned();
        tell(text);
    }
    let passed = reasons.iter().filter(|r| !r.within).count();
    let hard = reasons.iter().any(|r| !r.within && r.hard);
    let within = passed == 0;
    let verdict = match (limits.is_some(), within) {
        (false, _) => "no guide is set; the coarsest blends belong here".to_owned(),
        (true, true) if place == Place::Face && f.grit.band >= Band::Gentle => {
            "within the guide; sparingly".to_owned()
        }
        (true, true) => "within the guide".to_owned(),
        (true, false) if hard => "not advised, whatever the index".to_owned(),
        (true, false) => format!("beyond the guide in {passed} of {}", checked(&reasons)),
    };
    let verdict = if limits.is_none() && !matches!(place, Place::Feet | Place::Hands) {
        "no guide is set".to_owned()
    } else {
        verdict
    };
    PlaceGuide { place, guided: limits.is_some(), within, verdict, reasons }
}

/// How many of the reasons compare with a guide.
fn checked(reasons: &[PlaceReason]) -> usize {
    reasons.iter().filter(|r| !r.info).count()
}
