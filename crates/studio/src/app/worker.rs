//! One named thread for what takes time: reading, writing and exporting.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, SyncSender, channel, sync_channel};

use quern_project::{Fingerprint, LoadError, Loaded, SaveError};

/// What a job came to.
#[derive(Debug)]
pub enum Done {
    /// The job broke off; its report is in the state folder.
    Broken,
    /// A quiet job broke off.
    QuietBroken,
    /// A job was cancelled; what it came to is dropped.
    Cancelled {
        /// What it was doing.
        name: &'static str,
        /// Nobody waited for it to go on.
        quiet: bool,
    },
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
    /// Something for the opening page.
    Home(super::home::HomeDone),
    /// Something for the Grit view.
    Grit(super::grit::GritDone),
    /// Something for the Setting view.
    Setting(super::setting::SettingDone),
}

/// Tells a job whether anybody still waits for it.
#[derive(Clone, Debug, Default)]
pub struct GoOn(Arc<AtomicBool>);

impl GoOn {
    /// True until the job is cancelled.
    #[must_use]
    pub fn goes_on(&self) -> bool {
        !self.0.load(Ordering::Relaxed)
    }
}

/// Work under way, as it is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Work {
    /// Tells it from others.
    pub id: u64,
    /// What is being done: "Writing the bench sheet".
    pub name: &'static str,
    /// It can be cancelled without harm.
    pub can_cancel: bool,
}

/// A job; a quiet one is not waited for by anybody who wants to go on.
struct Job {
    id: u64,
    quiet: bool,
    go_on: GoOn,
    run: Box<dyn FnOnce(&GoOn) -> Done + Send>,
}

/// A job that was started and has not come back.
#[derive(Debug)]
struct Running {
    work: Work,
    quiet: bool,
    go_on: GoOn,
    /// Time of the first frame that saw it.
    since: Option<f64>,
}

/// What a job came to.
struct Back {
    id: u64,
    done: Done,
}

/// Runs a job; one that panics must not take the thread with it, one that was cancelled while it
/// waited is not begun.
fn guarded(job: Job) -> Back {
    let Job { id, quiet, go_on, run } = job;
    if !go_on.goes_on() {
        return Back { id, done: Done::Cancelled { name: "", quiet } };
    }
    let run = std::panic::AssertUnwindSafe(move || run(&go_on));
    Back { id, done: std::panic::catch_unwind(run).unwrap_or(Done::Broken) }
}

/// Jobs waiting at most; more than a person can start.
const QUEUE: usize = 16;
/// Seconds that work may take before it is shown: nothing flickers.
const SHOW_AFTER: f64 = 0.3;

/// Jobs of a worker for tests, begun one by one by hand.
type Held = Arc<std::sync::Mutex<std::collections::VecDeque<Job>>>;

/// Runs jobs and collects what they come to.
pub struct Worker {
    jobs: Option<SyncSender<Job>>,
    held: Option<Held>,
    done: Receiver<Back>,
    finished: Sender<Back>,
    running: Vec<Running>,
    next: u64,
    ran_here: bool,
}

/// Runs what a holding worker holds, for tests.
pub struct Release {
    held: Held,
    finished: Sender<Back>,
}

impl Release {
    /// Runs the job that waits longest; false when none waits.
    pub fn one(&self) -> bool {
        let job = self.held.lock().ok().and_then(|mut held| held.pop_front());
        match job {
            Some(job) => self.finished.send(guarded(job)).is_ok(),
            None => false,
        }
    }
}

impl Worker {
    fn new(jobs: Option<SyncSender<Job>>, held: Option<Held>) -> Self {
        let (finished, done) = channel();
        Self { jobs, held, done, finished, running: Vec::new(), next: 0, ran_here: false }
    }

