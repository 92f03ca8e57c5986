//! Carries the built-in materials into a project file and sets their prices, in place. Lots and
//! tables of solid fat stay.
// Demo: cargo run -p quern-project --example carry -- assets/demo/coast-workshop.ron [PRICES.csv]

use std::collections::BTreeMap;
use std::error::Error;
use std::sync::Arc;
use std::{env, fs};

use quern_calc::formula::{Item, MaterialId, OwnSolids, Price};
use quern_calc::quantity::{Grams, Money};
use quern_project::{library, parse, to_text};
use rust_decimal::Decimal;

/// Prices by material id, from lines such as `kaolin,6.20,1000 g`; the first line is a heading.
fn prices(text: &str) -> Result<BTreeMap<MaterialId, Price>, Box<dyn Error>> {
    let mut out = BTreeMap::new();
    for (i, line) in text.lines().enumerate().skip(1).filter(|(_, l)| !l.trim().is_empty()) {
        let cells: Vec<&str> = line.split(',').map(str::trim).collect();
        let [id, amount, pack] = cells.as_slice() else {
            return Err(format!("line {}: expected material,price,pack", i + 1).into());
        };
        let pack = pack.trim_end_matches('g').trim();
        let price = Price { amount: Money(amount.parse()?), pack: Grams(pack.parse::<Decimal>()?) };
        out.insert(MaterialId::new(id), price);
    }
    Ok(out)
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut args = env::args().skip(1);
    let file = args.next().ok_or("expected a project file, and a table of prices if wanted")?;
    let mut project = parse(&fs::read_to_string(&file)?, &file)?.project;
    // Prices that the file already holds stay unless the table names them.
    let mut known: BTreeMap<MaterialId, Price> = project
        .materials
        .values()
        .filter_map(|m| m.price.map(|price| (m.id.clone(), price)))
        .collect();
    if let Some(table) = args.next() {
        known.extend(prices(&fs::read_to_string(table)?)?);
    }

    let carried = std::mem::take(&mut project.materials);
    let lines: Vec<_> = project.all_formulas().flat_map(|f| f.lines()).map(|(_, l)| l).collect();
    let items = lines
        .iter()
        .flat_map(|l| std::iter::once(&l.item).chain(l.alternatives.iter().map(|a| &a.item)));
    let mut materials = BTreeMap::new();
    for item in items {
        let Item::Material(id) = item else { continue };
        let built_in = library::builtin().materials.get(id);
        let built_in = built_in.ok_or_else(|| format!("{id} is not a built-in material"))?;
        let mut material = (**built_in).clone();
        material.price = known.get(id).copied();
        let carried = carried.get(id);
        if let Some(own) = carried.and_then(|m| m.solids.as_ref()) {
            let refitted = OwnSolids::new(own.table.clone(), &material.fat);
            material.solids = Some(refitted.map_err(|problem| format!("{id}: {problem}"))?);
        }
        if let (Some(new), Some(old)) =
            (&mut material.grain, carried.and_then(|m| m.grain.as_ref()))
        {
            new.value.lots.clone_from(&old.value.lots);
            new.value.lot_in_use.clone_from(&old.value.lot_in_use);
        }
        materials.insert(id.clone(), Arc::new(material));
    }
    project.materials = materials;
    // The file is under version control, so no backup is kept.
    fs::write(&file, to_text(&project)?)?;
    Ok(())
}
