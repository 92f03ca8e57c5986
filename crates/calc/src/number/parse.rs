//! Reading numbers as people type them: separators, units and a little arithmetic.

use rust_decimal::{Decimal, RoundingStrategy};

use super::{DecimalSign, MassUnit, NumberError, NumberErrorKind as Kind, Read, Unit};
use super::{MOST_DEPTH, assemble, check_length, error_at, within};

/// How a text is to be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Syntax {
    /// The decimal sign of the person's setting; it settles what a lone `1,234` or `1.234` means.
    pub sign: DecimalSign,
    /// Whether an entry that begins with `+` or `-` is a change to the value already there.
    pub allow_relative: bool,
}

/// What a text says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Typed {
    /// The value in `unit`, from -1e12 to 1e12. A leading sign is part of it, relative or not.
    pub value: Decimal,
    /// The unit typed, if any. Masses in different units add up to grams.
    pub unit: Option<Unit>,
    /// The value is a change: the text began with `+` or `-`, and [`Syntax::allow_relative`] is
    /// set. A text that begins with `=` never is one, so `=-2` is minus two.
    pub relative: bool,
}

/// Reads a number with an optional unit, or arithmetic with such numbers.
///
/// `+ - * / × ÷ x` and parentheses work as in school. Spaces and apostrophes may split a whole
/// part in threes. A unit may follow a number, a parenthesis or the entire text (`12/3 g`), and
/// smaller masses may follow larger ones (`1 lb 4 oz`). Two amounts with units may be added,
/// subtracted or divided, not multiplied. Values are exact to 28 digits and 28 decimals; when a
/// division does not come out even the result is rounded to 24 digits and 20 decimals, so that
/// `1/3*3` is 1.
///
/// # Errors
///
/// The first thing that is wrong, and where. A blank text is [`Kind::Empty`]; a number that can
/// be read in two ways is [`Kind::Ambiguous`]; the limits are 200 characters, 32 nested
/// parentheses, 28 decimals or digits, and 1e12 for every intermediate value.
///
/// [`Kind::Empty`]: super::NumberErrorKind::Empty
/// [`Kind::Ambiguous`]: super::NumberErrorKind::Ambiguous
pub fn parse(text: &str, syntax: Syntax) -> Result<Typed, NumberError> {
    check_length(text)?;
    let chars: Vec<char> = text.trim_end().chars().collect();
    let mut reader = Reader { chars: &chars, at: 0, sign: syntax.sign, depth: 0, uneven: false };
    reader.skip_space();
    let relative = match reader.peek() {
        None => return Err(reader.error(Kind::Empty)),
        Some('=') => {
            reader.at += 1;
            false
        }
        Some(first) => syntax.allow_relative && (first == '+' || is_minus(first)),
    };
    let amount = reader.sum()?;
    reader.skip_space();
    if let Some(c) = reader.peek() {
        return Err(reader.error(Kind::Unexpected(c)));
    }
    let mut value = amount.value;
    if reader.uneven {
        let away = RoundingStrategy::MidpointAwayFromZero;
        value = value.round_sf_with_strategy(24, away).unwrap_or(value);
        value = value.round_dp_with_strategy(20, away);
    }
    if value.is_zero() {
        value = Decimal::ZERO;
    }
    Ok(Typed { value, unit: amount.unit, relative })
}

/// A value on the way through an expression.
#[derive(Clone, Copy)]
struct Amount {
    value: Decimal,
    unit: Option<Unit>,
    /// The unit was the last thing read, so it can stand for the bare numbers before it as well.
    loose: bool,
}

struct Reader<'a> {
    chars: &'a [char],
    at: usize,
    sign: DecimalSign,
    depth: usize,
    /// A division has been rounded.
    uneven: bool,
}

