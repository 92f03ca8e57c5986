//! Carries the Setting view's actions out.

use std::convert::Infallible;
use std::sync::Arc;

use quern_calc::formula::{Amount, EditError, Figure, MaterialId, OwnSolids};
use quern_calc::setting::notes::SettingNotes;
use quern_calc::setting::table::SolidTable;

use super::{PowderData, SettingAction};
use crate::app::App;
use crate::app::notices::Tone;
use crate::words;

impl App {
    pub(in crate::app) fn apply_setting(&mut self, action: SettingAction) {
        let state = &mut self.ui.setting;
        match action {
            SettingAction::Pour(c) => state.pour_c = c,
            SettingAction::Stand(stand) => state.stand = stand,
            SettingAction::Air(c) => state.air_c = c,
            SettingAction::Beside(id) => state.beside = id,
            SettingAction::Mixing(mixing) => state.mixing = mixing,
            SettingAction::AsTable(on) => state.as_table = on,
            SettingAction::Notes(label, notes) => self.keep_setting(label, *notes),
            SettingAction::Amount(line, percent) => {
                let id = self.ui.formula.clone();
                let interaction = format!("setting amount {id} {}", line.0);
                let done =
                    self.document.edit(say!("change amount"), Some(&interaction), |project| {
                        if let Some(slot) = project.formulas.iter_mut().find(|f| f.id == id) {
                            let amount = Amount::percent(percent.0);
                            Arc::make_mut(slot).set_amount(line, Some(amount))?;
                        }
                        Ok::<(), EditError>(())
                    });
                if let Err(error) = done {
                    self.say(Tone::Error, say!("Not done: {error}", error = words::told(error)));
                }
            }
            SettingAction::Measure(measured) => {
                let mut notes = (*self.document.project().setting).clone();
                notes.measured.push(*measured);
                self.keep_setting(say!("add measurement"), notes);
            }
            SettingAction::Solids(id, table) => self.set_solids(&id, table),
            SettingAction::Powder(id, data) => self.set_powder(&id, data),
        }
    }

    fn keep_setting(&mut self, label: &str, notes: SettingNotes) {
        let done = self.document.edit(label, None, |project| {
            if *project.setting != notes {
                project.setting = Arc::new(notes);
            }
            Ok::<(), Infallible>(())
        });
        let Ok(()) = done;
    }

    fn set_solids(&mut self, id: &MaterialId, table: Option<SolidTable>) {
        let label = if table.is_some() {
            say!("enter solid-fat table")
        } else {
            say!("drop solid-fat table")
        };
        let result = self.document.edit(label, None, |project| {
            let Some(material) = project.materials.get_mut(id) else { return Ok(()) };
            let solids = match table {
                Some(table) => Some(OwnSolids::new(table, &material.fat)?),
                None => None,
            };
            if material.solids != solids {
                Arc::make_mut(material).solids = solids;
            }
            Ok(())
        });
        let result: Result<(), quern_calc::setting::table::TableProblem> = result;
        if let Err(error) = result {
            self.say(
                Tone::Error,
                say!("The table was not taken: {error}", error = words::told(error)),
            );
        }
    }

    /// Only what differs becomes the user's own figure; the rest keeps its source.
    fn set_powder(&mut self, id: &MaterialId, data: PowderData) {
        let done = self.document.edit(say!("change powder data"), None, |project| {
            let Some(slot) = project.materials.get_mut(id) else { return Ok(()) };
            let mut m = (**slot).clone();
            let differs = |f: &Option<Figure<f64>>, x: f64| {
                f.as_ref().is_none_or(|f| (f.value - x).abs() > 1e-9)
            };
            // A grain without a density of its own shows that of its melt.
            let shown = if m.density_solid.is_some() { &m.density_solid } else { &m.density_melt };
            if differs(shown, data.density) {
                m.density_solid = Some(Figure::user(data.density));
            }
            let soaks = m.oil_absorption.is_some() || data.soaks > 0.0;
            if soaks && differs(&m.oil_absorption, data.soaks) {
                m.oil_absorption = Some(Figure::user(data.soaks));
            }
            m.shape = Some(data.shape);
            if m != **slot {
                *slot = Arc::new(m);
            }
            Ok::<(), Infallible>(())
        });
        let Ok(()) = done;
    }
}
