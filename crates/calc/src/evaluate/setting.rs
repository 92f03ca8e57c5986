//! Everything of the Setting view for one formula, in one call.

use super::cool::{CoolAsk, CoolFigures, Filling, MeltEnergy, cooling, filling, melt_energy};
use super::correct::{Check, checks};
use super::fat::{FatPhase, Mixing};
use super::paste_model::PasteModel;
use super::pourability::{Mover, PourFigures, ToClass, neighbours, pour_at};
use super::shelf::{Oxidation, ShelfFigures, Sweat, in_a_pot, oxidation, shelf, sweat};
use super::window::{PourWindow, UpperLimit, limits, pour_window};
use super::{Banded, Context, Derived, Evaluation, MeltFigures, Opened};
use crate::formula::{Formula, Library};
use crate::setting::calibrate::Correction;
use crate::setting::melt::Stack;
use crate::setting::mould::{Mould, Stand};

/// Temperatures that the curve spans, °C.
pub const SPAN_C: (f64, f64) = (0.0, 90.0);

/// Temperatures of pouring that a person may ask for, °C.
pub const POURED_C: (f64, f64) = (15.0, 90.0);

/// Points of the curve: one for each half degree.
pub const POINTS: usize = 181;

/// What the view is asked for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SettingAsk {
    /// Temperature of pouring, °C; `None` for the usual one of the formula.
    pub pour_c: Option<f64>,
    /// The mould; `None` for the workshop's.
    pub mould: Option<Mould>,
    /// Where it stands.
    pub stand: Stand,
    /// Temperature of the air, °C; `None` for that of the room or the fridge.
    pub air_c: Option<f64>,
}

/// Everything of the view; estimates throughout.
#[derive(Clone, Debug)]
pub struct SettingFigures {
    /// Melt curves with layers: every solid pure, as usual, and all in one mixed crystal; the
    /// layers are in the order of the fat phase's components.
    pub stacks: Option<[Stack; 3]>,
    /// The temperature that pouring is read at, °C.
    pub pour_c: f64,
    /// How it pours there.
    pub pour: Derived<PourFigures>,
    /// The way to the next easier class.
    pub easier: Option<ToClass>,
    /// The way to the next stiffer class.
    pub stiffer: Option<ToClass>,
    /// The pour window.
    pub window: Derived<PourWindow>,
    /// What keeps the batch from being hotter once all is in, lowest first.
    pub limits: Vec<UpperLimit>,
    /// The mould.
    pub mould: Option<Mould>,
    /// Where it stands.
    pub stand: Stand,
    /// How it cools.
    pub cool: Derived<CoolFigures>,
    /// What a cavity takes.
    pub filling: Option<Filling>,
    /// Heat to melt the batch.
    pub energy: Option<MeltEnergy>,
    /// The set product.
    pub shelf: Derived<ShelfFigures>,
    /// Humectants that may draw drops.
    pub sweat: Option<Sweat>,
    /// How readily its oils oxidise.
    pub oxidation: Derived<Oxidation>,
    /// The correction by own measurements.
    pub correction: Correction,
    /// The measurements against the model.
    pub checks: Vec<Check>,
}

