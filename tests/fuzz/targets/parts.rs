//! The outer frame of a bundle: header, parts, end.
#![no_main]

use std::path::PathBuf;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let file = PathBuf::from(format!("{}/dooryard-parts-{}", std::env::temp_dir().display(), std::process::id()));
    std::fs::write(&file, bytes).expect("a temporary file");
    if let Ok(look) = dooryard_core::bundle::look_inside(&file) {
        let parts: u64 = look.parts.iter().map(|p| p.bytes).sum();
        assert!(parts <= bytes.len() as u64, "more bytes in the parts than in the file");
    }
});
