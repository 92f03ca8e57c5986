//! Grains by size: curves, marks and labels with their places, for every way of drawing them.

use quern_calc::evaluate::{BlendSide, GrainFigures, density_curves};
use quern_calc::grit::blend::{density_curve, fraction_above};
use quern_calc::grit::sieves::ASTM_E11;
use quern_calc::number::{NumberStyle, format_f64};

use crate::text::clean;

/// Ends of the axis, µm.
const ENDS_UM: (f64, f64) = (20.0, 2500.0);

/// Points of a curve.
const POINTS: usize = 241;

/// Blends up to which each exfoliant is drawn too.
const WITH_EXFOLIANTS: usize = 2;

/// Sieves that are marked, by mesh number.
const SIEVES: [&str; 8] = ["325", "200", "100", "60", "35", "20", "14", "10"];

/// Share of the height that the tallest curve leaves free.
const HEADROOM: f64 = 0.06;

/// Share of a blend's mass beyond the axis that is worth a word, %.
const BEYOND_LEAST: f64 = 0.5;

/// Letters of a name beside its curve; the heading and the table hold all of it.
const NAME_MOST: usize = 16;

/// A chart in shares of its width and height: (0, 0) is the lower left corner.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Chart {
    /// Exfoliants first, blends on top.
    pub curves: Vec<Curve>,
    pub sieves: Vec<SieveMark>,
    pub cut: Option<Cut>,
    /// Heights with their share of mass per decade.
    pub levels: Vec<(f64, String)>,
    /// D10, D50 and D90 of each blend, on its curve.
    pub marks: Vec<Mark>,
    /// Numbers of the exfoliants, at the top of their curves.
    pub numbers: Vec<(usize, f64, f64, String)>,
    /// What the lines, marks and numbers are.
    pub key: String,
    /// What the axis does not show.
    pub beyond: Vec<String>,
    /// The chart in sentences, for those who do not see it.
    pub words: String,
    names: Vec<String>,
    parts: bool,
}

/// One line.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Curve {
    /// The blend it belongs to.
    pub side: usize,
    /// True for the blend itself, false for one of its exfoliants.
    pub whole: bool,
    pub points: Vec<(f64, f64)>,
}

/// A sieve with its place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct SieveMark {
    pub at: f64,
    pub mesh: &'static str,
    pub um: String,
}

/// The cut with its place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cut {
    pub at: f64,
    pub words: String,
}

/// A mark on the curve of a blend.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Mark {
    pub side: usize,
    pub at: f64,
    pub height: f64,
    /// True for D50, which carries the name.
    pub middle: bool,
}

/// A name over the chart, in the unit of the asked width.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Label {
    pub side: usize,
    /// Its middle.
    pub at: f64,
    /// About how wide it is with its mark.
    pub wide: f64,
    /// Place of D50 on the curve, in shares.
    pub to: (f64, f64),
    pub text: String,
}

/// Place of a size along the axis.
fn along(um: f64) -> f64 {
    let (lo, hi) = ENDS_UM;
    (um / lo).ln() / (hi / lo).ln()
}

fn on_axis(um: f64) -> bool {
    (ENDS_UM.0..=ENDS_UM.1).contains(&um)
}

/// A line of one size is drawn upright.
fn upright(um: f64) -> Vec<(f64, f64)> {
    vec![(along(um), 0.0), (along(um), 1.0)]
}

