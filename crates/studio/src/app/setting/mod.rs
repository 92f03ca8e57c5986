//! The Setting view's state, what it asks for, and the jobs behind it.

mod apply;
mod jobs;
mod share;

pub use jobs::{SettingDone, SettingJobs, SettingScene, SettingSide};

use std::collections::HashMap;

use quern_calc::evaluate::Mixing;
use quern_calc::formula::{FormulaId, LineId, MaterialId, PowderShape};
use quern_calc::quantity::Percent;
use quern_calc::setting::calibrate::Measured;
use quern_calc::setting::mould::{Stand, Wall};
use quern_calc::setting::notes::SettingNotes;
use quern_calc::setting::pour::PourClass;
use quern_calc::setting::table::SolidTable;

/// What the Setting view remembers.
#[derive(Clone, Debug)]
pub struct SettingState {
    /// The formula that the rest is about.
    pub of: Option<FormulaId>,
    /// Temperature of pouring, °C; `None` for the usual one of the formula.
    pub pour_c: Option<f64>,
    /// The same of the formulas that were at hand before.
    pub poured: HashMap<FormulaId, f64>,
    /// Where the mould stands.
    pub stand: Stand,
    /// Temperature of the air, °C; `None` for that of the room or the fridge.
    pub air_c: Option<f64>,
    /// A formula whose curve stands beside.
    pub beside: Option<FormulaId>,
    /// How the layers of the chart share crystals.
    pub mixing: Mixing,
    /// The melt curve as a table.
    pub as_table: bool,
}

impl SettingState {
    /// Another formula is at hand: it is poured as it was the last time.
    pub fn take_up(&mut self, formula: &FormulaId) {
        if self.of.as_ref() == Some(formula) {
            return;
        }
        if let Some((old, c)) = self.of.replace(formula.clone()).zip(self.pour_c.take()) {
            self.poured.insert(old, c);
        }
        self.pour_c = self.poured.remove(formula);
    }
}

impl Default for SettingState {
    fn default() -> Self {
        Self {
            of: None,
            pour_c: None,
            poured: HashMap::new(),
            stand: Stand::Bench,
            air_c: None,
            beside: None,
            mixing: Mixing::Alcohols,
            as_table: false,
        }
    }
}

/// What the Setting view asks for.
#[derive(Clone, Debug)]
pub enum SettingAction {
    /// Reads pouring at another temperature, °C; `None` for the usual one.
    Pour(Option<f64>),
    /// Puts the mould elsewhere.
    Stand(Stand),
    /// Another temperature of the air, °C; `None` for that of the room or the fridge.
    Air(Option<f64>),
    /// Shows another formula's curve beside, or none.
    Beside(Option<FormulaId>),
    /// Another way to mix crystals in the layers.
    Mixing(Mixing),
    /// Chart or table.
    AsTable(bool),
    /// What the workshop keeps, as one undo step with this label.
    Notes(&'static str, Box<SettingNotes>),
    /// An amount under a slider; the steps of one drag are one undo step.
    Amount(LineId, Percent),
    /// A measurement of the formula at hand, with the day and its name.
    Measure(Box<Measured>),
    /// A solid-fat table of a material, or the library's figures again.
    Solids(MaterialId, Option<SolidTable>),
    /// How a powder packs.
    Powder(MaterialId, PowderData),
}

/// How a powder packs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PowderData {
    /// True density, g/mL.
    pub density: f64,
    /// Outline of its grains.
    pub shape: PowderShape,
    /// Oil that is held inside the grains, g/g.
    pub soaks: f64,
}

/// A measurement under entry.
#[derive(Clone, Debug, Default)]
pub struct MeasureDraft {
    /// Kind: 0 set point, 1 flow, 2 poured weight, 3 needle depth.
    pub kind: usize,
    /// Temperature as typed.
    pub c: String,
    /// How it flowed.
    pub class: Option<PourClass>,
    /// Mass in the cavity as typed.
    pub grams: String,
    /// Volume of the cavity as typed.
    pub ml: String,
    /// Needle depth as typed.
    pub mm: String,
    /// What is wrong with the entry.
    pub error: Option<crate::app::field_error::FieldError>,
}

/// A mould under entry.
#[derive(Clone, Debug, Default)]
pub struct MouldDraft {
    /// Place among the own moulds of the one that is changed; `None` for a new one.
    pub at: Option<usize>,
    /// Name.
    pub name: String,
    /// Outline: 0 block, 1 disc, 2 oval, 3 dome.
    pub shape: usize,
    /// Sizes in mm as typed.
    pub sizes: [String; 3],
    /// Volume in mL, or water in g, as typed; empty when it was not measured.
    pub measured: String,
    /// What it is made of.
    pub wall: Wall,
    /// What is wrong with the entry.
    pub error: Option<crate::app::field_error::FieldError>,
}

/// A solid-fat table under entry.
#[derive(Clone, Debug)]
pub struct SolidsDraft {
    /// The material.
    pub material: MaterialId,
    /// Rows as typed: temperature, % solid.
    pub rows: Vec<(String, String)>,
    /// What is wrong with the entry.
    pub error: Option<String>,
}

/// How a powder packs, under entry.
#[derive(Clone, Debug)]
pub struct PowderDraft {
    /// The material.
    pub material: MaterialId,
    /// Density as typed.
    pub density: String,
    /// Outline.
    pub shape: PowderShape,
    /// Soaked oil as typed.
    pub soaks: String,
    /// What is wrong with the entry.
    pub error: Option<String>,
}
