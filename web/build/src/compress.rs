//! The program compressed as `leanyear-unpack` reads it: it is kept so inside the page, since base64 of plain
//! bytes compresses badly on the way.

use crate::error::BuildError;
use leanyear_unpack::{LITERAL_CONTEXT, POSITION};
use lzma_rust2::{EncodeMode, LzmaOptions, LzmaWriter, MfType};
use std::io::Write;

/// The longest match that the format knows: the smallest result, slowly.
const LONGEST_MATCH: u32 = 273;

/// The bytes as a raw LZMA stream; the same input gives the same output.
///
/// # Errors
/// [`BuildError::Compress`] where the encoder gives up.
pub fn pack(bytes: &[u8]) -> Result<Vec<u8>, BuildError> {
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
