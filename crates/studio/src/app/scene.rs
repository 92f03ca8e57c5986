//! What views read.

use std::sync::Arc;

use quern_calc::batch::BatchPlan;
use quern_calc::evaluate::SideLabel;
use quern_calc::formula::{Formula, Library};
use quern_calc::number::{NumberStyle, Syntax};
use quern_calc::quantity::Date;
use quern_project::Project;
use quern_project::library::SearchIndex;
use quern_project::settings::Settings;

use super::commands::Command;
use super::grit::GritScene;
use super::setting::SettingScene;
use super::state::UiState;
use super::versions::changes_content;
use super::{Document, Side, SideFigures, style_of};

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
    /// The day.
    pub date: Date,
    /// Materials and formulas by name.
    pub search: &'a SearchIndex,
    /// A job is running.
    pub busy: bool,
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

    /// True when a command makes sense now.
    #[must_use]
    pub fn can_run(&self, command: Command) -> bool {
        self.ui.can_run(command) && !(self.read_only.is_some() && changes_content(command))
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

    /// Decimals of percentages.
    #[must_use]
    pub fn percent_places(&self) -> u32 {
        u32::from(self.settings.percent_decimals)
    }
}
