//! Kept versions, the bin and the list of steps: what is asked for, and what is under entry.

mod apply;
mod difference;

use std::sync::Arc;

use quern_calc::formula::{FormulaId, VersionState};

use super::commands::Command;
pub use difference::{Difference, change_words};

/// Something about versions, the bin or the steps.
#[derive(Clone, Debug)]
pub enum VersionAction {
    /// Gives the version at work a state and a reason, and goes on with the next one.
    Keep {
        /// Its state from now on.
        state: VersionState,
        /// Why it was made.
        reason: String,
        /// Why the next one is made; `None` stays with this version.
        next: Option<String>,
    },
    /// Chooses a version in the dialog, and the one it is held against.
    Choose {
        /// The chosen one.
        chosen: u32,
        /// The other one.
        with: u32,
    },
    /// Gives a version of the formula at hand another state.
    State(u32, VersionState),
    /// Goes back to a kept version, for this reason.
    GoBack(u32, String),
    /// Shows a version beside the one at work.
    Beside(FormulaId, u32),
    /// Puts a formula from the bin back.
    Restore(usize),
    /// Removes a formula from the bin for good.
    RemoveForGood(usize),
    /// Removes everything from the bin for good.
    EmptyBin,
    /// Goes to where so many steps are done.
    JumpTo(usize),
}

/// A version under keeping.
#[derive(Clone, Debug)]
pub struct KeepDraft {
    /// Number of the version at work.
    pub number: u32,
    /// Number of the one that would come next.
    pub next: u32,
    /// Its state now.
    pub before: VersionState,
    /// State as chosen.
    pub state: VersionState,
    /// Reason as typed.
    pub reason: String,
    /// Go on with the next one.
    pub go_on: bool,
    /// Reason of the next one as typed.
    pub next_reason: String,
    /// What is wrong with the entry.
    pub error: Option<String>,
}

/// The list of versions of the formula at hand.
#[derive(Clone, Debug)]
pub struct VersionsDraft {
    /// The chosen version.
    pub chosen: u32,
    /// The one it is held against.
    pub with: u32,
    /// What differs between the two.
    pub difference: Arc<Difference>,
    /// Why to go back to the chosen one, as typed, once that was asked for.
    pub going_back: Option<String>,
}

/// What the bin asks before it removes something for good.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BinQuestion {
    /// The chosen formula.
    One,
    /// All of them.
    All,
}

/// The bin.
#[derive(Clone, Debug, Default)]
pub struct BinDraft {
    /// The chosen entry.
    pub chosen: Option<usize>,
    /// What is asked about.
    pub question: Option<BinQuestion>,
}

/// The list of steps.
#[derive(Clone, Debug, Default)]
pub struct HistoryDraft {
    /// The present was scrolled into view.
    pub placed: bool,
}

/// True for commands that change the content of the formula at hand, which a released version
/// refuses.
#[must_use]
pub fn changes_content(command: Command) -> bool {
    use Command as C;
    matches!(
        command,
        C::AddLine
            | C::AddPhase
            | C::ChangeMaterial
            | C::MoveLineUp
            | C::MoveLineDown
            | C::LockLine
            | C::FillLine
            | C::RemoveLine
            | C::PhaseDetails
            | C::Normalise
            | C::PartsTotal
            | C::AddExfoliant
            | C::UseBlend
    )
}
