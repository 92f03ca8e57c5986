//! Carries out what the table asks for.

use std::sync::Arc;

use quern_calc::formula::{EditError, Formula, Item, LineId};
use quern_calc::number::Syntax;
use quern_calc::quantity::Grams;
use quern_project::Project;

use super::paste::{Change, Plan, Target};
use super::text::{cells_of, range_text};
use super::{CellAt, Column, Finding, Range, TableAction};
use crate::app::action::Edit;
use crate::app::notices::Tone;
use crate::app::{App, style_of};
use crate::words;

impl App {
    pub(in crate::app) fn apply_table(&mut self, ctx: &egui::Context, action: TableAction) {
        match action {
            TableAction::Select { anchor, cursor } => self.select_cells(anchor, cursor),
            TableAction::Hover(line) => self.ui.table.hovered = line,
            TableAction::Fold(phase, fold) => {
                let key = (self.ui.formula.clone(), phase);
                if fold {
                    self.ui.table.folded.insert(key);
                } else {
                    self.ui.table.folded.remove(&key);
                }
            }
            TableAction::Find(finding) => self.find_in_table(ctx, finding),
            TableAction::GiveUp => self.give_up_finding(),
            TableAction::Take(item) => self.take_found(item),
            TableAction::Copy { cut } => self.copy_cells(ctx, cut),
            TableAction::Paste { text, as_lines } => self.paste_cells(&text, as_lines),
            TableAction::Clear => self.clear_cells(say!("clear cells")),
            TableAction::Note(line, note) => {
                let kept = self
                    .document
                    .project()
                    .formula(&self.ui.formula)
                    .and_then(|f| f.line(line))
                    .map(|l| l.alternatives.clone());
                if let Some(alternatives) = kept {
                    self.edit(Edit::LineNotes(line, alternatives, note));
                }
            }
            TableAction::Columns { columns, done } => {
                self.ui.table.columns = columns;
                if done {
                    self.settings.columns = super::settings_of(&self.ui.table.columns);
                    self.save_settings();
                }
            }
        }
    }

    fn select_cells(&mut self, anchor: CellAt, cursor: CellAt) {
        self.ui.table.anchor = Some(anchor);
        self.ui.table.cursor = Some(cursor);
        self.ui.line = Some(cursor.line);
        let project = self.document.project();
        let phase = project.formula(&self.ui.formula).and_then(|f| f.phase_of(cursor.line));
        self.ui.phase = phase.map(|p| p.id).or(self.ui.phase);
        if self.ui.table.finding.is_some_and(|f| f != Finding::On(cursor.line)) {
            self.ui.table.finding = None;
        }
    }

    /// Puts the keyboard on a cell.
    pub(in crate::app) fn focus_cell(&mut self, cell: CellAt, frames: u8) {
        self.select_cells(cell, cell);
        self.ui.focus = Some((crate::views::formula::cell_id(&self.ui.formula, cell), frames));
    }

    /// Shows the lines of the phase that holds this one.
    pub(in crate::app) fn unfold(&mut self, line: LineId) {
        let project = self.document.project();
        let phase = project.formula(&self.ui.formula).and_then(|f| f.phase_of(line));
        if let Some(phase) = phase.map(|p| p.id) {
            self.ui.table.folded.remove(&(self.ui.formula.clone(), phase));
        }
    }

    /// Hides the lines of all phases, or shows them where all are hidden.
    pub(in crate::app) fn fold_all(&mut self) {
        let project = self.document.project();
        let Some(formula) = project.formula(&self.ui.formula) else { return };
        let keys: Vec<_> = formula.phases.iter().map(|p| (formula.id.clone(), p.id)).collect();
        let all = keys.iter().all(|k| self.ui.table.folded.contains(k));
        for key in keys {
            if all {
                self.ui.table.folded.remove(&key);
            } else {
                self.ui.table.folded.insert(key);
            }
        }
    }

    /// Opens the cell at hand for typing; read-only ones stand for their material.
    pub(in crate::app) fn edit_cell(&mut self, ctx: &egui::Context) {
        let Some(line) = self.ui.line else { return };
        let column = self.ui.table.cursor.filter(|c| c.line == line).map(|c| c.column);
        match column {
            Some(column @ (Column::Percent | Column::Grams | Column::Note)) => {
                let cell = CellAt { line, column };
                self.focus_cell(cell, 0);
                crate::views::formula::open_cell(ctx, &self.ui.formula, cell);
            }
            _ => self.find_in_table(ctx, Some(Finding::On(line))),
        }
    }

