//! Notices: a short line on screen that also stays in a list until read.

use std::time::Duration;

/// How long a notice stays over the window.
const SHOWN: Duration = Duration::from_secs(6);

/// What a notice is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// Something was done.
    Done,
    /// Worth knowing.
    Info,
    /// Something went wrong.
    Error,
}

/// One notice.
#[derive(Clone, Debug)]
pub struct Notice {
    /// What it is about.
    pub tone: Tone,
    /// What happened, and what to do.
    pub text: String,
    /// Clock time as shown.
    pub at: String,
    since: Option<f64>,
}

/// All notices of this run.
#[derive(Debug, Default)]
pub struct Notices {
    list: Vec<Notice>,
}

impl Notices {
    /// Adds a notice.
    pub fn add(&mut self, tone: Tone, text: impl Into<String>, at: String) {
        let text = text.into();
        match tone {
            Tone::Error => log::error!("{text}"),
            Tone::Done | Tone::Info => log::info!("{text}"),
        }
        self.list.push(Notice { tone, text, at, since: None });
    }

    /// Every notice, newest last.
    #[must_use]
    pub fn all(&self) -> &[Notice] {
        &self.list
    }

    /// The newest notice still on screen, and how long until it goes. Errors stay longer.
    pub fn current(&mut self, now: f64) -> Option<(&Notice, Option<Duration>)> {
        let last = self.list.last_mut()?;
        let since = *last.since.get_or_insert(now);
        let shown = if last.tone == Tone::Error { SHOWN * 3 } else { SHOWN };
        let left = shown.as_secs_f64() - (now - since);
        (left > 0.0).then(|| (&*last, Some(Duration::from_secs_f64(left))))
    }

    /// Takes the newest notice off the screen; it stays in the list.
    pub fn put_away(&mut self) {
        if let Some(last) = self.list.last_mut() {
            last.since = Some(f64::NEG_INFINITY);
        }
    }
}
