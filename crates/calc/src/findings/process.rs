//! Rules of heat: limits, melting points, least temperatures; and dust.

use rust_decimal::Decimal;

use super::{Finding, Problem as P, Where};
use crate::evaluate::Opened;
use crate::formula::{AtPour, Caution, Formula, PhaseKind, PhaseTemperature, names_by_amount};
use crate::quantity::Percent;
use crate::rules::Rules;

pub(crate) fn check_process(
    formula: &Formula,
    opened: &Opened<'_>,
    rules: &Rules,
    out: &mut Vec<Finding>,
) {
    let heated =
        formula.phases.iter().any(|p| matches!(p.temperature, PhaseTemperature::HeatTo(_)));
    let wet = opened.composition.water.free > rules.wet_above;
    for phase in &formula.phases {
        let fats: Percent = opened
            .leaves
            .iter()
            .filter(|l| l.phase == phase.id && crate::evaluate::is_fat(l.material))
            .map(|l| l.percent)
            .sum();
        let mut asked = None;
        for leaf in opened.leaves.iter().filter(|l| l.phase == phase.id) {
            let m = leaf.material;
            let name = || m.display_name().to_owned();
            let place = Where::Line(leaf.line);
            let limit = m.heat_limit_c.as_ref().filter(|_| wet || !m.heat_limit_only_wet);
            let melts = m.melting_c.as_ref().filter(|_| {
                m.melts_in_process
                    && m.at_pour == Some(AtPour::Melts)
                    && phase.kind == PhaseKind::Melt
                    && Percent::share(leaf.percent.0, fats.0).is_some_and(|s| s.0 > Decimal::ONE)
            });
            let Some(phase_c) = phase.temperature.warmest_c() else {
                // A dry mix at room temperature needs no figure.
                let matters = heated || matches!(phase.kind, PhaseKind::Melt | PhaseKind::Water);
                if asked.is_none()
                    && matters
                    && (limit.is_some() || melts.is_some() || m.process_min_c.is_some())
                {
                    asked = Some(name());
                }
                continue;
            };
            let phase_name = || phase.name.clone();
            if let Some(f) = limit
                && phase_c > f.value
            {
                let problem = P::HeatLimit {
                    name: name(),
                    limit_c: f.value,
                    phase: phase_name(),
                    phase_c,
                    source: f.provenance(),
                };
                out.push(Finding::new(place, problem));
            }
            if !matches!(phase.temperature, PhaseTemperature::HeatTo(_)) {
                continue;
            }
            if let Some(f) = melts
                && let Some(high) = f.value.high.or(f.value.low)
                && high > phase_c
            {
                let problem = P::MeltsAbove {
                    name: name(),
                    melts_c: high,
                    phase: phase_name(),
                    phase_c,
                    source: f.provenance(),
                };
                out.push(Finding::new(place, problem));
            }
            if let Some(f) = m.process_min_c.as_ref().filter(|_| phase.kind == PhaseKind::Melt)
                && f.value > phase_c
            {
                let problem = P::ProcessMin {
                    name: name(),
                    needs_c: f.value,
                    phase: phase_name(),
                    phase_c,
                    source: f.provenance(),
                };
                out.push(Finding::new(place, problem));
            }
        }
        if let Some(name) = asked {
            let problem = P::PhaseTemperatureMissing { phase: phase.name.clone(), name };
            out.push(Finding::new(Where::Phase(phase.id), problem));
        }
    }
    check_dust(opened, out);
}

fn check_dust(opened: &Opened<'_>, out: &mut Vec<Finding>) {
    let (mut silica, mut sensitising) = (false, false);
    for leaf in opened.leaves.iter().filter(|l| l.percent.0 > Decimal::ZERO) {
        silica |= leaf.material.cautions.contains(&Caution::DustSilica);
        sensitising |= leaf.material.cautions.contains(&Caution::DustSensitising);
    }
    let names = names_by_amount(&opened.leaves, |m| m.cautions.iter().any(|c| c.is_dust()));
    if !names.is_empty() {
        let problem = P::Dust { names, silica, sensitising };
        out.push(Finding::new(Where::Formula, problem));
    }
}
