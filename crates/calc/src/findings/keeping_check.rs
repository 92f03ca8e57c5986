//! Which rules of preservation an assessment trips.

use rust_decimal::Decimal;

use super::keeping::KeepingProblem;
use super::{Finding, Problem, Where};
use crate::evaluate::Opened;
use crate::formula::{Form, Formula, Function, Pack};
use crate::quantity::Percent;
use crate::safety::keeping::{ALCOHOL, Counts, Keeping, MICROBES, Need, PH_APART, System};
use crate::safety::preservation::Reach;

/// Puts the assessment's findings into the list.
pub(crate) fn check_keeping(
    formula: &Formula,
    opened: &Opened<'_>,
    keeping: &Keeping,
    out: &mut Vec<Finding>,
) {
    // A premix is judged where it is used; without data nothing can be said.
    if formula.product.form == Form::Premix || opened.leaves.is_empty() {
        return;
    }
    let mut add = |place, problem| out.push(Finding::new(place, Problem::Keeping(problem)));
    let whole = Where::Formula;
    let at = |s: &System| s.lines.first().map_or(whole, |l| Where::Line(*l));
    let asks = keeping.need != Need::Dry;

    // pH first: most of the rest hangs on it.
    let depending: Vec<String> = keeping
        .systems
        .iter()
        .filter(|s| s.counts == Counts::PhUnknown)
        .map(|s| s.inci.clone())
        .collect();
    let soap = opened.leaves.iter().any(|l| {
        l.percent.0 > Decimal::ZERO
            && l.material.roles.iter().any(|r| r == "soap" || r.contains("soap base"))
    });
    match keeping.ph {
        // Nothing in it hangs on the pH where alcohol keeps it.
        None if keeping.meets(ALCOHOL) && depending.is_empty() && !soap => {}
        None if keeping.need == Need::Water || soap => {
            add(whole, KeepingProblem::PhMissing { names: depending, water: true });
        }
        None if asks && !depending.is_empty() => {
            add(whole, KeepingProblem::PhMissing { names: depending, water: false });
        }
        Some((ph, false)) if keeping.need == Need::Water => {
            add(whole, KeepingProblem::PhTarget { ph });
        }
        _ => {}
    }

    let counting = keeping
        .systems
        .iter()
        .filter(|s| !s.helper)
        .filter(|s| matches!(s.counts, Counts::Yes | Counts::Weakly | Counts::PhUnknown))
        .count();
    if let Some((ph, measured)) = keeping.ph
        && asks
    {
        let idle: Vec<&System> =
            keeping.systems.iter().filter(|s| s.counts == Counts::Idle).collect();
        if keeping.need == Need::Water && counting == 0 && !idle.is_empty() {
            let names = idle.iter().map(|s| s.inci.clone()).collect();
            let (free, edition) = (keeping.water.free, keeping.edition.clone());
            add(whole, KeepingProblem::NoneWorks { names, ph, measured, free, edition });
        } else {
            for s in idle {
                let acid = s.acid.as_ref().and_then(|a| Some((a.at?.1, a.bands.1)));
                let window = s.window.map(|w| (w.low, w.high));
                let (name, percent, source) = (s.inci.clone(), s.percent, s.source.clone());
                let idle =
                    KeepingProblem::Idle { name, ph, measured, acid, window, percent, source };
                add(at(s), idle);
            }
        }
    }
    // Where nothing at all is there for keeping, the amount rules stop it already.
    let meant = keeping.need == Need::WetUse
        || opened.leaves.iter().any(|l| l.material.function == Some(Function::Preservative));
    if meant {
        check_reach(keeping, counting, &mut add, at);
    }
    // An antioxidant in the place of a preservative is told apart below.
    let apart = keeping.ph.filter(|_| keeping.meets(PH_APART)).map(|p| p.0);
    let mistaken = !keeping.only_antioxidants.is_empty() && apart.is_none();
    if keeping.systems.is_empty() && keeping.need == Need::WetUse && (keeping.argued || !mistaken) {
        if keeping.argued {
            let reason = formula.safety.unpreserved.trim().to_owned();
            add(whole, KeepingProblem::Argued { reason });
        } else {
            add(whole, KeepingProblem::WetUnpreserved { food: keeping.food.clone(), apart });
        }
    }
    if asks && mistaken && !keeping.argued {
        let (names, wet) = (keeping.only_antioxidants.clone(), keeping.need == Need::WetUse);
        add(whole, KeepingProblem::AntioxidantOnly { names, wet });
    }
    if let Some((ph, _)) = keeping.ph {
        let near: Vec<String> = keeping
            .systems
            .iter()
            .filter(|s| matches!(s.counts, Counts::Yes | Counts::Weakly))
            .filter(|s| {
                s.acid.is_some() || s.window.is_some_and(|w| w.high.is_some_and(|h| h < 8.0))
            })
            .filter(|s| s.window.and_then(|w| w.high).is_some_and(|h| ph <= h && h - ph < 0.5))
            .map(|s| s.inci.clone())
            .collect();
        let wet = keeping.water.free > Percent(Decimal::from(5));
        if wet && formula.product.pack == Pack::Jar && !near.is_empty() {
            let pack = formula.product.pack;
            add(whole, KeepingProblem::PackChallenge { pack, names: near, ph });
        }
        if let Some(s) = keeping.systems.iter().find(|s| s.inci == "Salicylic Acid")
            && ph > 4.0
        {
            add(at(s), KeepingProblem::Salicylic { ph, percent: s.percent });
        }
    }
}

/// Gaps in what is reached, and amounts too small to stand alone.
fn check_reach(
    keeping: &Keeping,
    counting: usize,
    add: &mut impl FnMut(Where, KeepingProblem),
    at: impl Fn(&System) -> Where,
) {
    if keeping.need == Need::Dry || keeping.systems.is_empty() {
        return;
    }
    // What depends on an unknown pH may reach them: that is said where the pH is missing.
    let open = keeping.systems.iter().any(|s| s.counts == Counts::PhUnknown);
    let wet = keeping.need == Need::WetUse;
    let edition = || keeping.edition.clone();
    if keeping.systems.iter().all(|s| s.helper) {
        let names = keeping.systems.iter().map(|s| s.inci.clone()).collect();
        add(Where::Formula, KeepingProblem::HelpersOnly { names, wet, edition: edition() });
        return;
    }
    if keeping.coverage_open {
        return;
    }
    if counting > 0 && !open {
        let microbes: Vec<&'static str> = MICROBES
            .into_iter()
            .zip(keeping.coverage)
            .filter(|(_, reach)| *reach == Reach::None)
            .map(|(name, _)| name)
            .collect();
        if !microbes.is_empty() {
            add(Where::Formula, KeepingProblem::Gap { microbes, wet, edition: edition() });
        }
    }
    // One that is low is carried by another that is not.
    let carried = keeping.systems.iter().any(|s| s.counts == Counts::Yes);
    let weakly = || keeping.systems.iter().filter(|s| s.counts == Counts::Weakly && !carried);
    let little = |s: &System| s.least.is_some_and(|l| s.percent < l);
    if let Some((ph, measured)) = keeping.ph
        && weakly().next().is_some()
        && !weakly().any(little)
    {
        let names = weakly().map(|s| s.inci.clone()).collect();
        add(Where::Formula, KeepingProblem::Weak { names, ph, measured, edition: edition() });
    }
    for s in weakly() {
        if let Some(least) = s.least.filter(|l| s.percent < *l) {
            let (name, percent, source) = (s.inci.clone(), s.percent, s.source.clone());
            add(at(s), KeepingProblem::Low { name, percent, least, source });
        }
    }
}
