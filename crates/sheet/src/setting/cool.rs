//! The cooling curve: mean of the piece, middle and face where they were worked out.

use quern_calc::evaluate::{Banded, CoolFigures, SlabFigures};
use quern_calc::number::{NumberStyle, format_f64};

use super::SettingSide;
use super::picture::{Anchor, Fill, Picture, Room, Stroke, Type, cut, thinned};
use crate::text::{clean, joined};

const HOUR: f64 = 3_600.0;

/// Hours and °C.
type Points = Vec<(f64, f64)>;

/// Deviation of a line that no eye sees, °C.
const NEAR_C: f64 = 0.05;

/// Steps of the axis, h.
const STEPS_H: [f64; 10] = [0.1, 0.25, 0.5, 1.0, 2.0, 4.0, 6.0, 12.0, 24.0, 48.0];

/// The chart in hours and degrees.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct CoolChart {
    mean: Vec<(f64, f64)>,
    middle: Vec<(f64, f64)>,
    face: Vec<(f64, f64)>,
    other: Option<(String, Vec<(f64, f64)>)>,
    name: String,
    levels: Vec<Level>,
    air_c: f64,
    ends_c: (f64, f64),
    end_h: f64,
    style: NumberStyle,
    /// Mould, place and air.
    pub key: String,
    /// The chart in sentences, for those who do not see it.
    pub words: String,
}

/// A temperature that the piece passes.
#[derive(Clone, Debug, PartialEq)]
struct Level {
    c: f64,
    name: &'static str,
    words: String,
    /// Hours, soonest and latest.
    span: Option<(f64, f64)>,
}

