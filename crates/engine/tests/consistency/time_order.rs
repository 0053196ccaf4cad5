//! Observed order of convergence in time, on a smooth phase with fire, and the error of the production tolerance.

use crate::sample;
use ovenfall_engine::drive::{Action, Drive};
use ovenfall_engine::parameters::Parameters;
use ovenfall_engine::simulate::{Options, simulate};

fn one_feed() -> Drive {
    // The second event only cuts the run, so that the start can be taken in small steps.
    let cut = sample::at(20.0, Action::Ambient(14.0));
    Drive { events: vec![sample::at(0.0, sample::wood(2.0)), cut], end_s: 7200.0, ..Drive::default() }
}

/// Probe, floor, crown and gas at ten times, °C.
fn temperatures(steps: usize) -> Vec<f64> {
    let start = std::iter::repeat_n(2.0, 600);
    let replay = start.chain(std::iter::repeat_n(6000.0 / steps as f64, steps)).collect();
    let options = Options { replay_steps_s: Some(replay), ..Options::every(1200.0 + 750.0, 7200.0, 750.0) };
    let h = simulate(&sample::oven(), &[Parameters::default()], &one_feed(), &options).unwrap();
    let all = h.probe_c.iter().chain(&h.floor_c).chain(&h.crown_c).chain(&h.gas_c);
    all.map(|t| t.0[0]).collect()
}

#[test]
fn order_above_three_in_time() {
    let exact = temperatures(4096);
    let rms = |steps: usize| {
        let squares: Vec<f64> = temperatures(steps).iter().zip(&exact).map(|(a, b)| (a - b) * (a - b)).collect();
        (squares.iter().sum::<f64>() / squares.len() as f64).sqrt()
    };
    let errors = [16, 32, 64, 128, 256].map(rms);
    let orders: Vec<f64> = errors.windows(2).map(|e| (e[0] / e[1]).log2()).collect();
    println!("errors {errors:?} K, orders {orders:.2?}");
    // Order 4 for smooth problems; at least 3 where a boundary condition is not linear.
    assert!((errors[0] / errors[4]).log2() / 4.0 > 3.0, "{orders:?} from {errors:?}");
}

#[test]
fn production_tolerance_stays_under_a_tenth_of_a_kelvin_over_a_day() {
    let options = |tolerance_k| Options { tolerance_k, ..Options::every(0.0, 86_400.0, 600.0) };
    let run = |tolerance_k| {
        simulate(&sample::oven(), &[Parameters::default()], &sample::day(), &options(tolerance_k)).unwrap()
    };
    let (production, fine) = (run(Options::default().tolerance_k), run(5e-5));
    let worst = production
        .probe_c
        .iter()
        .zip(&fine.probe_c)
        .chain(production.crown_c.iter().zip(&fine.crown_c))
        .chain(production.floor_c.iter().zip(&fine.floor_c))
        .map(|(a, b)| (a.0[0] - b.0[0]).abs())
        .fold(0.0, f64::max);
    println!("largest difference {worst:.4} K in {} steps against {}", production.effort.steps, fine.effort.steps);
    assert!(worst < 0.1, "{worst}");
}
