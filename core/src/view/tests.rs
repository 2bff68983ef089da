//! Tests of the screens.
