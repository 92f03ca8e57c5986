//! Carries the Grit view's actions out.

use std::convert::Infallible;
use std::sync::Arc;

use quern_calc::evaluate::{Context, effect, evaluate};
use quern_calc::findings::Finding;
use quern_calc::formula::{
    Amount, BlendError, Formula, FormulaId, Item, MaterialId, as_premix, exfoliant_load,
    with_blend, with_premix,
};
use quern_calc::grit::Score;
use quern_calc::quantity::Percent;
use quern_project::Project;

use super::{BESIDE_MAX, CANDIDATES_MAX, GritAction, SwapDraft, SwapWay};
use crate::app::notices::Tone;
use crate::app::state::Dialog;
use crate::app::{App, style_of};
use crate::words;

impl App {
    pub(in crate::app) fn apply_grit(&mut self, action: GritAction) {
        let grit = &mut self.ui.grit;
        match action {
            GritAction::Cut(um) => grit.cut_um = um,
            GritAction::Cumulative(on) => grit.cumulative = on,
            GritAction::ByClass(on) => grit.by_class = on,
            GritAction::Beside(id, on) => {
                grit.beside.retain(|b| *b != id);
                if on {
                    // The newest takes the place of the oldest.
                    if grit.beside.len() >= BESIDE_MAX {
                        grit.beside.remove(0);
                    }
                    grit.beside.push(id);
                }
            }
            GritAction::Ask(ask) => {
                grit.asked = Some(*ask);
                grit.pick = 0;
            }
            GritAction::From(id, on) => self.use_candidate(id, on),
            GritAction::Corner(at, id) => self.set_corner(at, id),
            GritAction::CostMost(most) => grit.cost_most = most,
            GritAction::Mix(shares) => grit.mix = shares,
            GritAction::MapAsTable(on) => grit.map_as_table = on,
            GritAction::Pick(i) => grit.pick = i,
            GritAction::UseFound(i) => self.use_found(i),
            GritAction::UseMix(blend) => self.use_blend(say!("use mix"), &blend),
            GritAction::Swap(line, new) => self.work_out_swap(line, &new),
            GritAction::UseSwap(line, option, new) => {
                if let Ok((formula, _)) = &option.result {
                    let item = Item::Material(new);
                    self.put_formula(say!("swap exfoliant"), formula.clone(), &[item]);
                    self.ui.line = Some(line);
                }
            }
            GritAction::Grams(place, grams) => self.note(say!("change grams a use"), |notes| {
                notes.set_grams(place, grams);
            }),
            GritAction::Score(id, score) => self.score(&id, score),
            GritAction::Place(place) => {
                let Some(formula) = self.document.project().formula(&self.ui.formula) else {
                    return;
                };
                let mut formula = (**formula).clone();
                formula.product.place = place;
                self.put_formula(say!("change place of use"), formula, &[]);
            }
            GritAction::SaveBlend(name, replace) => self.save_blend(&name, replace),
            GritAction::UseBlend(id, load) => self.use_saved(&id, load),
            GritAction::Grains(id, data) => {
                let done = self.document.edit(say!("change grain data"), None, |project| {
                    if let Some(material) = project.materials.get_mut(&id)
                        && material.grain.as_ref().is_none_or(|g| g.value != *data)
                    {
                        let material = Arc::make_mut(material);
                        match &mut material.grain {
                            Some(figure) => keep_source(figure, *data),
                            none => *none = Some(quern_calc::formula::Figure::user(*data)),
                        }
                    }
                    Ok::<(), Infallible>(())
                });
                let Ok(()) = done;
            }
            GritAction::AddExfoliant(id) => self.add_exfoliant(&id),
        }
    }

    /// Puts a changed formula in the place of the one at hand, as one step.
    fn put_formula(&mut self, label: &str, formula: Formula, carry: &[Item]) {
        let done = self.document.edit(label, None, |project| {
            for item in carry {
                Self::carry(project, item);
            }
            if let Some(slot) = project.formulas.iter_mut().find(|f| f.id == formula.id)
                && **slot != formula
            {
                *slot = Arc::new(formula);
            }
            Ok::<(), Infallible>(())
        });
        let Ok(()) = done;
    }

    fn note(&mut self, label: &str, change: impl FnOnce(&mut quern_calc::grit::GritNotes)) {
        let done = self.document.edit(label, None, |project| {
            let mut notes = (*project.grit).clone();
            change(&mut notes);
            if notes != *project.grit {
                project.grit = Arc::new(notes);
            }
            Ok::<(), Infallible>(())
        });
        let Ok(()) = done;
    }

