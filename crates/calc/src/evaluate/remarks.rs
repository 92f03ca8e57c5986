//! What the Setting view says in sentences: how it pours and what moves it, the window, the post,
//! the shelf. Written once, for the view, the sheet and the command line alike.

use rust_decimal::Decimal;

use super::{Evaluation, Mover, SettingFigures, ToClass};
use crate::formula::Function;
use crate::number::{NumberStyle, format_f64, format_fixed};
use crate::quantity::Percent;
use crate::setting::pour::PourClass;
use crate::setting::shelf::Keeps;

/// How a remark is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// Likely to spoil the batch.
    Warn,
    /// Worth knowing.
    Note,
    /// As wished.
    Fine,
}

impl Tone {
    /// Key in scripts.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Warn => "warn",
            Self::Note => "note",
            Self::Fine => "fine",
        }
    }
}

/// One remark.
#[derive(Clone, Debug, PartialEq)]
pub struct Remark {
    /// How it is meant.
    pub tone: Tone,
    /// What it is about, as a stable key.
    pub about: &'static str,
    /// What there is.
    pub text: String,
    /// What can be done, one choice each; empty when nothing needs to be.
    pub choices: Vec<String>,
}

/// One change in words: "2.10 % less Maize starch", "pour at 58 °C".
#[must_use]
pub fn mover_words(mover: &Mover, style: NumberStyle) -> String {
    match mover {
        Mover::Line { name, percent, .. } => {
            let word = if *percent > 0.0 { "more" } else { "less" };
            format!("{} % {word} {name}", format_f64(away(percent.abs()), 1, style))
        }
        Mover::Temperature(c) => format!("pour at {} °C", format_f64(c.round(), 0, style)),
    }
}

/// The amount of its line after a change, as [`mover_words`] says it; nothing for a change that is
/// none of a line, or that would leave less than nothing.
#[must_use]
pub fn moved(mover: &Mover, now: Percent) -> Option<Percent> {
    let Mover::Line { percent, .. } = mover else { return None };
    let by = Decimal::try_from(away(percent.abs())).ok()?.round_dp(1);
    let to = if *percent > 0.0 { now.0.checked_add(by)? } else { now.0.checked_sub(by)? };
    (to >= Decimal::ZERO).then_some(Percent(to))
}

/// Rounded up to a tenth, so that what is said is enough.
fn away(x: f64) -> f64 {
    (x * 10.0 - 1e-6).ceil() / 10.0
}

/// Every remark on a formula, most pressing first.
///
/// `others` names materials of a function that stand at least so many °C, for what may take the
/// place of one that closes the pour window.
#[must_use]
pub fn remarks(
    e: &Evaluation,
    s: &SettingFigures,
    others: &dyn Fn(Function, f64) -> Vec<String>,
    style: NumberStyle,
) -> Vec<Remark> {
    let mut out = Vec::new();
    if !e.total_ok && !e.total.is_zero() {
        out.push(Remark {
            tone: Tone::Warn,
            about: "total",
            text: format!(
                "The formula adds up to {} %, not 100: these figures are of its parts as they stand",
                format_fixed(e.total.0, 2, style)
            ),
            choices: Vec::new(),
        });
    }
    left_out(e, s, style, &mut out);
    piece(e, s, style, &mut out);
    pours(s, style, &mut out);
    window(e, s, others, style, &mut out);
    parcel(s, style, &mut out);
    if let Some(sweat) = &s.sweat {
        out.push(Remark {
            tone: Tone::Note,
            about: "sweat",
            text: format!(
                "{} at {} % {} moisture: drops may stand on the piece in damp air",
                sweat.names.join(", "),
                format_f64(sweat.percent, 1, style),
                if sweat.names.len() == 1 { "draws" } else { "draw" }
            ),
            choices: vec![
                "wrap it tight as soon as it is cold".to_owned(),
                format!("use {} % or less", format_f64(super::SWEATS_ABOVE, 0, style)),
            ],
        });
    }
    oxidation(s, style, &mut out);
    out.sort_by_key(|r| match r.tone {
        Tone::Warn => 0,
        Tone::Note => 1,
        Tone::Fine => 2,
    });
    out
}

