//! A page of Markdown as blocks to draw.

use pulldown_cmark::{CodeBlockKind, Event, Options, Parser, Tag, TagEnd};

/// How a piece of text is set.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Set {
    /// Bold.
    pub strong: bool,
    /// Emphasis.
    pub emphasis: bool,
    /// A figure, name or key as written.
    pub code: bool,
}

/// A piece of text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Span {
    /// The text.
    pub text: String,
    /// How it is set.
    pub set: Set,
    /// The page that it leads to.
    pub link: Option<String>,
}

/// A block of a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// Heading: level from 1, text.
    Heading(u8, String),
    /// Paragraph.
    Paragraph(Vec<Span>),
    /// Item of a list: depth from 0, number or none, text.
    Item(usize, Option<u64>, Vec<Span>),
    /// Lines of an equation or example, as written.
    Equation(String),
    /// Table: heads and rows.
    Table(Vec<Vec<Span>>, Vec<Vec<Vec<Span>>>),
    /// Remark set apart.
    Remark(Vec<Span>),
}

impl Block {
    /// Its words, for the search.
    #[must_use]
    pub fn text(&self) -> String {
        let join = |spans: &[Span]| spans.iter().map(|s| s.text.as_str()).collect::<String>();
        match self {
            Self::Heading(_, text) | Self::Equation(text) => text.clone(),
            Self::Paragraph(spans) | Self::Item(_, _, spans) | Self::Remark(spans) => join(spans),
            Self::Table(heads, rows) => {
                let cells = heads.iter().chain(rows.iter().flatten());
                cells.map(|c| join(c)).collect::<Vec<_>>().join(" ")
            }
        }
    }

    /// The pages that it leads to.
    #[must_use]
    pub fn links(&self) -> Vec<&str> {
        let spans: Vec<&Span> = match self {
            Self::Heading(..) | Self::Equation(_) => Vec::new(),
            Self::Paragraph(spans) | Self::Item(_, _, spans) | Self::Remark(spans) => {
                spans.iter().collect()
            }
            Self::Table(heads, rows) => {
                heads.iter().chain(rows.iter().flatten()).flatten().collect()
            }
        };
        spans.into_iter().filter_map(|s| s.link.as_deref()).collect()
    }
}

/// What is being gathered.
#[derive(Default)]
struct Reader {
    blocks: Vec<Block>,
    spans: Vec<Span>,
    set: Set,
    link: Option<String>,
    /// Lists that are open: the next number of each, or none.
    lists: Vec<Option<u64>>,
    code: Option<String>,
    heads: Vec<Vec<Span>>,
    row: Vec<Vec<Span>>,
    rows: Vec<Vec<Vec<Span>>>,
    quoted: bool,
    /// What our painter cannot draw.
    strange: Vec<String>,
}

impl Reader {
    fn put(&mut self, text: &str, code: bool) {
        let set = Set { code, ..self.set };
        match self.spans.last_mut() {
            Some(last) if last.set == set && last.link == self.link => last.text.push_str(text),
            _ => {
                let link = self.link.clone();
                self.spans.push(Span { text: text.to_owned(), set, link });
            }
        }
    }

    fn take(&mut self) -> Vec<Span> {
        std::mem::take(&mut self.spans)
    }

    /// Ends what an item of a list held so far.
    fn item(&mut self) {
        let spans = self.take();
        if spans.is_empty() {
            return;
        }
        let depth = self.lists.len().saturating_sub(1);
        let number = self.lists.last().copied().flatten();
        self.blocks.push(Block::Item(depth, number, spans));
    }

    fn start(&mut self, tag: Tag<'_>) {
        match tag {
            Tag::Paragraph
            | Tag::Heading { .. }
            | Tag::Table(_)
            | Tag::TableHead
            | Tag::TableRow
            | Tag::TableCell
            | Tag::Item => {}
            Tag::Emphasis => self.set.emphasis = true,
            Tag::Strong => self.set.strong = true,
            Tag::Link { dest_url, .. } => self.link = Some(dest_url.to_string()),
            Tag::List(first) => {
                self.item();
                self.lists.push(first);
            }
            Tag::CodeBlock(CodeBlockKind::Fenced(_) | CodeBlockKind::Indented) => {
                self.code = Some(String::new());
            }
            Tag::BlockQuote(_) => self.quoted = true,
            other => self.strange.push(format!("{other:?}")),
        }
    }

