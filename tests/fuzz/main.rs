//! Random hands at the window: keys, text, clicks, drags, pastes, drops, sizes, scales, commands
//! and what an assistive technology sends, from a seed. Nothing may panic, the project must stay
//! one that can be saved and read back, the window must come to rest, and undo must lead back to
//! where it began.
//!
//! A failure prints the seed and the acts before it. `FUZZ_SEED=7 FUZZ_STEPS=180 cargo nextest run
//! -p quern-tests --test fuzz by_hand` does that run again, with `FUZZ_SHRINK=1` it looks for the
//! fewest acts that fail, and `FUZZ_SEEDS=40` runs seeds 0 to 39; `scripts/fuzz` is the long run.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

mod act;
mod checks;
mod choose;
mod random;
mod start;

use std::cell::{Cell, RefCell};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Once;

use act::{Act, Hands};
use checks::{Beginning, rewinds, sound};
use random::Random;

/// Acts between two looks at the project, and between two walks through its history.
const LOOK: usize = 20;
const WALK: usize = 100;
/// Acts of a seed where nothing else is said.
const STEPS: usize = 250;

thread_local! {
    /// Panics on this thread, also those that the window survives.
    static PANICS: Cell<u32> = const { Cell::new(0) };
    /// The window's own seed and the acts so far.
    static TRACE: RefCell<(u64, u64, Vec<Act>)> = const { RefCell::new((0, 0, Vec::new())) };
}

/// What to do again when it fails stands in the output beside the panic.
fn watch_panics() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let before = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |info| {
            before(info);
            PANICS.set(PANICS.get() + 1);
            TRACE.with_borrow(|(seed, window, acts)| {
                let n = acts.len();
                eprintln!(
                    "seed {seed}, act {n} of the window opened with {window}; the last acts:"
                );
                for (i, act) in acts.iter().enumerate().skip(n.saturating_sub(8)) {
                    let text: String = format!("{act:?}").chars().take(240).collect();
                    eprintln!("  {i}: {text}");
                }
            });
        }));
    });
}

/// Where this seed may write.
fn folder(seed: u64) -> PathBuf {
    let root = Path::new(env!("CARGO_TARGET_TMPDIR")).join("fuzz");
    let folder = root.join(format!("seed-{seed}"));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    // A path typed without a folder lands here.
    let here = root.join("here");
    std::fs::create_dir_all(&here).unwrap();
    std::env::set_current_dir(&here).unwrap();
    folder
}

/// Opens a window and lets `next` say what is done in it, until it says nothing more or the window
/// closes. Gives the number of acts.
fn play(seed: u64, window: u64, mut next: impl FnMut(&Hands, &[PathBuf]) -> Option<Act>) -> usize {
    TRACE.set((seed, window, Vec::new()));
    let folder = folder(seed);
    let files = start::files(&folder);
    let mut hands = start::open(window, &folder);
    let mut beginning = Beginning::of(&hands.h);
    let mut n = 0;
    let mut seen = checks::Seen::default();
    while !hands.closed
        && let Some(act) = next(&hands, &files)
    {
        TRACE.with_borrow_mut(|t| t.2.push(act.clone()));
        hands.perform(&act);
        n += 1;
        seen.note(&hands);
        assert_eq!(PANICS.get(), 0, "a job broke off");
        beginning.follow(&hands.h);
        if n % LOOK == 0 {
            sound(&mut hands.h);
            beginning.follow(&hands.h);
        }
        if n % WALK == 0 {
            rewinds(&mut hands.h, &beginning);
        }
    }
    sound(&mut hands.h);
    beginning.follow(&hands.h);
    rewinds(&mut hands.h, &beginning);
    eprintln!("seed {seed}: {n} acts, {seen}");
    let _ = std::fs::remove_dir_all(&folder);
    n
}

/// Runs a seed.
fn run(seed: u64, steps: usize) {
    let mut random = Random::new(seed);
    let mut left = steps;
    while left > 0 {
        let window = random.next();
        let mut most = left;
        left -= play(seed, window, |hands, files| {
            most = most.checked_sub(1)?;
            Some(choose::choose(&mut random, hands, files))
        });
    }
}

fn fails(seed: u64, window: u64, acts: &[Act]) -> bool {
    PANICS.set(0);
    let mut acts = acts.iter().cloned();
    catch_unwind(AssertUnwindSafe(|| play(seed, window, |_, _| acts.next()))).is_err()
}

/// Leaves acts out for as long as the rest still fails.
fn shrink(seed: u64) {
    let (_, window, mut acts) = TRACE.take();
    let mut piece = acts.len().div_ceil(2);
    while piece > 0 {
        let mut at = 0;
        while at < acts.len() {
            let mut fewer = acts.clone();
            fewer.drain(at..(at + piece).min(acts.len()));
            if fails(seed, window, &fewer) { acts = fewer } else { at += piece }
        }
        piece /= 2;
    }
    fails(seed, window, &acts);
    eprintln!("fewest acts that fail, in the window opened with {window}:");
    for act in &acts {
        eprintln!("  {act:?}");
    }
}

fn number(name: &str) -> Option<u64> {
    std::env::var(name).ok()?.parse().ok()
}

fn seeds(range: std::ops::Range<u64>) {
    watch_panics();
    for seed in range {
        PANICS.set(0);
        run(seed, STEPS);
    }
}

macro_rules! runs {
    ($($name:ident: $range:expr;)*) => {
        $(#[test] fn $name() { seeds($range); })*
    };
}

// Side by side, so that two cores are busy; 4,000 acts in all.
runs! {
    seeds_0_and_1: 0..2;
    seeds_2_and_3: 2..4;
    seeds_4_and_5: 4..6;
    seeds_6_and_7: 6..8;
    seeds_8_and_9: 8..10;
    seeds_10_and_11: 10..12;
    seeds_12_and_13: 12..14;
    seeds_14_and_15: 14..16;
}

/// The seed that the environment names; one more of the usual ones when it names none.
#[test]
fn by_hand() {
    watch_panics();
    let steps = number("FUZZ_STEPS").and_then(|n| usize::try_from(n).ok()).unwrap_or(STEPS);
    let first = number("FUZZ_SEED").unwrap_or(16);
    let mut failed = Vec::new();
    for seed in first..first + number("FUZZ_SEEDS").unwrap_or(1) {
        PANICS.set(0);
        if catch_unwind(|| run(seed, steps)).is_err() || PANICS.get() > 0 {
            failed.push(seed);
            if number("FUZZ_SHRINK").is_some() {
                shrink(seed);
            }
        }
    }
    assert!(failed.is_empty(), "seeds that fail: {failed:?}");
}
