//! A wasm program taken apart into streams of like bytes, and put together again: what stands side by side in a
//! program has little in common, and packs a fifteenth smaller apart.
//!
//! Structure of modules and instructions: WebAssembly Core Specification 2.0 (W3C), sections 5.4 and 5.5, from
//! memory; the build refuses a program that does not come back byte for byte. One walk serves both ways, so that
//! neither can know an instruction that the other does not.

/// What a byte of a function is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// What is done.
    Operation,
    /// Which local variable.
    Local,
    /// A whole number of 32 bits.
    Number,
    /// Where in memory, from an address.
    Offset,
    /// How an address is aligned, as the difference from what is natural.
    Alignment,
    /// Which function is called.
    Call,
    /// How far out a branch leads.
    Branch,
    /// Where a branch by number leads.
    Table,
    /// The types of local variables, and how many.
    Variables,
    /// What a block gives.
    Block,
    /// A whole number of 64 bits.
    Wide,
    /// A number with a point.
    Point,
    /// All else.
    Rest,
}

/// Streams of functions.
pub const KINDS: usize = 13;
/// All streams: those, and what lies before the first function and after the last.
pub const STREAMS: usize = KINDS + 2;
/// Bytes of a stream's length at the head of what was taken apart, least significant first.
pub const LENGTH: usize = 4;

/// Where the bytes of a function are moved from one form to the other.
pub trait Tape {
    /// Moves a byte, which in its stream stands as the difference (exclusive or) from `expected`; gives it as it is in
    /// the program.
    fn step(&mut self, kind: Kind, expected: u8) -> Option<u8>;
}

/// Moves a number of the variable length that wasm writes (LEB128); gives its low 32 bits.
pub fn number(tape: &mut impl Tape, kind: Kind) -> Option<u32> {
    let (mut value, mut shift) = (0u32, 0u32);
    loop {
        let byte = tape.step(kind, 0)?;
        value |= u32::from(byte & 0x7f).checked_shl(shift).unwrap_or(0);
        shift += 7;
        if byte < 0x80 {
            return Some(value);
        }
    }
}

/// Moves one function: its local variables and its instructions up to the end of it. Nothing where an instruction is
/// not known here.
pub fn function(tape: &mut impl Tape) -> Option<()> {
    for _ in 0..number(tape, Kind::Variables)? {
        number(tape, Kind::Variables)?;
        tape.step(Kind::Variables, 0)?;
    }
    let mut depth = 1;
    while depth > 0 {
        let operation = tape.step(Kind::Operation, 0)?;
        match operation {
            // block, loop, if; end
            0x02..=0x04 => depth += 1,
            0x0b => depth -= 1,
            _ => {}
        }
        operands(tape, operation)?;
    }
    Some(())
}

fn operands(tape: &mut impl Tape, operation: u8) -> Option<()> {
    match operation {
        // unreachable, nop, else, end, return, drop, select, comparisons and arithmetic, ref.is_null
        0x00 | 0x01 | 0x05 | 0x0b | 0x0f | 0x1a | 0x1b | 0x45..=0xc4 | 0xd1 => Some(()),
        // local.get, local.set, local.tee
        0x20..=0x22 => numbers(tape, Kind::Local, 1),
        // i32.const
        0x41 => numbers(tape, Kind::Number, 1),
        // loads and stores
        0x28..=0x3e => {
            tape.step(Kind::Alignment, natural_alignment(operation))?;
            numbers(tape, Kind::Offset, 1)
        }
        // call
        0x10 => numbers(tape, Kind::Call, 1),
        // br, br_if
        0x0c | 0x0d => numbers(tape, Kind::Branch, 1),
        // block, loop, if
        0x02..=0x04 => numbers(tape, Kind::Block, 1),
        // i64.const
        0x42 => numbers(tape, Kind::Wide, 1),
        // globals, tables, memory.size, memory.grow, ref.null, ref.func
        0x23..=0x26 | 0x3f | 0x40 | 0xd0 | 0xd2 => numbers(tape, Kind::Rest, 1),
        // call_indirect
        0x11 => numbers(tape, Kind::Rest, 2),
        // br_table: labels, and the one for all else
        0x0e => {
            let labels = number(tape, Kind::Table)?;
            numbers(tape, Kind::Table, labels)?;
            numbers(tape, Kind::Table, 1)
        }
        // f32.const, f64.const, select with types
        0x43 => bytes(tape, Kind::Point, 4),
        0x44 => bytes(tape, Kind::Point, 8),
        0x1c => {
            let types = number(tape, Kind::Rest)?;
            bytes(tape, Kind::Rest, types)
        }
        0xfc => match number(tape, Kind::Operation)? {
            // saturating truncation
            0..=7 => Some(()),
            // memory.init, memory.copy, table.init, table.copy
            8 | 10 | 12 | 14 => numbers(tape, Kind::Rest, 2),
            // data.drop, memory.fill, elem.drop, table.grow, table.size, table.fill
            9 | 11 | 13 | 15..=17 => numbers(tape, Kind::Rest, 1),
            _ => None,
        },
        _ => None,
    }
}

