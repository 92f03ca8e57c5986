//! A blend for a wanted grit index, and a copy of the project that holds it.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

use quern_calc::evaluate::{
    BlendAnswer, BlendAsk, BlendFound, GrainFigures, PlaceGuide, find_blend, left_out_words,
    limit_words, place_guides, relaxed_words,
};
use quern_calc::formula::{
    Caution, Formula, Function, Item, Material, MaterialId, exfoliant_lines,
};
use quern_calc::grit::index::Band;
use quern_calc::grit::solve::{LeftOut, SizeLimit};
use quern_calc::grit::surface::Stage;
use quern_calc::number::{NumberStyle, format_f64, format_plain};
use quern_calc::quantity::Percent;

use super::super::args::Grit;
use super::super::input::{Source, same_file};
use super::super::text::{Set, Table, quoted, wrap};
use super::super::{Bad, Bench, Done, json};
use super::{cost_words, head, materials, note, options};

/// What was asked, with the percentages as they were given.
pub(in crate::cli) struct Wanted {
    pub ask: BlendAsk,
    pub least: Percent,
    pub most: Percent,
    /// Beside a size limit.
    pub tolerance: Option<Percent>,
    /// Materials that are not to be used.
    pub barred: Vec<Arc<Material>>,
    /// What is chosen from, the locked lines of the formula aside.
    pub from: Vec<MaterialId>,
}

pub(super) fn run(
    args: &Grit,
    mut source: Source,
    formula: &Formula,
    bench: &mut Bench<'_>,
) -> Done {
    let wanted = wanted(args, &mut source, formula)?;
    if let Some(out) = &args.apply {
        check_new(&args.file, out)?;
    }
    let answer = find_blend(formula, &source.library, &wanted.from, &wanted.ask)
        .map_err(|e| Bad::new(format!("{}: {e}", quoted(&formula.name))))?;
    let written = match (&args.apply, answer.found.first()) {
        (Some(out), Some(best)) => {
            write_copy(&source, best, out)?;
            Some(out.as_path())
        }
        _ => None,
    };
    let now = source.evaluate(formula, bench.today).1.grains;
    if args.json {
        let head = json::Head::new("grit", &source.project, bench.today);
        let document = json::grit::solve(head, formula, now.as_ref(), &wanted, &answer, written);
        bench.put_text(&json::text(&document)?)?;
    } else {
        let mut text = text(&source, formula, now.as_ref().ok(), &wanted, &answer);
        if let Some(path) = written {
            text.push_str(&format!("\nWritten: {}\n", path.display()));
        }
        bench.put_text(&text)?;
    }
    if let (Some(out), None) = (&args.apply, written) {
        return Err(Bad::new(format!(
            "no blend was found, so {} was not written; give a limit way, or ask for another index",
            out.display()
        )));
    }
    Ok(0)
}

fn wanted(args: &Grit, source: &mut Source, formula: &Formula) -> Result<Wanted, Bad> {
    let defaults = BlendAsk::default();
    let (least, most) = options::total(args, formula.product.place)?;
    let size = options::size(args)?;
    let named: Vec<Arc<Material>> = args
        .from
        .iter()
        .map(|text| materials::exfoliant(&source.project, "from", text))
        .collect::<Result<_, _>>()?;
    let from: Vec<MaterialId> = if named.is_empty() {
        let all = source.project.materials.values();
        all.filter(|m| m.function == Some(Function::Exfoliant)).map(|m| m.id.clone()).collect()
    } else {
        named.iter().map(|m| m.id.clone()).collect()
    };
    if from.is_empty() {
        return Err(Bad::new(format!(
            "{} has no exfoliant to choose from; name some with --from",
            source.origin
        )));
    }
    let lines = exfoliant_lines(formula, &source.library);
    let locked: BTreeSet<&MaterialId> = lines
        .iter()
        .filter(|(_, line)| line.locked)
        .filter_map(|(_, line)| match &line.item {
            Item::Material(id) => Some(id),
            Item::Formula(_) => None,
        })
        .collect();
    let kinds = options::kinds(args, locked.len())?;
    let (mut without, mut barred) = (Vec::new(), Vec::new());
    for text in &args.without {
        match Caution::ALL.into_iter().find(|c| c.name().eq_ignore_ascii_case(text.trim())) {
            Some(caution) => without.push(caution),
            None => barred.push(materials::material(&source.project, "without", text)?),
        }
    }
    materials::reach(source, &named);
    let ask = BlendAsk {
        index: options::index(args)?.unwrap_or(defaults.index),
        stage: if args.in_use { Stage::InUse } else { Stage::Dry },
        total: (least.to_f64(), most.to_f64()),
        size: size.map(|(um, share)| SizeLimit { um, tolerance: share.fraction() }),
        kinds,
        prefer: options::prefer(args)?,
        without,
        barred: barred.iter().map(|m| m.id.clone()).collect(),
    };
    Ok(Wanted { ask, least, most, tolerance: size.map(|(_, share)| share), barred, from })
}

