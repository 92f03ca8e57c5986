//! One exfoliant for another, keeping the index, the load or the cost.

use super::grains::price_per_gram;
use super::mixes::bench_load;
use super::{GrainFigures, Opened, grain_figures, paste};
use crate::formula::{Amount, Formula, Item, Library, LineId, MaterialId};
use crate::quantity::Percent;

/// What a swap keeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Keep {
    /// The grit index of the blend.
    Index,
    /// The load of the line, % w/w.
    Load,
    /// The cost of the line.
    Cost,
}

impl Keep {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Index, Self::Load, Self::Cost];

    /// In words, and the key in scripts.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Index => "index",
            Self::Load => "load",
            Self::Cost => "cost",
        }
    }
}

/// One way to swap.
#[derive(Clone, Debug, PartialEq)]
pub struct SwapOption {
    /// What it keeps.
    pub keep: Keep,
    /// The formula after the swap and the new load of the line, or why it cannot be had.
    pub result: Result<(Formula, Percent), String>,
}

/// Load beyond which no exfoliant is looked for, % w/w.
const MOST: f64 = 60.0;

/// The ways to put another exfoliant on a line. A line that is locked keeps its material.
#[must_use]
pub fn swap_options(
    formula: &Formula,
    library: &Library,
    line: LineId,
    new: &MaterialId,
) -> Vec<SwapOption> {
    Keep::ALL
        .into_iter()
        .map(|keep| SwapOption { keep, result: swap(formula, library, line, new, keep) })
        .collect()
}

fn swap(
    formula: &Formula,
    library: &Library,
    line: LineId,
    new: &MaterialId,
    keep: Keep,
) -> Result<(Formula, Percent), String> {
    let row = formula.line(line).ok_or("the line is not in the formula any more")?;
    if row.locked {
        return Err("the line is locked; unlock it to swap".to_owned());
    }
    if formula.fills == Some(line) {
        return Err("the line fills to 100; let another line fill to swap".to_owned());
    }
    let Item::Material(old) = &row.item else {
        return Err("the line is a premix; swap inside it".to_owned());
    };
    let load = formula.percent_of(row).ok_or("the line has no amount yet")?;
    let with = |percent: Percent| -> Result<Formula, String> {
        let mut out = formula.clone();
        out.set_item(line, Item::Material(new.clone())).map_err(|e| e.to_string())?;
        if percent != load {
            out.set_amount(line, Some(Amount::percent(percent.0))).map_err(|e| e.to_string())?;
        }
        Ok(out)
    };
    let percent = match keep {
        Keep::Load => load,
        Keep::Cost => {
            let price = |id: &MaterialId| {
                library.material(id).and_then(price_per_gram).filter(|p| *p > 0.0)
            };
            let (Some(before), Some(after)) = (price(old), price(new)) else {
                return Err("a price is missing, so the cost cannot be kept".to_owned());
            };
            let wanted = load.to_f64() * before / after;
            if wanted > MOST {
                return Err(format!("it would take more than {MOST} % of it to cost as much"));
            }
            bench_load(wanted)
        }
        Keep::Index => {
            let wanted = index(formula, library)
                .map(|f| f.grit.index)
                .ok_or("the present blend has no index to keep")?;
            let at = |x: f64| -> Result<f64, String> {
                let figures = index(&with(bench_load(x))?, library);
                Ok(figures.map_or(0.0, |f| f.grit.index))
            };
            let usable = index(&with(load)?, library)
                .is_some_and(|f| f.parts.iter().any(|p| p.material == *new));
            if !usable {
                return Err("the new exfoliant has no grain data, so no index".to_owned());
            }
            if at(MOST)? < wanted {
                return Err(format!("even {MOST} % of it does not reach the index"));
            }
            if at(0.0)? > wanted {
                return Err("the other exfoliants alone are above the index".to_owned());
            }
            let (mut low, mut high) = (0.0, MOST);
            while high - low > 0.004 {
                let middle = 0.5 * (low + high);
                if at(middle)? < wanted { low = middle } else { high = middle }
            }
            bench_load(0.5 * (low + high))
        }
    };
    let out = with(percent)?;
    let left = out.fill_line().and_then(|l| out.percent_of(l));
    if left.is_some_and(Percent::is_negative) {
        return Err("it leaves less than nothing for the line that fills to 100".to_owned());
    }
    Ok((out, percent))
}

fn index(formula: &Formula, library: &Library) -> Option<GrainFigures> {
    let opened = Opened::new(formula, library);
    let paste = paste(formula.product.form, &opened);
    grain_figures(&opened, &paste).ok()
}
