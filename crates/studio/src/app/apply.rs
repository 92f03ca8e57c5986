//! Carries actions out: the one place where the project and the window change.

use std::convert::Infallible;
use std::sync::Arc;

use quern_calc::formula::{EditError, Formula, Item, MaterialId};
use quern_calc::number::DecimalSign;
use quern_project::Project;
use quern_project::settings::{Motion, Theme};

use super::App;
use super::action::{Action, Edit};
use super::commands::Command;
use super::evals::Side;
use super::notices::Tone;
use super::preferences::{Prefer, ZOOMS};
use super::state::{HeldUp, View};
use super::table::{CellAt, Column, Finding, TableAction};
use crate::words;

impl App {
    /// Carries an action out; false when a change that it asked for was refused.
    pub(super) fn apply(&mut self, ctx: &egui::Context, action: Action) -> bool {
        match action {
            Action::Run(command) => self.run(ctx, command),
            Action::Edit(edit) => self.edit(edit),
            Action::Plan { plan, interaction } => {
                let id = self.ui.formula.clone();
                let label = say!("change batch");
                let interaction = interaction.map(|i| format!("{i} {id}"));
                let done = self.document.edit(label, interaction.as_deref(), |project| {
                    project.plans.insert(id, Arc::new(*plan));
                    Ok::<(), Infallible>(())
                });
                let Ok(()) = done;
            }
            Action::EndInteraction => self.document.end_interaction(),
            Action::Show(view) => self.show(view),
            Action::SelectFormula(id) => {
                if self.ui.view == View::Home {
                    self.ui.view = View::Formula;
                }
                self.ui.formula = id;
                self.ui.line = None;
                self.ui.phase = None;
            }
            Action::SelectLine(line) => {
                self.ui.line = line;
                self.ui.phase = line
                    .and_then(|l| self.document.project().formula(&self.ui.formula)?.phase_of(l))
                    .map(|p| p.id)
                    .or(self.ui.phase);
            }
            Action::GoToLine(line) => {
                self.ui.view = View::Formula;
                self.unfold(line);
                self.ui.scroll_to = Some(line);
                self.focus_cell(CellAt { line, column: Column::Percent }, 1);
                self.ui.drawer = false;
                ctx.request_repaint();
            }
            Action::SelectPhase(phase) => {
                self.ui.phase = Some(phase);
                self.ui.line = None;
            }
            Action::Chart(by) => {
                self.ui.chart = by;
                self.ui.linked = None;
            }
            Action::Link(linked) => self.ui.linked = linked,
            Action::ChartAsTable(table) => self.ui.chart_as_table = table,
            Action::Drawer(open) => self.ui.drawer = open,
            Action::SetSide(i, side) => {
                if let Some(place) = self.ui.sides.get_mut(i) {
                    *place = Some(side);
                }
            }
            Action::Open(dialog) => self.ui.dialogs.push(*dialog),
            Action::Close => {
                self.ui.dialogs.pop();
            }
            Action::OpenPath(path) => self.ask_to_leave(ctx, HeldUp::OpenPath(path)),
            Action::SaveTo(path) => self.save_to(super::disk::with_ending(path, "ron"), false),
            Action::SaveOver => {
                if let Some(path) = self.document.path.clone() {
                    self.save_to(path, true);
                }
            }
            Action::WriteSheet(path) => self.write_sheet(path),
            Action::ChooseSheet(ending) => self.choose_sheet(ctx, ending),
            Action::Proceed { save } => self.proceed(ctx, save),
            Action::AddSkeleton(id) => self.add_skeleton(&id),
            Action::ProjectDetails { name, currency } => {
                let done = self.document.edit(say!("change project details"), None, |p| {
                    (p.name, p.currency) = (name, currency);
                    Ok::<(), Infallible>(())
                });
                let Ok(()) = done;
            }
            Action::Price(id, price) => self.set_price(&id, price),
            Action::UpdateMaterials(ids) => {
                let count = ids.len();
                let done = self.document.edit(say!("update materials"), None, |p| {
                    quern_project::library::apply_updates(p, &ids);
                    Ok::<(), Infallible>(())
                });
                let Ok(()) = done;
                self.say(
                    Tone::Done,
                    counted!(
                        "{count} material taken from the built-in library",
                        "{count} materials taken from the built-in library",
                        count
                    ),
                );
            }
            Action::Cancel(id) => self.worker.cancel(id),
            Action::ForgetWindow => self.windows.forget(),
            Action::Table(action) => self.apply_table(ctx, action),
            Action::Home(action) => self.apply_home(ctx, action),
            Action::Grit(action) => self.apply_grit(action),
            Action::Setting(action) => self.apply_setting(action),
            Action::Safety(action) => self.apply_safety(ctx, action),
            Action::Version(action) => self.apply_version(action),
            Action::ChoosePage(page, ending) => self.choose_page(ctx, page, ending),
            Action::WritePage(page, path) => self.write_page(page, path),
            Action::PutNoticeAway(id) => self.notices.put_away(id),
            Action::ClearNotices => self.notices.clear(),
            Action::Say(tone, text) => self.say(tone, text),
            Action::Prefer(prefer) => self.prefer_one(ctx, prefer),
        }
        !self.tell_refusal(ctx)
    }

