//! From the file to a domain material.

use std::sync::Arc;

use quern_calc::formula as domain;
use quern_calc::formula::{
    Basis, Certificate, Confidence, FatPart, Figure, GrainData, MaterialId, OwnSolids, Span,
};
use quern_calc::quantity::{Money, Percent};
use quern_calc::setting::table::SolidTable;

use super::material::{Allergen, Fat, Material, Part, Range, UseLevel, Value, ValueAt};
use crate::check::{Problems, quoted, solids_problem};
use crate::format::word::Word;

/// A file value with its provenance.
pub(super) trait Sourced: Sized {
    /// Confidence, basis and source.
    fn provenance(&self) -> (Confidence, Basis, &str);

    /// The figure of a value taken from this.
    fn figure<T>(self, value: impl FnOnce(Self) -> T) -> Figure<T> {
        let (confidence, basis, source) = self.provenance();
        let source = Arc::from(source);
        Figure { value: value(self), confidence, basis, source }
    }
}

fn number(value: Option<Value>) -> Option<Figure<f64>> {
    value.map(|f| f.figure(|f| f.v))
}

fn span(range: Option<Range>) -> Option<Figure<Span>> {
    range.map(|f| f.figure(|f| Span { low: f.low, high: f.high }))
}

/// The temperature of a density joins its source, because the domain keeps none.
fn number_at(value: Option<ValueAt>) -> Option<Figure<f64>> {
    value.map(|mut f| {
        if let Some(c) = f.at_c.take() {
            let at = format!("at {c} °C");
            if !f.src.contains(&at) {
                if !f.src.is_empty() {
                    f.src.push_str(", ");
                }
                f.src.push_str(&at);
            }
        }
        f.figure(|f| f.v)
    })
}

fn use_level(level: UseLevel) -> Figure<domain::UseLevel> {
    level.figure(|f| domain::UseLevel {
        low: f.low.map(|w| Percent(w.0)),
        high: f.high.map(|w| Percent(w.0)),
        scope: f.scope.0,
    })
}

/// A figure whose provenance may be left out.
fn loose<T>(
    value: T,
    conf: Option<Word<Confidence>>,
    basis: Option<Word<Basis>>,
    src: Option<String>,
) -> Figure<T> {
    Figure {
        value,
        confidence: conf.map_or(Confidence::Low, |w| w.0),
        basis: basis.map_or(Basis::Unstated, |w| w.0),
        source: src.map_or_else(|| Arc::from(""), Arc::from),
    }
}

fn part(p: Part) -> domain::Part {
    domain::Part {
        inci: p.inci,
        share: p.share.map(|w| loose(Percent(w.0), p.conf, p.basis, p.src)),
    }
}

fn allergen(a: Allergen) -> domain::Allergen {
    domain::Allergen {
        name: a.name,
        low: a.low.map(|w| Percent(w.0)),
        high: a.high.map(|w| loose(Percent(w.0), a.conf, a.basis, a.src)),
    }
}

fn fat_part(fat: Fat, material: &str, problems: &mut Problems) -> Figure<FatPart> {
    let crystal = match (fat.tm_c, fat.dh_kj_mol, fat.inert) {
        (Some(tm), Some(dh), false) => Some((tm, dh)),
        (None, None, true) => None,
        _ => {
            problems.push(format!(
                "material {material}: the fat part {} needs tm_c and dh_kj_mol, or inert: true \
                 and neither",
                quoted(&fat.name)
            ));
            None
        }
    };
    fat.figure(|f| FatPart {
        name: f.name,
        share: f.share,
        molar_mass: f.m,
        crystal,
        group: f.group.unwrap_or_else(|| "other".to_owned()),
    })
}

/// The table with its fit; the fit is made anew, as a file holds what the maker typed.
fn own_solids(
    rows: Vec<(f64, f64)>,
    fat: &[Figure<FatPart>],
    material: &str,
    problems: &mut Problems,
) -> Option<OwnSolids> {
    OwnSolids::new(SolidTable { rows }, fat)
        .map_err(|problem| problems.push(solids_problem(material, problem)))
        .ok()
}

impl Material {
    /// The domain material; what cannot be used goes to `problems`.
    pub(crate) fn into_domain(self, problems: &mut Problems) -> domain::Material {
        let id = quoted(&self.id);
        let use_levels = self
            .use_level
            .into_iter()
            .chain(self.use_level_leave_on)
            .chain(self.use_levels)
            .map(use_level)
            .collect();
        let fat: Vec<_> = self.fat.into_iter().map(|f| fat_part(f, &id, problems)).collect();
        let solids = self.solids.and_then(|rows| own_solids(rows, &fat, &id, problems));
        domain::Material {
            id: MaterialId::new(&self.id),
            inci: self.inci,
            form: self.form,
            names: self.names,
            group: self.group,
            function: self.function.map(|w| w.0),
            roles: self.roles,
            phase: self.phase.0,
            at_pour: self.at_pour.map(|w| w.0),
            solubility: self.solubility,
            cas: self.cas,
            about: Figure {
                value: (),
                confidence: self.confidence.0,
                basis: self.basis.0,
                source: Arc::from(self.source),
            },
            notes: self.notes,
            composition: self.composition.into_iter().map(part).collect(),
            water: self.water.map(|w| domain::Water {
                kind: w.kind.0,
                percent: w.figure(|w| Percent(w.percent.0)),
            }),
            active: self.active.map(|f| f.figure(|f| Percent(f.percent.0))),
            use_levels,
            heat_limit_only_wet: self.heat_limit.as_ref().is_some_and(|h| h.only_wet),
            heat_limit_c: self.heat_limit.map(|f| f.figure(|f| f.v)),
            process_min_c: number(self.process_min),
            melts_in_process: self.melting.as_ref().is_some_and(|m| m.in_process),
            melting_c: self.melting.map(|f| f.figure(|f| Span { low: f.low, high: f.high })),
            density_solid: number_at(self.density_solid),
            density_melt: number_at(self.density_melt),
            charge: self.charge.0,
            surfactant: self.surfactant,
            electrolyte: self.electrolyte,
            hlb: number(self.hlb),
            required_hlb: span(self.required_hlb),
            natural_origin: number(self.natural_origin),
            ph_window: span(self.ph_window),
            oil_absorption: number(self.oil_absorption),
            shape: self.shape.map(|w| w.0),
            cautions: self.cautions.into_iter().map(|w| w.0).collect(),
            allergens: self.allergens.into_iter().map(allergen).collect(),
            label_groups: self.label_groups,
            allergens_complete: self.allergens_complete,
            certificate: self.certificate.map(|c| Certificate {
                standard: c.standard,
                date: c.date.map(|d| d.0),
                limits: c.limits.into_iter().map(|(name, p)| (name, p.0)).collect(),
            }),
            flash_point_c: number(self.flash_point),
            grain: self.grain.map(|f| {
                f.figure(|f| GrainData {
                    sizes: f.sizes.into(),
                    assumed_size: f.assumed_size,
                    hardness_mpa: f.hardness_mpa,
                    angularity: f.angularity,
                    mohs: f.mohs,
                    dissolves_um_per_s: f.dissolves_um_per_s,
                    lots: f.lots.into_iter().map(Into::into).collect(),
                    lot_in_use: f.lot_in_use,
                })
            }),
            solids,
            fat,
            fatty_acids: self.fatty_acids,
            iodine_value: span(self.iodine_value),
            saponification: span(self.saponification),
            price: self.price.map(|p| domain::Price { amount: Money(p.amount.0), pack: p.pack.0 }),
        }
    }
}