impl Reader<'_> {
    fn peek(&self) -> Option<char> {
        self.ahead(0)
    }

    fn ahead(&self, by: usize) -> Option<char> {
        self.chars.get(self.at + by).copied()
    }

    fn digit_ahead(&self, by: usize) -> bool {
        self.ahead(by).is_some_and(|c| c.is_ascii_digit())
    }

    /// The letters that begin here, or one sign that is a unit by itself.
    fn word(&self) -> String {
        if let Some(c @ ('%' | '℃')) = self.peek() {
            return c.to_string();
        }
        let rest = self.chars.iter().skip(self.at);
        rest.take_while(|c| c.is_alphabetic() || **c == '°').collect()
    }

    fn skip_space(&mut self) {
        while self.peek().is_some_and(char::is_whitespace) {
            self.at += 1;
        }
    }

    fn error(&self, kind: Kind) -> NumberError {
        error_at(self.at, kind)
    }

    /// The error for what stands here instead of something needed.
    fn missing(&self) -> NumberError {
        self.error(self.peek().map_or(Kind::Unfinished, Kind::Unexpected))
    }

    fn sum(&mut self) -> Read<Amount> {
        let mut total = self.product()?;
        let mut closed = false;
        loop {
            self.skip_space();
            let at = self.at;
            let minus = match self.peek() {
                Some('+') => false,
                Some(c) if is_minus(c) => true,
                _ => return Ok(total),
            };
            self.at += 1;
            let mut next = self.product()?;
            if minus {
                next.value = -next.value;
            }
            let unit = match (total.unit, next.unit) {
                // Nothing may follow a unit that stands for the bare numbers before it.
                _ if closed => return Err(error_at(at, Kind::MixedUnits)),
                (one, other) if one == other => one,
                (None, Some(_)) if next.loose => {
                    closed = true;
                    next.unit
                }
                (Some(Unit::Mass(one)), Some(Unit::Mass(other))) => {
                    total.value = grams(total.value, one, at)?;
                    next.value = grams(next.value, other, at)?;
                    Some(Unit::Mass(MassUnit::Gram))
                }
                _ => return Err(error_at(at, Kind::MixedUnits)),
            };
            let value = within(total.value.checked_add(next.value), at)?;
            total = Amount { value, unit, loose: next.loose };
        }
    }

    fn product(&mut self) -> Read<Amount> {
        let mut total = self.signed()?;
        loop {
            self.skip_space();
            let at = self.at;
            match self.peek() {
                Some('*' | '×' | 'x' | 'X') => {
                    self.at += 1;
                    let next = self.signed()?;
                    if total.unit.is_some() && next.unit.is_some() {
                        return Err(error_at(at, Kind::MixedUnits));
                    }
                    total = Amount {
                        value: within(total.value.checked_mul(next.value), at)?,
                        unit: total.unit.or(next.unit),
                        loose: next.loose,
                    };
                }
                Some('/' | '÷') => {
                    self.at += 1;
                    let next = self.signed()?;
                    total = self.divide(total, next, at)?;
                }
                _ => return Ok(total),
            }
        }
    }

    fn divide(&mut self, mut over: Amount, mut under: Amount, at: usize) -> Read<Amount> {
        let unit = match (over.unit, under.unit) {
            (unit, None) => unit,
            (None, Some(_)) if under.loose => under.unit,
            (Some(Unit::Mass(one)), Some(Unit::Mass(other))) => {
                if one != other {
                    over.value = grams(over.value, one, at)?;
                    under.value = grams(under.value, other, at)?;
                }
                None
            }
            // A ratio of temperatures in degrees Celsius means nothing.
            (Some(one), Some(other)) if one == other && one != Unit::Celsius => None,
            _ => return Err(error_at(at, Kind::MixedUnits)),
        };
        if under.value.is_zero() {
            return Err(error_at(at, Kind::DivisionByZero));
        }
        let value = within(over.value.checked_div(under.value), at)?;
        self.uneven |= value.checked_mul(under.value) != Some(over.value);
        Ok(Amount { value, unit, loose: under.loose && unit.is_some() })
    }

    fn signed(&mut self) -> Read<Amount> {
        self.skip_space();
        let minus = self.peek().is_some_and(is_minus);
        if minus || self.peek() == Some('+') {
            self.at += 1;
            self.skip_space();
        }
        let mut amount = self.single()?;
        if minus {
            amount.value = -amount.value;
        }
        Ok(amount)
    }

    fn single(&mut self) -> Read<Amount> {
        match self.peek() {
            Some('(') => self.parenthesis(),
            Some(c) if c.is_ascii_digit() || c == '.' || c == ',' => self.quantity(),
            Some('∞') => Err(self.error(Kind::NotFinite)),
            Some(_) => match self.word().to_ascii_lowercase().as_str() {
                "nan" | "inf" | "infinity" => Err(self.error(Kind::NotFinite)),
                _ => Err(self.missing()),
            },
            None => Err(self.missing()),
        }
    }

    fn parenthesis(&mut self) -> Read<Amount> {
        if self.depth == MOST_DEPTH {
            return Err(self.error(Kind::TooDeep));
        }
        self.depth += 1;
        self.at += 1;
        let inner = self.sum()?;
        self.skip_space();
        if self.peek() != Some(')') {
            return Err(self.missing());
        }
        self.depth -= 1;
        self.at += 1;
        let at = self.at;
        match (inner.unit, self.unit()?) {
            (Some(_), Some(_)) => Err(error_at(at, Kind::MixedUnits)),
            (None, unit) => Ok(Amount { unit, loose: unit.is_some(), ..inner }),
            (_, None) => Ok(Amount { loose: false, ..inner }),
        }
    }

    /// A number, its unit, and the smaller masses that follow it.
    fn quantity(&mut self) -> Read<Amount> {
        let value = self.number()?;
        let unit = self.unit()?;
        let mut total = Amount { value, unit, loose: unit.is_some() };
        let Some(Unit::Mass(mut last)) = unit else {
            return Ok(total);
        };
        loop {
            let before = self.at;
            self.skip_space();
            let at = self.at;
            let Some(first) = self.peek().filter(char::is_ascii_digit) else {
                self.at = before;
                return Ok(total);
            };
            let more = self.number()?;
            let unit = self.unit()?;
            if unit.is_none() && self.peek().is_none() {
                return Err(self.error(Kind::Unfinished));
            }
            match unit {
                Some(Unit::Mass(smaller)) if smaller.grams_per_unit() < last.grams_per_unit() => {
                    // Loose until the first smaller mass has turned it into grams.
                    if total.loose {
                        total.value = grams(total.value, last, at)?;
                    }
                    let sum = total.value.checked_add(grams(more, smaller, at)?);
                    total.value = within(sum, at)?;
                    total.unit = Some(Unit::Mass(MassUnit::Gram));
                    total.loose = false;
                    last = smaller;
                }
                _ => return Err(error_at(at, Kind::Unexpected(first))),
            }
        }
    }

    fn unit(&mut self) -> Read<Option<Unit>> {
        let before = self.at;
        self.skip_space();
        let start = self.at;
        let word = self.word();
        if matches!(word.as_str(), "" | "x" | "X") {
            self.at = before;
            return Ok(None);
        }
        let unit = Unit::from_word(&word);
        self.at += word.chars().count();
        unit.map(Some).ok_or_else(|| error_at(start, Kind::UnknownUnit(word)))
    }

    fn number(&mut self) -> Read<Decimal> {
        let start = self.at;
        let mut runs = vec![String::new()];
        let mut marks: Vec<(usize, char)> = Vec::new();
        let mut space = None;
        while let Some(c) = self.peek() {
            if c == '.' || c == ',' {
                marks.push((self.at, c));
                runs.push(String::new());
            } else if let Some(run) = runs.last_mut().filter(|_| c.is_ascii_digit()) {
                run.push(c);
            } else if marks.is_empty() && self.splits_groups(c, space, start) {
                space = Some(is_apostrophe(c));
            } else {
                break;
            }
            self.at += 1;
        }
        if let (Some((at, c)), Some("")) = (marks.last(), runs.last().map(String::as_str)) {
            return Err(match self.peek() {
                None => self.error(Kind::Unfinished),
                Some(_) => error_at(*at, Kind::Unexpected(*c)),
            });
        }
        let exponent = self.exponent();
        let decimal_marks = usize::from(match marks.as_slice() {
            [] => false,
            [(at, mark)] => {
                if let [whole, fraction] = runs.as_slice()
                    && *mark != self.sign.as_char()
                    && space.is_none()
                    && well_grouped(&runs)
                {
                    let kind = Kind::Ambiguous {
                        as_decimal: assemble(whole, fraction, exponent, start)?,
                        as_thousands: assemble(&runs.concat(), "", exponent, start)?,
                    };
                    return Err(error_at(*at, kind));
                }
                true
            }
            [first, second, ..] => {
                let last = marks.last().unwrap_or(first);
                let decimal = first.1 != last.1;
                let (groups, _) = runs.split_at(runs.len() - usize::from(decimal));
                let others = marks.iter().filter(|mark| mark.1 != first.1).count();
                if others != usize::from(decimal) {
                    return Err(error_at(last.0, Kind::Unexpected(last.1)));
                }
                if space.is_some() || !well_grouped(groups) {
                    let wrong = if decimal { first } else { second };
                    return Err(error_at(wrong.0, Kind::Unexpected(wrong.1)));
                }
                decimal
            }
        });
        let (whole, fraction) = runs.split_at(runs.len() - decimal_marks);
        assemble(&whole.concat(), &fraction.concat(), exponent, start)
    }

    /// Whether the character here, a space or apostrophe, stands between groups of three digits of
    /// the number that began at `start`.
    fn splits_groups(&self, c: char, earlier: Option<bool>, start: usize) -> bool {
        let known = is_apostrophe(c) || matches!(c, ' ' | '\u{a0}' | '\u{2009}' | '\u{202f}');
        let fits = match earlier {
            Some(apostrophe) => apostrophe == is_apostrophe(c),
            None => (1..=3).contains(&(self.at - start)) && self.chars.get(start) != Some(&'0'),
        };
        known && fits && (1..=3).all(|by| self.digit_ahead(by)) && !self.digit_ahead(4)
    }

    /// The power of ten after a number, 0 without one.
    fn exponent(&mut self) -> i32 {
        if !matches!(self.peek(), Some('e' | 'E')) {
            return 0;
        }
        let minus = self.ahead(1).is_some_and(is_minus);
        let sign = usize::from(minus || self.ahead(1) == Some('+'));
        if !self.digit_ahead(1 + sign) {
            return 0;
        }
        self.at += 1 + sign;
        let mut power = 0_i32;
        while let Some(digit) = self.peek().and_then(|c| c.to_digit(10)) {
            // Far beyond any limit already; what matters is not to overflow.
            power = (power * 10 + i32::try_from(digit).unwrap_or(0)).min(10_000);
            self.at += 1;
        }
        if minus { -power } else { power }
    }
}

fn is_minus(c: char) -> bool {
    matches!(c, '-' | '\u{2212}')
}

fn is_apostrophe(c: char) -> bool {
    matches!(c, '\'' | '\u{2019}')
}

/// Whether the runs of digits are what thousands separators leave: one to three digits that do not
/// begin with 0, then threes.
fn well_grouped(runs: &[String]) -> bool {
    runs.split_first().is_some_and(|(first, rest)| {
        (1..=3).contains(&first.len())
            && !first.starts_with('0')
            && rest.iter().all(|run| run.len() == 3)
    })
}

fn grams(value: Decimal, unit: MassUnit, at: usize) -> Read<Decimal> {
    within(value.checked_mul(unit.grams_per_unit()), at)
}