/// Works everything out but the slab, which is for a worker.
#[must_use]
pub fn setting_figures(
    formula: &Formula,
    library: &Library,
    context: &Context,
    evaluation: &Evaluation,
    ask: &SettingAsk,
) -> SettingFigures {
    let notes = &*context.setting;
    let opened = Opened::new(formula, library);
    let melt = evaluation.melt.as_ref().ok();
    let correction = evaluation.correction;
    let stacks = melt.map(stacks);
    let fat: Derived<FatPhase> = match &evaluation.melt {
        Ok(m) => Ok(m.fat.clone()),
        Err(_) => FatPhase::of(&opened),
    };
    let model = PasteModel::of(formula.product.form, &opened, &fat, correction);
    let finite = |c: &f64| c.is_finite();
    let pour_c = ask.pour_c.filter(finite).unwrap_or(evaluation.usual_pour_c);
    let air_c = ask.air_c.filter(finite);
    let pour = model.as_ref().map_err(Clone::clone).and_then(|m| pour_at(m, pour_c));
    let (mut easier, stiffer) = match (&model, &pour) {
        (Ok(m), Ok(p)) => neighbours(m, formula.fills, pour_c, p.ratio),
        _ => (None, None),
    };
    let limits = limits(formula, &opened);
    if let (Some(to), Some(limit)) = (&mut easier, limits.first()) {
        // Warmer than the cool-down materials stand is no way out.
        to.movers.retain(|m| !matches!(m, Mover::Temperature(c) if *c > limit.c));
    }
    let mould = ask.mould.clone().or_else(|| notes.mould_in_use());
    let curve = match (melt, stacks.as_ref().and_then(|s| s.get(1))) {
        (Some(m), Some(s)) => Some((m, s)),
        _ => None,
    };
    let shelf =
        model.as_ref().map_err(Clone::clone).map(|m| shelf(formula, m, library, notes, correction));
    let batch = evaluation.batch.as_ref().ok();
    let water_percent = evaluation.composition.water.free.to_f64();
    let cool = match (&pour, &mould) {
        (Ok(p), Some(mould)) => {
            let ask = CoolAsk {
                mould: mould.clone(),
                stand: ask.stand,
                pour_c,
                air_c,
                density: p.density * correction.fill,
                water_percent,
                in_a_pot: in_a_pot(formula.product.form),
            };
            cooling(&ask, notes, curve)
        }
        (Err(why), _) => Err(why.clone()),
        (_, None) => Err(super::WhyNot::Nothing("mould")),
    };
    let cold = shelf.as_ref().ok().map(|s| s.full_density);
    let filling = match (&mould, &pour) {
        (Some(mould), Ok(p)) => filling(mould, p, cold, correction, batch),
        _ => None,
    };
    SettingFigures {
        pour_c,
        easier,
        stiffer,
        window: model.as_ref().map_err(Clone::clone).map(|m| pour_window(limits.clone(), m)),
        limits,
        stand: ask.stand,
        cool,
        filling,
        energy: melt_energy(formula, &evaluation.heat_to, curve, notes, batch, water_percent),
        shelf,
        sweat: sweat(formula.product.form, &opened),
        oxidation: oxidation(&opened),
        correction,
        checks: checks(formula, &opened, notes, correction),
        pour,
        mould,
        stacks,
    }
}

/// The three melt curves of a fat phase.
#[must_use]
pub fn stacks(melt: &MeltFigures) -> [Stack; 3] {
    let mut shifts = melt.shift_c.into_iter();
    Mixing::ALL.map(|mixing| {
        let shift = shifts.next().unwrap_or(0.0);
        melt.fat.stack(mixing, shift, SPAN_C.0, SPAN_C.1, POINTS)
    })
}

/// What is solid and what is liquid of the fat at one temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct FatAt {
    /// °C.
    pub t_c: f64,
    /// Solid fat, % of the fat, with its band over how crystals mix.
    pub solid: Banded,
    /// Each component: name, solid part and liquid part, both in % of the fat.
    pub parts: Vec<(String, f64, f64)>,
}

impl SettingFigures {
    /// The curve of one way to mix crystals.
    #[must_use]
    pub fn stack(&self, mixing: Mixing) -> Option<&Stack> {
        let place = Mixing::ALL.iter().position(|m| *m == mixing)?;
        self.stacks.as_ref()?.get(place)
    }

    /// The fat at a temperature, with the layers of one way to mix crystals.
    #[must_use]
    pub fn fat_at(&self, melt: &MeltFigures, mixing: Mixing, t_c: f64) -> Option<FatAt> {
        let stack = self.stack(mixing)?;
        let [pure, usual, all] = self.stacks.as_ref()?;
        let percent = |s: &Stack| 100.0 * s.solid_at(t_c);
        let whole = melt.fat.percent;
        let parts = melt
            .fat
            .components
            .iter()
            .enumerate()
            .map(|(i, c)| {
                let solid = 100.0 * stack.layer_at(i, t_c);
                let own = if whole > 0.0 { 100.0 * c.percent / whole } else { 0.0 };
                (c.name.clone(), solid, (own - solid).max(0.0))
            })
            .collect();
        Some(FatAt { t_c, solid: Banded::of([percent(pure), percent(usual), percent(all)]), parts })
    }
}

