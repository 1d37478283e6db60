//! The settings of a page, and their form as a link.
//!
//! [`Settings`] is everything a reader chose; the codec beside it turns settings into the text after
//! `#` and back. A link is hostile until decoded. Nothing here knows a network's numbers, only its codes and
//! what its page opens with.

mod decode;
mod defaults;
mod encode;
mod in_unit;
pub mod keys;
mod normalised;
mod notice;
mod percent;
mod record;
pub mod settings;
mod words;

pub use decode::{Decoded, decode};
pub use defaults::{Codes, LinkDefaults};
pub use encode::encode;
pub(crate) use keys::is_fingerprint;
pub use keys::is_key;
pub use notice::LinkNotice;
pub use record::held_to_record;
pub use settings::{DockStep, Order, Pressures, Settings, Spray, View, WaterOutlook};
pub use words::currency_sign;

#[cfg(test)]
mod tests;