    fn find_in_table(&mut self, ctx: &egui::Context, finding: Option<Finding>) {
        self.ui.table.finding = finding;
        if let Some(what) = finding {
            if let Finding::New { phase, .. } = what {
                self.ui.table.folded.remove(&(self.ui.formula.clone(), phase));
            }
            self.ui.focus = Some((crate::views::formula::finding_id(), 1));
            ctx.request_repaint();
        }
    }

    fn give_up_finding(&mut self) {
        match self.ui.table.finding.take() {
            Some(Finding::On(line)) => {
                self.focus_cell(CellAt { line, column: Column::Material }, 0);
            }
            _ => {
                if let Some(cell) = self.ui.table.cursor {
                    self.focus_cell(cell, 0);
                }
            }
        }
    }

    fn take_found(&mut self, item: Item) {
        match self.ui.table.finding.take() {
            Some(Finding::On(line)) => {
                self.edit(Edit::Item(line, item));
                self.focus_cell(CellAt { line, column: Column::Material }, 0);
            }
            Some(Finding::New { phase, index }) => {
                self.edit(Edit::InsertLine { phase, index, item });
            }
            None => {}
        }
    }

    /// Lines that a command acts on: those of the range where it holds the line at hand.
    pub(in crate::app) fn lines_at_hand(&self) -> Vec<LineId> {
        let Some(line) = self.ui.line else { return Vec::new() };
        match self.range_at_hand() {
            Some(range) if range.lines.contains(&line) => range.lines,
            _ => vec![line],
        }
    }

    fn range_at_hand(&self) -> Option<Range> {
        let formula = self.document.project().formula(&self.ui.formula)?;
        self.ui.table.range(formula)
    }

    fn copy_cells(&mut self, ctx: &egui::Context, cut: bool) {
        let Some(range) = self.range_at_hand() else { return };
        let Some(here) = self.here() else { return };
        let style = style_of(&self.settings);
        let text = range_text(&here.formula, &here.evaluation, &range, style);
        ctx.copy_text(text);
        let cells = range.cells();
        let said = if cut {
            self.clear_cells(say!("cut cells"));
            counted!("{cells} cell cut", "{cells} cells cut", cells)
        } else {
            counted!("{cells} cell copied", "{cells} cells copied", cells)
        };
        self.say(Tone::Done, said);
    }

    /// Clears amounts and notes of the range; where the material is in it, its lines go.
    fn clear_cells(&mut self, label: &str) {
        let Some(range) = self.range_at_hand() else { return };
        let lines = range.columns.contains(&Column::Material);
        let amounts = range.columns.iter().any(|c| matches!(c, Column::Percent | Column::Grams));
        let notes = range.columns.contains(&Column::Note);
        if !(lines || amounts || notes) {
            self.say(
                Tone::Info,
                say!("These cells follow from the material and cannot be cleared"),
            );
            return;
        }
        let neighbour = self.line_after(&range);
        let done = self.edit_formula(label, |formula, _| {
            for line in &range.lines {
                if lines {
                    formula.remove_line(*line)?;
                    continue;
                }
                if amounts && formula.fills != Some(*line) {
                    formula.set_amount(*line, None)?;
                }
                if notes {
                    let kept = formula.line(*line).map(|l| l.alternatives.clone());
                    formula.set_line_notes(*line, kept.unwrap_or_default(), String::new())?;
                }
            }
            Ok(())
        });
        if lines && done {
            self.go_to_line(neighbour);
            let n = range.lines.len();
            let text =
                if n == 1 { say!("Line removed").to_owned() } else { say!("{n} lines removed", n) };
            self.say(Tone::Done, say!("{text}; undo brings it back", text));
        }
    }

    /// The line that the cursor goes to when those of a range are removed.
    fn line_after(&self, range: &Range) -> Option<LineId> {
        let formula = self.document.project().formula(&self.ui.formula)?;
        let visible = self.ui.table.visible(formula);
        let last = visible.iter().position(|l| Some(l) == range.lines.last())?;
        let first = visible.iter().position(|l| Some(l) == range.lines.first())?;
        visible.get(last + 1).or_else(|| visible.get(first.checked_sub(1)?)).copied()
    }

