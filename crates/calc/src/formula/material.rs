//! A raw material: what the tub on the shelf holds and how it behaves.
//!
//! A field that is `None` is unknown, never zero; a rule that needs it says that
//! it could not be checked.

use rust_decimal::Decimal;

use super::{
    AtPour, Caution, Charge, Figure, Function, MaterialId, PhaseKind, PowderShape, Span, UseScope,
    WaterKind,
};
use crate::grit::sizes::SizeData;
use crate::quantity::{Date, Grams, Money, Percent};
use crate::setting::table::{BUTTER_G_MOL, BUTTER_KJ_MOL, Fit, SolidTable, TableProblem};

/// One component of a blend.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Label name.
    pub inci: String,
    /// Share of the material in %; `None` when the supplier does not say.
    pub share: Option<Figure<Percent>>,
}

/// Water in a material as supplied.
#[derive(Clone, Debug, PartialEq)]
pub struct Water {
    /// Share of the material in %.
    pub percent: Figure<Percent>,
    /// Its kind.
    pub kind: WaterKind,
}

/// The usual range of use in % of the product.
#[derive(Clone, Debug, PartialEq)]
pub struct UseLevel {
    /// Lower end.
    pub low: Option<Percent>,
    /// Upper end.
    pub high: Option<Percent>,
    /// Where the range applies.
    pub scope: UseScope,
}

/// Price of one pack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Price {
    /// What the pack costs, in the project's currency.
    pub amount: Money,
    /// What the pack holds; above zero.
    pub pack: Grams,
}

impl Price {
    /// Cost of this mass; `None` when the pack is not above zero.
    #[must_use]
    pub fn of(&self, mass: Grams) -> Option<Money> {
        if self.pack.0 <= Decimal::ZERO {
            return None;
        }
        self.amount.0.saturating_mul(mass.0).checked_div(self.pack.0).map(Money)
    }
}

/// Fragrance allergen content of a material; the worst case is `high`.
#[derive(Clone, Debug, PartialEq)]
pub struct Allergen {
    /// EU label name.
    pub name: String,
    /// Lower end of the range in % of the material.
    pub low: Option<Percent>,
    /// Upper end of the range in % of the material.
    pub high: Option<Figure<Percent>>,
}

/// How much of a material its supplier allows, by category of the fragrance standard.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Certificate {
    /// Standard and edition, as printed on the certificate.
    pub standard: String,
    /// Day of the certificate.
    pub date: Option<Date>,
    /// Category as printed, and % of the product at most.
    pub limits: Vec<(String, Percent)>,
}

impl Certificate {
    /// The limit of a category, letter case and spaces aside.
    #[must_use]
    pub fn limit(&self, category: &str) -> Option<Percent> {
        let plain = |s: &str| s.trim().to_lowercase();
        let wanted = plain(category);
        self.limits.iter().find(|(c, _)| plain(c) == wanted).map(|(_, p)| *p)
    }
}

/// Grain sizes that a maker entered for one lot or grade of a material: a worn lot, a resieved
/// one, or what a supplier states on the tub.
#[derive(Clone, Debug, PartialEq)]
pub struct GrainLot {
    /// Lot number or grade in the maker's words; unique within the material.
    pub name: String,
    /// The entry as it was typed.
    pub stated: String,
    /// The sizes read from it.
    pub sizes: SizeData,
}

/// Grain data of an exfoliant.
#[derive(Clone, Debug, PartialEq)]
pub struct GrainData {
    /// Size as the supplier of the library's entry gave it.
    pub sizes: SizeData,
    /// True when the size is assumed rather than stated for the grade.
    pub assumed_size: bool,
    /// Indentation-type hardness in MPa.
    pub hardness_mpa: f64,
    /// 0 sphere to 1 freshly broken glass.
    pub angularity: f64,
    /// Mohs hardness in words; for information only.
    pub mohs: Option<String>,
    /// How fast a grain shrinks in water, in µm/s of diameter; `None` for insoluble.
    pub dissolves_um_per_s: Option<f64>,
    /// Sizes entered by the maker; the entry above stays beside them.
    pub lots: Vec<GrainLot>,
    /// Name of the lot that is calculated with; `None` for the entry above.
    pub lot_in_use: Option<String>,
}

impl GrainData {
    /// The lot that is calculated with, if it is one of the maker's.
    #[must_use]
    pub fn lot(&self) -> Option<&GrainLot> {
        let name = self.lot_in_use.as_ref()?;
        self.lots.iter().find(|lot| lot.name == *name)
    }

    /// The sizes that are calculated with.
    #[must_use]
    pub fn sizes_in_use(&self) -> &SizeData {
        self.lot().map_or(&self.sizes, |lot| &lot.sizes)
    }

