//! The label of a formula in a market, as text, JSON or a sheet.

mod text;

use std::path::Path;

use quern_calc::evaluate::{Evaluation, Opened, SideLabel, side_label};
use quern_calc::formula::Formula;
use quern_calc::number::NumberStyle;
use quern_calc::safety::market::Market;
use quern_sheet::{Format, LabelSheet, label_html, label_pdf};

use super::args::Label;
use super::input::{Source, same_file};
use super::text::quoted;
use super::{Bad, Bench, Done, STOP_STANDS, json};

/// A label with what it rests on.
pub(super) struct Made<'a> {
    pub formula: &'a Formula,
    pub evaluation: Evaluation,
    pub side: SideLabel,
    pub style: NumberStyle,
}

impl Made<'_> {
    /// What was checked for the label's own market, a line each.
    fn against(&self) -> Vec<String> {
        self.evaluation.safety.checked_in(&self.side.label.market)
    }
}

pub(super) fn run(args: &Label, bench: &mut Bench<'_>) -> Done {
    let wants = wants(args)?;
    let source = Source::open(&args.file, bench.input)?;
    let formula = source.formula(&args.formula)?;
    let market = market(args.market.as_deref(), formula)?;
    let (_, evaluation) = source.evaluate(formula, bench.today);
    let opened = Opened::new(formula, &source.library);
    let context = source.context(bench.today);
    let style = match wants {
        Wants::Json => NumberStyle::default(),
        _ => args.decimal.style(),
    };
    let side = side_label(formula, &opened, &evaluation, market, &context, style);
    let made = Made { formula, evaluation, side, style };
    let bytes = match wants {
        Wants::List => format!("{}\n", made.side.label.list.text()).into_bytes(),
        Wants::Text => text::text(&made).into_bytes(),
        Wants::Json => {
            let head = json::Head::new("label", &source.project, bench.today);
            json::text(&json::label::document(head, &made))?.into_bytes()
        }
        Wants::Page(format) => page(&source, &made, format, args, bench)?,
    };
    match args.out.as_deref().filter(|out| *out != Path::new("-")) {
        None => bench.put_text(&String::from_utf8_lossy(&bytes))?,
        Some(out) if same_file(&args.file, out) => {
            return Err(Bad::new(format!(
                "--out {} is the project itself; choose another name",
                quoted(&out.to_string_lossy())
            )));
        }
        Some(out) => {
            quern_project::write_file(out, &bytes).map_err(|e| Bad::new(e.to_string()))?;
            bench.put_text(&format!("Written: {}\n", out.display()))?;
        }
    }
    Ok(if made.evaluation.has_stop() { STOP_STANDS } else { 0 })
}

/// The market asked for, or the first that the formula is meant for.
fn market<'a>(code: Option<&str>, formula: &'a Formula) -> Result<&'a Market, Bad> {
    let rules = quern_project::rules::in_use();
    let known = || rules.markets.iter().map(|m| m.code.as_str()).collect::<Vec<_>>().join(", ");
    let Some(code) = code else {
        return rules.markets_of(formula).next().map(|m| &**m).ok_or_else(|| {
            Bad::new(format!("no rules for the markets of this formula; there are: {}", known()))
        });
    };
    let market = rules.market(&code.to_lowercase()).ok_or_else(|| {
        Bad::new(format!("--market {} is not known; there are: {}", quoted(code), known()))
    })?;
    let meant = rules.markets_of(formula).any(|m| m.code == market.code);
    if !meant {
        return Err(Bad::new(format!(
            "{} is not meant for {}: its limits were not checked; add the market to the formula",
            quoted(&formula.name),
            market.name
        )));
    }
    Ok(market)
}

/// What is to be written.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Wants {
    List,
    Text,
    Json,
    Page(Format),
}

fn wants(args: &Label) -> Result<Wants, Bad> {
    let Some(out) = args.out.as_deref().filter(|out| *out != Path::new("-")) else {
        return Ok(match (args.json, args.list) {
            (true, _) => Wants::Json,
            (_, true) => Wants::List,
            _ => Wants::Text,
        });
    };
    let shown = quoted(&out.to_string_lossy());
    let ending = out.extension().map(|e| e.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("json") if args.list => Err(Bad::new(format!(
            "--list writes text and --out {shown} ends in .json; make them agree"
        ))),
        Some("json") => Ok(Wants::Json),
        Some("txt" | "pdf" | "html" | "htm") if args.json => Err(Bad::new(format!(
            "--json writes JSON and --out {shown} does not end in .json; make them agree"
        ))),
        Some("txt") => Ok(if args.list { Wants::List } else { Wants::Text }),
        Some("pdf" | "html" | "htm") if args.list => Err(Bad::new(format!(
            "--list writes text and --out {shown} asks for a sheet; make them agree"
        ))),
        Some("pdf") => Ok(Wants::Page(Format::Pdf)),
        Some("html" | "htm") => Ok(Wants::Page(Format::Html)),
        _ => Err(Bad::new(format!(
            "--out {shown} does not tell the format; end it in .pdf, .html, .txt or .json"
        ))),
    }
}

/// The label sheet as bytes.
fn page(
    source: &Source,
    made: &Made<'_>,
    format: Format,
    args: &Label,
    bench: &Bench<'_>,
) -> Result<Vec<u8>, Bad> {
    let paper = args.paper.paper();
    let about = crate::app::about(&source.project, bench.today, made.style, paper);
    let e = &made.evaluation;
    let sheet = LabelSheet::new(
        made.formula,
        &made.side.label,
        &e.findings,
        &made.against(),
        made.side.content_mm,
        &about,
    );
    if format == Format::Pdf {
        label_pdf(&sheet, paper).map_err(|e| Bad::new(e.to_string()))
    } else {
        Ok(label_html(&sheet).into_bytes())
    }
}
