//! Lays out RON text so that people and diffs can read it: what is short stands on one line.

/// Widest record that stands on one line, in characters without its indent: a figure with its
/// source, or a line of a formula with a long id.
const WIDTH: usize = 150;
/// Records begin this deep; what is above them always has its own lines.
const RECORD_INDENT: usize = 12;

struct Group {
    lines: Vec<String>,
    /// No group inside it is spread over lines.
    flat: bool,
    /// Records in it.
    records: usize,
}

/// Joins short groups of fully spread RON. Text values must be escaped, so that each line break
/// is one of layout and a bracket at the end of a line opens a group.
pub(super) fn compact(text: &str) -> String {
    let mut done: Vec<String> = Vec::new();
    let mut open: Vec<Group> = Vec::new();
    for line in text.lines() {
        let closes = line.trim_start().starts_with([')', ']']);
        if line.ends_with(['(', '[']) {
            open.push(Group { lines: vec![line.to_owned()], flat: true, records: 0 });
            continue;
        }
        let mut finished = vec![line.to_owned()];
        let record = line.trim_start().starts_with(')');
        if closes && let Some(mut group) = open.pop() {
            group.lines.append(&mut finished);
            finished = join(group);
        }
        match open.last_mut() {
            Some(outer) => {
                outer.flat &= finished.len() == 1;
                outer.records += usize::from(record);
                outer.lines.append(&mut finished);
            }
            None => done.append(&mut finished),
        }
    }
    // Reached only by text with an unclosed bracket: pass it through.
    for group in open {
        done.extend(group.lines);
    }
    let mut out = done.join("\n");
    out.push('\n');
    out
}

/// The lines of a closed group: one if it fits.
fn join(group: Group) -> Vec<String> {
    let indent = group.lines.first().map_or(0, |l| l.len() - l.trim_start().len());
    let width: usize = group.lines.iter().map(|l| l.trim_start().chars().count() + 1).sum();
    // Of several records each has its own line: that is what a diff should show.
    if !group.flat
        || group.records > 1 && last_is_list(&group)
        || indent < RECORD_INDENT
        || width > WIDTH
    {
        return group.lines;
    }
    let [first, inner @ .., last] = group.lines.as_slice() else { return group.lines };
    let inner: Vec<&str> = inner.iter().map(|l| l.trim_start()).collect();
    let inner = inner.join(" ");
    let inner = inner.strip_suffix(',').unwrap_or(&inner);
    vec![format!("{first}{inner}{}", last.trim_start())]
}

fn last_is_list(group: &Group) -> bool {
    group.lines.last().is_some_and(|l| l.trim_start().starts_with(']'))
}

#[cfg(test)]
mod tests {
    use super::compact;

    #[test]
    fn short_groups_join_and_brackets_in_text_do_not_matter() {
        let deep = " ".repeat(12);
        let spread = format!(
            "(\n    a: [\n{deep}(\n{deep}    id: 1,\n{deep}    name: \"odd ) (\",\n{deep}    list: \
             [\n{deep}        1,\n{deep}        2,\n{deep}    ],\n{deep}),\n    ],\n)"
        );
        let joined =
            format!("(\n    a: [\n{deep}(id: 1, name: \"odd ) (\", list: [1, 2]),\n    ],\n)\n");
        assert_eq!(compact(&spread), joined);
    }

    #[test]
    fn odd_text_passes() {
        for text in ["", ")", "(", "]\n)", "[\n(\n"] {
            let _ = compact(text);
        }
    }
}
