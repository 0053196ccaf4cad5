//! The engine beside general stiff solvers on the same day, at equal error, in one run.
//!
//! Every contestant solves the same 24 h with the same output every five minutes, on one thread. Each is run over a
//! ladder of tolerances; its error is the largest over the whole trajectory against a reference far tighter. Compared is
//! the cheapest rung that keeps the error asked for. All contestants take turns, and ratios are medians of ratios taken
//! turn by turn, so that a machine that speeds up or slows down does not favour any.

#[path = "../../crates/engine/tests/consistency/sample.rs"]
#[allow(dead_code, missing_docs)]
mod sample;

use ovenfall_engine::parameters::Parameters;
use ovenfall_engine::simulate::{Options, simulate};
use ovenfall_oracle::{Course, bdf, run_day};
use std::time::Instant;

const TURNS: usize = 15;
/// Errors asked for, K.
const TARGETS_K: [f64; 3] = [0.05, 0.02, 0.01];
/// Rungs: each tolerance is this share of the one above.
const RUNG: f64 = 0.707;

/// A solver of the day at a tolerance, K.
struct Contestant {
    name: &'static str,
    /// Members solved at once.
    members: f64,
    loosest_k: f64,
    rungs: i32,
    /// One course for each member.
    solve: fn(f64) -> Vec<Course>,
}

fn times_s() -> Vec<f64> {
    Options::every(0.0, 86_400.0, 300.0).output_times_s
}

fn members() -> [Parameters; 4] {
    // The first is the description, which is also run alone.
    [1.0, 0.95, 1.05, 1.1].map(|f| Parameters { dome_conductivity: f, wood_energy: 2.0 - f, ..Parameters::default() })
}

fn engine<const L: usize>(members: &[Parameters; L], tolerance_k: f64) -> Vec<Course> {
    let options = Options { tolerance_k, ..Options::every(0.0, 86_400.0, 300.0) };
    let history = simulate(&sample::oven(), members, &sample::day(), &options).expect("a day the engine can run");
    let lanes = (0..L).map(|lane| {
        let mut course = Course::of_history(&history, lane);
        course.count.steps = history.effort.steps;
        course.count.factorisations = history.effort.factorisations;
        course.count.jacobians = history.effort.factorisations;
        course.count.evaluations = history.effort.evaluations;
        course
    });
    lanes.collect()
}

fn by_bdf(member: &Parameters, tolerance_k: f64) -> Course {
    let run = run_day(&sample::oven(), member, &sample::day(), &times_s(), |system, span, report| {
        bdf::integrate(system, span, report, tolerance_k)
    });
    run.expect("a day the solver can run")
}

#[cfg(feature = "cvode")]
fn by_cvode(tolerance_k: f64) -> Vec<Course> {
    let run = run_day(&sample::oven(), &Parameters::default(), &sample::day(), &times_s(), |system, span, report| {
        ovenfall_oracle::cvode::integrate(system, span, report, tolerance_k)
    });
    vec![run.expect("a day the solver can run")]
}

fn contestants() -> Vec<Contestant> {
    let peer =
        |name, solve: fn(f64) -> Vec<Course>| Contestant { name, members: 1.0, loosest_k: 2e-2, rungs: 24, solve };
    vec![
        Contestant {
            name: "engine, pack of four",
            members: 4.0,
            loosest_k: 0.4,
            rungs: 30,
            solve: |k| engine(&members(), k),
        },
        Contestant {
            name: "engine, one member",
            members: 1.0,
            loosest_k: 0.4,
            rungs: 30,
            solve: |k| engine(&[Parameters::default()], k),
        },
        peer("backward differentiation (diffsol), faer sparse LU", |k| vec![by_bdf(&Parameters::default(), k)]),
        #[cfg(feature = "cvode")]
        peer("CVODE, KLU", by_cvode),
    ]
}

