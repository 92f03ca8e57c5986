//! The melt curve: layers, band, marks and labels with their places.

use quern_calc::evaluate::{Mixing, SPAN_C};
use quern_calc::number::{NumberStyle, format_f64};
use quern_calc::setting::melt::Stack;
use quern_calc::setting::notes::SettingNotes;

use super::SettingSide;
use super::marks::{Mark, marks};
use super::picture::{Anchor, Fill, Picture, Room, Stroke, Type, cut, thinned};
use crate::text::clean;

/// Layers that are told apart; the thinnest beyond them are one.
pub(super) const LAYERS_MOST: usize = 8;

/// Solid share that is too thin to draw.
const THIN: f64 = 0.002;

/// Deviation of a line that no eye sees, in shares.
const NEAR: f64 = 0.0006;

/// Temperatures of the table, °C.
const TABLE_STEP_C: f64 = 10.0;

/// Lanes of labels over the chart.
const LANES: usize = 4;

/// The chart in degrees and shares.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct MeltChart {
    /// From the bottom up.
    pub layers: Vec<Layer>,
    usual: Vec<(f64, f64)>,
    low: Vec<(f64, f64)>,
    high: Vec<(f64, f64)>,
    /// The second formula's name and curve.
    other: Option<(String, Vec<(f64, f64)>)>,
    marks: Vec<Mark>,
    /// Name of the formula whose layers are drawn.
    name: String,
    top: f64,
    style: NumberStyle,
    /// What the lines are.
    pub key: String,
    /// The chart in sentences, for those who do not see it.
    pub words: String,
    /// Heads of the table.
    pub heads: Vec<String>,
    /// Solid fat at round temperatures.
    pub rows: Vec<Vec<String>>,
}

/// One component that is solid.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Layer {
    pub name: String,
    /// % of the product.
    pub percent: String,
    lower: Vec<(f64, f64)>,
    upper: Vec<(f64, f64)>,
}

impl MeltChart {
    /// The chart of the first formula that has a curve, the other one beside it; `None` without
    /// any.
    pub fn new(
        sides: &[SettingSide<'_>],
        names: &[String],
        notes: &SettingNotes,
        style: NumberStyle,
    ) -> Option<Self> {
        let mut with = sides.iter().zip(names).filter_map(|(side, name)| {
            let [pure, usual, all] = side.figures.stacks.as_ref()?;
            (usual.points.len() > 1).then_some((side, name, [pure, usual, all]))
        });
        let (side, name, [pure, usual, all]) = with.next()?;
        let other = with.next().map(|(s, n, [_, usual, _])| (s, n.clone(), usual));
        let edge = |pick: &dyn Fn(f64, f64) -> f64| -> Vec<(f64, f64)> {
            let ends =
                |t: f64, y: f64| pick(pick(y, share(pure.solid_at(t))), share(all.solid_at(t)));
            usual.points.iter().map(|(t, y)| (*t, ends(*t, share(*y)))).collect()
        };
        let (low, high) = (edge(&f64::min), edge(&f64::max));
        let curves = high.iter().chain(other.iter().flat_map(|o| &o.2.points));
        let peak = curves.map(|p| share(p.1)).fold(0.0, f64::max);
        let top = ((peak * 10.0 + 0.2).ceil() / 10.0).clamp(0.2, 1.0);
        let two = other.is_some();
        let curve = |points: &[(f64, f64)]| points.iter().map(|(t, y)| (*t, share(*y))).collect();
        let mut chart = Self {
            layers: layers(side, usual, style),
            usual: curve(&usual.points),
            low,
            high,
            other: other.as_ref().map(|(_, n, s)| (n.clone(), curve(&s.points))),
            marks: marks(side, other.as_ref().map(|o| (o.0, o.1.as_str())), notes, style),
            name: name.clone(),
            top,
            style,
            key: key(name, two),
            words: String::new(),
            heads: Vec::new(),
            rows: Vec::new(),
        };
        chart.table(pure, usual, all, other.as_ref().map(|o| (o.1.as_str(), o.2)));
        chart.say();
        Some(chart)
    }

    /// Names of users that it shows.
    #[cfg(feature = "pdf")]
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.layers
            .iter()
            .map(|l| l.name.as_str())
            .chain(self.marks.iter().map(|m| m.words.as_str()))
    }

    fn percent(&self, y: f64) -> String {
        format_f64(100.0 * y, 0, self.style)
    }