    fn go_to_line(&mut self, line: Option<LineId>) {
        match line {
            Some(line) => {
                let column = self.ui.table.cursor.map_or(Column::Material, |c| c.column);
                self.focus_cell(CellAt { line, column }, 0);
            }
            None => (self.ui.table.cursor, self.ui.table.anchor) = (None, None),
        }
    }

    /// Takes lines out, as one step.
    pub(in crate::app) fn remove_lines(&mut self) {
        let lines = self.lines_at_hand();
        let range = Range { lines, columns: Vec::new() };
        let neighbour = self.line_after(&range);
        let done = self.edit_formula(say!("remove line"), |formula, _| {
            range.lines.iter().try_for_each(|l| formula.remove_line(*l).map(|_| ()))
        });
        if done {
            self.go_to_line(neighbour);
            self.say(Tone::Done, say!("Line removed; undo brings it back"));
        }
    }

    /// Moves the lines at hand one place, as one step.
    pub(in crate::app) fn nudge_lines(&mut self, down: bool) {
        let mut lines = self.lines_at_hand();
        if down {
            lines.reverse();
        }
        self.edit_formula(say!("move line"), |formula, _| {
            // At the edge of the table nothing moves, so that the lines stay in their order.
            let ends = if down { formula.lines().last() } else { formula.lines().next() };
            if lines.len() > 1 && ends.is_some_and(|(_, l)| lines.first() == Some(&l.id)) {
                return Ok(());
            }
            lines.iter().try_for_each(|l| formula.nudge_line(*l, down))
        });
        self.ui.scroll_to = self.ui.line;
    }

    /// Puts copies of the lines at hand after the last of them.
    pub(in crate::app) fn duplicate_lines(&mut self) {
        let lines = self.lines_at_hand();
        let mut first = None;
        self.edit_formula(say!("duplicate line"), |formula, _| {
            let mut after = lines.last().copied();
            for line in &lines {
                let copy = formula.duplicate_line(*line)?;
                let home = after.and_then(|a| {
                    let phase = formula.phase_of(a)?;
                    let at = phase.lines.iter().position(|l| l.id == a)?;
                    Some((phase.id, at + 1))
                });
                if let Some((phase, mut at)) = home {
                    // The copy stood above its new place and leaves a gap there.
                    let above = formula.phase(phase).is_some_and(|p| {
                        p.lines.iter().position(|l| l.id == copy).is_some_and(|i| i < at)
                    });
                    at -= usize::from(above);
                    formula.move_line(copy, phase, at)?;
                }
                first = first.or(Some(copy));
                after = Some(copy);
            }
            Ok(())
        });
        if let Some(line) = first {
            self.focus_cell(CellAt { line, column: Column::Percent }, 1);
            self.ui.scroll_to = Some(line);
        }
    }

    /// Puts the top row of the range into the rows below it.
    pub(in crate::app) fn fill_down(&mut self) {
        let Some(range) = self.range_at_hand().filter(|r| r.lines.len() > 1) else {
            self.say(Tone::Info, say!("Select the cell to fill from and the cells below it first"));
            return;
        };
        let columns = range.columns.clone();
        let amounts = columns.iter().any(|c| matches!(c, Column::Percent | Column::Grams));
        let material = columns.contains(&Column::Material);
        let note = columns.contains(&Column::Note);
        if !(amounts || material || note) {
            self.say(Tone::Info, say!("These cells follow from the material and cannot be filled"));
            return;
        }
        let mut skipped = false;
        self.edit_formula(say!("fill down"), |formula, _| {
            let top = range.lines.first().and_then(|l| formula.line(*l)).cloned();
            let Some(top) = top else { return Ok(()) };
            let filling = formula.fills == Some(top.id);
            for line in range.lines.iter().skip(1) {
                if material {
                    formula.set_item(*line, top.item.clone())?;
                }
                if amounts {
                    if filling || formula.fills == Some(*line) {
                        skipped = true;
                    } else {
                        formula.set_amount(*line, top.amount)?;
                    }
                }
                if note {
                    let kept = formula.line(*line).map(|l| l.alternatives.clone());
                    formula.set_line_notes(*line, kept.unwrap_or_default(), top.note.clone())?;
                }
            }
            Ok(())
        });
        if skipped {
            let text =
                say!("The line that fills to 100 neither gives nor takes an amount; it was left");
            self.say(Tone::Info, text);
        }
    }

