//! Reads a raw LZMA stream (as in the public-domain LZMA specification of I. Pavlov, 2015), a quarter smaller than
//! gzip makes of a program. It allocates nothing and ends with `false` on whatever is not such a stream.

/// Bits of the byte before that choose a literal's model: as the build writes them, and best for a program apart.
pub const LITERAL_CONTEXT: u32 = 2;
/// Bits of the position that choose a model: none, since a program has no alignment.
pub const POSITION: u32 = 0;

const START: u16 = 1024;
const LENGTH_MODELS: usize = 2 + 8 + 8 + 256;
const IS_MATCH: usize = 0;
const IS_AGAIN: usize = IS_MATCH + 12;
const IS_LATEST: usize = IS_AGAIN + 12;
const IS_SECOND: usize = IS_LATEST + 12;
const IS_THIRD: usize = IS_SECOND + 12;
const IS_LONG: usize = IS_THIRD + 12;
const SLOT: usize = IS_LONG + 12;
const SPECIAL: usize = SLOT + 4 * 64;
const ALIGNED: usize = SPECIAL + 128;
const LENGTH: usize = ALIGNED + 16;
const LENGTH_AGAIN: usize = LENGTH + LENGTH_MODELS;
const LITERAL: usize = LENGTH_AGAIN + LENGTH_MODELS;
const MODELS: usize = LITERAL + (0x300 << LITERAL_CONTEXT);

/// The range coder with the models of all its bits.
struct Coder<'a> {
    input: &'a [u8],
    at: usize,
    range: u32,
    code: u32,
    models: [u16; MODELS],
}

impl Coder<'_> {
    fn refill(&mut self) -> Option<()> {
        if self.range < 1 << 24 {
            self.range <<= 8;
            self.code = self.code << 8 | u32::from(*self.input.get(self.at)?);
            self.at += 1;
        }
        Some(())
    }

    fn bit(&mut self, model: usize) -> Option<usize> {
        let chance = self.models.get_mut(model)?;
        let bound = (self.range >> 11) * u32::from(*chance);
        let bit = if self.code < bound {
            self.range = bound;
            *chance += (2048 - *chance) >> 5;
            0
        } else {
            self.range -= bound;
            self.code -= bound;
            *chance -= *chance >> 5;
            1
        };
        self.refill()?;
        Some(bit)
    }

    fn tree(&mut self, models: usize, bits: u32) -> Option<usize> {
        let mut node = 1;
        for _ in 0..bits {
            node = node << 1 | self.bit(models + node)?;
        }
        Some(node - (1 << bits))
    }

    /// A tree whose first bit is the least.
    fn reverse(&mut self, models: usize, bits: u32) -> Option<usize> {
        let (mut node, mut value) = (1, 0);
        for place in 0..bits {
            let bit = self.bit(models + node)?;
            node = node << 1 | bit;
            value |= bit << place;
        }
        Some(value)
    }

    /// Bits without a model.
    fn direct(&mut self, bits: u32) -> Option<usize> {
        let mut value = 0;
        for _ in 0..bits {
            self.range >>= 1;
            let bit = u32::from(self.code >= self.range);
            self.code -= self.range * bit;
            value = value << 1 | bit as usize;
            self.refill()?;
        }
        Some(value)
    }

    fn length(&mut self, models: usize) -> Option<usize> {
        if self.bit(models)? == 0 {
            return Some(2 + self.tree(models + 2, 3)?);
        }
        if self.bit(models + 1)? == 0 {
            return Some(10 + self.tree(models + 10, 3)?);
        }
        Some(18 + self.tree(models + 18, 8)?)
    }

    fn distance(&mut self, length: usize) -> Option<usize> {
        let slot = self.tree(SLOT + (length - 2).min(3) * 64, 6)?;
        if slot < 4 {
            return Some(slot);
        }
        let bits = (slot as u32 >> 1) - 1;
        let base = (2 | slot & 1) << bits;
        if slot < 14 {
            return Some(base + self.reverse(SPECIAL + base - slot, bits)?);
        }
        let high = self.direct(bits - 4)?;
        Some(base + (high << 4) + self.reverse(ALIGNED, 4)?)
    }

    /// A byte; `expected` is the one at the latest distance where the last step was a copy.
    fn literal(&mut self, before: u8, expected: Option<u8>) -> Option<u8> {
        let models = LITERAL + 0x300 * (usize::from(before) >> (8 - LITERAL_CONTEXT));
        let mut node = 1;
        if let Some(expected) = expected {
            let mut rest = usize::from(expected);
            while node < 0x100 {
                let hope = rest >> 7 & 1;
                rest <<= 1;
                let bit = self.bit(models + (1 + hope) * 0x100 + node)?;
                node = node << 1 | bit;
                if bit != hope {
                    break;
                }
            }
        }
        while node < 0x100 {
            node = node << 1 | self.bit(models + node)?;
        }
        Some(node as u8)
    }
}

/// Fills `output` from a raw LZMA stream (no header) written with the bits above.
///
/// Returns whether the stream held that many bytes.
pub fn unpack(input: &[u8], output: &mut [u8]) -> bool {
    steps(input, output).is_some()
}

