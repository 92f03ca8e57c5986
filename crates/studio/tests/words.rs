//! `words.pot` lists every text of the window, and nothing else.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use quern_studio::words::{Language, Translation};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

fn sources(folder: &Path, out: &mut Vec<PathBuf>) {
    let mut entries: Vec<_> = fs::read_dir(folder).unwrap().flatten().map(|e| e.path()).collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            sources(&path, out);
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
}

/// What a source is made of, as far as texts go.
#[derive(Clone, Debug, PartialEq)]
enum Token {
    Word(String),
    Text(String),
    Sign(char),
}

/// Cuts a source into words, texts and signs, each with its line; comments are left out.
fn tokens(source: &str) -> Vec<(usize, Token)> {
    let c: Vec<char> = source.chars().collect();
    let at = |i: usize| c.get(i).copied().unwrap_or('\0');
    let (mut i, mut line, mut out) = (0, 1, Vec::new());
    while i < c.len() {
        let begun = line;
        let raw = (at(i) == 'r' && matches!(at(i + 1), '"' | '#'))
            .then(|| c[i + 1..].iter().take_while(|c| **c == '#').count())
            .filter(|hashes| at(i + 1 + hashes) == '"');
        if at(i) == '/' && at(i + 1) == '/' {
            while i < c.len() && at(i) != '\n' {
                i += 1;
            }
        } else if let Some(hashes) = raw {
            let end: String = format!("\"{}", "#".repeat(hashes));
            let rest: String = c[i + hashes + 2..].iter().collect();
            let text = &rest[..rest.find(&end).expect("a raw text ends")];
            line += text.matches('\n').count();
            i += hashes + 2 + text.chars().count() + end.len();
            out.push((begun, Token::Text(text.to_owned())));
        } else if at(i) == '"' {
            let mut text = String::new();
            i += 1;
            while at(i) != '"' {
                line += usize::from(at(i) == '\n');
                if at(i) != '\\' {
                    text.push(at(i));
                    i += 1;
                    continue;
                }
                i += 2;
                match at(i - 1) {
                    'n' => text.push('\n'),
                    't' => text.push('\t'),
                    '0' => text.push('\0'),
                    'u' => {
                        let hex: String = c[i + 1..].iter().take_while(|c| **c != '}').collect();
                        text.push(char::from_u32(u32::from_str_radix(&hex, 16).unwrap()).unwrap());
                        i += hex.len() + 2;
                    }
                    '\n' => {
                        line += 1;
                        while at(i).is_whitespace() {
                            line += usize::from(at(i) == '\n');
                            i += 1;
                        }
                    }
                    other => text.push(other),
                }
            }
            i += 1;
            out.push((begun, Token::Text(text)));
        } else if at(i) == '\'' && at(i + 1) == '\\' {
            i += 3;
            while at(i) != '\'' {
                i += 1;
            }
            i += 1;
        } else if at(i) == '\'' && at(i + 2) == '\'' {
            i += 3;
        } else if at(i).is_alphanumeric() || at(i) == '_' {
            let word: String =
                c[i..].iter().take_while(|c| c.is_alphanumeric() || **c == '_').collect();
            i += word.chars().count();
            out.push((begun, Token::Word(word)));
        } else {
            line += usize::from(at(i) == '\n');
            if !at(i).is_whitespace() {
                out.push((begun, Token::Sign(at(i))));
            }
            i += 1;
        }
    }
    out
}

/// A use of one of the macros: its texts, and the names of its values.
#[derive(Debug, PartialEq)]
struct Use {
    line: usize,
    texts: Vec<String>,
    names: Vec<String>,
}

/// Every use of the macros in a source.
fn uses(source: &str) -> Vec<Use> {
    let all = tokens(source);
    let mut out = Vec::new();
    for (i, window) in all.windows(4).enumerate() {
        let [
            (line, Token::Word(word)),
            (_, Token::Sign('!')),
            (_, Token::Sign('(')),
            (_, Token::Text(first)),
        ] = window
        else {
            continue;
        };
        let wanted = match word.as_str() {
            "say" | "term" => 1,
            "counted" => 2,
            _ => continue,
        };
        let (mut texts, mut names) = (vec![first.clone()], Vec::new());
        let (mut depth, mut argument) = (1, 0);
        for pair in all[i + 4..].windows(2) {
            match &pair[0].1 {
                Token::Sign('(' | '[' | '{') => depth += 1,
                Token::Sign(')' | ']' | '}') => depth -= 1,
                Token::Sign(',') if depth == 1 => {
                    argument += 1;
                    match &pair[1].1 {
                        Token::Text(text) if argument < wanted => texts.push(text.clone()),
                        Token::Word(name) => names.push(name.clone()),
                        _ => {}
                    }
                }
                _ => {}
            }
            if depth == 0 {
                break;
            }
        }
        out.push(Use { line: *line, texts, names });
    }
    out
}

