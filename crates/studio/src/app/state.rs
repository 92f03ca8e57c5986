//! What the window remembers beside the project: where one is, what is open.

use std::path::PathBuf;

use quern_calc::batch::BatchPlan;
use quern_calc::formula::{
    Alternative, Formula, FormulaId, LineId, MaterialId, NormalisePreview, Phase, PhaseId,
};

use super::evals::Side;
use super::field_error::FieldError;
use super::grit::{GritState, SwapDraft};
use super::safety::{AcceptDraft, ExposureDraft, FindingsState, LabelState, SupplierDraft};
use super::setting::{MeasureDraft, MouldDraft, PowderDraft, SettingState, SolidsDraft};
use super::versions::{BinDraft, HistoryDraft, KeepDraft, VersionsDraft};

/// The views on the rail.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    /// Recent files, demo projects, kinds of product.
    Home,
    /// Phase table.
    Formula,
    /// Exfoliants: sizes, index, finding a blend.
    Grit,
    /// Melting, pouring, setting.
    Setting,
    /// What should worry the maker, and everything that was checked.
    Findings,
    /// What the pack says.
    Label,
    /// Side by side.
    Compare,
}

/// A sheet of one view.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Page {
    /// Blends side by side.
    Blends,
    /// Melting, pouring and setting.
    Setting,
    /// The label at true size, with what it rests on.
    Label,
}

impl Page {
    /// Name in a sentence.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Blends => say!("comparison sheet"),
            Self::Setting => say!("setting sheet"),
            Self::Label => say!("label sheet"),
        }
    }

    /// Name as a heading.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Self::Blends => say!("Comparison sheet"),
            Self::Setting => say!("Setting sheet"),
            Self::Label => say!("Label sheet"),
        }
    }

    /// Word for a file name.
    #[must_use]
    pub fn stem(self) -> &'static str {
        match self {
            Self::Blends => "blends",
            Self::Setting => "setting",
            Self::Label => "label",
        }
    }

    /// How to choose what is on it.
    #[must_use]
    pub fn hint(self) -> &'static str {
        match self {
            Self::Blends => say!("Choose others with Beside in the Grit view"),
            Self::Setting => say!("Choose another to stand beside in the Setting view"),
            Self::Label => say!("Choose the market in the Label view"),
        }
    }
}

/// What the composition chart shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChartBy {
    /// By function.
    Function,
    /// By phase.
    Phase,
    /// By component.
    Component,
}

impl ChartBy {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Function, Self::Phase, Self::Component];

    /// Name on screen.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Function => say!("by function"),
            Self::Phase => say!("by phase"),
            Self::Component => say!("by component"),
        }
    }
}

/// A wedge of the composition chart that is pointed at or has the focus.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Linked {
    /// The chart.
    pub chart: ChartBy,
    /// Place of the wedge in it.
    pub place: usize,
    /// The lines in it, for other tables to show.
    pub lines: Vec<LineId>,
}

/// What picking a material is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PickFor {
    /// Another material on a line.
    Replace(LineId),
    /// An alternative in the line dialog below.
    Alternative,
    /// An exfoliant for the Grit view.
    Exfoliant(ExfoliantFor),
}

/// What an exfoliant is picked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ExfoliantFor {
    /// A new line of the formula.
    Add,
    /// The search for a blend.
    From,
    /// A corner of the map.
    Corner(usize),
    /// The place of the exfoliant on this line.
    Swap(LineId),
}

/// A sieve table under edit: opening or mesh, and mass kept, as typed.
#[derive(Clone, Debug, Default)]
pub struct TableDraft {
    /// Rows as typed.
    pub rows: Vec<(String, String)>,
    /// Mass in the pan as typed.
    pub pan: String,
    /// Mass weighed in as typed; empty when it was not weighed.
    pub sample: String,
}

/// Grain data of a material under edit.
#[derive(Clone, Debug)]
pub struct GrainDraft {
    /// The material.
    pub material: MaterialId,
    /// Its data as they would be kept.
    pub data: quern_calc::formula::GrainData,
    /// Hardness, angularity and rate of dissolving, as typed.
    pub texts: [String; 3],
    /// Name of a new lot or grade as typed.
    pub name: String,
    /// Sizes of it in the supplier's words, as typed.
    pub stated: String,
    /// Sizes of it as a sieve table, where one is entered.
    pub table: Option<TableDraft>,
    /// What is wrong with the entry.
    pub error: Option<FieldError>,
}

