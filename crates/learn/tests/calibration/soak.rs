//! Two firings of one oven that feel the same when the door is shut, and are not: a short fierce one leaves its heat near the
//! face, a long one deep in the brick. When does an ensemble with a cook's readings know which it is?
//!
//! The true oven is the one described, with no error of model or instruments; readings have errors as conditioning assumes.
//! In the first case each day's log of the fire is true. In the second both days carry one and the same log, of a firing
//! that was neither, so that only thermometers tell.

use crate::page;
use crate::synthetic::{HOUR_S, Line, OVENS, Scene, done, read};
use ovenfall_engine::observe::infrared_reading_c;
use ovenfall_engine::parameters::Parameters;
use ovenfall_engine::simulate::{Options, simulate};
use ovenfall_learn::observation::Target;
use ovenfall_learn::score::quantile;
use ovenfall_learn::{Observation, Series};
use ovenfall_record::reading::Spot;
use rayon::prelude::*;
use std::fmt::Write;

/// The door is shut for good.
const SHUT_S: f64 = 10.5 * HOUR_S;
const RAKED_S: f64 = SHUT_S - 3420.0;
/// The course of both days is asked about up to so long after shutting.
const LATER_S: f64 = 8.0 * HOUR_S;
/// Chance at which an ensemble counts as certain.
const CERTAIN: f64 = 0.95;
/// Wood of each feed of the short firing, kg: found by trying, so that floor and crown end up as after the long one.
const SHORT_FEED_KG: f64 = 3.582;
/// Wood of each feed of the firing in the log that fits neither, kg: found in the same way.
const NEITHER_FEED_KG: f64 = 2.7;

/// The demo's oven with a floor as thick as its dome: a heavy oven, in which heat lies shallow or deep for hours.
fn oven() -> String {
    let heavy = OVENS[0].1.replace("thickness_cm = 6.4", "thickness_cm = 11.4");
    assert_ne!(heavy, OVENS[0].1);
    heavy
}

/// A firing: feeds, with the fire in the middle or on the left, and what was done after it.
fn firing(feeds: &[(f64, f64)], place: &str) -> Vec<Line> {
    let mut lines = vec![done(0.0, "outdoor", "", 14.0, "C")];
    lines.extend(feeds.iter().map(|(at_s, kg)| done(*at_s, "wood on", "", *kg, "kg")));
    lines.push(done(feeds[0].0 + 60.0, "fire moved", place, 0.0, ""));
    lines.push(done(RAKED_S, "raked out", "", 0.0, ""));
    lines.push(done(SHUT_S - 3000.0, "door", "shut", 0.0, ""));
    lines.push(done(SHUT_S - 300.0, "door", "open", 0.0, ""));
    lines.push(done(SHUT_S, "door", "shut", 0.0, ""));
    lines
}

fn long() -> Vec<Line> {
    let mut feeds: Vec<(f64, f64)> = (0..18).map(|k| (f64::from(k) * 1800.0, 1.2)).collect();
    feeds.push((RAKED_S - 2880.0, 1.5));
    firing(&feeds, "left")
}

fn short() -> Vec<Line> {
    let feeds: Vec<(f64, f64)> = (0..4).map(|k| (RAKED_S - 4680.0 + f64::from(k) * 720.0, SHORT_FEED_KG)).collect();
    firing(&feeds, "centre")
}

/// What the cook wrote down on both days of the second case: six feeds over two hours and a half.
fn neither() -> Vec<Line> {
    let feeds: Vec<(f64, f64)> = (0..6).map(|k| (RAKED_S - 9180.0 + f64::from(k) * 1350.0, NEITHER_FEED_KG)).collect();
    firing(&feeds, "left")
}

/// A day asked about some time after shutting: one look at the probe before opening, one round of spots, then the probe
/// each ten minutes.
fn scene(mut lines: Vec<Line>, after_s: f64) -> Scene {
    lines.push(read(SHUT_S - 420.0, "probe", ""));
    for spot in ["floor centre", "floor back", "crown", "back wall"] {
        lines.push(read(SHUT_S - 240.0, "spot", spot));
    }
    let probe_s = (0..).map(|k| SHUT_S + 900.0 + 600.0 * f64::from(k));
    lines.extend(probe_s.take_while(|t_s| *t_s <= SHUT_S + after_s).map(|t_s| read(t_s, "probe", "")));
    lines.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    Scene::new(&oven(), lines, SHUT_S + after_s, (LATER_S - after_s).max(HOUR_S))
}

