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
    (term!("Arrows"), term!("Go from cell to cell; with Ctrl to the edge of the table")),
    (term!("Home, End"), term!("First and last cell of the line; with Ctrl of the table")),
    (term!("Page Up, Page Down"), term!("Ten lines up or down")),
    (term!("Tab, Shift+Tab"), term!("Next cell that can be typed in, cell before")),
    (term!("Shift with these"), term!("Select a range of cells; so does a drag or a Shift-click")),
    (term!("Shift+Space"), term!("Select the whole line")),
    (term!("Ctrl+A"), term!("Select the whole table")),
    (
        term!("Any letter or digit"),
        term!("Replace what is in the cell; in a name, search for a material"),
    ),
    (term!("Enter"), term!("Take the entry and go down; with Shift up")),
    (term!("Escape"), term!("Restore what was in the cell")),
    (term!("Delete"), term!("Clear the selected cells; on a name, remove the line")),
    (term!("Ctrl+Shift+V"), term!("Paste rows of a spreadsheet as lines of their own")),
    (term!("Left, Right"), term!("On the heading of a phase: fold it, unfold it")),
    (
        term!("Double click"),
        term!("Open a cell; on the edge of a column, give back its usual width"),
    ),
];

/// Keys that work in dialogs, lists and the guide.
static ELSEWHERE: &[(&str, &str)] = &[
    (term!("Escape"), term!("Close the dialog on top, or leave the tour")),
    (term!("Ctrl+Enter"), term!("Do what the main button of a dialog does")),
    (term!("Up, Down, Enter"), term!("Choose in a list")),
    (term!("Page Up, Page Down"), term!("Turn the page of a view or of the guide")),
    (term!("Alt+Left"), term!("Back in the guide")),
    (term!("Right, Left"), term!("Next step of the tour, step before")),
];

/// All of them.
pub static GROUPS: [Keys; 2] = [
    Keys { name: term!("In the phase table"), rows: KEYS },
    Keys { name: term!("Everywhere"), rows: ELSEWHERE },
];

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
