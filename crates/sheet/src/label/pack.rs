//! What stands on the label itself, and how large.

use quern_calc::label::Label;
use quern_calc::number::{NumberStyle, format_plain};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use super::jar::Jar;
use crate::figure::DASH;
use crate::text::{bound, clean};

/// Height of Inter's capitals and figures, and of its small letters, in parts of the type size.
pub(super) const CAPITALS: f64 = 0.727;
const SMALL_LETTERS: Decimal = Decimal::from_parts(546, 0, 0, false, 3);
const CAPITALS_EXACT: Decimal = Decimal::from_parts(727, 0, 0, false, 3);

/// Sides that can be drawn, mm.
const SIDE_MM: (Decimal, Decimal) =
    (Decimal::from_parts(5, 0, 0, false, 0), Decimal::from_parts(1000, 0, 0, false, 0));
/// Capitals that can be drawn, mm.
const LETTER_MM: (Decimal, Decimal) =
    (Decimal::from_parts(3, 0, 0, false, 1), Decimal::from_parts(50, 0, 0, false, 0));
/// Drawn in place of what cannot be, mm.
const USUAL_SIZE_MM: (Decimal, Decimal) =
    (Decimal::from_parts(80, 0, 0, false, 0), Decimal::from_parts(50, 0, 0, false, 0));
const USUAL_LETTER_MM: Decimal = Decimal::from_parts(16, 0, 0, false, 1);

/// The label as it is drawn.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Pack {
    pub width_mm: f64,
    pub height_mm: f64,
    /// Empty rim on each side, mm.
    pub rim_mm: f64,
    /// Height of capitals, mm.
    pub letter_mm: f64,
    /// Height of the figures of the content, mm.
    pub content_mm: f64,
    /// "80 × 50 mm".
    pub size: String,
    /// "1.6 mm, small letters 1.2 mm".
    pub letters: String,
    /// "3 mm", or that there is none.
    pub content: String,
    /// What could not be drawn as it was asked for.
    pub notes: Vec<String>,
    pub groups: Vec<Vec<PackPart>>,
}

/// Where the name of who answers for the product goes.
const ADDRESS: &str = "name and address";

/// How a part is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Name,
    Plain,
    Content,
    Caution,
    List,
    Jar,
    /// A place to write on.
    Blank,
}

impl Kind {
    /// Its name in a template and a style sheet.
    pub fn name(self) -> &'static str {
        match self {
            Self::Name => "name",
            Self::Plain => "plain",
            Self::Content => "content",
            Self::Caution => "caution",
            Self::List => "list",
            Self::Jar => "jar",
            Self::Blank => "blank",
        }
    }
}

/// One part of the label.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct PackPart {
    pub kind: Kind,
    /// Set in bold before the rest: "Ingredients:".
    pub lead: String,
    /// Pieces between which a label may continue in another panel.
    pub pieces: Vec<String>,
}

impl PackPart {
    fn new(kind: Kind, lead: &str, text: &str) -> Self {
        let pieces = bound(&clean(text)).split_inclusive(' ').map(str::to_owned).collect();
        Self { kind, lead: clean(lead), pieces }
    }

    /// A place to write on, with what goes there.
    fn blank(lead: &str, what: &str) -> Self {
        Self { kind: Kind::Blank, lead: lead.to_owned(), pieces: vec![what.to_owned()] }
    }

    /// Lines to write on.
    pub fn lines(&self) -> usize {
        match self.kind {
            Kind::Blank if self.pieces.iter().any(|p| p == ADDRESS) => 2,
            Kind::Blank => 1,
            _ => 0,
        }
    }

    /// All of its words after the lead.
    pub fn text(&self) -> String {
        self.pieces.concat()
    }

    /// The jar around its words.
    pub fn jar(&self) -> Option<Jar> {
        (self.kind == Kind::Jar).then(|| Jar::holding(self.text().chars().count()))
    }

    fn is_empty(&self) -> bool {
        self.lead.is_empty() && self.pieces.iter().all(|p| p.trim().is_empty())
    }
}

