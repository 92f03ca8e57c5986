//! Picking a material or formula by part of its name.

use egui::{Id, Key, Modifiers, RichText, ScrollArea, TextEdit, Ui, vec2};
use quern_calc::evaluate::alike;
use quern_calc::formula::{Formula, Item, Material};

use super::title;
use crate::app::Scene;
use crate::app::action::{Action, Edit};
use crate::app::grit::GritAction;
use crate::app::state::{ExfoliantFor, PickFor, Search};
use crate::look::{Tokens, fonts, size};
use crate::widgets::choices::{self, Choice};
use crate::words;

/// Rows shown at most.
const MOST: usize = 60;

/// One row of a list.
pub struct Row<T> {
    /// First line.
    pub name: String,
    /// Second line.
    pub about: String,
    /// At the right.
    pub right: String,
    /// Can be taken.
    pub enabled: bool,
    /// Heading over it, where a new group begins.
    pub heading: Option<&'static str>,
    /// What is taken.
    pub take: T,
}

impl<T> Row<T> {
    /// As it is drawn.
    #[must_use]
    pub fn choice(&self) -> Choice<'_> {
        let Self { name, about, right, enabled, .. } = self;
        Choice { name, about, right, enabled: *enabled }
    }
}

/// A search field over a list; arrows move, Enter takes. Gives what was taken.
pub(super) fn list<T>(
    ui: &mut Ui,
    id: &str,
    field: &str,
    search: &mut Search,
    rows: impl FnOnce(&str) -> Vec<Row<T>>,
) -> Option<T> {
    let t = Tokens::of(ui);
    let width = (ui.ctx().content_rect().width() - 100.0).clamp(260.0, 620.0);
    ui.set_width(width);
    let (down, up, enter) = ui.input_mut(|i| {
        (
            i.consume_key(Modifiers::NONE, Key::ArrowDown),
            i.consume_key(Modifiers::NONE, Key::ArrowUp),
            i.consume_key(Modifiers::NONE, Key::Enter),
        )
    });
    let response = ui
        .add(
            TextEdit::singleline(&mut search.query)
                .id(Id::unique((id, "field")))
                .desired_width(width)
                .hint_text(field.to_owned())
                .min_size(vec2(0.0, 32.0)),
        )
        .accessible_name(field);
    response.request_focus();
    if response.changed() {
        search.at = 0;
    }
    let rows = rows(search.query.trim());
    if down {
        search.at += 1;
    }
    if up {
        search.at = search.at.saturating_sub(1);
    }
    search.at = search.at.min(rows.len().saturating_sub(1));
    ui.add_space(6.0);
    if rows.is_empty() {
        ui.label(RichText::new(say!("Nothing of that name")).color(t.muted));
    }
    let height = (ui.ctx().content_rect().height() - 220.0).clamp(120.0, 420.0);
    let mut taken = None;
    ScrollArea::vertical().max_height(height).min_scrolled_height(height).id_salt(id).show(
        ui,
        |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            for (i, row) in rows.into_iter().enumerate() {
                let here = i == search.at;
                if let Some(heading) = row.heading {
                    ui.add_space(if i == 0 { 0.0 } else { 8.0 });
                    let text = RichText::new(heading).font(fonts::strong(size::SMALL));
                    ui.label(text.color(t.muted));
                    ui.add_space(2.0);
                }
                let response = choices::row(ui, row.choice(), here);
                if here && (down || up) {
                    response.scroll_to_me(None);
                }
                if row.enabled && (response.clicked() || (enter && here)) {
                    taken = Some(row.take);
                }
            }
        },
    );
    taken
}

fn material_row(m: &Material, own: bool) -> Row<Item> {
    let function = m.function.map_or("", |f| words::text(f.name()));
    Row {
        name: m.display_name().to_owned(),
        about: m.inci_and_form(),
        right: if own {
            say!("{function}, in this project", function)
        } else {
            function.to_owned()
        },
        enabled: true,
        heading: None,
        take: Item::Material(m.id.clone()),
    }
}

fn formula_row(f: &Formula) -> Row<Item> {
    Row {
        name: f.name.clone(),
        about: say!(
            "formula of this project, {product}",
            product = words::engine(f.product.words())
        ),
        right: say!("premix").to_owned(),
        enabled: true,
        heading: None,
        take: Item::Formula(f.id.clone()),
    }
}