/// Refuses a place for the copy before anything is looked for.
fn check_new(input: &Path, out: &Path) -> Result<(), Bad> {
    let shown = || quoted(&out.to_string_lossy());
    if same_file(input, out) {
        return Err(Bad::new(format!(
            "--apply {} is the project itself; choose another name for the copy",
            shown()
        )));
    }
    if out.extension().is_none_or(|e| !e.eq_ignore_ascii_case("ron")) {
        return Err(Bad::new(format!(
            "--apply {} is no name of a project; end it in .ron",
            shown()
        )));
    }
    if out.symlink_metadata().is_ok() {
        return Err(Bad::new(format!(
            "--apply {} is there already and is left alone; choose another name",
            shown()
        )));
    }
    Ok(())
}

/// The project with the blend in its formula, and with the materials that the blend uses.
fn write_copy(source: &Source, best: &BlendFound, out: &Path) -> Result<(), Bad> {
    let mut project = source.project.clone();
    for (id, _, _) in &best.blend {
        if let Some(material) = quern_project::library::builtin().materials.get(id) {
            project.carry(material);
        }
    }
    if let Some(place) = project.formulas.iter_mut().find(|f| f.id == best.formula.id) {
        *place = Arc::new(best.formula.clone());
    }
    quern_project::save(out, &project, None).map(|_| ()).map_err(|e| Bad::new(e.to_string()))
}

fn text(
    source: &Source,
    formula: &Formula,
    now: Option<&GrainFigures>,
    wanted: &Wanted,
    answer: &BlendAnswer,
) -> String {
    let style = NumberStyle::default();
    let mut out = String::new();
    head(&mut out, formula);
    if let Some(f) = now {
        let (index, load) = (format_f64(f.grit.index, 1, style), format_plain(f.load.0, style));
        wrap(&mut out, "Now: ", &format!("grit index {index}, {load} % in all"));
    }
    wrap(&mut out, "Wanted: ", &ask_words(wanted, style));
    for (i, found) in answer.found.iter().enumerate() {
        let title = if i == 0 { "Best blend" } else { "Next best" };
        out.push_str(&format!("\n{title}: {}\n", found_words(found, source, style)));
        let mut table = Table::new([("", Set::Left), ("", Set::Decimal), ("", Set::Left)]);
        for (_, name, percent) in &found.blend {
            table.row([name.as_str(), &format_plain(percent.0, style), "%"]);
        }
        table.render(&mut out);
        if let Some(guide) = own_guide(found, style) {
            wrap(&mut out, &format!("  Guide for {}: ", guide.place.name()), &guide_words(&guide));
        }
        if !found.binding.is_empty() {
            let words: Vec<String> =
                found.binding.iter().map(|l| limit_words(*l, answer, style)).collect();
            wrap(&mut out, "  Held by: ", &words.join("; "));
        }
    }
    if answer.found.is_empty() {
        none_found(&mut out, wanted, answer, style);
    }
    if !answer.left_out.is_empty() {
        out.push_str("\nLeft out\n");
        for left in &answer.left_out {
            wrap(&mut out, "  - ", &left_out_words(left, answer, style));
        }
        if answer.left_out.iter().any(|(_, why)| *why == LeftOut::NoPrice) {
            wrap(&mut out, "  ", "Those without a price take part with --prefer least or nearest");
        }
    }
    note(&mut out);
    out
}

