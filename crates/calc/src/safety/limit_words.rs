//! The arithmetic of a limit in words.

use super::limits::{CONVERTED_DECIMALS, LimitCheck, Verdict};
use crate::findings::made_of;
use crate::number::{NumberStyle, format_plain};
use crate::quantity::{Percent, derived};

fn pct(p: Percent, style: NumberStyle) -> String {
    format!("{} %", format_plain(derived(p.0).normalize(), style))
}

impl LimitCheck {
    /// How much of the cap is used, 0 and up; `None` without a cap above zero.
    #[must_use]
    pub fn used(&self) -> Option<f64> {
        let cap = self.cap?.to_f64();
        let amount = match self.verdict {
            Verdict::AtMost | Verdict::Undecided => self.most.unwrap_or(self.amount),
            _ => self.amount,
        };
        (cap > 0.0).then(|| amount.to_f64() / cap)
    }

    /// The arithmetic, a step a line.
    #[must_use]
    pub fn steps(&self, style: NumberStyle) -> Vec<String> {
        let mut out = Vec::new();
        for s in &self.sources {
            let from =
                if s.name == s.member { String::new() } else { format!(" in “{}”", s.name) };
            let amount = made_of(style, s);
            out.push(match (&s.conversion, &self.species) {
                (Some(c), Some(species)) => {
                    let moles =
                        if c.moles == 1 { String::new() } else { format!("{} × ", c.moles) };
                    format!(
                        "{}{from}: {amount} × {moles}{} / {} = {} as {species}",
                        s.member,
                        format_plain(c.species_mass.normalize(), style),
                        format_plain(c.member_mass.normalize(), style),
                        pct(s.counted, style)
                    )
                }
                _ => format!("{}{from}: {amount}", s.member),
            });
        }
        for u in &self.unknown {
            let most = u
                .bound
                .map_or("an unknown share".to_owned(), |b| format!("at most {}", pct(b, style)));
            out.push(format!("{} in {}: {most}", u.member, u.name));
        }
        if self.sources.len() > 1 || self.converted {
            let rounded = if self.converted {
                format!(
                    ", rounded to {CONVERTED_DECIMALS} decimals because molar masses have five figures"
                )
            } else {
                String::new()
            };
            out.push(format!("Sum: {}{rounded}", pct(self.amount, style)));
        }
        out.push(match (self.cap, self.verdict) {
            (_, Verdict::NotAllowed) => "Not allowed in this product".to_owned(),
            (None, _) => "No maximum for this product".to_owned(),
            (Some(cap), _) if self.at_or_above => {
                format!(
                    "Limit: less than {}; an amount that equals it is too much",
                    pct(cap, style)
                )
            }
            (Some(cap), _) => {
                format!("Limit: at most {}; an amount that equals it is within", pct(cap, style))
            }
        });
        out
    }
}
