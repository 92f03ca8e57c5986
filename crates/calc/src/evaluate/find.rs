//! A blend for a wanted grit index, put into the formula it is for.

use super::grains::price_per_gram;
use super::mixes::bench_load;
use super::{GrainFigures, Opened, grain_figures, paste};
use crate::formula::{
    BlendError, Caution, Formula, Function, Item, Library, Material, MaterialId, Place,
    exfoliant_lines, open, with_blend,
};
use crate::grit::blend::Grain;
use crate::grit::index::GritModel;
use crate::grit::sizes::GrainSize;
use crate::grit::solve::{
    Ask, Candidate, KIND_FROM, LeftOut, Limit, Outcome, Prefer, Relaxed, SizeLimit, solve_while,
};
use crate::grit::surface::Stage;
use crate::number::{NumberStyle, format_f64};
use crate::quantity::Percent;

/// What a maker asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct BlendAsk {
    /// Grit index wanted.
    pub index: f64,
    /// First touch or in use.
    pub stage: Stage,
    /// All exfoliants together, % w/w, from and to.
    pub total: (f64, f64),
    /// "Nothing above this size", if asked.
    pub size: Option<SizeLimit>,
    /// Kinds at least and at most.
    pub kinds: (usize, usize),
    /// What is better.
    pub prefer: Prefer,
    /// Materials with one of these cautions are not to be used, such as tree-nut shells.
    pub without: Vec<Caution>,
    /// Materials that are not to be used.
    pub barred: Vec<MaterialId>,
}

impl BlendAsk {
    /// A first ask for a place of use: an index in the bands that suit it and a usual most of
    /// exfoliants (common practice: up to 3 % for the face, more for body and feet). For the face,
    /// each exfoliant keeps the house guide of D90 by itself, so that every blend of them does.
    #[must_use]
    pub fn for_place(place: Place) -> Self {
        let (index, most) = match place {
            Place::Face | Place::Lips => (10.0, 3.0),
            Place::Feet => (90.0, 10.0),
            Place::Body | Place::Hands | Place::Hair => (40.0, 6.0),
        };
        let size = matches!(place, Place::Face | Place::Lips)
            .then(|| SizeLimit::with_percent(350.0, 10.0));
        Self { index, total: (0.0, most), size, ..Self::default() }
    }
}

impl Default for BlendAsk {
    fn default() -> Self {
        Self {
            index: 30.0,
            stage: Stage::Dry,
            total: (0.0, 6.0),
            size: None,
            kinds: (2, 3),
            prefer: Prefer::Nearest,
            without: Vec::new(),
            barred: Vec::new(),
        }
    }
}

/// An exfoliant that was looked at.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedCandidate {
    /// The material.
    pub id: MaterialId,
    /// Its display name.
    pub name: String,
    /// Its grains, price and limits.
    pub candidate: Candidate,
}

/// A blend that was found, in the formula.
#[derive(Clone, Debug, PartialEq)]
pub struct BlendFound {
    /// The formula with the blend in it; the q.s. line has taken up the difference.
    pub formula: Formula,
    /// The blend: materials that are used with their % w/w, to two decimals.
    pub blend: Vec<(MaterialId, String, Percent)>,
    /// Grit index of the formula with the blend so rounded, dry.
    pub index: f64,
    /// The same in use.
    pub in_use: f64,
    /// % w/w of all exfoliants.
    pub total: Percent,
    /// Money for exfoliants in 100 g of product; `None` when a price is missing.
    pub cost: Option<f64>,
    /// Limits that hold it.
    pub binding: Vec<Limit>,
    /// Its figures in the formula, for the guides of place.
    pub figures: Option<GrainFigures>,
}

/// What came of the search.
#[derive(Clone, Debug, PartialEq)]
pub struct BlendAnswer {
    /// What was asked.
    pub ask: BlendAsk,
    /// The exfoliants that were looked at.
    pub candidates: Vec<NamedCandidate>,
    /// The best blend and the next best.
    pub found: Vec<BlendFound>,
    /// Candidates that could not take part.
    pub left_out: Vec<(usize, LeftOut)>,
    /// Least and greatest index within the limits, when nothing was found.
    pub reachable: Option<(f64, f64)>,
    /// Limits of which each alone would let the index be reached.
    pub relax: Vec<Relaxed>,
    /// Density of the product that the blends were worked out with, g/mL.
    pub density: f64,
}

