//! What should worry the maker: every rule, in one list.
//!
//! A rule yields a [`Problem`] with typed arguments and the place it concerns. The
//! sentences are made from them in one place, [`Finding::words`], so that a translation
//! never touches a rule.

mod all;
mod allergy;
mod amounts;
mod care;
mod case;
mod figures;
mod grains;
mod hlb;
mod keeping;
mod keeping_check;
mod law;
mod law_words;
mod mixing;
mod order;
mod pack;
mod process;
mod rule;
mod scent;
mod setting;
mod weighing;
mod words;

pub use all::all_rules;
pub use allergy::AllergyProblem;
pub use care::{Care, cares};
pub use case::{Bringer, Brought};
pub use hlb::HlbProblem;
pub use keeping::KeepingProblem;
pub use law::{Edition, LawProblem};
pub use law_words::Remedy;
pub(crate) use law_words::made_of;
pub use mixing::{
    ClashProblem, MakingProblem, MixingProblem, OilProblem, PhProblem, PowderProblem,
    SolubilityProblem,
};
pub use order::counts;
pub use pack::PackProblem;
pub use rule::{Fix, Quantity, RuleKind};
pub use scent::ScentProblem;
pub use words::Words;

pub(crate) use amounts::check_amounts;
pub(crate) use grains::check_grains;
pub(crate) use hlb::check_hlb;
pub(crate) use keeping_check::check_keeping;
pub(crate) use law::check_law;
pub(crate) use mixing::check_mixing;
pub(crate) use order::{accept, sort};
pub(crate) use pack::{check_label, check_markets};
pub(crate) use process::check_process;
pub(crate) use scent::check_scent;
pub(crate) use setting::check_setting;
pub(crate) use weighing::check_weighing;

use rule::Rule;

use crate::batch::PlanProblem;
use crate::formula::{Accepted, Form, Function, LineId, PhaseId, Place, UseScope};
use crate::quantity::{Grams, Percent};

/// How much a finding matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The formula cannot be made, or not be made ready, as it stands.
    Stop,
    /// Likely to go wrong; may be accepted with a reason.
    Warn,
    /// Worth knowing; may be put aside with a reason.
    Note,
}

impl Severity {
    /// The name on screen and in JSON.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Warn => "warn",
            Self::Note => "note",
        }
    }

    /// The heading of several.
    #[must_use]
    pub fn plural(self) -> &'static str {
        match self {
            Self::Stop => "Stops",
            Self::Warn => "Warnings",
            Self::Note => "Notes",
        }
    }
}

/// What a finding concerns.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Where {
    /// The formula as a whole.
    Formula,
    /// One phase.
    Phase(PhaseId),
    /// One line.
    Line(LineId),
    /// The batch plan.
    Batch,
}