/// The true course of a day at given times: floor, crown, probe, °C, and heat in store, kWh.
fn course(lines: Vec<Line>, times_s: &[f64]) -> Vec<[f64; 4]> {
    let mut drive = scene(lines, LATER_S).drive;
    drive.end_s = SHUT_S + LATER_S;
    let described = scene(long(), LATER_S).oven;
    let options = Options { output_times_s: times_s.to_vec(), ..Options::default() };
    let h = simulate::<1>(&described, &[Parameters::default()], &drive, &options).unwrap();
    (0..times_s.len())
        .map(|t| [&h.floor_c, &h.crown_c, &h.probe_c, &h.store_kwh].map(|series| series[t].0[0]))
        .collect()
}

/// What each reading should have shown; brick at an emissivity of 0.92.
fn exact_c(lines: Vec<Line>, scene: &Scene, observations: &[Observation]) -> Vec<f64> {
    let times_s: Vec<f64> = observations.iter().map(|o| o.at_s).collect();
    let setting = scene.infrared_setting;
    let shown = |(o, [floor, crown, probe, _]): (&Observation, [f64; 4])| match o.target {
        Target::Spot(Spot::FloorCentre | Spot::FloorBack) => {
            infrared_reading_c(floor, 0.92, 0.5 * (floor + crown), setting)
        }
        Target::Spot(_) => infrared_reading_c(crown, 0.92, 0.5 * (floor + crown), setting),
        _ => probe,
    };
    observations.iter().zip(course(lines, &times_s)).map(shown).collect()
}

/// Members of one day at an hour: heat in store now, probe at the end.
struct Members {
    store_kwh: Vec<f64>,
    probe_c: Vec<f64>,
}

/// Conditions on what was read by `after_s`: the true day, the log the ensemble is given, the seed of errors and members.
fn asked(truth: Vec<Line>, log: Vec<Line>, after_s: f64, members: usize, seed: u64) -> Members {
    let scene = scene(log, after_s);
    let exact_c = exact_c(truth, &scene, &scene.blank());
    let readings = scene.readings(&exact_c, seed);
    let conditioned = scene.conditioned(readings, members, seed).unwrap();
    let fall = scene.fall(&conditioned, seed).unwrap();
    let row = |series: &Series, t: usize| series.by_time().nth(t).unwrap().to_vec();
    Members { store_kwh: row(&fall.members.store_kwh, 0), probe_c: row(&fall.members.probe_c, fall.t_min.len() - 1) }
}

fn share(values: &[f64], holds: impl Fn(f64) -> bool) -> f64 {
    values.iter().filter(|v| holds(**v)).count() as f64 / values.len() as f64
}

/// How sure the ensembles are of one quantity, at one hour.
#[derive(Debug, Clone, Copy)]
struct Sure {
    /// Share of the deep day's members above the middle of the two truths.
    deep: f64,
    /// Share of the shallow day's members below it.
    shallow: f64,
    /// Whether the bands of 90 % have nothing in common.
    apart: bool,
    /// Means of the members of the deep and the shallow day, in the quantity's unit.
    means: [f64; 2],
    /// What is true of the two days, in the quantity's unit.
    truths: [f64; 2],
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

impl Sure {
    fn of(deep: &[f64], shallow: &[f64], truths: [f64; 2]) -> Self {
        let middle = 0.5 * (truths[0] + truths[1]);
        let at = |values: &[f64], p| {
            let mut sorted = values.to_vec();
            sorted.sort_by(f64::total_cmp);
            quantile(&sorted, p)
        };
        Self {
            deep: share(deep, |v| v > middle),
            shallow: share(shallow, |v| v < middle),
            apart: at(deep, 0.05) > at(shallow, 0.95),
            means: [mean(deep), mean(shallow)],
            truths,
        }
    }

