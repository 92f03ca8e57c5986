//! Further choices of the user, with their keys in the file.

use quern_calc::number::{CurrencyPlace, DateOrder, MassUnit};

/// Whether things may move on screen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Motion {
    /// As the system has it, where it says so.
    #[default]
    System,
    /// Short movements show where things go.
    Full,
    /// Nothing moves.
    Reduced,
}

impl Motion {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::System, Self::Full, Self::Reduced];

    /// The key in the file.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::System => "system",
            Self::Full => "full",
            Self::Reduced => "reduced",
        }
    }
}

/// What the window shows at the start when no file is named.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum AtStart {
    /// What a first start shows.
    #[default]
    OpeningPage,
    /// The project that was open last, if its file is still there.
    LastProject,
}

impl AtStart {
    /// Both.
    pub const ALL: [Self; 2] = [Self::OpeningPage, Self::LastProject];

    /// The key in the file.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::OpeningPage => "opening page",
            Self::LastProject => "last project",
        }
    }
}

/// The key of an order of dates in the file.
#[must_use]
pub fn date_order_name(order: DateOrder) -> &'static str {
    match order {
        DateOrder::YearFirst => "year-month-day",
        DateOrder::DayDots => "day.month.year",
        DateOrder::DaySlashes => "day/month/year",
        DateOrder::MonthSlashes => "month/day/year",
    }
}

/// The key of a place of the currency in the file.
#[must_use]
pub fn currency_place_name(place: CurrencyPlace) -> &'static str {
    match place {
        CurrencyPlace::Before => "before",
        CurrencyPlace::After => "after",
    }
}

/// The key of a unit of mass in the file.
#[must_use]
pub fn mass_unit_name(unit: MassUnit) -> &'static str {
    unit.symbol()
}
