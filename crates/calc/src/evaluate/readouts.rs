//! The figures of the Setting view as rows, for the view, the sheet and scripts alike.

use rust_decimal::Decimal;

use super::cool::HOUR_S as HOUR;
use super::fat::MAY_LACK;
use super::figures::sets_c;
use super::heat::{READ_AT_C, UNDERCOOLING};
use super::{Banded, Derived, Evaluation, SettingFigures, ShelfRow, SlabFigures, Value, WhyNot};

/// Part of the view that a row belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// Does it melt.
    Melt,
    /// Does it pour.
    Pour,
    /// Does it set.
    Cool,
    /// Does it survive.
    Shelf,
}

impl Part {
    /// All of them, in the order of the view.
    pub const ALL: [Self; 4] = [Self::Melt, Self::Pour, Self::Cool, Self::Shelf];

    /// Heading on screen.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Melt => "Melting",
            Self::Pour => "Pouring",
            Self::Cool => "Filling and cooling",
            Self::Shelf => "Shelf and post",
        }
    }

    /// Key in scripts.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Melt => "melt",
            Self::Pour => "pour",
            Self::Cool => "cool",
            Self::Shelf => "shelf",
        }
    }
}

/// One figure with its band.
#[derive(Clone, Debug, PartialEq)]
pub struct Readout {
    /// Where it belongs.
    pub part: Part,
    /// Stable key with its unit, for scripts.
    pub key: &'static str,
    /// Name on screen.
    pub name: &'static str,
    /// Unit on screen; empty for none.
    pub unit: &'static str,
    /// The value.
    pub value: Value,
    /// Lower and upper end of its band, in the same unit, to the same places.
    pub band: Option<(f64, f64)>,
    /// True for a model's estimate.
    pub estimate: bool,
}

struct Rows(Vec<Readout>);

impl Rows {
    fn add(
        &mut self,
        part: Part,
        key: &'static str,
        name: &'static str,
        unit: &'static str,
    ) -> Slot<'_> {
        self.0.push(Readout {
            part,
            key,
            name,
            unit,
            value: Value::Absent(WhyNot::Nothing("figure")),
            band: None,
            estimate: true,
        });
        Slot(self.0.last_mut())
    }
}

struct Slot<'a>(Option<&'a mut Readout>);

impl Slot<'_> {
    fn put(self, value: Value, band: Option<(f64, f64)>) {
        if let Some(row) = self.0 {
            row.value = value;
            row.band = band;
        }
    }

    /// Not an estimate: set by the workshop or stated by a material.
    fn stated(mut self, x: Derived<f64>, places: u32) {
        if let Some(row) = &mut self.0 {
            row.estimate = false;
        }
        self.number(x, places);
    }

    fn number(self, x: Derived<f64>, places: u32) {
        self.put(x.map_or_else(Value::Absent, |x| Value::Number(x, places)), None);
    }

    fn banded(self, x: Derived<Banded>, scale: f64, places: u32) {
        match x {
            Ok(b) => {
                let band = (b.low * scale, b.high * scale);
                self.put(Value::Number(b.at * scale, places), Some(band));
            }
            Err(why) => self.put(Value::Absent(why), None),
        }
    }

    fn text(self, x: Derived<String>) {
        self.put(x.map_or_else(Value::Absent, Value::Text), None);
    }
}

/// Every figure of the view, in its order.
#[must_use]
pub fn readouts(e: &Evaluation, s: &SettingFigures) -> Vec<Readout> {
    let mut rows = Rows(Vec::with_capacity(48));
    melt(&mut rows, e);
    pour(&mut rows, s);
    cool(&mut rows, s);
    shelf(&mut rows, s);
    rows.0
}

/// The figures of the slab, which a worker makes after the others.
#[must_use]
pub fn slab_readouts(s: &SettingFigures, slab: Option<&SlabFigures>) -> Vec<Readout> {
    let mut rows = Rows(Vec::with_capacity(2));
    let p = Part::Cool;
    let slow = WhyNot::Nothing("way to cool within a week");
    let slab = s.cool.as_ref().map_err(Clone::clone).and_then(|_| slab.ok_or(slow));
    rows.add(p, "middle_unmould_h", "Until the middle can be unmoulded", "h")
        .number(slab.clone().map(SlabFigures::unmould_h), 1);
    rows.add(p, "face_at_unmould_c", "The face by then", "°C").number(slab.map(|s| s.face_c), 0);
    rows.0
}