/// What the unsaved-changes question holds up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum HeldUp {
    /// A new project.
    New,
    /// Asking for a file to open.
    Open,
    /// Opening this file.
    OpenPath(PathBuf),
    /// Reading the file again.
    Revert,
    /// Closing the window.
    Close,
    /// An unsaved copy of a demo project, by its place.
    Demo(usize),
    /// A project from a skeleton.
    Skeleton(FormulaId),
}

/// A search as it stands.
#[derive(Clone, Debug, Default)]
pub struct Search {
    /// What was typed.
    pub query: String,
    /// Row that Enter takes.
    pub at: usize,
}

/// Texts of a phase under edit.
#[derive(Clone, Debug)]
pub struct PhaseDraft {
    /// The phase with its other fields.
    pub phase: Phase,
    /// True for a phase that is not in the formula yet.
    pub new: bool,
    /// Temperature as typed.
    pub temperature: String,
    /// Kind of temperature: 0 unstated, 1 heat to, 2 below.
    pub mode: usize,
    /// Steps as typed: text, temperature, minutes.
    pub steps: Vec<(String, String, String)>,
    /// What is wrong with the entry.
    pub error: Option<FieldError>,
}

/// Texts of formula details under edit.
#[derive(Clone, Debug)]
pub struct DetailsDraft {
    /// The formula.
    pub formula: Formula,
    /// Version number as typed.
    pub version: String,
    /// pH as typed.
    pub ph: String,
    /// Date of the pH as typed.
    pub ph_date: String,
    /// True for a measured pH.
    pub measured: bool,
    /// What is wrong with the entry.
    pub error: Option<FieldError>,
}

/// Texts of the batch under edit.
#[derive(Clone, Debug)]
pub struct BatchDraft {
    /// The plan with its other fields.
    pub plan: BatchPlan,
    /// Piece weight as typed.
    pub piece: String,
    /// Vessel name and what it holds, as typed.
    pub vessel: (String, String),
    /// Scales as typed: name, readability, capacity, tare.
    pub scales: Vec<[String; 4]>,
    /// What is wrong with the entry.
    pub error: Option<FieldError>,
}

/// A dialog.
#[derive(Clone, Debug)]
pub enum Dialog {
    /// Pick a material or formula.
    Pick {
        /// What for.
        purpose: PickFor,
        /// Search.
        search: Search,
    },
    /// Find or do.
    Palette(Search),
    /// Note and alternatives of a line.
    Line {
        /// The line.
        line: LineId,
        /// Alternatives with their ratio as typed.
        alternatives: Vec<(Alternative, String)>,
        /// Note.
        note: String,
        /// Pack price of the material as typed: money, pack.
        price: (String, String),
        /// What is wrong with the entry.
        error: Option<FieldError>,
    },
    /// A phase.
    Phase(PhaseDraft),
    /// Formula details.
    Details(Box<DetailsDraft>),
    /// Batch, scales and pot.
    Batch(BatchDraft),
    /// Preview of normalising.
    Normalise(NormalisePreview),
    /// Parts that make the whole.
    Parts {
        /// As typed.
        text: String,
        /// What is wrong with the entry.
        error: Option<String>,
    },
    /// Bench sheet.
    Sheet {
        /// Path as typed, for when no file window opens.
        path: String,
        /// Show the path field.
        typed: bool,
        /// Ending for a path without one.
        ending: String,
        /// What went wrong with the path.
        error: Option<String>,
    },
    /// A path typed by hand, to open or save.
    Path {
        /// Save rather than open.
        save: bool,
        /// As typed.
        path: String,
        /// Why the field is shown.
        why: String,
    },
    /// Unsaved changes.
    Unsaved(HeldUp),
    /// Another window changed the file.
    ChangedOnDisk(String),
    /// Project name and currency.
    Project {
        /// Name.
        name: String,
        /// Currency.
        currency: String,
    },
    /// Skeletons to start from, with the one looked at.
    Skeletons(Option<FormulaId>),
    /// Grain data of a material.
    Grains(Box<GrainDraft>),
    /// One exfoliant for another.
    Swap(Box<SwapDraft>),
    /// The blend at hand, to be kept by name.
    SaveBlend {
        /// Name.
        name: String,
        /// Put it into the formula as a premix, too.
        replace: bool,
        /// What is wrong with the entry.
        error: Option<String>,
    },
    /// A kept blend for the formula at hand.
    UseBlend {
        /// Which.
        chosen: Option<FormulaId>,
        /// Load as typed.
        load: String,
        /// What is wrong with the entry.
        error: Option<String>,
    },
    /// A view's sheet.
    Page {
        /// Which.
        page: Page,
        /// Path as typed, for when no file window opens.
        path: String,
        /// Show the path field.
        typed: bool,
        /// What went wrong with the path.
        error: Option<String>,
    },
    /// A measurement under entry.
    Measure(MeasureDraft),
    /// Own moulds, with one under entry.
    Moulds(Box<MouldDraft>),
    /// A solid-fat table under entry.
    Solids(Box<SolidsDraft>),
    /// How a powder packs, under entry.
    Powder(Box<PowderDraft>),
    /// A warning under acceptance.
    Accept(AcceptDraft),
    /// What a supplier says of a material, under entry.
    Supplier(Box<SupplierDraft>),
    /// An exposure under entry.
    Exposure(Box<ExposureDraft>),
    /// Library updates, with those chosen.
    Updates(std::collections::BTreeSet<MaterialId>),
    /// A version under keeping.
    Keep(KeepDraft),
    /// Versions of the formula at hand.
    Versions(VersionsDraft),
    /// The bin.
    Bin(BinDraft),
    /// Steps to go to.
    History(HistoryDraft),
    /// All notices.
    Notices,
    /// Settings.
    Settings,
    /// Guide.
    Guide(Box<super::guide::GuideState>),
    /// Every shortcut.
    Shortcuts,
}

