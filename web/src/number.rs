//! Reading numbers as people type them, and saying what to do when that fails.
//!
//! Knows nothing of sentences (the catalogue words every [`NumberProblem`]) nor of any network.

use leanyear_engine::pack::YieldUnit;

/// A setting that is typed as a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Usual yield, yield unit.
    Usual,
    /// Price of grain, per bushel, 100 lb or tonne.
    Price,
    /// Cost per acre or hectare.
    Cost,
}

/// Why typed text is not yet a number that can be used.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NumberProblem {
    /// Nothing typed.
    Blank,
    /// Something that is no number.
    NotANumber,
    /// `1,234` where both 1.234 and 1234 could be meant.
    TwoReadings(f64, f64),
    /// Below the least that makes sense.
    TooSmall(f64),
    /// Above the greatest that makes sense.
    TooLarge(f64),
    /// Another step of the same schedule begins there.
    Taken(f64),
}

/// Least and greatest value that a typed quantity may have, in its own unit.
///
/// Wide enough for any field crop: a guard against a slipped finger, not an opinion.
pub fn limits(quantity: Quantity, unit: YieldUnit) -> (f64, f64) {
    match (quantity, unit) {
        (Quantity::Usual, YieldUnit::BushelPerAcre) => (1.0, 300.0),
        (Quantity::Usual, YieldUnit::TonnePerHectare) => (0.05, 20.0),
        (Quantity::Usual, YieldUnit::KilogramPerHectare) => (50.0, 20_000.0),
        (Quantity::Usual, YieldUnit::PoundPerAcre) => (50.0, 18_000.0),
        (Quantity::Price, YieldUnit::BushelPerAcre | YieldUnit::PoundPerAcre) => (0.05, 10_000.0),
        (Quantity::Price, _) => (1.0, 1_000_000.0),
        (Quantity::Cost, _) => (0.0, 1_000_000.0),
    }
}

/// Reads a number with a comma or a point as its decimal mark, whatever the region, and spaces or the other mark
/// between thousands.
///
/// Rule: one mark alone with exactly three digits behind it (`1,234`, `1.234`) may be a decimal mark or part
/// thousands, and no region is trusted to tell. If only one reading lies from `least` to `greatest`, it is taken;
/// if both do, the reader is asked to write it otherwise. Nothing is ever silently a thousand times too much.
///
/// # Errors
/// A [`NumberProblem`] that says what stands in the way.
pub fn read(text: &str, least: f64, greatest: f64) -> Result<f64, NumberProblem> {
    let text = &western(text);
    let between_groups = |c: char| c.is_whitespace() || matches!(c, '\'' | '\u{2019}');
    let spaced = text.trim().replace(between_groups, " ");
    let compact = spaced.replace(' ', "");
    if compact.is_empty() {
        return Err(NumberProblem::Blank);
    }
    // A space or an apostrophe stands between thousands; elsewhere, as in 5'80, it may be meant as a decimal mark.
    let (whole, rest) = spaced.split_at(spaced.find(['.', ',']).unwrap_or(spaced.len()));
    if rest.contains(' ') || whole.contains(' ') && !grouped(whole, ' ') {
        return Err(NumberProblem::NotANumber);
    }
    if !compact.chars().all(|c| c.is_ascii_digit() || c == '.' || c == ',')
        || !compact.contains(|c: char| c.is_ascii_digit())
    {
        return Err(NumberProblem::NotANumber);
    }
    let readings = readings(&compact);
    let mut inside = readings.iter().copied().filter(|value| (least..=greatest).contains(value));
    match (inside.next(), inside.next(), readings.first()) {
        (Some(one), None, _) => Ok(one),
        (Some(one), Some(other), _) => Err(NumberProblem::TwoReadings(one, other)),
        (None, _, Some(value)) if *value < least => Err(NumberProblem::TooSmall(least)),
        (None, _, Some(_)) => Err(NumberProblem::TooLarge(greatest)),
        (None, _, None) => Err(NumberProblem::NotANumber),
    }
}

/// The digits and marks of an Arabic, a Persian or a wide keyboard, as all others write them.
fn western(text: &str) -> String {
    let digit = |c: char, zero: char| char::from_digit(u32::from(c) - u32::from(zero), 10).unwrap_or(c);
    text.chars()
        .map(|c| match c {
            '\u{660}'..='\u{669}' => digit(c, '\u{660}'),
            '\u{6f0}'..='\u{6f9}' => digit(c, '\u{6f0}'),
            '\u{ff10}'..='\u{ff19}' => digit(c, '\u{ff10}'),
            '\u{66b}' | '\u{ff0c}' => ',',
            '\u{66c}' => '\u{2019}',
            '\u{ff0e}' => '.',
            other => other,
        })
        .collect()
}

/// What two typed shares of a hundred leave for a third one; `None` while one of them is still blank.
///
/// # Errors
/// A [`NumberProblem`] for a text that is no whole number from 0 to 100, or for two that are more together.
pub fn remainder(first: &str, second: &str) -> Result<Option<(u8, u8, u8)>, NumberProblem> {
    let share = |text: &str| match read(text, 0.0, 100.0) {
        Ok(value) if value.fract() == 0.0 => Ok(Some(value as u8)),
        Ok(_) => Err(NumberProblem::NotANumber),
        Err(NumberProblem::Blank) => Ok(None),
        Err(problem) => Err(problem),
    };
    let (Some(first), Some(second)) = (share(first)?, share(second)?) else { return Ok(None) };
    match 100u8.checked_sub(first).and_then(|rest| rest.checked_sub(second)) {
        Some(rest) => Ok(Some((first, rest, second))),
        None => Err(NumberProblem::TooLarge(100.0)),
    }
}

