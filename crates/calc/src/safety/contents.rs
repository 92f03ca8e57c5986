//! What a formula holds, by name and CAS number, so that many rules can be looked up in it.

use crate::evaluate::Opened;
use crate::formula::{Basis, LeafUse};
use crate::quantity::Percent;
use rust_decimal::Decimal;

/// Between the parts of a blend in its INCI name.
const AND: &str = " (and) ";

/// How it is known that a leaf holds a substance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum How {
    /// A part of its composition.
    Part,
    /// The material itself, or what its stated parts leave of it.
    Itself,
    /// Its list of allergens.
    Declared,
    /// A group name that its label carries.
    Group,
}

/// One substance that a leaf holds.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Held<'a> {
    /// Place among the leaves.
    pub leaf: usize,
    /// Name there.
    pub name: &'a str,
    /// % of the product; `None` when not stated.
    pub percent: Option<Percent>,
    /// % of the product that it cannot exceed.
    pub bound: Percent,
    /// How it is known.
    pub how: How,
    /// The amount is a usual one or a lower end rather than the supplier's figure.
    pub assumed: bool,
}

/// All of them, with an index.
pub(crate) struct Contents<'a> {
    /// The leaves that hold them.
    pub leaves: &'a [LeafUse<'a>],
    held: Vec<Held<'a>>,
    names: Vec<(u64, usize)>,
    cas: Vec<(u64, usize)>,
    // Most names of a rule are in no formula: one bit by first and last letter spares the search.
    seen: [u64; 16],
}

impl<'a> Contents<'a> {
    /// What an opened formula holds. Leaves of nothing or less are passed over.
    pub fn of(opened: &'a Opened<'_>) -> Self {
        let mut out = Self {
            leaves: &opened.leaves,
            held: Vec::with_capacity(opened.leaves.len() * 4),
            names: Vec::new(),
            cas: Vec::new(),
            seen: [0; 16],
        };
        for (leaf, of) in opened.leaves.iter().enumerate() {
            if of.percent.0 > Decimal::ZERO {
                out.add(leaf, of);
            }
        }
        out.names = out.held.iter().enumerate().map(|(i, h)| (name_hash(h.name), i)).collect();
        let mut see = |key: &str| {
            let (word, bit) = ends(key);
            if let Some(w) = out.seen.get_mut(word) {
                *w |= bit;
            }
        };
        out.held.iter().for_each(|h| see(h.name));
        for (i, held) in out.held.iter().enumerate() {
            let material = out.leaves.get(held.leaf).map(|l| l.material);
            // The number of a blend says nothing about its parts.
            if let Some(m) = material.filter(|m| {
                held.how == How::Itself
                    && m.composition.is_empty()
                    && (!m.inci.contains(" (and) ") || cas_of(m.cas.as_deref()).count() < 2)
            }) {
                for cas in cas_of(m.cas.as_deref()) {
                    see(cas);
                    out.cas.push((name_hash(cas), i));
                }
            }
        }
        out.names.sort_unstable();
        out.cas.sort_unstable();
        out
    }

    fn add(&mut self, leaf: usize, of: &LeafUse<'a>) {
        let material = of.material;
        let stated: Percent =
            material.composition.iter().filter_map(|p| p.share.as_ref().map(|s| s.value)).sum();
        let rest = Percent(Percent::HUNDRED.0.saturating_sub(stated.0).max(Decimal::ZERO));
        let rest = rest.of_percent(of.percent);
        let whole = Held {
            leaf,
            name: material.inci.as_str(),
            // Law speaks of the substance, not of its solution.
            percent: Some(material.dissolved().map_or(of.percent, |d| d.of_percent(of.percent))),
            bound: of.percent,
            how: How::Itself,
            assumed: false,
        };
        for part in &material.composition {
            let percent = part.share.as_ref().map(|s| s.value.of_percent(of.percent));
            if percent.is_none_or(|p| p.0 > Decimal::ZERO) {
                let assumed = part.share.as_ref().is_none_or(|s| s.basis != Basis::User);
                let bound = percent.unwrap_or(rest);
                self.held.push(Held {
                    name: part.inci.as_str(),
                    percent,
                    bound,
                    how: How::Part,
                    assumed,
                    ..whole
                });
            }
        }
        // A blend that only its name opens holds each of its parts in an unknown amount.
        if material.composition.is_empty() && material.inci.contains(AND) {
            let parts = material.inci.split(AND).map(str::trim).filter(|p| !p.is_empty());
            self.held.extend(parts.map(|name| Held {
                name,
                percent: None,
                how: How::Part,
                assumed: true,
                ..whole
            }));
        }
        // Parts without a share may be all that the stated ones leave.
        if material.composition.iter().all(|p| p.share.is_some()) && rest.0 > Decimal::ZERO {
            let itself = if material.composition.is_empty() { whole.percent } else { Some(rest) };
            self.held.push(Held { percent: itself, bound: rest, ..whole });
        }
        for allergen in &material.allergens {
            let high = allergen.high.as_ref();
            let share = high.map(|h| h.value).or(allergen.low);
            let percent = share.map(|s| s.of_percent(of.percent));
            if percent.is_none_or(|p| p.0 > Decimal::ZERO) {
                self.held.push(Held {
                    name: allergen.name.as_str(),
                    percent,
                    how: How::Declared,
                    assumed: high.is_none_or(|h| h.basis != Basis::User),
                    ..whole
                });
            }
        }
        for group in &material.label_groups {
            self.held.push(Held { name: group.as_str(), how: How::Group, ..whole });
        }
    }

