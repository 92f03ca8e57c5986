//! How rough one blend is, what makes it so, and where it suits.

use quern_calc::evaluate::{
    BlendRow, BlendSide, CLASS_EDGES_UM, Evaluation, GrainFigures, PlaceGuide, place_guides,
};
use quern_calc::formula::{Formula, Place};
use quern_calc::grit::spread::{CONSTANTS, DRAWS, Spread, spread};
use quern_calc::number::{NumberStyle, format_f64, format_fixed, format_plain};
use quern_calc::quantity::Grams;

use super::super::args::Grit;
use super::super::input::Source;
use super::super::text::{Set, Table, quoted, wrap};
use super::super::{Bad, Bench, Done, findings, json, report};
use super::{DASH, OwnScale, head, note, options, row_name, rows, why};

const STYLE: NumberStyle = NumberStyle::with_sign(quern_calc::number::DecimalSign::Point);

/// A formula looked at as if it were for a place, with one use of it.
pub(super) struct Looked {
    pub formula: Formula,
    pub evaluation: Evaluation,
    pub per_use: Grams,
    /// The place that the formula itself is for.
    pub own_place: Place,
}

impl Looked {
    pub fn at(
        args: &Grit,
        source: &Source,
        formula: &Formula,
        bench: &Bench<'_>,
    ) -> Result<Self, Bad> {
        let mut formula = formula.clone();
        let own_place = formula.product.place;
        formula.product.place = options::place(args)?.unwrap_or(own_place);
        let per_use = options::per_use(args)?
            .unwrap_or_else(|| source.project.grit.grams_per_use(formula.product.place));
        let (_, evaluation) = source.evaluate(&formula, bench.today);
        Ok(Self { formula, evaluation, per_use, own_place })
    }

    pub fn side(&self) -> BlendSide<'_> {
        BlendSide { formula: &self.formula, evaluation: &self.evaluation, per_use: self.per_use }
    }
}

/// Everything that is told of one blend.
pub(in crate::cli) struct Blend<'a> {
    pub formula: &'a Formula,
    pub figures: &'a GrainFigures,
    pub own_place: Place,
    pub per_use: Grams,
    pub cut_um: Option<f64>,
    pub rows: Vec<BlendRow>,
    pub spread: Spread,
    pub guides: Vec<PlaceGuide>,
}

pub(super) fn run(args: &Grit, source: &Source, formula: &Formula, bench: &mut Bench<'_>) -> Done {
    let cut_um = options::cut_um(args)?;
    let looked = Looked::at(args, source, formula, bench)?;
    let figures = looked.evaluation.grains.as_ref().map_err(|why| no_blend(formula, why))?;
    let scale = OwnScale::of(source);
    let rules = quern_project::rules::in_use();
    let product = looked.formula.product;
    let blend = Blend {
        formula: &looked.formula,
        figures,
        own_place: looked.own_place,
        per_use: looked.per_use,
        cut_um,
        rows: rows(&[looked.side()], cut_um, &scale),
        spread: spread(&figures.blend, figures.product_density),
        guides: place_guides(figures, product.place, product.form, rules, STYLE),
    };
    if args.json {
        let head = json::Head::new("grit", &source.project, bench.today);
        let scores = &source.project.grit.scores;
        let document = json::grit::report(head, &blend, &scale.fit, scores);
        bench.put_text(&json::text(&document)?)?;
        return Ok(0);
    }
    bench.put_text(&text(&blend, source, &scale))?;
    Ok(0)
}

/// A formula that has no index, in one line.
pub(super) fn no_blend(formula: &Formula, why: &quern_calc::evaluate::WhyNot) -> Bad {
    use quern_calc::evaluate::WhyNot;
    let name = quoted(&formula.name);
    Bad::new(match why {
        WhyNot::Nothing(_) => format!(
            "{name} has no exfoliant with an amount, so it has no grit; add one, or find a blend \
             with --solve INDEX"
        ),
        other => format!("{name} has no grit index: {}; enter its sizes", other.words()),
    })
}

