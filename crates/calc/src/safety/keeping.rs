//! Preservation as a documented assessment: what needs keeping, what works at this pH, what it
//! reaches, which low-risk criteria are met, and what to do. Never a bare yes or no.

use rust_decimal::Decimal;

use crate::chemistry::acid::undissociated_curve;
use crate::chemistry::water_activity::{self, WaterActivity};
use crate::evaluate::{Derived, Opened};
use crate::formula::{
    Formula, Function, LineId, Material, PhaseTemperature, Span, WaterContent, WaterKind,
    names_by_amount,
};
use crate::quantity::{Percent, decimal_to_f64};
use crate::rules::Rules;

use super::keeping_systems::systems;
use super::preservation::Reach;

/// pH axis of the curves of acids.
pub const CURVE_FROM: f64 = 3.0;
/// End of the pH axis.
pub const CURVE_TO: f64 = 8.0;
/// Points of a curve.
const CURVE_POINTS: usize = 51;

/// What the product asks of its preservation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// It holds free water.
    Water,
    /// It is dry in the pack and gets wet in use.
    WetUse,
    /// It is dry and stays so.
    Dry,
}

/// How much of an acid is undissociated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Band {
    /// Enough.
    Good,
    /// Some.
    Weak,
    /// Next to none.
    Idle,
}

impl Band {
    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::Weak => "weak",
            Self::Idle => "ineffective",
        }
    }
}

/// The acid of a preservative in this product.
#[derive(Clone, Debug, PartialEq)]
pub struct AcidHere {
    /// Name of the acid.
    pub name: String,
    /// pKa at 25 °C.
    pub pka: f64,
    /// % of the product, as acid.
    pub total: Percent,
    /// At the product's pH: undissociated fraction, and undissociated acid in % of the product.
    pub at: Option<(f64, f64)>,
    /// What that is worth.
    pub band: Option<Band>,
    /// From this share of the product it is good, below the other it does nothing, %.
    pub bands: (Percent, Percent),
}

impl AcidHere {
    /// Undissociated fraction, 0 to 1, over pH from [`CURVE_FROM`] to [`CURVE_TO`].
    #[must_use]
    pub fn curve(&self) -> Vec<(f64, f64)> {
        undissociated_curve(self.pka, CURVE_FROM, CURVE_TO, CURVE_POINTS)
    }
}

/// Whether a preservative counts here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counts {
    /// It works at this pH and amount.
    Yes,
    /// It helps others.
    Helps,
    /// It works a little: too little undissociated, or too little of it.
    Weakly,
    /// Outside its pH window, or dissociated.
    Idle,
    /// Depends on the pH, which is not stated.
    PhUnknown,
}

impl Counts {
    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Yes => "counts here",
            Self::Helps => "helps the others",
            Self::Weakly => "works weakly here",
            Self::Idle => "does next to nothing here",
            Self::PhUnknown => "depends on the pH, which is not stated",
        }
    }
}

/// One preservative in this product.
#[derive(Clone, Debug, PartialEq)]
pub struct System {
    /// INCI name of the component, or of a blend that cannot be opened.
    pub inci: String,
    /// % of the product over all sources.
    pub percent: Percent,
    /// Lines that bring it.
    pub lines: Vec<LineId>,
    /// Its acid.
    pub acid: Option<AcidHere>,
    /// pH window.
    pub window: Option<Span>,
    /// Inside the window; `None` where the pH or the window is not known.
    pub in_window: Option<bool>,
    /// Stands so much heat, and is added at so much, °C.
    pub heat: Option<(f64, f64)>,
    /// Least amount on its own.
    pub least: Option<Percent>,
    /// Bacteria, yeast, mould; `None` where the make-up of a blend is not known.
    pub reach: Option<[Reach; 3]>,
    /// Helps others and does not stand alone.
    pub helper: bool,
    /// Whether it counts.
    pub counts: Counts,
    /// A phenol or acid that micelles bind.
    pub bound: bool,
    /// What to know.
    pub note: String,
    /// Source of the data.
    pub source: String,
}

/// The low-risk criterion of pH.
pub const PH_APART: &str = "measured pH below 3 or above 10";
/// The low-risk criterion of alcohol.
pub const ALCOHOL: &str = "more than 20 % alcohol";

/// One low-risk criterion.
#[derive(Clone, Debug, PartialEq)]
pub struct Criterion {
    /// The criterion.
    pub name: &'static str,
    /// Met; `None` where it cannot be said.
    pub met: Option<bool>,
    /// The figure in words, numbers with a point.
    pub figure: CriterionFigure,
}

/// The figure that a criterion looks at.
#[derive(Clone, Debug, PartialEq)]
pub enum CriterionFigure {
    /// pH, and whether it was measured.
    Ph(Option<(f64, bool)>),
    /// % of the product.
    Percent(Percent),
    /// °C of the hottest phase.
    Celsius(Option<f64>),
    /// Water activity.
    Activity(Option<f64>),
}

/// The assessment.
#[derive(Clone, Debug, PartialEq)]
pub struct Keeping {
    /// What it asks.
    pub need: Need,
    /// Water by kind.
    pub water: WaterContent,
    /// pH and whether it was measured.
    pub ph: Option<(f64, bool)>,
    /// Estimated water activity.
    pub activity: Derived<WaterActivity>,
    /// Materials that feed microbes once wet, by display name.
    pub food: Vec<String>,
    /// Preservatives, by amount.
    pub systems: Vec<System>,
    /// Best reach of those that count: bacteria, yeast, mould.
    pub coverage: [Reach; 3],
    /// A blend among those that count has an unknown make-up, so that the reach is a least.
    pub coverage_open: bool,
    /// Low-risk criteria.
    pub criteria: Vec<Criterion>,
    /// Only antioxidants stand where a preservative would.
    pub only_antioxidants: Vec<String>,
    /// The maker's reason for doing without.
    pub argued: bool,
    /// Edition of the data.
    pub edition: String,
}