fn melt(rows: &mut Rows, e: &Evaluation) {
    let m = e.melt.as_ref().map_err(Clone::clone);
    let p = Part::Melt;
    rows.add(p, "heat_to_c", "Heat to", "°C")
        .number(e.heat_to.as_ref().map(|h| h.c).map_err(Clone::clone), 0);
    let clear = m.clone().map(|m| Banded { at: m.t99_c, low: m.band_c.0, high: m.band_c.1 });
    rows.add(p, "fats_clear_c", "Fats clear at", "°C").banded(clear, 1.0, 0);
    rows.add(p, "all_melted_c", "All melted at", "°C").banded(
        m.clone().map(|m| m.melted_c),
        1.0,
        0,
    );
    rows.add(p, "sets_at_c", "Sets at", "°C").banded(sets_c(e), 1.0, 0);
    const SOLIDS: [(&str, &str); 5] = [
        ("solid_fat_at_20_percent", "Solid fat at 20 °C"),
        ("solid_fat_at_25_percent", "Solid fat at 25 °C"),
        ("solid_fat_at_32_percent", "Solid fat at 32 °C"),
        ("solid_fat_at_40_percent", "Solid fat at 40 °C"),
        ("solid_fat_at_45_percent", "Solid fat at 45 °C"),
    ];
    for (i, (key, name)) in SOLIDS.into_iter().enumerate() {
        let solid =
            m.clone().and_then(|m| m.solids.get(i).copied().ok_or(WhyNot::Nothing("melt curve")));
        rows.add(p, key, name, "% of fat").banded(solid, 100.0, 0);
    }
}

fn pour(rows: &mut Rows, s: &SettingFigures) {
    let p = Part::Pour;
    let f = s.pour.as_ref().map_err(Clone::clone);
    rows.add(p, "pour_c", "Poured at", "°C").stated(Ok(s.pour_c), 0);
    rows.add(p, "pour_class", "Pours as", "").text(f.clone().map(|f| f.word().to_owned()));
    rows.add(p, "pour_ratio_percent", "Solids over jamming", "%").banded(
        f.clone().map(|f| Banded { at: f.ratio, low: f.ratio_band.0, high: f.ratio_band.1 }),
        100.0,
        0,
    );
    rows.add(p, "solids_volume_percent", "Solids by volume", "%")
        .number(f.clone().map(|f| 100.0 * f.solids), 1);
    rows.add(p, "crystals_volume_percent", "of these, crystals of fat", "%")
        .number(f.clone().map(|f| 100.0 * f.crystals), 1);
    rows.add(p, "held_volume_percent", "of these, oil that they hold", "%")
        .number(f.clone().map(|f| 100.0 * f.held), 1);
    rows.add(p, "soaked_volume_percent", "of these, soaked oil", "%")
        .number(f.clone().map(|f| 100.0 * f.soaked), 1);
    rows.add(p, "packing_limit_percent", "They jam at", "% by volume")
        .number(f.clone().map(|f| 100.0 * f.limit), 1);
    let jammed = WhyNot::Nothing("flow: the solids jam");
    let relative = f.clone().and_then(|f| f.relative.ok_or(jammed.clone()));
    rows.add(p, "relative_viscosity", "Thicker than its oil by", "times").number(relative, 0);
    let pa_s = f.clone().and_then(|f| f.pa_s.ok_or(jammed));
    rows.add(p, "viscosity_pa_s", "Viscosity", "Pa s").number(pa_s, 1);
    let w = s.window.as_ref().map_err(Clone::clone);
    let never = WhyNot::Nothing("temperature at which it moves");
    // Rounded up: one degree more moves, one less does not.
    let cold = WhyNot::Nothing("lower end: it moves at 15 °C and below");
    let moves = w
        .and_then(|w| if w.moves_when_cold() { Err(cold) } else { w.moves_from_c.ok_or(never) })
        .map(f64::ceil);
    rows.add(p, "window_from_c", "Moves from", "°C").number(moves, 0);
    let free = WhyNot::Nothing("cool-down material with a limit");
    let to = s.limits.first().map(|l| l.c).ok_or(free);
    rows.add(p, "window_to_c", "Cool-down allowed to", "°C").stated(to, 0);
}