    fn use_candidate(&mut self, id: MaterialId, on: bool) {
        let mut from: Vec<MaterialId> =
            self.grit_scene().from.into_iter().map(|(id, _)| id).collect();
        from.retain(|f| *f != id);
        if on {
            if from.len() >= CANDIDATES_MAX {
                self.say(
                    Tone::Info,
                    say!(
                        "At most {candidates_max} exfoliants are looked through; take one out",
                        candidates_max = CANDIDATES_MAX
                    ),
                );
                return;
            }
            from.push(id);
        }
        self.ui.grit.from = Some(from);
        self.ui.grit.pick = 0;
    }

    fn set_corner(&mut self, at: usize, id: Option<MaterialId>) {
        let mut corners = self.grit_scene().corners;
        match id {
            Some(id) => {
                // One that already stands at another corner changes places.
                let old = corners.get(at).cloned();
                if let (Some(old), Some(other)) = (old, corners.iter().position(|c| *c == id))
                    && let Some(place) = corners.get_mut(other)
                {
                    *place = old;
                }
                match corners.get_mut(at) {
                    Some(place) => *place = id,
                    None => corners.push(id),
                }
            }
            None => {
                if at < corners.len() && corners.len() > 2 {
                    corners.remove(at);
                }
            }
        }
        self.ui.grit.corners = Some(corners);
        self.ui.grit.mix.clear();
    }

    fn use_found(&mut self, i: usize) {
        self.grit_scene();
        let Some(found) = self.grit.found_now() else {
            self.say(Tone::Info, say!("Still looking; the blend on screen was for another ask"));
            return;
        };
        let Ok(answer) = &*found else { return };
        let Some(best) = answer.found.get(i) else { return };
        let blend: Vec<(MaterialId, Percent)> =
            best.blend.iter().map(|(id, _, p)| (id.clone(), *p)).collect();
        self.use_blend(say!("use blend"), &blend);
    }

    /// Puts a blend in place of the formula's exfoliants, carrying what it needs.
    fn use_blend(&mut self, label: &str, blend: &[(MaterialId, Percent)]) {
        let id = self.ui.formula.clone();
        let library = self.wide_library();
        let result = self.document.edit(label, None, |project| {
            for (id, _) in blend {
                Self::carry(project, &Item::Material(id.clone()));
            }
            let Some(slot) = project.formulas.iter_mut().find(|f| f.id == id) else {
                return Ok(());
            };
            *slot = Arc::new(with_blend(slot, &library, blend)?);
            Ok::<(), BlendError>(())
        });
        match result {
            Ok(()) => self.say(Tone::Done, say!("The blend is in the formula; undo takes it out")),
            Err(error) => {
                self.say(Tone::Error, say!("Not done: {error}", error = words::told(error)))
            }
        }
    }

    fn add_exfoliant(&mut self, id: &MaterialId) {
        let formula_id = self.ui.formula.clone();
        let mut project = (**self.document.project()).clone();
        Self::carry(&mut project, &Item::Material(id.clone()));
        let library = project.library();
        let Some(formula) = project.formula(&formula_id) else { return };
        let lines = quern_calc::formula::exfoliant_lines(formula, &library);
        if lines.iter().any(|(_, l)| l.item == Item::Material(id.clone())) {
            self.say(Tone::Info, say!("That exfoliant is in the formula already"));
            return;
        }
        let home = lines.first().map(|(p, _)| p.id);
        let mut out = (**formula).clone();
        let home = home.unwrap_or_else(|| quern_calc::formula::grains_phase(&mut out));
        let percent = quern_calc::grit::solve::KIND_FROM;
        let amount = Amount::percent(quern_calc::evaluate::bench_load(percent).0);
        match out.add_line(home, Item::Material(id.clone()), None) {
            Ok(line) => {
                let _ = out.set_amount(line, Some(amount));
                self.put_formula(say!("add exfoliant"), out, &[Item::Material(id.clone())]);
                self.ui.focus = Some((crate::views::grit::load_cell(&formula_id, line), 1));
            }
            Err(error) => {
                self.say(Tone::Error, say!("Not done: {error}", error = words::told(error)))
            }
        }
    }