/// The candidates of these ids, after those that stay in the formula whatever is chosen.
/// Ids that name no exfoliant with usable grains come back as candidates without data, so that
/// they can be named.
#[must_use]
pub fn candidates(
    formula: &Formula,
    library: &Library,
    ids: &[MaterialId],
    ask: &BlendAsk,
) -> Vec<NamedCandidate> {
    let mut out: Vec<NamedCandidate> = what_stays(formula, library)
        .into_iter()
        .filter_map(|(id, grain)| {
            let material = library.material(&id)?;
            Some(NamedCandidate {
                name: material.display_name().to_owned(),
                candidate: Candidate {
                    grain,
                    cost: price_per_gram(material),
                    least: 0.0,
                    most: 100.0,
                    held: true,
                    barred: false,
                },
                id,
            })
        })
        .collect();
    // What the rest brings now: free lines, and the premixes of grains that a blend replaces.
    let present = free_loads(formula, library);
    let mut seen: Vec<&MaterialId> = Vec::new();
    for id in ids {
        if seen.contains(&id) || is_locked(formula, id) {
            continue;
        }
        seen.push(id);
        let Some(material) = library.material(id) else { continue };
        let percent = present.iter().filter(|(p, _)| p == id).map(|(_, x)| x).sum();
        let barred =
            ask.barred.contains(id) || material.cautions.iter().any(|c| ask.without.contains(c));
        out.push(NamedCandidate {
            name: material.display_name().to_owned(),
            candidate: Candidate {
                grain: grain_of(material, percent),
                cost: price_per_gram(material),
                least: 0.0,
                most: most_of(material).unwrap_or(100.0),
                held: false,
                barred,
            },
            id: id.clone(),
        });
    }
    out
}

/// True when a locked line of the formula is this material.
pub(super) fn is_locked(formula: &Formula, id: &MaterialId) -> bool {
    formula.lines().any(|(_, l)| l.locked && l.item == Item::Material(id.clone()))
}

/// Exfoliants that stay whatever blend is chosen, summed by material: locked lines, and grains
/// that come with a premix that holds more than grains.
pub(super) fn what_stays(formula: &Formula, library: &Library) -> Vec<(MaterialId, Grain)> {
    let Ok(bare) = with_blend(formula, library, &[]) else { return Vec::new() };
    let mut out: Vec<(MaterialId, Grain)> = Vec::new();
    for leaf in open(&bare, library).0 {
        let m = leaf.material;
        if m.function != Some(Function::Exfoliant) || leaf.percent.is_negative() {
            continue;
        }
        let percent = leaf.percent.to_f64();
        match out.iter_mut().find(|(id, _)| *id == m.id) {
            Some((_, grain)) => grain.percent += percent,
            None => out.push((m.id.clone(), grain_of(m, percent))),
        }
    }
    out
}

/// Loads of the exfoliants that a blend takes the place of.
fn free_loads(formula: &Formula, library: &Library) -> Vec<(MaterialId, f64)> {
    let free: Vec<_> = exfoliant_lines(formula, library)
        .into_iter()
        .filter(|(_, l)| !l.locked)
        .map(|(_, l)| l.id)
        .collect();
    open(formula, library)
        .0
        .into_iter()
        .filter(|leaf| free.contains(&leaf.line) && !leaf.percent.is_negative())
        .map(|leaf| (leaf.material.id.clone(), leaf.percent.to_f64()))
        .collect()
}

/// Grains of a material; a density that is not a number marks one that cannot be used.
pub(super) fn grain_of(material: &Material, percent: f64) -> Grain {
    let unusable = Grain {
        size: GrainSize::known(1.0, 0.0),
        density_g_ml: f64::NAN,
        hardness_mpa: 0.0,
        angularity: 0.0,
        dissolves_um_per_s: None,
        percent,
    };
    if material.function != Some(Function::Exfoliant) {
        return unusable;
    }
    let (Some(data), Some(density)) = (&material.grain, &material.density_solid) else {
        return unusable;
    };
    match GrainSize::fit(data.value.sizes_in_use()) {
        Ok(size) => Grain {
            size,
            density_g_ml: density.value,
            hardness_mpa: data.value.hardness_mpa,
            angularity: data.value.angularity,
            dissolves_um_per_s: data.value.dissolves_um_per_s,
            percent,
        },
        Err(_) => unusable,
    }
}

/// The highest usual load of a material, over its scopes.
fn most_of(material: &Material) -> Option<f64> {
    let highs = material.use_levels.iter().filter_map(|l| l.value.high).map(Percent::to_f64);
    highs.max_by(f64::total_cmp)
}