/// Every number that digits with points and commas can mean, decimal reading first.
fn readings(compact: &str) -> Vec<f64> {
    let marks: Vec<char> = compact.chars().filter(|c| !c.is_ascii_digit()).collect();
    let mut found = Vec::new();
    let decimal = |mark: char| compact.chars().filter(|c| *c == mark).count() == 1;
    let last = marks.last().copied();
    if let Some(mark) = last.filter(|mark| decimal(*mark)) {
        let (whole, fraction) = compact.rsplit_once(mark).unwrap_or((compact, ""));
        let other = if mark == '.' { ',' } else { '.' };
        if whole.is_empty() || !whole.contains(other) || grouped(whole, other) {
            found.extend(format!("0{}.{}0", whole.replace(other, ""), fraction).parse::<f64>().ok());
        }
    }
    let one_mark = last.filter(|mark| marks.iter().all(|other| other == mark));
    match one_mark {
        None if marks.is_empty() => found.extend(compact.parse::<f64>().ok()),
        Some(mark) if grouped(compact, mark) && !compact.starts_with('0') => {
            found.extend(compact.replace(mark, "").parse::<f64>().ok());
        }
        _ => {}
    }
    found.retain(|value| value.is_finite());
    found
}

/// Whether digits stand in thousands: one to three, then threes.
fn grouped(digits: &str, mark: char) -> bool {
    digits.split(mark).enumerate().all(|(place, group)| match place {
        0 => (1..=3).contains(&group.len()),
        _ => group.len() == 3,
    }) && digits.chars().all(|c| c.is_ascii_digit() || c == mark)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn comma_and_point_are_both_decimal_marks() {
        assert_eq!(read("5.80", 0.05, 100.0), Ok(5.8));
        assert_eq!(read("5,80", 0.05, 100.0), Ok(5.8));
        assert_eq!(read(" 2 450,5 ", 50.0, 20_000.0), Ok(2450.5));
        assert_eq!(read("1.234,5", 50.0, 20_000.0), Ok(1234.5));
        assert_eq!(read("1,234.5", 50.0, 20_000.0), Ok(1234.5));
        assert_eq!(read("1'234.5", 50.0, 20_000.0), Ok(1234.5));
        for unsure in ["5'80", "5 80", "1 5", "12 34", "1.2 3", "' 5 80", "5.80 1"] {
            assert_eq!(read(unsure, 0.05, 20_000.0), Err(NumberProblem::NotANumber), "{unsure}");
        }
        assert_eq!(read(".5", 0.05, 20.0), Ok(0.5));
        assert_eq!(read("5.", 0.05, 20.0), Ok(5.0));
    }

    #[test]
    fn the_limits_settle_what_three_digits_after_a_mark_mean() {
        assert_eq!(read("2,400", 50.0, 20_000.0), Ok(2400.0));
        assert_eq!(read("2,400", 0.05, 20.0), Ok(2.4));
        assert_eq!(read("2,400", 0.05, 10_000.0), Err(NumberProblem::TwoReadings(2.4, 2400.0)));
    }

    /// Digits of Unicode's blocks Arabic and Halfwidth and Fullwidth Forms, with the marks that belong to them.
    #[test]
    fn digits_of_other_keyboards_are_digits() {
        for text in ["\u{665}\u{66b}\u{668}", "\u{6f5}\u{66b}\u{6f8}", "\u{ff15}\u{ff0e}\u{ff18}", "5,8"] {
            assert_eq!(read(text, 0.0, 100.0), Ok(5.8), "{text}");
        }
    }

    #[test]
    fn every_failure_has_its_own_reason() {
        assert_eq!(read("  ", 1.0, 2.0), Err(NumberProblem::Blank));
        assert_eq!(read("about 30", 1.0, 300.0), Err(NumberProblem::NotANumber));
        assert_eq!(read("-3", 1.0, 300.0), Err(NumberProblem::NotANumber));
        assert_eq!(read("1.2.3", 1.0, 300.0), Err(NumberProblem::NotANumber));
        assert_eq!(read("..", 1.0, 300.0), Err(NumberProblem::NotANumber));
        assert_eq!(read("0.2", 1.0, 300.0), Err(NumberProblem::TooSmall(1.0)));
        assert_eq!(read("3000", 1.0, 300.0), Err(NumberProblem::TooLarge(300.0)));
    }

    #[test]
    fn two_shares_leave_the_rest_of_a_hundred() {
        assert_eq!(remainder("45", "22"), Ok(Some((45, 33, 22))));
        assert_eq!(remainder("100", "0"), Ok(Some((100, 0, 0))));
        assert_eq!(remainder("45", " "), Ok(None));
        assert_eq!(remainder("70", "40"), Err(NumberProblem::TooLarge(100.0)));
        assert_eq!(remainder("33.3", "20"), Err(NumberProblem::NotANumber));
        assert_eq!(remainder("a lot", ""), Err(NumberProblem::NotANumber));
    }

    proptest! {
        #[test]
        fn any_text_is_read_without_panic_and_inside_the_limits(text in "\\PC{0,24}") {
            if let Ok(value) = read(&text, 1.0, 300.0) {
                prop_assert!((1.0..=300.0).contains(&value));
            }
        }

        #[test]
        fn two_decimals_come_back_with_either_mark(cents in 100u32..30_000) {
            let value = f64::from(cents) / 100.0;
            let point = format!("{value:.2}");
            prop_assert_eq!(read(&point, 1.0, 300.0), Ok(value));
            prop_assert_eq!(read(&point.replace('.', ","), 1.0, 300.0), Ok(value));
        }
    }
}
