//! What the workshop keeps about setting.

use quern_calc::formula::FormulaId;
use quern_calc::quantity::Date;
use quern_calc::setting::calibrate::{self, Reading};
use quern_calc::setting::mould::{self, Shape, Wall};
use quern_calc::setting::notes::SettingNotes;
use quern_calc::setting::pour::PourClass;
use serde::{Deserialize, Serialize};

use crate::check::{Problems, measurement_place, mould_place};
use crate::format::word::{Word, Worded, key};

/// Own figures, moulds and measurements. What is left out is the usual.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "setting")]
#[rustfmt::skip]
pub(super) struct Setting {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    room_c: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    fridge_c: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    parcel_c: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    heater_w: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    reference: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    mould: Option<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    moulds: Vec<Mould>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    measured: Vec<Measurement>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "mould")]
struct Mould {
    name: String,
    shape: Word<Outline>,
    /// In mm, as many as the shape has.
    sizes_mm: Vec<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    measured_ml: Option<f64>,
    wall: Word<Wall>,
}

/// One measurement. Every kind has a temperature; which of the fields after it belong to a kind
/// is told by [`Kind::figures`].
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "measurement")]
#[rustfmt::skip]
struct Measurement {
    formula: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    name: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    date: Option<Word<Date>>,
    reading: Word<Kind>,
    /// °C.
    c: f64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    class: Option<Word<PourClass>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    g: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    ml: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    mm: Option<f64>,
    /// What the model said of the formula at the time.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    said: Vec<f64>,
}

/// The outline of a mould, whatever its sizes.
#[derive(Clone, Copy, Debug)]
struct Outline(Shape);

const OUTLINES: [Outline; 4] = [
    Outline(Shape::Block(1.0, 1.0, 1.0)),
    Outline(Shape::Disc(1.0, 1.0)),
    Outline(Shape::Oval(1.0, 1.0, 1.0)),
    Outline(Shape::Dome(1.0)),
];

impl Worded for Outline {
    fn read(text: &str) -> Result<Self, String> {
        key("shape of a mould", text, &OUTLINES, |o| o.0.name())
    }
    fn write(&self) -> String {
        self.0.name().to_owned()
    }
}

/// The kind of a measurement, whatever its figures.
#[derive(Clone, Copy, Debug)]
struct Kind(Reading);

const KINDS: [Kind; 4] = [
    Kind(Reading::SetsAt { c: 0.0 }),
    Kind(Reading::Flow { at_c: 0.0, class: PourClass::Spoon }),
    Kind(Reading::Poured { at_c: 0.0, grams: 1.0, ml: 1.0 }),
    Kind(Reading::Needle { at_c: 0.0, mm: 1.0 }),
];

impl Kind {
    /// The figures that a measurement of this kind has, and no other, next to the temperature.
    fn figures(self) -> &'static [&'static str] {
        match self.0 {
            Reading::SetsAt { .. } => &[],
            Reading::Flow { .. } => &["class"],
            Reading::Poured { .. } => &["g", "ml"],
            Reading::Needle { .. } => &["mm"],
        }
    }
}

impl Worded for Kind {
    fn read(text: &str) -> Result<Self, String> {
        key("kind of reading", text, &KINDS, |k| k.0.name())
    }
    fn write(&self) -> String {
        self.0.name().to_owned()
    }
}

impl From<&mould::Mould> for Mould {
    fn from(m: &mould::Mould) -> Self {
        Self {
            name: m.name.clone(),
            shape: Word(Outline(m.shape)),
            sizes_mm: m.shape.sizes_mm(),
            measured_ml: m.measured_ml,
            wall: Word(m.wall),
        }
    }
}

impl Mould {
    fn into_domain(self, problems: &mut Problems) -> mould::Mould {
        let outline = self.shape.0.0;
        let shape = Shape::of(outline.name(), &self.sizes_mm).unwrap_or_else(|| {
            let names = outline.size_names();
            problems.push(format!(
                "{}: sizes_mm of a {} takes {} ({}), found {}",
                mould_place(&self.name),
                outline.name(),
                if names.len() == 1 {
                    "1 size".to_owned()
                } else {
                    format!("{} sizes", names.len())
                },
                names.join(", "),
                self.sizes_mm.len()
            ));
            outline
        });
        mould::Mould { name: self.name, shape, measured_ml: self.measured_ml, wall: self.wall.0 }
    }
}

