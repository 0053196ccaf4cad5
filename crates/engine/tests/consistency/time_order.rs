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

fn end_temperatures(steps: Option<Vec<f64>>, tolerance_k: f64) -> [f64; 4] {
    let options = Options { output_times_s: vec![7200.0], replay_steps_s: steps, tolerance_k, ..Options::default() };
    let h = simulate(&sample::oven(), &[Parameters::default()], &one_feed(), &options).unwrap();
    [h.probe_c[0].0[0], h.floor_c[0].0[0], h.crown_c[0].0[0], h.gas_c[0].0[0]]
}

fn even_steps(n: usize) -> Option<Vec<f64>> {
    let start = std::iter::repeat_n(2.0, 600);
    Some(start.chain(std::iter::repeat_n(6000.0 / n as f64, n)).collect())
}

fn worst(a: [f64; 4], b: [f64; 4]) -> f64 {
    a.iter().zip(b).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
}

#[test]
fn order_above_three_in_time() {
    let exact = end_temperatures(even_steps(4096), 0.05);
    let errors: Vec<f64> = [32, 64, 128, 256].map(|n| worst(end_temperatures(even_steps(n), 0.05), exact)).to_vec();
    let mean_order = (errors[0] / errors[3]).log2() / 3.0;
    println!("errors {errors:?} K, mean order {mean_order:.2}");
    // Order 4 for smooth problems, at least 3 where a boundary condition is not linear.
    assert!(mean_order > 3.2, "{mean_order} from {errors:?}");
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
