//! The settings of a page, and their form as a link.
//!
//! [`Settings`] is everything a reader chose; the codec beside it turns settings into the text after
//! `#` and back. A link is hostile until decoded. Nothing here knows a network's numbers, only its codes.

pub mod codec;
pub mod settings;

pub use codec::{Codes, Decoded, LinkDefaults, LinkNotice, decode, encode};
pub use settings::{Order, Pressures, Settings, Spray, View, WaterOutlook};