/// Logarithm to base 2 of the bytes that a load or store moves.
fn natural_alignment(operation: u8) -> u8 {
    match operation {
        0x2c | 0x2d | 0x30 | 0x31 | 0x3a | 0x3c => 0,
        0x2e | 0x2f | 0x32 | 0x33 | 0x3b | 0x3d => 1,
        0x29 | 0x2b | 0x37 | 0x39 => 3,
        _ => 2,
    }
}

fn numbers(tape: &mut impl Tape, kind: Kind, count: u32) -> Option<()> {
    (0..count).try_for_each(|_| number(tape, kind).map(|_| ()))
}

fn bytes(tape: &mut impl Tape, kind: Kind, count: u32) -> Option<()> {
    (0..count).try_for_each(|_| tape.step(kind, 0).map(|_| ()))
}

/// Puts together what was taken apart: at the head the length of each stream, then the streams, the two around the
/// functions first. The length of a function is not among them; it is known when the function stands there.
///
/// Returns whether it gives that many bytes.
pub fn join(apart: &[u8], output: &mut [u8]) -> bool {
    joined(apart, output).is_some_and(|left| left == 0)
}

/// How many bytes of the output are left. No index and no copy that could panic: what tells of a panic is three times
/// the size of all this.
fn joined(apart: &[u8], output: &mut [u8]) -> Option<usize> {
    let (heads, mut rest) = apart.split_at_checked(STREAMS * LENGTH)?;
    let mut streams = [&[][..]; STREAMS];
    for (stream, head) in streams.iter_mut().zip(heads.chunks_exact(LENGTH)) {
        let length = head.iter().rev().fold(0, |length, byte| length << 8 | usize::from(*byte));
        (*stream, rest) = rest.split_at_checked(length)?;
    }
    let [before, after, functions @ ..] = streams;
    let mut tape = Joining { streams: functions, output, at: 0 };
    tape.copy(before)?;
    while tape.streams.first().is_some_and(|operations| !operations.is_empty()) {
        tape.function()?;
    }
    tape.copy(after)?;
    tape.output.len().checked_sub(tape.at)
}

struct Joining<'a> {
    streams: [&'a [u8]; KINDS],
    output: &'a mut [u8],
    at: usize,
}

impl Joining<'_> {
    fn copy(&mut self, bytes: &[u8]) -> Option<()> {
        bytes.iter().try_for_each(|byte| self.put(*byte))
    }

    fn put(&mut self, byte: u8) -> Option<()> {
        *self.output.get_mut(self.at)? = byte;
        self.at += 1;
        Some(())
    }

    /// One function with its length in front. A function of its own that is called again and again: a browser changes
    /// to its better translation of a function where that is called, never amid a loop.
    #[inline(never)]
    fn function(&mut self) -> Option<()> {
        let start = self.at;
        function(self)?;
        let (end, length) = (self.at, self.at - start);
        let digits = (length | 1).ilog2() as usize / 7 + 1;
        for place in (start..end).rev() {
            *self.output.get_mut(place + digits)? = *self.output.get(place)?;
        }
        self.at = start;
        for place in 0..digits {
            let more = if place + 1 < digits { 0x80 } else { 0 };
            self.put((length >> (7 * place)) as u8 & 0x7f | more)?;
        }
        self.at = end + digits;
        Some(())
    }
}

impl Tape for Joining<'_> {
    fn step(&mut self, kind: Kind, expected: u8) -> Option<u8> {
        let stream = self.streams.get_mut(kind as usize)?;
        let (byte, rest) = stream.split_first()?;
        *stream = rest;
        let byte = byte ^ expected;
        self.put(byte)?;
        Some(byte)
    }
}