/// What the guides say of a found blend at every place; nothing where it has no figures.
pub(in crate::cli) fn guides_of(found: &BlendFound, style: NumberStyle) -> Vec<PlaceGuide> {
    let product = found.formula.product;
    let rules = quern_project::rules::in_use();
    let guides = |f| place_guides(f, product.place, product.form, rules, style);
    found.figures.as_ref().map(guides).unwrap_or_default()
}

/// The guide of the product's own place.
fn own_guide(found: &BlendFound, style: NumberStyle) -> Option<PlaceGuide> {
    guides_of(found, style).into_iter().find(|g| g.place == found.formula.product.place)
}

fn guide_words(guide: &PlaceGuide) -> String {
    let beyond = guide.reasons.iter().filter(|r| !r.within).map(|r| r.text.as_str());
    std::iter::once(guide.verdict.as_str()).chain(beyond).collect::<Vec<_>>().join("; ")
}

fn ask_words(wanted: &Wanted, style: NumberStyle) -> String {
    let ask = &wanted.ask;
    let plain = |p: Percent| format_plain(p.0, style);
    let stage = match ask.stage {
        Stage::Dry => "at the first touch",
        Stage::InUse => "over the time of rubbing",
    };
    let mut words = vec![
        format!("grit index {} {stage}", format_f64(ask.index, decimals(ask.index), style)),
        format!("{} to {} % in all", plain(wanted.least), plain(wanted.most)),
    ];
    if let (Some(size), Some(tolerance)) = (ask.size, wanted.tolerance) {
        words.push(format!(
            "nothing above {} µm but for {} %",
            format_f64(size.um, decimals(size.um), style),
            plain(tolerance)
        ));
    }
    words.push(match ask.kinds {
        (a, b) if a == b => format!("{a} kind{}", if a == 1 { "" } else { "s" }),
        (a, b) => format!("{a} to {b} kinds"),
    });
    words.extend(ask.without.iter().map(|c| format!("without {}", c.name())));
    words.extend(wanted.barred.iter().map(|m| format!("without {}", m.display_name())));
    words.push(ask.prefer.about().to_owned());
    words.join("; ")
}

/// Decimals that a typed figure is repeated with.
fn decimals(x: f64) -> u32 {
    u32::from((x - x.round()).abs() > 1e-9) * 2
}

fn found_words(found: &BlendFound, source: &Source, style: NumberStyle) -> String {
    let mut words = format!(
        "index {}, {}; {} % in all; {}",
        format_f64(found.index, 1, style),
        Band::from_index(found.index).name(),
        format_plain(found.total.0, style),
        cost_words(source, found.cost),
    );
    if (found.in_use - found.index).abs() >= 0.05 {
        words.push_str(&format!("; {} in use", format_f64(found.in_use, 1, style)));
    }
    words
}

fn none_found(out: &mut String, wanted: &Wanted, answer: &BlendAnswer, style: NumberStyle) {
    let index = format_f64(wanted.ask.index, decimals(wanted.ask.index), style);
    out.push('\n');
    match answer.reachable {
        Some((low, high)) => wrap(
            out,
            "",
            &format!(
                "No blend has index {index} within these limits; they allow {} to {}",
                format_f64(low, 1, style),
                format_f64(high, 1, style)
            ),
        ),
        None => {
            wrap(out, "", &format!("No blend has index {index}: these limits shut out every blend"))
        }
    }
    if answer.relax.is_empty() {
        wrap(out, "", "No single limit that gives way would help; relax two, or choose from more");
        return;
    }
    out.push_str("\nEach of these alone would help\n");
    for relaxed in &answer.relax {
        wrap(out, "  - ", &relaxed_words(relaxed, answer, style));
    }
}
