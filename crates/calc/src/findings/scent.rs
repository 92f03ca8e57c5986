//! Rules of fragrance and essential oils: certificates, totals, solubilisers, flash points.

use rust_decimal::Decimal;

use crate::evaluate::Opened;
use crate::formula::{
    Caution, Contact, Form, Formula, Function, LineId, Material, MaterialId, Phase, PhaseId,
};
use crate::quantity::Percent;
use crate::rules::Rules;

use super::case::{Bringer, Brought, Case, brought, row};
use super::rule::{Fix, Quantity, Rule, RuleKind};
use super::words::{Say, words};
use super::{Finding, Problem, Severity, Where, Words};

/// What such a rule found. Figures in % of the product and °C.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // each argument is what its name says
pub enum ScentProblem {
    /// More than the supplier's certificate allows.
    AboveCertificate { of: Bringer, limit: Percent, category: String, standard: String },
    /// Certificates are there, and the category of the product is not stated.
    CategoryUnstated { names: Vec<String> },
    /// The certificate has no limit for the category.
    CategoryNotListed { name: String, material: MaterialId, category: String },
    /// Fragrance without a certificate.
    NoCertificate { names: Vec<String>, materials: Vec<MaterialId> },
    /// Much fragrance in all.
    Total { of: Brought, limit: Percent, contact: Contact, source: String },
    /// Oily scent or active in water with too little to carry it.
    NotSolubilised { oily: Brought, carriers: Brought, ratio: f64, source: String },
    /// A phase hotter than a flash point.
    AboveFlashPoint {
        name: String,
        material: MaterialId,
        flash_c: f64,
        phase: String,
        phase_c: f64,
        lines: Vec<LineId>,
        source: String,
    },
    /// Flash points that are not stated although the phase is warm enough to matter.
    FlashPointUnknown { names: Vec<String>, source: String },
}

use ScentProblem as S;

impl Rule for ScentProblem {
    fn id(&self) -> &'static str {
        match self {
            S::AboveCertificate { .. } => "fragrance-certificate",
            S::CategoryUnstated { .. } => "fragrance-category",
            S::CategoryNotListed { .. } => "fragrance-category-not-listed",
            S::NoCertificate { .. } => "fragrance-no-certificate",
            S::Total { .. } => "fragrance-total",
            S::NotSolubilised { .. } => "fragrance-in-water",
            S::AboveFlashPoint { .. } => "flash-point",
            S::FlashPointUnknown { .. } => "flash-point-unknown",
        }
    }

    fn severity(&self) -> Severity {
        match self {
            S::AboveCertificate { .. } => Severity::Stop,
            S::Total { .. } | S::NotSolubilised { .. } | S::AboveFlashPoint { .. } => {
                Severity::Warn
            }
            _ => Severity::Note,
        }
    }

    fn kind(&self) -> RuleKind {
        match self {
            S::AboveCertificate { .. } | S::AboveFlashPoint { .. } => RuleKind::Supplier,
            S::Total { .. } | S::NotSolubilised { .. } => RuleKind::Practice,
            _ => RuleKind::Unchecked,
        }
    }

    fn subject(&self) -> String {
        match self {
            S::AboveCertificate { of, .. } => of.material.to_string(),
            S::CategoryNotListed { material, .. } | S::AboveFlashPoint { material, .. } => {
                material.to_string()
            }
            _ => String::new(),
        }
    }

    fn words(&self, say: &Say) -> Words {
        sentences(self, say)
    }

    fn reading(&self) -> (Option<Quantity>, Option<Quantity>) {
        match self {
            S::AboveCertificate { of, limit, .. } => {
                (Some(Quantity::Percent(of.counted)), Some(Quantity::Percent(*limit)))
            }
            S::Total { of, limit, .. } => {
                (Some(Quantity::Percent(of.total)), Some(Quantity::Percent(*limit)))
            }
            S::NotSolubilised { oily, carriers, ratio, .. } => {
                let now = carriers.total.to_f64() / oily.total.to_f64();
                let now = now.is_finite().then_some(Quantity::Number(now, 1));
                (now, Some(Quantity::Number(*ratio, 1)))
            }
            S::AboveFlashPoint { flash_c, phase_c, .. } => {
                (Some(Quantity::Celsius(*phase_c)), Some(Quantity::Celsius(*flash_c)))
            }
            _ => (None, None),
        }
    }

    fn steps(&self, say: &Say) -> Vec<String> {
        match self {
            S::Total { of, .. } => of.steps(say),
            S::NotSolubilised { oily, carriers, .. } => {
                let mut steps = oily.steps(say);
                steps.extend(carriers.steps(say));
                steps
            }
            _ => Vec::new(),
        }
    }

    fn fixes(&self) -> Vec<Fix> {
        match self {
            S::AboveCertificate { of, limit, .. } => {
                let mut fixes = Vec::from_iter(set_to(of, *limit));
                fixes.push(Fix::Certificate { material: of.material.clone() });
                fixes
            }
            S::Total { of, limit, .. } => Vec::from_iter(of.set_to(*limit)),
            S::CategoryUnstated { .. } => vec![Fix::Category],
            S::CategoryNotListed { material, .. } => {
                vec![Fix::Certificate { material: material.clone() }, Fix::Category]
            }
            S::NoCertificate { materials, .. } => {
                materials.iter().map(|m| Fix::Certificate { material: m.clone() }).collect()
            }
            S::AboveFlashPoint { flash_c, lines, .. } => lines
                .iter()
                .map(|line| Fix::MoveToCoolDown { line: *line, below_c: *flash_c })
                .collect(),
            _ => Vec::new(),
        }
    }
}

