//! What random hands do next, with what is on screen before their eyes.

use std::path::PathBuf;

use egui::accesskit::{self, ActionData, ActionRequest, Role};
use egui::{Key, Modifiers, PointerButton, Pos2, Rect, Vec2, pos2, vec2};
use egui_kittest::kittest::NodeT as _;
use quern_studio::app::commands::TABLE;

use crate::act::{Act, Hands};
use crate::random::Random;

/// What is typed: amounts in every spelling, words, and what no keyboard has.
const TEXTS: &[&str] = &[
    "5",
    "12.5",
    "12,5",
    "0",
    "100",
    "-3",
    "+2",
    "1,234",
    "1.234,5",
    "1e400",
    "12/3",
    "12/0",
    "40*1,5",
    "1/3",
    "7 %",
    "5 g",
    "3 oz",
    "2 lb",
    "1.8 kg",
    "24 x 75 g",
    "0.0000000001",
    "99999999999999999999999999999",
    "79228162514264337593543950335",
    "1000000000000",
    "NaN",
    "inf",
    "%",
    " ",
    "65 C",
    "2026-02-29",
    "2027-06-30",
    "500-710 um",
    "20-40 mesh",
    "< 300 um",
    "1.5",
    "stearyl",
    "kaolin",
    "8001-25-0",
    "bar",
    "é́à",
    "日本語",
    "שלום",
    "👩‍🔬",
    "\u{202e}abc",
    "\u{0}",
    "a\nb",
    "\t",
    "\u{a0}3\u{2009}5",
    "−4",
    "½",
    "٣",
    "\"",
    "(",
    "ﬁ",
    "x",
    "y",
    "gr",
    "set",
];

/// What is pasted: from a spreadsheet, from a page, from nowhere.
const PASTES: &[&str] = &[
    "1\t2\t3\n4\t5\t6\n",
    "12,5\n7.5\r\n-\n\n1/3\n1e99\n",
    "Water\t60 %\nGlycerin\t5,5\nUnobtainium\t\n",
    "Kaolin\t12.5\tfine\nMica\tabc\t\nTitanium dioxide\t99999999999999999999999999999999\n",
    "\t\t\t\n\t\n",
    "\"a\tb\"\t\"c\nd\"\t5\n",
    "日本\t½\t٣\t👩‍🔬\u{202e}\t−4\n",
    "\u{feff}5\u{0}\t\u{7f}",
    "",
];

const KEYS: &[Key] = &[
    Key::ArrowUp,
    Key::ArrowDown,
    Key::ArrowLeft,
    Key::ArrowRight,
    Key::Home,
    Key::End,
    Key::PageUp,
    Key::PageDown,
    Key::Tab,
    Key::Tab,
    Key::Enter,
    Key::Enter,
    Key::Escape,
    Key::Escape,
    Key::Space,
    Key::Delete,
    Key::Backspace,
    Key::Insert,
    Key::F1,
    Key::F2,
    Key::F3,
    Key::F6,
    Key::F10,
];

const LETTERS: &[Key] = &[
    Key::A,
    Key::B,
    Key::C,
    Key::D,
    Key::E,
    Key::F,
    Key::G,
    Key::H,
    Key::I,
    Key::J,
    Key::K,
    Key::L,
    Key::M,
    Key::N,
    Key::O,
    Key::P,
    Key::Q,
    Key::R,
    Key::S,
    Key::T,
    Key::U,
    Key::V,
    Key::W,
    Key::X,
    Key::Y,
    Key::Z,
    Key::Z,
    Key::Z,
    Key::Num0,
    Key::Num1,
    Key::Num2,
    Key::Num3,
    Key::Num4,
    Key::Num5,
    Key::Num6,
    Key::Num7,
    Key::Num8,
    Key::Num9,
    Key::Plus,
    Key::Minus,
    Key::Comma,
    Key::Enter,
    Key::Delete,
    Key::ArrowUp,
    Key::ArrowDown,
    Key::Home,
    Key::End,
];

/// A thing on screen.
#[derive(Clone, Debug)]
struct Thing {
    role: Role,
    rect: Rect,
    target: accesskit::NodeId,
    tree: accesskit::TreeId,
}

