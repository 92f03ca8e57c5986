//! The guide: its pages, kept as Markdown in `assets/guide`, and the search over them.

pub mod parse;

use std::sync::OnceLock;

use parse::Block;

/// A page as it stands in its file.
#[derive(Debug)]
pub struct Page {
    /// What links name it by; the name of its file.
    pub key: &'static str,
    /// Part of the contents that it stands under.
    pub part: Part,
    /// The file itself.
    pub text: &'static str,
}

/// Parts of the contents.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// How to go about it.
    Using,
    /// What the figures rest on: each page has equation, source and limits.
    Models,
}

impl Part {
    /// All of them, in order.
    pub const ALL: [Self; 2] = [Self::Using, Self::Models];

    /// Heading in the contents.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Using => "Using Quern",
            Self::Models => "How figures are worked out",
        }
    }
}

macro_rules! pages {
    ($($part:ident $key:literal),* $(,)?) => {
        &[$(Page {
            key: $key,
            part: Part::$part,
            text: include_str!(concat!("../../../../assets/guide/", $key, ".md")),
        }),*]
    };
}

/// Every page, in the order of the contents.
pub static PAGES: &[Page] = pages![
    Using "start",
    Using "cautions",
    Models "percent",
    Models "batch",
    Models "cost",
    Models "grit",
    Models "blend",
    Models "melt",
    Models "pour",
    Models "cooling",
    Models "shelf",
    Models "hlb",
    Models "ph",
    Models "water",
    Models "limits",
    Models "exposure",
    Models "label",
];

/// A page, read.
#[derive(Debug)]
pub struct Read {
    /// Its key.
    pub key: &'static str,
    /// Its part.
    pub part: Part,
    /// Its first heading.
    pub title: String,
    /// What follows the first heading.
    pub blocks: Vec<Block>,
}

/// All pages, read at the first call.
#[must_use]
pub fn pages() -> &'static [Read] {
    static READ: OnceLock<Vec<Read>> = OnceLock::new();
    READ.get_or_init(|| {
        let read = PAGES.iter().map(|page| {
            let mut blocks = parse::parse(page.text).0;
            let title = match blocks.first() {
                Some(Block::Heading(1, text)) => text.clone(),
                _ => page.key.to_owned(),
            };
            if !blocks.is_empty() {
                blocks.remove(0);
            }
            Read { key: page.key, part: page.part, title, blocks }
        });
        read.collect()
    })
}

/// A page by its key.
#[must_use]
pub fn page(key: &str) -> Option<&'static Read> {
    pages().iter().find(|p| p.key == key)
}

/// True when a text holds every word looked for, letter case and accents aside.
#[must_use]
pub fn holds(text: &str, words: &[String]) -> bool {
    let text = quern_project::library::fold(text);
    words.iter().all(|w| text.contains(w.as_str()))
}

/// The words of a search.
#[must_use]
pub fn words(query: &str) -> Vec<String> {
    quern_project::library::fold(query).split_whitespace().map(str::to_owned).collect()
}

impl Read {
    /// True when the page as a whole holds every word.
    #[must_use]
    pub fn holds(&self, words: &[String]) -> bool {
        let blocks: Vec<String> = self.blocks.iter().map(Block::text).collect();
        holds(&format!("{} {}", self.title, blocks.join(" ")), words)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_page_can_be_read_and_drawn() {
        let mut keys = BTreeSet::new();
        for page in PAGES {
            let (blocks, strange) = parse::parse(page.text);
            assert!(strange.is_empty(), "{}: {strange:?}", page.key);
            assert!(matches!(blocks.first(), Some(Block::Heading(1, _))), "{}", page.key);
            assert!(keys.insert(page.key), "{} is there twice", page.key);
        }
    }

    #[test]
    fn every_file_is_a_page() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../assets/guide");
        let files: BTreeSet<String> = std::fs::read_dir(folder)
            .unwrap_or_else(|e| panic!("{e}"))
            .flatten()
            .map(|e| e.file_name().to_string_lossy().into_owned())
            .collect();
        let named: BTreeSet<String> = PAGES.iter().map(|p| format!("{}.md", p.key)).collect();
        assert_eq!(files, named);
    }

    #[test]
    fn every_link_leads_to_a_page() {
        let mut seen = 0;
        for page in pages() {
            for link in page.blocks.iter().flat_map(Block::links) {
                assert!(super::page(link).is_some(), "{} links to {link}", page.key);
                assert_ne!(link, page.key, "a page that links to itself");
                seen += 1;
            }
        }
        assert!(seen > 20, "{seen} links");
    }

    #[test]
    fn every_model_has_equation_source_and_limits() {
        for page in pages().iter().filter(|p| p.part == Part::Models) {
            for wanted in ["Equation", "Source", "Limits"] {
                let at = page
                    .blocks
                    .iter()
                    .position(|b| matches!(b, Block::Heading(2, text) if text == wanted));
                let Some(at) = at else { panic!("{} has no section {wanted}", page.key) };
                let next = page.blocks.get(at + 1);
                assert!(
                    next.is_some_and(|b| !matches!(b, Block::Heading(..))),
                    "{}: {wanted} is empty",
                    page.key
                );
            }
            assert!(page.blocks.iter().any(|b| matches!(b, Block::Equation(_))), "{}", page.key);
        }
    }

    #[test]
    fn the_search_knows_no_case_and_no_accents() {
        let found = |query: &str| -> Vec<&str> {
            let words = words(query);
            pages().iter().filter(|p| p.holds(&words)).map(|p| p.key).collect()
        };
        assert!(found("ROSIN RAMMLER").is_empty());
        assert!(found("Undissociated").contains(&"ph"));
        assert!(found("schröder").contains(&"melt") && found("schroder").contains(&"melt"));
    }
}
