//! How the reader's region writes numbers and dates: the one place where decimal marks are chosen.
//!
//! Links, CSV and pictures never come here: they have the point whatever the region.

/// Marks between digits, and whether a date begins with the month.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Region {
    decimal: char,
    group: char,
    /// Fewest digits before the decimal mark that are parted in threes.
    grouped_from: usize,
    month_first: bool,
}

/// Two numbers and a date that show all of it: the day is above 12, and only one of the two is parted everywhere.
pub const SAMPLE_NUMBERS: [f64; 2] = [1234.5, 12345.5];
/// Year, month (from 1) and day of that date.
pub const SAMPLE_DATE: (u32, i32, i32) = (2025, 7, 28);

/// Most digits behind the mark.
const MOST_DIGITS: i32 = 9;

impl Region {
    /// Decimal point, thousands parted by commas, the day before the month.
    pub const POINT: Self = Self { decimal: '.', group: ',', grouped_from: 4, month_first: false };
    /// Decimal comma, ten thousands and more parted by points.
    pub const COMMA: Self = Self { decimal: ',', group: '.', grouped_from: 5, month_first: false };

    /// The region that writes [`SAMPLE_NUMBERS`] and [`SAMPLE_DATE`] so; `None` where its digits or marks are not
    /// among those that this page's number fields read back.
    pub fn of_samples(numbers: [&str; 2], date: &str) -> Option<Self> {
        // A line must not end inside a number.
        let [small, large] = numbers.map(|text| text.replace(' ', "\u{a0}"));
        let marks: Vec<char> = large.chars().filter(|c| !c.is_ascii_digit()).collect();
        let (decimal, before) = marks.split_last()?;
        let (group, grouped_from) = match before {
            [] => ('\u{a0}', usize::MAX),
            [group] if small.contains(*group) => (*group, 4),
            [group] => (*group, 5),
            _ => return None,
        };
        let readable = matches!(decimal, '.' | ',')
            && (matches!(group, '.' | ',' | '\'' | '\u{2019}') || group.is_whitespace())
            && group != *decimal;
        let month_first = date.find('7').zip(date.find("28")).is_some_and(|(month, day)| month < day);
        let region = Self { decimal: *decimal, group, grouped_from, month_first };
        (readable && SAMPLE_NUMBERS.map(|number| region.fixed(number, 1)) == [small, large]).then_some(region)
    }

    /// Whether the month is named before the day.
    pub fn month_first(&self) -> bool {
        self.month_first
    }

    /// The decimal mark.
    pub fn decimal(&self) -> char {
        self.decimal
    }

    /// A number with `digits` behind the mark.
    pub fn fixed(&self, value: f64, digits: usize) -> String {
        self.written(value, digits, self.grouped_from)
    }

    /// A number with so many significant figures, whatever its size.
    pub fn figures(&self, value: f64, figures: i32) -> String {
        let whole = if value == 0.0 { 1 } else { value.abs().log10().floor() as i32 + 1 };
        self.fixed(value, (figures - whole).clamp(0, MOST_DIGITS) as usize)
    }

    /// A number with all the digits it was typed with, up to three behind the mark.
    pub fn plain(&self, value: f64) -> String {
        self.trimmed(self.fixed(value, 3))
    }

    /// The same as a number field starts with it: nothing between thousands, and never just three digits behind
    /// the mark, so that it cannot be taken for a thousand.
    pub fn typed(&self, value: f64) -> String {
        let text = self.trimmed(self.written(value, 3, usize::MAX));
        match text.rsplit_once(self.decimal) {
            Some((_, fraction)) if fraction.len() == 3 => text + "0",
            _ => text,
        }
    }

    /// Numbers in a row.
    pub fn listed(&self, numbers: &[String]) -> String {
        numbers.join(if self.decimal == ',' { "; " } else { ", " })
    }

    fn trimmed(&self, text: String) -> String {
        match text.contains(self.decimal) {
            true => text.trim_end_matches('0').trim_end_matches(self.decimal).to_owned(),
            false => text,
        }
    }

