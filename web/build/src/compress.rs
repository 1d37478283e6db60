//! The program compressed as `leanyear-unpack` reads it: it is kept so inside the page, since base64 of plain
//! bytes compresses badly on the way.

use crate::apart::apart;
use crate::error::BuildError;
use leanyear_unpack::streams::join;
use leanyear_unpack::{LITERAL_CONTEXT, POSITION};
use lzma_rust2::{EncodeMode, LzmaOptions, LzmaWriter, MfType};
use std::io::Write;

/// The longest match that the format knows: the smallest result, slowly.
const LONGEST_MATCH: u32 = 273;

/// A program as the page carries it.
#[derive(Debug)]
pub struct Packed {
    /// The program taken apart, as a raw LZMA stream.
    pub stream: Vec<u8>,
    /// How many bytes it is before it is put together.
    pub apart: usize,
}

/// Packs a program; the same gives the same.
///
/// # Errors
/// [`BuildError::TakeApart`] where it would not come back as it is, [`BuildError::Compress`] where the encoder gives
/// up.
pub fn pack(program: &[u8]) -> Result<Packed, BuildError> {
    let comes_back = |apart: &Vec<u8>| {
        let mut again = vec![0; program.len()];
        join(apart, &mut again) && again == program
    };
    let apart = apart(program).filter(comes_back).ok_or(BuildError::TakeApart)?;
    Ok(Packed { stream: lzma(&apart)?, apart: apart.len() })
}

fn lzma(bytes: &[u8]) -> Result<Vec<u8>, BuildError> {
    let options = LzmaOptions {
        dict_size: (bytes.len() as u32).next_power_of_two().max(1 << 12),
        lc: LITERAL_CONTEXT,
        lp: 0,
        pb: POSITION,
        mode: EncodeMode::Normal,
        nice_len: LONGEST_MATCH,
        mf: MfType::Bt4,
        depth_limit: 512,
        ..LzmaOptions::with_preset(9)
    };
    let mut writer = LzmaWriter::new_no_header(Vec::new(), &options, false).map_err(BuildError::Compress)?;
    writer.write_all(bytes).map_err(BuildError::Compress)?;
    writer.finish().map_err(BuildError::Compress)
}