    fn score(&mut self, id: &FormulaId, score: Option<rust_decimal::Decimal>) {
        let side = crate::app::Side::plain(id.clone());
        let Some(figures) = self.figures(&side) else { return };
        match (score, &figures.evaluation.grains) {
            (None, _) => self.note(say!("forget score"), |notes| notes.forget_score(id)),
            (Some(_), Err(why)) => {
                self.say(Tone::Info, say!("Not scored: {why}", why = words::engine(why.words())));
            }
            (Some(score), Ok(grains)) => {
                let formula = &figures.formula;
                let name = say!(
                    "{formula}, version {number}",
                    formula = formula.name,
                    number = formula.version.number
                );
                let index = grains.grit.index;
                let score = Score { formula: id.clone(), name, index, score };
                self.note(say!("score bar"), |notes| notes.set_score(score));
            }
        }
    }

    fn save_blend(&mut self, name: &str, replace: bool) {
        let project = Arc::clone(self.document.project());
        let library = project.library();
        let Some(base) = project.formula(&self.ui.formula) else { return };
        let id = project.free_formula_id(name);
        let load = exfoliant_load(base, &library);
        let result = self.document.edit(say!("save blend"), None, |project| {
            let premix = as_premix(base, &library, id.clone(), name)?;
            project.formulas.push(Arc::new(premix.clone()));
            if replace {
                let library = project.library();
                let changed = with_premix(base, &library, &premix, load)?;
                if let Some(slot) = project.formulas.iter_mut().find(|f| f.id == base.id) {
                    *slot = Arc::new(changed);
                }
            }
            Ok::<(), BlendError>(())
        });
        match result {
            Ok(()) => {
                let text =
                    say!("Blend {name} is kept; use it in any formula of this project", name);
                self.say(Tone::Done, text);
            }
            Err(error) => {
                self.say(Tone::Error, say!("Not kept: {error}", error = words::told(error)))
            }
        }
    }

    fn use_saved(&mut self, premix: &FormulaId, load: Percent) {
        let project = Arc::clone(self.document.project());
        let library = project.library();
        let (Some(base), Some(premix)) =
            (project.formula(&self.ui.formula), project.formula(premix))
        else {
            return;
        };
        match with_premix(base, &library, premix, load) {
            Ok(formula) => {
                self.put_formula(say!("use kept blend"), formula, &[]);
                let text =
                    say!("{premix} is in the formula; undo takes it out", premix = premix.name);
                self.say(Tone::Done, text);
            }
            Err(error) => {
                self.say(Tone::Error, say!("Not done: {error}", error = words::told(error)))
            }
        }
    }

    /// Works out the three ways to swap and puts them into the dialog.
    fn work_out_swap(&mut self, line: quern_calc::formula::LineId, new: &MaterialId) {
        let mut project: Project = (**self.document.project()).clone();
        Self::carry(&mut project, &Item::Material(new.clone()));
        let library = project.library();
        let Some(base) = project.formula(&self.ui.formula).cloned() else { return };
        let Some(now) = self.here().map(|h| h.evaluation) else { return };
        let style = style_of(&self.settings);
        let plan = project.plan(&base.id);
        let rules = quern_project::rules::in_use();
        let setting = Arc::clone(&project.setting);
        let context = Context { date: self.date, setting };
        let titles = |all: &[Finding]| -> Vec<String> {
            all.iter().map(|f| words::of_finding(f, style).title).collect()
        };
        let ways = quern_calc::evaluate::swap_options(&base, &library, line, new)
            .into_iter()
            .map(|option| {
                let evaluation = option
                    .result
                    .as_ref()
                    .ok()
                    .map(|(f, _)| Arc::new(evaluate(f, &library, rules, &plan, &context)));
                let change = evaluation.as_ref().map(|e| effect(&now, e)).unwrap_or_default();
                let findings = (titles(&change.findings_come), titles(&change.findings_go));
                let names = (change.inci_come, change.inci_go);
                SwapWay { option, evaluation, findings, names }
            })
            .collect();
        if let Some(Dialog::Swap(draft)) = self.ui.dialogs.last_mut() {
            let keep = draft.keep;
            **draft = SwapDraft { line, new: Some(new.clone()), ways, keep };
        }
    }
}

/// Grain data as the user left them. Sizes of a lot do not touch the library's figures; another
/// hardness or shape makes the figure the user's own.
fn keep_source(
    figure: &mut quern_calc::formula::Figure<quern_calc::formula::GrainData>,
    data: quern_calc::formula::GrainData,
) {
    use quern_calc::formula::GrainData;
    let bare = |d: &GrainData| GrainData { lots: Vec::new(), lot_in_use: None, ..d.clone() };
    if bare(&figure.value) == bare(&data) {
        figure.value = data;
    } else {
        *figure = quern_calc::formula::Figure::user(data);
    }
}
