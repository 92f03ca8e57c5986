//! Kept versions, what may not change in them, and the bin.
//!
//! A formula at work is one version of it; earlier ones are kept beside it, frozen, with the same
//! id and another number. Numbers only grow, so that a version number names one content for good.

use std::collections::BTreeSet;
use std::sync::Arc;

use quern_calc::batch::BatchPlan;
use quern_calc::formula::{Formula, FormulaId, VersionState};
use quern_calc::quantity::Date;

use crate::Project;

/// Most versions kept of a formula.
pub const MOST_KEPT: usize = 200;
/// Most formulas in the bin.
pub const MOST_BINNED: usize = 500;

/// An earlier version of a formula. Its content is frozen in every state; its state moves on.
#[derive(Clone, Debug, PartialEq)]
pub struct KeptVersion {
    /// The formula as it was, with number, state, parent and reason of the version.
    pub formula: Arc<Formula>,
    /// The day it was kept.
    pub date: Date,
}

/// A formula that was taken out, with all that belongs to it.
#[derive(Clone, Debug, PartialEq)]
pub struct Binned {
    /// The formula.
    pub formula: Arc<Formula>,
    /// Its batch plan, if it had one.
    pub plan: Option<Arc<BatchPlan>>,
    /// Its kept versions.
    pub kept: Vec<Arc<KeptVersion>>,
    /// The day it was taken out.
    pub date: Date,
}

/// Why something about versions or the bin was not done.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum VersionError {
    /// The formula is gone.
    #[error("that formula is not in the project any more")]
    NoFormula,
    /// The version is gone.
    #[error("version {0} is not kept any more")]
    NoVersion(u32),
    /// Too many versions.
    #[error(
        "{MOST_KEPT} versions of this formula are kept, and a file holds no more; duplicate the formula and go on with the copy"
    )]
    TooMany,
    /// The bin is full.
    #[error("the bin holds {MOST_BINNED} formulas, and a file holds no more; empty it first")]
    BinFull,
    /// The last formula cannot go.
    #[error("a project keeps at least one formula")]
    LastFormula,
    /// The entry of the bin is gone.
    #[error("that formula is not in the bin any more")]
    NotInBin,
    /// A state that the version cannot take.
    #[error("a {} version does not become a {} one", from.name(), to.name())]
    State {
        /// Its state.
        from: VersionState,
        /// The state asked for.
        to: VersionState,
    },
}

/// Why a change was refused: it touches what is frozen.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Frozen {
    /// The version at work is released or retired.
    #[error(
        "{name}, version {number} is {} and read-only, so nothing was changed; start version {next} to go on from it",
        state.name()
    )]
    Working {
        /// Name of the formula.
        name: String,
        /// Number of the version.
        number: u32,
        /// Its state.
        state: VersionState,
        /// Number of the version that would come next.
        next: u32,
    },
    /// A kept version would change or go.
    #[error("{name}, version {number} is kept as it was, so nothing was changed")]
    Kept {
        /// Name of the formula.
        name: String,
        /// Number of the version.
        number: u32,
    },
    /// Two versions would have one number.
    #[error(
        "{name} has a version {number} already, so nothing was changed; the next free number is {next}"
    )]
    Number {
        /// Name of the formula.
        name: String,
        /// The number.
        number: u32,
        /// Number of the version that would come next.
        next: u32,
    },
}

/// True when nothing of a frozen version differs. Label and safety notes are not part of it: law,
/// markets and batch codes go on after a release, and the label sheet notes what it printed.
fn same_content(a: &Formula, b: &Formula) -> bool {
    // Every field is named, so that a new one has to be thought of here.
    let Formula {
        id,
        name,
        version,
        product,
        parts_total,
        fills,
        ph,
        phases,
        note,
        safety: _,
        label: _,
    } = a;
    *id == b.id
        && *name == b.name
        && version.number == b.version.number
        && version.parent == b.version.parent
        && version.reason == b.version.reason
        && version.state.may_become(b.version.state)
        && *product == b.product
        && *parts_total == b.parts_total
        && *fills == b.fills
        && *ph == b.ph
        && *phases == b.phases
        && *note == b.note
}

