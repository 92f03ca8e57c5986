//! What the worker does for the Grit view: bands of the index, the search for a blend, the map.

use std::collections::HashMap;
use std::sync::Arc;

use quern_calc::evaluate::{
    BlendAnswer, BlendAsk, Derived, Mixes, find_blend_while, item_name, mixes,
};
use quern_calc::formula::{BlendError, FormulaId, Function, Item, Library, MaterialId};
use quern_calc::grit::spread::{Spread, spread};

use super::{BESIDE_MAX, CANDIDATES_MAX};
use crate::app::state::View;
use crate::app::worker::Done;
use crate::app::{App, Side, SideFigures};

/// A state of the project: document and revision.
type At = (u64, u64);

/// What a search was for.
#[derive(Clone, Debug, PartialEq)]
pub struct FindKey {
    at: At,
    formula: FormulaId,
    from: Vec<MaterialId>,
    ask: BlendAsk,
}

/// What a map was for.
#[derive(Clone, Debug, PartialEq)]
pub struct MixKey {
    at: At,
    formula: FormulaId,
    of: Vec<MaterialId>,
    ask: BlendAsk,
}

/// Bands by formula, at one state of the project.
type Spreads = HashMap<FormulaId, Option<Spread>>;

/// What the worker was asked for and what came of it.
#[derive(Debug, Default)]
pub struct GritJobs {
    spreads: (At, Spreads),
    finding: Option<FindKey>,
    found: Option<(FindKey, Arc<Result<BlendAnswer, BlendError>>)>,
    mixing: Option<MixKey>,
    mixed: Option<(MixKey, Arc<Derived<Mixes>>)>,
    /// What broke off is not tried again in the same state.
    broken: (Option<FindKey>, Option<MixKey>),
    /// What is wanted now, to tell whether what was found is for it.
    wanted: Option<FindKey>,
}

/// What a job for the Grit view came to.
#[derive(Debug)]
pub enum GritDone {
    /// Band of one blend.
    Spread(At, FormulaId, Spread),
    /// Blends for a wanted index.
    Found(Box<FindKey>, Box<Result<BlendAnswer, BlendError>>),
    /// Every mix.
    Mixed(Box<MixKey>, Box<Derived<Mixes>>),
}

/// What the Grit view reads beside the scene.
#[derive(Clone, Debug, Default)]
pub struct GritScene {
    /// The blend at hand first, then those beside it.
    pub sides: Vec<SideFigures>,
    /// Their bands, as far as they have come.
    pub spreads: Vec<Option<Spread>>,
    /// Exfoliants that may be used, with their names.
    pub from: Vec<(MaterialId, String)>,
    /// Exfoliants that the project could use, with their names.
    pub offered: Vec<(MaterialId, String)>,
    /// Exfoliants of the map.
    pub corners: Vec<MaterialId>,
    /// What the search came to, for the ask as it stands or the one before.
    pub found: Option<Arc<Result<BlendAnswer, BlendError>>>,
    /// The search or the map is still at work.
    pub working: bool,
    /// Every mix.
    pub mixed: Option<Arc<Derived<Mixes>>>,
}

impl GritJobs {
    /// Takes in what a job came to; what was asked for in another state is of no use.
    pub fn take(&mut self, done: GritDone) {
        match done {
            GritDone::Spread(at, formula, spread) => {
                if self.spreads.0 == at {
                    self.spreads.1.insert(formula, Some(spread));
                }
            }
            GritDone::Found(key, result) => {
                if self.finding.as_ref() == Some(&*key) {
                    self.finding = None;
                }
                self.found = Some((*key, Arc::new(*result)));
            }
            GritDone::Mixed(key, result) => {
                if self.mixing.as_ref() == Some(&*key) {
                    self.mixing = None;
                }
                self.mixed = Some((*key, Arc::new(*result)));
            }
        }
    }

    /// A job broke off: nothing is under way any more.
    pub fn broken(&mut self) {
        self.broken = (self.finding.take(), self.mixing.take());
    }

    /// What was found, if it is for what is wanted now.
    pub(super) fn found_now(&self) -> Option<Arc<Result<BlendAnswer, BlendError>>> {
        let (key, found) = self.found.as_ref()?;
        (Some(key) == self.wanted.as_ref()).then(|| Arc::clone(found))
    }
}