fn left_out(e: &Evaluation, s: &SettingFigures, style: NumberStyle, out: &mut Vec<Remark>) {
    if let Ok(m) = &e.melt
        && !m.fat.left_out.is_empty()
    {
        out.push(Remark {
            tone: Tone::Note,
            about: "melt-left-out",
            text: format!(
                "Melt curve without {}: no melt data, {} % of the fat",
                m.fat.left_out.join(", "),
                format_f64(100.0 * m.fat.left_out_share, 0, style)
            ),
            choices: vec!["type the supplier's solid-fat table under Materials here".to_owned()],
        });
    }
    if let Ok(m) = &e.melt
        && !m.fat.stops_early.is_empty()
    {
        out.push(Remark {
            tone: Tone::Warn,
            about: "table-stops-early",
            text: format!(
                "Your solid-fat table of {} stops while much is solid: where it melts is a guess",
                m.fat.stops_early.join(", ")
            ),
            choices: vec!["add a row where nearly all is melted".to_owned()],
        });
    }
    if let Ok(p) = &s.pour
        && !p.left_out.is_empty()
    {
        out.push(Remark {
            tone: Tone::Note,
            about: "pour-left-out",
            text: format!("Pouring without {}: no density", p.left_out.join(", ")),
            choices: Vec::new(),
        });
    }
}

/// A mould that is not of the planned piece.
fn piece(e: &Evaluation, s: &SettingFigures, style: NumberStyle, out: &mut Vec<Remark>) {
    /// Share by which a cavity may differ from the piece.
    const OFF: f64 = 0.15;
    let planned = e.batch.as_ref().ok().and_then(|b| b.piece).map(|p| p.to_f64());
    let (Some(planned), Some(f)) = (planned.filter(|p| *p > 0.0), &s.filling) else { return };
    if (f.grams / planned - 1.0).abs() > OFF {
        out.push(Remark {
            tone: Tone::Note,
            about: "piece",
            text: format!(
                "A cavity of the mould takes {} g, the batch is planned in pieces of {} g",
                format_f64(f.grams, 0, style),
                format_f64(planned, 0, style)
            ),
            choices: vec![
                "choose the mould of the piece, or plan the piece of the mould".to_owned(),
            ],
        });
    }
}

fn joined(to: &ToClass, style: NumberStyle) -> Vec<String> {
    to.movers.iter().map(|m| mover_words(m, style)).collect()
}

fn pours(s: &SettingFigures, style: NumberStyle, out: &mut Vec<Remark>) {
    let Ok(p) = &s.pour else { return };
    let mut text = format!(
        "At {} °C {}, {} % of jamming ({} to {})",
        format_f64(p.at_c, 0, style),
        if p.set { "it has set: warm it to pour" } else { class_words(p.class) },
        format_f64(100.0 * p.ratio, 0, style),
        format_f64(100.0 * p.ratio_band.0, 0, style),
        format_f64(100.0 * p.ratio_band.1, 0, style)
    );
    if let Some(to) = s.stiffer.as_ref().filter(|t| !t.movers.is_empty()) {
        let ways: Vec<String> = joined(to, style).into_iter().take(2).collect();
        text.push_str(&format!("; {} would {}", ways.join(" or "), become_words(to.class)));
    }
    let filler = [&s.easier, &s.stiffer].into_iter().flatten().find_map(|t| t.filled_by.clone());
    if let Some(filler) = filler {
        text.push_str(&format!("; {filler} fills up to 100"));
    }
    if s.correction.disagrees {
        text.push_str("; your flow measurements contradict each other, and their mean is used");
    }
    let choices = s
        .easier
        .as_ref()
        .map(|to| {
            let ends = format!("would {}", become_words(to.class));
            joined(to, style).into_iter().take(3).map(|w| format!("{w} {ends}")).collect()
        })
        .unwrap_or_default();
    let tone = match p.class {
        _ if p.set => Tone::Note,
        PourClass::FreePour | PourClass::ThickPour | PourClass::Spoon => Tone::Fine,
        PourClass::Press => Tone::Note,
        PourClass::Crumbly => Tone::Warn,
    };
    out.push(Remark { tone, about: "pour", text, choices });
}

fn class_words(class: PourClass) -> &'static str {
    match class {
        PourClass::FreePour => "it runs by itself",
        PourClass::ThickPour => "it is a thick pour: from a jug, then tap the mould",
        PourClass::Spoon => "it is spooned, and levelled by tapping",
        PourClass::Press => "it is stiff: press it into the mould",
        PourClass::Crumbly => "it is crumbly: too little liquid to hold together unless compacted",
    }
}

