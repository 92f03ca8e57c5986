//! The bench sheet of a batch, as a file.

use std::path::Path;

use quern_calc::batch::{BatchPlan, BatchSize};
use quern_calc::number::DecimalSign;
use quern_sheet::{BenchSheet, Format};

use super::args::Sheet;
use super::input::{Source, same_file};
use super::text::quoted;
use super::{Bad, Bench, Done, numbers};
use crate::app::about;

pub(super) fn run(args: &Sheet, bench: &mut Bench<'_>) -> Done {
    let style = args.decimal.style();
    let format = format_of(args.format.as_deref(), &args.out)?;
    let source = Source::open(&args.file, bench.input)?;
    if same_file(&args.file, &args.out) {
        return Err(Bad::new(format!(
            "--out {} is the project itself; choose another name for the sheet",
            quoted(&args.out.to_string_lossy())
        )));
    }
    let formula = source.formula(&args.formula)?;
    let plan = plan(args, source.project.plan(&formula.id), style.sign)?;
    let evaluation = source.evaluate_for(formula, &plan, bench.today);
    let about = about(&source.project, bench.today, style, args.paper.paper());
    let sheet = BenchSheet::new(formula, &evaluation, &source.library, &plan, &about);
    let bytes = quern_sheet::export(&sheet, format).map_err(|e| Bad::new(e.to_string()))?;
    if args.out == Path::new("-") {
        bench.put(&bytes)?;
        return Ok(0);
    }
    quern_project::write_file(&args.out, &bytes).map_err(|e| Bad::new(e.to_string()))?;
    let banner = if sheet.has_stop() { " (it says “Do not make”: a Stop stands)" } else { "" };
    bench.put_text(&format!("Written: {}{banner}\n", args.out.display()))?;
    Ok(0)
}

/// The plan of the project with what the arguments say in its place.
fn plan(args: &Sheet, stored: BatchPlan, sign: DecimalSign) -> Result<BatchPlan, Bad> {
    let mut plan = stored;
    if let Some(batch) = &args.batch {
        plan.size = BatchSize::Gross(numbers::mass("batch", batch, sign)?);
    }
    if let (Some(count), Some(each)) = (&args.pieces, &args.piece) {
        let count = numbers::pieces(count, sign)?;
        let each = numbers::mass("piece", each, sign)?;
        plan.size = BatchSize::Pieces { count, each };
        plan.piece = Some(each);
    }
    if let Some(loss) = &args.loss {
        plan.loss = numbers::loss(loss, sign)?;
    }
    if !args.scales.is_empty() {
        plan.scales =
            args.scales.iter().map(|s| numbers::scale(s, sign)).collect::<Result<_, _>>()?;
    }
    // A plan that was stored as it is gets its banner; one that was asked for is refused.
    let asked = args.batch.is_some() || args.pieces.is_some() || args.loss.is_some();
    if asked && plan.figures().is_ok_and(|b| b.gross.0 > numbers::MOST_G) {
        return Err(Bad::new(
            "the batch comes to more than 10 000 kg gross, which no bench makes; check size, \
             pieces and loss",
        ));
    }
    Ok(plan)
}

const ENDINGS: &str = ".pdf, .html, .csv or .md";

fn format_of(named: Option<&str>, out: &Path) -> Result<Format, Bad> {
    let named = match named {
        None => None,
        Some(text) => Some(Format::from_extension(text).ok_or_else(|| {
            Bad::new(format!("--format {} is not known; use pdf, html, csv or md", quoted(text)))
        })?),
    };
    let shown = || quoted(&out.to_string_lossy());
    if out == Path::new("-") {
        return named.ok_or_else(|| {
            Bad::new("--out - needs a format; add --format with pdf, html, csv or md")
        });
    }
    let ending = out.extension().map(|e| e.to_string_lossy().into_owned());
    let ended = ending.as_deref().and_then(Format::from_extension);
    match (named, ended) {
        (Some(named), Some(ended)) if named != ended => Err(Bad::new(format!(
            "--out {} ends as {} and --format asks for {}; make them agree",
            shown(),
            ended.name(),
            named.name()
        ))),
        (Some(format), _) | (None, Some(format)) => Ok(format),
        (None, None) => Err(Bad::new(format!(
            "--out {} does not tell the kind of sheet; end it in {ENDINGS}, or add --format",
            shown()
        ))),
    }
}