    /// What is held under a name, letter case and surplus spaces aside.
    pub fn named<'s>(&'s self, name: &'s str) -> impl Iterator<Item = (usize, &'s Held<'a>)> {
        self.lookup(&self.names, name).filter(move |(_, h)| same_name(h.name, name))
    }

    /// Single materials of a CAS number.
    pub fn numbered<'s>(&'s self, cas: &'s str) -> impl Iterator<Item = (usize, &'s Held<'a>)> {
        self.lookup(&self.cas, cas).filter(move |(_, h)| {
            let material = self.leaves.get(h.leaf).map(|l| l.material);
            material.is_some_and(|m| cas_of(m.cas.as_deref()).any(|c| c == cas.trim()))
        })
    }

    fn lookup<'s>(
        &'s self,
        index: &'s [(u64, usize)],
        key: &str,
    ) -> impl Iterator<Item = (usize, &'s Held<'a>)> {
        let (word, bit) = ends(key);
        let there = self.seen.get(word).is_some_and(|w| w & bit != 0);
        let hash = if there { name_hash(key) } else { 0 };
        let from = if there { index.partition_point(|(h, _)| *h < hash) } else { index.len() };
        index
            .get(from..)
            .unwrap_or_default()
            .iter()
            .take_while(move |(h, _)| *h == hash)
            .filter_map(|(_, i)| self.held.get(*i).map(|h| (*i, h)))
    }

    /// Everything.
    pub fn held(&self) -> &[Held<'a>] {
        &self.held
    }
}

/// The CAS numbers in a field; some hold more than one.
fn cas_of(field: Option<&str>) -> impl Iterator<Item = &str> {
    field
        .unwrap_or_default()
        .split(|c: char| !c.is_ascii_digit() && c != '-')
        .filter(|s| !s.is_empty())
}

/// A word and a bit of it by the first and the last letter of a name.
fn ends(name: &str) -> (usize, u64) {
    let slot = |c: Option<char>| match c {
        None => 0,
        Some(c) if c.is_ascii() => u32::from(c.to_ascii_lowercase()) & 31,
        Some(c) => c.to_lowercase().fold(0, |_, l| u32::from(l)) & 31,
    };
    let mut letters = name.trim().chars();
    let first = slot(letters.next());
    let both = first * 32 + slot(letters.next_back());
    (usize::try_from(both / 64).unwrap_or(0), 1 << (both % 64))
}

/// FNV-1a over a name in small letters with single spaces (Fowler, Noll, Vo; constants as in
/// RFC 9923). Collisions only cost time: names are compared as well.
fn name_hash(name: &str) -> u64 {
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    let mut eat = |b: u8| hash = (hash ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3);
    if name.is_ascii() {
        let (mut gap, mut begun) = (false, false);
        for b in name.bytes() {
            if char::from(b).is_whitespace() {
                gap = begun;
                continue;
            }
            if gap {
                eat(b' ');
                gap = false;
            }
            begun = true;
            eat(b.to_ascii_lowercase());
        }
    } else {
        let mut bytes = [0; 4];
        for c in plain(name) {
            for b in c.encode_utf8(&mut bytes).bytes() {
                eat(b);
            }
        }
    }
    hash
}

fn plain(name: &str) -> impl Iterator<Item = char> {
    name.split_whitespace()
        .enumerate()
        .flat_map(|(i, word)| (i > 0).then_some(' ').into_iter().chain(word.chars()))
        .flat_map(char::to_lowercase)
}

/// True when two names are the same, letter case and surplus spaces aside.
pub(super) fn same_name(a: &str, b: &str) -> bool {
    a == b || plain(a).eq(plain(b))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_the_same_but_for_case_and_spaces() {
        for (a, b) in [
            ("Sodium Benzoate", " sodium  BENZOATE\t"),
            ("Öl", "öl"),
            ("", "  "),
            ("a\u{a0}b", "A b"),
        ] {
            assert!(same_name(a, b), "{a} {b}");
            assert_eq!(name_hash(a), name_hash(b), "{a} {b}");
            assert_eq!(ends(a), ends(b), "{a} {b}");
        }
        assert!(!same_name("Sodium Benzoate", "SodiumBenzoate"));
        assert_ne!(name_hash("Sodium Benzoate"), name_hash("SodiumBenzoate"));
        let numbers: Vec<&str> = cas_of(Some("65-85-0 / 532-32-1")).collect();
        assert_eq!(numbers, ["65-85-0", "532-32-1"]);
        assert_eq!(cas_of(None).count(), 0);
    }
}