impl CoolChart {
    /// The chart of the first formula that cools, the other one beside it; `None` without any.
    pub fn new(sides: &[SettingSide<'_>], names: &[String], style: NumberStyle) -> Option<Self> {
        let mut with = sides.iter().zip(names).filter_map(|(side, name)| {
            let f = side.figures.cool.as_ref().ok().filter(|f| f.curve.len() > 1)?;
            Some((side, name, f))
        });
        let (side, name, f) = with.next()?;
        let other = with.next();
        let hours = |points: &[(f64, f64)]| -> Vec<(f64, f64)> {
            points.iter().map(|(s, c)| (s / HOUR, *c)).filter(|p| p.0.is_finite()).collect()
        };
        let mean = hours(&f.curve);
        let (middle, face) = side.slab.map_or((Vec::new(), Vec::new()), slab);
        let levels = levels(f, style);
        let other = other.map(|(_, n, f)| (n.clone(), hours(&f.curve)));
        let all = || {
            let beside = other.iter().flat_map(|o| &o.1);
            mean.iter().chain(&middle).chain(&face).chain(beside).filter(|p| p.1.is_finite())
        };
        let latest = levels.iter().filter_map(|l| l.span).map(|s| s.1);
        let end_h = all().map(|p| p.0).chain(latest).fold(0.0, f64::max);
        let top = all().map(|p| p.1).fold(f.air_c, f64::max);
        let low = all().map(|p| p.1).fold(f.air_c, f64::min);
        if !(end_h > 0.0 && end_h.is_finite() && top > low) {
            return None;
        }
        let mut chart = Self {
            key: key(side, f, style),
            words: String::new(),
            name: name.clone(),
            air_c: f.air_c,
            ends_c: ((low / 5.0).floor() * 5.0, (top / 5.0).ceil() * 5.0),
            end_h: end_h * 1.12,
            mean,
            middle,
            face,
            other,
            levels,
            style,
        };
        let told: Vec<&str> = chart.levels.iter().map(|l| l.words.as_str()).collect();
        chart.words = format!(
            "Mean temperature of a piece of {name} over {} h. {}. {}",
            format_f64(end_h, 1, style),
            told.join("; "),
            chart.key
        );
        Some(chart)
    }

    /// What the lines are.
    pub fn lines(&self) -> String {
        let parts = [
            format!("strong: mean of {}", self.name),
            if self.middle.is_empty() { String::new() } else { "broken: middle".to_owned() },
            if self.face.is_empty() { String::new() } else { "dotted: face".to_owned() },
            self.other.as_ref().map_or(String::new(), |o| format!("dashed: mean of {}", o.0)),
            if self.levels.iter().any(|l| l.span.is_some()) {
                "bars: still to moving air".to_owned()
            } else {
                String::new()
            },
        ];
        joined(&parts, "; ")
    }

    /// Places it in a room.
    pub fn draw(&self, room: Room) -> Picture {
        let font = room.font;
        let mut out = Picture::new(room);
        let left = room.wide("00 \u{b0}C") + 3.0;
        let (top, bottom) = (font * 0.6, room.height - font * 1.7);
        let (low, high) = self.ends_c;
        let x = |h: f64| left + (h / self.end_h).clamp(0.0, 1.0) * (room.width - left);
        let y = |c: f64| bottom - ((c - low) / (high - low)).clamp(0.0, 1.0) * (bottom - top);
        let placed = |points: &[(f64, f64)]| -> Vec<(f64, f64)> {
            thinned(points, NEAR_C).iter().map(|(h, c)| (x(*h), y(*c))).collect()
        };

        let step = if high - low > 40.0 { 20.0 } else { 10.0 };
        let mut c = (low / step).ceil() * step;
        while c <= high + 1e-9 {
            out.line(vec![(left, y(c)), (room.width, y(c))], Stroke::Faint);
            let words = format!("{} \u{b0}C", format_f64(c, 0, self.style));
            out.words((left - 3.0, y(c) + font * 0.35), Anchor::End, Type::Soft, &words);
            c += step;
        }
        out.line(vec![(left, bottom), (room.width, bottom)], Stroke::Axis);
        self.hours(&room, &mut out, &x, bottom);

        out.line(vec![(left, y(self.air_c)), (room.width, y(self.air_c))], Stroke::Mark);
        for level in &self.levels {
            out.line(vec![(left, y(level.c)), (room.width, y(level.c))], Stroke::Mark);
            if let Some((soon, late)) = level.span {
                out.line(vec![(x(soon), y(level.c)), (x(late), y(level.c))], Stroke::Span);
            }
        }
        out.line(placed(&self.face), Stroke::Face);
        out.line(placed(&self.middle), Stroke::Middle);
        if let Some((_, points)) = &self.other {
            out.line(placed(points), Stroke::Other);
        }
        out.line(placed(&self.mean), Stroke::Usual);
        for at in self.levels.iter().filter_map(|l| l.span.map(|_| l.c)) {
            if let Some(p) = self.mean.iter().find(|p| p.1 <= at + 0.2) {
                let (px, py, r) = (x(p.0), y(at), font * 0.3);
                out.rect((px - r, py - r), (px + r, py + r), Fill::Ink);
            }
        }
        self.name_levels(&room, &mut out, &y);
        let mut name = |points: &[(f64, f64)], share: f64, up: f64, kind: Type, words: &str| {
            let wanted = points.last().map_or(0.0, |p| p.0) * share;
            if let Some(p) = points.iter().find(|p| p.0 >= wanted) {
                let anchor = if up > 0.0 { Anchor::Start } else { Anchor::End };
                let at = (x(p.0) + up.signum() * font * 0.4, y(p.1) - up * font);
                out.backed(at, anchor, kind, words);
            }
        };
        name(&self.middle, 0.22, 0.5, Type::Plain, "middle");
        name(&self.face, 0.16, -1.0, Type::Plain, "face");
        if let Some((other, points)) = &self.other {
            name(points, 0.5, 0.6, Type::Second, &cut(other, 18));
        }
        out
    }

    fn hours(&self, room: &Room, out: &mut Picture, x: &impl Fn(f64) -> f64, bottom: f64) {
        let most = if room.narrow { 4.0 } else { 7.0 };
        let step = STEPS_H.into_iter().find(|s| self.end_h / s <= most).unwrap_or(168.0);
        // As many decimals as the step has.
        let places = [1.0, 10.0].iter().position(|n| (step * n).fract() == 0.0).unwrap_or(2);
        let places = u32::try_from(places).unwrap_or(2);
        let mut h = 0.0;
        while h <= self.end_h {
            let last = h + step > self.end_h;
            let unit = if last { " h" } else { "" };
            let words = format!("{}{unit}", format_f64(h, places, self.style));
            out.line(vec![(x(h), bottom), (x(h), bottom + 2.5)], Stroke::Axis);
            let wide = room.wide(&words) / 2.0;
            let at = x(h).min(room.width - wide);
            out.words((at, bottom + room.font * 1.4), Anchor::Middle, Type::Soft, &words);
            h += step;
        }
    }

    /// Short names over the levels at the right, clear of one another, and the times where the
    /// curves leave room.
    fn name_levels(&self, room: &Room, out: &mut Picture, y: &impl Fn(f64) -> f64) {
        let font = room.font;
        let air = format!("air {} \u{b0}C", format_f64(self.air_c, 0, self.style));
        let mut floor = y(self.air_c) - font * 0.3;
        out.words((room.width - 1.0, floor), Anchor::End, Type::Soft, &air);
        // From the coolest up, each clear of the one below.
        for level in &self.levels {
            let base = (y(level.c) - font * 0.45).min(floor - font * 1.25);
            out.words((room.width - 1.0, base), Anchor::End, Type::Plain, level.name);
            floor = base;
        }
        for (i, level) in self.levels.iter().rev().enumerate() {
            let base = font * (1.6 + 1.35 * i as f64);
            out.backed((room.width - 1.0, base), Anchor::End, Type::Plain, &level.words);
        }
    }
}

fn slab(slab: &SlabFigures) -> (Points, Points) {
    let sound = || slab.curve.iter().filter(|p| p.0.is_finite());
    (sound().map(|p| (p.0 / HOUR, p.1)).collect(), sound().map(|p| (p.0 / HOUR, p.2)).collect())
}

/// Setting and unmoulding, the cooler one first.
fn levels(f: &CoolFigures, style: NumberStyle) -> Vec<Level> {
    let h = |s: f64| format_f64(s / HOUR, 1, style);
    let level = |name: &'static str, c: f64, s: Option<Banded>| {
        let mut words = format!("{name} {} \u{b0}C", format_f64(c, 0, style));
        if let Some(b) = s {
            words.push_str(&format!(": {} h ({} to {})", h(b.at), h(b.low), h(b.high)));
        }
        let span = s.map(|b| (b.low / HOUR, b.high / HOUR));
        Level { c, name, words, span: span.filter(|s| s.0.is_finite() && s.1.is_finite()) }
    };
    let mut out = vec![level("sets", f.set_c, f.set_s)];
    out.push(level("unmould", f.unmould_c, f.unmould_s));
    out.sort_by(|a, b| a.c.total_cmp(&b.c));
    out
}

fn key(side: &SettingSide<'_>, f: &CoolFigures, style: NumberStyle) -> String {
    let mould = side.figures.mould.as_ref();
    let words = [
        mould.map_or(String::new(), |m| clean(&m.name)),
        mould.map_or(String::new(), |m| m.wall.name().to_owned()),
        format!("on the {}", side.figures.stand.name()).replace("on the fridge", "in the fridge"),
        format!("air {} \u{b0}C", format_f64(f.air_c, 0, style)),
    ];
    joined(&words, ", ")
}
