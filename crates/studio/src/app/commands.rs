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
    SettingSheet,
    LabelSheet,
    ProjectDetails,
    LibraryUpdates,
    Quit,
    Undo,
    Redo,
    History,
    NewFormula,
    NewFromSkeleton,
    DuplicateFormula,
    RemoveFormula,
    Bin,
    KeepVersion,
    StartVersion,
    Versions,
    FormulaDetails,
    AddLine,
    AddPhase,
    ChangeMaterial,
    LineDetails,
    SupplierFigures,
    InsertLine,
    DuplicateLine,
    EditCell,
    FillDown,
    CopyCells,
    CutCells,
    PasteCells,
    FoldPhases,
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
    AddMeasurement,
    Moulds,
    ShowHome,
    ShowFormula,
    ShowGrit,
    ShowSetting,
    ShowFindings,
    ShowLabel,
    ShowCompare,
    ToggleFigures,
    SwapSides,
    TakeBlend,
    Palette,
    ThemeNext,
    HighContrast,
    ReducedMotion,
    ReadingFont,
    DecimalSign,
    FourDecimals,
    ZoomIn,
    ZoomOut,
    ZoomReset,
    Notices,
    Settings,
    Guide,
    Shortcuts,
    Tour,
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
            Self::Project => say!("Project"),
            Self::Edit => say!("Edit"),
            Self::Formula => say!("Formula"),
            Self::Line => say!("Line"),
            Self::View => say!("View"),
            Self::Help => say!("Help"),
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
    /// Another shortcut for the same, for hands that know it from elsewhere.
    pub also: Option<KeyboardShortcut>,
}

impl Row {
    /// Name in the language in force.
    #[must_use]
    pub fn name(&self) -> &'static str {
        crate::words::text(self.name)
    }

    /// What it does, in the language in force.
    #[must_use]
    pub fn about(&self) -> &'static str {
        crate::words::text(self.about)
    }

    /// Both shortcuts.
    pub fn shortcuts(&self) -> impl Iterator<Item = KeyboardShortcut> {
        self.shortcut.into_iter().chain(self.also)
    }
}

mod available;
pub mod keys;
mod table;
pub use table::TABLE;

impl Command {
    /// Its row.
    #[must_use]
    pub fn row(self) -> &'static Row {
        static LOST: Row = table::row(Command::Guide, Group::Help, "", "", None);
        TABLE.iter().find(|r| r.command == self).unwrap_or(&LOST)
    }

    /// Name with shortcut, for a tooltip.
    #[must_use]
    pub fn tooltip(self, ctx: &egui::Context) -> String {
        let row = self.row();
        match row.shortcut {
            Some(keys) => format!("{} ({})", row.about(), ctx.format_shortcut(&keys)),
            None => row.about().to_owned(),
        }
    }
}

/// The command whose shortcut was pressed; the one with most modifiers wins, so that
/// Ctrl+Shift+S is never taken for Ctrl+S. A shortcut that a focused text field needs for
/// itself is left to it.
pub fn pressed(ctx: &egui::Context) -> Option<Command> {
    let typing = ctx.text_edit_focused();
    let mut all: Vec<(KeyboardShortcut, Command)> =
        TABLE.iter().flat_map(|r| r.shortcuts().map(|keys| (keys, r.command))).collect();
    all.sort_by_key(|(keys, _)| std::cmp::Reverse(weight(keys.modifiers)));
    ctx.input_mut(|input| {
        all.into_iter()
            .find(|(keys, _)| !(typing && belongs_to_text(keys)) && input.consume_shortcut(keys))
    })
    .map(|(_, command)| command)
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
    let text = [Key::Z, Key::Y, Key::Delete, Key::C, Key::X, Key::V];
    text.contains(&keys.logical_key) && keys.modifiers.command
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
        let all: Vec<_> = TABLE.iter().flat_map(|r| r.shortcuts().map(|s| (s, r.name))).collect();
        for (i, (a, name)) in all.iter().enumerate() {
            for (b, other) in all.iter().skip(i + 1) {
                assert_ne!(a, b, "{name} and {other}");
            }
        }
    }
}
