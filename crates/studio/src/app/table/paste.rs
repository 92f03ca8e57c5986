//! What pasted text would change. All of it or nothing: a cell that cannot be taken in is named,
//! and nothing is changed.

use quern_calc::formula::{Amount, AmountUnit, Formula, Item, LineId, MaterialId, PhaseId};
use quern_calc::number::{MassUnit, Syntax, Typed, Unit, parse};
use quern_calc::quantity::{Grams, Percent};
use quern_project::Project;

use super::{Column, Range};
use crate::words;

/// Rows that are pasted at once at most; a formula holds no more lines.
const MOST_ROWS: usize = 500;

/// One thing that pasting changes.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// An amount.
    Amount(LineId, Option<Amount>),
    /// Another material.
    Item(LineId, Item),
    /// A note.
    Note(LineId, String),
    /// A new line in this phase, after the lines that are there or were added before.
    New {
        /// The phase.
        phase: PhaseId,
        /// The line that it stands after; with none, and for all but the first, at the place
        /// that the line before left off.
        after: Option<LineId>,
        /// The material.
        item: Item,
        /// Its amount.
        amount: Option<Amount>,
        /// Its note.
        note: String,
    },
}

/// What pasting would do.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// Changes in order.
    pub changes: Vec<Change>,
    /// Cells that were not taken in because they follow from others, such as INCI names.
    pub left: usize,
}

/// Where and how something is pasted.
pub struct Target<'a> {
    /// The project.
    pub project: &'a Project,
    /// The formula.
    pub formula: &'a Formula,
    /// Lines that can be seen, in order.
    pub visible: &'a [LineId],
    /// Columns that are shown, in order.
    pub columns: &'a [Column],
    /// The range at hand; pasting starts at its upper left.
    pub range: &'a Range,
    /// As lines of their own after the range.
    pub as_lines: bool,
    /// How numbers are read.
    pub syntax: Syntax,
    /// What a bare weight is in.
    pub unit: MassUnit,
    /// The gross batch, for grams.
    pub gross: Grams,
}

/// An amount as typed; a bare number is in the unit of its column. A relative entry adds to what
/// the line holds.
///
/// # Errors
/// In words, for a unit that makes no amount, or for grams without a batch.
pub fn amount_of(
    formula: &Formula,
    line: LineId,
    mut typed: Typed,
    bare: Unit,
    gross: Grams,
) -> Result<Amount, String> {
    if typed.relative {
        if !matches!(typed.unit, None | Some(Unit::Percent)) {
            return Err(say!("Adding to an amount works in per cent, such as +0.5").to_owned());
        }
        let held = formula.line(line).and_then(|l| l.amount).map_or(Percent::ZERO, |a| a.percent);
        return Ok(Amount::percent((held + Percent(typed.value)).0));
    }
    typed.unit = typed.unit.or(Some(bare));
    formula.amount_from(typed, gross).map_err(words::told)
}

/// The material or formula of exactly this name: display name, common name, INCI name with or
/// without its form, or a formula's name; case and accents do not matter.
///
/// # Errors
/// In words, when there is none or when there are several.
pub fn item_of(project: &Project, name: &str) -> Result<Item, String> {
    use quern_project::library::{builtin, fold};
    let wanted = fold(name.trim());
    let library = &builtin().materials;
    let others = library.values().filter(|m| !project.materials.contains_key(&m.id));
    let all: Vec<_> = project.materials.values().chain(others).collect();
    let by = |fits: &dyn Fn(&quern_calc::formula::Material) -> bool| -> Vec<MaterialId> {
        all.iter().filter(|m| fits(m)).map(|m| m.id.clone()).collect()
    };
    let shown = by(&|m| fold(m.display_name()) == wanted);
    let exact = by(&|m| fold(&m.inci_and_form()) == wanted);
    let any = by(&|m| m.names.iter().any(|n| fold(n) == wanted) || fold(&m.inci) == wanted);
    for found in [&shown, &exact, &any] {
        match found.as_slice() {
            [] => {}
            [one] => return Ok(Item::Material(one.clone())),
            [first, ..] if project.materials.contains_key(first) => {
                // The project's own material is meant where it is the only one of its own.
                let own: Vec<_> =
                    found.iter().filter(|id| project.materials.contains_key(*id)).collect();
                if let [one] = own.as_slice() {
                    return Ok(Item::Material((*one).clone()));
                }
                return Err(say!("“{name}” names {n} materials", name, n = found.len()));
            }
            more => return Err(say!("“{name}” names {n} materials", name, n = more.len())),
        }
    }
    let formula = project.formulas.iter().find(|f| fold(&f.name) == wanted);
    formula
        .map(|f| Item::Formula(f.id.clone()))
        .ok_or_else(|| say!("no material is called “{name}”", name))
}