/// A rule that was broken, with the figures that show it.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // each argument is what its name says; units: percent, grams, °C, µm
pub enum Problem {
    NoLines,
    TotalOff {
        total: Percent,
    },
    AmountBlank {
        name: String,
    },
    AmountZero {
        name: String,
    },
    AmountNegative {
        name: String,
        percent: Percent,
    },
    FillNegative {
        name: String,
        percent: Percent,
    },
    FillNothing {
        name: String,
    },
    FunctionMissing {
        form: Form,
        any_of: Vec<Function>,
    },
    NoFunction {
        name: String,
    },
    MaterialMissing {
        id: String,
    },
    FormulaMissing {
        id: String,
    },
    Cycle {
        path: Vec<String>,
    },
    TooDeep {
        name: String,
    },
    PremixOff {
        name: String,
        total: Percent,
    },
    BlendUnopened {
        name: String,
    },
    UseAbove {
        name: String,
        percent: Percent,
        high: Percent,
        scope: UseScope,
        source: String,
    },
    UseBelow {
        name: String,
        percent: Percent,
        low: Percent,
        scope: UseScope,
        source: String,
    },
    HeatLimit {
        name: String,
        limit_c: f64,
        phase: String,
        phase_c: f64,
        source: String,
    },
    MeltsAbove {
        name: String,
        melts_c: f64,
        phase: String,
        phase_c: f64,
        source: String,
    },
    ProcessMin {
        name: String,
        needs_c: f64,
        phase: String,
        phase_c: f64,
        source: String,
    },
    PhaseTemperatureMissing {
        phase: String,
        name: String,
    },
    WaterWithoutPreservative {
        free: Percent,
        limit: Percent,
    },
    Dust {
        names: Vec<String>,
        silica: bool,
        sensitising: bool,
    },
    PlanBad(PlanProblem),
    NoScale,
    TooSmall {
        name: String,
        exact: Grams,
        smallest: Grams,
        readability: Grams,
        tolerance: Percent,
        batch_needed: Option<Grams>,
    },
    LineAboveScale {
        name: String,
        target: Grams,
        room: Grams,
    },
    BatchAboveScale {
        gross: Grams,
        room: Grams,
    },
    BatchAboveVessel {
        gross: Grams,
        holds: Grams,
        vessel: String,
    },
    PourWindowEmpty {
        needs_c: f64,
        limit_c: f64,
        name: String,
    },
    ParcelSlumps {
        parcel_c: f64,
    },
    GrainsLarge {
        place: Place,
        d90_um: f64,
        guide_um: f64,
    },
    GrainsStrong {
        place: Place,
        index: f64,
        guide: f64,
    },
    GrainsDissolve {
        place: Place,
        dry: f64,
        in_use: f64,
        guide: f64,
    },
    GrainsSharp {
        place: Place,
        share: f64,
        guide: f64,
        above_um: f64,
        names: Vec<String>,
    },
    GrainsMany {
        place: Place,
        load: Percent,
        guide: Percent,
    },
    GrainDataMissing {
        name: String,
    },
    GrainDataBad {
        name: String,
        what: String,
    },
    GrainSizeAssumed {
        names: Vec<String>,
    },
    Law(LawProblem),
    Allergy(AllergyProblem),
    Keeping(KeepingProblem),
    Scent(ScentProblem),
    Mixing(MixingProblem),
    Pack(PackProblem),
    Hlb(HlbProblem),
}

impl Problem {
    /// The rules of a subject of its own.
    fn rule(&self) -> Option<&dyn Rule> {
        Some(match self {
            Self::Law(p) => p,
            Self::Allergy(p) => p,
            Self::Keeping(p) => p,
            Self::Scent(p) => p,
            Self::Mixing(p) => p,
            Self::Pack(p) => p,
            Self::Hlb(p) => p,
            _ => return None,
        })
    }
}

/// One finding.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// What is wrong.
    pub problem: Problem,
    /// What it concerns.
    pub place: Where,
    /// The maker accepted it, with a reason.
    pub accepted: Option<Accepted>,
}

impl Finding {
    pub(crate) fn new(place: Where, problem: Problem) -> Self {
        Self { problem, place, accepted: None }
    }

    /// Names this finding in an acceptance: rule, place, and what it is about.
    #[must_use]
    pub fn key(&self) -> String {
        let place = match self.place {
            Where::Formula => "formula".to_owned(),
            Where::Phase(p) => format!("phase {}", p.0),
            Where::Line(l) => format!("line {}", l.0),
            Where::Batch => "batch".to_owned(),
        };
        let subject = self.problem.rule().map(Rule::subject).unwrap_or_default();
        if subject.is_empty() {
            format!("{} / {place}", self.rule())
        } else {
            format!("{} / {place} / {subject}", self.rule())
        }
    }

    /// True for what nobody accepted, and for every Stop.
    #[must_use]
    pub fn stands(&self) -> bool {
        self.accepted.is_none()
    }

