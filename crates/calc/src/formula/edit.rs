//! Changes to a formula. Each is total: it either happens or says why not.

use rust_decimal::Decimal;

use super::{
    Alternative, Amount, AmountUnit, Formula, Item, Line, LineId, Phase, PhaseId, PhaseKind,
    PhaseTemperature,
};
use crate::number::{MassUnit, Typed, Unit};
use crate::quantity::{Grams, Percent, derived};

/// Why a change could not be made.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    /// The line is not in the formula (any more).
    #[error("that line is not in the formula any more")]
    NoLine,
    /// The phase is not in the formula (any more).
    #[error("that phase is not in the formula any more")]
    NoPhase,
    /// A phase with lines cannot be removed.
    #[error("the phase still holds {0} lines; move or remove them first")]
    PhaseNotEmpty(usize),
    /// The last phase cannot be removed.
    #[error("a formula keeps at least one phase")]
    LastPhase,
    /// Grams of a batch of nothing.
    #[error("grams need a batch size above 0 g to become a percentage")]
    NoBatch,
    /// Parts of nothing.
    #[error("the parts total must be above 0")]
    NoParts,
    /// A unit that is no amount.
    #[error("an amount is typed in %, in grams or another mass, or in parts")]
    WrongUnit,
    /// Nothing to normalise: every line is locked, blank or zero.
    #[error("no unlocked line with an amount is left to adjust")]
    NothingToAdjust,
    /// A line fills to 100, so the total is 100 already.
    #[error("one line fills to 100 already, so there is nothing to bring there")]
    FillsAlready,
    /// The locked lines already exceed 100 %.
    #[error("the locked lines alone hold {0} %, so the others cannot be brought to 100")]
    LockedAbove100(Percent),
}

/// One more than the highest id, or the lowest free one where a file has used that up.
fn free_id(used: impl Iterator<Item = u32>) -> u32 {
    let used: std::collections::BTreeSet<u32> = used.collect();
    match used.last().map_or(Some(1), |m| m.checked_add(1)) {
        Some(id) => id,
        None => (1..u32::MAX).find(|id| !used.contains(id)).unwrap_or(0),
    }
}

/// What normalising would change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NormalisePreview {
    /// Line, % before, % after.
    pub changes: Vec<(LineId, Percent, Percent)>,
    /// Total before.
    pub total_before: Percent,
}

impl Formula {
    /// A line id that is not in use.
    #[must_use]
    pub fn next_line_id(&self) -> LineId {
        LineId(free_id(self.lines().map(|(_, l)| l.id.0)))
    }

    /// A phase id that is not in use.
    #[must_use]
    pub fn next_phase_id(&self) -> PhaseId {
        PhaseId(free_id(self.phases.iter().map(|p| p.id.0)))
    }

    fn line_mut(&mut self, id: LineId) -> Result<&mut Line, EditError> {
        self.phases
            .iter_mut()
            .flat_map(|p| p.lines.iter_mut())
            .find(|l| l.id == id)
            .ok_or(EditError::NoLine)
    }

    fn phase_mut(&mut self, id: PhaseId) -> Result<&mut Phase, EditError> {
        self.phases.iter_mut().find(|p| p.id == id).ok_or(EditError::NoPhase)
    }

    /// Appends a blank line to a phase, after `after` when that line is in it.
    ///
    /// # Errors
    /// [`EditError::NoPhase`].
    pub fn add_line(
        &mut self,
        phase: PhaseId,
        item: Item,
        after: Option<LineId>,
    ) -> Result<LineId, EditError> {
        let id = self.next_line_id();
        let phase = self.phase_mut(phase)?;
        let at = after
            .and_then(|a| phase.lines.iter().position(|l| l.id == a))
            .map_or(phase.lines.len(), |i| i + 1);
        let line = Line {
            id,
            item,
            amount: None,
            locked: false,
            alternatives: Vec::new(),
            note: String::new(),
        };
        phase.lines.insert(at.min(phase.lines.len()), line);
        Ok(id)
    }

    /// Puts a copy of a line after it; a q.s. mark stays with the original.
    ///
    /// # Errors
    /// [`EditError::NoLine`].
    pub fn duplicate_line(&mut self, id: LineId) -> Result<LineId, EditError> {
        let copy = self.next_line_id();
        for phase in &mut self.phases {
            if let Some(i) = phase.lines.iter().position(|l| l.id == id) {
                let line = phase.lines.get(i).cloned().ok_or(EditError::NoLine)?;
                phase.lines.insert(i + 1, Line { id: copy, ..line });
                return Ok(copy);
            }
        }
        Err(EditError::NoLine)
    }

    /// Removes a line; a q.s. mark on it goes too.
    ///
    /// # Errors
    /// [`EditError::NoLine`].
    pub fn remove_line(&mut self, id: LineId) -> Result<Line, EditError> {
        for phase in &mut self.phases {
            if let Some(i) = phase.lines.iter().position(|l| l.id == id) {
                if self.fills == Some(id) {
                    self.fills = None;
                }
                return Ok(phase.lines.remove(i));
            }
        }
        Err(EditError::NoLine)
    }