impl Project {
    /// The kept versions of a formula, oldest first.
    pub fn kept_of<'a>(
        &'a self,
        id: &'a FormulaId,
    ) -> impl DoubleEndedIterator<Item = &'a Arc<KeptVersion>> {
        self.kept.iter().filter(move |k| k.formula.id == *id)
    }

    /// A version of a formula: the one at work or a kept one.
    #[must_use]
    pub fn version(&self, id: &FormulaId, number: u32) -> Option<&Arc<Formula>> {
        let at_work = self.formulas.iter();
        let mut all = at_work.chain(self.kept.iter().map(|k| &k.formula));
        all.find(|f| f.id == *id && f.version.number == number)
    }

    /// The number of the next version of a formula: one more than the highest, or the lowest free
    /// one where a file has used that up.
    #[must_use]
    pub fn next_version(&self, id: &FormulaId) -> u32 {
        let at_work = self.formula(id).map(|f| f.version.number);
        let kept = self.kept_of(id).map(|k| k.formula.version.number);
        let used: BTreeSet<u32> = kept.chain(at_work).collect();
        match used.last().map_or(Some(1), |n| n.checked_add(1)) {
            Some(next) => next,
            None => (1..u32::MAX).find(|n| !used.contains(n)).unwrap_or(u32::MAX),
        }
    }

    fn slot(&mut self, id: &FormulaId) -> Result<&mut Arc<Formula>, VersionError> {
        self.formulas.iter_mut().find(|f| f.id == *id).ok_or(VersionError::NoFormula)
    }

    /// Keeps the version at work as it stands and goes on with the next one, a draft. Gives its
    /// number.
    ///
    /// # Errors
    /// [`VersionError::NoFormula`], [`VersionError::TooMany`].
    pub fn start_version(
        &mut self,
        id: &FormulaId,
        date: Date,
        reason: &str,
    ) -> Result<u32, VersionError> {
        let next = self.next_version(id);
        if self.kept_of(id).count() >= MOST_KEPT {
            return Err(VersionError::TooMany);
        }
        let slot = self.slot(id)?;
        let before = Arc::clone(slot);
        let version = &mut Arc::make_mut(slot).version;
        version.parent = Some((id.clone(), version.number));
        version.number = next;
        version.state = VersionState::Draft;
        reason.clone_into(&mut version.reason);
        self.kept.push(Arc::new(KeptVersion { formula: before, date }));
        Ok(next)
    }

    /// Sets state and reason of the version at work.
    ///
    /// # Errors
    /// [`VersionError::NoFormula`], [`VersionError::State`].
    pub fn mark_working(
        &mut self,
        id: &FormulaId,
        state: VersionState,
        reason: &str,
    ) -> Result<(), VersionError> {
        let slot = self.slot(id)?;
        let from = slot.version.state;
        if !from.may_become(state) {
            return Err(VersionError::State { from, to: state });
        }
        let version = &mut Arc::make_mut(slot).version;
        version.state = state;
        reason.clone_into(&mut version.reason);
        Ok(())
    }

    /// Sets the state of a version, at work or kept.
    ///
    /// # Errors
    /// [`VersionError::NoVersion`], [`VersionError::State`].
    pub fn mark_version(
        &mut self,
        id: &FormulaId,
        number: u32,
        state: VersionState,
    ) -> Result<(), VersionError> {
        let from = self.version(id, number).ok_or(VersionError::NoVersion(number))?.version.state;
        if !from.may_become(state) {
            return Err(VersionError::State { from, to: state });
        }
        let working = self.formulas.iter_mut().find(|f| f.id == *id);
        match working.filter(|f| f.version.number == number) {
            Some(slot) => Arc::make_mut(slot).version.state = state,
            None => {
                let fits = |k: &&mut Arc<KeptVersion>| {
                    (&k.formula.id, k.formula.version.number) == (id, number)
                };
                if let Some(kept) = self.kept.iter_mut().find(fits) {
                    Arc::make_mut(&mut Arc::make_mut(kept).formula).version.state = state;
                }
            }
        }
        Ok(())
    }

    /// Goes back to a kept version without losing any: the version at work is kept, and what the
    /// chosen one holds goes on as the next, a draft. The name of the formula and the record of
    /// printed labels stay as they are. Gives the new number.
    ///
    /// # Errors
    /// [`VersionError::NoVersion`], and as [`Self::start_version`].
    pub fn go_back(
        &mut self,
        id: &FormulaId,
        number: u32,
        date: Date,
        reason: &str,
    ) -> Result<u32, VersionError> {
        let chosen = self
            .kept_of(id)
            .map(|k| &k.formula)
            .find(|f| f.version.number == number)
            .cloned()
            .ok_or(VersionError::NoVersion(number))?;
        let next = self.start_version(id, date, reason)?;
        let slot = self.slot(id)?;
        let now = Arc::make_mut(slot);
        let mut back = (*chosen).clone();
        back.name.clone_from(&now.name);
        back.label.printed.clone_from(&now.label.printed);
        back.version = now.version.clone();
        back.version.parent = Some((id.clone(), number));
        *now = back;
        Ok(next)
    }

    /// Takes a formula out and puts it in the bin, with its plan and its kept versions.
    ///
    /// # Errors
    /// [`VersionError::NoFormula`], [`VersionError::LastFormula`], [`VersionError::BinFull`].
    pub fn put_in_bin(&mut self, id: &FormulaId, date: Date) -> Result<(), VersionError> {
        if self.bin.len() >= MOST_BINNED {
            return Err(VersionError::BinFull);
        }
        let at = self.formulas.iter().position(|f| f.id == *id).ok_or(VersionError::NoFormula)?;
        if self.formulas.len() < 2 {
            return Err(VersionError::LastFormula);
        }
        let formula = self.formulas.remove(at);
        let (own, others) = self.kept.drain(..).partition(|k| k.formula.id == *id);
        self.kept = others;
        let plan = self.plans.remove(id);
        self.bin.push(Arc::new(Binned { formula, plan, kept: own, date }));
        Ok(())
    }

    /// Puts a formula from the bin back at the end of the list, under a new id where its own is
    /// taken. Gives its id.
    ///
    /// # Errors
    /// [`VersionError::NotInBin`].
    pub fn restore(&mut self, at: usize) -> Result<FormulaId, VersionError> {
        if at >= self.bin.len() {
            return Err(VersionError::NotInBin);
        }
        let binned = self.bin.remove(at);
        let old = binned.formula.id.clone();
        let id = if self.formula(&old).is_some() {
            self.free_formula_id(&binned.formula.name)
        } else {
            old.clone()
        };
        let under = |formula: &Arc<Formula>| {
            if id == old {
                return Arc::clone(formula);
            }
            let mut renamed = (**formula).clone();
            renamed.id = id.clone();
            if let Some((parent, _)) = &mut renamed.version.parent
                && *parent == old
            {
                *parent = id.clone();
            }
            Arc::new(renamed)
        };
        self.formulas.push(under(&binned.formula));
        self.kept.extend(
            binned
                .kept
                .iter()
                .map(|k| Arc::new(KeptVersion { formula: under(&k.formula), date: k.date })),
        );
        if let Some(plan) = &binned.plan {
            self.plans.insert(id.clone(), Arc::clone(plan));
        }
        Ok(id)
    }

    /// Removes a formula from the bin for good.
    ///
    /// # Errors
    /// [`VersionError::NotInBin`].
    pub fn remove_for_good(&mut self, at: usize) -> Result<(), VersionError> {
        if at >= self.bin.len() {
            return Err(VersionError::NotInBin);
        }
        self.bin.remove(at);
        Ok(())
    }

    /// What a change from `before` to this project would break of what is frozen: a released or
    /// retired version, a kept one, or the number of a version. A frozen version may be kept, go to
    /// the bin with its formula, and move on in its state.
    ///
    /// # Errors
    /// The first thing found.
    pub fn check_frozen(&self, before: &Project) -> Result<(), Frozen> {
        // The same pointers in the same places, as after most changes, need no look.
        let kept_alike = self.kept.len() == before.kept.len()
            && self.kept.iter().zip(&before.kept).all(|(a, b)| Arc::ptr_eq(a, b));
        for (i, old) in before.formulas.iter().enumerate() {
            if self.formulas.get(i).is_some_and(|new| Arc::ptr_eq(new, old)) && kept_alike {
                continue;
            }
            let number = old.version.number;
            if old.version.state.is_frozen() && !self.still_holds(old) {
                return Err(Frozen::Working {
                    name: old.name.clone(),
                    number,
                    state: old.version.state,
                    next: before.next_version(&old.id),
                });
            }
        }
        for (i, formula) in self.formulas.iter().enumerate() {
            if before.formulas.get(i).is_some_and(|old| Arc::ptr_eq(old, formula)) && kept_alike {
                continue;
            }
            let number = formula.version.number;
            if self.kept_of(&formula.id).any(|k| k.formula.version.number == number) {
                return Err(Frozen::Number {
                    name: formula.name.clone(),
                    number,
                    next: before.next_version(&formula.id),
                });
            }
        }
        if kept_alike {
            return Ok(());
        }
        for (i, old) in before.kept.iter().enumerate() {
            if self.kept.get(i).is_some_and(|new| Arc::ptr_eq(new, old)) {
                continue;
            }
            let (name, number) = (&old.formula.name, old.formula.version.number);
            if !self.still_keeps(&old.formula) {
                return Err(Frozen::Kept { name: name.clone(), number });
            }
        }
        Ok(())
    }

    /// True when this version is still there, at work, kept or in the bin.
    fn still_holds(&self, old: &Formula) -> bool {
        self.version(&old.id, old.version.number).is_some_and(|new| same_content(old, new))
            || self.bin.iter().any(|b| same_content(old, &b.formula))
            || self.still_keeps(old)
    }

    /// True when this version is kept, beside its formula or with it in the bin.
    fn still_keeps(&self, old: &Formula) -> bool {
        let mut kept = self.kept.iter().chain(self.bin.iter().flat_map(|b| &b.kept));
        kept.any(|k| same_content(old, &k.formula))
    }
}
