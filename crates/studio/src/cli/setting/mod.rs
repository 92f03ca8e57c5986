//! Melting, pouring, cooling and keeping without a window: one formula, or two side by side.

mod options;
mod text;

use std::path::Path;

use quern_calc::evaluate::{
    Evaluation, Readout, Remark, SettingAsk, SettingFigures, SlabFigures, readouts, remarks,
    setting_figures, slab_readouts, stand_more,
};
use quern_calc::formula::{Formula, Function};
use quern_calc::number::NumberStyle;

use super::args::Setting;
use super::input::{Source, same_file};
use super::text::quoted;
use super::{Bad, Bench, Done, json};

/// Everything that is told of one formula.
pub(super) struct Looked<'a> {
    pub formula: &'a Formula,
    pub evaluation: Evaluation,
    pub figures: SettingFigures,
    pub slab: Option<SlabFigures>,
    pub rows: Vec<Readout>,
    pub slab_rows: Vec<Readout>,
    pub remarks: Vec<Remark>,
}

impl<'a> Looked<'a> {
    fn at(
        source: &Source,
        formula: &'a Formula,
        ask: &SettingAsk,
        style: NumberStyle,
        bench: &Bench<'_>,
    ) -> Self {
        let (_, evaluation) = source.evaluate(formula, bench.today);
        let context = source.context(bench.today);
        let figures = setting_figures(formula, &source.library, &context, &evaluation, ask);
        let slab = figures.cool.as_ref().ok().and_then(|c| c.slab.run());
        Self {
            formula,
            rows: readouts(&evaluation, &figures),
            slab_rows: slab_readouts(&figures, slab.as_ref()),
            remarks: remarks(&evaluation, &figures, &others, style),
            evaluation,
            figures,
            slab,
        }
    }
}

/// Built-in materials of a function that stand so much heat.
fn others(function: Function, at_least_c: f64) -> Vec<String> {
    let materials = quern_project::library::builtin().materials.values().map(AsRef::as_ref);
    let more = stand_more(materials, function, at_least_c);
    more.into_iter().map(|(m, _)| m.display_name().to_owned()).collect()
}

pub(super) fn run(args: &Setting, bench: &mut Bench<'_>) -> Done {
    let as_json = writes_json(args)?;
    let source = Source::open(&args.file, bench.input)?;
    let formula = source.formula(&args.formula)?;
    let beside = args.beside.as_deref().map(|name| source.formula(name)).transpose()?;
    let ask = options::ask(args, &source.project.setting)?;
    // Scripts get the same words whatever the sign of the numbers given.
    let style = if as_json { NumberStyle::default() } else { args.decimal.style() };
    let looked: Vec<Looked<'_>> = std::iter::once(formula)
        .chain(beside)
        .map(|f| Looked::at(&source, f, &ask, style, bench))
        .collect();
    let text = if as_json {
        let head = json::Head::new("setting", &source.project, bench.today);
        json::text(&json::setting::document(head, &looked))?
    } else {
        text::text(&looked, args.curve, style)
    };
    match args.out.as_deref().filter(|out| *out != Path::new("-")) {
        None => bench.put_text(&text)?,
        Some(out) if same_file(&args.file, out) => {
            return Err(Bad::new(format!(
                "--out {} is the project itself; choose another name",
                quoted(&out.to_string_lossy())
            )));
        }
        Some(out) => {
            quern_project::write_file(out, text.as_bytes()).map_err(|e| Bad::new(e.to_string()))?;
            bench.put_text(&format!("Written: {}\n", out.display()))?;
        }
    }
    Ok(0)
}

/// Whether JSON is wanted, by `--json` or the file's name.
fn writes_json(args: &Setting) -> Result<bool, Bad> {
    let Some(out) = args.out.as_deref().filter(|out| *out != Path::new("-")) else {
        return Ok(args.json);
    };
    let shown = quoted(&out.to_string_lossy());
    let ending = out.extension().map(|e| e.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("json") => Ok(true),
        Some("txt") if args.json => Err(Bad::new(format!(
            "--json writes JSON and --out {shown} does not end in .json; make them agree"
        ))),
        Some("txt") => Ok(false),
        _ => Err(Bad::new(format!(
            "--out {shown} does not tell the format; end it in .txt or .json"
        ))),
    }
}
