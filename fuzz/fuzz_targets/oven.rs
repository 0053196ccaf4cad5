//! No text makes the reader of oven files panic; what it accepts reads back as the same oven when written.
#![no_main]

use libfuzzer_sys::fuzz_target;
use ovenfall_record::oven_file::{read_oven, write_oven};

fuzz_target!(|text: &str| {
    if let Ok(oven) = read_oven("oven.toml", text) {
        let again = read_oven("oven.toml", &write_oven(&oven));
        assert!(again.is_ok_and(|again| again.sheet == oven.sheet), "written differently than read");
    }
});
