//! Tests of one inquiry.
