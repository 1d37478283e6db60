//! The sentences of what leaves the page: codes for a camera, tables, pictures, the printed sheet.

use super::Short;
use super::figure::Units;
use crate::derive::Part;
use leanyear_engine::decide::{Standing, VarietyOdds};
use leanyear_engine::link::WaterOutlook;

/// What the plain text in a code begins and ends with.
#[derive(Debug, Clone, PartialEq)]
pub struct CodeHead<'a> {
    /// What else is assumed of the season: diseases, cattle.
    pub beside: &'a [String],
    /// Price and cost, where they go out.
    pub money: Option<(f64, f64)>,
    /// Name of the network.
    pub network: &'a str,
    /// Production system, as data code; `None` where the network has only one.
    pub system: Option<&'a str>,
    /// Where, by name; `None` near no site.
    pub place: Option<&'a str>,
    /// Whether that is a zone and no trial site.
    pub in_zone: bool,
    /// The year assumed.
    pub water: WaterOutlook,
    /// What counts as a bad season.
    pub short: Short,
    /// Date of the data, ISO 8601, or nothing.
    pub date: &'a str,
    /// Whether the data are invented.
    pub invented: bool,
}

/// A row of the table as text or in a spreadsheet.
#[derive(Debug, Clone, PartialEq)]
pub struct TableRow<'a> {
    /// Name.
    pub name: &'a str,
    /// Whether it is the one grown now.
    pub mine: bool,
    /// Its odds.
    pub odds: &'a VarietyOdds,
    /// The year assumed.
    pub water: WaterOutlook,
    /// The agronomist's word on it in few words, where she gave one.
    pub adviser: Option<&'static str>,
}

/// What has to be said beside a name in a code, where every letter counts.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct CodeTags {
    /// It is the one grown now.
    pub mine: bool,
    /// It is new.
    pub new: bool,
    /// No chain of trials joins it to most of the others.
    pub apart: bool,
    /// The agronomist put it off her list.
    pub off: bool,
    /// It lacks something that is asked of it.
    pub lacking: bool,
}

impl CodeTags {
    /// The words of those that hold behind the name: what it needs care for, then what it is, in brackets each.
    pub(super) fn told(self, [mine, new, apart, off, lacking]: [&str; 5]) -> String {
        let care = [(self.apart, apart), (self.off, off), (self.lacking, lacking)];
        let is = [(self.mine, mine), (self.new, new)];
        let bracket = |tags: &[(bool, &str)]| {
            let holding = tags.iter().filter(|tag| tag.0).map(|tag| tag.1).collect::<Vec<_>>();
            if holding.is_empty() { String::new() } else { format!(" ({})", holding.join(", ")) }
        };
        bracket(&care) + &bracket(&is)
    }
}

/// What is sent, kept and printed.
pub trait SendWords {
    /// A part of the settings that a code leaves out.
    fn part(&self, part: Part) -> &'static str;
    /// What a code had to leave out, and in which order that is done.
    fn left_out(&self, parts: &[Part], order: &[Part]) -> String;
    /// On paper: what the code of the link leaves out.
    fn paper_home(&self, left_out: &[Part]) -> Option<String>;
    /// Title and description of the code of a link, or of plain text.
    fn code_picture(&self, text: bool) -> (&'static str, &'static str);

    /// The plain text in a code up to its first variety.
    fn code_head(&self, head: &CodeHead, units: &Units) -> String;
    /// One variety in that text.
    fn code_item(&self, name: &str, tags: CodeTags, marks_short: u8) -> String;
    /// The end of that text.
    fn code_tail(&self, head: &CodeHead) -> String;

    /// A row of the table as a line of text; `place` counts from 1, and is 0 where there is no order.
    fn text_row(&self, place: usize, row: &TableRow, short: Short, units: &Units) -> String;
    /// Headings of the table as a spreadsheet has it; `money` says whether what is left after costs is in it.
    fn table_headings(&self, short: Short, money: bool, units: &Units) -> Vec<String>;
    /// Yes or no.
    fn yes_no(&self, yes: bool) -> &'static str;

    /// Title and description of the picture of the list.
    fn list_picture(&self, rows: usize, units: &Units) -> (String, String);

    /// Average and range on paper, where a line has little room.
    fn paper_averages(&self, odds: &VarietyOdds, units: &Units) -> String;
    /// How long tested, on paper.
    fn paper_tested(&self, standing: &Standing, water: WaterOutlook) -> String;
    /// Why a name in the small table needs care: lacking what it must have, new, not tested here, no longer
    /// tested, met by the others in no trial.
    fn paper_state(&self, odds: &VarietyOdds) -> Option<String>;
    /// Heading over the small table, with what its two figures are.
    fn paper_rest(&self, short: Short, units: &Units) -> String;
    /// Years short and not, in the small table.
    fn paper_years(&self, marks_short: u8) -> String;
    /// How many found no room on the paper, and how many are no longer tested and left off it.
    fn paper_left_off(&self, more: usize, no_longer_tested: usize) -> Option<String>;
    /// How the numbers are worked out, in a sentence or two.
    fn paper_method(&self, usual_given: bool) -> String;
}