/// Density of the product, or that of the reference bar where it cannot be worked out.
pub(super) fn density_of(formula: &Formula, library: &Library) -> f64 {
    let opened = Opened::new(formula, library);
    paste(formula.product.form, &opened)
        .density
        .unwrap_or(GritModel::REFERENCE.reference_density_g_ml)
}

/// Finds blends of these materials for the formula. The product's density depends a little on
/// its exfoliants, so the search is repeated with that of the best blend until it settles.
///
/// # Errors
/// [`BlendError`] when the blend cannot be put into the formula.
pub fn find_blend(
    formula: &Formula,
    library: &Library,
    ids: &[MaterialId],
    ask: &BlendAsk,
) -> Result<BlendAnswer, BlendError> {
    find_blend_while(formula, library, ids, ask, &|| true)
}

/// As [`find_blend`], for as long as `go_on` says so. What comes of a search that was stopped is
/// incomplete and of no use.
///
/// # Errors
/// As [`find_blend`].
pub fn find_blend_while(
    formula: &Formula,
    library: &Library,
    ids: &[MaterialId],
    ask: &BlendAsk,
    go_on: &dyn Fn() -> bool,
) -> Result<BlendAnswer, BlendError> {
    let named = candidates(formula, library, ids, ask);
    let plain: Vec<Candidate> = named.iter().map(|c| c.candidate).collect();
    let inner = Ask {
        index: ask.index,
        stage: ask.stage,
        total: ask.total,
        size: ask.size,
        kinds: ask.kinds,
        prefer: ask.prefer,
    };
    // A q.s. line that is an exfoliant stops the search before it starts.
    with_blend(formula, library, &[])?;
    let mut density = density_of(formula, library);
    let mut outcome = solve_while(&plain, density, &GritModel::REFERENCE, &inner, go_on);
    for _ in 0..3 {
        if !go_on() {
            break;
        }
        let Some(best) = outcome.found.first() else { break };
        let (applied, _) = put_in(formula, library, &named, &best.loads, ask.total)?;
        let next = density_of(&applied, library);
        let settled = (next / density - 1.0).abs() < 2e-4;
        density = next;
        if settled {
            break;
        }
        outcome = solve_while(&plain, density, &GritModel::REFERENCE, &inner, go_on);
    }
    let Outcome { found, left_out, reachable, relax } = outcome;
    let found = found
        .into_iter()
        .map(|s| {
            let (applied, blend) = put_in(formula, library, &named, &s.loads, ask.total)?;
            let opened = Opened::new(&applied, library);
            let paste = paste(applied.product.form, &opened);
            let figures = grain_figures(&opened, &paste).ok();
            let (index, in_use, total) =
                figures.as_ref().map_or((s.index, s.index, Percent::ZERO), |f| {
                    (f.grit.index, f.grit.in_use, f.load)
                });
            let cost = blend.iter().try_fold(0.0, |sum, (id, _, p)| {
                library.material(id).and_then(price_per_gram).map(|c| sum + c * p.to_f64())
            });
            Ok(BlendFound {
                formula: applied,
                blend,
                index,
                in_use,
                total,
                cost,
                binding: s.binding,
                figures,
            })
        })
        .collect::<Result<Vec<_>, BlendError>>()?;
    Ok(BlendAnswer {
        ask: ask.clone(),
        candidates: named,
        found,
        left_out,
        reachable,
        relax,
        density,
    })
}

type Blend = Vec<(MaterialId, String, Percent)>;

/// The formula with these loads, rounded to what a bench weighs.
fn put_in(
    formula: &Formula,
    library: &Library,
    named: &[NamedCandidate],
    loads: &[f64],
    (least, most): (f64, f64),
) -> Result<(Formula, Blend), BlendError> {
    let blend: Blend = named
        .iter()
        .zip(loads)
        .filter(|(_, w)| **w > 0.0)
        .map(|(c, w)| {
            // A load that is held stays on its line; what is listed here is for the reader.
            (c.id.clone(), c.name.clone(), bench_load(*w))
        })
        .collect();
    let mut blend = blend;
    let sum: Percent = blend.iter().map(|(_, _, p)| *p).sum();
    let over = sum - bench_load(most);
    // Rounding must not carry the blend over its limit; the largest load gives way.
    let free = |id: &MaterialId| named.iter().any(|c| c.id == *id && !c.candidate.held);
    let fixed = least >= most;
    if (over > Percent::ZERO || (fixed && over < Percent::ZERO))
        && over.0.abs() < rust_decimal::Decimal::new(1, 1)
        && let Some((_, _, p)) =
            blend.iter_mut().filter(|(id, _, _)| free(id)).max_by_key(|(_, _, p)| *p)
    {
        *p = *p - over;
    }
    let lines: Vec<(MaterialId, Percent)> = blend
        .iter()
        .zip(named.iter().zip(loads).filter(|(_, w)| **w > 0.0))
        .filter(|(_, (c, _))| !c.candidate.held)
        .map(|((id, _, p), _)| (id.clone(), *p))
        .collect();
    Ok((with_blend(formula, library, &lines)?, blend))
}

