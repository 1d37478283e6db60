//! What the sentences of every language need and no language owns: counting, joining, first letters.

/// `1 season`, `2 seasons`.
pub(super) fn count(number: u32, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// `A`, `A and B`, `A, B and C`, with the word that stands before the last.
pub(super) fn joined(names: &[String], before_last: &str) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} {before_last} {last}", first.join(", ")),
    }
}

/// Most names that are all told.
const FEW: usize = 6;

/// The names, or of many the first three and how many others there are, as `others` says it.
pub(super) fn few(names: &[String], others: impl Fn(usize) -> String) -> Vec<String> {
    match names {
        [first, second, third, rest @ ..] if names.len() > FEW => {
            vec![first.clone(), second.clone(), third.clone(), others(rest.len())]
        }
        all => all.to_vec(),
    }
}

/// The parts that are not blank, with commas between them.
pub(super) fn filled<const N: usize>(parts: [String; N]) -> String {
    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
}

/// A state with what else has to be said of it, if there is any of either.
pub(super) fn with_more(state: Option<String>, more: Option<&str>) -> Option<String> {
    match (state, more) {
        (Some(state), Some(more)) => Some(format!("{state}, {more}")),
        (state, more) => state.or(more.map(str::to_owned)),
    }
}

/// With a capital in front.
pub(super) fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// Year, place of the month from 0, and day of an ISO 8601 date.
pub(super) fn date_parts(iso: &str) -> Option<(&str, usize, u8)> {
    let parts: Vec<&str> = iso.split('-').collect();
    let [year, month, day] = parts[..] else { return None };
    let month = month.parse::<usize>().ok().filter(|month| (1..=12).contains(month))?;
    Some((year, month - 1, day.parse().ok()?))
}

/// What a share of a hundred comes to, whole.
pub(super) fn percent(share: f64) -> f64 {
    (100.0 * share).round()
}

/// A network's unit of a rating as it stands beside best and worst; nothing where it only says those again ("1 best to
/// 9 worst") or is per cent, which stands at each number.
pub(super) fn beside_scale(unit: &str) -> Option<&str> {
    let says_ends = unit.contains("best") && unit.contains("worst");
    (!unit.is_empty() && unit != "%" && !says_ends).then_some(unit)
}
