//! One named thread for what takes time: reading, writing and exporting.

use std::path::PathBuf;
use std::sync::mpsc::{Receiver, Sender, SyncSender, channel, sync_channel};

use quern_project::{Fingerprint, LoadError, Loaded, SaveError};

/// What a job came to.
#[derive(Debug)]
pub enum Done {
    /// The job broke off; its report is in the state folder.
    Broken,
    /// A quiet job broke off.
    QuietBroken,
    /// A project was read, or not.
    Opened {
        /// The document and revision that were open when it was asked for.
        asked: (u64, u64),
        /// Where from.
        path: PathBuf,
        /// True when it is to replace the open one as an undoable step.
        revert: bool,
        /// What came of it.
        result: Result<Loaded, LoadError>,
    },
    /// The project was written, or not.
    Saved {
        /// The document that was written.
        document: u64,
        /// Where to.
        path: PathBuf,
        /// The revision that was written.
        revision: u64,
        /// What came of it.
        result: Result<Fingerprint, SaveError>,
    },
    /// A sheet was written, or not.
    Sheet {
        /// Where to.
        path: PathBuf,
        /// What came of it.
        result: Result<(), String>,
    },
    /// A view's sheet was written, or not.
    Page {
        /// Which.
        page: super::state::Page,
        /// Where to.
        path: PathBuf,
        /// What came of it.
        result: Result<(), String>,
    },
    /// Something for the Grit view.
    Grit(super::grit::GritDone),
    /// Something for the Setting view.
    Setting(super::setting::SettingDone),
}

/// A job; a quiet one is not shown as work, since nobody waits for it to go on.
struct Job {
    quiet: bool,
    run: Box<dyn FnOnce() -> Done + Send>,
}

/// Runs a job; one that panics must not take the thread with it.
fn guarded(job: Job) -> (bool, Done) {
    let run = std::panic::AssertUnwindSafe(job.run);
    (job.quiet, std::panic::catch_unwind(run).unwrap_or(Done::Broken))
}

/// Jobs waiting at most; more than a person can start.
const QUEUE: usize = 16;

/// Runs jobs and collects what they come to.
#[derive(Debug)]
pub struct Worker {
    jobs: Option<SyncSender<Job>>,
    done: Receiver<(bool, Done)>,
    finished: Sender<(bool, Done)>,
    running: usize,
    ran_here: bool,
}

impl Worker {
    /// With a thread of its own, which wakes the window after each job.
    #[must_use]
    pub fn threaded(ctx: &egui::Context) -> Self {
        let (jobs, queue) = sync_channel::<Job>(QUEUE);
        let (finished, done) = channel();
        let (sender, ctx) = (finished.clone(), ctx.clone());
        let spawned =
            std::thread::Builder::new().name("quern-worker".to_owned()).spawn(move || {
                while let Ok(job) = queue.recv() {
                    if sender.send(guarded(job)).is_err() {
                        break;
                    }
                    ctx.request_repaint();
                }
            });
        match spawned {
            Ok(_) => Self { jobs: Some(jobs), done, finished, running: 0, ran_here: false },
            Err(error) => {
                log::error!("no worker thread, jobs run in the window: {error}");
                Self { jobs: None, done, finished, running: 0, ran_here: false }
            }
        }
    }

    /// Runs each job at once, for tests.
    #[must_use]
    pub fn inline() -> Self {
        let (finished, done) = channel();
        Self { jobs: None, done, finished, running: 0, ran_here: false }
    }

    /// Starts a job that a person waits for.
    pub fn start(&mut self, job: impl FnOnce() -> Done + Send + 'static) {
        self.running += 1;
        self.queue(Job { quiet: false, run: Box::new(job) });
    }

    /// Starts a job behind a figure that comes when it comes.
    pub fn start_quiet(&mut self, job: impl FnOnce() -> Done + Send + 'static) {
        self.queue(Job { quiet: true, run: Box::new(job) });
    }

    fn queue(&mut self, job: Job) {
        let here = match &self.jobs {
            Some(jobs) => match jobs.try_send(job) {
                Ok(()) => None,
                Err(
                    std::sync::mpsc::TrySendError::Full(job)
                    | std::sync::mpsc::TrySendError::Disconnected(job),
                ) => Some(job),
            },
            None => Some(job),
        };
        if let Some(job) = here {
            self.ran_here = true;
            // The receiver is ours, so it cannot be gone.
            let _ = self.finished.send(guarded(job));
        }
    }

    /// True once after a job was run in the window: its result waits for the next frame.
    pub fn take_ran_here(&mut self) -> bool {
        std::mem::take(&mut self.ran_here)
    }

    /// The next job that is done.
    pub fn poll(&mut self) -> Option<Done> {
        let (quiet, done) = self.done.try_recv().ok()?;
        if !quiet {
            self.running = self.running.saturating_sub(1);
        }
        match done {
            Done::Broken if quiet => Some(Done::QuietBroken),
            done => Some(done),
        }
    }

    /// True while something is being done.
    #[must_use]
    pub fn is_busy(&self) -> bool {
        self.running > 0
    }
}
