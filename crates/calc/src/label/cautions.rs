//! Cautions on the pack: what makes each of them stand, and in which words.

use rust_decimal::Decimal;

use super::{LabelAsk, PackCaution};
use crate::evaluate::Opened;
use crate::safety::market::{LabelCaution, Trigger};

/// Cautions that follow from rules, then the maker's own.
pub(super) fn cautions(ask: &LabelAsk<'_>) -> Vec<PackCaution> {
    let mut out: Vec<PackCaution> = Vec::new();
    let mut add = |text: String, source: String| {
        if !text.is_empty() && !out.iter().any(|c| c.text == text) {
            out.push(PackCaution { text, source });
        }
    };
    for caution in &ask.market.label.cautions {
        if !caution.when.holds(ask.formula.product, ask.date) {
            continue;
        }
        if let Some(names) = triggered(caution, ask.opened) {
            let text = caution.text.replace("{names}", &names.join(", "));
            add(text, caution.about.provenance());
        }
    }
    for (text, source) in ask.statements {
        add(text.clone(), source.clone());
    }
    for text in &ask.formula.label.cautions {
        add(text.trim().to_owned(), "entered by you".to_owned());
    }
    out
}

/// Names of what makes a caution stand, by name, so that a line that moves or an amount that
/// changes leaves a printed label as it is; `None` when it does not stand.
fn triggered(caution: &LabelCaution, opened: &Opened<'_>) -> Option<Vec<String>> {
    let mut names: Vec<String> = Vec::new();
    let mut add = |name: &str| {
        if !names.iter().any(|n| n == name) {
            names.push(name.to_owned());
        }
    };
    let leaves = || opened.leaves.iter().filter(|l| l.percent.0 > Decimal::ZERO);
    match &caution.trigger {
        Trigger::Always => return Some(Vec::new()),
        Trigger::Function(f) => {
            leaves()
                .filter(|l| l.material.function == Some(*f))
                .for_each(|l| add(l.material.display_name()));
        }
        Trigger::Caution(c) => {
            leaves()
                .filter(|l| l.material.cautions.contains(c))
                .for_each(|l| add(l.material.display_name()));
        }
        Trigger::Components(list) => {
            for component in &opened.composition.components {
                let listed = list.iter().any(|i| i.eq_ignore_ascii_case(&component.inci));
                if listed && component.percent.0 > Decimal::ZERO {
                    add(&component.inci);
                }
            }
        }
    }
    names.sort();
    (!names.is_empty()).then_some(names)
}