    /// Shows a view. The comparison takes the formula at hand along, and never shows one
    /// formula twice where there is another.
    pub(super) fn show(&mut self, view: View) {
        self.ui.view = view;
        if view == View::Home {
            self.home.look_again();
        }
        if view != View::Compare {
            return;
        }
        let at_hand = self.ui.formula.clone();
        let on = |side: &Option<Side>| side.as_ref().is_some_and(|s| s.formula == at_hand);
        if !self.ui.sides.iter().any(on) {
            self.ui.sides[0] = Some(Side::plain(at_hand.clone()));
        }
        if self.ui.sides[0] == self.ui.sides[1] {
            let other = self.document.project().formulas.iter().find(|f| f.id != at_hand);
            if let Some(other) = other {
                self.ui.sides[1] = Some(Side::plain(other.id.clone()));
            }
        }
    }

    /// Puts a library material that lines name into the project.
    pub(super) fn carry(project: &mut Project, item: &Item) {
        if let Item::Material(id) = item
            && !project.materials.contains_key(id)
            && let Some(material) = quern_project::library::builtin().materials.get(id)
        {
            project.carry(material);
        }
    }

    pub(super) fn edit(&mut self, edit: Edit) {
        let id = self.ui.formula.clone();
        let label = edit.label();
        let adds_phase = matches!(edit, Edit::AddPhase(_));
        let mut added = None;
        let result = self.document.edit(label, None, |project| {
            match &edit {
                Edit::AddLine { item, .. }
                | Edit::InsertLine { item, .. }
                | Edit::Item(_, item) => Self::carry(project, item),
                Edit::LineNotes(_, alternatives, _) => {
                    for alternative in alternatives {
                        Self::carry(project, &alternative.item);
                    }
                }
                _ => {}
            }
            let Some(slot) = project.formulas.iter_mut().find(|f| f.id == id) else {
                return Ok(());
            };
            let formula = Arc::make_mut(slot);
            added = change(formula, edit)?;
            Ok::<(), EditError>(())
        });
        if let Err(error) = result {
            self.say(Tone::Error, say!("Not done: {error}", error = words::told(error)));
        }
        if adds_phase && let Some(formula) = self.document.project().formula(&self.ui.formula) {
            self.ui.phase = formula.phases.last().map(|p| p.id);
            self.ui.line = None;
        }
        if let Some(line) = added {
            self.ui.scroll_to = Some(line);
            self.focus_cell(CellAt { line, column: Column::Percent }, 1);
        }
    }

    fn set_price(&mut self, id: &MaterialId, price: Option<quern_calc::formula::Price>) {
        let done = self.document.edit(say!("change price"), None, |project| {
            if let Some(material) = project.materials.get_mut(id)
                && material.price != price
            {
                Arc::make_mut(material).price = price;
            }
            Ok::<(), Infallible>(())
        });
        let Ok(()) = done;
    }