    /// True when those sizes are assumed rather than stated or measured.
    #[must_use]
    pub fn size_is_assumed(&self) -> bool {
        self.lot().is_none() && self.assumed_size
    }
}

/// One part of a fat-phase material in the melt model.
#[derive(Clone, Debug, PartialEq)]
pub struct FatPart {
    /// Chemical or pseudo-component name.
    pub name: String,
    /// Mass fraction of the material, 0 to 1.
    pub share: f64,
    /// Molar mass in g/mol.
    pub molar_mass: f64,
    /// Melting point in °C and fusion enthalpy in kJ/mol; `None` for a liquid.
    pub crystal: Option<(f64, f64)>,
    /// "acid", "alcohol", "emulsifier" or "other".
    pub group: String,
}

/// Solid fat of a material as its maker's own table says, in place of the library's parts.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnSolids {
    /// The table as typed.
    pub table: SolidTable,
    /// Its fit.
    pub fit: Fit,
    /// The parts that the fit makes.
    pub parts: Vec<FatPart>,
}

impl OwnSolids {
    /// Fits a table, with the molar mass and heat of fusion of the library's first crystal of the
    /// material, else those of a butter.
    ///
    /// # Errors
    /// What is wrong with the table.
    pub fn new(table: SolidTable, fat: &[Figure<FatPart>]) -> Result<Self, TableProblem> {
        let crystal = fat.iter().find_map(|f| f.value.crystal.map(|c| (f.value.molar_mass, c.1)));
        let sound = |x: f64| x.is_finite() && x > 0.0;
        let (molar_mass, dh) = crystal
            .filter(|(m, dh)| sound(*m) && sound(*dh))
            .unwrap_or((BUTTER_G_MOL, BUTTER_KJ_MOL));
        let fit = table.fit(molar_mass, dh)?;
        let part = |name: String, share, crystal| FatPart {
            name,
            share,
            molar_mass,
            crystal,
            group: "other".to_owned(),
        };
        let mut parts: Vec<FatPart> = fit
            .crystals
            .iter()
            .enumerate()
            .map(|(i, (share, tm))| {
                part(format!("Fitted fraction {}", i + 1), *share, Some((*tm, dh)))
            })
            .collect();
        if fit.oil > 0.0 {
            parts.push(part("Liquid fraction".to_owned(), fit.oil, None));
        }
        Ok(Self { table, fit, parts })
    }
}

/// A raw material.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    /// Unique key, made of INCI name and form.
    pub id: MaterialId,
    /// INCI name; blends keep " (and) ".
    pub inci: String,
    /// Form or grade, such as "powder" or "fine, 120 µm"; empty when the INCI name is enough.
    pub form: String,
    /// Common names; the first is the display name.
    pub names: Vec<String>,
    /// Chemical or trade group.
    pub group: String,
    /// What it does, for charts; `None` when not stated.
    pub function: Option<Function>,
    /// All that it does, in words.
    pub roles: Vec<String>,
    /// Usual phase of addition.
    pub phase: PhaseKind,
    /// State at pouring.
    pub at_pour: Option<AtPour>,
    /// Solubility in words.
    pub solubility: String,
    /// CAS number, if stated.
    pub cas: Option<String>,
    /// Row source and confidence.
    pub about: Figure<()>,
    /// Notes in words.
    pub notes: String,
    /// Components of a blend; empty for a single material.
    pub composition: Vec<Part>,
    /// Water as supplied.
    pub water: Option<Water>,
    /// Active matter, % of the material.
    pub active: Option<Figure<Percent>>,
    /// Use levels, one per scope.
    pub use_levels: Vec<Figure<UseLevel>>,
    /// Highest temperature in °C that it stands.
    pub heat_limit_c: Option<Figure<f64>>,
    /// True when the heat limit matters only with free water (gelatinising starches).
    pub heat_limit_only_wet: bool,
    /// Least process temperature in °C.
    pub process_min_c: Option<Figure<f64>>,
    /// Melting range in °C.
    pub melting_c: Option<Figure<Span>>,
    /// True when it must melt in the process; false when it is dissolved or dispersed.
    pub melts_in_process: bool,
    /// Density of the solid in g/mL.
    pub density_solid: Option<Figure<f64>>,
    /// Density of the liquid or melt in g/mL.
    pub density_melt: Option<Figure<f64>>,
    /// Charge in water.
    pub charge: Charge,
    /// True for surfactants.
    pub surfactant: bool,
    /// True for electrolytes.
    pub electrolyte: bool,
    /// HLB of an emulsifier.
    pub hlb: Option<Figure<f64>>,
    /// HLB that an oil asks for.
    pub required_hlb: Option<Figure<Span>>,
    /// ISO 16128 natural origin index, 0 to 1.
    pub natural_origin: Option<Figure<f64>>,
    /// pH window of the product it suits.
    pub ph_window: Option<Figure<Span>>,
    /// Oil that is held inside the grains, g/g; what fills the gaps between them does not count.
    pub oil_absorption: Option<Figure<f64>>,
    /// Outline of its grains, for powders.
    pub shape: Option<PowderShape>,
    /// Handling cautions.
    pub cautions: Vec<Caution>,
    /// Fragrance allergens.
    pub allergens: Vec<Allergen>,
    /// Group names that the label must carry.
    pub label_groups: Vec<String>,
    /// The allergens are the whole of the supplier's declaration, so that none but these are in
    /// it.
    pub allergens_complete: bool,
    /// Use limits from the supplier's certificate.
    pub certificate: Option<Certificate>,
    /// Flash point in °C.
    pub flash_point_c: Option<Figure<f64>>,
    /// Grain data of an exfoliant.
    pub grain: Option<Figure<GrainData>>,
    /// Parts in the melt model; empty when unknown or not a fat.
    pub fat: Vec<Figure<FatPart>>,
    /// The maker's own table of solid fat, which takes the place of `fat`.
    pub solids: Option<OwnSolids>,
    /// Fatty acids, "18:1" and % of fatty acids.
    pub fatty_acids: Vec<(String, f64)>,
    /// Iodine value range.
    pub iodine_value: Option<Figure<Span>>,
    /// Saponification value range, mg KOH/g.
    pub saponification: Option<Figure<Span>>,
    /// Price of one pack.
    pub price: Option<Price>,
}

