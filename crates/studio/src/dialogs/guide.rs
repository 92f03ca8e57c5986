//! The guide.

use egui::{Label, RichText, ScrollArea, Ui};

use super::title;
use crate::app::commands::{Group, TABLE};
use crate::look::{Tokens, fonts, size};

/// Sections of the guide: heading, text.
const SECTIONS: &[(&str, &str)] = &[
    (
        "A formula",
        "A formula is per cent by mass of the finished product, in phases that are worked together. \
         Type an amount as per cent, as grams of the present batch (12.5 g, 2 oz) or as parts; a sum \
         such as 12/3 works too, and +0.5 adds to what a line holds. One line may fill to 100: it \
         takes whatever the others leave. Nothing is rescaled unless you ask for it.",
    ),
    (
        "The batch",
        "Gross is what goes into the pot, net is what comes out; loss is a share of what is made, so \
         gross = net / (1 − loss). Each line is rounded for the finest scale that holds it. The \
         rounded sum and its difference from the exact one are always shown.",
    ),
    (
        "What follows",
        "Grit is a relative index from a wear model: 50 is a medium fruit-stone grade at 5 %. It \
         ranks blends; no skin study stands behind its constants. Heat to and fats clear are \
         estimates of an ideal model, within a few degrees at best. Powder to liquid is a hint.",
    ),
    (
        "Findings",
        "A square is a stop, a triangle a warning, a dot a note. Each says whose rule it is, where, why, \
         what would fix it, and its source with edition; the arithmetic opens on request. A warning can \
         be accepted with a reason, which is kept and printed; it stands again when the figure changes. \
         Limits are held against components after blends are opened and every source is summed, as the \
         species that the law counts: sodium benzoate × 122.123 / 144.105 is benzoic acid. Allergens are \
         named strictly above 0.01 % in what is rinsed off, 0.001 % in what stays on. An acid \
         preservative works by its undissociated share, 1 / (1 + 10^(pH − pKa)). Exposure is product a \
         day × share × absorbed, and the margin is the point of departure over it: arithmetic on what \
         you enter. What was not checked is listed beside. Nothing here says that a product may be \
         sold: local rules and a qualified assessor decide that.",
    ),
    (
        "Grit",
        "The Grit view shows the grain sizes of each exfoliant and of the blend, the grit index with the \
         band that its assumed constants leave open, what adds up to it, and guides for face, body and \
         feet with their reasons. Enter sizes in a supplier's words (40/60 mesh, 250-500 µm, 95 % below \
         500 µm, D10 150 D50 300 D90 550) or as a sieve table; a lot of your own takes the place of the \
         listed size until you choose otherwise. Ask for a grit and limits, and a blend is found; if none \
         can be, the view says what can be reached and which limit would have to give way. Score bars \
         that you made from 1 to 10 and the index is read on your own scale, residuals shown.",
    ),
    (
        "Setting",
        "The Setting view shows which part of the fat is solid at each temperature, with the band that \
         mixed crystals leave open; how the paste moves, from a free pour to crumbly; and the pour \
         window, from where it stops moving to what the cool-down materials stand. Drag the line on the \
         chart or type a temperature to read pouring elsewhere; drag a fat's slider and everything \
         follows. Choose a mould and where it stands for the time to set and to unmould. These are \
         estimates of ideal models: add what you measured (where a batch set, how it flowed, what a \
         cavity weighed, how deep a needle sank) and they move to it, before and after shown. A reference \
         bar of your own makes firmness mean something.",
    ),
    (
        "Label",
        "The Label view orders the ingredients by weight as added, after blends are opened and names are \
         summed: by amount down to 1 %, free below (sorted all the same), colourants last, allergens in \
         addition. Enter net content, how long it keeps, and who answers for it; up to 30 months it \
         prints a date, above that the open jar. Capitals are given in mm, and rules speak of the small \
         o, three quarters as high. The label sheet prints it at true size with what it rests on; after \
         that the view says when the label has changed.",
    ),
    (
        "Comparing",
        "Compare puts two formulas side by side, or one base with the exfoliants of another. Take the \
         right blend puts those exfoliants into the left formula as one step that can be undone.",
    ),
    (
        "Cautions",
        "Powdered surfactants, starches and clays raise dust: a fitted particle mask and goggles. Hot \
         fat burns: water bath, dry tools, never leave it. Preservatives, fragrance and essential oils \
         are strong undiluted: gloves. Grains do not belong in eyes.",
    ),
    (
        "Files",
        "A project is one readable file that carries the materials it uses, so it opens anywhere. \
         Saving keeps the file before as a backup beside it. Nothing ever leaves this computer: the \
         program opens no network connection.",
    ),
];

/// Shows the guide.
pub fn show(ui: &mut Ui) -> bool {
    let t = Tokens::of(ui);
    ui.set_width(640.0_f32.min(ui.available_width()));
    title(ui, "Guide");
    let height = (ui.ctx().content_rect().height() - 200.0).max(160.0);
    ScrollArea::vertical().max_height(height).id_salt("guide").show(ui, |ui| {
        let page = height - 40.0;
        for (key, by) in [
            (egui::Key::PageDown, -page),
            (egui::Key::PageUp, page),
            (egui::Key::ArrowDown, -40.0),
            (egui::Key::ArrowUp, 40.0),
            (egui::Key::End, -1.0e5),
            (egui::Key::Home, 1.0e5),
        ] {
            if ui.input(|i| i.key_pressed(key)) {
                ui.scroll_with_delta(egui::vec2(0.0, by));
            }
        }
        for (head, text) in SECTIONS {
            ui.label(RichText::new(*head).font(fonts::strong(size::TEXT)));
            ui.add(Label::new(RichText::new(*text).color(t.muted)).wrap());
            ui.add_space(8.0);
        }
        ui.label(RichText::new("Commands").font(fonts::strong(size::TEXT)));
        for group in Group::ALL {
            ui.add_space(4.0);
            ui.label(RichText::new(group.name()).font(fonts::small()).color(t.muted));
            for row in TABLE.iter().filter(|r| r.group == group) {
                let keys = row.shortcut.map(|k| ui.ctx().format_shortcut(&k)).unwrap_or_default();
                ui.horizontal_wrapped(|ui| {
                    ui.label(RichText::new(row.name).font(fonts::strong(size::SMALL)));
                    ui.label(RichText::new(keys).font(fonts::small()).color(t.accent));
                    ui.label(RichText::new(row.about).font(fonts::small()).color(t.muted));
                });
            }
        }
    });
    ui.add_space(8.0);
    ui.button("Close").clicked()
}