/// Exfoliants with grain sizes, of the project and of the library.
fn exfoliants(scene: &Scene<'_>, query: &str) -> Vec<Row<Item>> {
    let built_in = &quern_project::library::builtin().materials;
    let project = &scene.project.materials;
    let fits = |m: &Material| m.function == Some(quern_calc::formula::Function::Exfoliant);
    let row = |m: &Material, own: bool| {
        let mut row = material_row(m, own);
        let size = m
            .grain
            .as_ref()
            .map(|g| quern_calc::grit::entry::understood(g.value.sizes_in_use(), scene.style()));
        row.about = size.map_or_else(|| say!("no grain sizes known").to_owned(), words::told);
        row
    };
    let found: Vec<_> = if query.is_empty() {
        let more = built_in.values().filter(|m| !project.contains_key(&m.id));
        project.values().chain(more).cloned().collect()
    } else {
        let hits = scene.search.find(query, 4 * MOST);
        hits.iter().filter_map(|h| project.get(&h.id).or(built_in.get(&h.id))).cloned().collect()
    };
    // Those with sizes first; an index needs them.
    let (known, bare): (Vec<_>, Vec<_>) =
        found.iter().filter(|m| fits(m)).partition(|m| m.grain.is_some());
    known
        .into_iter()
        .chain(bare)
        .map(|m| row(m, project.contains_key(&m.id)))
        .take(2 * MOST)
        .collect()
}

/// Materials and formulas by part of a name; those like `like` come first, then what the project
/// uses among equals.
pub fn items(scene: &Scene<'_>, query: &str, like: Option<&Material>) -> Vec<Row<Item>> {
    let built_in = &quern_project::library::builtin().materials;
    let project = &scene.project.materials;
    let mut rows: Vec<Row<Item>> = Vec::new();
    let lower = query.to_lowercase();
    let premix = |f: &&std::sync::Arc<Formula>| {
        f.id != scene.formula().id && f.name.to_lowercase().contains(&lower)
    };
    if query.is_empty() {
        rows.extend(project.values().map(|m| material_row(m, true)));
        rows.extend(scene.project.formulas.iter().filter(premix).map(|f| formula_row(f)));
        rows.extend(
            built_in
                .values()
                .filter(|m| !project.contains_key(&m.id))
                .map(|m| material_row(m, false)),
        );
    } else {
        for hit in scene.search.find_ranked(query, MOST, |id| project.contains_key(id)) {
            if let Some(m) = project.get(&hit.id) {
                rows.push(material_row(m, true));
            } else if let Some(m) = built_in.get(&hit.id) {
                rows.push(material_row(m, false));
            }
        }
        rows.extend(scene.project.formulas.iter().filter(premix).map(|f| formula_row(f)));
    }
    if let Some(like) = like {
        let fits = |row: &Row<Item>| match &row.take {
            Item::Material(id) => {
                project.get(id).or_else(|| built_in.get(id)).is_some_and(|m| alike(m, like))
            }
            Item::Formula(_) => false,
        };
        // Two of a kind keep their order.
        rows.sort_by_key(|row| !fits(row));
    }
    rows.truncate(MOST);
    rows
}

/// Picks a material or a formula.
pub fn material(
    ui: &mut Ui,
    scene: &Scene<'_>,
    purpose: &PickFor,
    search: &mut Search,
    picked: &mut Option<Item>,
    actions: &mut Vec<Action>,
) -> bool {
    let text = match purpose {
        PickFor::Replace(line) => {
            let name = scene.here.evaluation.line(*line).map_or("", |l| l.name.as_str());
            say!("In place of {name}", name)
        }
        PickFor::Alternative => say!("Alternative").to_owned(),
        PickFor::Exfoliant(ExfoliantFor::Add) => {
            say!("Exfoliant for {name}", name = scene.here.name)
        }
        PickFor::Exfoliant(ExfoliantFor::From) => say!("Exfoliant to look through").to_owned(),
        PickFor::Exfoliant(ExfoliantFor::Corner(_)) => say!("Exfoliant of the map").to_owned(),
        PickFor::Exfoliant(ExfoliantFor::Swap(line)) => {
            let name = scene.here.evaluation.line(*line).map_or("", |l| l.name.as_str());
            say!("In place of {name}", name)
        }
    };
    title(ui, &text);
    let field = say!("Part of a common or INCI name, or a CAS number");
    let grains = matches!(purpose, PickFor::Exfoliant(_));
    let like = match purpose {
        PickFor::Replace(line) => scene.formula().line(*line).and_then(|l| match &l.item {
            Item::Material(id) => scene.library.material(id),
            Item::Formula(_) => None,
        }),
        _ => None,
    };
    let rows = |q: &str| if grains { exfoliants(scene, q) } else { items(scene, q, like) };
    let Some(item) = list(ui, "pick", field, search, rows) else {
        return false;
    };
    match purpose {
        PickFor::Replace(line) => actions.push(Action::Edit(Edit::Item(*line, item))),
        PickFor::Alternative => *picked = Some(item),
        PickFor::Exfoliant(what) => {
            if let Item::Material(id) = item {
                let action = match what {
                    ExfoliantFor::Add => GritAction::AddExfoliant(id),
                    ExfoliantFor::From => GritAction::From(id, true),
                    ExfoliantFor::Corner(at) => GritAction::Corner(*at, Some(id)),
                    ExfoliantFor::Swap(line) => GritAction::Swap(*line, id),
                };
                actions.push(Action::Grit(action));
            }
        }
    }
    true
}
