//! The Grit view's state, what it asks for, and the jobs behind it.

mod apply;
mod jobs;
mod share;

pub use jobs::{GritDone, GritJobs, GritScene};

use quern_calc::evaluate::{BlendAsk, Keep, SwapOption};
use quern_calc::formula::{FormulaId, GrainData, LineId, MaterialId, Place};
use quern_calc::quantity::{Grams, Percent};
use rust_decimal::Decimal;

/// Blends shown beside the one at hand, at most.
pub const BESIDE_MAX: usize = 3;

/// Candidates looked through at most: sets of three of a dozen take a blink.
pub const CANDIDATES_MAX: usize = 12;

/// What the Grit view remembers.
#[derive(Clone, Debug)]
pub struct GritState {
    /// The formula that the rest is about.
    pub of: Option<FormulaId>,
    /// Where the cut stands, um.
    pub cut_um: f64,
    /// Cumulative curves rather than densities.
    pub cumulative: bool,
    /// The index by size class rather than by exfoliant.
    pub by_class: bool,
    /// Formulas whose blends are shown beside.
    pub beside: Vec<FormulaId>,
    /// What a blend is asked for; `None` for what suits the place of use.
    pub asked: Option<BlendAsk>,
    /// The ask in force.
    pub ask: BlendAsk,
    /// Exfoliants that may be used; `None` for those of the project.
    pub from: Option<Vec<MaterialId>>,
    /// Exfoliants of the map; `None` for the first of those that may be used.
    pub corners: Option<Vec<MaterialId>>,
    /// Mixes that cost more than this per 100 g of product are dimmed.
    pub cost_most: Option<f64>,
    /// The mix under the cursor of the map.
    pub mix: Vec<f64>,
    /// The map as a table.
    pub map_as_table: bool,
    /// Which of the found blends is looked at.
    pub pick: usize,
}

impl Default for GritState {
    fn default() -> Self {
        Self {
            of: None,
            cut_um: 300.0,
            cumulative: false,
            by_class: false,
            beside: Vec::new(),
            asked: None,
            ask: BlendAsk::default(),
            from: None,
            corners: None,
            cost_most: None,
            mix: Vec::new(),
            map_as_table: false,
            pick: 0,
        }
    }
}

impl GritState {
    /// Another formula is at hand: what was asked for and pointed at belonged to the one before.
    pub fn for_another(&mut self) {
        self.asked = None;
        self.corners = None;
        self.mix.clear();
        self.pick = 0;
    }
}

/// What the Grit view asks for.
#[derive(Clone, Debug)]
pub enum GritAction {
    /// Moves the cut, um.
    Cut(f64),
    /// Cumulative curves or densities.
    Cumulative(bool),
    /// The index by size class or by exfoliant.
    ByClass(bool),
    /// Shows a blend beside, or no longer.
    Beside(FormulaId, bool),
    /// Asks for a blend.
    Ask(Box<BlendAsk>),
    /// Lets an exfoliant be used in the search, or not.
    From(MaterialId, bool),
    /// Puts an exfoliant at a corner of the map; `None` takes the third away.
    Corner(usize, Option<MaterialId>),
    /// Dims mixes that cost more.
    CostMost(Option<f64>),
    /// Moves the cursor of the map.
    Mix(Vec<f64>),
    /// Map or table.
    MapAsTable(bool),
    /// Looks at one of the found blends.
    Pick(usize),
    /// Puts a found blend into the formula.
    UseFound(usize),
    /// Puts this mix into the formula.
    UseMix(Vec<(MaterialId, Percent)>),
    /// Works out the ways to swap the line's exfoliant.
    Swap(LineId, MaterialId),
    /// Swaps in one of the ways.
    UseSwap(LineId, Box<SwapOption>, MaterialId),
    /// Grams in one use at a place; `None` for the usual figure.
    Grams(Place, Option<Grams>),
    /// Scores the bar at hand from 1 to 10, or forgets its score.
    Score(FormulaId, Option<Decimal>),
    /// The place that the product is for.
    Place(Place),
    /// Keeps the blend under a name; `true` puts the premix into the formula, too.
    SaveBlend(String, bool),
    /// Puts a kept blend into the formula at a load.
    UseBlend(FormulaId, Percent),
    /// Grain data of a material.
    Grains(MaterialId, Box<GrainData>),
    /// Adds an exfoliant to the formula.
    AddExfoliant(MaterialId),
}

/// The ways to swap, as the dialog shows them.
#[derive(Clone, Debug)]
pub struct SwapDraft {
    /// The line.
    pub line: LineId,
    /// The new exfoliant, once chosen.
    pub new: Option<MaterialId>,
    /// The ways with what they come to.
    pub ways: Vec<SwapWay>,
    /// What is kept, as chosen.
    pub keep: Keep,
}

/// One way to swap and what it changes.
#[derive(Clone, Debug)]
pub struct SwapWay {
    /// The way.
    pub option: SwapOption,
    /// What it comes to.
    pub evaluation: Option<std::sync::Arc<quern_calc::evaluate::Evaluation>>,
    /// Findings that come and go, by their titles.
    pub findings: (Vec<String>, Vec<String>),
    /// INCI names that come and go.
    pub names: (Vec<String>, Vec<String>),
}
