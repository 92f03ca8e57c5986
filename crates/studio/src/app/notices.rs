//! Notices: a short line on screen that also stays in a list, with its details, until cleared.

use std::path::PathBuf;
use std::time::Duration;

/// How long a notice stays over the window, in seconds; an error stays until it is put away.
const SHOWN: f64 = 6.0;
/// How long a notice cannot be put away after it came up, in seconds: nobody meant it yet.
const GUARD: f64 = 0.4;
/// Notices that are kept; the oldest go first.
const MOST: usize = 500;

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

/// More about a notice, for the list.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Details {
    /// What happened, at length.
    pub text: String,
    /// The file that it is about.
    pub path: Option<PathBuf>,
    /// What to do.
    pub fix: String,
}

/// One notice.
#[derive(Clone, Debug)]
pub struct Notice {
    /// Tells it from the others.
    pub id: u64,
    /// What it is about.
    pub tone: Tone,
    /// What happened, and what to do.
    pub text: String,
    /// More about it.
    pub details: Option<Details>,
    /// Clock time as shown.
    pub at: String,
    /// True once it was looked at in the list or put away.
    pub seen: bool,
    since: Option<f64>,
    away: bool,
}

impl Notice {
    /// The notice with its details as plain text, to be copied.
    #[must_use]
    pub fn plain(&self) -> String {
        let mut lines = vec![format!("{} {}", self.at, self.text)];
        if let Some(details) = &self.details {
            lines.extend(
                [&details.text, &details.fix].into_iter().filter(|s| !s.is_empty()).cloned(),
            );
            lines.extend(details.path.as_ref().map(|p| p.display().to_string()));
        }
        lines.join("\n")
    }
}

/// A notice on screen.
#[derive(Debug)]
pub struct OnScreen<'a> {
    /// The notice.
    pub notice: &'a Notice,
    /// True once a click on it can be meant.
    pub ready: bool,
}

/// All notices of this run.
#[derive(Debug, Default)]
pub struct Notices {
    list: Vec<Notice>,
    next: u64,
}

impl Notices {
    /// Adds a notice.
    pub fn add(&mut self, tone: Tone, text: impl Into<String>, at: String) {
        self.add_with(tone, text, None, at);
    }

    /// Adds a notice with details.
    pub fn add_with(
        &mut self,
        tone: Tone,
        text: impl Into<String>,
        details: Option<Details>,
        at: String,
    ) {
        let text = text.into();
        match tone {
            Tone::Error => log::error!("{text}"),
            Tone::Done | Tone::Info => log::info!("{text}"),
        }
        self.next += 1;
        let id = self.next;
        // What was done by the user's own hand is no news.
        let seen = tone == Tone::Done;
        if self.list.len() >= MOST {
            self.list.remove(0);
        }
        self.list.push(Notice { id, tone, text, details, at, seen, since: None, away: false });
    }

    /// Every notice, newest last.
    #[must_use]
    pub fn all(&self) -> &[Notice] {
        &self.list
    }

    /// How many were not seen yet.
    #[must_use]
    pub fn unread(&self) -> usize {
        self.list.iter().filter(|n| !n.seen).count()
    }

    /// Marks all as seen: the list is open.
    pub fn see_all(&mut self) {
        for notice in &mut self.list {
            notice.seen = true;
        }
    }

    /// Those on screen now, newest first, and how long until that changes. The newest is shown
    /// for a while, errors until they are put away; at most so many at once.
    pub fn current(&mut self, now: f64, most: usize) -> (Vec<OnScreen<'_>>, Option<Duration>) {
        let mut change: Option<f64> = None;
        let mut soon = |seconds: f64| {
            change = Some(change.map_or(seconds, |c: f64| c.min(seconds)));
        };
        let newest = self.list.last().map(|n| n.id);
        let mut shown: Vec<usize> = Vec::new();
        for (i, notice) in self.list.iter_mut().enumerate().rev() {
            if shown.len() == most {
                break;
            }
            if notice.away {
                continue;
            }
            let fleeting = notice.tone != Tone::Error;
            if fleeting && Some(notice.id) != newest {
                continue;
            }
            let age = now - *notice.since.get_or_insert(now);
            if fleeting {
                if age >= SHOWN {
                    notice.away = true;
                    continue;
                }
                soon(SHOWN - age);
            }
            if age < GUARD {
                soon(GUARD - age);
            }
            shown.push(i);
        }
        let on = |i: usize| {
            let notice = self.list.get(i)?;
            let ready = notice.since.is_some_and(|since| now - since >= GUARD);
            Some(OnScreen { notice, ready })
        };
        (shown.into_iter().filter_map(on).collect(), change.map(Duration::from_secs_f64))
    }

