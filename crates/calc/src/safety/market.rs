//! One market's rules as data: limits, allergens, what a label carries, what nobody checked.
//!
//! The values live in `assets/rules/markets`; another market is another file of that kind.

use crate::formula::{Contact, Figure, Form, Function, Pack, Place, Product};
use crate::quantity::{Date, Percent};

/// What a product must be for a line of a rule to speak of it. Empty fields ask nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct When {
    /// Rinse-off or leave-on.
    pub contact: Option<Contact>,
    /// Any of these places of use.
    pub places: Vec<Place>,
    /// None of these places of use.
    pub not_places: Vec<Place>,
    /// Any of these kinds of product.
    pub forms: Vec<Form>,
    /// Any of these packs.
    pub packs: Vec<Pack>,
    /// Whether it may be used on children under three.
    pub under_three: Option<bool>,
    /// From this day on, the day itself included.
    pub from: Option<Date>,
    /// Until this day, the day itself included.
    pub until: Option<Date>,
}

impl When {
    /// True when a product on this day is spoken of.
    #[must_use]
    pub fn holds(&self, product: Product, date: Date) -> bool {
        self.contact.is_none_or(|c| c == product.contact)
            && (self.places.is_empty() || self.places.contains(&product.place))
            && !self.not_places.contains(&product.place)
            && (self.forms.is_empty() || self.forms.contains(&product.form))
            && (self.packs.is_empty() || self.packs.contains(&product.pack))
            && self.under_three.is_none_or(|u| u == product.under_three)
            && self.from.is_none_or(|d| date >= d)
            && self.until.is_none_or(|d| date <= d)
    }
}

/// Which sources of a component a rule looks at, by what their material is there for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Uses {
    /// All of them.
    #[default]
    Any,
    /// Materials of this function only.
    Only(Function),
    /// Materials of any other function.
    Except(Function),
}

impl Uses {
    /// True when a material of this function is looked at. One without a function is looked at
    /// by rules for every use and by rules that leave one function out.
    #[must_use]
    pub fn looks_at(self, function: Option<Function>) -> bool {
        match self {
            Self::Any => true,
            Self::Only(f) => function == Some(f),
            Self::Except(f) => function != Some(f),
        }
    }
}

/// One substance that a rule names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Member {
    /// INCI name.
    pub inci: String,
    /// Other names of it.
    pub aliases: Vec<String>,
    /// CAS numbers.
    pub cas: Vec<String>,
    /// Chemical formula, where the rule counts another species; "C7H5NaO2".
    pub formula: Option<String>,
    /// Moles of the counted species from one mole of it.
    pub moles: u32,
}

/// The species that a rule counts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Species {
    /// Name, such as "benzoic acid".
    pub name: String,
    /// Chemical formula.
    pub formula: String,
}

/// How much is allowed, and when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cap {
    /// Products that it speaks of.
    pub when: When,
    /// % of the product at most, as the counted species; `None`: not allowed at all.
    pub max: Option<Percent>,
    /// Each member by itself rather than their sum.
    pub each: bool,
    /// An amount that equals `max` is too much as well ("0.01 % or more").
    pub at_or_above: bool,
}

/// Something that comes with a substance and is not an amount.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Statement {
    /// Products that it speaks of.
    pub when: When,
    /// From this share of the product, as counted by the rule, strictly above; `None`: any.
    pub above: Option<Percent>,
    /// Words for the pack rather than a condition for the file.
    pub label: bool,
    /// The words.
    pub text: String,
}

/// A limit of law.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitRule {
    /// Key within the market, such as "v-1".
    pub id: String,
    /// Where it stands, such as "Annex V/1".
    pub reference: String,
    /// What it is about, such as "benzoic acid and sodium benzoate".
    pub title: String,
    /// The substances it names.
    pub members: Vec<Member>,
    /// What is counted; `None`: the substances as they are.
    pub species: Option<Species>,
    /// The rule speaks at all only when a source of this use is there.
    pub needs: Uses,
    /// Sources that are summed.
    pub counts: Uses,
    /// Caps; every one whose `when` holds is checked.
    pub caps: Vec<Cap>,
    /// What comes with it.
    pub statements: Vec<Statement>,
    /// Source and how far to trust it.
    pub about: Figure<()>,
}

