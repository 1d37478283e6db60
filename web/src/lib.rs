//! The page of Leanyear: one state, messages, pure views.
