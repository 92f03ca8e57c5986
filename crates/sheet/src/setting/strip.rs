//! The pour strip: class against temperature, with the window and what ends it.

use quern_calc::evaluate::PourWindow;
use quern_calc::number::{NumberStyle, format_f64};
use quern_calc::setting::pour::PourClass;

use super::SettingSide;
use super::picture::{Anchor, Fill, Picture, Room, Stroke, Type, cut};
use crate::text::clean;

/// Ends of the strip, °C.
const ENDS_C: (f64, f64) = (15.0, 95.0);

/// Class from which words stand on a dark tone.
const DARK_FROM: usize = 3;

/// Height of one strip with its words, in heights of the type.
const LANE: f64 = 4.0;

/// What the tones and the triangle are.
pub(super) const KEY: &str = "estimate; as it warms, as far as it goes: crumbly, press, spoon, thick \
    pour, free pour; triangle: poured at";

/// The strips of the formulas that have one.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct StripChart {
    strips: Vec<Strip>,
    style: NumberStyle,
    /// The strips in sentences, for those who do not see them.
    pub words: String,
}

#[derive(Clone, Debug, PartialEq)]
struct Strip {
    name: String,
    /// From, to, class and its word.
    runs: Vec<(f64, f64, PourClass, &'static str)>,
    window: Option<(f64, f64)>,
    limit_c: Option<f64>,
    pour_c: f64,
    /// The window in words, with what ends it.
    words: String,
}

impl StripChart {
    /// The strips; `None` when no formula has one.
    pub fn new(sides: &[SettingSide<'_>], names: &[String], style: NumberStyle) -> Option<Self> {
        let strips: Vec<Strip> = sides
            .iter()
            .zip(names)
            .filter_map(|(side, name)| {
                let window = side.figures.window.as_ref().ok().filter(|w| !w.strip.is_empty())?;
                Some(Strip {
                    name: name.clone(),
                    runs: runs(window),
                    window: window.open_c(),
                    limit_c: window.allowed_to_c(),
                    pour_c: side.figures.pour_c,
                    words: window_words(window, style),
                })
            })
            .collect();
        let c = |t: f64| format_f64(t, 0, style);
        let one = |s: &Strip| {
            let runs: Vec<String> = s
                .runs
                .iter()
                .map(|(a, b, _, word)| format!("{word} from {} to {} \u{b0}C", c(*a), c(*b)))
                .collect();
            format!("{}: {}; {}.", s.name, runs.join(", "), s.words)
        };
        let words = strips.iter().map(one).collect::<Vec<_>>().join(" ");
        (!strips.is_empty()).then_some(Self { strips, style, words })
    }

    /// The window of each formula in words.
    pub fn windows(&self) -> impl Iterator<Item = (&str, &str)> {
        self.strips.iter().map(|s| (s.name.as_str(), s.words.as_str()))
    }

    /// Room that it takes at a size of type.
    pub fn height(&self, font: f64) -> f64 {
        self.strips.len() as f64 * font * LANE + font * 1.6
    }

    /// Places it in a room.
    pub fn draw(&self, room: Room) -> Picture {
        let font = room.font;
        let height = self.height(font);
        let mut out = Picture::new(Room { height, ..room });
        let x = |t: f64| {
            let share = (t - ENDS_C.0) / (ENDS_C.1 - ENDS_C.0);
            share.clamp(0.0, 1.0) * room.width
        };
        for (i, strip) in self.strips.iter().enumerate() {
            let from = i as f64 * font * LANE;
            let (roof, floor) = (from + font * 1.7, from + font * 3.1);
            for (a, b, class, word) in &strip.runs {
                let at = place(*class);
                out.rect((x(*a), roof), (x(*b), floor), Fill::Class(at));
                let kind = if at >= DARK_FROM { Type::Light } else { Type::Plain };
                if x(*b) - x(*a) > room.wide(word) + 4.0 {
                    let middle = (x(*a) + x(*b)) / 2.0;
                    let base = (roof + floor) / 2.0 + font * 0.35;
                    out.words((middle, base), Anchor::Middle, kind, word);
                }
                if *b < ENDS_C.1 {
                    out.line(vec![(x(*b), roof), (x(*b), floor)], Stroke::Border);
                }
            }
            let outline = [(x(ENDS_C.0), roof), (x(ENDS_C.1), roof), (x(ENDS_C.1), floor)];
            let closed = outline.into_iter().chain([(x(ENDS_C.0), floor), (x(ENDS_C.0), roof)]);
            out.line(closed.collect(), Stroke::Border);
            if let Some((a, b)) = strip.window {
                let y = roof - font * 0.18;
                out.line(vec![(x(a), y), (x(b).max(x(a) + 1.0), y)], Stroke::Window);
            }
            if let Some(c) = strip.limit_c.filter(|c| (ENDS_C.0..=ENDS_C.1).contains(c)) {
                out.line(vec![(x(c), roof - font * 0.32), (x(c), floor)], Stroke::Limit);
            }
            let tip = (x(strip.pour_c), floor);
            if (ENDS_C.0..=ENDS_C.1).contains(&strip.pour_c) {
                let (half, low) = (font * 0.32, floor + font * 0.5);
                out.area(vec![tip, (tip.0 + half, low), (tip.0 - half, low)], Fill::Ink);
            }
            self.title(strip, i, from + font * 0.95, &room, &x, &mut out);
        }
        let base = self.strips.len() as f64 * font * LANE + font;
        let step = if room.narrow { 20.0 } else { 10.0 };
        let mut t = 20.0;
        while t <= ENDS_C.1 {
            let last = t + step > ENDS_C.1;
            let unit = if last { " \u{b0}C" } else { "" };
            let words = format!("{}{unit}", format_f64(t, 0, self.style));
            out.words((x(t), base), Anchor::Middle, Type::Soft, &words);
            t += step;
        }
        out
    }

    /// The name where there are two, and the window in words near its place.
    fn title(
        &self,
        strip: &Strip,
        at: usize,
        base: f64,
        room: &Room,
        x: &impl Fn(f64) -> f64,
        out: &mut Picture,
    ) {
        let mut from = 0.0;
        if self.strips.len() > 1 {
            let name = cut(&strip.name, if room.narrow { 14 } else { 26 });
            let kind = if at == 0 { Type::Strong } else { Type::Second };
            out.words((0.0, base), Anchor::Start, kind, &name);
            from = room.wide(&name) + room.font;
        }
        let least = (room.width - from) / (room.font * 0.56);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a few hundred letters
        let words = cut(&strip.words, least.clamp(8.0, 400.0) as usize);
        let wanted = strip.window.map_or(from, |w| x(w.0));
        let most = (room.width - room.wide(&words)).max(from);
        out.words((wanted.clamp(from, most), base), Anchor::Start, Type::Plain, &words);
    }
}

fn place(class: PourClass) -> usize {
    PourClass::ALL.iter().position(|c| *c == class).unwrap_or(0)
}

/// Neighbours of one class as one run; classes meet halfway between full degrees.
fn runs(window: &PourWindow) -> Vec<(f64, f64, PourClass, &'static str)> {
    let mut out: Vec<(f64, f64, PourClass, &'static str)> = Vec::new();
    for (t, class) in &window.strip {
        let (a, b) = ((t - 0.5).max(ENDS_C.0), (t + 0.5).min(ENDS_C.1));
        match out.last_mut() {
            Some(last) if last.3 == window.word(*t, *class) => last.1 = b,
            _ => out.push((a, b, *class, window.word(*t, *class))),
        }
    }
    out
}

fn window_words(window: &PourWindow, style: NumberStyle) -> String {
    let c = |t: f64| format_f64(t, 0, style);
    let limit = window.limits.first().map(|l| (clean(&l.name), c(l.c)));
    match (window.moves_from_c.map(f64::ceil), window.open_c(), limit) {
        (None, ..) => "no pour window: it does not move".to_owned(),
        (Some(from), Some(_), Some((name, to))) => {
            format!("pour window {} to {to} \u{b0}C; upper limit: {name}", c(from))
        }
        (Some(from), Some(_), None) => {
            format!("moves from {} \u{b0}C; no cool-down limits the heat", c(from))
        }
        (Some(from), None, Some((name, to))) => {
            format!(
                "pour window empty: moves from {} \u{b0}C, {name} only to {to} \u{b0}C",
                c(from)
            )
        }
        (Some(from), None, None) => format!("moves from {} \u{b0}C", c(from)),
    }
}