    fn run(&mut self, ctx: &egui::Context, command: Command) {
        if let Some(why) = command.why_not(&self.ui, &self.document) {
            let name = command.row().name();
            self.say(Tone::Info, format!("{name}: {why}"));
            return;
        }
        if super::versions::changes_content(command)
            && let Some(why) = self.read_only()
        {
            self.say(Tone::Error, why);
            return;
        }
        if let Some(dialog) = self.dialog_for(command) {
            self.ui.dialogs.push(dialog);
            return;
        }
        match command {
            Command::NewProject => self.ask_to_leave(ctx, HeldUp::New),
            Command::Open => self.ask_to_leave(ctx, HeldUp::Open),
            Command::Save => self.save(ctx),
            Command::SaveAs => self.save_as(ctx),
            Command::Revert => self.revert(ctx),
            Command::Quit => {
                if self.document.is_changed() {
                    self.ask_to_leave(ctx, HeldUp::Close);
                } else {
                    ctx.send_viewport_cmd(egui::ViewportCommand::Close);
                }
            }
            Command::Undo => match self.document.undo_label().map(str::to_owned) {
                Some(label) => {
                    let before = Arc::clone(self.document.project());
                    self.document.undo();
                    self.go_to_change(&before);
                    self.say(Tone::Done, say!("Undone: {label}", label));
                }
                None => self.say(Tone::Info, say!("Nothing to undo")),
            },
            Command::Redo => match self.document.redo_label().map(str::to_owned) {
                Some(label) => {
                    let before = Arc::clone(self.document.project());
                    self.document.redo();
                    self.go_to_change(&before);
                    self.say(Tone::Done, say!("Done again: {label}", label));
                }
                None => self.say(Tone::Info, say!("Nothing to redo")),
            },
            Command::NewFormula => {
                let id = self.document.project().free_formula_id(say!("new formula"));
                self.add_formula(
                    say!("new formula"),
                    Formula::empty(id, say!("New formula")),
                    Vec::new(),
                );
            }
            Command::DuplicateFormula => self.duplicate(),
            Command::RemoveFormula => self.remove_formula(),
            Command::StartVersion => self.start_version(),
            Command::MoveLineUp => self.nudge_lines(false),
            Command::MoveLineDown => self.nudge_lines(true),
            Command::AddLine => {
                self.ui.view = View::Formula;
                self.apply_table(ctx, TableAction::Find(self.place_for_new(false)));
            }
            Command::InsertLine => {
                self.apply_table(ctx, TableAction::Find(self.place_for_new(true)));
            }
            Command::ChangeMaterial => {
                let finding = self.ui.line.map(Finding::On);
                self.apply_table(ctx, TableAction::Find(finding));
            }
            Command::DuplicateLine => self.duplicate_lines(),
            Command::FillDown => self.fill_down(),
            Command::FoldPhases => self.fold_all(),
            Command::EditCell => self.edit_cell(ctx),
            Command::CopyCells => self.apply_table(ctx, TableAction::Copy { cut: false }),
            Command::CutCells => self.apply_table(ctx, TableAction::Copy { cut: true }),
            // The system hands over what it holds as an event of the next frame.
            Command::PasteCells => ctx.send_viewport_cmd(egui::ViewportCommand::RequestPaste),
            Command::LockLine => {
                if let Some(line) = self.line_at_hand() {
                    self.edit(Edit::Lock(line.id, !line.locked));
                }
            }
            Command::FillLine => {
                if let Some(line) = self.line_at_hand() {
                    let fills = self
                        .document
                        .project()
                        .formula(&self.ui.formula)
                        .and_then(|f| f.fills)
                        .is_some_and(|f| f == line.id);
                    self.edit(Edit::Fill((!fills).then_some(line.id)));
                }
            }
            Command::RemoveLine => {
                self.remove_lines();
            }
            Command::ShowHome => self.show(View::Home),
            Command::Tour => self.tour_to(ctx, Some(1)),
            Command::ShowFormula => self.ui.view = View::Formula,
            Command::ShowGrit => self.ui.view = View::Grit,
            Command::ShowSetting => self.ui.view = View::Setting,
            Command::ShowFindings => self.ui.view = View::Findings,
            Command::ShowLabel => self.ui.view = View::Label,
            Command::ShowCompare => self.show(View::Compare),
            Command::ToggleFigures => {
                if ctx.content_rect().width() < crate::look::size::DRAWER_BELOW {
                    self.ui.drawer = !self.ui.drawer;
                } else {
                    self.ui.figures = !self.ui.figures;
                }
            }
            Command::SwapSides => self.ui.sides.swap(0, 1),
            Command::TakeBlend => self.take_blend(),
            _ => self.prefer(ctx, command),
        }
    }

