//! What a formula is for, and the identity of its version.

use rust_decimal::Decimal;

use super::FormulaId;
use crate::quantity::Date;

/// Where on the body a product is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum Place {
    Face,
    Body,
    Hands,
    Feet,
    Lips,
    Hair,
}

impl Place {
    /// All of them.
    pub const ALL: [Self; 6] =
        [Self::Face, Self::Body, Self::Hands, Self::Feet, Self::Lips, Self::Hair];

    /// The name on screen and the key in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Face => "face",
            Self::Body => "body",
            Self::Hands => "hands",
            Self::Feet => "feet",
            Self::Lips => "lips",
            Self::Hair => "hair",
        }
    }

    /// Before the kind of product: a "foot scrub bar".
    #[must_use]
    pub fn before_product(self) -> &'static str {
        match self {
            Self::Hands => "hand",
            Self::Feet => "foot",
            Self::Lips => "lip",
            Self::Face | Self::Body | Self::Hair => self.name(),
        }
    }
}

/// Whether a product stays on the skin.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum Contact {
    RinseOff,
    LeaveOn,
}

impl Contact {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::RinseOff, Self::LeaveOn];

    /// The name on screen and the key in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::RinseOff => "rinse-off",
            Self::LeaveOn => "leave-on",
        }
    }
}

/// What kind of product it is; decides which functions it needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Form {
    /// Solid scrub bar with surfactant.
    ScrubBar,
    /// Solid cleansing or shampoo bar.
    CleansingBar,
    /// Scrub in a jar.
    JarScrub,
    /// Lotion or cream, oil in water.
    Emulsion,
    /// Balm or butter without water.
    Balm,
    /// Powder cleanser.
    Powder,
    /// Effervescent bath product.
    Bath,
    /// Part of other formulas: an infusion, a premix, a blend.
    Premix,
    /// Anything else.
    Other,
}

impl Form {
    /// All of them.
    pub const ALL: [Self; 9] = [
        Self::ScrubBar,
        Self::CleansingBar,
        Self::JarScrub,
        Self::Emulsion,
        Self::Balm,
        Self::Powder,
        Self::Bath,
        Self::Premix,
        Self::Other,
    ];

    /// The name on screen and the key in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::ScrubBar => "scrub bar",
            Self::CleansingBar => "cleansing bar",
            Self::JarScrub => "jar scrub",
            Self::Emulsion => "lotion",
            Self::Balm => "balm",
            Self::Powder => "powder",
            Self::Bath => "bath",
            Self::Premix => "premix",
            Self::Other => "other",
        }
    }

    /// True for solid bars.
    #[must_use]
    pub fn is_bar(self) -> bool {
        matches!(self, Self::ScrubBar | Self::CleansingBar)
    }
}

/// What a product is sold in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Pack {
    /// Paper, film or a box around a bar.
    Wrapper,
    /// Jar or tin that fingers reach into.
    Jar,
    /// Tube or pump.
    Tube,
    /// Bottle.
    Bottle,
    /// Spray.
    Spray,
}

impl Pack {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Wrapper, Self::Jar, Self::Tube, Self::Bottle, Self::Spray];

    /// The name on screen and the key in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Wrapper => "wrapper",
            Self::Jar => "jar",
            Self::Tube => "tube",
            Self::Bottle => "bottle",
            Self::Spray => "spray",
        }
    }

    /// What a kind of product usually comes in.
    #[must_use]
    pub fn usual(form: Form) -> Self {
        match form {
            Form::ScrubBar | Form::CleansingBar | Form::Bath => Self::Wrapper,
            Form::JarScrub | Form::Balm | Form::Powder | Form::Premix | Form::Other => Self::Jar,
            Form::Emulsion => Self::Tube,
        }
    }
}

/// What the product is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Product {
    /// Kind.
    pub form: Form,
    /// Where it is used.
    pub place: Place,
    /// Whether it stays on.
    pub contact: Contact,
    /// What it is sold in.
    pub pack: Pack,
    /// It may be used on children under three.
    pub under_three: bool,
}

impl Product {
    /// In its usual pack, and not for children under three.
    #[must_use]
    pub fn new(form: Form, place: Place, contact: Contact) -> Self {
        Self { form, place, contact, pack: Pack::usual(form), under_three: false }
    }

    /// Gets wet in use and is kept afterwards, as is usual of its kind: what is rinsed off does; a
    /// powder is wetted in the palm, and a bath takes the whole piece.
    #[must_use]
    pub fn usually_wet(self) -> bool {
        match self.form {
            Form::Powder | Form::Premix | Form::Bath => false,
            _ => self.contact == Contact::RinseOff,
        }
    }

    /// In words: "face scrub bar, rinse-off".
    #[must_use]
    pub fn words(self) -> String {
        format!("{} {}, {}", self.place.before_product(), self.form.name(), self.contact.name())
    }
}

/// State of a version.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum VersionState {
    Draft,
    Trial,
    Released,
    Retired,
}

impl VersionState {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Draft, Self::Trial, Self::Released, Self::Retired];

    /// The name on screen and the key in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Draft => "draft",
            Self::Trial => "trial",
            Self::Released => "released",
            Self::Retired => "retired",
        }
    }

    /// True for a version that is read-only for good: what was released may have been made and
    /// sold, so it has to stay as it was.
    #[must_use]
    pub fn is_frozen(self) -> bool {
        matches!(self, Self::Released | Self::Retired)
    }

    /// States that a version can take from here, this one first: forward only, and a trial may go
    /// back to being a draft. What is frozen never becomes editable again.
    #[must_use]
    pub fn choices(self) -> &'static [Self] {
        match self {
            Self::Draft => &[Self::Draft, Self::Trial, Self::Released, Self::Retired],
            Self::Trial => &[Self::Trial, Self::Draft, Self::Released, Self::Retired],
            Self::Released => &[Self::Released, Self::Retired],
            Self::Retired => &[Self::Retired],
        }
    }

    /// True when a version in this state can take that one.
    #[must_use]
    pub fn may_become(self, next: Self) -> bool {
        self.choices().contains(&next)
    }
}

/// Identity of a version.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Version {
    /// Running number from 1.
    pub number: u32,
    /// State.
    pub state: VersionState,
    /// The formula and version it came from.
    pub parent: Option<(FormulaId, u32)>,
    /// Why it was made.
    pub reason: String,
}

/// A pH, measured or aimed at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PhReading {
    /// pH.
    pub value: Decimal,
    /// True when read from a meter; false for a target.
    pub measured: bool,
    /// The day.
    pub date: Option<Date>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_product_is_named_as_one_says_it() {
        let words = |place| Product::new(Form::ScrubBar, place, Contact::RinseOff).words();
        let said = Place::ALL.map(words);
        assert_eq!(
            said,
            ["face", "body", "hand", "foot", "lip", "hair"]
                .map(|p| format!("{p} scrub bar, rinse-off"))
        );
        // Keys of files and "on the feet" keep their names.
        assert_eq!(Place::Feet.name(), "feet");
    }
}