fn become_words(class: PourClass) -> &'static str {
    match class {
        PourClass::FreePour => "let it run",
        PourClass::ThickPour => "make it a thick pour",
        PourClass::Spoon => "make it a spoon paste",
        PourClass::Press => "make it a press paste",
        PourClass::Crumbly => "make it crumbly",
    }
}

fn window(
    e: &Evaluation,
    s: &SettingFigures,
    others: &dyn Fn(Function, f64) -> Vec<String>,
    style: NumberStyle,
    out: &mut Vec<Remark>,
) {
    let Ok(w) = &s.window else { return };
    let c = |x: f64| format_f64(x, 0, style);
    if let Some(limit) = w.limits.first().filter(|l| s.pour_c > l.c + 0.05) {
        out.push(Remark {
            tone: Tone::Warn,
            about: "too-hot",
            text: format!(
                "{} °C is too hot to pour with all in it: {} ends at {} °C",
                c(s.pour_c),
                limit.name,
                c(limit.c)
            ),
            choices: vec![format!("cool to {} °C before the cool-down goes in", c(limit.c))],
        });
    }
    let Some(moves) = w.moves_from_c else {
        out.push(Remark {
            tone: Tone::Note,
            about: "window",
            text: "No pour window: it does not move at any temperature, so press it into the mould"
                .to_owned(),
            choices: Vec::new(),
        });
        return;
    };
    let Some(limit) = w.limits.first() else {
        out.push(Remark {
            tone: Tone::Fine,
            about: "window",
            text: if w.moves_when_cold() {
                "It moves at any room temperature, and no cool-down limits the heat".to_owned()
            } else {
                format!("Pour above {} °C; no cool-down limits the heat", c(moves.ceil()))
            },
            choices: Vec::new(),
        });
        return;
    };
    if w.moves_when_cold() && moves <= limit.c {
        out.push(Remark {
            tone: Tone::Fine,
            about: "window",
            text: format!(
                "Pour below {} °C, which {} sets; it moves at any room temperature",
                c(limit.c),
                limit.name
            ),
            choices: Vec::new(),
        });
        return;
    }
    if moves <= limit.c {
        let narrow = limit.c - moves < 5.0;
        let pours = match w.pours_from_c {
            Some(p) if p <= limit.c => format!("; it pours from a jug above {} °C", c(p)),
            _ => String::new(),
        };
        out.push(Remark {
            tone: if narrow { Tone::Note } else { Tone::Fine },
            about: "window",
            text: format!(
                "Pour window {} to {} °C: below {} it no longer moves, {} sets the upper end{pours}{}",
                c(moves.ceil()),
                c(limit.c),
                c(moves.ceil()),
                limit.name,
                if narrow { "; it is narrow, so work fast in a warm mould" } else { "" }
            ),
            choices: Vec::new(),
        });
        return;
    }
    let mut choices = Vec::new();
    for closing in w.limits.iter().filter(|l| l.c < moves) {
        match closing.function {
            Some(function) => {
                let names: Vec<String> = others(function, moves)
                    .into_iter()
                    .filter(|n| *n != closing.name)
                    .take(3)
                    .collect();
                if names.is_empty() {
                    choices.push(format!("another {} than {}", function.name(), closing.name));
                } else {
                    choices.push(format!("{} in place of {}", names.join(", or "), closing.name));
                }
            }
            None => choices.push(format!(
                "a higher temperature for {}, if its materials stand it",
                closing.name
            )),
        }
    }
    choices.push(match more_oil(s, style) {
        Some(words) => words,
        None => "more oil, or less powder".to_owned(),
    });
    if let Some(fat) = stiffest_fat(e, limit.c) {
        choices.push(format!("a lower-melting fat in place of some {fat}"));
    }
    out.push(Remark {
        tone: Tone::Warn,
        about: "window",
        text: format!(
            "The pour window is empty: it stops moving below {} °C, but {} must not be in above {} °C",
            c(moves.ceil()),
            limit.name,
            c(limit.c)
        ),
        choices,
    });
}

/// The oil that would thin it to the next class, in words.
fn more_oil(s: &SettingFigures, style: NumberStyle) -> Option<String> {
    let to = s.easier.as_ref()?;
    let more = |m: &&Mover| matches!(m, Mover::Line { percent, .. } if *percent > 0.0);
    let oil = to.movers.iter().find(more)?;
    match oil {
        Mover::Line { name, percent, .. } => {
            let percent = format_f64(away(*percent), 1, style);
            Some(format!("{percent} % more {name} would thin it by a class"))
        }
        Mover::Temperature(_) => None,
    }
}

