//! Which varieties stand on a page of paper or in a picture: the one grown now, the check, the ten best.

use super::Page;
use super::list::parts;
use leanyear_engine::decide::VarietyOdds;

/// Most varieties beside the one grown now and the check.
pub const BEST: usize = 10;
/// Most varieties with those two.
pub const MOST_DRAWN: usize = BEST + 2;

/// The varieties of a table, each in one place, in the order of the table.
pub struct Pick<'a> {
    /// The one grown now.
    pub mine: Option<&'a VarietyOdds>,
    /// The check, unless it is the one grown now.
    pub check: Option<&'a VarietyOdds>,
    /// The best of the others.
    pub best: Vec<&'a VarietyOdds>,
    /// All the rest: what can be sown first, then what lacks something, was never tested here or no longer is.
    pub rest: Vec<&'a VarietyOdds>,
}

impl<'a> Pick<'a> {
    /// The varieties that are drawn, top to bottom.
    pub fn drawn(&self) -> impl Iterator<Item = &'a VarietyOdds> {
        self.mine.into_iter().chain(self.check).chain(self.best.iter().copied())
    }

    /// How many the group too close to call has in all, and how many of them are drawn.
    pub fn group(&self, page: &Page) -> (usize, usize) {
        let all = page.answer.table.varieties.iter().filter(|odds| odds.group).count();
        (all, self.drawn().filter(|odds| odds.group).count())
    }
}

/// The pick of a page.
pub fn pick<'a>(page: &Page<'a>) -> Pick<'a> {
    let parts = parts(page);
    let check = page.network.info.checks.iter().find_map(|code| page.odds(code));
    let check = check.filter(|check| parts.mine.is_none_or(|mine| mine.variety != check.variety));
    let is_check = |row: &&VarietyOdds| check.is_some_and(|check| check.variety == row.variety);
    let all = parts.others.group.iter().chain(&parts.others.rest).copied();
    let mut best: Vec<&VarietyOdds> = all.filter(|row| !is_check(row)).collect();
    let mut rest = best.split_off(best.len().min(BEST));
    rest.extend(parts.others.below().filter(|row| !is_check(row)));
    Pick { mine: parts.mine, check, best, rest }
}