fn steps(input: &[u8], output: &mut [u8]) -> Option<()> {
    let [_, a, b, c, d, ..] = *input else { return None };
    let code = u32::from_be_bytes([a, b, c, d]);
    let coder = Coder { input, at: 5, range: u32::MAX, code, models: [START; MODELS] };
    let mut unpacking = Unpacking { coder, latest: [0; 4], state: 0, at: 0 };
    while unpacking.at < output.len() {
        let until = (unpacking.at + STRETCH).min(output.len());
        unpacking.go_on(output, until)?;
    }
    Some(())
}

/// Bytes between two calls of [`Unpacking::go_on`].
const STRETCH: usize = 1 << 13;

/// Where unpacking has come to.
struct Unpacking<'a> {
    coder: Coder<'a>,
    /// The four latest distances, less one, the last first.
    latest: [usize; 4],
    /// What the last steps were, as the format numbers it.
    state: usize,
    at: usize,
}

impl Unpacking<'_> {
    /// Fills the output at least until there. A function of its own that is called again and again: a browser changes
    /// to its better translation of a function where that is called, never amid a loop.
    #[inline(never)]
    fn go_on(&mut self, output: &mut [u8], until: usize) -> Option<()> {
        let (mut state, mut at) = (self.state, self.at);
        let (coder, latest) = (&mut self.coder, &mut self.latest);
        while at < until {
            if coder.bit(IS_MATCH + state)? == 0 {
                let before = at.checked_sub(1).and_then(|i| output.get(i)).copied().unwrap_or(0);
                let expected =
                    if state < 7 { None } else { Some(*output.get(at.checked_sub(latest[0] + 1)?)?) };
                *output.get_mut(at)? = coder.literal(before, expected)?;
                at += 1;
                state = match state {
                    0..4 => 0,
                    4..10 => state - 3,
                    _ => state - 6,
                };
                continue;
            }
            let again = coder.bit(IS_AGAIN + state)? == 1;
            let length = if again {
                let which = if coder.bit(IS_LATEST + state)? == 0 {
                    0
                } else if coder.bit(IS_SECOND + state)? == 0 {
                    1
                } else {
                    2 + coder.bit(IS_THIRD + state)?
                };
                if which == 0 && coder.bit(IS_LONG + state)? == 0 {
                    state = if state < 7 { 9 } else { 11 };
                    1
                } else {
                    latest.get_mut(..=which)?.rotate_right(1);
                    let length = coder.length(LENGTH_AGAIN)?;
                    state = if state < 7 { 8 } else { 11 };
                    length
                }
            } else {
                latest.rotate_right(1);
                let length = coder.length(LENGTH)?;
                latest[0] = coder.distance(length)?;
                state = if state < 7 { 7 } else { 10 };
                length
            };
            let from = at.checked_sub(latest[0].checked_add(1)?)?;
            let end = (at + length).min(output.len());
            for i in at..end {
                // A copy may reach into itself: that is how runs are written.
                *output.get_mut(i)? = *output.get(from + i - at)?;
            }
            at = end;
        }
        (self.state, self.at) = (state, at);
        Some(())
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use lzma_rust2::{LzmaOptions, LzmaWriter};
    use proptest::prelude::*;
    use std::io::Write;

    /// By the encoder that the build uses.
    fn packed(bytes: &[u8]) -> Vec<u8> {
        let options = LzmaOptions { lc: LITERAL_CONTEXT, lp: 0, pb: POSITION, ..LzmaOptions::with_preset(6) };
        let mut writer = LzmaWriter::new_no_header(Vec::new(), &options, false).unwrap();
        writer.write_all(bytes).unwrap();
        writer.finish().unwrap()
    }

    fn round(bytes: &[u8]) {
        let mut output = vec![0; bytes.len()];
        assert!(unpack(&packed(bytes), &mut output));
        assert!(output == bytes);
    }

    /// Far and near copies, runs, all bytes: this file and numbers made from it.
    #[test]
    fn what_the_encoder_wrote_comes_back() {
        let text = include_bytes!("lzma.rs");
        round(text);
        round(&[]);
        round(&[7; 100_000]);
        let mixed: Vec<u8> = (0..300_000u32)
            .map(|i| (i.wrapping_mul(i) >> 7) as u8 ^ text[i as usize % text.len()])
            .chain(text.iter().copied().cycle().take(200_000))
            .collect();
        round(&mixed);
    }

    proptest! {
        #[test]
        fn any_bytes_come_back(bytes in prop::collection::vec(prop::sample::select(vec![0u8, 1, 2, 250, 255]), 0..600)) {
            round(&bytes);
        }

        /// Neither panic nor endless loop, whatever comes in.
        #[test]
        fn noise_is_refused_or_gives_as_many_bytes(input in prop::collection::vec(any::<u8>(), 0..200), size in 0usize..5_000) {
            unpack(&input, &mut vec![0; size]);
        }
    }

    #[test]
    fn a_stream_cut_short_is_refused() {
        let whole = packed(include_bytes!("lzma.rs"));
        let mut output = vec![0; include_bytes!("lzma.rs").len()];
        assert!(!unpack(&whole[..whole.len() / 2], &mut output));
    }
}