impl App {
    /// What the Grit view reads; starts the jobs that it needs.
    pub(in crate::app) fn grit_scene(&mut self) -> GritScene {
        if self.ui.view != View::Grit {
            return GritScene::default();
        }
        if self.ui.grit.of.as_ref() != Some(&self.ui.formula) {
            self.ui.grit.for_another();
            self.ui.grit.of = Some(self.ui.formula.clone());
        }
        if let Some(formula) = self.document.project().formula(&self.ui.formula) {
            let place = formula.product.place;
            let asked = self.ui.grit.asked.clone();
            self.ui.grit.ask = asked.unwrap_or_else(|| BlendAsk::for_place(place));
        }
        let at = (self.document.id, self.document.revision());
        let sides = self.grit_sides();
        let spreads = self.spreads(at, &sides);
        let library = self.wide_library();
        let offered = self.exfoliants(&library);
        let from = self.chosen(&offered, &library);
        let ids: Vec<MaterialId> = from.iter().map(|(id, _)| id.clone()).collect();
        let corners = self.map_corners(&ids);
        self.find(at, &ids, &library);
        self.mix(at, &corners, &library);
        GritScene {
            sides,
            spreads,
            from,
            offered,
            corners,
            found: self.found_here(),
            working: self.grit.finding.is_some() || self.grit.mixing.is_some(),
            mixed: self.mixed_here(),
        }
    }

    /// What was last found for this formula of this document; while the next search is at work it
    /// stands for the ask before.
    fn found_here(&self) -> Option<Arc<Result<BlendAnswer, BlendError>>> {
        let (key, found) = self.grit.found.as_ref()?;
        let here = key.at.0 == self.document.id && key.formula == self.ui.formula;
        here.then(|| Arc::clone(found))
    }

    fn mixed_here(&self) -> Option<Arc<Derived<Mixes>>> {
        let (key, mixed) = self.grit.mixed.as_ref()?;
        let here = key.at.0 == self.document.id && key.formula == self.ui.formula;
        here.then(|| Arc::clone(mixed))
    }

    pub(super) fn grit_sides(&mut self) -> Vec<SideFigures> {
        let here = self.ui.formula.clone();
        let project = Arc::clone(self.document.project());
        self.ui.grit.beside.retain(|id| *id != here && project.formula(id).is_some());
        self.ui.grit.beside.truncate(BESIDE_MAX);
        let ids: Vec<FormulaId> =
            std::iter::once(here).chain(self.ui.grit.beside.iter().cloned()).collect();
        ids.into_iter().filter_map(|id| self.figures(&Side::plain(id))).collect()
    }

    /// Bands of the blends, worked out once per state of the project.
    fn spreads(&mut self, at: At, sides: &[SideFigures]) -> Vec<Option<Spread>> {
        if self.grit.spreads.0 != at {
            self.grit.spreads = (at, HashMap::new());
        }
        for side in sides {
            let id = side.formula.id.clone();
            let Ok(grains) = &side.evaluation.grains else { continue };
            if self.grit.spreads.1.contains_key(&id) {
                continue;
            }
            self.grit.spreads.1.insert(id.clone(), None);
            let (blend, density) = (grains.blend.clone(), grains.product_density);
            self.worker
                .start_quiet(say!("Working out how far the grit index can be off"), move |_| {
                    Done::Grit(GritDone::Spread(at, id, spread(&blend, density)))
                });
        }
        sides.iter().map(|s| self.grit.spreads.1.get(&s.formula.id).cloned().flatten()).collect()
    }

    /// What lines can refer to, with the library's exfoliants that were asked for.
    pub(in crate::app) fn wide_library(&mut self) -> Arc<Library> {
        let project = Arc::clone(self.document.project());
        let library = self.evals.library(&project, self.document.revision());
        let built_in = &quern_project::library::builtin().materials;
        let asked = self.ui.grit.from.iter().chain(&self.ui.grit.corners).flatten();
        let more: Vec<_> = asked
            .filter(|id| library.material(id).is_none())
            .filter_map(|id| built_in.get(id).cloned())
            .collect();
        if more.is_empty() {
            return library;
        }
        let own = project.materials.values().cloned();
        Arc::new(Library::new(own.chain(more), project.formulas.iter().cloned()))
    }

