//! What views read.

use std::sync::Arc;

use quern_calc::batch::BatchPlan;
use quern_calc::evaluate::SideLabel;
use quern_calc::formula::{Formula, Library};
use quern_calc::number::{
    MassUnit, NumberStyle, Syntax, Typed, Unit, format_mass, format_mass_full, with_currency,
};
use quern_calc::quantity::{Date, Grams};
use quern_project::Project;
use quern_project::library::SearchIndex;
use quern_project::settings::Settings;
use rust_decimal::Decimal;

use super::commands::Command;
use super::grit::GritScene;
use super::home::HomeScene;
use super::setting::SettingScene;
use super::state::UiState;
use super::versions::changes_content;
use super::{Document, Side, SideFigures, style_of};
use crate::words;

/// What views read.
pub struct Scene<'a> {
    /// The project.
    pub project: &'a Project,
    /// The open document, for its name and state.
    pub document: &'a Document,
    /// What lines can refer to.
    pub library: &'a Library,
    /// The formula at hand with its figures.
    pub here: &'a SideFigures,
    /// Its batch plan.
    pub plan: &'a BatchPlan,
    /// The sides of the comparison that exist.
    pub sides: [Option<(Side, SideFigures)>; 2],
    /// What the opening page reads.
    pub home: HomeScene,
    /// What the Grit view reads.
    pub grit: GritScene,
    /// What the Setting view reads.
    pub setting: SettingScene,
    /// The label that the Label view shows.
    pub label: Option<Arc<SideLabel>>,
    /// Window state.
    pub ui: &'a UiState,
    /// Preferences.
    pub settings: &'a Settings,
    /// Notices that were not seen yet.
    pub unread: usize,
    /// The day.
    pub date: Date,
    /// Materials and formulas by name.
    pub search: &'a SearchIndex,
    /// A job is running.
    pub busy: bool,
    /// Work that takes so long that it is shown.
    pub work: Option<super::worker::Work>,
    /// A file window of the system is open.
    pub file_window: bool,
    /// Why the formula at hand takes no change, when it is released or retired.
    pub read_only: Option<String>,
}

impl Scene<'_> {
    /// The formula at hand.
    #[must_use]
    pub fn formula(&self) -> &Formula {
        &self.here.formula
    }

    /// Why the formula at hand takes no change; `None` when it does.
    #[must_use]
    pub fn read_only(&self) -> Option<&str> {
        self.read_only.as_deref()
    }

    /// Why a command cannot run now, in words for menu and palette; `None` when it can.
    #[must_use]
    pub fn why_not(&self, command: Command) -> Option<&str> {
        let frozen = self.read_only().filter(|_| changes_content(command));
        frozen.or_else(|| command.why_not(self.ui, self.document))
    }

    /// How numbers are shown.
    #[must_use]
    pub fn style(&self) -> NumberStyle {
        style_of(self.settings)
    }

    /// How numbers are read.
    #[must_use]
    pub fn syntax(&self) -> Syntax {
        Syntax { sign: self.style().sign, allow_relative: false }
    }

    /// The unit in which batches and lines are shown.
    #[must_use]
    pub fn mass_unit(&self) -> MassUnit {
        self.settings.mass_unit
    }

    /// The finest readability of the bench in grams; 0.01 g without a scale.
    #[must_use]
    pub fn finest(&self) -> Decimal {
        let finest = self.plan.scales.iter().map(|s| s.readability.0).min();
        finest.unwrap_or(Decimal::new(1, 2))
    }

    /// A mass in the unit shown, without it, as a scale of this readability in grams tells it.
    #[must_use]
    pub fn mass_number(&self, grams: Grams, readability: Decimal) -> String {
        format_mass(grams.0, readability, self.style())
    }

    /// A mass with the unit shown, as a scale of this readability in grams tells it.
    #[must_use]
    pub fn mass_text(&self, grams: Grams, readability: Decimal) -> String {
        format!("{} {}", self.mass_number(grams, readability), self.mass_unit().symbol())
    }

    /// A mass with the unit shown and every digit, to be edited.
    #[must_use]
    pub fn mass_full(&self, grams: Grams) -> String {
        full_mass(grams, self.style())
    }

    /// Grams of an entry; a bare number is in the unit shown. `None` for what is no mass.
    #[must_use]
    pub fn grams_of(&self, typed: Typed) -> Option<Grams> {
        let unit = match typed.unit {
            None => self.mass_unit(),
            Some(Unit::Mass(unit)) => unit,
            Some(_) => return None,
        };
        Some(Grams(typed.value.saturating_mul(unit.grams_per_unit())))
    }

    /// A written sum with the project's currency where the user wants it.
    #[must_use]
    pub fn money(&self, number: &str) -> String {
        with_currency(number, &self.project.currency, self.style())
    }

    /// The day in figures, in the user's order.
    #[must_use]
    pub fn day(&self, date: Date) -> String {
        self.settings.date_order.write(date)
    }

    /// The day with its month written out, in the user's order.
    #[must_use]
    pub fn day_words(&self, date: Date) -> String {
        words::told(self.settings.date_order.words(date))
    }

    /// Decimals of percentages.
    #[must_use]
    pub fn percent_places(&self) -> u32 {
        u32::from(self.settings.percent_decimals)
    }
}

/// A mass with the style's unit and every digit, to be edited.
#[must_use]
pub fn full_mass(grams: Grams, style: NumberStyle) -> String {
    format!("{} {}", format_mass_full(grams.0, style), style.mass.symbol())
}
