//! The one table of commands. It feeds the menu, the palette, shortcuts, tooltips, the
//! guide and the README list.

use egui::{Key, KeyboardShortcut, Modifiers};

/// Everything that can be done by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs)] // each has its words below
pub enum Command {
    NewProject,
    Open,
    Save,
    SaveAs,
    Revert,
    ExportSheet,
    BlendSheet,
    ProjectDetails,
    LibraryUpdates,
    Quit,
    Undo,
    Redo,
    NewFormula,
    NewFromSkeleton,
    DuplicateFormula,
    RemoveFormula,
    FormulaDetails,
    AddLine,
    AddPhase,
    ChangeMaterial,
    LineDetails,
    MoveLineUp,
    MoveLineDown,
    LockLine,
    FillLine,
    RemoveLine,
    PhaseDetails,
    Normalise,
    PartsTotal,
    BatchDetails,
    AddExfoliant,
    SaveBlend,
    UseBlend,
    ShowFormula,
    ShowGrit,
    ShowCompare,
    ToggleFigures,
    SwapSides,
    TakeBlend,
    Palette,
    ThemeNext,
    ReadingFont,
    DecimalSign,
    FourDecimals,
    ZoomIn,
    ZoomOut,
    ZoomReset,
    Notices,
    Guide,
}

/// Group of a command in the menu.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Group {
    Project,
    Edit,
    Formula,
    Line,
    View,
    Help,
}

impl Group {
    /// All of them, in menu order.
    pub const ALL: [Self; 6] =
        [Self::Project, Self::Edit, Self::Formula, Self::Line, Self::View, Self::Help];

    /// Name in the menu.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Project => "Project",
            Self::Edit => "Edit",
            Self::Formula => "Formula",
            Self::Line => "Line",
            Self::View => "View",
            Self::Help => "Help",
        }
    }
}

/// One row of the table.
#[derive(Debug)]
pub struct Row {
    /// The command.
    pub command: Command,
    /// Its group.
    pub group: Group,
    /// Name; three dots where more is asked.
    pub name: &'static str,
    /// What it does, for tooltips and the guide.
    pub about: &'static str,
    /// Shortcut, if any.
    pub shortcut: Option<KeyboardShortcut>,
}

const CTRL: Modifiers = Modifiers::COMMAND;
const CTRL_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);
const ALT: Modifiers = Modifiers::ALT;

const fn keys(modifiers: Modifiers, key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(modifiers, key))
}

const fn row(
    command: Command,
    group: Group,
    name: &'static str,
    about: &'static str,
    shortcut: Option<KeyboardShortcut>,
) -> Row {
    Row { command, group, name, about, shortcut }
}

use Command as C;
use Group as G;

