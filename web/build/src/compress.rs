//! Gzip by the slow encoder that makes the smallest: the program is kept compressed inside the page, since
//! base64 of plain bytes compresses badly on the way.

use crate::error::BuildError;
use zopfli::{Format, Options, compress};

/// The bytes, compressed; the same input gives the same output.
///
/// # Errors
/// [`BuildError::Compress`] where the encoder gives up.
pub fn gzip(bytes: &[u8]) -> Result<Vec<u8>, BuildError> {
    let mut compressed = Vec::new();
    compress(Options::default(), Format::Gzip, bytes, &mut compressed).map_err(BuildError::Compress)?;
    Ok(compressed)
}