    fn end(&mut self, tag: TagEnd) {
        match tag {
            TagEnd::Emphasis => self.set.emphasis = false,
            TagEnd::Strong => self.set.strong = false,
            TagEnd::Link => self.link = None,
            TagEnd::Heading(level) => {
                let text = self.take().into_iter().map(|s| s.text).collect();
                self.blocks.push(Block::Heading(level as u8, text));
            }
            TagEnd::Paragraph if self.lists.is_empty() => {
                let spans = self.take();
                let quoted = self.quoted;
                self.blocks.push(if quoted {
                    Block::Remark(spans)
                } else {
                    Block::Paragraph(spans)
                });
            }
            TagEnd::Item => {
                self.item();
                if let Some(Some(number)) = self.lists.last_mut() {
                    *number += 1;
                }
            }
            TagEnd::List(_) => {
                self.lists.pop();
            }
            TagEnd::CodeBlock => {
                if let Some(text) = self.code.take() {
                    self.blocks.push(Block::Equation(text.trim_end().to_owned()));
                }
            }
            TagEnd::BlockQuote(_) => self.quoted = false,
            TagEnd::TableCell => {
                let cell = self.take();
                self.row.push(cell);
            }
            TagEnd::TableHead => self.heads = std::mem::take(&mut self.row),
            TagEnd::TableRow => {
                let row = std::mem::take(&mut self.row);
                self.rows.push(row);
            }
            TagEnd::Table => {
                let heads = std::mem::take(&mut self.heads);
                let rows = std::mem::take(&mut self.rows);
                self.blocks.push(Block::Table(heads, rows));
            }
            _ => {}
        }
    }
}

/// The blocks of a page, and what in it cannot be drawn.
#[must_use]
pub fn parse(text: &str) -> (Vec<Block>, Vec<String>) {
    let mut reader = Reader::default();
    for event in Parser::new_ext(text, Options::ENABLE_TABLES) {
        match event {
            Event::Start(tag) => reader.start(tag),
            Event::End(tag) => reader.end(tag),
            Event::Text(text) => match &mut reader.code {
                Some(code) => code.push_str(&text),
                None => reader.put(&text, false),
            },
            Event::Code(text) => reader.put(&text, true),
            Event::SoftBreak | Event::HardBreak => reader.put(" ", false),
            other => reader.strange.push(format!("{other:?}")),
        }
    }
    (reader.blocks, reader.strange)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(text: &str) -> Span {
        Span { text: text.to_owned(), set: Set::default(), link: None }
    }

    // What CommonMark 0.31 makes of these lines.
    #[test]
    fn blocks_come_in_order() {
        let text = "# Title\n\nOne **two** [three](other).\n\n1. first\n2. second\n\n```eq\na = b\n```\n\n\
                    | x | y |\n|---|---|\n| 1 | `2` |\n\n> aside\n";
        let (blocks, strange) = parse(text);
        assert!(strange.is_empty(), "{strange:?}");
        assert_eq!(blocks.len(), 7, "{blocks:?}");
        assert_eq!(blocks.first(), Some(&Block::Heading(1, "Title".to_owned())));
        assert_eq!(blocks.get(1).map(Block::text), Some("One two three.".to_owned()));
        assert_eq!(blocks.get(1).map(Block::links), Some(vec!["other"]));
        assert_eq!(blocks.get(3), Some(&Block::Item(0, Some(2), vec![plain("second")])));
        assert_eq!(blocks.get(4), Some(&Block::Equation("a = b".to_owned())));
        assert_eq!(blocks.get(5).map(Block::text), Some("x y 1 2".to_owned()));
        assert_eq!(blocks.get(6), Some(&Block::Remark(vec![plain("aside")])));
    }

    #[test]
    fn what_cannot_be_drawn_is_named() {
        assert!(!parse("![picture](x.png)").1.is_empty());
        assert!(!parse("<b>bold</b>").1.is_empty());
    }
}