/// Sets the largest line of a material so that all of it together comes to the limit.
fn set_to(of: &Bringer, limit: Percent) -> Option<Fix> {
    let own = of.lines.iter().filter(|(_, _, own)| *own);
    let (line, now, _) = own.max_by_key(|(line, p, _)| (*p, std::cmp::Reverse(*line)))?;
    let percent = limit - (of.counted - *now);
    (percent.0 > Decimal::ZERO).then_some(Fix::SetPercent { line: *line, percent })
}

fn sentences(problem: &ScentProblem, say: &Say) -> Words {
    match problem {
        S::AboveCertificate { of, limit, category, standard } => {
            let (now, most) = say.pair(of.counted, *limit);
            let standard = standard.trim();
            let cited = if standard.is_empty() { "standard not named" } else { standard };
            words(
                format!("{now} {} is above {most}, its certificate for {category}", of.name),
                "The supplier has worked out how much of its allergens and limited substances skin stands in this kind of product",
                format!("Use at most {most}, or take a fragrance that allows more"),
                format!("supplier's certificate: {cited}"),
            )
        }
        S::CategoryUnstated { names } => words(
            format!("The certificate of {} was not used: category not stated", row(names)),
            "A certificate gives one limit for each category of product",
            "State the category of the product, as it is named on the certificate",
            "supplier's certificate, as entered",
        ),
        S::CategoryNotListed { name, category, .. } => words(
            format!("The certificate of {name} has no limit for {category}"),
            "A category that is left out may mean that the supplier does not support this use",
            "Ask the supplier, and correct the category or the certificate",
            "supplier's certificate, as entered",
        ),
        S::NoCertificate { names, .. } => words(
            format!("No certificate for {}: the limit was not checked", row(names)),
            "How much skin stands depends on what is in it, and only the supplier knows",
            "Enter the limits from the supplier's certificate",
            "supplier's data of this project",
        ),
        S::Total { of, limit, contact, source } => {
            let (now, most) = say.pair(of.total, *limit);
            words(
                format!("{now} fragrance is above {most}, the guide for {}", contact.name()),
                "More irritates, costs, and softens or thins the product",
                format!("Use at most {most} of {} together", row(&of.names())),
                source.clone(),
            )
        }
        S::NotSolubilised { oily, carriers, ratio, source } => words(
            format!(
                "{} {} in water with {} to carry it",
                say.pct(oily.total),
                row(&oily.names()),
                say.pct(carriers.total)
            ),
            format!(
                "It floats or clouds: about {} parts of solubiliser or surfactant as active matter are needed for one",
                say.f(*ratio, 0)
            ),
            "Mix it with a solubiliser first, or use less",
            source.clone(),
        ),
        S::AboveFlashPoint { name, flash_c, phase, phase_c, source, .. } => {
            let (now, most) = say.apart(*phase_c, *flash_c);
            words(
                format!("{name} flashes at {most} °C, phase {phase} is worked at {now} °C"),
                "Its vapour can catch fire, and the scent is lost",
                format!("Add it below {}", say.c(*flash_c)),
                source.clone(),
            )
        }
        S::FlashPointUnknown { names, source } => words(
            format!("Flash point not stated for {}", row(names)),
            "The phase is warm enough that its vapour could catch fire",
            "Enter the flash point from the safety data sheet, and add it as cool as it pours",
            source.clone(),
        ),
    }
}

pub(crate) fn check_scent(
    formula: &Formula,
    opened: &Opened<'_>,
    rules: &Rules,
    out: &mut Vec<Finding>,
) {
    let case = Case::new(formula, opened, rules);
    let whole = |p: ScentProblem| Finding::new(Where::Formula, Problem::Scent(p));
    // A premix is no product: limits on use are those of what it goes into.
    let product = formula.product.form != Form::Premix;
    let known = !rules.interactions.figures.is_empty();
    if product {
        out.extend(certificates(&case, known).into_iter().map(whole));
    }
    for phase in &formula.phases {
        out.extend(flash_points(&case, phase));
    }
    if !known {
        return;
    }
    if product {
        out.extend(total(&case).map(whole));
        out.extend(in_water(&case).map(whole));
    }
    out.extend(flash_unknown(&case).map(whole));
}

fn is_scent(m: &Material) -> bool {
    m.function == Some(Function::Fragrance)
}