fn things(hands: &Hands) -> Vec<Thing> {
    let scale = f64::from(hands.h.ctx.pixels_per_point());
    let place = |x: f64| {
        #[allow(clippy::cast_possible_truncation)] // places on a screen
        let points = (x / scale) as f32;
        points
    };
    let nodes = hands.h.root().children_recursive();
    nodes
        .filter_map(|node| {
            let node = node.accesskit_node();
            if !egui::accessibility::is_input(node.role()) {
                return None;
            }
            let b = node.bounding_box()?;
            let rect =
                Rect::from_min_max(pos2(place(b.x0), place(b.y0)), pos2(place(b.x1), place(b.y1)));
            let (target, tree) = node.locate();
            Some(Thing { role: node.role(), rect, target, tree })
        })
        .collect()
}

/// The next act.
pub fn choose(random: &mut Random, hands: &Hands, files: &[PathBuf]) -> Act {
    let screen = hands.h.ctx.content_rect();
    if !hands.h.state().state().dialogs.is_empty() && random.one_in(6) {
        return leave(random);
    }
    match random.below(100) {
        0..10 => Act::Key(modifiers(random, 5), random.of(KEYS).unwrap_or(Key::Enter)),
        10..18 => {
            let m = if random.one_in(5) { modifiers(random, 1) } else { Modifiers::COMMAND };
            Act::Key(m, random.of(LETTERS).unwrap_or(Key::A))
        }
        18..24 => Act::Text(text(random)),
        24..44 => thing(random, hands, |random, thing| {
            let button =
                if random.one_in(12) { PointerButton::Secondary } else { PointerButton::Primary };
            let times = 1 + u8::from(random.one_in(8));
            Act::Click(inside(random, thing.rect), button, modifiers(random, 12), times)
        }),
        44..58 => field(random, hands),
        58..62 => {
            Act::Click(inside(random, screen), PointerButton::Primary, modifiers(random, 6), 1)
        }
        62..66 => drag(random, hands, screen),
        66..70 => {
            let delta = vec2(random.unit() * 400.0 - 200.0, random.unit() * 1200.0 - 600.0);
            Act::Scroll(inside(random, screen), delta, modifiers(random, 6))
        }
        70..74 => paste(random),
        74 => Act::Copy,
        75 => Act::Cut,
        76 => Act::PasteBack,
        77 => drop_files(random, files),
        78..80 => Act::Resize(size(random)),
        80 => Act::Scale(
            [0.75, 1.0, 1.25, 1.5, 2.0, 2.5].get(random.below(6)).copied().unwrap_or(1.0),
        ),
        81 if random.one_in(4) => Act::Close,
        81 => Act::Pinch(0.8 + random.unit() * 0.5),
        82 => Act::Focused(random.one_in(2)),
        83 => Act::Compose(text(random), random.one_in(2)),
        84..87 => thing(random, hands, |random, thing| access(random, &thing)),
        87 => Act::Hover(inside(random, screen)),
        88 => Act::Gone,
        // Menus are out of reach below a dialog; a person fills it in, or leaves it.
        89..96 if !hands.h.state().state().dialogs.is_empty() => {
            if random.one_in(3) {
                field(random, hands)
            } else {
                leave(random)
            }
        }
        89..96 => command(random),
        96 => Act::Wait(1 + u8::from(random.one_in(2)) * 3),
        _ => leave(random),
    }
}

/// Leaves what is open, as done or as not done.
fn leave(random: &mut Random) -> Act {
    if random.one_in(3) {
        return Act::Key(Modifiers::COMMAND, Key::Enter);
    }
    Act::Key(Modifiers::NONE, Key::Escape)
}

fn command(random: &mut Random) -> Act {
    let at = random.below(TABLE.len());
    TABLE.get(at).map_or(Act::Gone, |row| Act::Run(row.command))
}

fn modifiers(random: &mut Random, one_in: usize) -> Modifiers {
    if !random.one_in(one_in) {
        return Modifiers::NONE;
    }
    let all = [
        Modifiers::COMMAND,
        Modifiers::SHIFT,
        Modifiers::ALT,
        Modifiers::COMMAND | Modifiers::SHIFT,
        Modifiers::COMMAND | Modifiers::ALT,
        Modifiers::SHIFT,
    ];
    random.of(&all).unwrap_or(Modifiers::NONE)
}