/// A mark on the temperature axis of the melt curve.
#[derive(Clone, Debug, PartialEq)]
pub struct TemperatureMark {
    /// °C.
    pub c: f64,
    /// What it is.
    pub name: String,
}

/// Room, skin, parcel and the formula's phase temperatures, coolest first.
#[must_use]
pub fn temperature_marks(formula: &Formula, context: &Context) -> Vec<TemperatureMark> {
    let notes = &context.setting;
    let mark = |c: f64, name: &str| TemperatureMark { c, name: name.to_owned() };
    let mut out = vec![
        mark(notes.room(), "room"),
        mark(crate::setting::notes::SKIN_C, "skin"),
        mark(notes.parcel(), "parcel"),
    ];
    for phase in &formula.phases {
        if let Some(c) = phase.temperature.warmest_c() {
            out.push(TemperatureMark { c, name: phase.name.to_lowercase() });
        }
    }
    out.retain(|m| (SPAN_C.0..=SPAN_C.1).contains(&m.c));
    out.sort_by(|a, b| a.c.total_cmp(&b.c));
    // What stands at one temperature is one mark.
    let mut merged: Vec<TemperatureMark> = Vec::new();
    for m in out {
        match merged.last_mut() {
            Some(last) if (last.c - m.c).abs() < 0.05 => {
                last.name = format!("{}, {}", last.name, m.name)
            }
            _ => merged.push(m),
        }
    }
    merged
}

/// One row of the melt curve as a table.
#[derive(Clone, Debug, PartialEq)]
pub struct CurveRow {
    /// °C.
    pub c: f64,
    /// Solid fat in % of the fat: every solid pure, as usual, and all in one mixed crystal.
    pub solid_percent: [f64; 3],
    /// Of the usual curve, what each component adds, in the order of the fat phase.
    pub component_percent: Vec<f64>,
}

/// The melt curve at every `step_c` °C, the coolest first.
#[must_use]
pub fn curve_rows(stacks: &[Stack; 3], step_c: f64) -> Vec<CurveRow> {
    let [_, usual, _] = stacks;
    let (from, to) = SPAN_C;
    let step = if step_c > 0.0 { step_c.max(0.5) } else { to - from };
    let mut rows = Vec::new();
    let mut c = from;
    while c <= to + 1e-9 {
        rows.push(CurveRow {
            c,
            solid_percent: stacks.each_ref().map(|s| 100.0 * s.solid_at(c)),
            component_percent: (0..usual.layers.len())
                .map(|i| 100.0 * usual.layer_at(i, c))
                .collect(),
        });
        c += step;
    }
    rows
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn the_curve_as_a_table() {
        let points = |top: f64| vec![(0.0, top), (90.0, 0.0)];
        let stack = |top: f64| Stack { points: points(top), layers: vec![vec![top, 0.0]] };
        let stacks = [stack(0.5), stack(0.9), stack(0.6)];
        let rows = curve_rows(&stacks, 5.0);
        assert_eq!(rows.len(), 19);
        let row = rows.get(9).unwrap();
        assert!((row.c - 45.0).abs() < 1e-9);
        for (x, expected) in row.solid_percent.iter().zip([25.0, 45.0, 30.0]) {
            assert!((x - expected).abs() < 1e-9, "{x}");
        }
        assert_eq!(row.component_percent.len(), 1);
        assert!((row.component_percent.first().unwrap() - 45.0).abs() < 1e-9);
        // A step that is no step gives the ends.
        assert_eq!(curve_rows(&stacks, f64::NAN).len(), 2);
        assert_eq!(curve_rows(&stacks, -1.0).len(), 2);
    }
}