/// The names of the three kinds of microbes, in the order of [`Keeping::coverage`].
pub const MICROBES: [&str; 3] = ["bacteria", "yeast", "mould"];

impl Keeping {
    /// True when this low-risk criterion is known to be met.
    #[must_use]
    pub fn meets(&self, criterion: &str) -> bool {
        self.criteria.iter().any(|c| c.name == criterion && c.met == Some(true))
    }
}

/// Assesses a formula.
#[must_use]
pub fn keeping(formula: &Formula, opened: &Opened<'_>, rules: &Rules) -> Keeping {
    let water = opened.composition.water;
    let need = if water.free > rules.free_water_max {
        Need::Water
    } else if formula.wet_in_use() {
        Need::WetUse
    } else {
        Need::Dry
    };
    let ph = formula.ph.as_ref().map(|p| (decimal_to_f64(p.value), p.measured));
    let systems = systems(formula, opened, rules, ph.map(|p| p.0));
    let mut coverage = [Reach::None; 3];
    let mut coverage_open = false;
    for system in &systems {
        let most = match system.counts {
            Counts::Yes => Reach::Good,
            Counts::Helps | Counts::Weakly => Reach::Weak,
            Counts::Idle | Counts::PhUnknown => continue,
        };
        match system.reach {
            Some(reach) => {
                for (all, one) in coverage.iter_mut().zip(reach) {
                    *all = (*all).max(one.min(most));
                }
            }
            None => coverage_open = true,
        }
    }
    let activity = water_activity::estimate(opened);
    let antioxidants =
        names_by_amount(&opened.leaves, |m| m.function == Some(Function::Antioxidant));
    Keeping {
        need,
        water,
        ph,
        criteria: criteria(formula, opened, ph, &activity, rules),
        activity,
        food: names_by_amount(&opened.leaves, feeds),
        only_antioxidants: if systems.is_empty() { antioxidants } else { Vec::new() },
        systems,
        coverage,
        coverage_open,
        argued: !formula.safety.unpreserved.trim().is_empty(),
        edition: rules.preservatives.edition.clone(),
    }
}

/// Starches, flours, seeds, shells and sugars: what microbes live on once it is wet. Clays,
/// minerals, charcoal, soaps and salts that hold moisture feed nothing.
fn feeds(material: &Material) -> bool {
    let group = material.group.as_str();
    if group.contains("sugar") {
        return true;
    }
    let solid = matches!(
        material.function,
        Some(Function::Filler | Function::Exfoliant | Function::Active | Function::Thickener)
    );
    let bound = material
        .water
        .as_ref()
        .is_some_and(|w| w.kind == WaterKind::Bound && w.percent.value.0 > Decimal::ONE);
    let inert = ["clay", "mineral", "salt"].iter().any(|g| group.contains(g))
        || ["Silica", "Charcoal Powder", "Carbomer"]
            .iter()
            .any(|i| material.inci.eq_ignore_ascii_case(i));
    solid && bound && !inert
}

/// Low-risk criteria as a test laboratory sums up ISO 29621:2017; the standard itself was not
/// read. Meeting one may spare a challenge test, never the safety assessment.
fn criteria(
    formula: &Formula,
    opened: &Opened<'_>,
    ph: Option<(f64, bool)>,
    activity: &Derived<WaterActivity>,
    rules: &Rules,
) -> Vec<Criterion> {
    let alcohol = opened.composition.percent_of("Alcohol")
        + opened.composition.percent_of("Alcohol Denat.")
        + opened.composition.percent_of("Ethanol");
    let hottest = formula
        .phases
        .iter()
        .filter_map(|p| match p.temperature {
            PhaseTemperature::HeatTo(c) => Some(c),
            _ => None,
        })
        .reduce(f64::max);
    let free = opened.composition.water.free;
    let aw = activity.as_ref().ok().map(|a| a.aw);
    vec![
        Criterion {
            name: PH_APART,
            met: ph.and_then(|(ph, measured)| {
                // A target proves nothing; outside the range it is at least no.
                let outside = !(3.0..=10.0).contains(&ph);
                if measured { Some(outside) } else { (!outside).then_some(false) }
            }),
            figure: CriterionFigure::Ph(ph),
        },
        Criterion {
            name: "water-free; by house guide at most 1 % free water",
            met: Some(free <= rules.free_water_max),
            figure: CriterionFigure::Percent(free),
        },
        Criterion {
            name: ALCOHOL,
            met: Some(alcohol > Percent(Decimal::from(20))),
            figure: CriterionFigure::Percent(alcohol),
        },
        Criterion {
            name: "filled above 65 °C",
            // The phase says how hot it was made, not how hot it was filled.
            met: hottest.and_then(|c| (c <= 65.0).then_some(false)),
            figure: CriterionFigure::Celsius(hottest),
        },
        Criterion {
            name: "water activity below 0.75",
            met: match aw {
                Some(aw) => Some(aw < water_activity::LOW_RISK_BELOW),
                None => (free.0 <= Decimal::ZERO).then_some(true),
            },
            figure: CriterionFigure::Activity(aw),
        },
    ]
}

/// A fraction of 1 as %.
#[must_use]
pub fn share_percent(fraction: f64) -> f64 {
    100.0 * fraction
}
