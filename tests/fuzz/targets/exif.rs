//! A photo's metadata, and the copy without it.
#![no_main]

use dooryard_core::photo;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    if let Ok(facts) = photo::read(bytes) {
        if let Some(latitude) = facts.latitude {
            assert!((-90.0..=90.0).contains(&latitude), "{latitude}");
        }
    }
    if let Ok(stripped) = photo::strip(bytes) {
        let again = photo::read(&stripped).expect("a stripped photo can be read");
        assert!(again.latitude.is_none() && again.longitude.is_none(), "the place is still in it");
        assert!(again.altitude_m.is_none() && again.direction_deg.is_none(), "where it was taken is still in it");
        assert!(again.taken_local.is_none() && again.offset.is_none(), "the time is still in it");
    }
});
