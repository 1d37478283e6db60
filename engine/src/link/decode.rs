//! The text of a link to settings, with a notice for everything in it that could not be taken over.
//!
//! A link is hostile: whatever it holds, decoding ends, does not panic, and gives settings within their ranges.

use super::defaults::{Codes, LinkDefaults};
use super::encode::VERSION;
use super::keys::{self, ACRES, CodeOf, DOCK, DOCK_LIMIT, DOCK_OFF, EFFICACY, Holds, Key, SPRAY, SPRAY_COST};
use super::normalised::within;
use super::notice::LinkNotice;
use super::percent;
use super::settings::{DockStep, Settings, Spray};
use super::words::{self, AS_IT_COMES};
use crate::order::Set;
use crate::pack::YIELD_UNITS;

/// Most bytes of a link that are read.
pub(super) const MOST_BYTES: usize = 4096;
/// Most keys of a link that are read.
pub(super) const MOST_KEYS: usize = 64;

/// What a link holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Decoded {
    /// The defaults with everything the link holds, normalised. `pack` is the link's own, so that a page which
    /// takes the settings over can tell; it then puts its own there.
    pub settings: Settings,
    /// What was left aside, in the order of the link.
    pub notices: Vec<LinkNotice>,
}

/// Reads a link: the fragment with or without its `#` or `?`, or a whole address.
///
/// What the link leaves out is the default, counted in the link's own unit. Unknown keys and impossible values are named and ignored, of a
/// repeated key the first is used, at most 4 kB and 64 keys are read. A link without `v` is of version 1; one
/// of another version is not read at all, because its keys may mean something else.
pub fn decode(text: &str, defaults: &LinkDefaults, codes: &Codes) -> Decoded {
    let mut reader = Reader { settings: defaults.settings().clone(), notices: Vec::new(), codes };
    let pairs = reader.pairs(settings_part(text));
    if let Some((_, version)) =
        pairs.iter().find(|(key, _)| key == "v").filter(|(_, value)| *value != VERSION)
    {
        let notice = LinkNotice::VersionUnknown { found: (*version).to_owned() };
        return Decoded { settings: defaults.settings().clone(), notices: vec![notice] };
    }
    if let Some((_, text)) = pairs.iter().find(|(key, _)| key == "unit")
        && let Some(unit) = percent::decode(text).and_then(|text| words::value_of(&YIELD_UNITS, &text))
    {
        reader.settings = defaults.in_unit(unit);
    }
    let names_site = pairs.iter().any(|(key, _)| key == "site");
    for (key, value) in &pairs {
        reader.read_pair(key, value);
    }
    // Whoever names a zone and no site means the zone, not the site that the page opens with.
    if !names_site && reader.settings.zone.is_some() {
        reader.settings.site = None;
    }
    let mut notices = reader.notices;
    if let (Some(link), Some(here)) = (&reader.settings.pack, &defaults.settings().pack)
        && link != here
    {
        notices.push(LinkNotice::OtherPack { link: link.clone(), here: here.clone() });
    }
    Decoded { settings: reader.settings.normalised(), notices }
}

/// What follows `#`, or else `?`; nothing of an address without either.
fn settings_part(text: &str) -> &str {
    let text = text.trim();
    let after = |sign| text.split_once(sign).map(|(_, after)| after);
    after('#').or_else(|| after('?')).unwrap_or(if text.contains("://") { "" } else { text })
}

struct Reader<'a> {
    settings: Settings,
    notices: Vec<LinkNotice>,
    codes: &'a Codes,
}