/// The table, in menu order.
pub static TABLE: &[Row] = &[
    row(C::NewProject, G::Project, "New project", "Start an empty project", keys(CTRL, Key::N)),
    row(C::Open, G::Project, "Open...", "Open a project file", keys(CTRL, Key::O)),
    row(
        C::Save,
        G::Project,
        "Save",
        "Save the project; the file before stays as a backup",
        keys(CTRL, Key::S),
    ),
    row(
        C::SaveAs,
        G::Project,
        "Save as...",
        "Save the project under another name",
        keys(CTRL_SHIFT, Key::S),
    ),
    row(
        C::Revert,
        G::Project,
        "Revert",
        "Read the file again and drop changes since; can be undone",
        None,
    ),
    row(
        C::ExportSheet,
        G::Project,
        "Bench sheet...",
        "Write the bench sheet of this batch as PDF, HTML, CSV or Markdown",
        keys(CTRL, Key::P),
    ),
    row(
        C::BlendSheet,
        G::Project,
        "Comparison sheet...",
        "The blends of the Grit view on one page, as PDF or HTML",
        None,
    ),
    row(
        C::ProjectDetails,
        G::Project,
        "Project details...",
        "Name and currency of the project",
        None,
    ),
    row(
        C::LibraryUpdates,
        G::Project,
        "Library updates...",
        "What the built-in library has that differs from this project's materials",
        None,
    ),
    row(
        C::Quit,
        G::Project,
        "Quit",
        "Close the window; asks when something is not saved",
        keys(CTRL, Key::Q),
    ),
    row(C::Undo, G::Edit, "Undo", "Take the last change back", keys(CTRL, Key::Z)),
    row(C::Redo, G::Edit, "Redo", "Do again what was taken back", keys(CTRL_SHIFT, Key::Z)),
    row(
        C::NewFormula,
        G::Formula,
        "New formula",
        "Add an empty formula to the project",
        keys(CTRL_SHIFT, Key::N),
    ),
    row(
        C::NewFromSkeleton,
        G::Formula,
        "New from skeleton...",
        "Add a formula from a generic skeleton",
        None,
    ),
    row(
        C::DuplicateFormula,
        G::Formula,
        "Duplicate formula",
        "Copy the formula under a new name",
        None,
    ),
    row(
        C::RemoveFormula,
        G::Formula,
        "Remove formula",
        "Take the formula out of the project; can be undone",
        None,
    ),
    row(
        C::FormulaDetails,
        G::Formula,
        "Formula details...",
        "Name, kind of product, place of use, version and pH",
        keys(CTRL, Key::E),
    ),
    row(
        C::Normalise,
        G::Formula,
        "Bring to 100...",
        "Scale unlocked lines to a total of 100, with a preview",
        None,
    ),
    row(
        C::PartsTotal,
        G::Formula,
        "Parts...",
        "How many parts make the whole, for recipes in parts",
        None,
    ),
    row(
        C::BatchDetails,
        G::Formula,
        "Batch and scales...",
        "Batch code, scales, pot and piece weight",
        keys(CTRL, Key::B),
    ),
    row(
        C::AddExfoliant,
        G::Formula,
        "Add an exfoliant...",
        "Add grains to the formula, to be adjusted in the Grit view",
        None,
    ),
    row(
        C::SaveBlend,
        G::Formula,
        "Keep the blend...",
        "Keep the exfoliants under a name, to be used in other formulas",
        None,
    ),
    row(
        C::UseBlend,
        G::Formula,
        "Use a kept blend...",
        "Put a kept blend in the place of the formula's exfoliants",
        None,
    ),
    row(C::AddPhase, G::Formula, "Add phase...", "Add a phase at the end", None),
    row(
        C::PhaseDetails,
        G::Formula,
        "Phase details...",
        "Name, kind, temperature and steps of the phase",
        keys(CTRL_SHIFT, Key::E),
    ),
    row(
        C::AddLine,
        G::Line,
        "Add a material...",
        "Add a line after the selected one",
        keys(CTRL, Key::Enter),
    ),
    row(
        C::ChangeMaterial,
        G::Line,
        "Change material...",
        "Put another material on the line, keeping its amount",
        keys(Modifiers::NONE, Key::F2),
    ),
    row(
        C::LineDetails,
        G::Line,
        "Line details...",
        "Note and alternatives of the line",
        keys(CTRL, Key::D),
    ),
    row(
        C::MoveLineUp,
        G::Line,
        "Move line up",
        "Move the line up, over the edge into the phase before",
        keys(ALT, Key::ArrowUp),
    ),
    row(
        C::MoveLineDown,
        G::Line,
        "Move line down",
        "Move the line down, over the edge into the next phase",
        keys(ALT, Key::ArrowDown),
    ),
    row(
        C::LockLine,
        G::Line,
        "Lock or unlock line",
        "Hold the line fixed while others are adjusted",
        keys(CTRL, Key::L),
    ),
    row(
        C::FillLine,
        G::Line,
        "Fill to 100 (q.s.)",
        "Let this line take what is left to 100, or stop it",
        keys(CTRL_SHIFT, Key::L),
    ),
    row(
        C::RemoveLine,
        G::Line,
        "Remove line",
        "Take the line out; can be undone",
        keys(CTRL, Key::Delete),
    ),
    row(
        C::ShowFormula,
        G::View,
        "Formula",
        "Phase table, composition, gauges and findings",
        keys(CTRL, Key::Num1),
    ),
    row(
        C::ShowGrit,
        G::View,
        "Grit",
        "Exfoliants: sizes, grit index, guides, and finding a blend",
        keys(CTRL, Key::Num3),
    ),
    row(
        C::ShowCompare,
        G::View,
        "Compare",
        "Two formulas, or two blends on one base, side by side",
        keys(CTRL, Key::Num2),
    ),
    row(
        C::ToggleFigures,
        G::View,
        "Figures panel",
        "Show or hide composition, gauges and findings",
        keys(CTRL, Key::I),
    ),
    row(C::SwapSides, G::View, "Swap sides", "Exchange left and right in the comparison", None),
    row(
        C::TakeBlend,
        G::View,
        "Take the right blend",
        "Put the exfoliants of the right side into the left formula",
        None,
    ),
    row(
        C::Palette,
        G::View,
        "Find or do...",
        "Find a command, formula or material",
        keys(CTRL, Key::K),
    ),
    row(C::ThemeNext, G::View, "Theme: next", "System, light or dark", None),
    row(
        C::ReadingFont,
        G::View,
        "Reading typeface",
        "A typeface with letters that are hard to mistake",
        None,
    ),
    row(C::DecimalSign, G::View, "Decimal sign", "Point or comma", None),
    row(
        C::FourDecimals,
        G::View,
        "Four decimals",
        "Show percentages to 4 decimals instead of 2",
        None,
    ),
    row(C::ZoomIn, G::View, "Zoom in", "Larger text and controls", keys(CTRL, Key::Plus)),
    row(C::ZoomOut, G::View, "Zoom out", "Smaller text and controls", keys(CTRL, Key::Minus)),
    row(
        C::ZoomReset,
        G::View,
        "Zoom to 100 %",
        "Usual size of text and controls",
        keys(CTRL, Key::Num0),
    ),
    row(C::Notices, G::Help, "Notices...", "Everything that was said since the start", None),
    row(
        C::Guide,
        G::Help,
        "Guide...",
        "How it works, cautions and every shortcut",
        keys(Modifiers::NONE, Key::F1),
    ),
];

