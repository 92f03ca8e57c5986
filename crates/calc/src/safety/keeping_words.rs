//! What the assessment of preservation says in sentences.

use super::keeping::{Counts, Keeping, Need, System};
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
                "Does nothing at this pH: {}; bring the pH down, or choose another",
                idle.join(", ")
            ));
        }
        if self.systems.is_empty() {
            out.push(if self.argued {
                "Without a preservative, for the reason that was written down".to_owned()
            } else {
                "Nothing in it preserves it".to_owned()
            });
        }
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