impl Reader<'_> {
    /// Keys, read, with their values, as they stand; the first of each.
    fn pairs<'t>(&mut self, text: &'t str) -> Vec<(String, &'t str)> {
        let mut text = text;
        if text.len() > MOST_BYTES {
            self.notices.push(LinkNotice::TooLong { limit: MOST_BYTES });
            // Cut between pairs, so that no number loses its last digits.
            let end = text.as_bytes()[..=MOST_BYTES].iter().rposition(|byte| *byte == b'&').unwrap_or(0);
            text = &text[..end];
        }
        let mut pairs: Vec<&str> = text.split('&').filter(|pair| !pair.is_empty()).collect();
        if pairs.len() > MOST_KEYS {
            self.notices.push(LinkNotice::TooManyKeys { limit: MOST_KEYS });
            pairs.truncate(MOST_KEYS);
        }
        let mut seen = Set::new();
        let mut result = Vec::new();
        for pair in pairs {
            let (written_key, value) =
                pair.split_once('=').map_or((pair, None), |(key, value)| (key, Some(value)));
            let Some(key) = percent::decode(written_key) else {
                self.notices.push(LinkNotice::Unreadable { key: written_key.to_owned() });
                continue;
            };
            match value {
                _ if !seen.insert(key.clone()) => self.notices.push(LinkNotice::KeyTwice { key }),
                Some(value) => result.push((key, value)),
                None => self.notices.push(LinkNotice::ValueMissing { key }),
            }
        }
        result
    }

    fn read_pair(&mut self, key: &str, value: &str) {
        let result = match keys::find(key) {
            Some(row) => self.read_key(row, value),
            None => match (key.strip_prefix(SPRAY), key.strip_prefix(DOCK)) {
                (Some(trait_), _) if self.codes.diseases.contains(trait_) => {
                    self.read_spray(key, trait_, value)
                }
                (_, Some(trait_)) if self.codes.qualities.contains(trait_) => {
                    self.read_dock(key, trait_, value)
                }
                (None, None) if self.codes.diseases.contains(key) => self.read_disease(key, value),
                _ => Err(LinkNotice::KeyUnknown { key: key.to_owned() }),
            },
        };
        if let Err(notice) = result {
            self.notices.push(notice);
        }
    }

    fn read_key(&mut self, row: &'static Key, value: &str) -> Result<(), LinkNotice> {
        let key = row.key;
        match row.holds {
            Holds::Codes { of, most, get } => {
                let codes = self.list(key, value, most, |reader, item| {
                    let code = reader.known_code(key, of, item)?;
                    Ok((code.clone(), code))
                })?;
                *get(&mut self.settings) = codes;
            }
            Holds::Acres { most } => {
                self.settings.acres = self.list(key, value, most, |reader, item| {
                    let (code, area) = item.split_once(':').ok_or_else(|| word_unknown(key, item))?;
                    let code = reader.known_code(key, CodeOf::Variety, code)?;
                    let area = number(key, &readable(key, area)?, ACRES, false)?;
                    Ok((code.clone(), (code, area)))
                })?;
            }
            Holds::Code { of: CodeOf::System, .. } if value.is_empty() => {
                return Err(LinkNotice::ValueMissing { key: key.to_owned() });
            }
            Holds::Code { set, .. } if value.is_empty() => set(&mut self.settings, None),
            Holds::Code { of, set, .. } => {
                let code = self.known_code(key, of, value)?;
                set(&mut self.settings, Some(code));
            }
            Holds::Number { set, .. } if value.is_empty() => set(&mut self.settings, None),
            Holds::Number { low, high, whole, set, .. } => {
                let value = number(key, &readable(key, value)?, (low, high), whole)?;
                set(&mut self.settings, Some(value));
            }
            Holds::Word { set, .. } => {
                let word = readable(key, value)?;
                if !set(&mut self.settings, &word) {
                    return Err(word_unknown(key, &word));
                }
            }
            Holds::Pack if value.is_empty() => self.settings.pack = None,
            Holds::Pack if !keys::is_fingerprint(value) => return Err(word_unknown(key, value)),
            Holds::Pack => self.settings.pack = Some(value.to_owned()),
            Holds::Version | Holds::Diseases | Holds::Sprays | Holds::Docks { .. } => {}
        }
        Ok(())
    }

    fn read_disease(&mut self, trait_: &str, value: &str) -> Result<(), LinkNotice> {
        let word = readable(trait_, value)?;
        if word == AS_IT_COMES {
            self.settings.diseases.remove(trait_);
        } else {
            let level =
                words::value_of(&words::PRESSURES, &word).ok_or_else(|| word_unknown(trait_, &word))?;
            self.settings.diseases.insert(trait_.to_owned(), level);
        }
        Ok(())
    }

    fn read_spray(&mut self, key: &str, trait_: &str, value: &str) -> Result<(), LinkNotice> {
        if value.is_empty() {
            self.settings.sprays.remove(trait_);
            return Ok(());
        }
        let (cost, efficacy) = value.split_once(':').ok_or_else(|| word_unknown(key, value))?;
        let cost = number(key, &readable(key, cost)?, SPRAY_COST, false)?;
        let efficacy = number(key, &readable(key, efficacy)?, EFFICACY, false)?;
        self.settings.sprays.insert(trait_.to_owned(), Spray { cost, efficacy });
        Ok(())
    }

    fn read_dock(&mut self, key: &str, trait_: &str, value: &str) -> Result<(), LinkNotice> {
        let most = keys::most_dock_steps();
        let mut steps = self.list(key, value, most, |_, item| {
            let (below, off) = item.split_once(':').ok_or_else(|| word_unknown(key, item))?;
            let below = number(key, &readable(key, below)?, DOCK_LIMIT, false)?;
            let off = number(key, &readable(key, off)?, DOCK_OFF, false)?;
            Ok((below.to_string(), DockStep { below, off }))
        })?;
        crate::order::sort_by(&mut steps, |a, b| a.below.total_cmp(&b.below));
        self.settings.docks.insert(trait_.to_owned(), steps);
        Ok(())
    }

    /// The items of a list that can be read, each code once; the others are named and left out.
    fn list<T>(
        &mut self,
        key: &str,
        value: &str,
        most: usize,
        read: impl Fn(&Self, &str) -> Result<(String, T), LinkNotice>,
    ) -> Result<Vec<T>, LinkNotice> {
        let mut seen = Set::new();
        let mut items = Vec::new();
        let mut any_refused = false;
        for item in value.split(',').filter(|item| !item.is_empty()) {
            match read(self, item) {
                Ok((code, item)) if seen.insert(code.clone()) => items.push(item),
                Ok((text, _)) => self.notices.push(LinkNotice::CodeTwice { key: key.to_owned(), text }),
                Err(notice) => {
                    any_refused = true;
                    self.notices.push(notice);
                }
            }
        }
        if items.len() > most {
            self.notices.push(LinkNotice::ListTooLong { key: key.to_owned(), limit: most });
            items.truncate(most);
        }
        // A list of which nothing can be read says nothing; it must not empty the default.
        if items.is_empty() && any_refused {
            return Err(LinkNotice::ValueMissing { key: key.to_owned() });
        }
        Ok(items)
    }

    fn known_code(&self, key: &str, of: CodeOf, value: &str) -> Result<String, LinkNotice> {
        let text = readable(key, value)?;
        if self.codes.knows(of, &text) {
            Ok(text)
        } else {
            Err(LinkNotice::CodeUnknown { key: key.to_owned(), text })
        }
    }
}

fn readable(key: &str, value: &str) -> Result<String, LinkNotice> {
    percent::decode(value).ok_or_else(|| LinkNotice::Unreadable { key: key.to_owned() })
}

fn word_unknown(key: &str, text: &str) -> LinkNotice {
    LinkNotice::WordUnknown { key: key.to_owned(), text: text.to_owned() }
}

fn number(key: &str, text: &str, (low, high): (f64, f64), whole: bool) -> Result<f64, LinkNotice> {
    let (key, text) = (key.to_owned(), text.to_owned());
    let Ok(value) = text.parse::<f64>() else { return Err(LinkNotice::NotANumber { key, text }) };
    if !value.is_finite() {
        Err(LinkNotice::NotFinite { key, text })
    } else if !within(value, (low, high)) {
        Err(LinkNotice::OutOfRange { key, text, low, high })
    } else if whole && value.fract() != 0.0 {
        Err(LinkNotice::NotWhole { key, text })
    } else {
        Ok(value)
    }
}