/// Everything of the window that is not the project.
#[derive(Debug)]
pub struct UiState {
    /// View shown.
    pub view: View,
    /// Formula at hand.
    pub formula: FormulaId,
    /// Selected line.
    pub line: Option<LineId>,
    /// Selected phase.
    pub phase: Option<PhaseId>,
    /// Line to scroll to, once.
    pub scroll_to: Option<LineId>,
    /// Cell to focus, once, after so many frames: a dialog on its way out still holds the focus.
    pub focus: Option<(egui::Id, u8)>,
    /// What was typed while that cell was not there yet.
    pub typed_ahead: Vec<egui::Event>,
    /// What the chart shows.
    pub chart: ChartBy,
    /// Table in place of the chart.
    pub chart_as_table: bool,
    /// The wedge of the chart that is pointed at or has the focus.
    pub linked: Option<Linked>,
    /// Figures drawer open, in narrow windows.
    pub drawer: bool,
    /// Figures panel shown, in wide windows.
    pub figures: bool,
    /// Sides of the comparison.
    pub sides: [Option<Side>; 2],
    /// The phase table.
    pub table: super::table::TableState,
    /// The Grit view.
    pub grit: GritState,
    /// The Setting view.
    pub setting: SettingState,
    /// The Findings view.
    pub findings: FindingsState,
    /// The Label view.
    pub label: LabelState,
    /// Open dialogs, the top one last.
    pub dialogs: Vec<Dialog>,
    /// What waits for a save to finish.
    pub held_up: Option<HeldUp>,
    /// The window may close.
    pub may_close: bool,
    /// Step of the tour, if it is on.
    pub tour: Option<usize>,
    /// The project of last time, where it is gone.
    pub missing: Option<PathBuf>,
}

impl UiState {
    /// At the start, with this formula at hand.
    #[must_use]
    pub fn new(formula: FormulaId) -> Self {
        Self {
            view: View::Formula,
            formula,
            line: None,
            phase: None,
            scroll_to: None,
            focus: None,
            typed_ahead: Vec::new(),
            chart: ChartBy::Function,
            chart_as_table: false,
            linked: None,
            drawer: false,
            figures: true,
            sides: [None, None],
            table: super::table::TableState::default(),
            grit: GritState::default(),
            setting: SettingState::default(),
            findings: FindingsState::default(),
            label: LabelState::default(),
            dialogs: Vec::new(),
            held_up: None,
            may_close: false,
            tour: None,
            missing: None,
        }
    }

    /// The dialog on top.
    #[must_use]
    pub fn top(&self) -> Option<&Dialog> {
        self.dialogs.last()
    }
}
