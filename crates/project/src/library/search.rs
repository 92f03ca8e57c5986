//! Finding a material by any of its names, with letters left out or mistyped.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::Arc;

use nucleo_matcher::chars::{normalize, to_lower_case};
use nucleo_matcher::{Config, Matcher, Utf32String};
use quern_calc::formula::{Material, MaterialId};

/// Longest query that is looked at, in characters; a longer one is cut.
const MOST_QUERY: usize = 80;
/// Share of a word's own score that a scattered match needs; below it, letters only happen to
/// occur in order.
const GOOD: f32 = 0.62;
/// Score of a word that is found by edit distance, before its mistakes are taken off.
const TYPO_SCORE: u32 = 100;
/// What such a word gains when it begins a name; less than one mistake takes off.
const BEGINS_SCORE: u32 = 10;

/// A material that was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hit {
    /// The material.
    pub id: MaterialId,
    /// How well it fits; higher is better, comparable within one search only.
    pub score: u32,
}

struct Entry {
    id: MaterialId,
    /// Display name, folded.
    name: String,
    /// Common names and INCI name, folded, for prefixes.
    names: Vec<String>,
    /// Each text that is searched, with the letters in it.
    fields: Vec<(u64, Utf32String)>,
}

/// A list of materials, prepared for searching. Built once per library, asked at every keystroke.
pub struct SearchIndex {
    /// In the order of their names, so that a place is also a rank among equals.
    entries: Vec<Entry>,
    /// Every word, and the entries that have it; true where it begins a name.
    words: BTreeMap<String, Vec<(usize, bool)>>,
}

/// The letters of a folded text, one bit each: a text without all letters of a word cannot match
/// it. Characters that share a bit only make the test weaker.
fn letters(folded: &str) -> u64 {
    folded.chars().fold(0, |set, c| set | 1_u64 << (u32::from(c) % 64))
}

impl Entry {
    fn new(material: &Material) -> Self {
        let name = fold(material.display_name());
        let inci = fold(&material.inci);
        let mut names: Vec<String> = material.names.iter().map(|n| fold(n)).collect();
        names.push(inci.clone());
        let mut texts: Vec<String> = names.clone();
        // The form goes with the two main names, so that "sugar fine" finds the grade.
        if !material.form.is_empty() {
            let form = fold(&material.form);
            for text in texts.iter_mut().filter(|t| **t == name || **t == inci) {
                text.push_str(", ");
                text.push_str(&form);
            }
        }
        texts.extend(material.cas.as_deref().map(fold));
        // "preservative" lists preservatives, behind those that have it in their name.
        texts.extend(material.function.map(|f| fold(f.name())));
        texts.sort_unstable();
        texts.dedup();
        let fields = texts.iter().map(|t| (letters(t), t.as_str().into())).collect();
        Self { id: material.id.clone(), name, names, fields }
    }
}

/// Lower case, without accents, as names are compared.
#[must_use]
pub fn fold(text: &str) -> String {
    text.chars()
        // Accents that stand alone; composed letters are mapped.
        .filter(|c| !matches!(c, '\u{300}'..='\u{36f}'))
        .map(|c| to_lower_case(normalize(c)))
        .collect()
}

fn words_of(folded: &str) -> impl Iterator<Item = &str> {
    folded.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty())
}

/// Mistakes that a word of this length may have.
fn allowed_mistakes(chars: usize) -> usize {
    match chars {
        0..=3 => 0,
        4..=5 => 1,
        6..=9 => 2,
        _ => 3,
    }
}

/// Mistakes in `typed` against a word, or against its beginning when it is not yet typed out.
fn mistakes(typed: &str, typed_chars: usize, word: &str, most: usize) -> Option<usize> {
    let chars = word.chars().count();
    if chars.saturating_add(most) < typed_chars {
        return None;
    }
    let whole =
        (chars <= typed_chars.saturating_add(most)).then(|| strsim::osa_distance(typed, word));
    let begun = word
        .char_indices()
        .nth(typed_chars)
        .and_then(|(end, _)| word.get(..end))
        .map(|start| strsim::osa_distance(typed, start));
    whole.into_iter().chain(begun).min().filter(|n| *n <= most)
}

