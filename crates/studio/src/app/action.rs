//! What views ask for. Views change nothing; [`super::App`] carries these out after drawing.

use std::path::PathBuf;

use quern_calc::batch::BatchPlan;
use quern_calc::formula::{
    Alternative, Amount, Formula, FormulaId, Item, LineId, MaterialId, NormalisePreview, Phase,
    PhaseId,
};
use rust_decimal::Decimal;

use super::commands::Command;
use super::evals::Side;
use super::state::{ChartBy, Dialog, Linked, Page, View};

/// A change to the formula at hand.
#[derive(Clone, Debug)]
pub enum Edit {
    /// Sets or blanks an amount.
    Amount(LineId, Option<Amount>),
    /// Adds a line.
    AddLine {
        /// Phase to add to.
        phase: PhaseId,
        /// What to add.
        item: Item,
        /// Line to add after.
        after: Option<LineId>,
    },
    /// Adds a line at a place of a phase, from 0.
    InsertLine {
        /// Phase to add to.
        phase: PhaseId,
        /// Place in it.
        index: usize,
        /// What to add.
        item: Item,
    },
    /// Puts another item on a line.
    Item(LineId, Item),
    /// Moves a line to a place in a phase.
    MoveLine(LineId, PhaseId, usize),
    /// Locks or unlocks a line.
    Lock(LineId, bool),
    /// Sets or clears the q.s. line.
    Fill(Option<LineId>),
    /// Note and alternatives of a line.
    LineNotes(LineId, Vec<Alternative>, String),
    /// Adds a phase.
    AddPhase(Box<Phase>),
    /// Replaces name, kind, temperature and steps of a phase.
    UpdatePhase(Box<Phase>),
    /// Removes an empty phase.
    RemovePhase(PhaseId),
    /// Moves a phase one place.
    NudgePhase {
        /// The phase.
        phase: PhaseId,
        /// Down rather than up.
        down: bool,
    },
    /// Carries out a previewed normalising.
    Normalise(NormalisePreview),
    /// Sets how many parts make the whole.
    Parts(Decimal),
    /// Replaces name, version, product, pH and note, not the lines.
    Details(Box<Formula>),
}

impl Edit {
    /// Label of the undo step.
    #[must_use]
    pub fn label(&self) -> &'static str {
        match self {
            Self::Amount(..) => say!("change amount"),
            Self::AddLine { .. } | Self::InsertLine { .. } => say!("add material"),
            Self::Item(..) => say!("change material"),
            Self::MoveLine(..) => say!("move line"),
            Self::Lock(_, true) => say!("lock line"),
            Self::Lock(_, false) => say!("unlock line"),
            Self::Fill(Some(_)) => say!("fill to 100"),
            Self::Fill(None) => say!("stop filling to 100"),
            Self::LineNotes(..) => say!("change line details"),
            Self::AddPhase(_) => say!("add phase"),
            Self::UpdatePhase(_) => say!("change phase"),
            Self::RemovePhase(_) => say!("remove phase"),
            Self::NudgePhase { .. } => say!("move phase"),
            Self::Normalise(_) => say!("bring to 100"),
            Self::Parts(_) => say!("change parts"),
            Self::Details(_) => say!("change formula details"),
        }
    }
}

/// Anything a view asks for.
#[derive(Clone, Debug)]
pub enum Action {
    /// A command by name.
    Run(Command),
    /// A change to the formula at hand.
    Edit(Edit),
    /// A new plan for the formula at hand; one drag shares an interaction.
    Plan {
        /// The plan.
        plan: Box<BatchPlan>,
        /// Interaction that it belongs to, if it spans frames.
        interaction: Option<&'static str>,
    },
    /// An interaction that spans frames has ended.
    EndInteraction,
    /// Shows a view.
    Show(View),
    /// Takes a formula to hand.
    SelectFormula(FormulaId),
    /// Selects a line.
    SelectLine(Option<LineId>),
    /// Goes to a line from elsewhere: selects it and scrolls it into view.
    GoToLine(LineId),
    /// Selects a phase.
    SelectPhase(PhaseId),
    /// What the composition chart shows.
    Chart(ChartBy),
    /// Points at a wedge of the composition chart, or at none.
    Link(Option<Linked>),
    /// Chart or table.
    ChartAsTable(bool),
    /// Opens or closes the figures drawer.
    Drawer(bool),
    /// Sets a side of the comparison.
    SetSide(usize, Side),
    /// Opens a dialog.
    Open(Box<Dialog>),
    /// Closes the dialog on top.
    Close,
    /// Opens a project file.
    OpenPath(PathBuf),
    /// Writes the project there.
    SaveTo(PathBuf),
    /// Writes a sheet there.
    WriteSheet(PathBuf),
    /// Asks for a place for the sheet, with this ending.
    ChooseSheet(&'static str),
    /// Goes on with what the unsaved-changes question held up.
    Proceed {
        /// Save first.
        save: bool,
    },
    /// Adds a skeleton's formula.
    AddSkeleton(FormulaId),
    /// Name and currency of the project.
    ProjectDetails {
        /// Name.
        name: String,
        /// Currency.
        currency: String,
    },
    /// Price of a material.
    Price(MaterialId, Option<quern_calc::formula::Price>),
    /// Takes these library updates.
    UpdateMaterials(Vec<MaterialId>),
    /// Puts a notice on screen away.
    PutNoticeAway(u64),
    /// Empties the list of notices.
    ClearNotices,
    /// Says something.
    Say(super::notices::Tone, String),
    /// Cancels work under way.
    Cancel(u64),
    /// Stops waiting for the system's file window.
    ForgetWindow,
    /// Takes a choice of a setting.
    Prefer(super::preferences::Prefer),
    /// Writes the project over a file that another window changed.
    SaveOver,
    /// Something of the phase table.
    Table(super::table::TableAction),
    /// Something of the opening page or the tour.
    Home(super::home::HomeAction),
    /// Something of the Grit view.
    Grit(super::grit::GritAction),
    /// Something of the Setting view.
    Setting(super::setting::SettingAction),
    /// Something of the Findings or Label view.
    Safety(super::safety::SafetyAction),
    /// Something about versions, the bin or the steps.
    Version(super::versions::VersionAction),
    /// Asks for a place for a view's sheet, with this ending.
    ChoosePage(Page, &'static str),
    /// Writes a view's sheet there.
    WritePage(Page, PathBuf),
}
