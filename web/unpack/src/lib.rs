//! Unpacks the program that the page carries: as base64, an LZMA stream of the wasm taken apart.
//!
//! A wasm of some ten kilobytes that the page's script runs before anything else. It knows nothing of the page,
//! allocates nothing and refuses whatever the build has not written. These are its doors.

mod base64;
mod lzma;
pub mod streams;

pub use base64::decode;
pub use lzma::{LITERAL_CONTEXT, POSITION, unpack};

/// The door for the page's script: reads the base64 of `length` bytes at `text`; gives how many bytes it stood for.
///
/// # Safety
/// The range lies in this program's memory and is used by nothing else meanwhile.
#[unsafe(no_mangle)]
#[allow(unsafe_code)]
pub unsafe extern "C" fn leanyear_decode(text: *mut u8, length: usize) -> usize {
    // SAFETY: the caller's promise above.
    decode(unsafe { std::slice::from_raw_parts_mut(text, length) })
}

/// The door for the page's script: unpacks `input_length` bytes at `input` into `output_length` at `output`,
/// both in memory that the script has grown for them; 1 where all is well.
///
/// # Safety
/// Both ranges lie in this program's memory, do not overlap and are used by nothing else meanwhile.
#[unsafe(no_mangle)]
#[allow(unsafe_code)]
pub unsafe extern "C" fn leanyear_unpack(
    input: *const u8,
    input_length: usize,
    output: *mut u8,
    output_length: usize,
) -> u32 {
    // SAFETY: the caller's promise above.
    let (input, output) = unsafe {
        (
            std::slice::from_raw_parts(input, input_length),
            std::slice::from_raw_parts_mut(output, output_length),
        )
    };
    u32::from(unpack(input, output))
}

/// The door for the page's script: puts the program of `apart_length` bytes at `apart` together into
/// `output_length` at `output`, both in memory that the script has grown for them; 1 where all is well.
///
/// # Safety
/// Both ranges lie in this program's memory, do not overlap and are used by nothing else meanwhile.
#[unsafe(no_mangle)]
#[allow(unsafe_code)]
pub unsafe extern "C" fn leanyear_join(
    apart: *const u8,
    apart_length: usize,
    output: *mut u8,
    output_length: usize,
) -> u32 {
    // SAFETY: the caller's promise above.
    let (apart, output) = unsafe {
        (
            std::slice::from_raw_parts(apart, apart_length),
            std::slice::from_raw_parts_mut(output, output_length),
        )
    };
    u32::from(streams::join(apart, output))
}