impl SearchIndex {
    /// Prepares these materials.
    #[must_use]
    pub fn new<'a>(materials: impl IntoIterator<Item = &'a Arc<Material>>) -> Self {
        let mut entries: Vec<Entry> = materials.into_iter().map(|m| Entry::new(m)).collect();
        entries.sort_by(|a, b| (&a.name, &a.id).cmp(&(&b.name, &b.id)));
        let mut words: BTreeMap<String, Vec<(usize, bool)>> = BTreeMap::new();
        for (at, entry) in entries.iter().enumerate() {
            for name in &entry.names {
                for (n, word) in words_of(name).enumerate() {
                    let list = words.entry(word.to_owned()).or_default();
                    match list.last_mut().filter(|(last, _)| *last == at) {
                        Some((_, begins)) => *begins |= n == 0,
                        None => list.push((at, n == 0)),
                    }
                }
            }
        }
        Self { entries, words }
    }

    /// As [`SearchIndex::find`], with the materials that a project already uses moved up: a hit
    /// gains a quarter of its score, so that a clearly better name still comes first.
    #[must_use]
    pub fn find_ranked(
        &self,
        query: &str,
        limit: usize,
        used: impl Fn(&MaterialId) -> bool,
    ) -> Vec<Hit> {
        let mut hits = self.find(query, limit.saturating_mul(3));
        for hit in hits.iter_mut().filter(|h| used(&h.id)) {
            hit.score = hit.score.saturating_add(hit.score / 4);
        }
        // The sort is stable: equals stay in the order of their names.
        hits.sort_by_key(|h| std::cmp::Reverse(h.score));
        hits.truncate(limit);
        hits
    }

    /// The materials that fit best, best first, at most `limit`.
    ///
    /// Every word of the query must be found in the names, INCI name, form, function or CAS number; letters
    /// may be left out. A name that begins with the query comes first, ties go by name. When
    /// nothing fits, words that differ by few letters are taken. An empty query lists all by name.
    #[must_use]
    pub fn find(&self, query: &str, limit: usize) -> Vec<Hit> {
        let folded: String = fold(query.trim()).chars().take(MOST_QUERY).collect();
        let typed: Vec<&str> = folded.split_whitespace().collect();
        let mut found = self.by_letters(&folded, &typed);
        if found.is_empty() {
            found = self.by_distance(&folded);
        }
        let better = |a: &(usize, u32), b: &(usize, u32)| b.1.cmp(&a.1).then(a.0.cmp(&b.0));
        if limit > 0 && limit < found.len() {
            found.select_nth_unstable_by(limit - 1, better);
        }
        found.truncate(limit);
        found.sort_unstable_by(better);
        found
            .into_iter()
            .filter_map(|(at, score)| Some(Hit { id: self.entries.get(at)?.id.clone(), score }))
            .collect()
    }

    fn by_letters(&self, query: &str, typed: &[&str]) -> Vec<(usize, u32)> {
        let mut matcher = Matcher::new(Config::DEFAULT);
        let needles: Vec<Needle> = typed
            .iter()
            .map(|word| {
                let text = Utf32String::from(*word);
                let own = matcher.fuzzy_match(text.slice(..), text.slice(..)).unwrap_or(0);
                Needle { letters: letters(word), text, least: f32::from(own) * GOOD }
            })
            .collect();
        self.entries
            .iter()
            .enumerate()
            .filter_map(|(at, entry)| {
                let mut score = prefix_bonus(entry, query);
                for needle in &needles {
                    score = score.saturating_add(needle.score(&mut matcher, entry)?);
                }
                Some((at, score))
            })
            .collect()
    }

    fn by_distance(&self, query: &str) -> Vec<(usize, u32)> {
        let mut total: Option<BTreeMap<usize, u32>> = None;
        for typed in words_of(query) {
            let chars = typed.chars().count();
            let most = allowed_mistakes(chars);
            let mut best: BTreeMap<usize, u32> = BTreeMap::new();
            for (word, entries) in &self.words {
                let Some(n) = mistakes(typed, chars, word, most) else { continue };
                let off = u32::try_from(n).unwrap_or(u32::MAX).saturating_mul(20);
                let score = TYPO_SCORE.saturating_sub(off);
                for (at, begins) in entries {
                    let score = if *begins { score.saturating_add(BEGINS_SCORE) } else { score };
                    let entry = best.entry(*at).or_default();
                    *entry = score.max(*entry);
                }
            }
            total = Some(match total {
                None => best,
                // Every word must be found.
                Some(sum) => sum
                    .into_iter()
                    .filter_map(|(at, score)| {
                        best.get(&at).map(|more| (at, score.saturating_add(*more)))
                    })
                    .collect(),
            });
        }
        total.unwrap_or_default().into_iter().collect()
    }
}

