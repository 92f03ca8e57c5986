//! From a domain material to the file.

use quern_calc::formula as domain;
use quern_calc::formula::{Figure, Span};

use super::material::{
    Active, Allergen, Certificate, Fat, Grain, HeatLimit, Material, Melting, Part, Price, Range,
    UseLevel, Value, ValueAt, Water,
};
use crate::format::word::Word;

/// A file struct of the figure `$f`, with its provenance.
macro_rules! sourced {
    ($name:ident, $f:expr, { $($field:ident: $value:expr),* $(,)? }) => {
        $name {
            $($field: $value,)*
            conf: Word($f.confidence),
            basis: Word($f.basis),
            src: $f.source.to_string(),
        }
    };
}

fn number(figure: Option<&Figure<f64>>) -> Option<Value> {
    figure.map(|f| sourced!(Value, f, { v: f.value }))
}

fn number_at(figure: Option<&Figure<f64>>) -> Option<ValueAt> {
    figure.map(|f| sourced!(ValueAt, f, { v: f.value, at_c: None }))
}

fn span(figure: Option<&Figure<Span>>) -> Option<Range> {
    figure.map(|f| sourced!(Range, f, { low: f.value.low, high: f.value.high }))
}

fn part(p: &domain::Part) -> Part {
    let share = p.share.as_ref();
    Part {
        inci: p.inci.clone(),
        share: share.map(|f| Word(f.value.0)),
        conf: share.map(|f| Word(f.confidence)),
        basis: share.map(|f| Word(f.basis)),
        src: share.map(|f| f.source.to_string()),
    }
}

fn allergen(a: &domain::Allergen) -> Allergen {
    let high = a.high.as_ref();
    Allergen {
        name: a.name.clone(),
        low: a.low.map(|p| Word(p.0)),
        high: high.map(|f| Word(f.value.0)),
        conf: high.map(|f| Word(f.confidence)),
        basis: high.map(|f| Word(f.basis)),
        src: high.map(|f| f.source.to_string()),
    }
}

fn fat(f: &Figure<domain::FatPart>) -> Fat {
    let part = &f.value;
    sourced!(Fat, f, {
        name: part.name.clone(),
        share: part.share,
        m: part.molar_mass,
        tm_c: part.crystal.map(|c| c.0),
        dh_kj_mol: part.crystal.map(|c| c.1),
        group: Some(part.group.clone()),
        inert: part.crystal.is_none(),
    })
}

fn grain(f: &Figure<domain::GrainData>) -> Grain {
    let grain = &f.value;
    sourced!(Grain, f, {
        sizes: (&grain.sizes).into(),
        assumed_size: grain.assumed_size,
        hardness_mpa: grain.hardness_mpa,
        angularity: grain.angularity,
        mohs: grain.mohs.clone(),
        dissolves_um_per_s: grain.dissolves_um_per_s,
        lots: grain.lots.iter().map(Into::into).collect(),
        lot_in_use: grain.lot_in_use.clone(),
    })
}

impl Material {
    /// The file form of a material.
    pub(crate) fn of(m: &domain::Material) -> Self {
        Self {
            id: m.id.as_str().to_owned(),
            inci: m.inci.clone(),
            form: m.form.clone(),
            names: m.names.clone(),
            group: m.group.clone(),
            function: m.function.map(Word),
            roles: m.roles.clone(),
            phase: Word(m.phase),
            at_pour: m.at_pour.map(Word),
            solubility: m.solubility.clone(),
            confidence: Word(m.about.confidence),
            source: m.about.source.to_string(),
            basis: Word(m.about.basis),
            notes: m.notes.clone(),
            cas: m.cas.clone(),
            composition: m.composition.iter().map(part).collect(),
            water: m.water.as_ref().map(|w| {
                sourced!(Water, w.percent, { percent: Word(w.percent.value.0), kind: Word(w.kind) })
            }),
            active: m.active.as_ref().map(|f| sourced!(Active, f, { percent: Word(f.value.0) })),
            use_level: None,
            use_level_leave_on: None,
            use_levels: m
                .use_levels
                .iter()
                .map(|f| {
                    sourced!(UseLevel, f, {
                        low: f.value.low.map(|p| Word(p.0)),
                        high: f.value.high.map(|p| Word(p.0)),
                        scope: Word(f.value.scope),
                    })
                })
                .collect(),
            heat_limit: m.heat_limit_c.as_ref().map(|f| {
                sourced!(HeatLimit, f, { v: f.value, only_wet: m.heat_limit_only_wet })
            }),
            process_min: number(m.process_min_c.as_ref()),
            melting: m.melting_c.as_ref().map(|f| {
                sourced!(Melting, f, {
                    low: f.value.low,
                    high: f.value.high,
                    in_process: m.melts_in_process,
                })
            }),
            density_solid: number_at(m.density_solid.as_ref()),
            density_melt: number_at(m.density_melt.as_ref()),
            charge: Word(m.charge),
            surfactant: m.surfactant,
            electrolyte: m.electrolyte,
            hlb: number(m.hlb.as_ref()),
            required_hlb: span(m.required_hlb.as_ref()),
            natural_origin: number(m.natural_origin.as_ref()),
            ph_window: span(m.ph_window.as_ref()),
            oil_absorption: number(m.oil_absorption.as_ref()),
            shape: m.shape.map(Word),
            cautions: m.cautions.iter().copied().map(Word).collect(),
            allergens: m.allergens.iter().map(allergen).collect(),
            label_groups: m.label_groups.clone(),
            allergens_complete: m.allergens_complete,
            certificate: m.certificate.as_ref().map(|c| Certificate {
                standard: c.standard.clone(),
                date: c.date.map(Word),
                limits: c.limits.iter().map(|(name, p)| (name.clone(), Word(*p))).collect(),
            }),
            flash_point: number(m.flash_point_c.as_ref()),
            grain: m.grain.as_ref().map(grain),
            fat: m.fat.iter().map(fat).collect(),
            solids: m.solids.as_ref().map(|own| own.table.rows.clone()),
            fatty_acids: m.fatty_acids.clone(),
            iodine_value: span(m.iodine_value.as_ref()),
            saponification: span(m.saponification.as_ref()),
            price: m.price.map(|p| Price { amount: Word(p.amount.0), pack: Word(p.pack) }),
        }
    }
}