    /// Moves a line up (`-1`) or down (`+1`), over the edge into the next phase.
    ///
    /// # Errors
    /// [`EditError::NoLine`].
    pub fn nudge_line(&mut self, id: LineId, down: bool) -> Result<(), EditError> {
        let (p, i) = self
            .phases
            .iter()
            .enumerate()
            .find_map(|(p, ph)| ph.lines.iter().position(|l| l.id == id).map(|i| (p, i)))
            .ok_or(EditError::NoLine)?;
        let len = self.phases.get(p).map_or(0, |ph| ph.lines.len());
        let inside = if down { i + 1 < len } else { i > 0 };
        if inside {
            if let Some(phase) = self.phases.get_mut(p) {
                phase.lines.swap(i, if down { i + 1 } else { i - 1 });
            }
            return Ok(());
        }
        let target = if down { Some(p + 1) } else { p.checked_sub(1) };
        let Some(target) = target.filter(|t| *t < self.phases.len()) else { return Ok(()) };
        let Some(line) = self.phases.get_mut(p).map(|ph| ph.lines.remove(i)) else {
            return Ok(());
        };
        if let Some(phase) = self.phases.get_mut(target) {
            let at = if down { 0 } else { phase.lines.len() };
            phase.lines.insert(at, line);
        }
        Ok(())
    }

    /// Moves a line to a place in a phase; past the end means last.
    ///
    /// # Errors
    /// [`EditError::NoLine`], [`EditError::NoPhase`].
    pub fn move_line(&mut self, id: LineId, phase: PhaseId, index: usize) -> Result<(), EditError> {
        if self.phase(phase).is_none() {
            return Err(EditError::NoPhase);
        }
        let fills = self.fills;
        let line = self.remove_line(id)?;
        self.fills = fills;
        let phase = self.phase_mut(phase)?;
        phase.lines.insert(index.min(phase.lines.len()), line);
        Ok(())
    }

    /// Appends a phase.
    pub fn add_phase(
        &mut self,
        name: &str,
        kind: PhaseKind,
        temperature: PhaseTemperature,
    ) -> PhaseId {
        let id = self.next_phase_id();
        self.phases.push(Phase {
            id,
            name: name.to_owned(),
            kind,
            temperature,
            steps: Vec::new(),
            lines: Vec::new(),
        });
        id
    }

    /// Removes an empty phase.
    ///
    /// # Errors
    /// [`EditError::NoPhase`], [`EditError::PhaseNotEmpty`], [`EditError::LastPhase`].
    pub fn remove_phase(&mut self, id: PhaseId) -> Result<(), EditError> {
        let phase = self.phase(id).ok_or(EditError::NoPhase)?;
        if !phase.lines.is_empty() {
            return Err(EditError::PhaseNotEmpty(phase.lines.len()));
        }
        if self.phases.len() == 1 {
            return Err(EditError::LastPhase);
        }
        self.phases.retain(|p| p.id != id);
        Ok(())
    }

    /// Moves a phase one place up or down.
    ///
    /// # Errors
    /// [`EditError::NoPhase`].
    pub fn nudge_phase(&mut self, id: PhaseId, down: bool) -> Result<(), EditError> {
        let i = self.phases.iter().position(|p| p.id == id).ok_or(EditError::NoPhase)?;
        let target = if down { Some(i + 1) } else { i.checked_sub(1) };
        if let Some(t) = target.filter(|t| *t < self.phases.len()) {
            self.phases.swap(i, t);
        }
        Ok(())
    }

    /// Changes a phase in place.
    ///
    /// # Errors
    /// [`EditError::NoPhase`].
    pub fn update_phase(
        &mut self,
        id: PhaseId,
        change: impl FnOnce(&mut Phase),
    ) -> Result<(), EditError> {
        change(self.phase_mut(id)?);
        Ok(())
    }

    /// The amount that a typed entry means here. A bare number is %.
    ///
    /// # Errors
    /// [`EditError::NoBatch`], [`EditError::NoParts`], [`EditError::WrongUnit`].
    pub fn amount_from(&self, typed: Typed, gross: Grams) -> Result<Amount, EditError> {
        match typed.unit {
            None | Some(Unit::Percent) => Ok(Amount::percent(typed.value)),
            Some(Unit::Mass(unit)) => {
                self.amount_in_grams(typed.value, unit, gross).ok_or(EditError::NoBatch)
            }
            Some(Unit::Parts) => {
                let percent =
                    Percent::share(typed.value, self.parts_total).ok_or(EditError::NoParts)?;
                Ok(Amount { typed: typed.value, unit: AmountUnit::Parts, percent })
            }
            Some(Unit::Celsius | Unit::Micrometre | Unit::Millimetre | Unit::Millilitre) => {
                Err(EditError::WrongUnit)
            }
        }
    }

