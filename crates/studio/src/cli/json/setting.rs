//! `setting --json`, as `docs/setting.schema.json` describes it.

use std::collections::BTreeMap;

use quern_calc::evaluate::{
    Check, FatUse, Mover, Readout, Remark, SPAN_C, SettingFigures, SlabFigures, SolidPart, ToClass,
    UpperLimit, WhyNot, asides, honest, mover_words,
};
use quern_calc::number::NumberStyle;
use quern_calc::setting::calibrate::Reading;
use quern_calc::setting::melt::Stack;
use quern_calc::setting::mould::Mould;
use quern_calc::setting::pour::PourClass;
use serde::Serialize;

use super::super::setting::Looked;
use super::{Cell, Head, Subject, cell};

/// The document.
#[derive(Debug, Serialize)]
pub(in super::super) struct Document {
    #[serde(flatten)]
    head: Head,
    /// How the figures err.
    note: Vec<String>,
    formulas: Vec<One>,
}

/// One formula.
#[derive(Debug, Serialize)]
struct One {
    formula: Subject,
    pour_c: f64,
    mould: Option<MouldOf>,
    stand: &'static str,
    readouts: BTreeMap<&'static str, Row>,
    remarks: Vec<Said>,
    asides: BTreeMap<&'static str, Vec<String>>,
    pour: Option<Pour>,
    window: Option<Window>,
    components: Vec<Component>,
    curve: Option<Curve>,
    cooling: Option<Cooling>,
    oxidation: Option<Oxidation>,
    correction: Correction,
    checks: Vec<Measured>,
    left_out: LeftOut,
    missing: Vec<super::Missing>,
}

#[derive(Debug, Serialize)]
struct MouldOf {
    name: String,
    shape: &'static str,
    sizes_mm: Vec<f64>,
    wall: &'static str,
    volume_ml: f64,
    measured: bool,
}

/// A figure with its band, or why there is none.
#[derive(Debug, Serialize)]
struct Row {
    part: &'static str,
    name: &'static str,
    unit: &'static str,
    value: Option<Cell>,
    low: Option<f64>,
    high: Option<f64>,
    estimate: bool,
    absent: Option<String>,
}

