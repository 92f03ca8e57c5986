//! The projects that come with the program: the demo workshops and the generic skeletons.

use std::sync::OnceLock;

use crate::Project;
use crate::load::parse;

/// The file of the demo project.
#[must_use]
pub fn demo_text() -> &'static str {
    DEMOS[0].text
}

/// A demo project: an invented workshop to look at and to change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Demo {
    /// Name of its file.
    pub file: &'static str,
    /// What it is about, in a line.
    pub about: &'static str,
    /// The file itself.
    pub text: &'static str,
}

impl Demo {
    /// Reads it.
    #[must_use]
    pub fn project(&self) -> Project {
        read(self.text, self.file)
    }
}

/// The demo projects; the first is the one that a first start opens.
pub static DEMOS: [Demo; 3] = [
    Demo {
        file: "coast-workshop.ron",
        about: "Three scrub bars and a lotion",
        text: include_str!("../../../assets/demo/coast-workshop.ron"),
    },
    Demo {
        file: "lotion-and-balm.ron",
        about: "A light lotion, a hand cream and a balm without water",
        text: include_str!("../../../assets/demo/lotion-and-balm.ron"),
    },
    Demo {
        file: "jar-and-powder.ron",
        about: "A sugar scrub in a jar, a powder wash and a bath fizz",
        text: include_str!("../../../assets/demo/jar-and-powder.ron"),
    },
];

/// The file of the skeletons.
#[must_use]
pub fn skeletons_text() -> &'static str {
    include_str!("../../../assets/demo/skeletons.ron")
}

/// The demo project: an invented workshop with three bars and a lotion.
#[must_use]
pub fn demo() -> Project {
    DEMOS[0].project()
}

/// Generic formulas to start from, one for each kind of product; read at the first call.
#[must_use]
pub fn skeletons() -> &'static Project {
    static SKELETONS: OnceLock<Project> = OnceLock::new();
    SKELETONS.get_or_init(|| read(skeletons_text(), "skeletons.ron"))
}

/// A sample, or a blank project in its place: a spoilt sample must not keep the window shut.
fn read(text: &str, origin: &str) -> Project {
    match parse(text, origin) {
        Ok(loaded) => loaded.project,
        Err(error) => {
            log::error!("{error}");
            Project::blank()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{DEMOS, read, skeletons_text};
    use crate::Project;
    use crate::load::parse;

    #[test]
    fn every_sample_parses() {
        for text in DEMOS.iter().map(|d| d.text).chain([skeletons_text()]) {
            assert_eq!(parse(text, "sample").err(), None);
        }
    }

    #[test]
    fn a_spoilt_sample_gives_a_blank_project() {
        assert_eq!(read("(format: 1, project: (", "spoilt"), Project::blank());
    }
}