impl Material {
    /// A material of which only the name is known.
    #[must_use]
    pub fn named(id: MaterialId, inci: &str, name: &str) -> Self {
        Self {
            id,
            inci: inci.to_owned(),
            form: String::new(),
            names: vec![name.to_owned()],
            group: String::new(),
            function: None,
            roles: Vec::new(),
            phase: PhaseKind::Other,
            at_pour: None,
            solubility: String::new(),
            cas: None,
            about: Figure::user(()),
            notes: String::new(),
            composition: Vec::new(),
            water: None,
            active: None,
            use_levels: Vec::new(),
            heat_limit_c: None,
            heat_limit_only_wet: false,
            process_min_c: None,
            melting_c: None,
            melts_in_process: false,
            density_solid: None,
            density_melt: None,
            charge: Charge::None,
            surfactant: false,
            electrolyte: false,
            hlb: None,
            required_hlb: None,
            natural_origin: None,
            ph_window: None,
            oil_absorption: None,
            shape: None,
            cautions: Vec::new(),
            allergens: Vec::new(),
            label_groups: Vec::new(),
            allergens_complete: false,
            certificate: None,
            flash_point_c: None,
            grain: None,
            fat: Vec::new(),
            solids: None,
            fatty_acids: Vec::new(),
            iodine_value: None,
            saponification: None,
            price: None,
        }
    }

    /// Share of the substance that the name stands for, % of the material, where the material is a
    /// solution of it in water sold under the one name: 29 % of a conditioner, 30 % of a betaine.
    /// `None` for everything else; less than 5 % water is residual moisture (house guide).
    #[must_use]
    pub fn dissolved(&self) -> Option<Percent> {
        let water = self
            .water
            .as_ref()
            .filter(|w| w.kind == WaterKind::Free && w.percent.value.0 >= Decimal::from(5))?;
        let active = self.active.as_ref()?.value;
        let whole = Percent::HUNDRED - water.percent.value;
        let one = self.composition.is_empty() && !self.inci.contains(" (and) ");
        // Water itself, and what states more than the water leaves room for, is no such solution.
        (one && active.0 > Decimal::ZERO && active <= whole).then_some(active)
    }

    /// The name on screen: the first common name, or the INCI name.
    #[must_use]
    pub fn display_name(&self) -> &str {
        self.names.first().map_or(self.inci.as_str(), String::as_str)
    }

    /// Parts in the melt model that are calculated with: the maker's own, else the library's.
    pub fn fat_parts(&self) -> impl Iterator<Item = &FatPart> {
        let own = self.solids.as_ref().map(|s| s.parts.as_slice());
        let built_in = if own.is_some() { &[][..] } else { self.fat.as_slice() };
        own.unwrap_or_default().iter().chain(built_in.iter().map(|f| &f.value))
    }

    /// Whether it has parts in the melt model.
    #[must_use]
    pub fn has_melt_data(&self) -> bool {
        self.solids.is_some() || !self.fat.is_empty()
    }

    /// INCI name with the form, as a sheet prints it.
    #[must_use]
    pub fn inci_and_form(&self) -> String {
        if self.form.is_empty() {
            self.inci.clone()
        } else {
            format!("{}, {}", self.inci, self.form)
        }
    }
}