/// One pasted row, sorted by what it is for.
#[derive(Default)]
struct Row<'a> {
    material: Option<&'a str>,
    percent: Option<&'a str>,
    grams: Option<&'a str>,
    note: Option<&'a str>,
    left: usize,
}

impl Target<'_> {
    /// What pasting these rows would change.
    ///
    /// # Errors
    /// What cannot be taken in, where, and what to do; nothing is changed then.
    pub fn plan(&self, rows: &[Vec<String>]) -> Result<Plan, String> {
        let refuse = |why: String| Err(say!("{why}. Nothing was changed", why));
        if rows.is_empty() {
            return refuse(say!("There is no text to paste").to_owned());
        }
        if rows.len() > MOST_ROWS {
            return refuse(say!(
                "{n} rows are more than {most_rows}",
                n = rows.len(),
                most_rows = MOST_ROWS
            ));
        }
        let Some(first) = self.range.columns.first() else {
            return refuse(say!("No cell is selected").to_owned());
        };
        let from = if self.as_lines {
            0 // a new line needs its material, and that is the first column
        } else {
            self.columns.iter().position(|c| c == first).unwrap_or(0)
        };
        let mut plan = Plan::default();
        let single = match rows {
            [row] if row.len() == 1 && !self.as_lines => row.first(),
            _ => None,
        };
        let mut places = Vec::new();
        if let Some(text) = single {
            // One value fills the whole range.
            for line in &self.range.lines {
                for column in &self.range.columns {
                    places.push((Some(*line), vec![(*column, text.as_str())]));
                }
            }
        } else {
            let start = self.range.lines.first().copied();
            let lines = self.visible.iter().skip_while(|l| Some(**l) != start).copied();
            let mut lines = lines.map(Some).chain(std::iter::repeat(None));
            let columns = self.columns.get(from..).unwrap_or_default();
            for row in rows {
                if row.len() > columns.len() {
                    return refuse(say!(
                        "A row of {n} cells does not fit into {columns} columns from {first} on",
                        n = row.len(),
                        columns = columns.len(),
                        first = first.name()
                    ));
                }
                let line = if self.as_lines { None } else { lines.next().flatten() };
                let cells = columns.iter().copied().zip(row.iter().map(String::as_str));
                places.push((line, cells.collect::<Vec<_>>()));
            }
        }
        let mut place = self.place_after();
        for (n, (line, cells)) in places.into_iter().enumerate() {
            let row = sort(cells);
            plan.left += row.left;
            let done = match line {
                Some(line) => self.over(line, &row, &mut plan),
                None => self.new_line(&row, &mut place, &mut plan),
            };
            if let Err(why) = done {
                return refuse(say!("Row {n}: {why}", n = n + 1, why));
            }
        }
        if plan.changes.is_empty() && plan.left > 0 {
            return refuse(say!(
                "{first} follows from the material and cannot be typed",
                first = first.name()
            ));
        }
        Ok(plan)
    }

    /// Phase and line that new lines stand after.
    fn place_after(&self) -> Option<(PhaseId, Option<LineId>)> {
        let last = if self.as_lines { self.range.lines.last() } else { self.visible.last() };
        match last {
            Some(line) => self.formula.phase_of(*line).map(|p| (p.id, Some(*line))),
            None => self.formula.phases.last().map(|p| (p.id, None)),
        }
    }

    fn amount(
        &self,
        line: Option<LineId>,
        text: &str,
        bare: Unit,
        what: &str,
    ) -> Result<Option<Amount>, String> {
        if text.is_empty() {
            return Ok(None);
        }
        let typed = parse(text, self.syntax)
            .map_err(|e| format!("{what}, “{text}”: {}", words::told(e)))?;
        amount_of(self.formula, line.unwrap_or(LineId(0)), typed, bare, self.gross)
            .map(Some)
            .map_err(|e| format!("{what}, “{text}”: {}", words::told(e)))
    }

    /// Percent or grams of a row, with what is to be said of it; percent wins where both stand.
    fn amount_in(
        &self,
        line: Option<LineId>,
        row: &Row<'_>,
    ) -> Result<Option<Option<Amount>>, String> {
        match (row.percent, row.grams) {
            (Some(text), _) => self.amount(line, text, Unit::Percent, say!("percent")).map(Some),
            (None, Some(text)) => {
                self.amount(line, text, Unit::Mass(self.unit), say!("weight")).map(Some)
            }
            (None, None) => Ok(None),
        }
    }

    fn over(&self, line: LineId, row: &Row<'_>, plan: &mut Plan) -> Result<(), String> {
        if let Some(name) = row.material {
            if name.is_empty() {
                return Err(say!("a line needs a material").to_owned());
            }
            let item = item_of(self.project, name)?;
            if self.formula.line(line).is_some_and(|l| l.item != item) {
                plan.changes.push(Change::Item(line, item));
            }
        }
        if let Some(amount) = self.amount_in(line.into(), row)? {
            let held = self.formula.line(line).and_then(|l| l.amount);
            if self.formula.fills == Some(line) {
                // The same figure may come back in; another one would be lost.
                let now = self.formula.line(line).and_then(|l| self.formula.percent_of(l));
                if amount.map(|a| a.percent) != now {
                    return Err(
                        say!("this line fills to 100 and takes no amount of its own").to_owned()
                    );
                }
            } else if !same(held, amount) {
                plan.changes.push(Change::Amount(line, amount));
            }
        }
        if let Some(note) = row.note {
            plan.changes.push(Change::Note(line, note.to_owned()));
        }
        Ok(())
    }

    fn new_line(
        &self,
        row: &Row<'_>,
        place: &mut Option<(PhaseId, Option<LineId>)>,
        plan: &mut Plan,
    ) -> Result<(), String> {
        let Some(name) = row.material.filter(|n| !n.is_empty()) else {
            return Err(say!(
                "there is no line below; a new line needs its material in the column {column}",
                column = Column::Material.name()
            ));
        };
        let item = item_of(self.project, name)?;
        let (phase, after) = place.take().ok_or(say!("there is no phase to add to"))?;
        *place = Some((phase, None));
        plan.changes.push(Change::New {
            phase,
            after,
            item,
            amount: self.amount_in(None, row)?.flatten(),
            note: row.note.unwrap_or_default().to_owned(),
        });
        Ok(())
    }
}

/// True when an amount says the same as the one that stands.
fn same(held: Option<Amount>, new: Option<Amount>) -> bool {
    match (held, new) {
        (None, None) => true,
        (Some(a), Some(b)) => {
            a == b || (matches!(b.unit, AmountUnit::Percent) && a.percent == b.percent)
        }
        _ => false,
    }
}

fn sort<'a>(cells: Vec<(Column, &'a str)>) -> Row<'a> {
    let mut row = Row::default();
    for (column, text) in cells {
        match column {
            Column::Material => row.material = Some(text),
            Column::Percent => row.percent = Some(text),
            Column::Grams => row.grams = Some(text),
            Column::Note => row.note = Some(text),
            _ => row.left += 1,
        }
    }
    row
}
