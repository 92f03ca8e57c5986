//! What the Setting view reads: figures by state, worked out once; the slab on the worker.

use std::sync::Arc;

use quern_calc::evaluate::{
    Context, Readout, Remark, SettingAsk, SettingFigures, SlabFigures, readouts, remarks,
    setting_figures, stand_more,
};
use quern_calc::formula::{FormulaId, Function};
use quern_calc::number::NumberStyle;

use crate::app::state::View;
use crate::app::worker::Done;
use crate::app::{App, Side, SideFigures, style_of};

/// Figures kept: two formulas in two states.
const KEPT: usize = 4;

/// A state of the project and what it is asked.
#[derive(Clone, Debug, PartialEq)]
pub struct SettingKey {
    at: (u64, u64),
    formula: FormulaId,
    ask: SettingAsk,
    style: NumberStyle,
}

/// A formula in the view.
#[derive(Clone, Debug)]
pub struct SettingSide {
    /// The formula with its evaluation.
    pub side: SideFigures,
    /// Everything of the view.
    pub figures: Arc<SettingFigures>,
    /// The same as rows.
    pub rows: Arc<Vec<Readout>>,
    /// The same in sentences.
    pub remarks: Arc<Vec<Remark>>,
    /// Middle and face over time, as far as they have come.
    pub slab: Option<Arc<SlabFigures>>,
    /// True when that slab is of this very state; until then the one before is drawn.
    pub slab_is_new: bool,
}

/// What the Setting view reads beside the scene.
#[derive(Clone, Debug, Default)]
pub struct SettingScene {
    /// The formula at hand first, then the one beside it.
    pub sides: Vec<SettingSide>,
}

/// What a job for the Setting view came to.
#[derive(Debug)]
pub enum SettingDone {
    /// A slab.
    Slab(Box<SettingKey>, Option<SlabFigures>),
}

/// Figures by state, and the slab under way.
#[derive(Debug, Default)]
pub struct SettingJobs {
    kept: Vec<(SettingKey, SettingSide)>,
    slabs: Vec<(SettingKey, Option<Arc<SlabFigures>>)>,
    pending: Option<SettingKey>,
    /// What broke off is not tried again in the same state.
    broken: Option<SettingKey>,
}

impl SettingJobs {
    /// Takes in what a job came to.
    pub fn take(&mut self, done: SettingDone) {
        let SettingDone::Slab(key, slab) = done;
        if self.pending.as_ref() == Some(&*key) {
            self.pending = None;
        }
        if self.slabs.len() >= KEPT {
            self.slabs.remove(0);
        }
        self.slabs.push((*key, slab.map(Arc::new)));
    }

    /// A job broke off: nothing is under way any more.
    pub fn broken(&mut self) {
        if let Some(key) = self.pending.take() {
            self.broken = Some(key);
        }
    }

    /// The slab of this state; while it is under way, the last one of the formula.
    fn slab(&self, key: &SettingKey) -> (Option<Arc<SlabFigures>>, bool) {
        let exact = self.slabs.iter().rev().find(|s| s.0 == *key);
        let same = |s: &&(SettingKey, Option<Arc<SlabFigures>>)| {
            s.0.formula == key.formula && s.0.at.0 == key.at.0
        };
        let last = || self.slabs.iter().rev().find(same);
        (exact.or_else(last).and_then(|s| s.1.clone()), exact.is_some())
    }
}

impl App {
    /// What the Setting view reads; starts the jobs that it needs.
    pub(in crate::app) fn setting_scene(&mut self) -> SettingScene {
        if self.ui.view != View::Setting {
            return SettingScene::default();
        }
        self.ui.setting.take_up(&self.ui.formula);
        SettingScene { sides: self.setting_sides() }
    }

    /// The formula at hand and the one beside it.
    pub(super) fn setting_sides(&mut self) -> Vec<SettingSide> {
        let here = self.ui.formula.clone();
        let project = Arc::clone(self.document.project());
        let known = |id: &FormulaId| *id != here && project.formula(id).is_some();
        if self.ui.setting.beside.as_ref().is_some_and(|id| !known(id)) {
            self.ui.setting.beside = None;
        }
        let ids = std::iter::once(here).chain(self.ui.setting.beside.clone());
        ids.collect::<Vec<_>>().into_iter().filter_map(|id| self.setting_side(id)).collect()
    }

    fn setting_side(&mut self, formula: FormulaId) -> Option<SettingSide> {
        let state = &self.ui.setting;
        let first = formula == self.ui.formula;
        let key = SettingKey {
            at: (self.document.id, self.document.revision()),
            formula: formula.clone(),
            ask: SettingAsk {
                // Each formula beside is poured as it usually is.
                pour_c: state.pour_c.filter(|_| first),
                mould: None,
                stand: state.stand,
                air_c: state.air_c,
            },
            style: style_of(&self.settings),
        };
        let found = self.setting.kept.iter().find(|k| k.0 == key).map(|k| k.1.clone());
        let mut side = match found {
            Some(side) => side,
            None => {
                let side = self.work_out_setting(&key)?;
                if self.setting.kept.len() >= KEPT {
                    self.setting.kept.remove(0);
                }
                self.setting.kept.push((key.clone(), side.clone()));
                side
            }
        };
        let have = self.setting.slabs.iter().any(|s| s.0 == key);
        let free = self.setting.pending.is_none() && self.setting.broken.as_ref() != Some(&key);
        if let Ok(cool) = &side.figures.cool
            && !have
            && free
        {
            let ask = cool.slab.clone();
            self.setting.pending = Some(key.clone());
            let boxed = Box::new(key.clone());
            self.worker.start_quiet(say!("Working out how a piece cools"), move |_| {
                Done::Setting(SettingDone::Slab(boxed, ask.run()))
            });
        }
        if side.figures.cool.is_ok() {
            (side.slab, side.slab_is_new) = self.setting.slab(&key);
        }
        Some(side)
    }

    fn work_out_setting(&mut self, key: &SettingKey) -> Option<SettingSide> {
        let side = self.figures(&Side::plain(key.formula.clone()))?;
        let project = Arc::clone(self.document.project());
        let library = self.evals.library(&project, self.document.revision());
        let context = Context { date: self.date, setting: Arc::clone(&project.setting) };
        let e = &side.evaluation;
        let figures = setting_figures(&side.formula, &library, &context, e, &key.ask);
        let rows = readouts(e, &figures);
        let built_in = &quern_project::library::builtin().materials;
        let others = |function: Function, at_least_c: f64| -> Vec<String> {
            stand_more(built_in.values().map(|m| &**m), function, at_least_c)
                .into_iter()
                .map(|(m, _)| m.display_name().to_owned())
                .collect()
        };
        let remarks = remarks(e, &figures, &others, style_of(&self.settings));
        Some(SettingSide {
            figures: Arc::new(figures),
            rows: Arc::new(rows),
            remarks: Arc::new(remarks),
            slab: None,
            slab_is_new: false,
            side,
        })
    }
}