impl From<&calibrate::Measured> for Measurement {
    fn from(m: &calibrate::Measured) -> Self {
        let (c, class, g, ml, mm) = match m.reading {
            Reading::SetsAt { c } => (c, None, None, None, None),
            Reading::Flow { at_c, class } => (at_c, Some(Word(class)), None, None, None),
            Reading::Poured { at_c, grams, ml } => (at_c, None, Some(grams), Some(ml), None),
            Reading::Needle { at_c, mm } => (at_c, None, None, None, Some(mm)),
        };
        Self {
            formula: m.formula.as_str().to_owned(),
            name: m.name.clone(),
            date: m.date.map(Word),
            reading: Word(Kind(m.reading)),
            c,
            class,
            g,
            ml,
            mm,
            said: m.said.clone(),
        }
    }
}

impl Measurement {
    /// The reading; `None` when figures of its kind are missing or others are given.
    fn reading(&self) -> Option<Reading> {
        let Self { c, class, g, ml, mm, .. } = *self;
        match (self.reading.0.0, class, g, ml, mm) {
            (Reading::SetsAt { .. }, None, None, None, None) => Some(Reading::SetsAt { c }),
            (Reading::Flow { .. }, Some(Word(class)), None, None, None) => {
                Some(Reading::Flow { at_c: c, class })
            }
            (Reading::Poured { .. }, None, Some(grams), Some(ml), None) => {
                Some(Reading::Poured { at_c: c, grams, ml })
            }
            (Reading::Needle { .. }, None, None, None, Some(mm)) => {
                Some(Reading::Needle { at_c: c, mm })
            }
            _ => None,
        }
    }

    /// What does not fit the kind, in words.
    fn misfit(&self) -> String {
        let needed = self.reading.0.figures();
        let given: Vec<&str> = [
            ("class", self.class.is_some()),
            ("g", self.g.is_some()),
            ("ml", self.ml.is_some()),
            ("mm", self.mm.is_some()),
        ]
        .into_iter()
        .filter_map(|(field, given)| given.then_some(field))
        .collect();
        let missing: Vec<&str> = needed.iter().copied().filter(|f| !given.contains(f)).collect();
        let surplus: Vec<&str> = given.into_iter().filter(|f| !needed.contains(f)).collect();
        let mut words = format!(
            "a reading “{}” has {}",
            self.reading.0.write(),
            [&["c"], needed].concat().join(", ")
        );
        if !missing.is_empty() {
            words.push_str(&format!("; add {}", missing.join(" and ")));
        }
        if !surplus.is_empty() {
            words.push_str(&format!("; take out {}", surplus.join(" and ")));
        }
        words
    }

    fn into_domain(self, index: usize, problems: &mut Problems) -> calibrate::Measured {
        let reading = self.reading().unwrap_or_else(|| {
            let place = measurement_place(index, &self.formula);
            problems.push(format!("{place}: {}", self.misfit()));
            self.reading.0.0
        });
        calibrate::Measured {
            formula: FormulaId::new(&self.formula),
            name: self.name,
            date: self.date.map(|d| d.0),
            reading,
            said: self.said,
        }
    }
}

impl Setting {
    pub(super) fn of(notes: &SettingNotes) -> Self {
        Self {
            room_c: notes.room_c,
            fridge_c: notes.fridge_c,
            parcel_c: notes.parcel_c,
            heater_w: notes.heater_w,
            reference: notes.reference.as_ref().map(|id| id.as_str().to_owned()),
            mould: notes.mould.clone(),
            moulds: notes.moulds.iter().map(Into::into).collect(),
            measured: notes.measured.iter().map(Into::into).collect(),
        }
    }

    #[rustfmt::skip]
    pub(super) fn is_empty(&self) -> bool {
        let Self { room_c, fridge_c, parcel_c, heater_w, reference, mould, moulds, measured } = self;
        [room_c, fridge_c, parcel_c, heater_w].into_iter().all(Option::is_none)
            && reference.is_none() && mould.is_none() && moulds.is_empty() && measured.is_empty()
    }

    /// The notes; what cannot be used goes to `problems`.
    pub(super) fn into_domain(self, problems: &mut Problems) -> SettingNotes {
        SettingNotes {
            room_c: self.room_c,
            fridge_c: self.fridge_c,
            parcel_c: self.parcel_c,
            heater_w: self.heater_w,
            reference: self.reference.map(|id| FormulaId::new(&id)),
            mould: self.mould,
            moulds: self.moulds.into_iter().map(|m| m.into_domain(problems)).collect(),
            measured: self
                .measured
                .into_iter()
                .enumerate()
                .map(|(i, m)| m.into_domain(i, problems))
                .collect(),
        }
    }
}