    fn written(&self, value: f64, digits: usize, grouped_from: usize) -> String {
        let text = format!("{:.digits$}", value.abs());
        let (whole, fraction) = text.split_once('.').unwrap_or((&text, ""));
        let mut out = String::new();
        if value < 0.0 && !nothing(&text) {
            out.push('\u{2212}');
        }
        for (place, digit) in whole.chars().enumerate() {
            if place > 0 && whole.len() >= grouped_from && (whole.len() - place) % 3 == 0 {
                out.push(self.group);
            }
            out.push(digit);
        }
        if !fraction.is_empty() {
            out.push(self.decimal);
            out.push_str(fraction);
        }
        out
    }
}

/// Whether a number as it is written is nothing.
pub fn nothing(number: &str) -> bool {
    !number.contains(|c: char| ('1'..='9').contains(&c))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use crate::number::read;
    use proptest::prelude::*;

    const REGIONS: [([&str; 2], &str); 6] = [
        (["1,234.5", "12,345.5"], "7/28/2025"),
        (["1,234.5", "12,345.5"], "28/7/2025"),
        (["1234,5", "12.345,5"], "28/7/2025"),
        (["1.234,5", "12.345,5"], "28/7/2025"),
        (["1\u{202f}234,5", "12\u{202f}345,5"], "28/07/2025"),
        (["1\u{2019}234.5", "12\u{2019}345.5"], "28.7.2025"),
    ];

    #[test]
    fn figures_do_not_depend_on_the_unit() {
        let written = |value: f64| Region::POINT.figures(value, 3);
        assert_eq!(
            [0.004_713, 0.0462, 0.0, 3.1, 36.54, 4713.2].map(written),
            ["0.00471", "0.0462", "0.00", "3.10", "36.5", "4,713"]
        );
    }

    #[test]
    fn a_region_writes_its_own_samples_again() {
        for (numbers, date) in REGIONS {
            let region = Region::of_samples(numbers, date).unwrap();
            assert_eq!(SAMPLE_NUMBERS.map(|number| region.fixed(number, 1)), numbers);
            assert_eq!(region.month_first(), date.starts_with('7'), "{date}");
        }
        assert!(Region::of_samples(["1,234.5", "12,345.5"], "2025-07-28").unwrap().month_first());
    }

    #[test]
    fn a_region_whose_numbers_could_not_be_read_back_is_no_region() {
        for numbers in [["١٬٢٣٤٫٥", "١٢٬٣٤٥٫٥"], ["1234,5 kg", "12.345,5"], ["", ""], ["1234:5", "12345:5"]]
        {
            assert_eq!(Region::of_samples(numbers, "28/7/2025"), None, "{numbers:?}");
        }
    }

    #[test]
    fn thousands_are_parted_where_the_region_parts_them() {
        assert_eq!(Region::POINT.fixed(-2150.0, 0), "\u{2212}2,150");
        assert_eq!(Region::COMMA.fixed(2150.4, 1), "2150,4");
        assert_eq!(Region::COMMA.fixed(12150.0, 0), "12.150");
        assert_eq!(Region::COMMA.fixed(-0.04, 1), "0,0");
        assert_eq!(Region::COMMA.plain(5.80), "5,8");
        assert_eq!(Region::COMMA.listed(&["2,1".into(), "2,4".into()]), "2,1; 2,4");
    }

    proptest! {
        /// Law: what a number field starts with is read back as itself, however wide its limits are.
        #[test]
        fn a_field_never_starts_with_two_readings(thousandths in 0u32..2_000_000_000, region in 0usize..6) {
            let (numbers, date) = REGIONS[region];
            let value = f64::from(thousandths) / 1000.0;
            let text = Region::of_samples(numbers, date).unwrap().typed(value);
            prop_assert_eq!(read(&text, 0.0, 1e9), Ok(value), "{}", text);
        }
    }
}
