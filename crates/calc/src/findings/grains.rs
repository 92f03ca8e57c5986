//! Rules of exfoliants by place of use.

use super::{Finding, Problem as P, Where};
use crate::evaluate::{GrainFigures, Opened};
use crate::formula::{Form, Formula, Function, names_by_amount};
use crate::grit::sizes::GrainSize;
use crate::rules::Rules;

pub(crate) fn check_grains(
    formula: &Formula,
    opened: &Opened<'_>,
    figures: Option<&GrainFigures>,
    rules: &Rules,
    out: &mut Vec<Finding>,
) {
    for leaf in &opened.leaves {
        let m = leaf.material;
        if m.function != Some(Function::Exfoliant) {
            continue;
        }
        let name = m.display_name().to_owned();
        match &m.grain {
            None => out.push(Finding::new(Where::Line(leaf.line), P::GrainDataMissing { name })),
            Some(_) if m.density_solid.is_none() => {
                let what = "its density is not known".to_owned();
                let problem = P::GrainDataBad { name, what };
                out.push(Finding::new(Where::Line(leaf.line), problem));
            }
            Some(g) => {
                if let Err(error) = GrainSize::fit(g.value.sizes_in_use()) {
                    let problem = P::GrainDataBad { name, what: error.to_string() };
                    out.push(Finding::new(Where::Line(leaf.line), problem));
                }
            }
        }
    }
    let assumed = names_by_amount(&opened.leaves, |m| {
        let sized = m.grain.as_ref().filter(|_| m.function == Some(Function::Exfoliant));
        sized.is_some_and(|g| {
            m.density_solid.is_some()
                && g.value.size_is_assumed()
                && GrainSize::fit(g.value.sizes_in_use()).is_ok()
        })
    });
    if !assumed.is_empty() {
        out.push(Finding::new(Where::Formula, P::GrainSizeAssumed { names: assumed }));
    }
    // Bath products are not rubbed on.
    if formula.product.form == Form::Bath {
        return;
    }
    let place = formula.product.place;
    let (Some(f), Some(guide)) = (figures, rules.grain_guide(place)) else { return };
    let mut add = |problem| out.push(Finding::new(Where::Formula, problem));
    if let Some(guide_um) = guide.d90_um.filter(|g| f.stats.d90 > *g) {
        add(P::GrainsLarge { place, d90_um: f.stats.d90, guide_um });
    }
    if let Some(limit) = guide.index.filter(|g| f.grit.index > *g) {
        // The guide was made for grains that stay; sugar and salt melt away while they rub.
        add(if f.mostly_dissolves() && f.insoluble_index <= limit {
            P::GrainsDissolve { place, dry: f.grit.index, in_use: f.grit.in_use, guide: limit }
        } else {
            P::GrainsStrong { place, index: f.grit.index, guide: limit }
        });
    }
    if let Some(limit) = guide.sharp_share {
        let (share, names) = f.sharp_above(guide.sharp_above_um, guide.sharp_angularity);
        if share > limit {
            let above_um = guide.sharp_above_um;
            add(P::GrainsSharp { place, share, guide: limit, above_um, names });
        }
    }
    if let Some(limit) = guide.load.filter(|g| f.load > *g) {
        add(P::GrainsMany { place, load: f.load, guide: limit });
    }
}
