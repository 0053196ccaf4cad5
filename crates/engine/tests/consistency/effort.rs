//! Solver effort on the sample day, pinned with room to spare: a silent loss of efficiency fails here.

use crate::sample;
use ovenfall_engine::parameters::Parameters;
use ovenfall_engine::simulate::{Options, simulate};

#[test]
fn steps_of_the_sample_day() {
    let h =
        simulate(&sample::oven(), &[Parameters::default(); 4], &sample::day(), &Options::every(0.0, 86_400.0, 600.0))
            .unwrap();
    println!("{:?}", h.effort);
    assert!(h.effort.steps < 560, "{:?}", h.effort);
    assert!(h.effort.rejected < h.effort.steps / 5, "{:?}", h.effort);
    assert_eq!(h.effort.restarts, 20, "{:?}", h.effort);
}