#[derive(Debug, Serialize)]
struct Said {
    tone: &'static str,
    about: &'static str,
    text: String,
    choices: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Pour {
    class_from: &'static str,
    class_to: &'static str,
    solids: Vec<Solid>,
    easier: Option<Way>,
    stiffer: Option<Way>,
    assumed_sizes: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Solid {
    line: Option<u32>,
    name: String,
    volume_percent: f64,
}

/// The way to another class.
#[derive(Debug, Serialize)]
struct Way {
    class: &'static str,
    by: Vec<Change>,
}

#[derive(Debug, Serialize)]
struct Change {
    line: Option<u32>,
    percent: Option<f64>,
    pour_c: Option<f64>,
    words: String,
}

#[derive(Debug, Serialize)]
struct Window {
    pours_from_c: Option<f64>,
    empty: bool,
    limits: Vec<Limit>,
    strip: Vec<Strip>,
}

#[derive(Debug, Serialize)]
struct Limit {
    name: String,
    c: f64,
}

#[derive(Debug, Serialize)]
struct Strip {
    c: f64,
    class: &'static str,
}

#[derive(Debug, Serialize)]
struct Component {
    name: String,
    family: String,
    percent: f64,
    molar_mass_g_mol: f64,
    melts_c: Option<f64>,
    melting_kj_mol: Option<f64>,
    latent_j_g: f64,
}

/// Solid fat in % of the fat at each of the temperatures.
#[derive(Debug, Serialize)]
struct Curve {
    from_c: f64,
    to_c: f64,
    c: Vec<f64>,
    estimate_percent: Vec<f64>,
    pure_percent: Vec<f64>,
    all_mixed_percent: Vec<f64>,
    by_component_percent: Vec<Vec<f64>>,
}

#[derive(Debug, Serialize)]
struct Cooling {
    biot: f64,
    mean: Vec<(f64, f64)>,
    slab: Option<Slab>,
}

#[derive(Debug, Serialize)]
struct Slab {
    middle_unmould_h: f64,
    face_at_unmould_c: f64,
    curve: Vec<(f64, f64, f64)>,
}

#[derive(Debug, Serialize)]
struct Oxidation {
    from: Vec<Share>,
    without: Vec<String>,
    antioxidants: Vec<String>,
    chelators: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Share {
    name: String,
    percent: f64,
}

#[derive(Debug, Serialize)]
struct Correction {
    pure_up_c: f64,
    estimate_up_c: f64,
    all_mixed_up_c: f64,
    packing_factor: f64,
    fill_factor: f64,
    firmness_factor: f64,
}

/// A measurement with what the model said before and says after.
#[derive(Debug, Serialize)]
#[serde(tag = "kind")]
enum Measured {
    #[serde(rename = "sets at")]
    SetsAt { c: f64, before_c: Option<f64>, after_c: Option<f64> },
    #[serde(rename = "flow")]
    Flow {
        at_c: f64,
        class: &'static str,
        before: Option<&'static str>,
        after: Option<&'static str>,
        before_percent: Option<f64>,
        after_percent: Option<f64>,
    },
    #[serde(rename = "poured weight")]
    Poured { at_c: f64, ml: f64, g: f64, before_g: Option<f64>, after_g: Option<f64> },
    #[serde(rename = "needle depth")]
    Needle { at_c: f64, mm: f64 },
}

#[derive(Debug, Serialize)]
struct LeftOut {
    melt: Vec<String>,
    melt_percent: f64,
    pour: Vec<String>,
}

/// The document of one formula or two.
pub(in super::super) fn document(head: Head, looked: &[Looked<'_>]) -> Document {
    Document { head, note: honest(), formulas: looked.iter().map(one).collect() }
}

const STYLE: NumberStyle = NumberStyle::with_sign(quern_calc::number::DecimalSign::Point);

/// The value, or null with its reason among those missing.
fn told<T>(missing: &mut Vec<super::Missing>, figure: &str, value: Result<T, WhyNot>) -> Option<T> {
    value.map_err(|why| missing.push(super::Missing::new(figure, why.words()))).ok()
}

fn one(side: &Looked<'_>) -> One {
    let (e, f) = (&side.evaluation, &side.figures);
    let mut missing = Vec::new();
    let no_melt = || e.melt.as_ref().err().cloned().unwrap_or(WhyNot::Nothing("melt curve"));
    let fat = e.melt.as_ref().ok().map(|m| &m.fat);
    One {
        formula: Subject::new(side.formula),
        pour_c: f.pour_c,
        mould: told(
            &mut missing,
            "mould",
            f.mould.as_ref().map(mould).ok_or(WhyNot::Nothing("mould")),
        ),
        stand: f.stand.name(),
        readouts: side.rows.iter().chain(&side.slab_rows).map(|r| (r.key, row(r))).collect(),
        remarks: side.remarks.iter().map(said).collect(),
        asides: quern_calc::evaluate::Part::ALL
            .into_iter()
            .map(|part| (part.key(), asides(part, e, f, STYLE)))
            .collect(),
        pour: told(&mut missing, "pour", pour(f)),
        window: told(&mut missing, "window", window(f)),
        components: fat.map(|f| f.components.iter().map(component).collect()).unwrap_or_default(),
        curve: told(&mut missing, "curve", f.stacks.as_ref().map(curve).ok_or_else(no_melt)),
        cooling: told(&mut missing, "cooling", cooling(f, side.slab.as_ref())),
        oxidation: told(&mut missing, "oxidation", oxidation(f)),
        correction: correction(f),
        checks: f.checks.iter().map(measured).collect(),
        left_out: LeftOut {
            melt: fat.map(|f| f.left_out.clone()).unwrap_or_default(),
            melt_percent: fat.map_or(0.0, |f| 100.0 * f.left_out_share),
            pour: f.pour.as_ref().map(|p| p.left_out.clone()).unwrap_or_default(),
        },
        missing,
    }
}

fn mould(m: &Mould) -> MouldOf {
    MouldOf {
        name: m.name.clone(),
        shape: m.shape.name(),
        sizes_mm: m.shape.sizes_mm(),
        wall: m.wall.name(),
        volume_ml: m.volume_ml(),
        measured: m.measured_ml.is_some(),
    }
}

fn row(r: &Readout) -> Row {
    let (value, absent) = match cell(&r.value) {
        Ok(value) => (Some(value), None),
        Err(why) => (None, Some(why)),
    };
    Row {
        part: r.part.key(),
        name: r.name,
        unit: r.unit,
        value,
        low: r.band.map(|b| b.0),
        high: r.band.map(|b| b.1),
        estimate: r.estimate,
        absent,
    }
}

fn said(r: &Remark) -> Said {
    Said { tone: r.tone.name(), about: r.about, text: r.text.clone(), choices: r.choices.clone() }
}

fn pour(f: &SettingFigures) -> Result<Pour, WhyNot> {
    let p = f.pour.as_ref().map_err(Clone::clone)?;
    let (from, to) = p.class_band;
    let solid = |s: &SolidPart| Solid {
        line: s.line.map(|l| l.0),
        name: s.name.clone(),
        volume_percent: 100.0 * s.volume,
    };
    Ok(Pour {
        class_from: from.name(),
        class_to: to.name(),
        solids: p.parts.iter().map(solid).collect(),
        easier: f.easier.as_ref().map(way),
        stiffer: f.stiffer.as_ref().map(way),
        assumed_sizes: p.assumed.clone(),
    })
}

fn way(to: &ToClass) -> Way {
    let change = |m: &Mover| {
        let words = mover_words(m, STYLE);
        match m {
            Mover::Line { line, percent, .. } => {
                Change { line: Some(line.0), percent: Some(*percent), pour_c: None, words }
            }
            Mover::Temperature(c) => Change { line: None, percent: None, pour_c: Some(*c), words },
        }
    };
    Way { class: to.class.name(), by: to.movers.iter().map(change).collect() }
}

fn window(f: &SettingFigures) -> Result<Window, WhyNot> {
    let w = f.window.as_ref().map_err(Clone::clone)?;
    let limit = |l: &UpperLimit| Limit { name: l.name.clone(), c: l.c };
    Ok(Window {
        pours_from_c: w.pours_from_c,
        empty: w.is_empty(),
        limits: w.limits.iter().map(limit).collect(),
        strip: w.strip.iter().map(|(c, class)| Strip { c: *c, class: class.name() }).collect(),
    })
}

fn component(c: &FatUse) -> Component {
    Component {
        name: c.name.clone(),
        family: c.family.clone(),
        percent: c.percent,
        molar_mass_g_mol: c.molar_mass,
        melts_c: c.crystal.map(|x| x.0),
        melting_kj_mol: c.crystal.map(|x| x.1),
        latent_j_g: c.latent_j_g(),
    }
}

fn curve([pure, usual, all]: &[Stack; 3]) -> Curve {
    let (from_c, to_c) = SPAN_C;
    let percent = |s: &Stack| s.points.iter().map(|p| 100.0 * p.1).collect();
    Curve {
        from_c,
        to_c,
        c: usual.points.iter().map(|p| p.0).collect(),
        estimate_percent: percent(usual),
        pure_percent: percent(pure),
        all_mixed_percent: percent(all),
        by_component_percent: usual
            .layers
            .iter()
            .map(|layer| layer.iter().map(|x| 100.0 * x).collect())
            .collect(),
    }
}

fn cooling(f: &SettingFigures, slab: Option<&SlabFigures>) -> Result<Cooling, WhyNot> {
    let c = f.cool.as_ref().map_err(Clone::clone)?;
    Ok(Cooling {
        biot: c.biot,
        mean: c.hours().collect(),
        slab: slab.map(|s| Slab {
            middle_unmould_h: s.unmould_h(),
            face_at_unmould_c: s.face_c,
            curve: s.hours().collect(),
        }),
    })
}

fn oxidation(f: &SettingFigures) -> Result<Oxidation, WhyNot> {
    let o = f.oxidation.as_ref().map_err(Clone::clone)?;
    Ok(Oxidation {
        from: o
            .from
            .iter()
            .map(|(name, share)| Share { name: name.clone(), percent: 100.0 * share })
            .collect(),
        without: o.without.clone(),
        antioxidants: o.antioxidants.clone(),
        chelators: o.chelators.clone(),
    })
}

fn correction(f: &SettingFigures) -> Correction {
    let c = f.correction;
    let [pure_up_c, estimate_up_c, all_mixed_up_c] = c.shift_c;
    Correction {
        pure_up_c,
        estimate_up_c,
        all_mixed_up_c,
        packing_factor: c.packing,
        fill_factor: c.fill,
        firmness_factor: c.firmness,
    }
}

fn measured(check: &Check) -> Measured {
    let (before, after) = (check.before, check.after);
    let class = |x: Option<f64>| x.map(|x| PourClass::of(x).name());
    let percent = |x: Option<f64>| x.map(|x| 100.0 * x);
    match check.reading {
        Reading::SetsAt { c } => Measured::SetsAt { c, before_c: before, after_c: after },
        Reading::Flow { at_c, class: seen } => Measured::Flow {
            at_c,
            class: seen.name(),
            before: class(before),
            after: class(after),
            before_percent: percent(before),
            after_percent: percent(after),
        },
        Reading::Poured { at_c, grams, ml } => {
            Measured::Poured { at_c, ml, g: grams, before_g: before, after_g: after }
        }
        Reading::Needle { at_c, mm } => Measured::Needle { at_c, mm },
    }
}