    fn table(&mut self, pure: &Stack, usual: &Stack, all: &Stack, other: Option<(&str, &Stack)>) {
        self.heads = vec!["\u{b0}C".to_owned(), self.name.clone(), "band".to_owned()];
        self.heads.extend(other.map(|o| o.0.to_owned()));
        let mut t = SPAN_C.0;
        while t <= SPAN_C.1 {
            let ends = [pure, usual, all].map(|s| share(s.solid_at(t)));
            let (low, high) =
                ends.iter().fold((1.0_f64, 0.0_f64), |(a, b), y| (a.min(*y), b.max(*y)));
            let mut row = vec![
                format_f64(t, 0, self.style),
                self.percent(share(usual.solid_at(t))),
                match (self.percent(low), self.percent(high)) {
                    (low, high) if low == high => low,
                    (low, high) => format!("{low} to {high}"),
                },
            ];
            row.extend(other.map(|o| self.percent(share(o.1.solid_at(t)))));
            self.rows.push(row);
            t += TABLE_STEP_C;
        }
    }

    fn say(&mut self) {
        let layers: Vec<&str> = self.layers.iter().map(|l| l.name.as_str()).collect();
        let marks: Vec<&str> = self.marks.iter().map(|m| m.words.as_str()).collect();
        let other = match &self.other {
            Some((name, _)) => format!(" Dashed beside it: {name}."),
            None => String::new(),
        };
        self.words = format!(
            "Solid fat of {} in % of the fat, from {} to {} \u{b0}C. Solid, from the bottom up: {}. \
             Marked: {}.{other}",
            self.name,
            format_f64(SPAN_C.0, 0, self.style),
            format_f64(SPAN_C.1, 0, self.style),
            layers.join("; "),
            marks.join("; ")
        );
    }

    /// Places it in a room.
    pub fn draw(&self, room: Room) -> Picture {
        let font = room.font;
        let mut out = Picture::new(room);
        let left = room.wide("100 %") + 4.0;
        let bottom = room.height - font * 1.7;
        let x = |t: f64| left + (t - SPAN_C.0) / (SPAN_C.1 - SPAN_C.0) * (room.width - left);
        let labels = self.lanes(&room, &x);
        let lanes =
            labels.iter().map(|l| l.1 + 1).filter(|l| *l <= LANES).max().unwrap_or(0) as f64;
        let lane = font * 1.32;
        let top = lanes * lane + font * 0.5;
        let y = |s: f64| bottom - s / self.top * (bottom - top);
        let spot = |p: &(f64, f64)| (x(p.0), y(p.1));
        let placed = |points: &[(f64, f64)]| -> Vec<(f64, f64)> {
            thinned(points, NEAR).iter().map(spot).collect()
        };

        for (i, layer) in self.layers.iter().enumerate() {
            let mut points = placed(&layer.upper);
            points.extend(placed(&layer.lower).into_iter().rev());
            out.area(points, Fill::Layer(i));
        }
        for layer in &self.layers {
            out.line(placed(&layer.upper), Stroke::Border);
        }
        let mut level = 0.2;
        while level < self.top + 1e-9 {
            out.line(vec![(left, y(level)), (room.width, y(level))], Stroke::Faint);
            let words = format!("{} %", self.percent(level));
            out.words((left - 4.0, y(level) + font * 0.35), Anchor::End, Type::Soft, &words);
            level += 0.2;
        }
        out.words((left - 4.0, bottom + font * 0.1), Anchor::End, Type::Soft, "0");
        let mut band = placed(&self.high);
        band.extend(placed(&self.low).into_iter().rev());
        out.area(band, Fill::Band);
        out.line(placed(&self.low), Stroke::Edge);
        out.line(placed(&self.high), Stroke::Edge);
        for (mark, label) in self.marks.iter().zip(&labels) {
            let stroke = if mark.pour { Stroke::Pour } else { Stroke::Mark };
            let from = (lane * (lanes - label.1 as f64) - font * 0.1).max(0.0);
            out.line(vec![(x(mark.c), from), (x(mark.c), bottom)], stroke);
        }
        out.line(placed(&self.usual), Stroke::Usual);
        if let Some((_, points)) = &self.other {
            out.line(placed(points), Stroke::Other);
        }
        out.line(vec![(left, bottom), (room.width, bottom)], Stroke::Axis);
        let step = if room.narrow { 30.0 } else { 10.0 };
        let mut t = SPAN_C.0;
        while t <= SPAN_C.1 {
            let last = t + step > SPAN_C.1;
            let mut words = format_f64(t, 0, self.style);
            if last {
                words.push_str(" \u{b0}C");
            }
            let anchor = if last { Anchor::End } else { Anchor::Middle };
            out.line(vec![(x(t), bottom), (x(t), bottom + 2.5)], Stroke::Axis);
            out.words((x(t), bottom + font * 1.4), anchor, Type::Soft, &words);
            t += step;
        }
        for (mark, (middle, at)) in self.marks.iter().zip(&labels) {
            let base = lane * (lanes - *at as f64) - font * 0.45;
            let kind = if mark.pour { Type::Strong } else { Type::Plain };
            if *at < LANES {
                out.backed((*middle, base), Anchor::Middle, kind, &mark.words);
            }
        }
        self.label_layers(&room, &mut out, &x, &y);
        self.label_curves(&room, &mut out, &x, &y);
        out
    }

