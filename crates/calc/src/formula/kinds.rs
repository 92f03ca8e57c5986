//! The closed lists that describe a material: function, phase, state, charge, cautions.

/// What a material does in a formula; the unit of the composition chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs)] // the names are the trade's own
pub enum Function {
    Surfactant,
    Structure,
    Emulsifier,
    Emollient,
    Butter,
    Filler,
    Exfoliant,
    Humectant,
    Solvent,
    Thickener,
    Preservative,
    Fragrance,
    Antioxidant,
    Colour,
    Chelator,
    Adjuster,
    Active,
    Conditioner,
    Solubiliser,
}

impl Function {
    /// All of them, in the order of charts.
    pub const ALL: [Self; 19] = [
        Self::Surfactant,
        Self::Structure,
        Self::Emulsifier,
        Self::Emollient,
        Self::Butter,
        Self::Filler,
        Self::Exfoliant,
        Self::Humectant,
        Self::Solvent,
        Self::Thickener,
        Self::Preservative,
        Self::Fragrance,
        Self::Antioxidant,
        Self::Colour,
        Self::Chelator,
        Self::Adjuster,
        Self::Active,
        Self::Conditioner,
        Self::Solubiliser,
    ];

    /// The name on screen and the key in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Surfactant => "surfactant",
            Self::Structure => "structure",
            Self::Emulsifier => "emulsifier",
            Self::Emollient => "emollient",
            Self::Butter => "butter",
            Self::Filler => "filler",
            Self::Exfoliant => "exfoliant",
            Self::Humectant => "humectant",
            Self::Solvent => "solvent",
            Self::Thickener => "thickener",
            Self::Preservative => "preservative",
            Self::Fragrance => "fragrance",
            Self::Antioxidant => "antioxidant",
            Self::Colour => "colour",
            Self::Chelator => "chelator",
            Self::Adjuster => "adjuster",
            Self::Active => "active",
            Self::Conditioner => "conditioner",
            Self::Solubiliser => "solubiliser",
        }
    }

    /// The function of this name.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|f| f.name() == name)
    }
}

/// The kind of a phase, and where a material is usually added.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PhaseKind {
    /// Fats, emulsifier and powders melted together.
    Melt,
    /// Water and what dissolves in it.
    Water,
    /// Dry powders stirred in.
    Powder,
    /// Exfoliants folded in.
    Grains,
    /// What does not stand the heat.
    CoolDown,
    /// Anything else, or anywhere.
    Other,
}

impl PhaseKind {
    /// All of them.
    pub const ALL: [Self; 6] =
        [Self::Melt, Self::Water, Self::Powder, Self::Grains, Self::CoolDown, Self::Other];

    /// The name on screen and the key in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Melt => "melt",
            Self::Water => "water",
            Self::Powder => "powder",
            Self::Grains => "grains",
            Self::CoolDown => "cool-down",
            Self::Other => "other",
        }
    }

    /// The kind of this name.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|k| k.name() == name)
    }
}

/// The state of a material in a hot paste at pouring, about 65 °C.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum AtPour {
    /// Solid grains or powder.
    Powder,
    /// Liquid at room temperature.
    Liquid,
    /// Melts with the fats.
    Melts,
    /// Dissolves in water or glycol.
    Dissolves,
}

impl AtPour {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Powder, Self::Liquid, Self::Melts, Self::Dissolves];

    /// The name on screen and the key in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Powder => "powder",
            Self::Liquid => "liquid",
            Self::Melts => "melts",
            Self::Dissolves => "dissolves",
        }
    }
}

/// Electric charge of the main species in water.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum Charge {
    #[default]
    None,
    Anionic,
    Cationic,
    Amphoteric,
    Zwitterionic,
}

impl Charge {
    /// All of them.
    pub const ALL: [Self; 5] =
        [Self::None, Self::Anionic, Self::Cationic, Self::Amphoteric, Self::Zwitterionic];

    /// The name on screen and the key in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Anionic => "anionic",
            Self::Cationic => "cationic",
            Self::Amphoteric => "amphoteric",
            Self::Zwitterionic => "zwitterionic",
        }
    }
}

/// What to watch for when handling a material.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Caution {
    /// Fine powder: particle mask.
    Dust,
    /// Fine powder that can sensitise the airways.
    DustSensitising,
    /// Mineral dust that may hold crystalline silica.
    DustSilica,
    /// Irritates or scratches eyes.
    Eyes,
    /// Irritates or sensitises skin undiluted.
    Skin,
    /// From a nut on the US food-allergen list, or peanut.
    Nut,
    /// From a kernel or nut outside that list; softer note.
    NutSoft,
    /// From a cereal; cross contact with gluten is possible.
    Cereal,
    /// From wool.
    Lanolin,
    /// Burns skin and eyes.
    Corrosive,
    /// Catches fire easily.
    Flammable,
    /// Has a flash point within reach of bench temperatures.
    FlashPoint,
}

impl Caution {
    /// All of them.
    pub const ALL: [Self; 12] = [
        Self::Dust,
        Self::DustSensitising,
        Self::DustSilica,
        Self::Eyes,
        Self::Skin,
        Self::Nut,
        Self::NutSoft,
        Self::Cereal,
        Self::Lanolin,
        Self::Corrosive,
        Self::Flammable,
        Self::FlashPoint,
    ];

    /// The key in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Dust => "dust",
            Self::DustSensitising => "dust-sensitising",
            Self::DustSilica => "dust-silica",
            Self::Eyes => "eyes",
            Self::Skin => "skin",
            Self::Nut => "nut",
            Self::NutSoft => "nut-soft",
            Self::Cereal => "cereal",
            Self::Lanolin => "lanolin",
            Self::Corrosive => "corrosive",
            Self::Flammable => "flammable",
            Self::FlashPoint => "flash-point",
        }
    }

    /// True for the three kinds of dust.
    #[must_use]
    pub fn is_dust(self) -> bool {
        matches!(self, Self::Dust | Self::DustSensitising | Self::DustSilica)
    }
}

/// The kind of water that a material holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum WaterKind {
    /// Added water and water in solutions: microbes can use it.
    Free,
    /// Moisture held in flours, starches and clays.
    Bound,
    /// Water of crystallisation.
    Crystal,
}

impl WaterKind {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Free, Self::Bound, Self::Crystal];

    /// The name on screen and the key in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Free => "free",
            Self::Bound => "bound",
            Self::Crystal => "crystal",
        }
    }
}

/// Where a use-level range applies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum UseScope {
    /// Everywhere.
    Any,
    /// Lotions and creams only.
    Emulsion,
    /// Rinse-off products.
    RinseOff,
    /// Leave-on products.
    LeaveOn,
    /// Wherever it preserves.
    Preservative,
}

impl UseScope {
    /// All of them.
    pub const ALL: [Self; 5] =
        [Self::Any, Self::Emulsion, Self::RinseOff, Self::LeaveOn, Self::Preservative];

    /// The name on screen and the key in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Any => "any",
            Self::Emulsion => "emulsion",
            Self::RinseOff => "rinse-off",
            Self::LeaveOn => "leave-on",
            Self::Preservative => "preservative",
        }
    }
}

/// Outline of powder grains, for packing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum PowderShape {
    Bead,
    Rounded,
    Angular,
    Plate,
    Fibre,
}

impl PowderShape {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Bead, Self::Rounded, Self::Angular, Self::Plate, Self::Fibre];

    /// The name on screen and the key in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Bead => "bead",
            Self::Rounded => "rounded",
            Self::Angular => "angular",
            Self::Plate => "plate",
            Self::Fibre => "fibre",
        }
    }
}