    fn amount_in_grams(&self, value: Decimal, unit: MassUnit, gross: Grams) -> Option<Amount> {
        if gross.0 <= Decimal::ZERO {
            return None;
        }
        let grams = value.saturating_mul(unit.grams_per_unit());
        let percent = Percent::share(grams, gross.0)?;
        Some(Amount { typed: value, unit: AmountUnit::Mass { unit, of: gross }, percent })
    }

    /// Sets or blanks the amount of a line.
    ///
    /// # Errors
    /// [`EditError::NoLine`].
    pub fn set_amount(&mut self, id: LineId, amount: Option<Amount>) -> Result<(), EditError> {
        self.line_mut(id)?.amount = amount;
        Ok(())
    }

    /// Changes a line's item, keeping its amount.
    ///
    /// # Errors
    /// [`EditError::NoLine`].
    pub fn set_item(&mut self, id: LineId, item: Item) -> Result<(), EditError> {
        self.line_mut(id)?.item = item;
        Ok(())
    }

    /// Locks or unlocks a line.
    ///
    /// # Errors
    /// [`EditError::NoLine`].
    pub fn set_locked(&mut self, id: LineId, locked: bool) -> Result<(), EditError> {
        self.line_mut(id)?.locked = locked;
        Ok(())
    }

    /// Replaces the alternatives and the note of a line.
    ///
    /// # Errors
    /// [`EditError::NoLine`].
    pub fn set_line_notes(
        &mut self,
        id: LineId,
        alternatives: Vec<Alternative>,
        note: String,
    ) -> Result<(), EditError> {
        let line = self.line_mut(id)?;
        line.alternatives = alternatives;
        line.note = note;
        Ok(())
    }

    /// Makes a line the one that fills to 100, or none. The line that stops filling
    /// keeps what it held, so that the total does not jump; the one that starts
    /// filling takes the remainder.
    ///
    /// # Errors
    /// [`EditError::NoLine`].
    pub fn set_fills(&mut self, id: Option<LineId>) -> Result<(), EditError> {
        if let Some(id) = id {
            self.line(id).ok_or(EditError::NoLine)?;
        }
        if let Some(old) = self.fills.filter(|old| Some(*old) != id)
            && let Some(held) = self.line(old).and_then(|l| self.percent_of(l))
        {
            self.line_mut(old)?.amount = Some(Amount::percent(held.0));
        }
        self.fills = id;
        Ok(())
    }

    /// Sets the parts that make the whole; lines typed in parts follow.
    ///
    /// # Errors
    /// [`EditError::NoParts`] when not above zero.
    pub fn set_parts_total(&mut self, total: Decimal) -> Result<(), EditError> {
        if total <= Decimal::ZERO {
            return Err(EditError::NoParts);
        }
        self.parts_total = total;
        for line in self.phases.iter_mut().flat_map(|p| p.lines.iter_mut()) {
            if let Some(amount) = &mut line.amount
                && amount.unit == AmountUnit::Parts
                && let Some(percent) = Percent::share(amount.typed, total)
            {
                amount.percent = percent;
            }
        }
        Ok(())
    }

    /// What bringing the unlocked lines to a total of 100 would change. Locked lines
    /// stay; the others keep their ratio; the largest takes the rounding rest.
    ///
    /// # Errors
    /// [`EditError::NothingToAdjust`], [`EditError::LockedAbove100`].
    pub fn normalise_preview(&self) -> Result<NormalisePreview, EditError> {
        if self.fill_line().is_some() {
            return Err(EditError::FillsAlready);
        }
        let mut locked = Percent::ZERO;
        let mut free: Vec<(LineId, Percent)> = Vec::new();
        for (_, line) in self.lines() {
            let Some(percent) = line.amount.map(|a| a.percent) else { continue };
            if line.locked || percent.0 <= Decimal::ZERO {
                locked += percent;
            } else {
                free.push((line.id, percent));
            }
        }
        let room = Percent::HUNDRED - locked;
        let held: Percent = free.iter().map(|(_, p)| *p).sum();
        if held.0 <= Decimal::ZERO {
            return Err(EditError::NothingToAdjust);
        }
        if room.0 <= Decimal::ZERO {
            return Err(EditError::LockedAbove100(locked));
        }
        let mut changes: Vec<(LineId, Percent, Percent)> = free
            .iter()
            .map(|(id, p)| {
                let after = p.0.saturating_mul(room.0).checked_div(held.0).unwrap_or(p.0);
                (*id, *p, Percent(derived(after)))
            })
            .collect();
        let after: Percent = changes.iter().map(|(_, _, a)| *a).sum();
        if let Some(largest) = changes.iter_mut().max_by_key(|(_, b, _)| *b) {
            largest.2 += room - after;
        }
        changes.retain(|(_, before, after)| before != after);
        Ok(NormalisePreview { changes, total_before: self.total() })
    }

    /// Carries out a preview.
    ///
    /// # Errors
    /// [`EditError::NoLine`].
    pub fn normalise(&mut self, preview: &NormalisePreview) -> Result<(), EditError> {
        for (id, _, after) in &preview.changes {
            self.set_amount(*id, Some(Amount::percent(after.0)))?;
        }
        Ok(())
    }
}
