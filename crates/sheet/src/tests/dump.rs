use super::examples::*;
use crate::*;
#[test]
fn dump() {
    let Ok(dir) = std::env::var("SHEET_OUT") else { return };
    let letter = |mut e: Example| { e.about.paper = Paper::UsLetter; e };
    let mut long_title = with_alternatives();
    long_title.formula.name = "Very long formula name for a winter scrub with bamboo, heather and much else besides".into();
    long_title.formula.phases.iter_mut().for_each(|p| p.steps.clear());
    let mut weird = bar();
    weird.materials[0].inci = "مرحبا 🌿 שלום #panic(1) *b* $x$ \\".into();
    weird.materials[1].inci = "X".repeat(90);
    let mut big = bar(); big.plan.size = quern_calc::batch::BatchSize::Gross(quern_calc::quantity::Grams(d("1234567.8")));
    for (n, e) in [("bar", bar()), ("letter", letter(bar())), ("alt", with_alternatives()), ("stop", stopped()), ("comma", comma(letter(stopped()))), ("l40", long(40)), ("l60", letter(long(60))), ("l200", long(200)), ("title", long_title), ("weird", weird), ("big", big), ("coarse", coarse()), ("empty", {let mut e=bar(); for p in &mut e.formula.phases {p.lines.clear()} e.formula.fills=None; e}), ("nobatch", {let mut e=bar(); e.plan.loss=quern_calc::quantity::Percent(d("100")); e.plan.scales.clear(); e})] {
        let s = e.sheet();
        for f in [Format::Pdf, Format::Html, Format::Csv, Format::Markdown] {
            std::fs::write(format!("{dir}/{n}.{}", f.extension()), export(&s, f).unwrap()).unwrap();
        }
    }
    for n in [12, 12, 12, 12, 40, 200] {
        let mut e = if n == 12 { bar() } else { long(n) }; 
        for i in 0..3 { e.about.workshop = format!("w{i}"); let s = e.sheet(); let t = std::time::Instant::now(); let b = export(&s, Format::Pdf).unwrap(); println!("{n} lines {:?} {} bytes", t.elapsed(), b.len()); }
    }
}
