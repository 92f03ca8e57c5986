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
use quern_sheet::{Format, Paper, SettingSheet, SettingSide, setting_html, setting_pdf};

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
    let wants = wants(args)?;
    let as_json = wants == Wants::Json;
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
    let text = match wants {
        Wants::Json => {
            let head = json::Head::new("setting", &source.project, bench.today);
            json::text(&json::setting::document(head, &looked))?.into_bytes()
        }
        Wants::Text => text::text(&looked, args.curve, style).into_bytes(),
        Wants::Page(format) => page(&source, &looked, format, style, bench)?,
    };
    match args.out.as_deref().filter(|out| *out != Path::new("-")) {
        None => bench.put_text(&String::from_utf8_lossy(&text))?,
        Some(out) if same_file(&args.file, out) => {
            return Err(Bad::new(format!(
                "--out {} is the project itself; choose another name",
                quoted(&out.to_string_lossy())
            )));
        }
        Some(out) => {
            quern_project::write_file(out, &text).map_err(|e| Bad::new(e.to_string()))?;
            bench.put_text(&format!("Written: {}\n", out.display()))?;
        }
    }
    Ok(0)
}

/// What is to be written.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Wants {
    Text,
    Json,
    Page(Format),
}

/// The setting sheet as bytes.
fn page(
    source: &Source,
    looked: &[Looked<'_>],
    format: Format,
    style: NumberStyle,
    bench: &Bench<'_>,
) -> Result<Vec<u8>, Bad> {
    let sides: Vec<SettingSide<'_>> = looked
        .iter()
        .map(|l| SettingSide {
            formula: l.formula,
            evaluation: &l.evaluation,
            figures: &l.figures,
            slab: l.slab.as_ref(),
            remarks: &l.remarks,
        })
        .collect();
    let about = crate::app::about(&source.project, bench.today, style, Paper::A4);
    let sheet = SettingSheet::new(&sides, &source.project.setting, &about);
    if format == Format::Pdf {
        setting_pdf(&sheet, Paper::A4).map_err(|e| Bad::new(e.to_string()))
    } else {
        Ok(setting_html(&sheet).into_bytes())
    }
}

/// What is wanted, by `--json` or the file's name.
fn wants(args: &Setting) -> Result<Wants, Bad> {
    let Some(out) = args.out.as_deref().filter(|out| *out != Path::new("-")) else {
        return Ok(if args.json { Wants::Json } else { Wants::Text });
    };
    let shown = quoted(&out.to_string_lossy());
    let ending = out.extension().map(|e| e.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("json") => Ok(Wants::Json),
        Some("txt" | "pdf" | "html" | "htm") if args.json => Err(Bad::new(format!(
            "--json writes JSON and --out {shown} does not end in .json; make them agree"
        ))),
        Some("txt") => Ok(Wants::Text),
        Some("pdf") => Ok(Wants::Page(Format::Pdf)),
        Some("html" | "htm") => Ok(Wants::Page(Format::Html)),
        _ => Err(Bad::new(format!(
            "--out {shown} does not tell the format; end it in .pdf, .html, .txt or .json"
        ))),
    }
}
