//! Finding or doing anything: rows from several providers, each kind under its heading.
//!
//! A new kind is one more function in [`PROVIDERS`].

use super::pick::{Row, items, list};
use super::title;
use crate::app::Scene;
use crate::app::action::{Action, Edit};
use crate::app::commands::{Command, TABLE};
use crate::app::preferences::palette_rows;
use crate::app::state::{Dialog, Search};
use crate::app::versions::VersionAction;
use crate::guide::{self, holds};
use crate::words;
use egui::Ui;
use quern_project::library::Needles;

/// What one kind of thing offers.
struct Offer {
    /// How well it fits; the best one decides the place of its kind.
    score: u32,
    row: Row<Action>,
}

/// What a provider is asked.
struct Ask<'a> {
    scene: &'a Scene<'a>,
    /// What was typed.
    query: &'a str,
    needles: Needles,
}

/// A kind of thing: its heading, rows at most, and what gives them.
struct Provider {
    heading: &'static str,
    most: usize,
    rows: fn(&Ask<'_>) -> Vec<Offer>,
}

/// Every kind, in the order of an empty search and of equal fits.
const PROVIDERS: &[Provider] = &[
    Provider { heading: term!("Commands"), most: 60, rows: commands },
    Provider { heading: term!("Settings"), most: 12, rows: settings },
    Provider { heading: term!("Formulas"), most: 12, rows: formulas },
    Provider { heading: term!("Versions"), most: 12, rows: versions },
    Provider { heading: term!("Lines of this formula"), most: 12, rows: lines },
    Provider { heading: term!("Add a material"), most: 12, rows: materials },
    Provider { heading: term!("Guide"), most: 6, rows: pages },
];

/// Commands that change a preference; they stand under their own heading.
const PREFERENCES: [Command; 7] = [
    Command::ThemeNext,
    Command::ReadingFont,
    Command::DecimalSign,
    Command::FourDecimals,
    Command::ZoomIn,
    Command::ZoomOut,
    Command::ZoomReset,
];

fn command_offers(ask: &Ask<'_>, preferences: bool) -> Vec<Offer> {
    let rows = TABLE.iter().filter(|r| PREFERENCES.contains(&r.command) == preferences);
    rows.filter_map(|r| {
        // What it is called counts more than what it does.
        let named = ask.needles.score(r.name()).map(|s| s.saturating_add(50));
        let told = || holds(&format!("{} {}", r.name(), r.about()), &guide::words(ask.query));
        let score = named.or_else(|| told().then_some(20))?;
        let why_not = ask.scene.why_not(r.command);
        let keys = r.shortcut.map(|s| shortcut(&s)).unwrap_or_default();
        let row = Row {
            name: r.name().to_owned(),
            about: why_not.unwrap_or(r.about()).to_owned(),
            right: keys,
            enabled: why_not.is_none(),
            heading: None,
            take: Action::Run(r.command),
        };
        Some(Offer { score, row })
    })
    .collect()
}

fn commands(ask: &Ask<'_>) -> Vec<Offer> {
    command_offers(ask, false)
}

fn settings(ask: &Ask<'_>) -> Vec<Offer> {
    let mut offers = command_offers(ask, true);
    if ask.query.is_empty() {
        return offers;
    }
    let scene = ask.scene;
    for (name, now, take) in palette_rows(scene.settings, &scene.project.currency) {
        if let Some(score) = ask.needles.score(&name) {
            offers.push(offer(score, name, now, String::new(), take));
        }
    }
    offers
}

/// Kept versions by name and number, newest first; taken ones are shown beside the one at work.
fn versions(ask: &Ask<'_>) -> Vec<Offer> {
    if ask.query.is_empty() {
        return Vec::new();
    }
    let kept = ask.scene.project.kept.iter().rev();
    kept.filter_map(|k| {
        let version = &k.formula.version;
        let name =
            say!("{formula}, version {number}", formula = k.formula.name, number = version.number);
        let score = ask.needles.score(&name)?;
        let about = say!(
            "{state}, kept on {day}",
            state = words::text(version.state.name()),
            day = ask.scene.day_words(k.date)
        );
        let take = Action::Version(VersionAction::Beside(k.formula.id.clone(), version.number));
        Some(offer(score, name, about, say!("kept version").to_owned(), take))
    })
    .collect()
}

fn offer(score: u32, name: String, about: String, right: String, take: Action) -> Offer {
    Offer { score, row: Row { name, about, right, enabled: true, heading: None, take } }
}

fn formulas(ask: &Ask<'_>) -> Vec<Offer> {
    let formulas = ask.scene.project.formulas.iter();
    formulas
        .filter_map(|f| {
            let score = ask.needles.score(&f.name)?.saturating_add(50);
            let here = f.id == ask.scene.formula().id;
            let right = if here {
                say!("at hand").to_owned()
            } else {
                words::text(f.version.state.name()).to_owned()
            };
            let take = Action::SelectFormula(f.id.clone());
            Some(offer(score, f.name.clone(), words::told(f.product.words()), right, take))
        })
        .collect()
}

fn lines(ask: &Ask<'_>) -> Vec<Offer> {
    if ask.query.is_empty() {
        return Vec::new();
    }
    let lines = ask.scene.here.evaluation.lines.iter();
    lines
        .filter_map(|l| {
            let score = ask.needles.score(&format!("{} {}", l.name, l.inci))?;
            let right = l.percent.map(|p| {
                let places = ask.scene.percent_places();
                format!("{} %", quern_calc::number::format_fixed(p.0, places, ask.scene.style()))
            });
            let take = Action::GoToLine(l.line);
            Some(offer(score, l.name.clone(), l.inci.clone(), right.unwrap_or_default(), take))
        })
        .collect()
}

fn materials(ask: &Ask<'_>) -> Vec<Offer> {
    let Some(last) = ask.scene.formula().phases.last().filter(|_| !ask.query.is_empty()) else {
        return Vec::new();
    };
    let phase = ask.scene.ui.phase.unwrap_or(last.id);
    items(ask.scene, ask.query, None)
        .into_iter()
        .map(|row| {
            // The search of materials has its own order, which stays.
            let score = ask.needles.score(&format!("{} {}", row.name, row.about)).unwrap_or(0);
            let after = ask.scene.ui.line;
            let take = Action::Edit(Edit::AddLine { phase, item: row.take, after });
            offer(score, say!("Add {row}", row = row.name), row.about, row.right, take)
        })
        .collect()
}

fn pages(ask: &Ask<'_>) -> Vec<Offer> {
    if ask.query.is_empty() {
        return Vec::new();
    }
    let words = guide::words(ask.query);
    let pages = guide::pages().iter().filter(|p| holds(&p.title, &words));
    pages
        .map(|p| {
            let score = ask.needles.score(&p.title).unwrap_or(0);
            let state = Box::new(crate::app::guide::GuideState::at(p.key));
            let take = Action::Open(Box::new(Dialog::Guide(state)));
            offer(score, p.title.clone(), p.part.name().to_owned(), say!("guide").to_owned(), take)
        })
        .collect()
}

/// All rows, kinds in the order of their best fit.
fn rows(scene: &Scene<'_>, query: &str) -> Vec<Row<Action>> {
    let ask = Ask { scene, query, needles: Needles::new(query) };
    let mut kinds: Vec<(u32, &'static str, Vec<Offer>)> = PROVIDERS
        .iter()
        .map(|provider| {
            let mut offers = (provider.rows)(&ask);
            if !query.is_empty() {
                offers.sort_by_key(|o| std::cmp::Reverse((o.row.enabled, o.score)));
            }
            offers.truncate(provider.most);
            let best = offers.iter().map(|o| o.score).max();
            (best.unwrap_or(0), provider.heading, offers)
        })
        .filter(|(_, _, offers)| !offers.is_empty())
        .collect();
    if !query.is_empty() {
        kinds.sort_by_key(|(best, ..)| std::cmp::Reverse(*best));
    }
    let mut rows = Vec::new();
    for (_, heading, offers) in kinds {
        for (i, mut offer) in offers.into_iter().enumerate() {
            offer.row.heading = (i == 0).then(|| words::text(heading));
            rows.push(offer.row);
        }
    }
    rows
}

/// Finds a command, a formula, a line or a material; true to close.
pub fn palette(
    ui: &mut Ui,
    scene: &Scene<'_>,
    search: &mut Search,
    actions: &mut Vec<Action>,
) -> bool {
    title(ui, say!("Find or do"));
    let field = say!("A command, formula, line or material");
    let Some(action) = list(ui, "palette", field, search, |query| rows(scene, query)) else {
        return false;
    };
    actions.push(action);
    true
}

/// A shortcut as text, in the names used off a Mac.
fn shortcut(keys: &egui::KeyboardShortcut) -> String {
    keys.format(&egui::ModifierNames::NAMES, cfg!(target_os = "macos"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::commands::Group;

    #[test]
    fn preferences_are_commands_of_the_view_group() {
        for command in PREFERENCES {
            assert_eq!(command.row().group, Group::View);
        }
    }
}
