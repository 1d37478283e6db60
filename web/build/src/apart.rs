//! Takes the compiled program apart as `leanyear-unpack` puts it together. It knows where a module has its functions,
//! and no instruction.

use leanyear_unpack::streams::{KINDS, Kind, Tape, function, number};

/// Bytes of a module before its first section: the magic word and the version.
const PREAMBLE: usize = 8;
/// The section that holds the functions.
const CODE: u8 = 10;

/// The module as streams of like bytes; nothing where it is none, or has an instruction that the unpacker does not
/// know.
///
/// Structure: WebAssembly Core Specification 2.0 (W3C), section 5.5.
pub fn apart(module: &[u8]) -> Option<Vec<u8>> {
    let mut tape = Splitting { input: module.get(PREAMBLE..)?, streams: Default::default() };
    let functions = loop {
        let section = tape.step(Kind::Rest, 0)?;
        let length = number(&mut tape, Kind::Rest)? as usize;
        if section == CODE {
            break number(&mut tape, Kind::Rest)?;
        }
        tape.input = tape.input.get(length..)?;
    };
    let before = &module[..module.len() - tape.input.len()];
    tape.streams = Default::default();
    for _ in 0..functions {
        skip_number(&mut tape.input)?;
        function(&mut tape)?;
    }
    let streams = [before, tape.input].into_iter().chain(tape.streams.iter().map(Vec::as_slice));
    let lengths = streams.clone().map(|stream| (stream.len() as u32).to_le_bytes()).collect::<Vec<_>>();
    Some(lengths.iter().map(<[u8; 4]>::as_slice).chain(streams).collect::<Vec<_>>().concat())
}

fn skip_number(input: &mut &[u8]) -> Option<()> {
    let length = input.iter().position(|byte| *byte < 0x80)? + 1;
    *input = &input[length..];
    Some(())
}

struct Splitting<'a> {
    input: &'a [u8],
    streams: [Vec<u8>; KINDS],
}

impl Tape for Splitting<'_> {
    fn step(&mut self, kind: Kind, expected: u8) -> Option<u8> {
        let (byte, rest) = self.input.split_first()?;
        self.input = rest;
        self.streams[kind as usize].push(byte ^ expected);
        Some(*byte)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use leanyear_unpack::streams::join;
    use proptest::prelude::*;

    /// One of every shape of instruction (WebAssembly Core Specification 2.0, section 5.4, from memory).
    const INSTRUCTIONS: [&[u8]; 24] = [
        &[0x01],
        &[0x6a],
        &[0xd1],
        &[0x20, 0x83, 0x01],
        &[0x22, 0x00],
        &[0x41, 0xff, 0xff, 0x3f],
        &[0x42, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x7f],
        &[0x43, 0x00, 0x0b, 0x00, 0x3f],
        &[0x44, 0x0b, 0x0b, 0x0b, 0x0b, 0x0b, 0x0b, 0x0b, 0x0b],
        &[0x28, 0x02, 0x10],
        &[0x37, 0x00, 0xff, 0x01],
        &[0x2d, 0x00, 0x00],
        &[0x10, 0xb4, 0x2e],
        &[0x11, 0x05, 0x00],
        &[0x0d, 0x01],
        &[0x0e, 0x02, 0x00, 0x01, 0x0b],
        &[0x1c, 0x01, 0x7f],
        &[0x23, 0x00],
        &[0x3f, 0x00],
        &[0xd0, 0x6f],
        &[0xfc, 0x02],
        &[0xfc, 0x0a, 0x00, 0x00],
        &[0xfc, 0x0b, 0x00],
        &[0xfc, 0x0f, 0x01],
    ];

    /// A module whose functions have these instructions, each within a block of its own where that is asked for.
    fn module(functions: &[Vec<(usize, bool)>]) -> Vec<u8> {
        let bodies = functions.iter().flat_map(|picks| {
            let mut body = vec![0x02, 0x83, 0x01, 0x7f, 0x01, 0x7c];
            for (pick, block) in picks {
                let inner = INSTRUCTIONS[pick % INSTRUCTIONS.len()];
                body.extend(if *block { [&[0x02, 0x40], inner, &[0x0b]].concat() } else { inner.to_vec() });
            }
            body.push(0x0b);
            [written(body.len()), body].concat()
        });
        let code: Vec<u8> = written(functions.len()).into_iter().chain(bodies).collect();
        [b"\0asm\x01\0\0\0\x01\x04\x01\x60\0\0\x0a", &written(code.len())[..], &code, b"\x00\x05\x04name"]
            .concat()
    }

    /// A length as wasm writes it.
    fn written(length: usize) -> Vec<u8> {
        let mut digits: Vec<u8> =
            std::iter::successors(Some(length), |left| Some(left >> 7).filter(|left| *left > 0))
                .map(|left| left as u8 & 0x7f | 0x80)
                .collect();
        if let Some(last) = digits.last_mut() {
            *last &= 0x7f;
        }
        digits
    }

    proptest! {
        #[test]
        fn what_is_taken_apart_is_put_together(
            functions in prop::collection::vec(prop::collection::vec((any::<usize>(), any::<bool>()), 0..90), 0..9),
        ) {
            let module = module(&functions);
            let apart = apart(&module).unwrap();
            let mut again = vec![0; module.len()];
            prop_assert!(join(&apart, &mut again));
            prop_assert_eq!(&again, &module);
            prop_assert!(!join(&apart, &mut vec![0; module.len() + 1]));
            prop_assert!(!join(&apart, &mut vec![0; module.len() - 1]));
            prop_assert!(!join(&apart[..apart.len() - 1], &mut again));
        }

        /// Neither panic nor endless loop, whatever comes in.
        #[test]
        fn noise_is_refused(bytes in prop::collection::vec(any::<u8>(), 0..400), size in 0usize..500) {
            apart(&[b"\0asm\x01\0\0\0\x0a", &bytes[..]].concat());
            join(&bytes, &mut vec![0; size]);
        }
    }

    #[test]
    fn an_instruction_that_is_not_known_is_refused() {
        let mut vector = module(&[vec![(0, false)]]);
        assert!(apart(&vector).is_some());
        let at = vector.iter().rposition(|byte| *byte == 0x01).unwrap();
        vector[at] = 0xfd;
        assert_eq!(apart(&vector), None);
        assert_eq!(apart(b"\0asm"), None);
    }
}
