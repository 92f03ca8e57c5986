//! Cautions for whoever makes the batch, as they follow from the materials used.

use rust_decimal::Decimal;

use crate::evaluate::Opened;
use crate::formula::{Caution, Contact, Formula, Function, PhaseKind, PhaseTemperature};
use crate::rules::Rules;

/// One caution in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Care {
    /// Stable key.
    pub key: &'static str,
    /// The sentence.
    pub text: String,
}

fn names(opened: &Opened<'_>, wanted: impl Fn(Caution) -> bool) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for leaf in opened.leaves.iter().filter(|l| l.percent.0 > Decimal::ZERO) {
        if leaf.material.cautions.iter().any(|c| wanted(*c)) {
            let name = leaf.material.display_name().to_owned();
            if !out.contains(&name) {
                out.push(name);
            }
        }
    }
    out
}

/// Names in a row, shortened past four so that a caution stays readable.
fn row(names: &[String]) -> String {
    const MOST: usize = 4;
    let lower = |n: &String| {
        let mut chars = n.chars();
        match chars.next() {
            // Keep abbreviations and names such as "C12-15" as they are.
            Some(first) if chars.clone().next().is_some_and(char::is_lowercase) => {
                first.to_lowercase().chain(chars).collect()
            }
            _ => n.clone(),
        }
    };
    let mut shown: Vec<String> = names.iter().take(MOST).map(lower).collect();
    if names.len() > MOST {
        shown.push(format!("{} more", names.len() - MOST));
    }
    match shown.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        all if all.iter().any(|n| n.contains(',')) => all.join("; "),
        [head @ .., last] => format!("{} and {last}", head.join(", ")),
    }
}

/// Every caution that applies, most pressing first. The last one defers to local rules and
/// a qualified assessor, always.
#[must_use]
pub fn cares(formula: &Formula, opened: &Opened<'_>, rules: &Rules) -> Vec<Care> {
    let mut out = Vec::new();
    let mut add = |key, text: String| out.push(Care { key, text });

    let dust = names(opened, Caution::is_dust);
    if !dust.is_empty() {
        let mut text = format!(
            "Dust from {}: fit a particle mask (FFP2 or N95 class) and goggles, no draught, wipe up damp",
            row(&dust)
        );
        if !names(opened, |c| c == Caution::DustSilica).is_empty() {
            text.push_str("; ask the supplier about crystalline silica");
        }
        add("dust", text);
    }
    let hottest = formula
        .phases
        .iter()
        .filter(|p| p.kind == PhaseKind::Melt || p.kind == PhaseKind::Water)
        .filter_map(|p| match p.temperature {
            PhaseTemperature::HeatTo(c) => Some(c),
            _ => None,
        })
        .fold(f64::NEG_INFINITY, f64::max);
    if hottest >= rules.hot_from_c {
        add(
            "hot-fat",
            "Hot fat burns: water bath, dry tools, long sleeves, never leave it; cool a burn 20 min under running water"
                .to_owned(),
        );
    }
    let corrosive = names(opened, |c| c == Caution::Corrosive);
    if !corrosive.is_empty() {
        add(
            "corrosive",
            format!(
                "Burns skin and eyes: {}. Goggles and gloves, add it to water, never water to it",
                row(&corrosive)
            ),
        );
    }
    let mut skin = names(opened, |c| c == Caution::Skin);
    skin.retain(|name| !corrosive.contains(name));
    if !skin.is_empty() {
        add(
            "skin",
            format!(
                "Keep {} off skin and out of eyes while undiluted: gloves, goggles",
                row(&skin)
            ),
        );
    }
    let flash = names(opened, |c| matches!(c, Caution::Flammable | Caution::FlashPoint));
    if !flash.is_empty() {
        add(
            "flash-point",
            format!("No flame near {}: add it as cool as the batch allows", row(&flash)),
        );
    }
    let grains = opened
        .leaves
        .iter()
        .any(|l| l.material.function == Some(Function::Exfoliant) && l.percent.0 > Decimal::ZERO);
    if grains {
        add(
            "eyes",
            "The product holds grains: keep out of eyes, not on broken or irritated skin, rinse at once if it gets in an eye"
                .to_owned(),
        );
    } else if !names(opened, |c| c == Caution::Eyes).is_empty()
        && formula.product.contact == Contact::RinseOff
    {
        add("eyes", "Keep the product out of eyes; rinse with water if it gets in".to_owned());
    }
    let nuts = names(opened, |c| c == Caution::Nut);
    if !nuts.is_empty() {
        add(
            "nut",
            format!("Made from nuts on the US food-allergen list of January 2025: {}", row(&nuts)),
        );
    }
    let soft = names(opened, |c| c == Caution::NutSoft);
    if !soft.is_empty() {
        add(
            "nut-soft",
            format!(
                "From kernels or shells that the US food-allergen list does not name; tell who asks: {}",
                row(&soft)
            ),
        );
    }
    let cereal = names(opened, |c| c == Caution::Cereal);
    if !cereal.is_empty() {
        add("cereal", format!("From cereals, traces of gluten are possible: {}", row(&cereal)));
    }
    add("assessor", "Local rules and a qualified assessor decide before sale".to_owned());
    out
}
