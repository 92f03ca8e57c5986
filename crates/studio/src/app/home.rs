//! The opening page: what is shown first, recent files, demo projects, kinds of product.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use quern_calc::formula::{FormulaId, Wedge, open, slices_by_function, wedges};
use quern_project::Project;
use quern_project::settings::Settings;

use super::state::{HeldUp, View};
use super::worker::Done;
use super::{App, Document};
use crate::words;

/// What a start shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Opening {
    /// The file that was named.
    File(PathBuf),
    /// The demo, unsaved, at the very first start; the tour is offered.
    Demo,
    /// The project of last time.
    Last(PathBuf),
    /// The opening page; `missing` is the project of last time where it is gone.
    Home {
        /// What is not there any more.
        missing: Option<PathBuf>,
    },
}

/// What to show first. `last` is the project that was open when the window was last closed.
#[must_use]
pub fn opening(file: Option<PathBuf>, settings: &Settings, last: Option<&Path>) -> Opening {
    match (file, last) {
        (Some(file), _) => Opening::File(file),
        (None, Some(last)) if quern_project::is_there(last) => Opening::Last(last.to_owned()),
        (None, last) if !settings.first_start => {
            Opening::Home { missing: last.map(Path::to_owned) }
        }
        (None, _) => Opening::Demo,
    }
}

/// A recent file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recent {
    /// Where it is.
    pub path: PathBuf,
    /// False when there is no such file; none until it was looked for.
    pub found: Option<bool>,
}

/// The composition of a formula, to be drawn small.
#[derive(Clone, Debug)]
pub struct Miniature {
    /// The formula.
    pub id: FormulaId,
    /// Its name.
    pub name: String,
    /// Its product in words.
    pub product: String,
    /// What it is made of, by function.
    pub slices: Vec<Wedge>,
}

/// A demo project on the page.
#[derive(Clone, Debug)]
pub struct DemoCard {
    /// Name of the project.
    pub name: String,
    /// What it is about.
    pub about: &'static str,
    /// Its formulas.
    pub formulas: Vec<Miniature>,
}

/// Everything on the page that takes time to find out.
#[derive(Clone, Debug)]
pub struct Samples {
    /// Demo projects.
    pub demos: Vec<DemoCard>,
    /// Skeletons.
    pub skeletons: Vec<Miniature>,
}

/// Something found out for the page.
#[derive(Debug)]
pub enum HomeDone {
    /// Which of these files are there.
    Recent(Vec<Recent>),
    /// The samples with their pictures.
    Samples(Arc<Samples>),
}

/// What the page reads.
#[derive(Clone, Debug, Default)]
pub struct HomeScene {
    /// Recent files, the latest first.
    pub recent: Vec<Recent>,
    /// Samples, once they are there.
    pub samples: Option<Arc<Samples>>,
}

/// Something of the opening page or the tour.
#[derive(Clone, Debug)]
pub enum HomeAction {
    /// Opens an unsaved copy of a demo, by its place.
    Demo(usize),
    /// Starts a project from a skeleton.
    FromSkeleton(FormulaId),
    /// Takes a file off the recent ones.
    Forget(PathBuf),
    /// Goes to a step of the tour; none leaves it.
    Tour(Option<usize>),
}

/// What was found out so far.
#[derive(Debug, Default)]
pub(super) struct HomeJobs {
    recent: Vec<Recent>,
    /// The files that are being looked for, so that they are looked for once.
    asked: Option<Vec<PathBuf>>,
    samples: Option<Arc<Samples>>,
    samples_asked: bool,
}

impl HomeJobs {
    pub(super) fn take(&mut self, done: HomeDone) {
        match done {
            HomeDone::Recent(recent) => self.recent = recent,
            HomeDone::Samples(samples) => self.samples = Some(samples),
        }
    }

    /// Files are looked for again the next time the page is drawn.
    pub(super) fn look_again(&mut self) {
        self.asked = None;
    }
}

fn miniatures(project: &Project) -> Vec<Miniature> {
    let library = project.library();
    let formulas = project.formulas.iter();
    formulas
        .map(|f| Miniature {
            id: f.id.clone(),
            name: f.name.clone(),
            product: words::told(f.product.words()),
            slices: wedges(&slices_by_function(&open(f, &library).0)),
        })
        .collect()
}

fn samples() -> Samples {
    let demos = quern_project::DEMOS.iter().map(|demo| {
        let project = demo.project();
        DemoCard { formulas: miniatures(&project), name: project.name, about: demo.about }
    });
    Samples { demos: demos.collect(), skeletons: miniatures(quern_project::skeletons()) }
}