fn name_of(named: &[NamedCandidate], i: usize) -> &str {
    named.get(i).map_or("an exfoliant", |c| c.name.as_str())
}

/// A limit in words, such as "at most 6 % in all".
#[must_use]
pub fn limit_words(limit: Limit, answer: &BlendAnswer, style: NumberStyle) -> String {
    let percent = |x: f64| {
        let places = u32::from((x - x.round()).abs() > 1e-9) * 2;
        format!("{} %", format_f64(x, places, style))
    };
    let named = &answer.candidates;
    match limit {
        Limit::TotalMost(x) => format!("at most {} in all", percent(x)),
        Limit::TotalLeast(x) => format!("at least {} in all", percent(x)),
        Limit::Most(i, x) => format!("at most {} {}", percent(x), name_of(named, i)),
        Limit::Least(i, x) if x <= KIND_FROM => {
            format!("at least {} {}, to count as a kind", percent(x), name_of(named, i))
        }
        Limit::Least(i, x) => format!("at least {} {}", percent(x), name_of(named, i)),
        Limit::Held(i) => format!("{} is locked", name_of(named, i)),
        Limit::Size => answer.ask.size.map_or_else(
            || "the size limit".to_owned(),
            |s| format!("nothing above {} µm", format_f64(s.um, 0, style)),
        ),
        Limit::KindsLeast(n) => format!("at least {n} kinds"),
        Limit::KindsMost(n) => format!("at most {n} kinds"),
        Limit::Barred => "what is not to be used".to_owned(),
        Limit::NoPrice => "exfoliants without a price are left out".to_owned(),
    }
}

/// What relaxing a limit would take, in words.
#[must_use]
pub fn relaxed_words(relaxed: &Relaxed, answer: &BlendAnswer, style: NumberStyle) -> String {
    let limit = limit_words(relaxed.limit, answer, style);
    let whole = |x: f64| format_f64(x, 0, style);
    match (relaxed.limit, relaxed.to) {
        (Limit::Size, Some(um)) => format!("{limit}: {} µm would do", whole(um)),
        (Limit::KindsLeast(_), Some(n)) => format!("{limit}: {} would do", whole(n)),
        (_, Some(to)) => format!("{limit}: {} % would do", format_f64(to, 2, style)),
        (_, None) => format!("{limit}: without it the index can be reached"),
    }
}

/// What can be reached, when nothing was found, in words.
#[must_use]
pub fn reach_words(answer: &BlendAnswer, style: NumberStyle) -> String {
    let whole = |x: f64| format_f64(x, 0, style);
    let asked = whole(answer.ask.index);
    if let Some((low, high)) = answer.reachable {
        let gap = if (low..=high).contains(&answer.ask.index) {
            ", with a gap there for want of kinds to fill it"
        } else {
            ""
        };
        return format!(
            "No blend has grit {asked}; these limits reach {} to {}{gap}",
            whole(low),
            whole(high)
        );
    }
    let all = answer.candidates.len();
    let left = all.saturating_sub(answer.left_out.len());
    let kinds = answer.ask.kinds.0;
    if left < kinds {
        format!("These limits leave {left} of {all} exfoliants, and {kinds} kinds are wanted")
    } else {
        "These limits shut out every blend".to_owned()
    }
}

/// Why a candidate could not take part, in words.
#[must_use]
pub fn left_out_words(left: &(usize, LeftOut), answer: &BlendAnswer, style: NumberStyle) -> String {
    let name = name_of(&answer.candidates, left.0);
    match left.1 {
        LeftOut::Barred => format!("{name}: not to be used"),
        LeftOut::TooLarge(share) => {
            let um = answer.ask.size.map_or(0.0, |s| s.um);
            format!(
                "{name}: {} % of it lies above {} µm",
                format_f64(100.0 * share, 1, style),
                format_f64(um, 0, style)
            )
        }
        LeftOut::NoPrice => format!("{name}: no price, so it cannot be weighed by cost"),
        LeftOut::TooMany => format!("{name}: too many exfoliants to look through"),
        LeftOut::NoData => format!("{name}: no grain size or density to calculate with"),
    }
}
