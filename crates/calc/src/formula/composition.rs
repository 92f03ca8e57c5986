//! A formula opened to the components that limits, labels and charts speak of.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::{
    Formula, FormulaId, Function, Item, Library, LineId, Material, MaterialId, PhaseId, WaterKind,
    phase_letter,
};
use crate::quantity::Percent;

/// Formulas within formulas deeper than this are refused.
const MAX_DEPTH: usize = 16;

/// Lines looked at beyond this are refused, leaves or not, so that nested premixes cannot
/// multiply without end.
const MAX_VISITS: usize = 20_000;

/// Why a line could not be opened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OpenError {
    /// The material is not in the library.
    NoMaterial(MaterialId),
    /// The formula is not in the project.
    NoFormula(FormulaId),
    /// A formula contains itself; the names from the outside in.
    Cycle(Vec<String>),
    /// Nested too deeply or opened to too many lines.
    TooLarge,
}

/// A material as it arrives in the product, through however many formulas.
#[derive(Clone, Copy, Debug)]
pub struct LeafUse<'a> {
    /// The line of the outermost formula.
    pub line: LineId,
    /// The phase of that line.
    pub phase: PhaseId,
    /// The material.
    pub material: &'a Material,
    /// % of the product.
    pub percent: Percent,
}

/// Opens every line to its materials. Blank lines are passed over; lines that cannot be
/// opened come back as errors beside what could.
#[must_use]
pub fn open<'a>(
    formula: &'a Formula,
    library: &'a Library,
) -> (Vec<LeafUse<'a>>, Vec<(LineId, OpenError)>) {
    let mut leaves = Vec::with_capacity(formula.lines().count());
    let mut errors = Vec::new();
    let mut visits = MAX_VISITS;
    for (phase, line) in formula.lines() {
        let Some(percent) = formula.percent_of(line) else { continue };
        let mut path = vec![formula];
        let mut sink = |material, percent| {
            leaves.push(LeafUse { line: line.id, phase: phase.id, material, percent });
        };
        if let Err(error) = walk(&line.item, percent, library, &mut path, &mut visits, &mut sink) {
            errors.push((line.id, error));
        }
    }
    (leaves, errors)
}

fn walk<'a>(
    item: &Item,
    percent: Percent,
    library: &'a Library,
    path: &mut Vec<&'a Formula>,
    visits: &mut usize,
    sink: &mut dyn FnMut(&'a Material, Percent),
) -> Result<(), OpenError> {
    *visits = visits.checked_sub(1).ok_or(OpenError::TooLarge)?;
    match item {
        Item::Material(id) => {
            let material = library.material(id).ok_or_else(|| OpenError::NoMaterial(id.clone()))?;
            sink(material, percent);
            Ok(())
        }
        Item::Formula(id) => {
            let inner = library.formula(id).ok_or_else(|| OpenError::NoFormula(id.clone()))?;
            if path.iter().any(|f| f.id == inner.id) {
                let names = path.iter().map(|f| f.name.clone());
                return Err(OpenError::Cycle(names.chain([inner.name.clone()]).collect()));
            }
            if path.len() >= MAX_DEPTH {
                return Err(OpenError::TooLarge);
            }
            path.push(inner);
            for (_, line) in inner.lines() {
                if let Some(share) = inner.percent_of(line) {
                    walk(&line.item, share.of_percent(percent), library, path, visits, sink)?;
                }
            }
            path.pop();
            Ok(())
        }
    }
}

/// Where part of a component comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// Line of the formula.
    pub line: LineId,
    /// Material that brings it.
    pub material: MaterialId,
    /// % of the product from there.
    pub percent: Percent,
}

/// One component of the product.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Component {
    /// Label name; a blend whose shares are not stated stays whole under its own name.
    pub inci: String,
    /// % of the product, summed over all sources.
    pub percent: Percent,
    /// The sources, in weighing order.
    pub sources: Vec<Source>,
}

/// Water in the product by kind.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct WaterContent {
    /// Added water and water in solutions.
    pub free: Percent,
    /// Moisture bound in flours, starches and clays.
    pub bound: Percent,
    /// Water of crystallisation.
    pub crystal: Percent,
}

/// What is in the product.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Composition {
    /// Components by descending amount, then by name (convention C7).
    pub components: Vec<Component>,
    /// Blends that could not be opened, with their lines.
    pub unopened: Vec<(LineId, MaterialId)>,
    /// Water as supplied with the materials.
    pub water: WaterContent,
}

impl Composition {
    /// % of a component by label name; zero when absent.
    #[must_use]
    pub fn percent_of(&self, inci: &str) -> Percent {
        self.components
            .iter()
            .find(|c| c.inci.eq_ignore_ascii_case(inci))
            .map_or(Percent::ZERO, |c| c.percent)
    }
}

