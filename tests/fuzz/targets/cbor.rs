//! The strict walk over CBOR, and values: what is accepted has one form only.
#![no_main]

use dooryard_core::{cbor, record::Value};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    if let Ok(length) = cbor::item_len(bytes) {
        assert!(length <= bytes.len());
        assert!(cbor::check(&bytes[..length]).is_ok());
    }
    if let Ok(value) = Value::from_cbor(bytes) {
        assert_eq!(value.to_cbor(), bytes, "a second form of one value");
    }
});
