//! What a day of 24 h costs: one member, a pack of four, and an ensemble of 64 packs, on one thread.
//!
//! Three pots, a dozen entries after lighting, output every ten minutes, production tolerance. Times are given for each
//! member, so that the pack's gain is the ratio of two lines; steps and factorisations are printed before.
#![allow(clippy::print_stdout, reason = "a bench reports")]

#[path = "../tests/consistency/sample.rs"]
#[allow(dead_code, missing_docs)]
mod sample;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use ovenfall_engine::history::History;
use ovenfall_engine::pack::Lane;
use ovenfall_engine::parameters::Parameters;
use ovenfall_engine::simulate::{Options, simulate};
use std::hint::black_box;

const PACKS: usize = 64;

/// A member of an ensemble: a fixed spread around the description, the same in every run.
fn member(index: usize) -> Parameters {
    // Golden-ratio points fill the unit interval evenly.
    let point = |step: f64| 2.0 * (index as f64 * step).fract() - 1.0;
    Parameters {
        dome_conductivity: 1.0 + 0.15 * point(0.618_034),
        wood_energy: 1.0 + 0.1 * point(0.754_878),
        gap_area: 1.0 + 0.3 * point(0.569_840),
        ambient_offset_k: 3.0 * point(0.819_173),
        ..Parameters::default()
    }
}

fn day<const L: usize>(first: usize) -> History<Lane<L>> {
    let members: [Parameters; L] = std::array::from_fn(|lane| member(first + lane));
    let options = Options::every(0.0, 86_400.0, 600.0);
    simulate(&sample::oven(), &members, &sample::day(), &options).expect("the sample day runs")
}

fn report<const L: usize>(name: &str) {
    let effort = day::<L>(0).effort;
    println!(
        "{name}: {} steps, {} rejected, {} factorisations, {} evaluations, {} restarts",
        effort.steps, effort.rejected, effort.factorisations, effort.evaluations, effort.restarts
    );
}

fn member_day(c: &mut Criterion) {
    report::<1>("one member");
    report::<4>("a pack of four");
    let mut group = c.benchmark_group("member_day");
    group.throughput(Throughput::Elements(1));
    group.bench_function(BenchmarkId::new("members", 1), |b| b.iter(|| black_box(day::<1>(black_box(0)))));
    group.throughput(Throughput::Elements(4));
    group.bench_function(BenchmarkId::new("members", 4), |b| b.iter(|| black_box(day::<4>(black_box(0)))));
    group.throughput(Throughput::Elements(4 * PACKS as u64));
    group.sample_size(10);
    group.bench_function(BenchmarkId::new("members", 4 * PACKS), |b| {
        b.iter(|| (0..PACKS).map(|pack| day::<4>(4 * pack).effort.steps).sum::<usize>());
    });
    group.finish();
}

criterion_group!(benches, member_day);
criterion_main!(benches);