/// A place in a rectangle, most often its middle.
fn inside(random: &mut Random, rect: Rect) -> Pos2 {
    if random.one_in(3) {
        let x = rect.min.x + random.unit() * rect.width();
        return pos2(x, rect.min.y + random.unit() * rect.height());
    }
    rect.center()
}

fn text(random: &mut Random) -> String {
    if random.one_in(150) {
        // Longer than a project file takes, in one piece.
        return "long ".repeat(4_500);
    }
    if random.one_in(40) {
        return "W".repeat(200 + random.below(400));
    }
    random.of(TEXTS).unwrap_or("1").to_owned()
}

fn paste(random: &mut Random) -> Act {
    let text = if random.one_in(40) {
        "Kaolin\t0,01\n".repeat(700)
    } else if random.one_in(4) {
        text(random)
    } else {
        random.of(PASTES).unwrap_or("1").to_owned()
    };
    Act::Paste(text)
}

/// Does something with a thing that lies in the window.
fn thing(random: &mut Random, hands: &Hands, act: impl FnOnce(&mut Random, Thing) -> Act) -> Act {
    let screen = hands.h.ctx.content_rect();
    let mut all = things(hands);
    all.retain(|t| screen.contains(t.rect.center()));
    match random.of(&all) {
        Some(thing) => act(random, thing),
        None => Act::Gone,
    }
}

/// Types something into a field.
fn field(random: &mut Random, hands: &Hands) -> Act {
    let screen = hands.h.ctx.content_rect();
    let mut all = things(hands);
    all.retain(|t| {
        screen.contains(t.rect.center())
            && matches!(
                t.role,
                Role::TextInput | Role::MultilineTextInput | Role::SpinButton | Role::NumberInput
            )
    });
    let Some(found) = random.of(&all) else { return Act::Text(text(random)) };
    let ways = [Key::Enter, Key::Enter, Key::Tab, Key::Escape, Key::ArrowDown];
    Act::Enter(found.rect.center(), text(random), random.of(&ways).unwrap_or(Key::Enter))
}

fn drag(random: &mut Random, hands: &Hands, screen: Rect) -> Act {
    let mut from = inside(random, screen);
    let mut all = things(hands);
    all.retain(|t| screen.contains(t.rect.center()) && t.role == Role::Slider);
    if let Some(slider) = random.of(&all).filter(|_| random.one_in(2)) {
        from = slider.rect.center();
        let to = pos2(slider.rect.min.x + random.unit() * slider.rect.width(), from.y);
        return Act::Drag(from, to, 4);
    }
    let to = from + vec2(random.unit() * 500.0 - 250.0, random.unit() * 400.0 - 200.0);
    Act::Drag(from, to, 1 + u8::try_from(random.below(4)).unwrap_or(0))
}

fn drop_files(random: &mut Random, files: &[PathBuf]) -> Act {
    let mut paths = Vec::new();
    for _ in 0..=random.below(6) / 5 {
        paths.extend(random.of(files));
    }
    Act::Drop(paths)
}

fn size(random: &mut Random) -> Vec2 {
    let all = [
        vec2(1280.0, 800.0),
        vec2(1920.0, 1080.0),
        vec2(640.0, 400.0),
        vec2(880.0, 600.0),
        vec2(700.0, 1000.0),
        vec2(2000.0, 420.0),
        // Smaller than the window allows; a tiling desktop asks nobody.
        vec2(320.0, 200.0),
        vec2(40.0, 20.0),
    ];
    // The smallest ones hide everything, so they are rare.
    let n = if random.one_in(8) { all.len() } else { 6 };
    all.get(random.below(n)).copied().unwrap_or(vec2(1280.0, 800.0))
}

fn access(random: &mut Random, thing: &Thing) -> Act {
    use accesskit::Action as A;
    let number = f64::from(random.unit()) * 2e3 - 1e3;
    let (action, data) = match random.below(6) {
        0 => (A::Focus, None),
        1 => (A::Click, None),
        2 => (A::Increment, None),
        3 => (A::Decrement, None),
        4 => (A::SetValue, Some(ActionData::NumericValue(number))),
        _ => (A::SetValue, Some(ActionData::Value(text(random).into()))),
    };
    Act::Access(Box::new(ActionRequest {
        action,
        target_tree: thing.tree,
        target_node: thing.target,
        data,
    }))
}