/// Sums leaves to components.
#[must_use]
pub fn compose(leaves: &[LeafUse<'_>]) -> Composition {
    let mut sums: BTreeMap<&str, Component> = BTreeMap::new();
    let mut unopened = Vec::new();
    let mut water = WaterContent::default();
    for leaf in leaves {
        let material = leaf.material;
        let stated: Option<Vec<(&str, Percent)>> = material
            .composition
            .iter()
            .map(|part| part.share.as_ref().map(|s| (part.inci.as_str(), s.value)))
            .collect();
        let mut rest = Percent::HUNDRED;
        match stated {
            Some(parts) => {
                for (inci, share) in parts {
                    rest = rest - share;
                    add(&mut sums, inci, leaf, share.of_percent(leaf.percent));
                }
            }
            None => unopened.push((leaf.line, material.id.clone())),
        }
        if rest.0 > Decimal::ZERO {
            // A single material, an unopened blend, or what its stated shares leave.
            add(&mut sums, material.inci.as_str(), leaf, rest.of_percent(leaf.percent));
        }
        if let Some(w) = &material.water {
            let percent = w.percent.value.of_percent(leaf.percent);
            match w.kind {
                WaterKind::Free => water.free += percent,
                WaterKind::Bound => water.bound += percent,
                WaterKind::Crystal => water.crystal += percent,
            }
        }
    }
    let mut components: Vec<Component> = sums.into_values().collect();
    components.sort_by(|a, b| b.percent.cmp(&a.percent).then_with(|| a.inci.cmp(&b.inci)));
    Composition { components, unopened, water }
}

fn add<'a>(
    sums: &mut BTreeMap<&'a str, Component>,
    inci: &'a str,
    leaf: &LeafUse<'_>,
    percent: Percent,
) {
    let component = sums.entry(inci).or_insert_with(|| Component {
        inci: inci.to_owned(),
        percent: Percent::ZERO,
        sources: Vec::new(),
    });
    component.percent += percent;
    component.sources.push(Source { line: leaf.line, material: leaf.material.id.clone(), percent });
}

/// Display names of what is there and wanted, each once: amount down, then name.
#[must_use]
pub fn names_by_amount(leaves: &[LeafUse<'_>], wanted: impl Fn(&Material) -> bool) -> Vec<String> {
    let mut sums: Vec<(&str, Percent)> = Vec::new();
    for leaf in leaves.iter().filter(|l| l.percent.0 > Decimal::ZERO && wanted(l.material)) {
        let name = leaf.material.display_name();
        match sums.iter_mut().find(|(n, _)| *n == name) {
            Some((_, sum)) => *sum += leaf.percent,
            None => sums.push((name, leaf.percent)),
        }
    }
    sums.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(b.0)));
    sums.into_iter().map(|(name, _)| name.to_owned()).collect()
}

/// One slice of a composition chart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slice {
    /// What it stands for.
    pub name: String,
    /// Place of the phase or function, for its colour.
    pub index: usize,
    /// % of the product.
    pub percent: Percent,
    /// The lines that are in it, in weighing order.
    pub lines: Vec<LineId>,
}

/// Lines, each once.
fn each_once(lines: impl Iterator<Item = LineId>) -> Vec<LineId> {
    let mut out = Vec::new();
    for line in lines {
        if !out.contains(&line) {
            out.push(line);
        }
    }
    out
}

/// Totals by function; materials without one are summed under `None`.
pub type ByFunction = BTreeMap<Option<Function>, Percent>;

/// Totals by function.
#[must_use]
pub fn by_function(leaves: &[LeafUse<'_>]) -> ByFunction {
    let mut sums = ByFunction::new();
    for leaf in leaves {
        *sums.entry(leaf.material.function).or_default() += leaf.percent;
    }
    sums
}

/// Slices by function, largest first.
#[must_use]
pub fn slices_by_function(leaves: &[LeafUse<'_>]) -> Vec<Slice> {
    let mut slices: Vec<Slice> = by_function(leaves)
        .into_iter()
        .map(|(function, percent)| Slice {
            name: function.map_or("no function stated", Function::name).to_owned(),
            index: function
                .and_then(|f| Function::ALL.iter().position(|g| *g == f))
                .unwrap_or(Function::ALL.len()),
            percent,
            lines: each_once(
                leaves.iter().filter(|l| l.material.function == function).map(|l| l.line),
            ),
        })
        .collect();
    sort_slices(&mut slices);
    slices
}

/// Slices by phase, in phase order.
#[must_use]
pub fn slices_by_phase(formula: &Formula) -> Vec<Slice> {
    formula
        .phases
        .iter()
        .enumerate()
        .map(|(index, phase)| Slice {
            name: format!("{} {}", phase_letter(index), phase.name),
            index,
            percent: phase.lines.iter().filter_map(|l| formula.percent_of(l)).sum(),
            lines: phase.lines.iter().map(|l| l.id).collect(),
        })
        .filter(|s| !s.percent.is_zero())
        .collect()
}

/// The `most` largest components, the others summed as one.
#[must_use]
pub fn slices_by_component(composition: &Composition, most: usize) -> Vec<Slice> {
    let mut slices: Vec<Slice> = composition
        .components
        .iter()
        .take(most)
        .enumerate()
        .map(|(index, c)| Slice {
            name: c.inci.clone(),
            index,
            percent: c.percent,
            lines: each_once(c.sources.iter().map(|s| s.line)),
        })
        .collect();
    let rest = composition.components.get(most..).unwrap_or_default();
    if !rest.is_empty() {
        slices.push(Slice {
            name: format!("{} others", rest.len()),
            index: most,
            percent: rest.iter().map(|c| c.percent).sum(),
            lines: each_once(rest.iter().flat_map(|c| &c.sources).map(|s| s.line)),
        });
    }
    slices
}

fn sort_slices(slices: &mut [Slice]) {
    slices.sort_by(|a, b| b.percent.cmp(&a.percent).then_with(|| a.name.cmp(&b.name)));
}