    /// How much it matters.
    #[must_use]
    pub fn severity(&self) -> Severity {
        use Problem as P;
        if let Some(rule) = self.problem.rule() {
            return rule.severity();
        }
        match &self.problem {
            P::TotalOff { .. }
            | P::AmountBlank { .. }
            | P::AmountZero { .. }
            | P::AmountNegative { .. }
            | P::FillNegative { .. }
            | P::MaterialMissing { .. }
            | P::FormulaMissing { .. }
            | P::Cycle { .. }
            | P::TooDeep { .. }
            | P::WaterWithoutPreservative { .. }
            | P::PlanBad(_) => Severity::Stop,
            P::FunctionMissing { .. }
            | P::FillNothing { .. }
            | P::PremixOff { .. }
            | P::UseAbove { .. }
            | P::HeatLimit { .. }
            | P::MeltsAbove { .. }
            | P::ProcessMin { .. }
            | P::PhaseTemperatureMissing { .. }
            | P::NoScale
            | P::TooSmall { .. }
            | P::LineAboveScale { .. }
            | P::BatchAboveScale { .. }
            | P::BatchAboveVessel { .. }
            | P::GrainsLarge { .. }
            | P::GrainsStrong { .. }
            | P::GrainsSharp { .. }
            | P::GrainsMany { .. }
            | P::PourWindowEmpty { .. }
            | P::ParcelSlumps { .. } => Severity::Warn,
            P::NoLines
            | P::NoFunction { .. }
            | P::BlendUnopened { .. }
            | P::UseBelow { .. }
            | P::Dust { .. }
            | P::GrainsDissolve { .. }
            | P::GrainDataMissing { .. }
            | P::GrainDataBad { .. }
            | P::GrainSizeAssumed { .. }
            | P::Law(_)
            | P::Allergy(_)
            | P::Keeping(_)
            | P::Scent(_)
            | P::Mixing(_)
            | P::Pack(_)
            | P::Hlb(_) => Severity::Note,
        }
    }

    /// Stable id of the rule, for scripts.
    #[must_use]
    pub fn rule(&self) -> &'static str {
        use Problem as P;
        match &self.problem {
            P::Law(p) => p.id(),
            P::Allergy(p) => p.id(),
            P::Keeping(p) => p.id(),
            P::Scent(p) => p.id(),
            P::Mixing(p) => p.id(),
            P::Pack(p) => p.id(),
            P::Hlb(p) => p.id(),
            P::NoLines => "empty-formula",
            P::TotalOff { .. } => "total",
            P::AmountBlank { .. } => "amount-blank",
            P::AmountZero { .. } => "amount-zero",
            P::AmountNegative { .. } => "amount-negative",
            P::FillNegative { .. } => "fill-negative",
            P::FillNothing { .. } => "fill-nothing",
            P::FunctionMissing { .. } => "function-missing",
            P::NoFunction { .. } => "function-unknown",
            P::MaterialMissing { .. } => "material-missing",
            P::FormulaMissing { .. } => "formula-missing",
            P::Cycle { .. } => "cycle",
            P::TooDeep { .. } => "nested-too-deep",
            P::PremixOff { .. } => "premix-total",
            P::BlendUnopened { .. } => "blend-unopened",
            P::UseAbove { .. } => "use-above",
            P::UseBelow { .. } => "use-below",
            P::HeatLimit { .. } => "heat-limit",
            P::MeltsAbove { .. } => "melts-above-phase",
            P::ProcessMin { .. } => "process-temperature",
            P::PhaseTemperatureMissing { .. } => "phase-temperature-missing",
            P::WaterWithoutPreservative { .. } => "water-without-preservative",
            P::Dust { .. } => "dust",
            P::PlanBad(_) => "batch-plan",
            P::NoScale => "no-scale",
            P::TooSmall { .. } => "too-small-to-weigh",
            P::LineAboveScale { .. } => "line-above-scale",
            P::BatchAboveScale { .. } => "batch-above-scale",
            P::BatchAboveVessel { .. } => "batch-above-vessel",
            P::GrainsLarge { .. } => "grains-large",
            P::GrainsStrong { .. } => "grains-strong",
            P::GrainsDissolve { .. } => "grains-dissolve",
            P::GrainsSharp { .. } => "grains-sharp",
            P::GrainsMany { .. } => "grains-many",
            P::GrainDataMissing { .. } => "grain-data-missing",
            P::GrainDataBad { .. } => "grain-data-bad",
            P::GrainSizeAssumed { .. } => "grain-size-assumed",
            P::PourWindowEmpty { .. } => "pour-window-empty",
            P::ParcelSlumps { .. } => "parcel-slumps",
        }
    }
}
