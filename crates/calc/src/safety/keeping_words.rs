//! What the assessment of preservation says in sentences.

use super::keeping::{ALCOHOL, Counts, Keeping, MICROBES, Need, PH_APART, System};
use super::preservation::Reach;
use crate::number::{NumberStyle, format_f64, format_plain};
use crate::quantity::{Percent, derived};

fn pct(p: Percent, style: NumberStyle) -> String {
    format!("{} %", format_plain(derived(p.0).normalize(), style))
}

impl Keeping {
    /// What the product asks and what to do, a sentence each. Never a verdict.
    #[must_use]
    pub fn advice(&self, style: NumberStyle) -> Vec<String> {
        let mut out = Vec::new();
        let free = pct(self.water.free, style);
        out.push(match self.need {
            Need::Water => format!(
                "It holds {free} free water: treat it as a product with water, preserve it and have it challenge-tested"
            ),
            Need::WetUse => format!(
                "It holds {free} free water and gets wet in use: a film of water in the shower is enough for mould and yeast, so preserve it, or write down why not"
            ),
            Need::Dry => format!(
                "It holds {free} free water and stays dry in use: an antioxidant for the oils matters more than a preservative, as long as no wet fingers reach in"
            ),
        });
        if self.need == Need::Dry {
            return out;
        }
        let of = |counts: &[Counts]| -> Vec<&str> {
            self.systems
                .iter()
                .filter(|s| counts.contains(&s.counts))
                .map(|s| s.inci.as_str())
                .collect()
        };
        let works = of(&[Counts::Yes]);
        let weak = of(&[Counts::Weakly]);
        let open = of(&[Counts::PhUnknown]);
        let idle = of(&[Counts::Idle]);
        if !works.is_empty() {
            out.push(format!("Counts on: {}", works.join(", ")));
        }
        if !weak.is_empty() {
            out.push(format!("Counts for little at this pH and amount: {}", weak.join(", ")));
        }
        if !open.is_empty() {
            out.push(format!("Enter the pH to know what {} can do", open.join(", ")));
        }
        if !idle.is_empty() {
            out.push(format!(
                "Does next to nothing at this pH and amount: {}; bring the pH into its window, add more within its limits, or choose another",
                idle.join(", ")
            ));
        }
        let helpers = of(&[Counts::Helps]);
        if !helpers.is_empty() {
            out.push(format!(
                "Strengthens others and does not carry a product by itself: {}",
                helpers.join(", ")
            ));
        }
        out.extend(self.reach_words());
        if self.systems.is_empty() {
            out.push(if self.argued {
                "Without a preservative, for the reason that was written down".to_owned()
            } else {
                "Nothing in it preserves it".to_owned()
            });
        }
        out.extend(self.low_risk_words());
        match self.ph {
            None => out.push(
                "Measure the pH of the finished product; for a bar, of a 10 % dispersion at 25 °C"
                    .to_owned(),
            ),
            Some((ph, false)) => out.push(format!(
                "pH {} is a target: measure the finished product",
                format_f64(ph, 2, style)
            )),
            Some((_, true)) => {}
        }
        out
    }

    /// What is held weakly or not at all by those that count.
    fn reach_words(&self) -> Option<String> {
        let unknown: Vec<&str> = self
            .systems
            .iter()
            .filter(|s| s.reach.is_none() && s.counts != Counts::Idle)
            .map(|s| s.inci.as_str())
            .collect();
        if !unknown.is_empty() {
            return Some(format!(
                "What it reaches is not known for {}: ask the supplier for its make-up",
                unknown.join(", ")
            ));
        }
        let held = |at: Reach| -> Vec<&str> {
            MICROBES
                .into_iter()
                .zip(self.coverage)
                .filter(|(_, r)| *r == at)
                .map(|(m, _)| m)
                .collect()
        };
        let (weak, none) = (held(Reach::Weak), held(Reach::None));
        if self.systems.is_empty() || none.len() == MICROBES.len() {
            return None;
        }
        let mut parts = Vec::new();
        if !weak.is_empty() {
            parts.push(format!("{} weakly", weak.join(", ")));
        }
        if !none.is_empty() {
            parts.push(format!("{} not at all", none.join(", ")));
        }
        (!parts.is_empty())
            .then(|| format!("By what is known of its preservatives it holds {}", parts.join("; ")))
    }

    /// What a low-risk criterion that is met means. Being dry in the pack says nothing of a bar in
    /// the shower.
    fn low_risk_words(&self) -> Option<String> {
        let met: Vec<&str> = self
            .criteria
            .iter()
            .filter(|c| c.met == Some(true))
            .filter(|c| self.need == Need::Water || [PH_APART, ALCOHOL].contains(&c.name))
            .map(|c| c.name)
            .collect();
        (!met.is_empty()).then(|| {
            format!(
                "Low-risk criterion met ({}; ISO 29621:2017 as a laboratory sums it up): that may spare a challenge test, never the assessment",
                met.join(", ")
            )
        })
    }
}

impl System {
    /// Its figures in sentences.
    #[must_use]
    pub fn words(&self, style: NumberStyle) -> Vec<String> {
        let mut out = Vec::new();
        if let Some(acid) = &self.acid {
            let mut text = format!(
                "{} as {}, pKa {}",
                pct(acid.total, style),
                acid.name,
                format_f64(acid.pka, 2, style)
            );
            if let (Some((fraction, here)), Some(band)) = (acid.at, acid.band) {
                text.push_str(&format!(
                    "; {} % of it undissociated here, {} % of the product: {} (good from {}, ineffective below {})",
                    format_f64(super::keeping::share_percent(fraction), 1, style),
                    format_f64(here, 4, style),
                    band.name(),
                    pct(acid.bands.0, style),
                    pct(acid.bands.1, style),
                ));
            }
            out.push(text);
        }
        if let Some(window) = self.window {
            let end = |x: Option<f64>| x.map_or("open".to_owned(), |x| format_f64(x, 1, style));
            let inside = match self.in_window {
                Some(true) => "the product is inside",
                Some(false) => "the product is outside",
                None => "the pH is not stated",
            };
            out.push(format!("pH window {} to {}: {inside}", end(window.low), end(window.high)));
        }
        if let Some((limit, phase)) = self.heat {
            let word = if phase > limit { "warmer than it should be" } else { "within its limit" };
            out.push(format!(
                "Added at up to {} °C, stands {} °C: {word}",
                format_f64(phase, 0, style),
                format_f64(limit, 0, style)
            ));
        }
        if let Some(least) = self.least {
            let word = if self.percent < least { "Below" } else { "At or above" };
            out.push(format!("{word} the {} that it takes alone", pct(least, style)));
        }
        match self.reach {
            Some([bacteria, yeast, mould]) => out.push(format!(
                "Reach: bacteria {}, yeast {}, mould {}",
                bacteria.name(),
                yeast.name(),
                mould.name()
            )),
            None => out.push("Reach not known".to_owned()),
        }
        out
    }
}
