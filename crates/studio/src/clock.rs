//! The computer's clock, read here and nowhere else.

use quern_calc::quantity::Date;

/// The local day.
#[must_use]
pub fn today() -> Date {
    let now = jiff::ZonedDateTime::now();
    let part = |v: i8| u8::try_from(v).unwrap_or(1);
    let year = u16::try_from(now.year()).unwrap_or(2000);
    Date::new(year, part(now.month()), part(now.day())).unwrap_or(Date::Y2K)
}

/// The local time of day, hours and minutes.
#[must_use]
pub fn time_of_day() -> String {
    let now = jiff::ZonedDateTime::now();
    format!("{:02}:{:02}", now.hour(), now.minute())
}
