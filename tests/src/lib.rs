//! Helpers shared by the checks against the outside.
