//! Carries the actions of the Findings and Label views out.

use std::convert::Infallible;
use std::sync::Arc;

use quern_calc::findings::Fix;
use quern_calc::formula::{
    Accepted, Amount, EditError, Formula, Item, MaterialId, PhaseKind, PhaseTemperature,
};

use super::SafetyAction;
use crate::app::App;
use crate::app::commands::Command;
use crate::app::notices::Tone;
use crate::app::state::{Dialog, PickFor, Search, View};
use crate::words;

impl App {
    pub(in crate::app) fn apply_safety(&mut self, ctx: &egui::Context, action: SafetyAction) {
        let state = &mut self.ui.findings;
        match action {
            SafetyAction::Tab(tab) => state.tab = tab,
            SafetyAction::Show(severity, true) => {
                state.hidden.remove(&severity);
            }
            SafetyAction::Show(severity, false) => {
                state.hidden.insert(severity);
            }
            SafetyAction::ShowAccepted(on) => state.hide_accepted = !on,
            SafetyAction::Kind(kind) => state.kind = kind,
            SafetyAction::Open(key, true) => {
                state.open.insert(key);
            }
            SafetyAction::Open(key, false) => {
                state.open.remove(&key);
            }
            SafetyAction::AsTable(on) => state.as_table = on,
            SafetyAction::Product(product) => {
                self.change_formula(say!("change what it is for"), |f| {
                    f.product = product;
                    Ok(())
                });
            }
            SafetyAction::Notes(label, notes) => {
                self.change_formula(label, |f| {
                    f.safety = *notes;
                    Ok(())
                });
            }
            SafetyAction::Label(label, notes) => {
                self.change_formula(label, |f| {
                    f.label = *notes;
                    Ok(())
                });
            }
            SafetyAction::Accept { key, said, reason } => {
                let date = Some(self.date);
                self.change_formula(say!("accept warning"), |f| {
                    f.safety.accepted.retain(|a| a.key != key || a.said != said);
                    f.safety.accepted.push(Accepted { key, said, reason, date });
                    Ok(())
                });
            }
            SafetyAction::TakeBack(key, said) => {
                self.change_formula(say!("take acceptance back"), |f| {
                    f.safety.accepted.retain(|a| a.key != key || a.said != said);
                    Ok(())
                });
            }
            SafetyAction::Fix(fix) => self.fix(ctx, fix),
            SafetyAction::Supplier {
                material,
                certificate,
                allergens,
                complete,
                composition,
                natural,
            } => {
                let done = self.document.edit(say!("change supplier's figures"), None, |project| {
                    let Some(slot) = project.materials.get_mut(&material) else { return Ok(()) };
                    let mut m = (**slot).clone();
                    m.certificate = certificate;
                    m.allergens = allergens;
                    m.allergens_complete = complete;
                    m.composition = composition;
                    m.natural_origin = natural;
                    if m != **slot {
                        *slot = Arc::new(m);
                    }
                    Ok::<(), Infallible>(())
                });
                let Ok(()) = done;
            }
            SafetyAction::Market(code) => self.ui.label.market = Some(code),
            SafetyAction::Plain(on) => self.ui.label.plain = on,
            SafetyAction::Copy(text) => {
                ctx.copy_text(text);
                self.say(Tone::Done, say!("Ingredient list copied"));
            }
        }
    }

    /// Changes the formula at hand as one labelled step.
    pub(in crate::app) fn change_formula(
        &mut self,
        label: &str,
        change: impl FnOnce(&mut Formula) -> Result<(), EditError>,
    ) -> bool {
        let id = self.ui.formula.clone();
        let done = self.document.edit(label, None, |project| {
            let Some(slot) = project.formulas.iter_mut().find(|f| f.id == id) else {
                return Ok(());
            };
            let mut next = (**slot).clone();
            change(&mut next)?;
            if next != **slot {
                *slot = Arc::new(next);
            }
            Ok::<(), EditError>(())
        });
        if let Err(error) = done {
            self.say(Tone::Error, say!("Not done: {error}", error = words::told(error)));
            return false;
        }
        true
    }

    /// Does what a finding proposes.
    fn fix(&mut self, ctx: &egui::Context, fix: Fix) {
        match fix {
            Fix::SetPercent { line, percent } => {
                let done = self.change_formula(say!("change amount"), |f| {
                    f.set_amount(line, Some(Amount::percent(percent.0.normalize())))
                });
                if done {
                    self.say(Tone::Done, say!("Amount changed; undo takes it back"));
                }
            }
            Fix::MoveToCoolDown { line, below_c } => {
                let done = self.change_formula(say!("move to cool-down"), |f| {
                    let cool = |f: &Formula| {
                        let phase = f.phases.iter().find(|p| {
                            p.kind == PhaseKind::CoolDown
                                && p.temperature.warmest_c().is_none_or(|c| c <= below_c)
                        });
                        phase.map(|p| (p.id, p.lines.len()))
                    };
                    let (phase, end) = match cool(f) {
                        Some(found) => found,
                        None => {
                            let below = PhaseTemperature::Below(below_c);
                            (f.add_phase(say!("Cool-down"), PhaseKind::CoolDown, below), 0)
                        }
                    };
                    f.move_line(line, phase, end)
                });
                if done {
                    self.say(Tone::Done, say!("Moved to the cool-down phase; undo takes it back"));
                }
            }
            Fix::Swap { line } => self
                .ui
                .dialogs
                .push(Dialog::Pick { purpose: PickFor::Replace(line), search: Search::default() }),
            Fix::Certificate { material } => {
                if let Some(draft) = self.supplier_draft(&material) {
                    self.ui.dialogs.push(draft);
                }
            }
            Fix::SupplierOf { line } => {
                let project = self.document.project();
                let item = project
                    .formula(&self.ui.formula)
                    .and_then(|f| f.line(line))
                    .map(|l| l.item.clone());
                if let Some(Item::Material(id)) = item
                    && let Some(draft) = self.supplier_draft(&id)
                {
                    self.ui.dialogs.push(draft);
                }
            }
            Fix::Category => {
                self.ui.view = View::Findings;
                self.ui.figures = true;
                self.ui.drawer = true;
                let field = crate::widgets::RowText::id_of(say!("Fragrance category"));
                self.ui.focus = Some((field, 2));
                ctx.request_repaint();
            }
            Fix::Details => self.open_by(ctx, Command::FormulaDetails),
            Fix::Phase(phase) => {
                self.ui.view = View::Formula;
                self.ui.phase = Some(phase);
                self.ui.line = None;
                self.open_by(ctx, Command::PhaseDetails);
            }
            Fix::BringTo100 => {
                self.ui.view = View::Formula;
                self.open_by(ctx, Command::Normalise);
            }
            Fix::Label => self.ui.view = View::Label,
        }
    }

    fn open_by(&mut self, ctx: &egui::Context, command: Command) {
        self.apply(ctx, crate::app::action::Action::Run(command));
    }

    pub(in crate::app) fn supplier_draft(&self, id: &MaterialId) -> Option<Dialog> {
        let material = self.document.project().materials.get(id)?;
        let style = crate::app::style_of(&self.settings);
        Some(Dialog::Supplier(Box::new(super::share::supplier_draft(material, style))))
    }
}