fn certificates(case: &Case<'_>, known: bool) -> Vec<ScentProblem> {
    let mut out = Vec::new();
    let category = case.formula.safety.category.trim();
    let (mut without, mut uncategorised) = (Vec::new(), Vec::new());
    let all = case.materials(|m| is_scent(m) || m.certificate.is_some());
    for of in all.by {
        let leaf = case.opened.leaves.iter().find(|l| l.material.id == of.material);
        let certificate = leaf.and_then(|l| l.material.certificate.as_ref());
        let Some(certificate) = certificate else {
            without.push(of);
            continue;
        };
        if category.is_empty() {
            uncategorised.push(of.name);
        } else if let Some(limit) = certificate.limit(category) {
            if of.counted > limit {
                let standard = certificate.standard.clone();
                out.push(S::AboveCertificate {
                    of,
                    limit,
                    category: category.to_owned(),
                    standard,
                });
            }
        } else {
            out.push(S::CategoryNotListed {
                name: of.name,
                material: of.material,
                category: category.to_owned(),
            });
        }
    }
    if !uncategorised.is_empty() {
        out.push(S::CategoryUnstated { names: uncategorised });
    }
    if !without.is_empty() && known {
        let of = Brought { total: Percent::ZERO, by: without };
        let materials = of.by.iter().map(|b| b.material.clone()).collect();
        out.push(S::NoCertificate { names: of.names(), materials });
    }
    out
}

fn total(case: &Case<'_>) -> Option<ScentProblem> {
    let contact = case.formula.product.contact;
    let limit = case.bound(match contact {
        Contact::LeaveOn => "fragrance-leave-on",
        Contact::RinseOff => "fragrance-rinse-off",
    })?;
    let of = case.materials(is_scent);
    let above = of.total > limit.percent;
    above.then_some(S::Total { of, limit: limit.percent, contact, source: limit.source })
}

/// Scent in a product of water without a fat phase that would take it up.
fn in_water(case: &Case<'_>) -> Option<ScentProblem> {
    let (ratio, oil) = (case.bound("solubiliser-ratio")?, case.bound("emulsion-oil")?);
    let emulsifies = |m: &Material| m.function == Some(Function::Emulsifier);
    let watery = case.wet() && case.free() > case.fats();
    if !watery || case.fats() > oil.percent || !case.materials(emulsifies).is_empty() {
        return None;
    }
    let lipid = |m: &Material| is_scent(m) || case.lists("oil-soluble-actives", &m.inci);
    let oily = case.materials(lipid);
    let carries = |m: &Material| {
        m.function == Some(Function::Solubiliser)
            || m.surfactant
            || case.lists("solubilisers", &m.inci)
    };
    let carriers = case.active(carries);
    let needed = oily.total.0.saturating_mul(ratio.percent.0);
    let short = !oily.is_empty() && carriers.total.0 < needed;
    short.then_some(S::NotSolubilised { oily, carriers, ratio: ratio.value, source: ratio.source })
}

fn lines_in(case: &Case<'_>, phase: PhaseId, wanted: impl Fn(&Material) -> bool) -> Vec<Bringer> {
    let leaves = case.opened.leaves.iter();
    let here = leaves.filter(|l| l.phase == phase && l.percent.0 > Decimal::ZERO);
    brought(here.filter(|l| wanted(l.material)).map(|l| (l, l.percent)), case.opened).by
}

fn flash_points(case: &Case<'_>, phase: &Phase) -> Vec<Finding> {
    let Some(phase_c) = phase.temperature.warmest_c() else { return Vec::new() };
    let flashes = |m: &Material| m.flash_point_c.as_ref().is_some_and(|f| f.value < phase_c);
    let found = lines_in(case, phase.id, flashes).into_iter().filter_map(|of| {
        let leaf = case.opened.leaves.iter().find(|l| l.material.id == of.material)?;
        let flash = leaf.material.flash_point_c.as_ref()?;
        let own = of.lines.iter().filter(|(_, _, own)| *own);
        let problem = S::AboveFlashPoint {
            name: of.name,
            material: of.material,
            flash_c: flash.value,
            phase: phase.name.clone(),
            phase_c,
            lines: own.map(|(line, ..)| *line).collect(),
            source: flash.provenance(),
        };
        Some(Finding::new(Where::Phase(phase.id), Problem::Scent(problem)))
    });
    found.collect()
}

fn flash_unknown(case: &Case<'_>) -> Option<ScentProblem> {
    let (cut, low) = (case.bound("flash-asked-from")?, case.bound("flash-asked-flammable-from")?);
    let mut names: Vec<String> = Vec::new();
    for phase in &case.formula.phases {
        let Some(phase_c) = phase.temperature.warmest_c() else { continue };
        let asks = |m: &Material| {
            let flammable = m.cautions.contains(&Caution::Flammable);
            let from = if flammable { low.value } else { cut.value };
            let volatile = flammable || m.cautions.contains(&Caution::FlashPoint);
            m.flash_point_c.is_none() && volatile && phase_c > from
        };
        for of in lines_in(case, phase.id, asks) {
            if !names.contains(&of.name) {
                names.push(of.name);
            }
        }
    }
    names.sort();
    (!names.is_empty()).then_some(S::FlashPointUnknown { names, source: cut.source })
}