    /// Middle and lane of the label of each mark; the lowest lane is 0. A label that covers other
    /// marks stands above theirs, so that no line runs through words.
    fn lanes(&self, room: &Room, x: &impl Fn(f64) -> f64) -> Vec<(f64, usize)> {
        const GAP: f64 = 4.0;
        let half = |m: &Mark| room.wide(&m.words) / 2.0 + 1.0;
        let covers = |m: &Mark, middle: f64, other: &Mark| {
            (x(other.c) - middle).abs() < half(m) + 1.0 && (other.c - m.c).abs() > 1e-9
        };
        let mut out: Vec<Option<(f64, usize)>> = vec![None; self.marks.len()];
        for alone in [true, false] {
            for (i, mark) in self.marks.iter().enumerate() {
                if out.get(i).is_some_and(Option::is_some) {
                    continue;
                }
                let (at, half_wide) = (x(mark.c), half(mark));
                let shifts = [0.0, half_wide - 2.0, 2.0 - half_wide];
                let spot = (0..LANES).flat_map(|lane| shifts.map(|s| (at + s, lane))).find(
                    |(middle, lane)| {
                        let inside = *middle >= half_wide && *middle <= room.width - half_wide;
                        let taken = |(j, other): (usize, &Mark)| match out.get(j) {
                            Some(Some((m, l))) => {
                                l == lane && (m - middle).abs() < half_wide + half(other) + GAP
                                    || l >= lane && covers(mark, *middle, other)
                            }
                            _ => alone && j != i && covers(mark, *middle, other),
                        };
                        inside && !self.marks.iter().enumerate().any(taken)
                    },
                );
                if let Some(place) = out.get_mut(i).filter(|_| spot.is_some()) {
                    *place = spot;
                }
            }
        }
        // Without a free place the line stands alone; the words for the reader hold it.
        out.into_iter().map(|o| o.unwrap_or((0.0, LANES))).collect()
    }

    /// Number and name in each layer where they fit, else the number alone.
    fn label_layers(
        &self,
        room: &Room,
        out: &mut Picture,
        x: &impl Fn(f64) -> f64,
        y: &impl Fn(f64) -> f64,
    ) {
        let need = room.font * 1.25;
        for (i, layer) in self.layers.iter().enumerate() {
            let number = (i + 1).to_string();
            let full = format!("{number}  {}", cut(&layer.name, 24));
            for words in [full, number] {
                let wide = room.wide(&words) + room.font * 0.8;
                let Some((middle, base)) = roomiest(layer, wide, need, x, y) else { continue };
                let at = (middle, base + room.font * 0.36);
                out.backed(at, Anchor::Middle, Type::Plain, &words);
                break;
            }
        }
    }

    fn label_curves(
        &self,
        room: &Room,
        out: &mut Picture,
        x: &impl Fn(f64) -> f64,
        y: &impl Fn(f64) -> f64,
    ) {
        let peak = |points: &[(f64, f64)]| points.iter().map(|p| p.1).fold(0.0, f64::max);
        let reach = |points: &[(f64, f64)], level: f64| {
            points.iter().rev().find(|p| p.1 >= level).map_or(SPAN_C.0, |p| p.0)
        };
        let most = if room.narrow { 12 } else { 22 };
        let mut label = |points: &[(f64, f64)], share: f64, kind: Type, words: &str| {
            let level = peak(points) * share;
            let at = x(reach(points, level));
            let others = [&self.high, &self.low, &self.usual];
            let beyond = others.iter().map(|c| x(reach(c, level))).fold(at, f64::max);
            let words = cut(words, most);
            let from = (beyond + room.font).min(room.width - room.wide(&words) - 2.0);
            out.line(vec![(at, y(level)), (from - 2.0, y(level))], Stroke::Lead);
            out.backed((from, y(level) + room.font * 0.35), Anchor::Start, kind, &words);
        };
        match &self.other {
            Some((name, points)) => {
                label(&self.usual, 0.6, Type::Strong, &self.name);
                label(points, 0.4, Type::Second, name);
            }
            None => label(&self.usual, 0.6, Type::Strong, "usual estimate"),
        }
    }
}

