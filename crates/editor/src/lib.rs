//! The window: floor, slate, gestures, theme.