impl Command {
    /// Its row.
    #[must_use]
    pub fn row(self) -> &'static Row {
        static LOST: Row = row(C::Guide, G::Help, "", "", None);
        TABLE.iter().find(|r| r.command == self).unwrap_or(&LOST)
    }

    /// Name with shortcut, for a tooltip.
    #[must_use]
    pub fn tooltip(self, ctx: &egui::Context) -> String {
        let row = self.row();
        match row.shortcut {
            Some(keys) => format!("{} ({})", row.about, ctx.format_shortcut(&keys)),
            None => row.about.to_owned(),
        }
    }
}

/// The command whose shortcut was pressed; the one with most modifiers wins, so that
/// Ctrl+Shift+S is never taken for Ctrl+S. A shortcut that a focused text field needs for
/// itself is left to it.
pub fn pressed(ctx: &egui::Context) -> Option<Command> {
    let typing = ctx.text_edit_focused();
    let mut rows: Vec<&Row> = TABLE.iter().filter(|r| r.shortcut.is_some()).collect();
    rows.sort_by_key(|r| std::cmp::Reverse(r.shortcut.map_or(0, |s| weight(s.modifiers))));
    ctx.input_mut(|input| {
        rows.into_iter().find(|r| {
            let Some(keys) = r.shortcut else { return false };
            if typing && belongs_to_text(&keys) {
                return false;
            }
            input.consume_shortcut(&keys)
        })
    })
    .map(|r| r.command)
}

/// True for commands that act on the project as it stands, so that an entry under way must be
/// finished first. The others leave the field alone.
#[must_use]
pub fn waits_for_fields(command: Command) -> bool {
    !matches!(
        command,
        Command::MoveLineUp
            | Command::MoveLineDown
            | Command::ZoomIn
            | Command::ZoomOut
            | Command::ZoomReset
            | Command::ToggleFigures
    )
}

fn weight(m: Modifiers) -> u8 {
    u8::from(m.command || m.ctrl) + u8::from(m.shift) + u8::from(m.alt)
}

/// Shortcuts that edit text while a field has the focus.
fn belongs_to_text(keys: &KeyboardShortcut) -> bool {
    matches!(keys.logical_key, Key::Z | Key::Delete) && keys.modifiers.command
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_has_one_row_with_words() {
        for (i, r) in TABLE.iter().enumerate() {
            assert!(!r.name.is_empty() && !r.about.is_empty(), "{:?}", r.command);
            assert!(!r.name.ends_with('.') || r.name.ends_with("..."), "{}", r.name);
            assert!(!r.about.ends_with('.'), "{}", r.about);
            assert!(TABLE.iter().skip(i + 1).all(|o| o.command != r.command && o.name != r.name));
        }
    }

    #[test]
    fn no_two_commands_share_a_shortcut() {
        let all: Vec<_> = TABLE.iter().filter_map(|r| r.shortcut.map(|s| (s, r.name))).collect();
        for (i, (a, name)) in all.iter().enumerate() {
            for (b, other) in all.iter().skip(i + 1) {
                assert_ne!(a, b, "{name} and {other}");
            }
        }
    }
}
