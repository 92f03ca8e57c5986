//! The rows of the command table.

use egui::{Key, KeyboardShortcut, Modifiers};

use super::{Command, Group, Row};

const CTRL: Modifiers = Modifiers::COMMAND;
const CTRL_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);
const ALT: Modifiers = Modifiers::ALT;

const fn keys(modifiers: Modifiers, key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(modifiers, key))
}

pub(super) const fn row(
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
        C::SettingSheet,
        G::Project,
        "Setting sheet...",
        "Melt curve, pouring and cooling of the formula on a page, as PDF or HTML",
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
    row(
        C::AddMeasurement,
        G::Formula,
        "Add a measurement...",
        "A set point, a flow, a poured weight or a needle depth of a made batch",
        None,
    ),
    row(
        C::Moulds,
        G::Formula,
        "Moulds...",
        "Your own moulds, by their sizes or measured with water",
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
        C::ShowSetting,
        G::View,
        "Setting",
        "Melt curve, pouring, cooling, shelf and parcel of the formula",
        keys(CTRL, Key::Num4),
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
