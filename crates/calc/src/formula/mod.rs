//! What is in it: materials, formulas, and the formula opened to components.

mod blend;
mod composition;
mod difference;
mod edit;
mod figure;
mod kinds;
mod library;
mod material;
mod model;
mod notes;
mod product;
mod ranges;
mod wedges;

pub use blend::{
    BlendError, as_premix, exfoliant_lines, exfoliant_load, grains_phase, is_blend, with_blend,
    with_premix,
};
pub use composition::{
    ByFunction, Component, Composition, LeafUse, OpenError, Slice, Source, WaterContent,
    by_function, compose, names_by_amount, open, slices_by_component, slices_by_function,
    slices_by_phase,
};
pub use difference::{
    Change, ChangeStyle, DifferenceRow, compare_lines, differences, with_blend_of,
};
pub use edit::{EditError, NormalisePreview};
pub use figure::{Basis, Confidence, Figure, Span};
pub use kinds::{AtPour, Caution, Charge, Function, PhaseKind, PowderShape, UseScope, WaterKind};
pub use library::Library;
pub use material::{
    Allergen, Certificate, FatPart, GrainData, GrainLot, Material, OwnSolids, Part, Price,
    UseLevel, Water,
};
pub use model::{
    Alternative, Amount, AmountUnit, Formula, FormulaId, Item, Line, LineId, MaterialId, Phase,
    PhaseId, PhaseTemperature, Step, phase_letter,
};
pub use notes::{Accepted, ExposureAsk, LabelNotes, Net, Printed, SafetyNotes};
pub use product::{Contact, Form, Pack, PhReading, Place, Product, Version, VersionState};
pub use ranges::{Counts, KindRanges, Lies, UsualRange};
pub use wedges::{Wedge, wedges};
