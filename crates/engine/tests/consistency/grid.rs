//! Observed order of convergence in space, one layer against two halves, production grid against a fine one.

use crate::sample;
use ovenfall_engine::drive::{Action, Door, Drive};
use ovenfall_engine::parameters::Parameters;
use ovenfall_engine::simulate::{Options, simulate};

/// Fired, raked out, shut and left: all columns take part, no kinks after shutting.
fn fired_and_shut() -> Drive {
    Drive {
        events: vec![
            sample::at(0.0, sample::wood(4.0)),
            sample::at(40.0, sample::wood(4.0)),
            sample::at(100.0, Action::RakeOut),
            sample::at(110.0, Action::Door(Door::Shut)),
        ],
        end_s: 8.0 * 3600.0,
        ..Drive::default()
    }
}

fn crown_at(refine: usize, oven: &ovenfall_engine::description::OvenDescription) -> Vec<f64> {
    let options = Options { refine, tolerance_k: 1e-4, ..Options::every(7200.0, 28_800.0, 1800.0) };
    let h = simulate(oven, &[Parameters::default()], &fired_and_shut(), &options).unwrap();
    h.crown_c.iter().chain(&h.floor_c).map(|t| t.0[0]).collect()
}

fn worst(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
}

#[test]
fn second_order_in_space() {
    let oven = sample::oven();
    let runs: Vec<Vec<f64>> = [1, 2, 4].map(|r| crown_at(r, &oven)).to_vec();
    let (coarse, fine) = (worst(&runs[0], &runs[1]), worst(&runs[1], &runs[2]));
    let order = (coarse / fine).log2();
    println!("grid differences {coarse:.4} K, {fine:.4} K, order {order:.2}");
    assert!((1.7..2.4).contains(&order), "{order}");
    // Richardson: what is left on the production grid.
    assert!(coarse * 4.0 / 3.0 < 0.3, "{coarse}");
}

#[test]
fn one_layer_is_two_half_layers() {
    let whole = sample::oven();
    let mut halves = whole.clone();
    let brick = halves.dome[0].clone();
    let half = sample::layer(brick.material.clone(), 0.5 * brick.thickness_m.value);
    halves.dome.splice(0..1, [half.clone(), half]);
    let difference = worst(&crown_at(4, &whole), &crown_at(4, &halves));
    println!("one layer against two halves: {difference:.4} K");
    assert!(difference < 0.05, "{difference}");
}
