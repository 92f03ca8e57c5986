//! Finding a material by any of its names, with letters left out or mistyped.

use std::collections::BTreeMap;
use std::sync::Arc;

use nucleo_matcher::chars::{normalize, to_lower_case};
use nucleo_matcher::{Config, Matcher, Utf32Str, Utf32String};
use quern_calc::formula::{Material, MaterialId};

/// Longest query that is looked at, in characters; a longer one is cut.
const MOST_QUERY: usize = 80;
/// Share of a word's own score that a scattered match needs; below it, letters only happen to
/// occur in order.
const GOOD: f32 = 0.62;
/// Score of a word that is found by edit distance, before its mistakes are taken off.
const TYPO_SCORE: u32 = 100;

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
    /// Display name, folded, for ties.
    name: String,
    /// Common names and INCI name, folded, for prefixes.
    names: Vec<String>,
    /// Each text that is searched.
    fields: Vec<Utf32String>,
}

/// A list of materials, prepared for searching. Built once per library, asked at every keystroke.
pub struct SearchIndex {
    entries: Vec<Entry>,
    /// Every word, and the entries that have it.
    words: BTreeMap<String, Vec<usize>>,
}

/// Lower case, without accents.
fn fold(text: &str) -> String {
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
    let whole = (chars <= typed_chars.saturating_add(most))
        .then(|| strsim::osa_distance(typed, word));
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
        let mut entries = Vec::new();
        let mut words: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for material in materials {
            let mut names: Vec<String> = material.names.iter().map(|n| fold(n)).collect();
            names.push(fold(&material.inci));
            names.dedup();
            let mut fields: Vec<Utf32String> = names.iter().map(|n| n.as_str().into()).collect();
            // The form with each of the two main names, so that "sugar fine" finds the grade.
            if !material.form.is_empty() {
                fields.push(fold(&material.inci_and_form()).as_str().into());
                let graded = format!("{}, {}", material.display_name(), material.form);
                fields.push(fold(&graded).as_str().into());
            }
            if let Some(cas) = &material.cas {
                fields.push(cas.as_str().into());
            }
            let at = entries.len();
            for name in &names {
                for word in words_of(name) {
                    let list = words.entry(word.to_owned()).or_default();
                    if list.last() != Some(&at) {
                        list.push(at);
                    }
                }
            }
            entries.push(Entry {
                id: material.id.clone(),
                name: fold(material.display_name()),
                names,
                fields,
            });
        }
        Self { entries, words }
    }

    /// The materials that fit best, best first, at most `limit`.
    ///
    /// Every word of the query must be found in the names, INCI name, form or CAS number; letters
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
        let name = |at: usize| self.entries.get(at).map(|e| (e.name.as_str(), e.id.as_str()));
        found.sort_unstable_by(|a, b| b.1.cmp(&a.1).then_with(|| name(a.0).cmp(&name(b.0))));
        found.truncate(limit);
        found
            .into_iter()
            .filter_map(|(at, score)| Some(Hit { id: self.entries.get(at)?.id.clone(), score }))
            .collect()
    }

    fn by_letters(&self, query: &str, typed: &[&str]) -> Vec<(usize, u32)> {
        let mut matcher = Matcher::new(Config::DEFAULT);
        let needles: Vec<(Utf32String, u32)> = typed
            .iter()
            .map(|word| {
                let needle = Utf32String::from(*word);
                let best = u32::from(matcher.fuzzy_match(needle.slice(..), needle.slice(..)).unwrap_or(0));
                (needle, best)
            })
            .collect();
        self.entries
            .iter()
            .enumerate()
            .filter_map(|(at, entry)| {
                let mut score = prefix_bonus(entry, query);
                for (needle, best) in &needles {
                    score = score.saturating_add(word_score(&mut matcher, entry, needle.slice(..), *best)?);
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
                for at in entries {
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

/// The best score of a word in any field; `None` when it is in none.
fn word_score(matcher: &mut Matcher, entry: &Entry, needle: Utf32Str<'_>, best: u32) -> Option<u32> {
    let score = entry
        .fields
        .iter()
        .filter_map(|field| matcher.fuzzy_match(field.slice(..), needle))
        .max()?;
    (f32::from(score) >= best as f32 * GOOD).then_some(u32::from(score))
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
