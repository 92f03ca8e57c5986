//! Guides and limits that come from data, with edition and date.
//!
//! The values live in `assets/rules`; [`Rules::default`] carries the same guides so that
//! the crate can be used and tested on its own. A test holds the two together.

use std::sync::Arc;

use crate::formula::{Form, Formula, Function, Place};
use crate::quantity::{Date, Percent};
use crate::safety::exposure_table::ExposureTable;
use crate::safety::interactions::Interactions;
use crate::safety::market::Market;
use crate::safety::preservation::Preservatives;
use rust_decimal::Decimal;

/// Guide for exfoliants at one place of use. Guidance, not law: no size limit in law was
/// found.
#[derive(Clone, Debug, PartialEq)]
pub struct GrainGuide {
    /// Place of use.
    pub place: Place,
    /// D90 at most, in µm.
    pub d90_um: Option<f64>,
    /// Grit index at most.
    pub index: Option<f64>,
    /// Load at most, in % of the product.
    pub load: Option<Percent>,
    /// Share of the blend above `sharp_above_um` with angularity over `sharp_angularity`,
    /// in % of the blend, at most.
    pub sharp_share: Option<f64>,
    /// Size above which a sharp grain counts, in µm.
    pub sharp_above_um: f64,
    /// Angularity above which a grain counts as sharp.
    pub sharp_angularity: f64,
}

/// Functions that a kind of product cannot do without.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NeededFunctions {
    /// Kind of product.
    pub form: Form,
    /// Each inner list is met by any one of its functions.
    pub any_of: Vec<Vec<Function>>,
}

/// All guides in force.
#[derive(Clone, Debug, PartialEq)]
pub struct Rules {
    /// Edition of the guides.
    pub edition: String,
    /// As of this day.
    pub as_of: Date,
    /// Exfoliant guides by place.
    pub grains: Vec<GrainGuide>,
    /// Functions needed by kind of product.
    pub needed: Vec<NeededFunctions>,
    /// Free water in % above which a preservative is asked for (exceeds: strictly above).
    pub free_water_max: Percent,
    /// Free water in % above which heat limits of starches and flours count.
    pub wet_above: Percent,
    /// Hot enough to burn: phase temperature in °C from which the hot-fat caution is printed.
    pub hot_from_c: f64,
    /// Law by market.
    pub markets: Vec<Arc<Market>>,
    /// What preservatives do.
    pub preservatives: Arc<Preservatives>,
    /// Daily exposure by product.
    pub exposure: Arc<ExposureTable>,
    /// Figures of the interaction rules.
    pub interactions: Arc<Interactions>,
}

impl Rules {
    /// The markets that a formula is meant for: those it names that are known, or all.
    pub fn markets_of<'a>(&'a self, formula: &'a Formula) -> impl Iterator<Item = &'a Arc<Market>> {
        let named = &formula.safety.markets;
        self.markets.iter().filter(move |m| named.is_empty() || named.contains(&m.code))
    }

    /// What no rule looks at, over all markets, each once; what only one market says is named.
    #[must_use]
    pub fn not_checked(&self) -> Vec<String> {
        not_checked(self.markets.iter().map(|m| (m.name.as_str(), m.not_checked.as_slice())))
    }

    /// The market of this code.
    #[must_use]
    pub fn market(&self, code: &str) -> Option<&Arc<Market>> {
        self.markets.iter().find(|m| m.code == code)
    }

    /// The guide for a place; `None` where there is none.
    #[must_use]
    pub fn grain_guide(&self, place: Place) -> Option<&GrainGuide> {
        self.grains.iter().find(|g| g.place == place)
    }
}

/// What no rule looks at, whatever the market.
const NEVER_CHECKED: [&str; 5] = [
    "prohibited substances",
    "contaminants and traces of raw materials",
    "microbiology and challenge tests",
    "stability and the pack",
    "claims",
];

/// Lists of several markets as one: what all share stands once, the rest with its market.
pub(crate) fn not_checked<'a>(
    markets: impl Iterator<Item = (&'a str, &'a [String])>,
) -> Vec<String> {
    let markets: Vec<(&str, &[String])> = markets.collect();
    if markets.is_empty() {
        return NEVER_CHECKED.map(str::to_owned).to_vec();
    }
    let mut out: Vec<String> = Vec::new();
    for (name, list) in &markets {
        for text in *list {
            let shared = markets.iter().all(|(_, other)| other.contains(text));
            let line = if shared { text.clone() } else { format!("{name}: {text}") };
            if !out.contains(&line) {
                out.push(line);
            }
        }
    }
    out
}

impl Default for Rules {
    fn default() -> Self {
        let guide = |place, d90_um, index, load: Option<i64>, sharp_share| GrainGuide {
            place,
            d90_um,
            index,
            load: load.map(|l| Percent(Decimal::from(l))),
            sharp_share,
            sharp_above_um: 800.0,
            sharp_angularity: 0.5,
        };
        use Function as F;
        let needs = |form, any_of: &[&[F]]| NeededFunctions {
            form,
            any_of: any_of.iter().map(|l| l.to_vec()).collect(),
        };
        Self {
            edition: "Quern guides 1".to_owned(),
            as_of: Date::new(2026, 11, 25).unwrap_or(Date::Y2K),
            grains: vec![
                guide(Place::Face, Some(350.0), Some(25.0), Some(3), Some(2.0)),
                guide(Place::Lips, Some(350.0), Some(25.0), Some(3), Some(2.0)),
                guide(Place::Body, Some(1000.0), Some(130.0), None, None),
            ],
            needed: vec![
                needs(
                    Form::ScrubBar,
                    &[&[F::Surfactant], &[F::Structure, F::Butter, F::Emulsifier], &[F::Exfoliant]],
                ),
                needs(
                    Form::CleansingBar,
                    &[&[F::Surfactant], &[F::Structure, F::Butter, F::Emulsifier]],
                ),
                needs(Form::JarScrub, &[&[F::Exfoliant], &[F::Emollient, F::Butter]]),
                needs(
                    Form::Emulsion,
                    &[&[F::Solvent], &[F::Emulsifier], &[F::Emollient, F::Butter]],
                ),
                needs(Form::Balm, &[&[F::Emollient, F::Butter]]),
                needs(Form::Powder, &[&[F::Filler, F::Surfactant, F::Exfoliant]]),
                needs(Form::Bath, &[&[F::Adjuster]]),
            ],
            free_water_max: Percent(Decimal::ONE),
            wet_above: Percent(Decimal::from(5)),
            hot_from_c: 60.0,
            markets: Vec::new(),
            preservatives: Arc::default(),
            exposure: Arc::default(),
            interactions: Arc::default(),
        }
    }
}