/// Names in braces.
fn places(text: &str) -> Vec<String> {
    let plain = text.replace("{{", "").replace("}}", "");
    let parts = plain.split('{').skip(1);
    parts.map(|p| p.split('}').next().unwrap_or_default().to_owned()).collect()
}

/// A text, its other form if a number chooses, and where it stands.
type Texts = BTreeMap<(String, Option<String>), Vec<String>>;

/// Every text of the window. The headless commands are not part of it.
fn texts() -> Texts {
    let mut files = Vec::new();
    sources(&folder(), &mut files);
    let mut out = Texts::new();
    let mut note = |one: &str, many: Option<&String>, file: &str| {
        let places = out.entry((one.to_owned(), many.cloned())).or_default();
        if places.iter().all(|p| p != file) {
            places.push(file.to_owned());
        }
    };
    for path in files {
        let file = path.strip_prefix(folder()).unwrap().to_string_lossy().replace('\\', "/");
        if file == "words.rs" || file.starts_with("words/") {
            continue;
        }
        let source = fs::read_to_string(&path).unwrap();
        let code = source.split("#[cfg(test)]\nmod tests").next().unwrap();
        for found in uses(code) {
            let here = format!("{file}:{}", found.line);
            if !found.names.is_empty() {
                for place in found.texts.iter().flat_map(|t| places(t)) {
                    assert!(found.names.contains(&place), "{here}: {{{place}}} has no value");
                }
            }
            note(&found.texts[0], found.texts.get(1), &file);
        }
        if file == "app/commands/table.rs" {
            for row in quern_studio::app::commands::TABLE {
                note(row.name, None, &file);
                note(row.about, None, &file);
            }
        }
    }
    out
}

fn quoted(text: &str) -> String {
    let inner = text.replace('\\', "\\\\").replace('"', "\\\"").replace('\n', "\\n");
    format!("\"{}\"", inner.replace('\t', "\\t"))
}

/// The wording file: by source, then by text.
fn template(texts: &Texts) -> String {
    let mut rows: Vec<_> = texts.iter().map(|(key, places)| (&places[0], key, places)).collect();
    rows.sort();
    let mut out = String::from(
        "# Every text of the window, made from the sources: UPDATE_WORDS=1 cargo test -p quern-studio --test words\n\
         # To translate it, copy it, fill msgstr and put the plural rule of the language in the head;\n\
         # names in braces are filled in and may change places.\n\
         msgid \"\"\n\
         msgstr \"\"\n\
         \"Content-Type: text/plain; charset=UTF-8\\n\"\n\
         \"Plural-Forms: nplurals=2; plural=(n != 1);\\n\"\n",
    );
    for (_, (one, many), places) in rows {
        write!(out, "\n#: {}\nmsgid {}\n", places.join(" "), quoted(one)).unwrap();
        match many {
            None => out.push_str("msgstr \"\"\n"),
            Some(many) => {
                writeln!(out, "msgid_plural {}", quoted(many)).unwrap();
                out.push_str("msgstr[0] \"\"\nmsgstr[1] \"\"\n");
            }
        }
    }
    out
}

#[test]
fn the_wording_file_lists_every_text_and_nothing_else() {
    let path = folder().join("../words.pot");
    let wanted = template(&texts());
    if std::env::var_os("UPDATE_WORDS").is_some() {
        fs::write(&path, wanted).expect("the wording file is written");
        return;
    }
    let got = fs::read_to_string(&path).expect("words.pot is there");
    let ids = |text: &str| {
        let rows = text.lines().filter(|l| l.starts_with("msgid")).map(str::to_owned);
        rows.collect::<std::collections::BTreeSet<_>>()
    };
    let (there, here) = (ids(&got), ids(&wanted));
    let missing: Vec<_> = here.difference(&there).collect();
    let gone: Vec<_> = there.difference(&here).collect();
    assert!(
        got == wanted,
        "words.pot is out of date; renew it with UPDATE_WORDS=1\nnot in it: {missing:#?}\nnot in the code: {gone:#?}"
    );
}

#[test]
fn no_text_stands_for_two_plurals() {
    // A translation has one place for each text.
    let all = texts();
    let mut ones: Vec<_> = all.keys().map(|(one, _)| one).collect();
    let count = ones.len();
    ones.dedup();
    assert_eq!(ones.len(), count, "one text stands alone and with a plural");
}

/// The template with every text translated by turning its places around.
fn turned() -> String {
    let mut out = template(&BTreeMap::new());
    for ((one, many), _) in texts() {
        let turned = |text: &str| quoted(&format!("«{text}»"));
        match many {
            None => write!(out, "\nmsgid {}\nmsgstr {}\n", quoted(&one), turned(&one)).unwrap(),
            Some(many) => write!(
                out,
                "\nmsgid {}\nmsgid_plural {}\nmsgstr[0] {}\nmsgstr[1] {}\n",
                quoted(&one),
                quoted(&many),
                turned(&one),
                turned(&many)
            )
            .unwrap(),
        }
    }
    out
}