/// Two rules whose substances must not meet in one product.
#[derive(Clone, Debug, PartialEq)]
pub struct Clash {
    /// Id of a rule.
    pub one: String,
    /// Id of the other.
    pub other: String,
    /// Why.
    pub why: String,
    /// Source and how far to trust it.
    pub about: Figure<()>,
}

/// A change that is coming or proposed.
#[derive(Clone, Debug, PartialEq)]
pub struct Pending {
    /// The substances it names.
    pub members: Vec<Member>,
    /// What it would say.
    pub text: String,
    /// From this day; `None` while open.
    pub from: Option<Date>,
    /// Source and how far to trust it.
    pub about: Figure<()>,
}

/// When an allergen came onto the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Regime {
    /// On the list before the change.
    Old,
    /// Added by the change.
    New,
}

/// One fragrance allergen that a label must name.
#[derive(Clone, Debug, PartialEq)]
pub struct AllergenRule {
    /// Where it stands, such as "Annex III/70".
    pub reference: String,
    /// Name on the label.
    pub label: String,
    /// Old or new.
    pub regime: Regime,
    /// Names that declarations and inventories use for it or for members of its group.
    pub aliases: Vec<String>,
    /// CAS numbers of the members.
    pub cas: Vec<String>,
    /// What is summed, in words; empty for a single substance.
    pub sum_of: String,
    /// Counted only in products for the mouth.
    pub oral_only: bool,
    /// Source and how far to trust it.
    pub about: Figure<()>,
}

/// Fragrance allergens of a market.
#[derive(Clone, Debug, PartialEq)]
pub struct AllergenRules {
    /// Named above this in rinse-off products (strictly), % of the product.
    pub rinse_off_above: Percent,
    /// Named above this in leave-on products (strictly), % of the product.
    pub leave_on_above: Percent,
    /// Last day to place products on the market without the new ones.
    pub old_placed_until: Option<Date>,
    /// Last day to sell such products.
    pub old_sold_until: Option<Date>,
    /// The list.
    pub entries: Vec<AllergenRule>,
    /// Source and how far to trust it.
    pub about: Figure<()>,
}

/// What makes a label caution stand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Trigger {
    /// Every product that the `when` of the caution speaks of.
    Always,
    /// A material of this function is in it.
    Function(Function),
    /// A material with this caution is in it.
    Caution(crate::formula::Caution),
    /// One of these components is in it, by INCI name.
    Components(Vec<String>),
}

/// A caution for the pack.
#[derive(Clone, Debug, PartialEq)]
pub struct LabelCaution {
    /// Stable key.
    pub key: String,
    /// Products that it speaks of.
    pub when: When,
    /// What makes it stand.
    pub trigger: Trigger,
    /// The words; `{names}` stands for the materials that made it stand.
    pub text: String,
    /// Source and how far to trust it.
    pub about: Figure<()>,
}

/// Which figures of net content and letter height a market asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum NetRule {
    /// Metric alone; figure heights of 76/211/EEC.
    Metric,
    /// Inch-pound and metric; heights by the area of the main panel.
    Dual,
}

/// How a label of a market is made.
#[derive(Clone, Debug, PartialEq)]
pub struct LabelRules {
    /// Word before the list.
    pub heading: String,
    /// Exactly 1 % stays among those in order of amount.
    pub one_percent_ordered: bool,
    /// Nanomaterials carry "(nano)".
    pub nano: bool,
    /// Word for fragrance; compositions are named by it.
    pub names: Vec<(String, String)>,
    /// Net content.
    pub net: NetRule,
    /// A date or a period after opening is asked for.
    pub durability: bool,
    /// Particulars that the label carries, in order.
    pub particulars: Vec<String>,
    /// Cautions.
    pub cautions: Vec<LabelCaution>,
    /// Source and how far to trust it.
    pub about: Figure<()>,
}

/// The rules of one market.
#[derive(Clone, Debug, PartialEq)]
pub struct Market {
    /// Key, such as "eu".
    pub code: String,
    /// Name, such as "European Union".
    pub name: String,
    /// What the file was made from.
    pub edition: String,
    /// As of this day.
    pub as_of: Date,
    /// Limits.
    pub limits: Vec<LimitRule>,
    /// Pairs that must not meet.
    pub clashes: Vec<Clash>,
    /// Coming changes.
    pub pending: Vec<Pending>,
    /// Fragrance allergens, where the market has a list.
    pub allergens: Option<AllergenRules>,
    /// The label.
    pub label: LabelRules,
    /// What this program does not check there.
    pub not_checked: Vec<String>,
}
