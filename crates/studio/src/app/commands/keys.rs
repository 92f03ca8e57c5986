//! Keys that are no commands: those of the phase table and of what else takes keys for itself.
//! The sheet of shortcuts shows them after the command table.

/// Keys of one part of the window.
#[derive(Debug)]
pub struct Keys {
    /// Where they work.
    pub name: &'static str,
    /// Keys, and what they do.
    pub rows: &'static [(&'static str, &'static str)],
}

/// Keys of the phase table.
pub static KEYS: &[(&str, &str)] = &[
    ("Arrows", "Go from cell to cell; with Ctrl to the edge of the table"),
    ("Home, End", "First and last cell of the line; with Ctrl of the table"),
    ("Page Up, Page Down", "Ten lines up or down"),
    ("Tab, Shift+Tab", "Next cell that can be typed in, cell before"),
    ("Shift with these", "Select a range of cells; so does a drag or a Shift-click"),
    ("Shift+Space", "Select the whole line"),
    ("Ctrl+A", "Select the whole table"),
    ("Any letter or digit", "Replace what is in the cell; in a name, search for a material"),
    ("Enter", "Take the entry and go down; with Shift up"),
    ("Escape", "Restore what was in the cell"),
    ("Delete", "Clear the selected cells; on a name, remove the line"),
    ("Ctrl+Shift+V", "Paste rows of a spreadsheet as lines of their own"),
    ("Left, Right", "On the heading of a phase: fold it, unfold it"),
    ("Double click", "Open a cell; on the edge of a column, give back its usual width"),
];

/// Keys that work in dialogs, lists and the guide.
static ELSEWHERE: &[(&str, &str)] = &[
    ("Escape", "Close the dialog on top, or leave the tour"),
    ("Ctrl+Enter", "Do what the main button of a dialog does"),
    ("Up, Down, Enter", "Choose in a list"),
    ("Page Up, Page Down", "Turn the page of a view or of the guide"),
    ("Alt+Left", "Back in the guide"),
    ("Right, Left", "Next step of the tour, step before"),
];

/// All of them.
pub static GROUPS: [Keys; 2] =
    [Keys { name: "In the phase table", rows: KEYS }, Keys { name: "Everywhere", rows: ELSEWHERE }];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_row_says_the_same_twice() {
        for group in &GROUPS {
            for (i, row) in group.rows.iter().enumerate() {
                assert!(!row.0.is_empty() && !row.1.is_empty() && !row.1.ends_with('.'));
                assert!(group.rows.iter().skip(i + 1).all(|o| o != row), "{row:?}");
            }
        }
    }
}
