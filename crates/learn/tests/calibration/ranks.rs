//! Simulation-based calibration: over many synthetic days the true value must have every rank among the members as often.

use crate::page;
use crate::synthetic::{Errors, Scene, scene};
use ovenfall_learn::random::{self, Purpose};
use ovenfall_learn::score::{crps, quantile};
use ovenfall_learn::{Fall, LearnError, Series};
use rayon::prelude::*;
use std::fmt::Write;

/// How far ahead the days are asked about, s.
const AHEAD_S: f64 = 8.0 * 3600.0;
/// Seeds are 1 000 000 times the purpose plus the number of the replicate; each was chosen before any result was seen.
const DAYS: u64 = 1_000_000;
const TRUTHS: u64 = 2_000_000;
const ERRORS: u64 = 3_000_000;
const MEMBERS: u64 = 4_000_000;
const TIES: u64 = 5_000_000;
/// A truth the engine refuses is drawn anew with a seed so much further on.
const ANEW: u64 = 100_000;

/// Bins of a histogram.
const BINS: usize = 10;

/// What is asked about: name, and its value on every member of a fall (hourly from the hour asked about).
type Quantity = (&'static str, fn(&Fall) -> Option<Vec<f64>>);

fn row(series: &Series, hour: usize) -> Option<Vec<f64>> {
    let row = series.by_time().nth(hour)?;
    row.iter().all(|v| v.is_finite()).then(|| row.to_vec())
}

pub const QUANTITIES: [Quantity; 5] = [
    ("heat in store at the hour", |fall| row(&fall.members.store_kwh, 0)),
    ("probe 1 h after", |fall| row(&fall.members.probe_c, 1)),
    ("probe 4 h after", |fall| row(&fall.members.probe_c, 4)),
    ("probe 8 h after", |fall| row(&fall.members.probe_c, 8)),
    ("stew's liquid 2 h after", |fall| row(&fall.members.placings[0].liquid_c, 2)),
];

/// One quantity on one day.
#[derive(Debug, Clone, Copy)]
pub struct Outcome {
    /// Rank of the truth among the members as a number from 0 to 1; uniform if the spread is honest.
    pub rank: f64,
    pub inside_90: bool,
    pub inside_50: bool,
    /// (truth − mean)/spread.
    pub off: f64,
    pub crps: f64,
}

/// The place of `truth` among `members`: one of the n + 1 gaps, and a random point in it. If truth and members are
/// exchangeable the result is uniform, whatever n.
fn outcome(truth: f64, members: &[f64], tie: f64) -> Outcome {
    let mut sorted = members.to_vec();
    sorted.sort_by(f64::total_cmp);
    let n = sorted.len() as f64;
    let below = sorted.partition_point(|v| *v < truth) as f64;
    let mean = sorted.iter().sum::<f64>() / n;
    let spread = (sorted.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / (n - 1.0)).sqrt();
    let inside = |low, high| (quantile(&sorted, low)..=quantile(&sorted, high)).contains(&Some(truth));
    Outcome {
        rank: (below + tie) / (n + 1.0),
        inside_90: inside(0.05, 0.95),
        inside_50: inside(0.25, 0.75),
        off: (truth - mean) / spread,
        crps: crps(&sorted, truth).unwrap(),
    }
}

/// One day: the outcomes of each quantity, without readings and with them.
#[derive(Debug, Clone)]
pub struct Replicate {
    pub prior: Vec<Option<Outcome>>,
    pub posterior: Vec<Option<Outcome>>,
    pub readings: usize,
    pub widened: usize,
    /// What the engine or conditioning said when it gave no answer.
    pub failed: Option<String>,
}

fn outcomes(truth: &Fall, members: &Fall, seed: u64) -> Vec<Option<Outcome>> {
    let of = |(q, (_, value)): (usize, &Quantity)| {
        let tie = random::uniform(&mut random::generator(seed, Purpose::Readings, q));
        Some(outcome(value(truth)?[0], &value(members)?, tie))
    };
    QUANTITIES.iter().enumerate().map(of).collect()
}

fn replicate(number: usize, members: usize, errors: Errors) -> Replicate {
    day(number as u64, members, errors).unwrap_or_else(|error| Replicate {
        prior: vec![None; QUANTITIES.len()],
        posterior: vec![None; QUANTITIES.len()],
        readings: 0,
        widened: 0,
        failed: Some(format!("day {number}: {error}")),
    })
}

fn day(number: u64, members: usize, errors: Errors) -> Result<Replicate, LearnError> {
    let mut scene: Scene = scene(DAYS + number, AHEAD_S);
    scene.errors = errors;
    let drawn = (0..20).find_map(|k| {
        let seed = TRUTHS + number + k * ANEW;
        let truth = scene.truth(seed).ok()?;
        Some((scene.fall(&truth.member, seed).ok()?, truth))
    });
    let (true_fall, truth) = drawn.expect("a truth the engine can run");
    let readings = scene.readings(&truth.exact_c, ERRORS + number);
    let seed = MEMBERS + number;
    let of = |observations| {
        let conditioned = scene.conditioned(observations, members, seed)?;
        let fall = scene.fall(&conditioned, seed)?;
        Ok((outcomes(&true_fall, &fall, TIES + number), conditioned.residuals))
    };
    let (prior, _) = of(Vec::new())?;
    let (posterior, residuals) = of(readings)?;
    Ok(Replicate {
        prior,
        posterior,
        readings: residuals.len(),
        widened: residuals.iter().filter(|r| r.widened > 2.0).count(),
        failed: None,
    })
}

pub fn study(replicates: usize, members: usize, errors: Errors) -> Vec<Replicate> {
    (0..replicates).into_par_iter().map(|number| replicate(number, members, errors)).collect()
}

/// What many days say of one quantity.
#[derive(Debug, Clone)]
pub struct Tally {
    pub n: usize,
    pub bins: [usize; BINS],
    pub coverage_90: f64,
    pub coverage_50: f64,
    pub mean_off: f64,
    pub rms_off: f64,
    pub crps: f64,
}

pub fn tally(outcomes: &[Outcome]) -> Tally {
    let n = outcomes.len();
    let mut bins = [0; BINS];
    for o in outcomes {
        bins[((o.rank * BINS as f64) as usize).min(BINS - 1)] += 1;
    }
    let mean = |f: &dyn Fn(&Outcome) -> f64| outcomes.iter().map(f).sum::<f64>() / n as f64;
    Tally {
        n,
        bins,
        coverage_90: mean(&|o| f64::from(u8::from(o.inside_90))),
        coverage_50: mean(&|o| f64::from(u8::from(o.inside_50))),
        mean_off: mean(&|o| o.off),
        rms_off: mean(&|o| o.off * o.off).sqrt(),
        crps: mean(&|o| o.crps),
    }
}

impl Tally {
    /// Pearson's statistic against equal bins.
    pub fn chi_square(&self) -> f64 {
        let expected = self.n as f64 / BINS as f64;
        self.bins.iter().map(|&b| (b as f64 - expected).powi(2) / expected).sum()
    }

    /// Probability of a larger statistic if every rank is equally likely.
    pub fn p_value(&self) -> f64 {
        use statrs::distribution::{ChiSquared, ContinuousCDF};
        1.0 - ChiSquared::new((BINS - 1) as f64).unwrap().cdf(self.chi_square())
    }
}

pub fn tallies(replicates: &[Replicate], of: fn(&Replicate) -> &Vec<Option<Outcome>>) -> Vec<Tally> {
    let quantity = |q: usize| tally(&replicates.iter().filter_map(|r| of(r)[q]).collect::<Vec<_>>());
    (0..QUANTITIES.len()).map(quantity).collect()
}

/// What an honest band of nominal share `p` covers with a finite number of members: the place of its quantiles among the
/// n + 1 gaps.
fn nominal(p: f64, members: usize) -> f64 {
    let n = members as f64;
    p * (n - 1.0) / (n + 1.0)
}

/// Standard error of a share of `n`.
fn share_error(share: f64, n: usize) -> f64 {
    (share * (1.0 - share) / n as f64).sqrt()
}

fn table(tallies: &[Tally], members: usize) -> String {
    let head = "| quantity | days | inside 90 % | inside 50 % | mean off | rms off | CRPS | p of equal ranks | ranks in tenths |";
    let mut out = format!("{head}\n|---|---|---|---|---|---|---|---|---|\n");
    for (t, (name, _)) in tallies.iter().zip(QUANTITIES) {
        let error = share_error(nominal(0.9, members), t.n);
        let error_50 = share_error(nominal(0.5, members), t.n);
        let bins = t.bins.map(|b| b.to_string()).join(" ");
        writeln!(
            out,
            "| {name} | {} | {:.3} ± {error:.3} | {:.3} ± {error_50:.3} | {:+.2} | {:.2} | {:.2} | {:.4} | {bins} |",
            t.n,
            t.coverage_90,
            t.coverage_50,
            t.mean_off,
            t.rms_off,
            t.crps,
            t.p_value()
        )
        .unwrap();
    }
    out
}

/// The two tables of a study: without readings, and with them.
fn tables(all: &[Replicate], members: usize, tallies: &[Vec<Tally>; 2]) -> [String; 2] {
    let readings: usize = all.iter().map(|r| r.readings).sum();
    let widened: usize = all.iter().map(|r| r.widened).sum();
    let honest = format!(
        "{} days, {members} members; an honest band would cover {:.3} and {:.3}.",
        all.len(),
        nominal(0.9, members),
        nominal(0.5, members)
    );
    let failed: Vec<&str> = all.iter().filter_map(|r| r.failed.as_deref()).collect();
    let mut with = format!("{honest} {readings} readings, {widened} of them doubted.");
    if !failed.is_empty() {
        write!(with, " No answer on {} of the days ({}).", failed.len(), failed.join("; ")).unwrap();
    }
    [format!("{honest}\n\n{}", table(&tallies[0], members)), format!("{with}\n\n{}", table(&tallies[1], members))]
}

/// Both tallies of a study: without readings, and with them.
fn both(all: &[Replicate]) -> [Vec<Tally>; 2] {
    [tallies(all, |r| &r.prior), tallies(all, |r| &r.posterior)]
}

/// Days of the full study.
const REPLICATES: usize = 400;
/// Members of the full study.
const ENSEMBLE: usize = 128;
/// Below this probability equal ranks are not believed.
const REFUSED: f64 = 0.001;

/// Days without an answer, more than one in a hundred of them.
fn too_many_failed(all: &[Replicate]) -> Vec<String> {
    let failed: Vec<String> = all.iter().filter_map(|r| r.failed.clone()).collect();
    if 100 * failed.len() > all.len() { failed } else { Vec::new() }
}

/// What is out of limits, set before the study was run: equal ranks refused below p = 0.001 for each quantity; coverage of
/// the 90 % band within three standard errors.
fn out_of_limits(tallies: &[Tally]) -> Vec<String> {
    let honest = nominal(0.9, ENSEMBLE);
    let refused = |(t, (name, _)): (&Tally, Quantity)| {
        let off = (t.coverage_90 - honest).abs() > 3.0 * share_error(honest, t.n);
        (off || t.p_value() < REFUSED).then(|| format!("{name}: {t:?}"))
    };
    tallies.iter().zip(QUANTITIES).filter_map(refused).collect()
}

#[test]
#[ignore = "slow: cargo test --release -p ovenfall-learn --test calibration -- --ignored"]
fn ranks_of_truths_are_even() {
    let all = study(REPLICATES, ENSEMBLE, Errors::Normal);
    let tallies = both(&all);
    let [before, after] = tables(&all, ENSEMBLE, &tallies);
    page::part("prior", &before);
    page::part("ranks", &after);
    let out = tallies.iter().flat_map(|t| out_of_limits(t));
    let wrong: Vec<String> = out.chain(too_many_failed(&all)).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The same days, with readings that err as conditioning allows for.
#[test]
#[ignore = "slow: cargo test --release -p ovenfall-learn --test calibration -- --ignored"]
fn ranks_are_even_when_readings_err_grossly() {
    let all = study(REPLICATES, ENSEMBLE, Errors::Heavy);
    let tallies = both(&all);
    page::part("heavy", &tables(&all, ENSEMBLE, &tallies)[1]);
    let wrong = [out_of_limits(&tallies[1]), too_many_failed(&all)].concat();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Whether `inside` of `n` is too few or too many for an honest share, at a chance of one in ten thousand on either side.
fn believable(inside: f64, n: usize, share: f64) -> bool {
    use statrs::distribution::{Binomial, DiscreteCDF};
    let law = Binomial::new(share, n as u64).unwrap();
    let inside = (inside * n as f64).round() as u64;
    let below = if inside == 0 { 0.0 } else { law.cdf(inside - 1) };
    law.cdf(inside) > 1e-4 && 1.0 - below > 1e-4
}

/// A small study: bands that are too narrow by half, or far off, fail.
#[test]
fn few_days_cover_as_often_as_they_say() {
    let (days, members) = (24, 48);
    let all = study(days, members, Errors::Normal);
    assert!(too_many_failed(&all).is_empty(), "{:?}", too_many_failed(&all));
    let tallies = both(&all);
    for (tallies, table) in tallies.iter().zip(tables(&all, members, &tallies)) {
        println!("{table}");
        for (t, (name, _)) in tallies.iter().zip(QUANTITIES) {
            assert!(believable(t.coverage_90, t.n, nominal(0.9, members)), "90 % of {name}: {t:?}");
            assert!(believable(t.coverage_50, t.n, nominal(0.5, members)), "50 % of {name}: {t:?}");
        }
    }
}

/// The apparatus finds what it is meant to find: members with half the spread, members that are off by one spread.
#[test]
fn dishonest_members_are_found() {
    let normal = |seed, j| random::standard_normal(&mut random::generator(seed, Purpose::Members, j));
    let study = |spread: f64, off: f64| {
        let day = |k: usize| {
            let members: Vec<f64> = (1..=ENSEMBLE).map(|j| off + spread * normal(k as u64, j)).collect();
            outcome(
                normal(k as u64, 0),
                &members,
                random::uniform(&mut random::generator(k as u64, Purpose::Readings, 0)),
            )
        };
        tally(&(0..REPLICATES).map(day).collect::<Vec<_>>())
    };
    let (honest, narrow, shifted) = (study(1.0, 0.0), study(0.5, 0.0), study(1.0, 1.0));
    assert!(
        honest.p_value() > REFUSED && believable(honest.coverage_90, honest.n, nominal(0.9, ENSEMBLE)),
        "{honest:?}"
    );
    for dishonest in [narrow, shifted] {
        assert!(dishonest.p_value() < REFUSED, "{dishonest:?}");
        assert!(!believable(dishonest.coverage_90, dishonest.n, nominal(0.9, ENSEMBLE)), "{dishonest:?}");
    }
}