/// What is not a number counts as 0.
fn share(y: f64) -> f64 {
    if y.is_finite() { y.clamp(0.0, 1.0) } else { 0.0 }
}

/// Where a label of this width has most room in a layer; `None` when that is too little.
fn roomiest(
    layer: &Layer,
    wide: f64,
    need: f64,
    x: &impl Fn(f64) -> f64,
    y: &impl Fn(f64) -> f64,
) -> Option<(f64, f64)> {
    let mut best: Option<(f64, f64, f64)> = None;
    let points: Vec<(f64, f64, f64)> = layer
        .lower
        .iter()
        .zip(&layer.upper)
        .map(|((t, low), (_, high))| (x(*t), y(*low), y(*high)))
        .collect();
    for (i, (from, ..)) in points.iter().enumerate() {
        let (mut floor, mut roof, mut end) = (f64::INFINITY, f64::NEG_INFINITY, *from);
        for (at, low, high) in points.iter().skip(i).take_while(|p| p.0 <= from + wide) {
            floor = floor.min(*low);
            roof = roof.max(*high);
            end = *at;
        }
        let high = floor - roof;
        if end - from >= wide * 0.75
            && high >= need
            && best.is_none_or(|b| high > b.2 * 1.02 + 0.01)
        {
            best = Some((from + wide / 2.0, (floor + roof) / 2.0, high));
        }
    }
    best.map(|(middle, base, _)| (middle, base))
}

/// The components that are ever solid, highest melting at the bottom.
fn layers(side: &SettingSide<'_>, usual: &Stack, style: NumberStyle) -> Vec<Layer> {
    let components =
        side.evaluation.melt.as_ref().map(|m| m.fat.components.as_slice()).unwrap_or_default();
    let peak = |l: &[f64]| l.iter().map(|y| share(*y)).fold(0.0, f64::max);
    let mut solid: Vec<(usize, f64)> = usual
        .layers
        .iter()
        .enumerate()
        .map(|(i, layer)| (i, peak(layer)))
        .filter(|(_, most)| *most > THIN)
        .collect();
    let mut rest = Vec::new();
    if solid.len() > LAYERS_MOST {
        solid.sort_by(|a, b| b.1.total_cmp(&a.1));
        rest = solid.split_off(LAYERS_MOST - 1);
        solid.sort_by_key(|s| s.0);
    }
    let mut groups: Vec<Vec<usize>> = solid.into_iter().map(|(i, _)| vec![i]).collect();
    if !rest.is_empty() {
        groups.push(rest.into_iter().map(|(i, _)| i).collect());
    }
    let mut floor: Vec<(f64, f64)> = usual.points.iter().map(|p| (p.0, 0.0)).collect();
    let mut out = Vec::with_capacity(groups.len());
    for group in groups {
        let at = |point: usize| -> f64 {
            let one = |i: &usize| usual.layers.get(*i).and_then(|l| l.get(point)).copied();
            group.iter().filter_map(one).map(share).sum()
        };
        let upper: Vec<(f64, f64)> =
            floor.iter().enumerate().map(|(i, (t, y))| (*t, y + at(i))).collect();
        let percent: f64 = group.iter().filter_map(|i| components.get(*i)).map(|c| c.percent).sum();
        let name = match group.as_slice() {
            [one] => components.get(*one).map(|c| clean(&c.name)).unwrap_or_default(),
            many => format!("{} others", many.len()),
        };
        out.push(Layer {
            name,
            percent: format!("{} %", format_f64(percent, 1, style)),
            lower: floor,
            upper: upper.clone(),
        });
        floor = upper;
    }
    out
}

fn key(name: &str, two: bool) -> String {
    let [pure, usual, all] = Mixing::ALL.map(Mixing::name);
    let whose =
        if two { format!("areas and strong line: {name}") } else { "strong line".to_owned() };
    format!("% of the fat; {whose}, {usual}; shaded: from {pure} to {all}")
}