    /// Exfoliants of the project, and library ones that were asked for.
    fn exfoliants(&self, library: &Library) -> Vec<(MaterialId, String)> {
        let mut out: Vec<(MaterialId, String)> = library
            .materials()
            .filter(|m| m.function == Some(Function::Exfoliant))
            .map(|m| (m.id.clone(), m.display_name().to_owned()))
            .collect();
        out.sort_by_key(|e| e.1.to_lowercase());
        out
    }

    fn chosen(
        &self,
        offered: &[(MaterialId, String)],
        library: &Library,
    ) -> Vec<(MaterialId, String)> {
        match &self.ui.grit.from {
            None => offered.iter().take(CANDIDATES_MAX).cloned().collect(),
            Some(ids) => ids
                .iter()
                .filter(|id| library.material(id).is_some())
                .take(CANDIDATES_MAX)
                .map(|id| (id.clone(), item_name(&Item::Material(id.clone()), library)))
                .collect(),
        }
    }

    /// The corners as chosen, else the formula's own exfoliants and then others, three in all.
    fn map_corners(&self, from: &[MaterialId]) -> Vec<MaterialId> {
        if let Some(corners) = &self.ui.grit.corners {
            return corners.clone();
        }
        let formula = self.document.project().formula(&self.ui.formula);
        let own = formula.iter().flat_map(|f| f.lines()).filter_map(|(_, l)| match &l.item {
            Item::Material(id) => Some(id),
            Item::Formula(_) => None,
        });
        let mut out: Vec<MaterialId> = Vec::new();
        for id in own.filter(|id| from.contains(id)).chain(from) {
            if !out.contains(id) && out.len() < 3 {
                out.push(id.clone());
            }
        }
        out
    }

    fn find(&mut self, at: At, from: &[MaterialId], library: &Arc<Library>) {
        let key = FindKey {
            at,
            formula: self.ui.formula.clone(),
            from: from.to_vec(),
            ask: self.ui.grit.ask.clone(),
        };
        let known = self.grit.found.as_ref().is_some_and(|(k, _)| *k == key)
            || self.grit.broken.0.as_ref() == Some(&key);
        self.grit.wanted = Some(key.clone());
        // One at a time: what is typed meanwhile is looked for when this one is back.
        if known || self.grit.finding.is_some() {
            return;
        }
        let Some(formula) = self.document.project().formula(&self.ui.formula).cloned() else {
            return;
        };
        self.grit.finding = Some(key.clone());
        let library = Arc::clone(library);
        self.worker.start_quiet(say!("Looking for a blend"), move |go_on| {
            let goes = || go_on.goes_on();
            let result = find_blend_while(&formula, &library, &key.from, &key.ask, &goes);
            Done::Grit(GritDone::Found(Box::new(key), Box::new(result)))
        });
    }

    fn mix(&mut self, at: At, of: &[MaterialId], library: &Arc<Library>) {
        let ask = BlendAsk {
            // The map does not depend on the rest, and need not be made again for it.
            prefer: Default::default(),
            kinds: (1, 3),
            without: Vec::new(),
            barred: Vec::new(),
            ..self.ui.grit.ask.clone()
        };
        let key = MixKey { at, formula: self.ui.formula.clone(), of: of.to_vec(), ask };
        let known = self.grit.mixed.as_ref().is_some_and(|(k, _)| *k == key)
            || self.grit.broken.1.as_ref() == Some(&key);
        if known || self.grit.mixing.is_some() {
            return;
        }
        let Some(formula) = self.document.project().formula(&self.ui.formula).cloned() else {
            return;
        };
        self.grit.mixing = Some(key.clone());
        let library = Arc::clone(library);
        self.worker.start_quiet(say!("Drawing the map of mixes"), move |_| {
            let result = mixes(&formula, &library, &key.of, &key.ask);
            Done::Grit(GritDone::Mixed(Box::new(key), Box::new(result)))
        });
    }
}
