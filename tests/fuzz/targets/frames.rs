//! What stands inside a bundle or reply: changes, segments, the manifest, snapshot rows. The first byte says which.
#![no_main]

use dooryard_core::{
    bundle::Manifest,
    ids::OfficeId,
    log::{Change, Segment},
    notebook::SnapshotRow,
};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let Some((which, bytes)) = bytes.split_first() else { return };
    match which % 4 {
        0 => {
            if let Ok(change) = Change::from_cbor(bytes) {
                assert_eq!(change.to_cbor(), bytes, "a second form of one change");
            }
        }
        1 => {
            if let Ok(segment) = Segment::from_cbor(bytes, &OfficeId([1; 16])) {
                assert_eq!(segment.to_cbor(), bytes, "a second form of one segment");
            }
        }
        2 => {
            if let Ok(manifest) = Manifest::from_cbor(bytes) {
                assert_eq!(manifest.to_cbor(), bytes, "a second form of one manifest");
            }
        }
        _ => {
            if let Ok(row) = SnapshotRow::from_cbor(bytes) {
                assert_eq!(row.to_cbor(), bytes, "a second form of one row");
            }
        }
    }
});