    fn paste_cells(&mut self, text: &str, as_lines: bool) {
        let Some(range) = self.range_at_hand() else {
            self.say(Tone::Info, say!("Select a cell of the table to paste into"));
            return;
        };
        let Some(here) = self.here() else { return };
        let project = Arc::clone(self.document.project());
        let Some(formula) = project.formula(&self.ui.formula) else { return };
        let sign = style_of(&self.settings).sign;
        let target = Target {
            project: &project,
            formula,
            visible: &self.ui.table.visible(formula),
            columns: &self.ui.table.shown(),
            range: &range,
            as_lines,
            unit: self.settings.mass_unit,
            syntax: Syntax { sign, allow_relative: false },
            gross: here.evaluation.batch.as_ref().map_or(Grams::ZERO, |b| b.gross),
        };
        match target.plan(&cells_of(text)) {
            Ok(plan) => self.carry_out_paste(plan),
            Err(why) => self.say(Tone::Error, say!("Not pasted. {why}", why)),
        }
    }

    fn carry_out_paste(&mut self, plan: Plan) {
        let count = plan.changes.len();
        let left = plan.left;
        let mut added = Vec::new();
        let done = self.edit_formula(say!("paste"), |formula, project| {
            let mut last = None;
            for change in plan.changes {
                match change {
                    Change::Amount(line, amount) => formula.set_amount(line, amount)?,
                    Change::Item(line, item) => {
                        App::carry(project, &item);
                        formula.set_item(line, item)?;
                    }
                    Change::Note(line, note) => {
                        let kept = formula.line(line).map(|l| l.alternatives.clone());
                        formula.set_line_notes(line, kept.unwrap_or_default(), note)?;
                    }
                    Change::New { phase, after, item, amount, note } => {
                        App::carry(project, &item);
                        let line = formula.add_line(phase, item, after.or(last))?;
                        formula.set_amount(line, amount)?;
                        formula.set_line_notes(line, Vec::new(), note)?;
                        last = Some(line);
                        added.push(line);
                    }
                }
            }
            Ok(())
        });
        if !done {
            return;
        }
        if let (Some(first), Some(last)) = (added.first(), added.last()) {
            let end = self.ui.table.shown().last().copied().unwrap_or(Column::Percent);
            self.ui.line = Some(*first);
            self.ui.scroll_to = Some(*last);
            self.ui.table.anchor = Some(CellAt { line: *last, column: end });
            self.ui.table.cursor = Some(CellAt { line: *first, column: Column::Material });
        }
        let mut text = match (count, added.len()) {
            (0, _) => say!("Pasted; it was the same as before").to_owned(),
            (n, 0) => say!("Pasted, {n} changed", n),
            (_, n) => say!("Pasted, {n} new lines", n),
        };
        if left > 0 {
            text.push_str(say!("; cells that follow from the material were left as they are"));
        }
        self.say(Tone::Done, text);
    }

    /// Changes the formula at hand as one step, the project's materials within reach; false and
    /// a notice when it cannot be done.
    fn edit_formula(
        &mut self,
        label: &str,
        change: impl FnOnce(&mut Formula, &mut Project) -> Result<(), EditError>,
    ) -> bool {
        let id = self.ui.formula.clone();
        let result = self.document.edit(label, None, |project| {
            let Some(at) = project.formulas.iter().position(|f| f.id == id) else {
                return Ok(());
            };
            let Some(mut slot) = project.formulas.get(at).cloned() else { return Ok(()) };
            change(Arc::make_mut(&mut slot), project)?;
            if let Some(place) = project.formulas.get_mut(at) {
                *place = slot;
            }
            Ok::<(), EditError>(())
        });
        if let Err(error) = &result {
            self.say(Tone::Error, say!("Not done: {error}", error = words::told(error)));
        }
        result.is_ok()
    }

    /// Where a new line goes: after the line at hand, before it, or at the end of the phase.
    pub(in crate::app) fn place_for_new(&self, above: bool) -> Option<Finding> {
        let formula = self.document.project().formula(&self.ui.formula)?;
        if let Some(line) = self.ui.line
            && let Some(phase) = formula.phase_of(line)
        {
            let at = phase.lines.iter().position(|l| l.id == line)?;
            return Some(Finding::New { phase: phase.id, index: at + usize::from(!above) });
        }
        let phase =
            self.ui.phase.and_then(|p| formula.phase(p)).or_else(|| formula.phases.last())?;
        let index = if above { 0 } else { phase.lines.len() };
        Some(Finding::New { phase: phase.id, index })
    }
}
