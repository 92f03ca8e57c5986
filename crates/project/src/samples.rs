//! The projects that come with the program: the demo workshop and the generic skeletons.

use std::sync::OnceLock;

use crate::Project;
use crate::load::parse;

/// The file of the demo project.
#[must_use]
pub fn demo_text() -> &'static str {
    include_str!("../../../assets/demo/coast-workshop.ron")
}

/// The file of the skeletons.
#[must_use]
pub fn skeletons_text() -> &'static str {
    include_str!("../../../assets/demo/skeletons.ron")
}

/// The demo project: an invented workshop with three bars and a lotion.
#[must_use]
pub fn demo() -> Project {
    read(demo_text(), "coast-workshop.ron")
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
    use super::{demo_text, read, skeletons_text};
    use crate::Project;
    use crate::load::parse;

    #[test]
    fn both_samples_parse() {
        for text in [demo_text(), skeletons_text()] {
            assert_eq!(parse(text, "sample").err(), None);
        }
    }

    #[test]
    fn a_spoilt_sample_gives_a_blank_project() {
        assert_eq!(read("(format: 1, project: (", "spoilt"), Project::blank());
    }
}
