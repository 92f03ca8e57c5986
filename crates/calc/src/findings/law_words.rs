//! What findings of law say: sentences and arithmetic.

use super::Words;
use super::law::{Edition, LawProblem};
use super::words::{Say, list, words};
use crate::evaluate::Opened;
use crate::formula::{Figure, LineId};
use crate::number::{NumberStyle, format_fixed, format_plain};
use crate::quantity::{Percent, derived};
use crate::safety::limits::{
    CONVERTED_DECIMALS, LimitCheck, LimitSource, StatementHeld, UnknownSource, Verdict,
};

/// What can be done about a line that brings too much.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// The line that brings most.
    pub line: LineId,
    /// Its name.
    pub name: String,
    /// True when it is a premix: what is in it is changed there.
    pub premix: bool,
    /// Share of the product at which the sum meets the cap; `None` where this line alone cannot
    /// do it.
    pub percent: Option<Percent>,
}

impl Remedy {
    /// A line without a share that would do.
    pub(super) fn none(opened: &Opened<'_>, line: LineId) -> Self {
        Self { line, name: opened.name_of(line), premix: !opened.is_material(line), percent: None }
    }
}

/// Display names of what brings something, each once: amount down, then name; what is not known
/// comes after.
pub(super) fn names(sources: &[LimitSource], unknown: &[UnknownSource]) -> Vec<String> {
    let mut sums: Vec<(&String, Percent)> = Vec::new();
    for source in sources {
        match sums.iter_mut().find(|(name, _)| *name == &source.name) {
            Some((_, sum)) => *sum += source.percent,
            None => sums.push((&source.name, source.percent)),
        }
    }
    sums.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(b.0)));
    let mut names: Vec<String> = sums.into_iter().map(|(name, _)| name.clone()).collect();
    let mut open: Vec<&String> = unknown.iter().map(|u| &u.name).collect();
    open.sort();
    for name in open {
        if !names.contains(name) {
            names.push(name.clone());
        }
    }
    names
}

/// A percentage without rounding away what a limit is about.
fn exact(say: &Say, p: Percent) -> String {
    format!("{} %", format_plain(derived(p.0).normalize(), say.0))
}

/// First letter in capitals.
fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

/// Source line: market, place in the law, edition and day, and how far to trust the entry.
pub(super) fn source(edition: &Edition, reference: &str, about: &Figure<()>) -> String {
    format!(
        "{}, {reference}; {}, as of {}; {}",
        edition.short(),
        edition.edition,
        edition.as_of.words(),
        about.provenance()
    )
}

fn counted_as(check: &LimitCheck) -> String {
    check.species.as_ref().map_or_else(String::new, |s| format!(", counted as {s},"))
}

pub(super) fn words_of(problem: &LawProblem, say: &Say) -> Words {
    match problem {
        LawProblem::Above { edition, check, remedy } => {
            let (bound, most) =
                if check.at_or_above { ("not below", "less than") } else { ("above", "at most") };
            let cap = check.cap.map_or_else(String::new, |c| exact(say, c));
            let as_species = match &check.species {
                Some(s) if check.member.is_some() && check.converted => format!(" as {s}"),
                _ => String::new(),
            };
            let each = if check.member.is_some() { " of each" } else { "" };
            let fix = match remedy.percent {
                Some(p) => {
                    format!("Reduce “{}” to {} or less, or swap it", remedy.name, exact(say, p))
                }
                None => {
                    let all = list(&names(&check.sources, &[]));
                    let inside =
                        if remedy.premix { format!(" in {}", remedy.name) } else { String::new() };
                    let to = if check.at_or_above { "is below" } else { "is no more than" };
                    format!("Reduce {all}{inside} until the sum {to} {cap}, or swap")
                }
            };
            words(
                format!(
                    "{} {}{as_species}, {bound} {cap} ({})",
                    capital(check.counted_name()),
                    exact(say, check.amount),
                    edition.short()
                ),
                format!(
                    "{} ({}) allows {most} {cap}{each}{} in this product: {}",
                    check.reference,
                    check.title,
                    counted_as(check),
                    edition.product
                ),
                fix,
                source(edition, &check.reference, &check.about),
            )
        }
        LawProblem::NotAllowed { edition, check, remedy } => {
            let amount = if check.sources.is_empty() {
                "in an amount that is not stated".to_owned()
            } else {
                exact(say, check.amount)
            };
            let from = list(&names(&check.sources, &check.unknown));
            let fix = if remedy.premix {
                format!("Take {from} out of {}, or leave the premix out", remedy.name)
            } else {
                format!("Take {from} out or swap it, or change what the product is for")
            };
            words(
                format!(
                    "{} {amount}, not allowed in this product ({})",
                    capital(check.counted_name()),
                    edition.short()
                ),
                format!(
                    "{} ({}) does not allow it in this product: {}",
                    check.reference, check.title, edition.product
                ),
                fix,
                source(edition, &check.reference, &check.about),
            )
        }
        LawProblem::Undecided { edition, check } => {
            let cap = check.cap.map_or_else(String::new, |c| exact(say, c));
            let members: Vec<String> = members(&check.unknown);
            let why = match check.most {
                Some(most) => format!(
                    "{} ({}) allows {} {cap}{} in this product; it may be up to {}",
                    check.reference,
                    check.title,
                    if check.at_or_above { "less than" } else { "at most" },
                    counted_as(check),
                    exact(say, most)
                ),
                None => format!(
                    "{} ({}) counts another species, and its molar mass is not known",
                    check.reference, check.title
                ),
            };
            words(
                format!(
                    "Not decided whether {} is within {cap} ({})",
                    check.counted_name(),
                    edition.short()
                ),
                why,
                if check.most.is_some() {
                    let inside = list(&names(&[], &check.unknown));
                    format!("Enter the share of {} in {inside} from the supplier", list(&members))
                } else {
                    format!("Correct the chemical formula of {} in the rules", list(&members))
                },
                source(edition, &check.reference, &check.about),
            )
        }
        LawProblem::Clash { edition, clash, names: (one, other), .. } => words(
            format!("{} and {} must not meet ({})", list(one), list(other), edition.short()),
            format!("{} and {}: {}", clash.references.0, clash.references.1, clash.why),
            format!("Take out {} or {}, or swap one", list(one), list(other)),
            source(
                edition,
                &format!("{} and {}", clash.references.0, clash.references.1),
                &clash.about,
            ),
        ),
        LawProblem::Condition { edition, held } => condition(edition, held),
        LawProblem::Pending { edition, held, today } => {
            let all = list(&names(&held.sources, &held.unknown));
            let when = match held.from {
                None => "Proposed or under discussion, without a day yet".to_owned(),
                Some(day) if day > *today => format!("From {}", say.day(day)),
                Some(day) => {
                    format!("Since {}; the limits checked here may be older", say.day(day))
                }
            };
            words(
                format!("{all}: a change of the rules ({})", edition.short()),
                format!("{when}: {}", held.text),
                format!("Read the act, and plan for {all} in new batches"),
                source(edition, "coming changes", &held.about),
            )
        }
    }
}