    /// Keeps a notice on screen while it is pointed at or holds the focus.
    pub fn hold(&mut self, id: u64, now: f64) {
        if let Some(notice) = self.list.iter_mut().find(|n| n.id == id) {
            notice.since = Some(now - GUARD);
        }
    }

    /// Takes a notice off the screen; it stays in the list.
    pub fn put_away(&mut self, id: u64) {
        if let Some(notice) = self.list.iter_mut().find(|n| n.id == id) {
            (notice.away, notice.seen) = (true, true);
        }
    }

    /// Empties the list.
    pub fn clear(&mut self) {
        self.list.clear();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(notices: &mut Notices, now: f64) -> Vec<String> {
        notices.current(now, 2).0.iter().map(|n| n.notice.text.clone()).collect()
    }

    fn add(notices: &mut Notices, tone: Tone, text: &str) {
        notices.add(tone, text, "12:00".to_owned());
    }

    #[test]
    fn errors_stay_and_the_rest_goes() {
        let mut n = Notices::default();
        add(&mut n, Tone::Error, "no file");
        assert_eq!(texts(&mut n, 0.0), ["no file"]);
        add(&mut n, Tone::Info, "noted");
        assert_eq!(texts(&mut n, 1.0), ["noted", "no file"]);
        assert_eq!(texts(&mut n, 6.9), ["noted", "no file"]);
        assert_eq!(texts(&mut n, 7.1), ["no file"]);
        assert_eq!(texts(&mut n, 1e6), ["no file"]);
        assert_eq!(n.current(1e6, 2).1, None, "nothing to wait for");
        let id = n.all()[0].id;
        n.put_away(id);
        assert!(texts(&mut n, 1e6).is_empty());
        assert_eq!(n.all().len(), 2, "both stay in the list");
    }

    #[test]
    fn a_newer_one_takes_the_place_of_what_goes_anyway() {
        let mut n = Notices::default();
        add(&mut n, Tone::Done, "saved");
        add(&mut n, Tone::Done, "undone");
        assert_eq!(texts(&mut n, 0.0), ["undone"]);
        assert_eq!(texts(&mut n, 7.0), [""; 0]);
    }

    #[test]
    fn pointing_at_it_holds_it_and_a_first_click_is_not_taken() {
        let mut n = Notices::default();
        add(&mut n, Tone::Info, "noted");
        assert!(!n.current(0.0, 2).0[0].ready);
        assert!(n.current(0.5, 2).0[0].ready);
        let id = n.all()[0].id;
        n.hold(id, 5.9);
        assert_eq!(texts(&mut n, 11.0), ["noted"]);
        assert_eq!(texts(&mut n, 12.5), [""; 0]);
    }

    #[test]
    fn what_is_new_is_counted_until_it_was_seen() {
        let mut n = Notices::default();
        add(&mut n, Tone::Done, "saved");
        assert_eq!(n.unread(), 0);
        add(&mut n, Tone::Error, "no file");
        add(&mut n, Tone::Info, "noted");
        assert_eq!(n.unread(), 2);
        let id = n.all()[1].id;
        n.put_away(id);
        assert_eq!(n.unread(), 1);
        n.see_all();
        assert_eq!(n.unread(), 0);
        for i in 0..2 * MOST {
            add(&mut n, Tone::Info, &i.to_string());
        }
        assert_eq!(n.all().len(), MOST);
        n.clear();
        assert!(n.all().is_empty() && texts(&mut n, 0.0).is_empty());
    }
}