    fn prefer(&mut self, ctx: &egui::Context, command: Command) {
        let s = &self.settings;
        let prefer = match command {
            Command::ThemeNext => {
                let (next, name) = match s.theme {
                    Theme::System => (Theme::Light, say!("light")),
                    Theme::Light => (Theme::Dark, say!("dark")),
                    Theme::Dark => (Theme::System, say!("as the system")),
                };
                self.say(Tone::Done, say!("Theme: {name}", name));
                Prefer::Theme(next)
            }
            Command::HighContrast => {
                let high = !s.high_contrast;
                let text = if high { say!("High contrast") } else { say!("Usual contrast") };
                self.say(Tone::Done, text);
                Prefer::HighContrast(high)
            }
            Command::ReducedMotion => {
                let still = s.motion != Motion::Reduced;
                let text =
                    if still { say!("Nothing moves by itself") } else { say!("Changes glide") };
                self.say(Tone::Done, text);
                Prefer::Motion(if still { Motion::Reduced } else { Motion::Full })
            }
            Command::ReadingFont => Prefer::ReadingFont(!s.reading_font),
            Command::DecimalSign => {
                let (next, name) = match s.decimal_sign {
                    DecimalSign::Point => (DecimalSign::Comma, say!("comma")),
                    DecimalSign::Comma => (DecimalSign::Point, say!("point")),
                };
                self.say(Tone::Done, say!("Decimal sign: {name}", name));
                Prefer::DecimalSign(next)
            }
            Command::FourDecimals => {
                Prefer::PercentDecimals(if s.percent_decimals == 4 { 2 } else { 4 })
            }
            Command::ZoomIn | Command::ZoomOut | Command::ZoomReset => {
                let now = ctx.zoom_factor();
                let next = match command {
                    Command::ZoomIn => ZOOMS.into_iter().find(|z| *z > now + 0.01),
                    Command::ZoomOut => ZOOMS.into_iter().rev().find(|z| *z < now - 0.01),
                    _ => Some(1.0),
                };
                let Some(zoom) = next else { return };
                Prefer::Zoom(zoom)
            }
            _ => return,
        };
        self.prefer_one(ctx, prefer);
    }

    fn line_at_hand(&self) -> Option<quern_calc::formula::Line> {
        let formula = self.document.project().formula(&self.ui.formula)?;
        formula.line(self.ui.line?).cloned()
    }
}

/// Makes a change; the id of a line that was added.
fn change(
    formula: &mut Formula,
    edit: Edit,
) -> Result<Option<quern_calc::formula::LineId>, EditError> {
    match edit {
        Edit::Amount(line, amount) => formula.set_amount(line, amount)?,
        Edit::AddLine { phase, item, after } => {
            return formula.add_line(phase, item, after).map(Some);
        }
        Edit::Item(line, item) => formula.set_item(line, item)?,
        Edit::InsertLine { phase, index, item } => {
            let line = formula.add_line(phase, item, None)?;
            formula.move_line(line, phase, index)?;
            return Ok(Some(line));
        }
        Edit::MoveLine(line, phase, index) => formula.move_line(line, phase, index)?,
        Edit::Lock(line, locked) => formula.set_locked(line, locked)?,
        Edit::Fill(line) => formula.set_fills(line)?,
        Edit::LineNotes(line, alternatives, note) => {
            formula.set_line_notes(line, alternatives, note)?;
        }
        Edit::AddPhase(draft) => {
            let id = formula.add_phase(&draft.name, draft.kind, draft.temperature);
            formula.update_phase(id, |p| p.steps = draft.steps)?;
        }
        Edit::UpdatePhase(draft) => formula.update_phase(draft.id, |p| {
            p.name = draft.name;
            p.kind = draft.kind;
            p.temperature = draft.temperature;
            p.steps = draft.steps;
        })?,
        Edit::RemovePhase(phase) => formula.remove_phase(phase)?,
        Edit::NudgePhase { phase, down } => formula.nudge_phase(phase, down)?,
        Edit::Normalise(preview) => formula.normalise(&preview)?,
        Edit::Parts(total) => formula.set_parts_total(total)?,
        Edit::Details(details) => {
            formula.name = details.name;
            formula.version = details.version;
            formula.product = details.product;
            formula.ph = details.ph;
            formula.note = details.note;
        }
    }
    Ok(None)
}