fn members(unknown: &[UnknownSource]) -> Vec<String> {
    let mut members: Vec<String> = unknown.iter().map(|u| u.member.clone()).collect();
    members.dedup();
    members
}

fn condition(edition: &Edition, held: &StatementHeld) -> Words {
    let all = list(&names(&held.sources, &held.unknown));
    words(
        format!("{all}: a condition of {} ({})", held.reference, edition.short()),
        format!("{}, in this product ({}): {}", held.reference, edition.product, held.text),
        "Check it against the supplier's papers, and keep the answer with the product file",
        source(edition, &held.reference, &held.about),
    )
}

/// What a material brings: its own share of the product, times what of it is the substance.
pub(crate) fn made_of(style: NumberStyle, source: &LimitSource) -> String {
    let say = Say(style);
    let share = Percent::share(source.percent.0, source.brought.0);
    match share.filter(|_| source.percent != source.brought) {
        Some(share) => format!(
            "{} × {} = {}",
            exact(&say, source.brought),
            exact(&say, share),
            exact(&say, source.percent)
        ),
        None => exact(&say, source.percent),
    }
}

/// One source in figures.
fn step(say: &Say, source: &LimitSource, species: Option<&str>) -> String {
    let from = if source.name.eq_ignore_ascii_case(&source.member) {
        source.name.clone()
    } else {
        format!("{} from “{}”", source.member, source.name)
    };
    let percent = made_of(say.0, source);
    match source.conversion {
        None => format!("{from} {percent}"),
        Some(c) => {
            let moles = if c.moles == 1 { String::new() } else { format!("{} × ", c.moles) };
            format!(
                "{from} {percent} × {moles}{} / {} = {} % {}",
                format_plain(c.species_mass, say.0),
                format_plain(c.member_mass, say.0),
                format_fixed(source.counted.0, CONVERTED_DECIMALS, say.0),
                species.unwrap_or("of the counted species")
            )
        }
    }
}

pub(super) fn steps_of(problem: &LawProblem, say: &Say) -> Vec<String> {
    let check = match problem {
        LawProblem::Above { check, .. }
        | LawProblem::NotAllowed { check, .. }
        | LawProblem::Undecided { check, .. } => check,
        LawProblem::Clash { clash, .. } => {
            let all = clash.sources.0.iter().chain(&clash.sources.1);
            return all.map(|s| step(say, s, None)).collect();
        }
        LawProblem::Condition { held, .. } => {
            return held.sources.iter().map(|s| step(say, s, None)).collect();
        }
        LawProblem::Pending { held, .. } => {
            return held.sources.iter().map(|s| step(say, s, None)).collect();
        }
    };
    let species = check.species.as_deref();
    let mut out: Vec<String> = check.sources.iter().map(|s| step(say, s, species)).collect();
    for u in &check.unknown {
        out.push(match u.bound {
            Some(b) => format!("{} in {}: not stated, at most {}", u.member, u.name, exact(say, b)),
            None => format!("{} in {}: cannot be converted", u.member, u.name),
        });
    }
    if check.sources.len() > 1 {
        out.push(format!("sum {}", exact(say, check.amount)));
    }
    if let (false, Some(most)) = (check.unknown.is_empty(), check.most) {
        out.push(format!("at most {}", exact(say, most)));
    }
    if check.converted {
        out.push(format!(
            "rounded to {CONVERTED_DECIMALS} decimals of a percent before it is compared"
        ));
    }
    out.push(match (check.verdict, check.cap) {
        (Verdict::NotAllowed, _) => "not allowed in this product".to_owned(),
        (_, Some(cap)) if check.at_or_above => format!("limit: below {}", exact(say, cap)),
        (_, Some(cap)) => format!("limit {}", exact(say, cap)),
        (_, None) => "no maximum for this product".to_owned(),
    });
    out
}