impl App {
    /// Shows what a start shows first.
    pub fn begin(&mut self, opening: Opening) {
        match opening {
            Opening::File(path) => self.open_path(path, false),
            // The window itself goes back to the last project.
            Opening::Last(_) => {}
            Opening::Demo => {
                if !self.settings.tour_seen {
                    self.ui.tour = Some(0);
                }
            }
            Opening::Home { missing } => {
                self.ui.view = View::Home;
                self.ui.missing = missing;
            }
        }
        if self.settings.first_start {
            self.settings.first_start = false;
            self.save_settings();
        }
    }

    /// What the opening page shows; what is not known yet is found out meanwhile.
    pub(super) fn home_scene(&mut self) -> HomeScene {
        if self.ui.view != View::Home {
            return HomeScene::default();
        }
        if self.home.asked.as_deref() != Some(self.settings.recent.as_slice()) {
            let paths = self.settings.recent.clone();
            self.home.asked = Some(paths.clone());
            self.worker.start_quiet(say!("Looking for recent files"), move |_| {
                let look = |path: PathBuf| {
                    let found = Some(quern_project::is_there(&path));
                    Recent { path, found }
                };
                Done::Home(HomeDone::Recent(paths.into_iter().map(look).collect()))
            });
        }
        if !self.home.samples_asked {
            self.home.samples_asked = true;
            self.worker.start_quiet(say!("Reading the demo projects"), |_| {
                Done::Home(HomeDone::Samples(Arc::new(samples())))
            });
        }
        let recent = self.settings.recent.iter().map(|path| {
            let found = self.home.recent.iter().find(|r| r.path == *path).and_then(|r| r.found);
            Recent { path: path.clone(), found }
        });
        HomeScene { recent: recent.collect(), samples: self.home.samples.clone() }
    }

    pub(super) fn apply_home(&mut self, ctx: &egui::Context, action: HomeAction) {
        match action {
            HomeAction::Demo(at) => self.ask_to_leave(ctx, HeldUp::Demo(at)),
            HomeAction::FromSkeleton(id) => self.ask_to_leave(ctx, HeldUp::Skeleton(id)),
            HomeAction::Forget(path) => {
                self.settings.forget_recent(&path);
                if self.ui.missing.as_ref() == Some(&path) {
                    self.ui.missing = None;
                }
                self.save_settings();
            }
            HomeAction::Tour(step) => self.tour_to(ctx, step),
        }
    }

    /// Opens an unsaved copy of a demo project.
    pub(super) fn open_demo(&mut self, at: usize) {
        if let Some(demo) = quern_project::DEMOS.get(at) {
            self.replace(Document::unsaved(demo.project()));
        }
    }

    /// A new project that holds the skeleton alone.
    pub(super) fn project_from_skeleton(&mut self, id: &FormulaId) {
        let mut project = Project::blank();
        let all = quern_project::skeletons();
        let Some(skeleton) = all.formula(id).cloned() else { return };
        for (_, line) in skeleton.lines() {
            let others = line.alternatives.iter().map(|a| &a.item);
            for item in std::iter::once(&line.item).chain(others) {
                Self::carry(&mut project, item);
            }
        }
        project.formulas = vec![skeleton];
        self.replace(Document::unsaved(project));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_start_shows_what_it_should() {
        let folder = tempfile::tempdir().unwrap_or_else(|e| panic!("{e}"));
        let there = folder.path().join("there.ron");
        std::fs::write(&there, "x").unwrap_or_else(|e| panic!("{e}"));
        let gone = folder.path().join("gone.ron");
        let first = Settings::default();
        let later = Settings { first_start: false, ..Settings::default() };
        assert_eq!(opening(None, &first, None), Opening::Demo);
        let named = Some(gone.clone());
        assert_eq!(opening(named, &later, Some(&there)), Opening::File(gone.clone()));
        assert_eq!(opening(None, &later, Some(&there)), Opening::Last(there));
        assert_eq!(opening(None, &later, None), Opening::Home { missing: None });
        assert_eq!(opening(None, &later, Some(&gone)), Opening::Home { missing: Some(gone) });
    }

    #[test]
    fn every_sample_has_a_picture() {
        let samples = samples();
        assert_eq!(samples.demos.len(), quern_project::DEMOS.len());
        let formulas = samples.demos.iter().flat_map(|d| &d.formulas).chain(&samples.skeletons);
        for formula in formulas {
            assert!(formula.slices.len() > 2, "{}", formula.name);
        }
    }
}