impl Chart {
    /// The chart; `None` without a blend that has grains.
    pub fn new(
        sides: &[BlendSide<'_>],
        names: &[String],
        cut_um: f64,
        style: NumberStyle,
    ) -> Option<Self> {
        let blends: Vec<(usize, &GrainFigures)> = sides
            .iter()
            .enumerate()
            .filter_map(|(at, s)| s.evaluation.grains.as_ref().ok().map(|f| (at, f)))
            .collect();
        if blends.is_empty() {
            return None;
        }
        let parts = sides.len() <= WITH_EXFOLIANTS;
        let raw: Vec<_> = blends
            .iter()
            .map(|(side, f)| (*side, density_curves(&f.blend, ENDS_UM.0, ENDS_UM.1, POINTS)))
            .collect();
        let peak = raw
            .iter()
            .flat_map(|(_, curves)| curves.iter().flatten())
            .map(|(_, y)| *y)
            .filter(|y| y.is_finite())
            .fold(0.0, f64::max);
        let top = if peak > 0.0 { peak * (1.0 + HEADROOM) } else { 1.0 };
        let mut chart = Self {
            curves: Vec::new(),
            sieves: sieves(style),
            cut: (cut_um.is_finite() && on_axis(cut_um)).then(|| Cut {
                at: along(cut_um),
                words: format!("cut at {} \u{b5}m", format_f64(cut_um, 0, style)),
            }),
            levels: levels(peak, top, style),
            marks: Vec::new(),
            numbers: Vec::new(),
            key: String::new(),
            beyond: beyond(&blends, names, style),
            words: words(&blends, names, cut_um, style),
            names: names.to_vec(),
            parts,
        };
        let mut whole = Vec::new();
        for ((side, curves), (_, f)) in raw.into_iter().zip(&blends) {
            let last = curves.len().saturating_sub(1);
            for (i, curve) in curves.into_iter().enumerate() {
                let single = f.blend.get(i).filter(|g| g.size.sigma() <= 0.0);
                let points = match single.map(|g| g.size.d50_um()) {
                    Some(um) if !on_axis(um) => Vec::new(),
                    Some(um) => upright(um),
                    None => trimmed(&curve, top),
                };
                if i == last {
                    whole.push(Curve { side, whole: true, points });
                } else if parts {
                    chart.curves.push(Curve { side, whole: false, points });
                } else if single.is_some() {
                    // Grains of one size are missing from the curve of the blend.
                    whole.push(Curve { side, whole: true, points });
                }
            }
            chart.mark(side, f, top);
        }
        chart.curves.append(&mut whole);
        if parts {
            chart.number();
        }
        chart.key = key(parts, &blends);
        Some(chart)
    }

    /// True when each exfoliant has its own, numbered line.
    pub fn shows_exfoliants(&self) -> bool {
        self.parts
    }

    fn mark(&mut self, side: usize, f: &GrainFigures, top: f64) {
        let stats = &f.stats;
        for (um, middle) in [(stats.d10, false), (stats.d50, true), (stats.d90, false)] {
            if !on_axis(um) {
                continue;
            }
            let height = density_curve(&f.blend, um, um, 1).first().map_or(0.0, |(_, y)| y / top);
            self.marks.push(Mark { side, at: along(um), height: height.clamp(0.0, 1.0), middle });
        }
    }

    /// Numbers the exfoliants at their peaks, each beside what stands there already.
    fn number(&mut self) {
        const ROOM: (f64, f64) = (0.022, 0.10);
        const TRIES: i32 = 24;
        for (at, curve) in self.curves.iter().filter(|c| !c.whole).enumerate() {
            let highest = curve.points.iter().copied().reduce(|a, b| if b.1 > a.1 { b } else { a });
            // One that lies beyond the axis keeps its number for the list.
            let Some((peak, y)) = highest else { continue };
            let near = |x: f64, a: f64, b: f64| (a - x).abs() < ROOM.0 && (b - y).abs() < ROOM.1;
            let free = |x: &f64| {
                (0.02..0.98).contains(x)
                    && self.cut.as_ref().is_none_or(|c| (c.at - x).abs() > ROOM.0 / 2.0)
                    && !self.marks.iter().any(|m| m.middle && near(*x, m.at, m.height))
                    && !self.numbers.iter().any(|(_, a, b, _)| near(*x, *a, *b))
            };
            // Left, right, further left and so on.
            let x = (0..TRIES)
                .map(|n| {
                    let steps = f64::from((n + 1) / 2) * if n % 2 == 1 { -1.0 } else { 1.0 };
                    peak + steps * ROOM.0 * 0.55
                })
                .find(free)
                .unwrap_or(peak);
            self.numbers.push((curve.side, x, y, (at + 1).to_string()));
        }
    }

    /// The names for a chart of this width, at letters about this wide, so that none covers
    /// another.
    pub fn labels(&self, width: f64, letter: f64) -> Vec<Label> {
        const MARK: f64 = 3.0;
        let mut labels: Vec<Label> = self
            .marks
            .iter()
            .filter(|m| m.middle)
            .map(|m| {
                let name = self.names.get(m.side).map_or("", String::as_str);
                let text = cut_name(name);
                let wide = (text.chars().count() as f64 + MARK) * letter;
                Label { side: m.side, at: m.at * width, wide, to: (m.at, m.height), text }
            })
            .collect();
        labels.sort_by(|a, b| a.at.total_cmp(&b.at));
        apart(&mut labels, width, letter);
        labels
    }
}

/// Moves labels, sorted by place, as little as keeps them `gap` apart and on the page: those that
/// meet form a group that keeps its middle.
fn apart(labels: &mut [Label], width: f64, gap: f64) {
    // Places less what lies to the left of each label must not fall.
    let mut left = 0.0;
    let mut groups: Vec<(f64, usize)> = Vec::new();
    for label in labels.iter() {
        groups.push((label.at - left - label.wide / 2.0, 1));
        left += label.wide + gap;
        while let [.., (a, n), (b, m)] = groups.as_slice()
            && a > b
        {
            let merged = ((a * *n as f64 + b * *m as f64) / (n + m) as f64, n + m);
            groups.truncate(groups.len() - 2);
            groups.push(merged);
        }
    }
    let room = (width - (left - gap)).max(0.0);
    let mut starts =
        groups.into_iter().flat_map(|(at, n)| std::iter::repeat_n(at.clamp(0.0, room), n));
    left = 0.0;
    for label in labels {
        label.at = starts.next().unwrap_or(0.0) + left + label.wide / 2.0;
        left += label.wide + gap;
    }
}

fn cut_name(name: &str) -> String {
    if name.chars().count() <= NAME_MOST {
        return name.to_owned();
    }
    let mut short: String = name.chars().take(NAME_MOST - 1).collect();
    short.truncate(short.trim_end().len());
    short.push('\u{2026}');
    short
}

/// The curve in shares, without the flat ends.
fn trimmed(curve: &[(f64, f64)], top: f64) -> Vec<(f64, f64)> {
    const FLAT: f64 = 0.001;
    let high = |(_, y): &(f64, f64)| *y / top > FLAT;
    let ends = curve.iter().position(high).zip(curve.iter().rposition(high));
    let Some((first, last)) = ends else { return Vec::new() };
    let range = first.saturating_sub(1)..(last + 2).min(curve.len());
    curve
        .get(range)
        .unwrap_or_default()
        .iter()
        .map(|(um, y)| (along(*um), (y / top).clamp(0.0, 1.0)))
        .collect()
}

fn sieves(style: NumberStyle) -> Vec<SieveMark> {
    SIEVES
        .iter()
        .filter_map(|mesh| ASTM_E11.iter().find(|s| s.mesh == *mesh))
        .map(|s| SieveMark {
            at: along(s.opening_um),
            mesh: s.mesh,
            um: format_f64(s.opening_um, 0, style),
        })
        .collect()
}

/// Round shares of mass per decade, one to three of them.
fn levels(peak: f64, top: f64, style: NumberStyle) -> Vec<(f64, String)> {
    const STEPS: [f64; 9] = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0];
    let Some(step) = STEPS.into_iter().find(|s| peak > 0.0 && peak / s < 4.0) else {
        return Vec::new();
    };
    (1..4)
        .map(|n| step * f64::from(n))
        .filter(|y| *y <= top)
        .map(|y| (y / top, format!("{} %", format_f64(100.0 * y, 0, style))))
        .collect()
}

