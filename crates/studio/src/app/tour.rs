//! The tour: five steps that point at the window, and an offer before them.

use super::App;
use super::state::View;

/// Steps, after the offer at place 0.
pub const STEPS: usize = 5;

/// What a step points at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Points {
    /// Nothing yet: the tour is offered.
    Offer,
    /// The phase table.
    Table,
    /// The batch bar.
    Batch,
    /// Gauges and findings.
    Figures,
    /// The rail of views.
    Rail,
    /// The button that writes the bench sheet.
    Sheet,
}

/// One step.
#[derive(Debug)]
pub struct Step {
    /// What it points at.
    pub points: Points,
    /// Heading.
    pub title: &'static str,
    /// What there is to know.
    pub text: &'static str,
}

/// The offer, then the steps in order.
pub static TOUR: [Step; STEPS + 1] = [
    Step {
        points: Points::Offer,
        title: term!("New here?"),
        text: term!(
            "Five short steps show where things are. You can leave at any time and find the tour again in the Help menu"
        ),
    },
    Step {
        points: Points::Table,
        title: term!("The formula"),
        text: term!(
            "Each line is a material, each phase what is worked together. Click an amount and type: per cent, grams or a sum such as 12/3. One line may fill to 100"
        ),
    },
    Step {
        points: Points::Batch,
        title: term!("The batch"),
        text: term!(
            "Say how much you make: drag the slider, type grams, or pieces times weight. The grams in the table follow, rounded for your scale"
        ),
    },
    Step {
        points: Points::Figures,
        title: term!("What follows"),
        text: term!(
            "Composition, grit, temperatures and cost change as you type. Findings stand below: a square stops, a triangle warns, a dot notes. Click one to go to its line"
        ),
    },
    Step {
        points: Points::Rail,
        title: term!("The other views"),
        text: term!(
            "Grit, setting, findings, label and comparison look at the same formula. Start leads back to recent files, demo projects and kinds of product"
        ),
    },
    Step {
        points: Points::Sheet,
        title: term!("To the bench"),
        text: term!(
            "The bench sheet is a page to weigh and tick off by, as PDF, HTML, CSV or Markdown. That is all; the guide explains every figure"
        ),
    },
];

impl App {
    /// Goes to a step, or leaves the tour; either way it counts as seen from the first step on.
    pub(super) fn tour_to(&mut self, ctx: &egui::Context, step: Option<usize>) {
        let step = step.filter(|s| *s < TOUR.len());
        if step != Some(0) && !self.settings.tour_seen {
            self.settings.tour_seen = true;
            self.save_settings();
        }
        self.ui.tour = step;
        let Some(points) = step.and_then(|s| TOUR.get(s)).map(|s| s.points) else { return };
        if points == Points::Offer {
            return;
        }
        self.ui.dialogs.clear();
        self.ui.view = View::Formula;
        // What it talks about is to be seen.
        self.ui.figures = true;
        self.ui.drawer = points == Points::Figures;
        ctx.request_repaint();
    }
}
