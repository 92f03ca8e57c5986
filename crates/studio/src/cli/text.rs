//! Plain text for a terminal: lines that fit, and aligned columns.

/// Columns of a terminal that reports are laid out for.
pub(super) const WIDTH: usize = 100;

/// Between two columns of a table.
const GAP: &str = "  ";

/// Narrowest that a column of names is cut to.
const LEAST_NAME: usize = 12;

/// Longest part of a typed text that an error repeats.
const MOST_QUOTED: usize = 60;

/// The text on one line, with nothing in it that would steer a terminal. Names come from
/// files that others wrote.
pub(super) fn clean(text: &str) -> String {
    let visible: String = text
        .chars()
        .filter(|c| !is_direction(*c))
        .map(|c| if c.is_control() || matches!(c, '\u{2028}' | '\u{2029}') { ' ' } else { c })
        .collect();
    // Only plain spaces are gathered: those within numbers must stay as they are.
    visible.split(' ').filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" ")
}

fn is_direction(c: char) -> bool {
    matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// A text in quotation marks, clean and short.
pub(super) fn quoted(text: &str) -> String {
    format!("“{}”", cut(&clean(text), MOST_QUOTED))
}

/// A message with its list on the same line.
pub(super) fn one_line(text: &str) -> String {
    clean(&text.replacen("\n- ", " ", 1).replace("\n- ", "; "))
}

/// The text in at most `most` characters.
pub(super) fn cut(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let kept: String = text.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
}

/// Appends the text in lines of at most [`WIDTH`], the first one after `first`, the others
/// indented as far.
pub(super) fn wrap(out: &mut String, first: &str, text: &str) {
    hang(out, first, first.chars().count(), text);
}

/// The same with the others indented by `indent`.
pub(super) fn hang(out: &mut String, first: &str, indent: usize, text: &str) {
    let mut room = WIDTH.saturating_sub(first.chars().count()).max(LEAST_NAME);
    let mut line = String::new();
    let mut lead = first.to_owned();
    let mut flush = |line: &mut String| {
        out.push_str(format!("{lead}{line}").trim_end());
        out.push('\n');
        line.clear();
        lead = " ".repeat(indent);
        WIDTH.saturating_sub(indent).max(LEAST_NAME)
    };
    for word in clean(text).split(' ') {
        let mut word = word.to_owned();
        let space = usize::from(!line.is_empty());
        if !line.is_empty() && line.chars().count() + space + word.chars().count() > room {
            room = flush(&mut line);
        }
        // A word longer than a line is broken: nothing may run off the page.
        while word.chars().count() > room {
            let rest: String = word.chars().skip(room).collect();
            line = word.chars().take(room).collect();
            room = flush(&mut line);
            word = rest;
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(&word);
    }
    flush(&mut line);
}

/// Names in one line: apart by semicolons where one of them holds a comma.
pub(super) fn listed<T: AsRef<str>>(names: &[T]) -> String {
    let comma = names.iter().any(|n| n.as_ref().contains(','));
    let names: Vec<&str> = names.iter().map(AsRef::as_ref).collect();
    names.join(if comma { "; " } else { ", " })
}

/// How a column is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Set {
    /// Names; the widest such column gives way when the table is too wide.
    Left,
    /// Text or whole numbers.
    Right,
    /// Numbers aligned on their decimal sign.
    Decimal,
}

/// A table of aligned columns.
#[derive(Debug)]
pub(super) struct Table {
    columns: Vec<(String, Set)>,
    rows: Vec<Vec<String>>,
}

impl Table {
    pub fn new<'a>(columns: impl IntoIterator<Item = (&'a str, Set)>) -> Self {
        Self {
            columns: columns.into_iter().map(|(t, s)| (clean(t), s)).collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row; the leading spaces of a cell are kept as its indent.
    pub fn row<T: Into<String>>(&mut self, cells: impl IntoIterator<Item = T>) {
        let cells = cells.into_iter().map(Into::into).map(|cell: String| {
            let indent = cell.len() - cell.trim_start_matches(' ').len();
            format!("{}{}", " ".repeat(indent), clean(&cell))
        });
        self.rows.push(cells.collect());
    }

    /// Appends the table, indented by two.
    pub fn render(mut self, out: &mut String) {
        for (i, (_, set)) in self.columns.iter().enumerate() {
            if *set == Set::Decimal {
                align(self.rows.iter_mut().filter_map(|row| row.get_mut(i)));
            }
        }
        let widths = self.widths();
        let titled = self.columns.iter().any(|(title, _)| !title.is_empty());
        let titles = titled.then(|| self.columns.iter().map(|(t, _)| t.clone()).collect());
        for row in titles.iter().chain(&self.rows) {
            let mut line = String::from(GAP);
            for ((cell, width), (_, set)) in row.iter().zip(&widths).zip(&self.columns) {
                let cell = cut(cell, *width);
                let space = " ".repeat(width.saturating_sub(cell.chars().count()));
                match set {
                    Set::Left => line.extend([cell.as_str(), &space, GAP]),
                    Set::Right | Set::Decimal => line.extend([space.as_str(), &cell, GAP]),
                }
            }
            out.push_str(line.trim_end());
            out.push('\n');
        }
    }

    fn widths(&self) -> Vec<usize> {
        let mut widths: Vec<usize> = self.columns.iter().map(|(t, _)| t.chars().count()).collect();
        for row in &self.rows {
            for (width, cell) in widths.iter_mut().zip(row) {
                *width = (*width).max(cell.chars().count());
            }
        }
        let gaps = GAP.len() * self.columns.len();
        while widths.iter().sum::<usize>() + gaps > WIDTH {
            let names = widths.iter_mut().zip(&self.columns).filter(|(_, (_, s))| *s == Set::Left);
            // Figures are never cut, so a table of absurd ones may stay too wide.
            match names.map(|(w, _)| w).filter(|w| **w > LEAST_NAME).max_by_key(|w| **w) {
                Some(widest) => *widest -= 1,
                None => break,
            }
        }
        widths
    }
}

/// Pads numbers so that their decimal signs stand below each other.
fn align<'a>(cells: impl Iterator<Item = &'a mut String>) {
    let decimals = |cell: &str| {
        cell.char_indices()
            .rfind(|(_, c)| matches!(c, '.' | ','))
            .map_or(0, |(at, _)| cell.get(at..).unwrap_or_default().chars().count())
    };
    let cells: Vec<&mut String> = cells.collect();
    let most = cells.iter().map(|c| decimals(c)).max().unwrap_or(0);
    for cell in cells {
        // Words and dashes stand at the end of the column.
        if cell.chars().any(|c| c.is_ascii_digit()) {
            let space = most - decimals(cell);
            cell.push_str(&" ".repeat(space));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_steers_the_terminal() {
        assert_eq!(clean("a\u{1b}[31m\nb\u{202e}  c"), "a [31m b c");
        assert_eq!(clean("12\u{202f}345"), "12\u{202f}345");
        assert_eq!(one_line("f has 2 entries:\n- one\n- two"), "f has 2 entries: one; two");
    }

    #[test]
    fn lines_fit() {
        let mut out = String::new();
        wrap(&mut out, "  - ", &format!("{} {}", "word ".repeat(60), "x".repeat(300)));
        assert!(out.lines().all(|l| l.chars().count() <= WIDTH), "{out}");
        assert!(out.lines().skip(1).all(|l| l.starts_with("    ")), "{out}");
        assert_eq!(out.matches('x').count(), 300);
    }

    #[test]
    fn columns_align_and_long_names_give_way() {
        let mut table = Table::new([("Name", Set::Left), ("g", Set::Decimal)]);
        table.row(["n".repeat(200), "1.25".to_owned()]);
        table.row(["  b", "100"]);
        table.row(["c", "–"]);
        let mut out = String::new();
        table.render(&mut out);
        let lines: Vec<&str> = out.lines().collect();
        assert!(lines.iter().all(|l| l.chars().count() <= WIDTH), "{out}");
        let place = |line: &str, sign: &str| {
            line.find(sign).map(|at| line.get(..at).unwrap_or("").chars().count())
        };
        let [_, first, second, _] = lines.as_slice() else { unreachable!("{out}") };
        assert_eq!(place(first, ".25"), second.find("100").map(|at| at + 3), "{out}");
        assert!(second.starts_with("    b"), "{out}");
    }
}