    fn certain(self) -> bool {
        self.deep.min(self.shallow) >= CERTAIN
    }
}

/// Heat in store now, and the probe at the end: how sure at one hour.
fn sure(after_s: f64, log_true: bool, members: usize, seed: u64) -> [Sure; 2] {
    let ask = |truth: fn() -> Vec<Line>, seed| {
        let log = if log_true { truth() } else { neither() };
        asked(truth(), log, after_s, members, seed)
    };
    let (deep, shallow) = (ask(long, 2 * seed), ask(short, 2 * seed + 1));
    let truths = [long(), short()].map(|lines| course(lines, &[SHUT_S + after_s, SHUT_S + LATER_S]));
    let of = |t: usize, q: usize| [truths[0][t][q], truths[1][t][q]];
    [Sure::of(&deep.store_kwh, &shallow.store_kwh, of(0, 3)), Sure::of(&deep.probe_c, &shallow.probe_c, of(1, 2))]
}

/// The first of `hours` from which on both days are certain, of those that `sure` has.
fn first_certain(hours: &[f64], sure: &[Sure]) -> Option<f64> {
    let doubtful = sure.iter().rposition(|s| !s.certain()).map_or(0, |i| i + 1);
    hours.get(doubtful).copied()
}

#[test]
fn the_two_firings_feel_the_same() {
    let [deep, shallow, log] = [long(), short(), neither()].map(|lines| course(lines, &[SHUT_S, SHUT_S + LATER_S]));
    for (feels, is) in [(&deep, &shallow), (&deep, &log)] {
        assert!((feels[0][0] - is[0][0]).abs() < 2.0 && (feels[0][1] - is[0][1]).abs() < 2.0, "{feels:?} {is:?}");
    }
    assert!(deep[0][3] > 1.4 * shallow[0][3], "heat in store: {deep:?} {shallow:?}");
    assert!(shallow[0][3] < log[0][3] && log[0][3] < deep[0][3], "the log that fits neither lies between");
}

/// With a log that fits neither day nobody can know at shutting; four hours of the probe must tell.
#[test]
fn the_falling_probe_tells_deep_from_shallow() {
    let hours = [0.0, 1.0, 2.0, 4.0];
    let probe: Vec<Sure> = hours.iter().map(|h| sure(h * HOUR_S, false, 96, 40)[1]).collect();
    println!("certain {:?} h after shutting: {probe:.2?}", first_certain(&hours, &probe));
    assert!(!probe[0].certain(), "{probe:?}");
    assert!(first_certain(&hours, &probe).is_some(), "{probe:?}");
}

const HOURS: [f64; 8] = [0.0, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0];
const SEEDS: [u64; 4] = [40, 41, 42, 43];

/// Cells of one quantity at one hour, over the sets of errors.
fn cells(of_seeds: &[Sure]) -> String {
    let over = |f: fn(&Sure) -> f64| mean(&of_seeds.iter().map(f).collect::<Vec<_>>());
    let apart = of_seeds.iter().filter(|s| s.apart).count();
    let [deep, shallow] = of_seeds[0].truths;
    format!(
        " {:.1} ({deep:.1}) | {:.1} ({shallow:.1}) | {:.2} | {:.2} | {apart} |",
        over(|s| s.means[0]),
        over(|s| s.means[1]),
        over(|s| s.deep),
        over(|s| s.shallow)
    )
}

/// First hours of certainty of each set of errors: of the heat in store, and of the probe at the end.
type Certain = [Vec<Option<f64>>; 2];

fn lines_of(log_true: bool, out: &mut String) -> Certain {
    let jobs: Vec<(f64, u64)> = HOURS.iter().flat_map(|&h| SEEDS.map(|seed| (h, seed))).collect();
    let all: Vec<[Sure; 2]> = jobs.par_iter().map(|(h, seed)| sure(h * HOUR_S, log_true, 192, *seed)).collect();
    let log = if log_true { "true" } else { "fits neither" };
    for (h, of_hour) in HOURS.iter().zip(all.chunks(SEEDS.len())) {
        let of = |q: usize| cells(&of_hour.iter().map(|s| s[q]).collect::<Vec<_>>());
        writeln!(out, "| {log} | {h} |{}{}", of(0), of(1)).unwrap();
    }
    [0, 1].map(|q| {
        let of_seed = |s: usize| all.iter().skip(s).step_by(SEEDS.len()).map(|sure| sure[q]).collect::<Vec<_>>();
        (0..SEEDS.len()).map(|s| first_certain(&HOURS, &of_seed(s))).collect()
    })
}

/// The table of the page: about four minutes on two cores.
#[test]
#[ignore = "slow: cargo test --release -p ovenfall-learn --test calibration -- --ignored"]
fn hours_of_certainty() {
    let heads = ["store, kWh: deep", "probe at 8 h, °C: deep"];
    let head = heads.map(|head| format!(" {head} | shallow | right: deep | shallow | apart |")).concat();
    let mut out = format!("| log of the fire | h after shutting |{head}\n|{}\n", "---|".repeat(12));
    let with_log = lines_of(true, &mut out);
    let without = lines_of(false, &mut out);
    let say = |all: &[Option<f64>]| {
        let hours = all.iter().map(|h| h.map_or("never".into(), |h| format!("{h}")));
        hours.collect::<Vec<String>>().join(", ")
    };
    out.push_str(
        "\n| certain from, h after shutting, for each set of errors | store | probe at 8 h |\n|---|---|---|\n",
    );
    for (log, hours) in [("true log", &with_log), ("log that fits neither", &without)] {
        writeln!(out, "| {log} | {} | {} |", say(&hours[0]), say(&hours[1])).unwrap();
    }
    page::part("soak", &out);
    let known = |hours: &[Option<f64>]| hours.iter().all(|h| h.is_some_and(|h| h <= 6.0));
    assert!(known(&with_log[1]) && known(&without[1]), "{with_log:?} {without:?}");
}