#[test]
fn the_wording_file_and_a_full_translation_of_it_can_be_read() {
    let empty = Translation::read(&template(&texts())).expect("the template is gettext");
    let full = Translation::read(&turned()).expect("a full translation is read");
    let spoken = |t: Translation| {
        quern_studio::words::speak(t.keep());
        let name = quern_studio::words::text("Save");
        quern_studio::words::speak(Language::English);
        name
    };
    assert_eq!(spoken(empty), "Save");
    assert_eq!(spoken(full), "«Save»");
}

/// Keys of interactions that look like texts.
const KEYS: [&str; 2] = ["batch slider", "setting amount {id} {}"];

/// Texts of several words that stand bare where the window is drawn and changed.
fn bare(source: &str) -> Vec<(usize, String)> {
    let all = tokens(source);
    let word = |i: usize| match all.get(i) {
        Some((_, Token::Word(word))) => word.as_str(),
        _ => "",
    };
    let mut out = Vec::new();
    for (i, (line, token)) in all.iter().enumerate() {
        let Token::Text(text) = token else { continue };
        let plain = |w: &&str| w.len() > 1 && w.chars().all(char::is_alphabetic);
        let words: Vec<&str> = text.split(' ').collect();
        if !words.windows(2).any(|pair| pair.iter().all(plain)) || KEYS.contains(&text.as_str()) {
            continue;
        }
        // The call or macro that the text is an argument of, and its place in it.
        let (mut depth, mut at) = (0, i);
        while at > 0 {
            at -= 1;
            match &all[at].1 {
                Token::Sign(')' | ']' | '}') => depth += 1,
                Token::Sign('(' | '[' | '{') if depth == 0 => break,
                Token::Sign('(' | '[' | '{') => depth -= 1,
                _ => {}
            }
        }
        let before = at.saturating_sub(1);
        let of = if all[before].1 == Token::Sign('!') {
            word(before.saturating_sub(1))
        } else {
            word(before)
        };
        let first = at + 1 == i;
        let allowed = match of {
            "say" | "term" => first,
            "counted" => first || at + 3 == i,
            "error" | "warn" | "info" | "debug" | "expect" | "assert" | "assert_eq" | "panic" => {
                true
            }
            _ => false,
        };
        if !allowed {
            out.push((*line, text.clone()));
        }
    }
    out
}

#[test]
fn no_text_of_the_window_stands_bare() {
    let mut files = Vec::new();
    for part in ["app", "views", "dialogs", "widgets"] {
        sources(&folder().join(part), &mut files);
    }
    let mut found = Vec::new();
    // The command table is listed as a whole.
    for path in files.into_iter().filter(|p| !p.ends_with("commands/table.rs")) {
        let source = fs::read_to_string(&path).unwrap();
        let code = source.split("#[cfg(test)]").next().unwrap();
        for (line, text) in bare(code) {
            found.push(format!("{}:{line}: {text}", path.display()));
        }
    }
    assert!(found.is_empty(), "these go through say!, counted! or term!:\n{}", found.join("\n"));
}

#[test]
fn the_scan_finds_bare_texts() {
    let source = r#"
        label("two words"); say!("two words"); counted!("one line", "two lines", n); log::warn!("two words");
        say!("x {y}", y = f("in here")); id("one-word"); format!("{a} and {b}"); counted!("a b", n, "late one");
        let x = "no longer"; match y { _ => "so it is" }
    "#;
    let texts: Vec<_> = bare(source).into_iter().map(|(_, text)| text).collect();
    assert_eq!(texts, ["two words", "in here", "late one", "no longer", "so it is"]);
}

#[test]
fn the_scan_sees_through_what_sources_hold() {
    let source = r##"
        // say!("in a comment")
        let a = "say!(\"in a text\")"; let b = 'x'; let c: &'static str = r#"say!("raw")"#; let d = '\'';
        say!("one"); say!("two \
            lines {n}", n = f(1, g), also); counted!("{n} a", "{n} b", n = x.len()); term!("µ\u{b2}");
        assay!("no"); say!(
            "late",
        );
    "##;
    let found = uses(source);
    let texts: Vec<_> = found.iter().map(|u| u.texts.join("|")).collect();
    assert_eq!(texts, ["one", "two lines {n}", "{n} a|{n} b", "µ²", "late"]);
    assert_eq!(found[1].names, ["n", "also"]);
    assert_eq!(found[2].names, ["n"]);
    assert_eq!(found[1].line, 4);
    assert_eq!(found[4].line, 6);
    assert_eq!(places("{a} of {{x}} {b}"), ["a", "b"]);
}