fn text(blend: &Blend<'_>, source: &Source, scale: &OwnScale) -> String {
    let mut out = String::new();
    head(&mut out, blend.formula);
    let place = blend.formula.product.place;
    if place != blend.own_place {
        let own = blend.own_place.name();
        wrap(
            &mut out,
            "",
            &format!("Looked at as if for {}; its own place is {own}", place.name()),
        );
    }
    out.push_str("\nExfoliants\n");
    exfoliants(&mut out, blend);
    out.push_str("\nFigures\n");
    figures(&mut out, blend, source);
    index(&mut out, blend);
    out.push_str("\nWhat adds to the index, by size of grain in µm\n");
    by_size(&mut out, blend.figures);
    out.push_str("\nGuidance by place, from house guides, not law\n");
    guidance(&mut out, blend);
    own_scale(&mut out, blend, source, scale);
    if !blend.figures.left_out.is_empty() {
        let names = blend.figures.left_out.join("; ");
        out.push('\n');
        wrap(&mut out, "", &format!("Left out, sizes or density not known: {names}"));
    }
    note(&mut out);
    findings::not_checked(&mut out);
    out
}

fn whole(x: f64) -> String {
    format_f64(x, 0, STYLE)
}

fn exfoliants(out: &mut String, blend: &Blend<'_>) {
    let f = blend.figures;
    let places = report::percent_places(f.parts.iter().map(|p| &p.load));
    let mut table = Table::new([
        ("", Set::Left),
        ("%", Set::Decimal),
        ("D10", Set::Right),
        ("D50", Set::Right),
        ("D90 µm", Set::Right),
        ("nearest sieves", Set::Left),
        ("adds to index", Set::Decimal),
        ("sizes", Set::Left),
    ]);
    for (part, adds) in f.parts.iter().zip(&f.grit.contributions) {
        let size = &part.grain.size;
        let sizes = match &part.lot {
            Some(lot) => format!("lot {lot}"),
            None if part.assumed_size => "assumed for the grade".to_owned(),
            None => "as stated".to_owned(),
        };
        let premix = if part.direct { "" } else { " (in a premix)" };
        table.row([
            format!("{}{premix}", part.name),
            format_fixed(part.load.0, places, STYLE),
            whole(size.d10_um()),
            whole(size.d50_um()),
            whole(size.d90_um()),
            part.mesh().unwrap_or_else(|| DASH.to_owned()),
            format_f64(*adds, 1, STYLE),
            sizes,
        ]);
    }
    table.render(out);
}

fn figures(out: &mut String, blend: &Blend<'_>, source: &Source) {
    let mut table = Table::new([("", Set::Left), ("", Set::Decimal), ("", Set::Left)]);
    for row in &blend.rows {
        for value in &row.values {
            let estimate = if row.estimate { "estimate" } else { "" };
            let note = why(value).unwrap_or_else(|| estimate.to_owned());
            table.row([row_name(row, source), value.text(STYLE), note]);
        }
    }
    table.render(out);
}

fn index(out: &mut String, blend: &Blend<'_>) {
    let (f, s) = (blend.figures, &blend.spread);
    let one = |x: f64| format_f64(x, 1, STYLE);
    out.push_str("\nGrit index\n");
    let mut words = format!("{}: {}", one(f.grit.index), f.grit.band.guide());
    if f.blend.iter().any(|g| g.dissolves_um_per_s.is_some()) {
        words.push_str(&format!(
            "; {} over the time of rubbing, {} without the grains that dissolve",
            one(f.grit.in_use),
            one(f.insoluble_index)
        ));
    }
    wrap(out, "  ", &words);
    wrap(
        out,
        "  ",
        &format!(
            "{} to {} over {DRAWS} fixed draws of the model's constants; one draw in twenty lies \
             below, one above",
            one(s.low),
            one(s.high)
        ),
    );
    let density = format_f64(f.product_density, 2, STYLE);
    let taken = if f.density_assumed { "taken as" } else { "worked out as" };
    wrap(out, "  ", &format!("Density of the product {taken} {density} g/mL"));
    out.push_str("\nWhat drives it, most first\n");
    let mut table = Table::new([
        ("one constant, the others as built in", Set::Left),
        ("drawn from", Set::Right),
        ("to", Set::Right),
        ("", Set::Left),
        ("index from", Set::Decimal),
        ("to", Set::Decimal),
    ]);
    let mut order: Vec<_> = CONSTANTS.iter().zip(s.by_constant).collect();
    order.sort_by(|(_, a), (_, b)| (b.1 - b.0).total_cmp(&(a.1 - a.0)));
    for (constant, (low, high)) in order {
        let places = u32::from(constant.high < 1.0) * 2;
        table.row([
            constant.name.to_owned(),
            format_f64(constant.low, places, STYLE),
            format_f64(constant.high, places, STYLE),
            constant.unit.to_owned(),
            one(low),
            one(high),
        ]);
    }
    table.render(out);
}