/// Largest error over the trajectory and over all members, K; the gas counts or not. The references are those of the pack's
/// members, the description first, which is also the one that is run alone.
fn error_k(courses: &[Course], references: &[Course], with_gas: bool) -> f64 {
    let strip = |course: &Course| {
        let mut course = course.clone();
        for v in &mut course.visible {
            v.temperatures_c.retain(|(name, _)| with_gas || name != "gas");
        }
        course
    };
    let each = courses.iter().zip(references).map(|(c, r)| strip(c).difference(&strip(r)).temperature_k);
    each.fold(0.0, f64::max)
}

fn seconds(solve: fn(f64) -> Vec<Course>, tolerance_k: f64) -> f64 {
    let start = Instant::now();
    std::hint::black_box(solve(std::hint::black_box(tolerance_k)));
    start.elapsed().as_secs_f64()
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

/// The loosest tolerance from which on all tighter rungs keep the error, K.
fn rung(contestant: &Contestant, references: &[Course], target_k: f64, with_gas: bool) -> Option<(f64, Vec<Course>)> {
    let mut good = None;
    for i in (0..contestant.rungs).rev() {
        let tolerance_k = contestant.loosest_k * RUNG.powi(i);
        let course = (contestant.solve)(tolerance_k);
        if error_k(&course, references, with_gas) > target_k {
            break;
        }
        good = Some((tolerance_k, course));
    }
    good
}

fn compare(all: &[Contestant], references: &[Course], target_k: f64, with_gas: bool) {
    let what = if with_gas { "every temperature" } else { "every temperature but the gas's" };
    println!("\nerror of {what} at most {target_k} K over 24 h:");
    let rungs: Vec<_> = all.iter().map(|c| rung(c, references, target_k, with_gas)).collect();
    let times: Vec<Vec<f64>> = (0..TURNS)
        .map(|_| {
            let one = |(c, r): (&Contestant, &Option<(f64, Vec<Course>)>)| {
                r.as_ref().map_or(f64::NAN, |(k, _)| seconds(c.solve, *k) / c.members)
            };
            all.iter().zip(&rungs).map(one).collect()
        })
        .collect();
    for (i, (contestant, rung)) in all.iter().zip(&rungs).enumerate() {
        let Some((tolerance_k, course)) = rung else {
            println!("  {}: not reached", contestant.name);
            continue;
        };
        let ms = 1e3 * median(times.iter().map(|t| t[i]).collect());
        let to_one = median(times.iter().map(|t| t[i] / t[1]).collect());
        let to_pack = median(times.iter().map(|t| t[i] / t[0]).collect());
        println!(
            "  {}: {ms:.2} ms a member, {to_one:.2} × one member, {to_pack:.2} × a member of a pack; tolerance {tolerance_k:.1e} K, \
             error {:.4} K, {} steps, {} evaluations, {} factorisations",
            contestant.name,
            error_k(course, references, with_gas),
            course[0].count.steps,
            course[0].count.evaluations,
            course[0].count.factorisations
        );
    }
}

fn main() {
    // `cargo test` runs benches too; only `cargo bench` asks for figures.
    if !std::env::args().any(|a| a == "--bench") {
        return;
    }
    let references: Vec<Course> = members().iter().map(|m| by_bdf(m, 1e-7)).collect();
    let doubt = references[0].difference(&by_bdf(&members()[0], 1e-6));
    println!("ten times its tolerance moves the reference by {:.1e} K", doubt.temperature_k);
    let all = contestants();
    for target_k in TARGETS_K {
        compare(&all, &references, target_k, false);
        compare(&all, &references, target_k, true);
    }
    println!("\nengine at its production tolerance:");
    let production = engine(&[Parameters::default()], Options::default().tolerance_k);
    println!(
        "  error {:.4} K, without the gas {:.4} K, {} steps, {} factorisations",
        error_k(&production, &references, true),
        error_k(&production, &references, false),
        production[0].count.steps,
        production[0].count.factorisations
    );
}
