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
    ("Up, Down", "Select the line before or after"),
    ("Enter, or a digit", "Enter the amount of the selected line"),
    ("Enter", "In a cell: take the entry and go down"),
    ("Shift+Enter", "In a cell: take the entry and go up"),
    ("Tab, Shift+Tab", "Next cell, cell before"),
    ("Escape", "In a cell: restore what was there"),
    ("Delete", "Remove the selected line"),
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