    /// With a thread of its own, which wakes the window after each job.
    #[must_use]
    pub fn threaded(ctx: &egui::Context) -> Self {
        let (jobs, queue) = sync_channel::<Job>(QUEUE);
        let mut worker = Self::new(Some(jobs), None);
        let (sender, ctx) = (worker.finished.clone(), ctx.clone());
        let spawned =
            std::thread::Builder::new().name("quern-worker".to_owned()).spawn(move || {
                while let Ok(job) = queue.recv() {
                    if sender.send(guarded(job)).is_err() {
                        break;
                    }
                    ctx.request_repaint();
                }
            });
        if let Err(error) = spawned {
            log::error!("no worker thread, jobs run in the window: {error}");
            worker.jobs = None;
        }
        worker
    }

    /// Runs each job at once, for tests.
    #[must_use]
    pub fn inline() -> Self {
        Self::new(None, None)
    }

    /// Holds each job until it is released, for tests of work that takes long.
    #[must_use]
    pub fn holding() -> (Self, Release) {
        let held = Held::default();
        let worker = Self::new(None, Some(Arc::clone(&held)));
        let finished = worker.finished.clone();
        (worker, Release { held, finished })
    }

    /// Starts a job that a person waits for and that must be let finish, such as a save.
    pub fn start(&mut self, name: &'static str, job: impl FnOnce() -> Done + Send + 'static) {
        self.queue(name, (false, false), move |_| job());
    }

    /// Starts a job that a person waits for and may cancel.
    pub fn start_long(
        &mut self,
        name: &'static str,
        job: impl FnOnce(&GoOn) -> Done + Send + 'static,
    ) {
        self.queue(name, (false, true), job);
    }

    /// Starts a job behind a figure that comes when it comes.
    pub fn start_quiet(
        &mut self,
        name: &'static str,
        job: impl FnOnce(&GoOn) -> Done + Send + 'static,
    ) {
        self.queue(name, (true, true), job);
    }

    fn queue(
        &mut self,
        name: &'static str,
        (quiet, can_cancel): (bool, bool),
        run: impl FnOnce(&GoOn) -> Done + Send + 'static,
    ) {
        self.next += 1;
        let (id, go_on) = (self.next, GoOn::default());
        let work = Work { id, name, can_cancel };
        self.running.push(Running { work, quiet, go_on: go_on.clone(), since: None });
        // What a job says is said in the language of the window that asked for it.
        let language = crate::words::in_force();
        let run = move |go_on: &GoOn| {
            crate::words::speak(language);
            run(go_on)
        };
        let job = Job { id, quiet, go_on, run: Box::new(run) };
        if let Some(held) = &self.held
            && let Ok(mut held) = held.lock()
        {
            held.push_back(job);
            return;
        }
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
        let Back { id, done } = self.done.try_recv().ok()?;
        let at = self.running.iter().position(|r| r.work.id == id);
        let Some(job) = at.map(|at| self.running.remove(at)) else { return Some(done) };
        // What is on disk already is told as it is.
        let written =
            matches!(done, Done::Sheet { result: Ok(()), .. } | Done::Page { result: Ok(()), .. });
        if job.work.can_cancel && !job.go_on.goes_on() && !written {
            return Some(Done::Cancelled { name: job.work.name, quiet: job.quiet });
        }
        Some(match done {
            Done::Broken if job.quiet => Done::QuietBroken,
            done => done,
        })
    }

    /// True while something is being done that a person waits for.
    #[must_use]
    pub fn is_busy(&self) -> bool {
        self.running.iter().any(|r| !r.quiet && r.go_on.goes_on())
    }

    /// The work that has taken so long that it is shown, else how long until it is.
    pub fn shown(&mut self, now: f64) -> (Option<Work>, Option<std::time::Duration>) {
        let Some(first) = self.running.iter_mut().find(|r| r.go_on.goes_on()) else {
            return (None, None);
        };
        let age = now - *first.since.get_or_insert(now);
        if age >= SHOW_AFTER {
            (Some(first.work), None)
        } else {
            (None, Some(std::time::Duration::from_secs_f64(SHOW_AFTER - age)))
        }
    }

    /// Cancels work: what it comes to is dropped, and it stops where it can.
    pub fn cancel(&mut self, id: u64) {
        for job in self.running.iter().filter(|r| r.work.id == id && r.work.can_cancel) {
            job.go_on.0.store(true, Ordering::Relaxed);
        }
    }
}