/// The component of which most is solid at a temperature.
fn stiffest_fat(e: &Evaluation, at_c: f64) -> Option<String> {
    let m = e.melt.as_ref().ok()?;
    let [_, shift, _] = m.shift_c;
    let mut shares = Vec::new();
    let components = m.fat.components(super::Mixing::Alcohols);
    crate::setting::melt::solid_shares(&components, at_c - shift, &mut shares);
    let most = shares.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1))?;
    (*most.1 > 0.0).then(|| m.fat.components.get(most.0).map(|c| c.name.clone()))?
}

fn parcel(s: &SettingFigures, style: NumberStyle, out: &mut Vec<Remark>) {
    let Ok(f) = &s.shelf else { return };
    let p = &f.parcel;
    let at = format_f64(p.at_c, 0, style);
    if f.in_a_pot {
        if p.keeps != Keeps::Shape {
            out.push(Remark {
                tone: Tone::Note,
                about: "parcel",
                text: format!("At {at} °C it is soft in its tin or jar and may leak"),
                choices: vec!["a tight lid, upright, cooled again before it is opened".to_owned()],
            });
        }
        return;
    }
    let (softest, firmest) = p.keeps_band;
    let (tone, mut text) = match p.keeps {
        Keeps::Shape => (Tone::Fine, format!("In a parcel of {at} °C it keeps its shape")),
        Keeps::Softens => (
            Tone::Note,
            format!("In a parcel of {at} °C it softens: it dents and sticks to its wrap"),
        ),
        Keeps::Slumps => (Tone::Warn, format!("In a parcel of {at} °C it slumps out of shape")),
    };
    let other = if softest == p.keeps { firmest } else { softest };
    let mut tone = tone;
    if other != p.keeps {
        text.push_str(&format!("; if its fats mix otherwise it {}", other.name()));
        if other > p.keeps && tone == Tone::Fine {
            tone = Tone::Note;
        }
    }
    if p.keeps != Keeps::Shape && f.parcel_fat_solid.is_some_and(|x| x < 0.01) {
        text.push_str("; powder alone holds it, no fat is solid there");
    }
    if p.keeps == Keeps::Shape && f.parcel_fat_solid.is_some_and(|x| x < 0.01) {
        tone = Tone::Note;
        text.push_str("; none of its fat is solid there, so oil may weep into the wrap");
    }
    let choices = if p.keeps == Keeps::Shape {
        Vec::new()
    } else {
        vec![
            "a fat or wax that melts far above it, for oil and not for powder".to_owned(),
            "more powder, if it still pours".to_owned(),
            "a rigid box, and no post in a heat wave".to_owned(),
        ]
    };
    out.push(Remark { tone, about: "parcel", text, choices });
}

fn oxidation(s: &SettingFigures, style: NumberStyle, out: &mut Vec<Remark>) {
    use crate::setting::shelf::Stability as S;
    let Ok(o) = &s.oxidation else { return };
    let most = o.from.first().map_or(String::new(), |(name, share)| {
        format!("; {} % of it from {name}", format_f64(100.0 * share, 0, style))
    });
    let mut text = format!(
        "Oxidation of the oils: {} ({}){most}",
        o.band.name(),
        format_f64(o.value, 1, style)
    );
    if !o.without.is_empty() {
        text.push_str(&format!(
            "; without {}, whose fatty acids are not known",
            o.without.join(", ")
        ));
    }
    if !o.unweighted.is_empty() {
        text.push_str(&format!(
            "; acids of {} that have no weight count as stable",
            o.unweighted.join(", ")
        ));
    }
    let mut choices = Vec::new();
    let weak = matches!(o.band, S::Moderate | S::Poor | S::KeepCold);
    if o.antioxidants.is_empty() && o.value > 0.0 {
        text.push_str("; no antioxidant is in");
        if weak {
            choices
                .push("an antioxidant, such as tocopherol in the oils before heating".to_owned());
        }
    } else if !o.antioxidants.is_empty() {
        text.push_str(&format!("; antioxidant: {}", o.antioxidants.join("; ")));
    }
    if weak {
        choices.push("an oil with more oleic and less linoleic or linolenic acid".to_owned());
        choices.push("small batches, kept cool and dark".to_owned());
    }
    let tone = match o.band {
        S::VeryStable | S::Good => Tone::Fine,
        S::Moderate => Tone::Note,
        S::Poor | S::KeepCold => Tone::Warn,
    };
    out.push(Remark { tone, about: "oxidation", text, choices });
}
