//! The comparison sheet of one to four blends.

use std::path::Path;

use quern_calc::evaluate::BlendSide;
use quern_calc::formula::Formula;
use quern_calc::grit::spread::spread;
use quern_calc::number::NumberStyle;
use quern_sheet::{BlendSheet, Format, Paper, blend_html, blend_pdf};

use super::super::args::Grit;
use super::super::input::{Source, same_file};
use super::super::text::quoted;
use super::super::{Bad, Bench, Done};
use super::report::Looked;
use super::{OwnScale, options, rows};

/// Where the cut stands when none is given, um; the window starts there, too.
const CUT_UM: f64 = 300.0;

pub(super) fn run(
    args: &Grit,
    out: &Path,
    source: &Source,
    formula: &Formula,
    bench: &mut Bench<'_>,
) -> Done {
    let format = format_of(out)?;
    if same_file(&args.file, out) {
        return Err(Bad::new(format!(
            "--out {} is the project itself; choose another name",
            quoted(&out.to_string_lossy())
        )));
    }
    let cut = options::cut_um(args)?.unwrap_or(CUT_UM);
    let mut looked = vec![Looked::at(args, source, formula, bench)?];
    for name in &args.beside {
        looked.push(Looked::at(args, source, source.formula(name)?, bench)?);
    }
    let sides: Vec<BlendSide<'_>> = looked.iter().map(Looked::side).collect();
    let spreads: Vec<_> = looked
        .iter()
        .map(|l| l.evaluation.grains.as_ref().ok().map(|g| spread(&g.blend, g.product_density)))
        .collect();
    let rows = rows(&sides, Some(cut), &OwnScale::of(source));
    let about = crate::app::about(&source.project, bench.today, NumberStyle::default(), Paper::A4);
    let rules = quern_project::rules::in_use();
    let sheet = BlendSheet::new(&sides, &rows, &spreads, cut, rules, &about);
    let bytes = if format == Format::Pdf {
        blend_pdf(&sheet).map_err(|e| Bad::new(e.to_string()))?
    } else {
        blend_html(&sheet).into_bytes()
    };
    quern_project::write_file(out, &bytes).map_err(|e| Bad::new(e.to_string()))?;
    bench.put_text(&format!("Written: {}\n", out.display()))?;
    Ok(0)
}

fn format_of(out: &Path) -> Result<Format, Bad> {
    let ending = out.extension().map(|e| e.to_string_lossy().into_owned());
    match ending.as_deref().and_then(Format::from_extension) {
        Some(format @ (Format::Pdf | Format::Html)) => Ok(format),
        _ => Err(Bad::new(format!(
            "--out {} is neither PDF nor HTML; end it in .pdf or .html",
            quoted(&out.to_string_lossy())
        ))),
    }
}