/// Titles of the size classes, such as "150–300".
fn class_titles() -> Vec<String> {
    let [first, .., last] = CLASS_EDGES_UM;
    let mut titles = vec![format!("to {}", whole(first))];
    for pair in CLASS_EDGES_UM.windows(2) {
        if let [a, b] = pair {
            titles.push(format!("{}–{}", whole(*a), whole(*b)));
        }
    }
    titles.push(format!("above {}", whole(last)));
    titles
}

fn by_size(out: &mut String, f: &GrainFigures) {
    let titles = class_titles();
    let mut columns = vec![("", Set::Left)];
    columns.extend(titles.iter().map(|t| (t.as_str(), Set::Decimal)));
    columns.push(("all", Set::Decimal));
    let mut table = Table::new(columns);
    let one = |x: &f64| format_f64(*x, 1, STYLE);
    let mut row = |name: &str, cells: &[f64], all: f64| {
        let cells = cells.iter().map(one);
        table.row(std::iter::once(name.to_owned()).chain(cells).chain([one(&all)]));
    };
    for ((part, cells), all) in f.parts.iter().zip(&f.by_class).zip(&f.grit.contributions) {
        row(&part.name, cells, *all);
    }
    if f.parts.len() > 1 {
        row("All", &f.class_totals(), f.grit.index);
    }
    table.render(out);
}

fn guidance(out: &mut String, blend: &Blend<'_>) {
    for guide in &blend.guides {
        let own = if guide.place == blend.formula.product.place { " (this product)" } else { "" };
        let first = format!("  {}{own}: ", capital(guide.place.name()));
        wrap(out, &first, &guide.verdict);
        for reason in &guide.reasons {
            let mark = match (reason.within, reason.hard) {
                (true, _) => "    - ",
                (false, false) => "    beyond: ",
                (false, true) => "    beyond, whatever the index: ",
            };
            wrap(out, mark, &reason.text);
        }
    }
}

fn capital(word: &str) -> String {
    let mut chars = word.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

fn own_scale(out: &mut String, blend: &Blend<'_>, source: &Source, scale: &OwnScale) {
    out.push_str("\nYour own scale of 1 to 10\n");
    let fit = match &scale.fit {
        Ok(fit) => fit,
        Err(none) => {
            wrap(out, "  ", &format!("None: {none}"));
            return;
        }
    };
    let one = |x: f64| format_f64(x, 1, STYLE);
    let index = blend.figures.grit.index;
    if fit.contradicts() {
        let words = "Rougher bars were scored lower, so the index does not describe your bars";
        wrap(out, "  ", words);
    } else {
        let mut words = one(fit.score(index));
        if let Some(error) = fit.error {
            words.push_str(&format!(" ± {}", one(error)));
        }
        if fit.is_extended(index) {
            let (low, high) = fit.range;
            words.push_str(&format!(
                "; the scale is only extended here: scored were {} to {}",
                one(low),
                one(high)
            ));
        }
        wrap(out, "  ", &words);
    }
    let mut table = Table::new([
        ("scored", Set::Left),
        ("index then", Set::Decimal),
        ("score", Set::Decimal),
        ("off the scale by", Set::Decimal),
    ]);
    for (score, off) in source.project.grit.scores.iter().zip(&fit.residuals) {
        table.row([
            score.name.clone(),
            one(score.index),
            format_plain(score.score, STYLE),
            one(*off),
        ]);
    }
    table.render(out);
}