impl Pack {
    pub fn new(label: &Label, content_mm: Option<Decimal>, style: NumberStyle) -> Self {
        let mut notes = Vec::new();
        let mm = |x: Decimal| format_plain(x.round_dp(2).normalize(), style);
        let within = |x: Decimal, span: (Decimal, Decimal)| span.0 <= x && x <= span.1;
        let (mut width, mut height) = label.size_mm;
        if !within(width, SIDE_MM) || !within(height, SIDE_MM) {
            notes.push(format!(
                "A label of {} \u{d7} {} mm cannot be drawn: it is shown at {} \u{d7} {} mm",
                mm(width),
                mm(height),
                mm(USUAL_SIZE_MM.0),
                mm(USUAL_SIZE_MM.1)
            ));
            (width, height) = USUAL_SIZE_MM;
        }
        let mut letter = label.letter_mm;
        if !within(letter, LETTER_MM) {
            notes.push(format!(
                "Capitals of {} mm cannot be drawn: they are shown {} mm high",
                mm(letter),
                mm(USUAL_LETTER_MM)
            ));
            letter = USUAL_LETTER_MM;
        }
        let content = content_mm.filter(|c| within(*c, LETTER_MM)).unwrap_or(letter);
        let small = letter
            .checked_mul(SMALL_LETTERS)
            .and_then(|x| x.checked_div(CAPITALS_EXACT))
            .unwrap_or(letter);
        let f = |x: Decimal| x.to_f64().unwrap_or(1.0);
        Self {
            width_mm: f(width),
            height_mm: f(height),
            rim_mm: 2.2_f64.min(f(width) / 12.0).min(f(height) / 12.0),
            letter_mm: f(letter),
            content_mm: f(content),
            size: format!("{} \u{d7} {} mm", mm(width), mm(height)),
            letters: format!("{} mm, small letters {} mm", mm(letter), mm(small)),
            content: match label.net {
                Some(_) => format!("{} mm", mm(content)),
                None => DASH.to_owned(),
            },
            notes,
            groups: groups(label),
        }
    }

    /// Every text of a user.
    #[cfg(feature = "pdf")]
    pub fn texts(&self) -> impl Iterator<Item = &str> {
        let parts = self.groups.iter().flatten();
        parts.flat_map(|p| p.pieces.iter().chain([&p.lead]).map(String::as_str))
    }
}

/// The parts in their order. Those of a group stay together while one panel holds them.
fn groups(label: &Label) -> Vec<Vec<PackPart>> {
    use Kind as K;
    let part = PackPart::new;
    let net = match &label.net {
        Some(net) => part(K::Content, "", net),
        None => PackPart::blank("", "net content"),
    };
    let code = match &label.code {
        Ok(code) if !clean(code).is_empty() => part(K::Plain, "Lot", code),
        _ => PackPart::blank("Lot", "batch code"),
    };
    let responsible = match &label.responsible {
        Some(name) => part(K::Plain, "", name),
        None => PackPart::blank("", ADDRESS),
    };
    let origin = label.origin.as_deref().map_or(String::new(), |o| format!("Made in {o}"));
    let mut dates = Vec::new();
    if let Some(symbol) = &label.after_opening {
        dates.push(part(K::Jar, "", symbol));
    }
    dates.extend([part(K::Plain, "", label.best_before.as_deref().unwrap_or_default()), code]);
    let mut groups = vec![
        vec![part(K::Name, "", &label.name), part(K::Plain, "", &label.function), net],
        vec![part(K::Plain, "", &label.directions)],
        label.cautions.iter().map(|c| part(K::Caution, "", &c.text)).collect(),
        vec![list(label)],
        dates,
        vec![responsible, part(K::Plain, "", &origin)],
    ];
    for group in &mut groups {
        group.retain(|p| !p.is_empty());
    }
    groups.retain(|g| !g.is_empty());
    groups
}

/// The list: a panel may end behind each of its names, and within one that is very long.
fn list(label: &Label) -> PackPart {
    const LONG: usize = 60;
    let heading = clean(&label.list.heading);
    let last = label.list.entries.len().saturating_sub(1);
    let mut pieces = Vec::new();
    for (at, entry) in label.list.entries.iter().enumerate() {
        let mut name = clean(&entry.name);
        if at < last {
            name.push_str(", ");
        }
        if name.chars().count() > LONG {
            pieces.extend(name.split_inclusive(' ').map(str::to_owned));
        } else {
            pieces.push(name);
        }
    }
    if pieces.is_empty() {
        return PackPart { kind: Kind::List, lead: String::new(), pieces };
    }
    let lead = if heading.is_empty() { heading } else { format!("{heading}:") };
    PackPart { kind: Kind::List, lead, pieces }
}
