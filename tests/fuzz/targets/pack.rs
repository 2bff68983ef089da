//! A key's pack: the signed file, and its content as JSON.
#![no_main]

use dooryard_core::key::{Pack, Source, file::PackFile};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    if let Ok(file) = PackFile::from_bytes(bytes.to_vec()) {
        assert_eq!(file.bytes(), bytes);
        let _ = file.pack();
    }
    if let Ok(source) = serde_json::from_slice::<Source>(bytes) {
        let _ = Pack::from_source(source);
    }
});