/// Puts names that begin with the query above all others.
fn prefix_bonus(entry: &Entry, query: &str) -> u32 {
    if query.is_empty() {
        0
    } else if entry.name == query {
        40_000
    } else if entry.name.starts_with(query) {
        30_000
    } else if entry.names.iter().any(|n| n.starts_with(query)) {
        20_000
    } else {
        0
    }
}

/// One typed word.
struct Needle {
    letters: u64,
    text: Utf32String,
    /// A lower score is no match.
    least: f32,
}

impl Needle {
    /// The best score in any field; `None` when it is in none.
    fn score(&self, matcher: &mut Matcher, entry: &Entry) -> Option<u32> {
        let score = entry
            .fields
            .iter()
            .filter(|(letters, _)| letters & self.letters == self.letters)
            .filter_map(|(_, field)| matcher.fuzzy_match(field.slice(..), self.text.slice(..)))
            .max()?;
        (f32::from(score) >= self.least).then_some(u32::from(score))
    }
}

/// Searches materials once; [`SearchIndex`] is for repeated questions.
#[must_use]
pub fn search<'a>(
    query: &str,
    materials: impl IntoIterator<Item = &'a Arc<Material>>,
    limit: usize,
) -> Vec<Hit> {
    SearchIndex::new(materials).find(query, limit)
}

/// Typed words, to be held against any text: fuzzy, letter case and accents aside.
pub struct Needles {
    words: Vec<(String, Utf32String)>,
    /// Costly to make, so it is made once.
    matcher: RefCell<Matcher>,
}

impl Needles {
    /// Prepares what was typed.
    #[must_use]
    pub fn new(query: &str) -> Self {
        let folded: String = fold(query.trim()).chars().take(MOST_QUERY).collect();
        let words = folded.split_whitespace();
        Self {
            words: words.map(|w| (w.to_owned(), Utf32String::from(w))).collect(),
            matcher: RefCell::new(Matcher::new(Config::DEFAULT)),
        }
    }

    /// How well a text holds every word; `None` when one is missing. 0 without any word.
    #[must_use]
    pub fn score(&self, text: &str) -> Option<u32> {
        if self.words.is_empty() {
            return Some(0);
        }
        let folded = fold(text);
        let haystack = Utf32String::from(folded.as_str());
        let mut matcher = self.matcher.try_borrow_mut().ok()?;
        let mut sum = 0_u32;
        for (word, needle) in &self.words {
            let own = matcher.fuzzy_match(needle.slice(..), needle.slice(..)).unwrap_or(0);
            let found = matcher.fuzzy_match(haystack.slice(..), needle.slice(..))?;
            if f32::from(found) < f32::from(own) * GOOD {
                return None;
            }
            let begins = words_of(&folded).any(|w| w.starts_with(word.as_str()));
            sum = sum.saturating_add(u32::from(found)).saturating_add(if begins { 100 } else { 0 });
        }
        let whole = self.words.iter().map(|(w, _)| w.as_str()).collect::<Vec<_>>().join(" ");
        if folded == whole {
            sum = sum.saturating_add(1_000);
        } else if folded.starts_with(&whole) {
            sum = sum.saturating_add(300);
        }
        Some(sum)
    }
}
