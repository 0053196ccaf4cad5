//! No text makes the reader of pots files panic; what it accepts reads back as the same dishes when written.
#![no_main]

use libfuzzer_sys::fuzz_target;
use ovenfall_record::pots_file::{read_pots, write_pots};

fuzz_target!(|text: &str| {
    let Ok(pots) = read_pots("pots.toml", text) else { return };
    let Ok(again) = read_pots("pots.toml", &write_pots(&pots)) else { panic!("what was written is refused") };
    assert!(pots.wood == again.wood, "the wood is written differently");
    assert!(pots.dishes.iter().map(|dish| &dish.sheet).eq(again.dishes.iter().map(|dish| &dish.sheet)));
});