fn cool(rows: &mut Rows, s: &SettingFigures) {
    let p = Part::Cool;
    let fill = s.filling.ok_or_else(|| match &s.pour {
        Err(why) => why.clone(),
        Ok(_) => WhyNot::Nothing("volume in the mould"),
    });
    rows.add(p, "cavity_ml", "A cavity holds", "mL").stated(fill.clone().map(|f| f.ml), 0);
    rows.add(p, "cavity_g", "A cavity takes", "g").number(fill.clone().map(|f| f.grams), 0);
    let count = fill.clone().and_then(|f| f.cavities.ok_or(WhyNot::NoBatch));
    rows.add(p, "cavities", "Cavities the batch fills", "")
        .put(count.map_or_else(Value::Absent, |n| Value::Exact(Decimal::from(n), 0)), None);
    let shrink = fill.and_then(|f| f.shrink_percent.ok_or(WhyNot::Nothing("density when set")));
    rows.add(p, "shrink_percent", "Shrinks in setting", "% by volume").number(shrink, 1);
    let c = s.cool.as_ref().map_err(Clone::clone);
    rows.add(p, "air_c", "Air", "°C").stated(c.clone().map(|c| c.air_c), 0);
    let set = c.clone().and_then(|c| c.set_s.ok_or(WhyNot::Nothing("way to cool so far")));
    rows.add(p, "set_h", "Time to set", "h").banded(set, 1.0 / HOUR, 1);
    let pot = WhyNot::Nothing("mould to leave: it stays in its tin or jar");
    let out = c.clone().and_then(|c| c.unmould_s.ok_or(pot));
    rows.add(p, "unmould_h", "Time to unmould", "h").banded(out, 1.0 / HOUR, 1);
    rows.add(p, "unmould_c", "Unmould at", "°C").number(c.clone().map(|c| c.unmould_c), 0);
    let energy = s.energy.ok_or(WhyNot::Nothing("phase to heat"));
    let kj = energy.clone().and_then(|m| m.kj.ok_or(WhyNot::NoBatch));
    rows.add(p, "melt_energy_kj", "Heat to melt the batch", "kJ").number(kj, 0);
    let minutes = energy.and_then(|m| m.minutes.ok_or(WhyNot::NoBatch));
    rows.add(p, "melt_min", "Time on the heater", "min").banded(minutes, 1.0, 0);
}

fn shelf(rows: &mut Rows, s: &SettingFigures) {
    let p = Part::Shelf;
    let f = s.shelf.as_ref().map_err(Clone::clone);
    const FIRM: [(&str, &str); 5] = [
        ("firmness_at_20_percent", "Firmness at 20 °C"),
        ("firmness_at_25_percent", "Firmness at 25 °C"),
        ("firmness_at_32_percent", "Firmness at 32 °C"),
        ("firmness_at_40_percent", "Firmness at 40 °C"),
        ("firmness_at_45_percent", "Firmness at 45 °C"),
    ];
    debug_assert_eq!(FIRM.len(), READ_AT_C.len());
    let firm = |row: Option<&ShelfRow>| {
        row.and_then(|r| r.firmness).ok_or(WhyNot::Nothing("fat that sets"))
    };
    for (i, (key, name)) in FIRM.into_iter().enumerate() {
        let at = f.clone().and_then(|f| firm(f.rows.get(i)));
        rows.add(p, key, name, "%").banded(at, 1.0, 0);
    }
    rows.add(p, "parcel_c", "Parcel", "°C").stated(f.clone().map(|f| f.parcel.at_c), 0);
    rows.add(p, "parcel_keeps", "In the parcel it", "")
        .text(f.clone().map(|f| f.parcel.keeps.name().to_owned()));
    rows.add(p, "density_set_g_ml", "Density, set", "g/mL").number(f.map(|f| f.density), 2);
    let o = s.oxidation.as_ref().map_err(Clone::clone);
    rows.add(p, "oxidation", "Oxidisability of the oils", "").number(o.clone().map(|o| o.value), 1);
    rows.add(p, "oxidation_band", "Oils keep", "")
        .text(o.clone().map(|o| o.band.name().to_owned()));
    rows.add(p, "iodine_value", "Iodine value, calculated", "g/100 g")
        .number(o.map(|o| o.iodine), 0);
}

/// How the model errs, to be printed beside its figures.
#[must_use]
pub fn honest() -> Vec<String> {
    vec![
        "Melt curve: ideal melts. Against published eutectics of fatty acids it runs about 2 K high, scatter 3 K; how solids share crystals matters more and is the band".to_owned(),
        format!("Sets at: where a tenth of the fat is solid; a cooling batch can stay liquid {UNDERCOOLING:.0} °C below it first"),
        "Butters, waxes and emulsifiers are made-up components that follow solid-fat figures, many from memory; some densities are assumed".to_owned(),
        format!("No curve above {:.0} % of the fat without melt data", 100.0 * MAY_LACK),
        "Pouring: packing limit, shape factors, the oil that crystals hold and the classes are assumptions; one look at a real batch corrects them".to_owned(),
        "Cooling: still air, no undercooling; 5 to 10 W/(m² K) make the band, and the middle of a piece lags".to_owned(),
        "Firmness ranks bars by their solids; it is no measurement. Oxidation ranks oils; antioxidants, metals and light decide in practice".to_owned(),
    ]
}
