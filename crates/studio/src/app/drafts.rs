//! Dialogs opened by commands, filled with what stands.

use quern_calc::formula::{Phase, PhaseId, PhaseKind, PhaseTemperature};
use quern_calc::number::format_plain;

use super::commands::Command;
use super::scene::full_mass;
use super::setting::MeasureDraft;
use super::state::{
    BatchDraft, DetailsDraft, Dialog, ExfoliantFor, Page, PhaseDraft, PickFor, Search,
};
use super::{App, style_of};
use crate::words;

impl App {
    /// The dialog that a command opens; `None` for commands that act at once.
    pub(super) fn dialog_for(&mut self, command: Command) -> Option<Dialog> {
        let project = std::sync::Arc::clone(self.document.project());
        let formula = project.formula(&self.ui.formula)?;
        let style = style_of(&self.settings);
        Some(match command {
            Command::Palette => Dialog::Palette(Search::default()),
            Command::SupplierFigures => {
                let line = formula.line(self.ui.line?)?;
                let quern_calc::formula::Item::Material(id) = &line.item else { return None };
                self.supplier_draft(id)?
            }
            Command::LineDetails => {
                let line = formula.line(self.ui.line?)?;
                let price = match &line.item {
                    quern_calc::formula::Item::Material(id) => {
                        project.materials.get(id).and_then(|m| m.price)
                    }
                    quern_calc::formula::Item::Formula(_) => None,
                };
                Dialog::Line {
                    line: line.id,
                    alternatives: line
                        .alternatives
                        .iter()
                        .map(|a| (a.clone(), format_plain(a.ratio, style)))
                        .collect(),
                    note: line.note.clone(),
                    price: price.map_or_else(Default::default, |p| {
                        (format_plain(p.amount.0, style), full_mass(p.pack, style))
                    }),
                    error: None,
                }
            }
            Command::AddPhase => Dialog::Phase(PhaseDraft {
                phase: Phase {
                    id: PhaseId(0),
                    name: say!("Cool-down").to_owned(),
                    kind: PhaseKind::CoolDown,
                    temperature: PhaseTemperature::Below(50.0),
                    steps: Vec::new(),
                    lines: Vec::new(),
                },
                new: true,
                temperature: "50".to_owned(),
                mode: 2,
                steps: Vec::new(),
                error: None,
            }),
            Command::PhaseDetails => {
                let phase = self
                    .ui
                    .phase
                    .and_then(|p| formula.phase(p))
                    .or_else(|| formula.phases.first())?
                    .clone();
                let number = |v: f64| {
                    let text = v.to_string();
                    if style.sign == quern_calc::number::DecimalSign::Comma {
                        text.replace('.', ",")
                    } else {
                        text
                    }
                };
                let (mode, temperature) = match phase.temperature {
                    PhaseTemperature::Unstated => (0, String::new()),
                    PhaseTemperature::HeatTo(c) => (1, number(c)),
                    PhaseTemperature::Below(c) => (2, number(c)),
                };
                let steps = phase
                    .steps
                    .iter()
                    .map(|s| {
                        (
                            s.text.clone(),
                            s.temperature_c.map(number).unwrap_or_default(),
                            s.minutes.map(number).unwrap_or_default(),
                        )
                    })
                    .collect();
                Dialog::Phase(PhaseDraft {
                    phase: Phase { lines: Vec::new(), ..phase },
                    new: false,
                    temperature,
                    mode,
                    steps,
                    error: None,
                })
            }
            Command::FormulaDetails => Dialog::Details(Box::new(DetailsDraft {
                formula: (**formula).clone(),
                version: formula.version.number.to_string(),
                ph: formula.ph.as_ref().map(|p| format_plain(p.value, style)).unwrap_or_default(),
                ph_date: formula
                    .ph
                    .as_ref()
                    .and_then(|p| p.date)
                    .map(|d| style.dates.write(d))
                    .unwrap_or_default(),
                measured: formula.ph.as_ref().is_some_and(|p| p.measured),
                error: None,
            })),
            Command::BatchDetails => {
                let plan = project.plan(&self.ui.formula);
                let grams = |g: quern_calc::quantity::Grams| full_mass(g, style);
                Dialog::Batch(BatchDraft {
                    piece: match plan.size {
                        quern_calc::batch::BatchSize::Pieces { each, .. } => Some(each),
                        _ => plan.piece,
                    }
                    .map(grams)
                    .unwrap_or_default(),
                    vessel: plan
                        .vessel
                        .as_ref()
                        .map(|v| (v.name.clone(), grams(v.holds)))
                        .unwrap_or_default(),
                    scales: plan
                        .scales
                        .iter()
                        .map(|s| {
                            [s.name.clone(), grams(s.readability), grams(s.capacity), grams(s.tare)]
                        })
                        .collect(),
                    plan,
                    error: None,
                })
            }
            Command::Normalise => match formula.normalise_preview() {
                Ok(preview) => Dialog::Normalise(preview),
                Err(error) => {
                    self.say(
                        super::notices::Tone::Info,
                        say!("Nothing to bring to 100: {error}", error = words::told(error)),
                    );
                    return None;
                }
            },
            Command::PartsTotal => {
                Dialog::Parts { text: format_plain(formula.parts_total, style), error: None }
            }
            Command::ExportSheet => Dialog::Sheet {
                path: String::new(),
                typed: false,
                ending: String::new(),
                error: None,
            },
            Command::ProjectDetails => {
                Dialog::Project { name: project.name.clone(), currency: project.currency.clone() }
            }
            Command::NewFromSkeleton => Dialog::Skeletons(None),
            Command::AddExfoliant => Dialog::Pick {
                purpose: PickFor::Exfoliant(ExfoliantFor::Add),
                search: Search::default(),
            },
            Command::SaveBlend => Dialog::SaveBlend {
                name: say!("{formula} grains", formula = formula.name),
                replace: false,
                error: None,
            },
            Command::UseBlend => {
                let library = project.library();
                let load = quern_calc::formula::exfoliant_load(formula, &library);
                Dialog::UseBlend {
                    chosen: None,
                    load: if load.is_zero() { "5".to_owned() } else { format_plain(load.0, style) },
                    error: None,
                }
            }
            Command::BlendSheet | Command::SettingSheet | Command::LabelSheet => {
                let page = match command {
                    Command::BlendSheet => Page::Blends,
                    Command::LabelSheet => Page::Label,
                    _ => Page::Setting,
                };
                Dialog::Page { page, path: String::new(), typed: false, error: None }
            }
            Command::AddMeasurement => Dialog::Measure(MeasureDraft::default()),
            Command::Moulds => Dialog::Moulds(Box::default()),
            Command::KeepVersion | Command::Versions | Command::Bin | Command::History => {
                self.version_dialog(command)?
            }
            Command::LibraryUpdates => Dialog::Updates(Default::default()),
            Command::Notices => Dialog::Notices,
            Command::Settings => Dialog::Settings,
            Command::Guide => Dialog::Guide(Box::default()),
            Command::Shortcuts => Dialog::Shortcuts,
            _ => return None,
        })
    }
}
