//! A picture as a list of lines, areas and words, placed once for every way of drawing it.

/// Width of a letter over the height of the type, about.
const LETTER: f64 = 0.56;

/// The room that a picture is placed in, in points or pixels.
#[derive(Clone, Copy, Debug)]
pub(super) struct Room {
    pub width: f64,
    pub height: f64,
    /// Size of the type.
    pub font: f64,
    /// True for a phone, where less is labelled.
    pub narrow: bool,
}

impl Room {
    /// About how wide some words are.
    pub fn wide(&self, words: &str) -> f64 {
        words.chars().count() as f64 * self.font * LETTER
    }
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stroke {
    Axis,
    Faint,
    Mark,
    Pour,
    Border,
    Edge,
    Usual,
    Other,
    Middle,
    Face,
    Lead,
    Window,
    Limit,
    Span,
}

impl Stroke {
    /// Its name in a style sheet and in a template.
    pub fn name(self) -> &'static str {
        match self {
            Self::Axis => "axis",
            Self::Faint => "faint",
            Self::Mark => "mark",
            Self::Pour => "pour",
            Self::Border => "border",
            Self::Edge => "edge",
            Self::Usual => "usual",
            Self::Other => "other",
            Self::Middle => "middle",
            Self::Face => "face",
            Self::Lead => "lead",
            Self::Window => "window",
            Self::Limit => "limit",
            Self::Span => "span",
        }
    }
}

/// How an area is filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fill {
    /// Tone and pattern of a layer.
    Layer(usize),
    /// Tone of a pour class.
    Class(usize),
    Band,
    /// Paper behind words.
    Back,
    Ink,
}

impl Fill {
    /// Its name in a style sheet and in a template.
    pub fn name(self) -> String {
        match self {
            Self::Layer(n) => format!("layer{n}"),
            Self::Class(n) => format!("class{n}"),
            Self::Band => "band".to_owned(),
            Self::Back => "back".to_owned(),
            Self::Ink => "ink".to_owned(),
        }
    }
}

/// How words are set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Type {
    Soft,
    Plain,
    Strong,
    /// The second formula.
    Second,
    /// On a dark tone.
    Light,
}

impl Type {
    /// Its name in a style sheet and in a template.
    pub fn name(self) -> &'static str {
        match self {
            Self::Soft => "soft",
            Self::Plain => "plain",
            Self::Strong => "strong",
            Self::Second => "second",
            Self::Light => "light",
        }
    }
}

/// Where words stand from their point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

impl Anchor {
    /// Its name in SVG and in a template.
    pub fn name(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// One thing in a picture.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Item {
    Line { points: Vec<(f64, f64)>, stroke: Stroke },
    Area { points: Vec<(f64, f64)>, fill: Fill },
    Words { at: (f64, f64), anchor: Anchor, kind: Type, text: String },
}

/// A placed picture; the point (0, 0) is the upper left corner.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Picture {
    pub width: f64,
    pub height: f64,
    pub font: f64,
    pub items: Vec<Item>,
}

impl Picture {
    pub fn new(room: Room) -> Self {
        let Room { width, height, font, .. } = room;
        Self { width, height, font, items: Vec::new() }
    }

    pub fn line(&mut self, points: Vec<(f64, f64)>, stroke: Stroke) {
        if points.len() > 1 {
            self.items.push(Item::Line { points, stroke });
        }
    }

    pub fn area(&mut self, points: Vec<(f64, f64)>, fill: Fill) {
        if points.len() > 2 {
            self.items.push(Item::Area { points, fill });
        }
    }

    pub fn rect(&mut self, a: (f64, f64), b: (f64, f64), fill: Fill) {
        self.area(vec![a, (b.0, a.1), b, (a.0, b.1)], fill);
    }

    /// Words with their baseline at a point.
    pub fn words(&mut self, at: (f64, f64), anchor: Anchor, kind: Type, text: &str) {
        if !text.is_empty() {
            let text = text.to_owned();
            self.items.push(Item::Words { at, anchor, kind, text });
        }
    }

    /// The same with paper behind them.
    pub fn backed(&mut self, at: (f64, f64), anchor: Anchor, kind: Type, text: &str) {
        let (wide, font) = (text.chars().count() as f64 * self.font * LETTER, self.font);
        let left = match anchor {
            Anchor::Start => at.0,
            Anchor::Middle => at.0 - wide / 2.0,
            Anchor::End => at.0 - wide,
        };
        let pad = font * 0.22;
        self.rect(
            (left - pad, at.1 - font * 0.85),
            (left + wide + pad, at.1 + font * 0.26),
            Fill::Back,
        );
        self.words(at, anchor, kind, text);
    }
}

/// At most so many letters.
pub(super) fn cut(words: &str, most: usize) -> String {
    if words.chars().count() <= most {
        return words.to_owned();
    }
    let mut out: String = words.chars().take(most.saturating_sub(1)).collect();
    out.truncate(out.trim_end().len());
    out.push('\u{2026}');
    out
}

/// The points that a line needs to look the same.
pub(super) fn thinned(points: &[(f64, f64)], near: f64) -> Vec<(f64, f64)> {
    let mut out: Vec<(f64, f64)> = Vec::new();
    let mut from = 0;
    let Some(first) = points.first() else { return out };
    out.push(*first);
    for to in 2..points.len() {
        let (Some(a), Some(b)) = (points.get(from), points.get(to)) else { break };
        let straight = points.get(from + 1..to).unwrap_or_default().iter().all(|p| {
            let share = if b.0 > a.0 { (p.0 - a.0) / (b.0 - a.0) } else { 0.0 };
            (a.1 + share * (b.1 - a.1) - p.1).abs() <= near
        });
        if !straight {
            from = to - 1;
            out.extend(points.get(from));
        }
    }
    out.extend(points.get(1..).and_then(<[_]>::last));
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_line_keeps_its_ends() {
        let line: Vec<(f64, f64)> = (0..50).map(|i| (f64::from(i), 2.0 * f64::from(i))).collect();
        assert_eq!(thinned(&line, 1e-9), [(0.0, 0.0), (49.0, 98.0)]);
        let bent = [(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (3.0, 1.0), (4.0, 2.0)];
        assert_eq!(thinned(&bent, 1e-9), [(0.0, 0.0), (2.0, 0.0), (4.0, 2.0)]);
        assert_eq!(thinned(&[], 0.1), []);
        assert_eq!(thinned(&[(1.0, 2.0)], 0.1), [(1.0, 2.0)]);
        assert_eq!(thinned(&[(1.0, 2.0), (2.0, 2.0)], 0.1).len(), 2);
    }

    #[test]
    fn cutting_counts_letters() {
        assert_eq!(cut("stearic acid", 12), "stearic acid");
        assert_eq!(cut("stearic acid", 9), "stearic\u{2026}");
        assert_eq!(cut("\u{e4}\u{e4}\u{e4}", 2), "\u{e4}\u{2026}");
    }
}