fn key(parts: bool, blends: &[(usize, &GrainFigures)]) -> String {
    let mut key = "share of mass per decade of size; marks: D10, D50, D90".to_owned();
    if parts {
        key.push_str("; broken, with numbers: each exfoliant");
    }
    let single = |f: &GrainFigures| f.blend.iter().any(|g| g.size.sigma() <= 0.0);
    if blends.iter().any(|(_, f)| single(f)) {
        key.push_str("; upright: grains of one size");
    }
    key
}

/// How much of each blend the axis leaves out.
fn beyond(blends: &[(usize, &GrainFigures)], names: &[String], style: NumberStyle) -> Vec<String> {
    let (lo, hi) = ENDS_UM;
    let whole = |x: f64| format_f64(x, 0, style);
    let mut out = Vec::new();
    for (side, f) in blends {
        let name = names.get(*side).map_or("", String::as_str);
        let coarse = 100.0 * fraction_above(&f.blend, hi);
        let fine = 100.0 - 100.0 * fraction_above(&f.blend, lo);
        for (share, side, um) in [(fine, "below", lo), (coarse, "above", hi)] {
            if share >= BEYOND_LEAST {
                let share = format_f64(share, 1, style);
                out.push(format!("{name}: {share} % of the mass is {side} {} \u{b5}m", whole(um)));
            }
        }
    }
    out
}

fn words(
    blends: &[(usize, &GrainFigures)],
    names: &[String],
    cut_um: f64,
    style: NumberStyle,
) -> String {
    let whole = |x: f64| format_f64(x, 0, style);
    let mut out = format!(
        "Share of mass per decade of grain size, from {} to {} \u{b5}m on a logarithmic axis.",
        whole(ENDS_UM.0),
        whole(ENDS_UM.1)
    );
    for (side, f) in blends {
        let (s, name) = (&f.stats, names.get(*side).map_or("", String::as_str));
        let parts: Vec<String> = f
            .parts
            .iter()
            .map(|p| format!("{} at {} \u{b5}m", clean(&p.name), whole(p.grain.size.d50_um())))
            .collect();
        out.push_str(&format!(
            " {name}: D10 {}, D50 {}, D90 {} \u{b5}m",
            whole(s.d10),
            whole(s.d50),
            whole(s.d90)
        ));
        if cut_um.is_finite() {
            let above = 100.0 * fraction_above(&f.blend, cut_um);
            out.push_str(&format!(
                ", {} % above {} \u{b5}m",
                format_f64(above, 1, style),
                whole(cut_um)
            ));
        }
        out.push_str(&format!("; of {}.", parts.join("; ")));
    }
    out
}
