//! Gzip at its best level: the program is kept compressed inside the page, since base64 of plain bytes
//! compresses badly on the way.

use crate::error::BuildError;
use flate2::{Compression, GzBuilder};
use std::io::Write;

/// The bytes, compressed; the same input gives the same output.
///
/// # Errors
/// [`BuildError::Compress`] where the encoder gives up.
pub fn gzip(bytes: &[u8]) -> Result<Vec<u8>, BuildError> {
    let mut encoder = GzBuilder::new().mtime(0).write(Vec::new(), Compression::best());
    encoder.write_all(bytes).and_then(|()| encoder.finish()).map_err(BuildError::Compress)
}
