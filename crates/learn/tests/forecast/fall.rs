//! The forecast of a whole day.

use crate::day::{HOUR_S, SHUT_S, day, oven};
use ovenfall_engine::drive::{Action, Drive, Event};
use ovenfall_learn::balance::{Line, LineBand};
use ovenfall_learn::model_error::ModelError;
use ovenfall_learn::{Band, Ensemble, Fall, FallOptions, LearnError, Prior, fall, fall_of};

fn options(members: usize) -> FallOptions {
    FallOptions { members, output_step_s: 1800.0, past_step_s: 1800.0, ..FallOptions::default() }
}

fn fall_at_shutting(members: usize) -> Fall {
    fall(&oven(), &day(), SHUT_S, 8.0 * HOUR_S, &options(members)).unwrap()
}

fn lines_in_order(band: &Band) -> bool {
    let lines = [&band.p05, &band.p25, &band.p50, &band.p75, &band.p95];
    lines.windows(2).all(|w| w[0].iter().zip(w[1]).all(|(low, high)| low <= high || low.is_nan()))
}

#[test]
fn times_start_at_the_time_asked_about_and_end_at_the_horizon() {
    let fall = fall_at_shutting(8);
    assert_eq!(fall.t_min.len(), 17);
    assert!(fall.t_min[0].abs() < 1e-9 && (fall.t_min[16] - 480.0).abs() < 1e-9);
    assert!(fall.past.times_s[0].abs() < 1e-9);
    assert!((fall.past.times_s.last().unwrap() - SHUT_S).abs() < 1e-9);
    for band in [&fall.ahead.probe_c, &fall.ahead.store_kwh] {
        assert_eq!(band.p50.len(), fall.t_min.len());
    }
    assert_eq!(fall.past.gas_c.p05.len(), fall.past.times_s.len());
}

/// A horizon that no step divides still ends the forecast.
#[test]
fn the_last_time_is_the_end_of_the_horizon() {
    let fall = fall(&oven(), &day(), SHUT_S, 1.3 * HOUR_S, &options(4)).unwrap();
    let expected = [0.0, 30.0, 60.0, 78.0];
    assert_eq!(fall.t_min.len(), expected.len());
    assert!(fall.t_min.iter().zip(expected).all(|(t, e)| (t - e).abs() < 1e-9));
}

#[test]
fn bands_are_in_order_and_numbers() {
    let fall = fall_at_shutting(32);
    for visible in [&fall.past, &fall.ahead] {
        for band in [&visible.probe_c, &visible.gas_c, &visible.floor_c, &visible.crown_c, &visible.store_kwh] {
            assert!(lines_in_order(band));
            assert!(band.p05.iter().chain(&band.p95).all(|v| v.is_finite()));
        }
    }
    let widths = fall.ahead.probe_c.p95.iter().zip(&fall.ahead.probe_c.p05);
    assert!(widths.into_iter().all(|(high, low)| high - low > 1.0), "a prior has a spread");
}

/// What any fired masonry does: it was hot when it was shut, it is cooler eight hours on, and its store has shrunk.
#[test]
fn the_oven_falls() {
    let fall = fall_at_shutting(16);
    let (probe, store) = (&fall.ahead.probe_c.p50, &fall.ahead.store_kwh.p50);
    assert!((120.0..400.0).contains(&probe[1]), "{probe:?}");
    assert!(probe[16] < probe[1] && probe[16] > 40.0, "{probe:?}");
    assert!(store[16] < store[0], "{store:?}");
}

/// Placings are no numbers before they are in the oven, and numbers on every member from then on.
#[test]
fn placings_are_followed_while_inside() {
    let fall = fall_at_shutting(8);
    assert_eq!(fall.ahead.placings.len(), 2);
    let before = &fall.past.placings[0];
    assert_eq!(before.name, "chickpeas");
    assert!(before.valid_share[0].abs() < 1e-12 && before.core_c.p50[0].is_nan());
    for placing in &fall.ahead.placings {
        assert!(placing.valid_share.iter().all(|share| (share - 1.0).abs() < 1e-12));
        assert!(lines_in_order(&placing.core_c));
        assert!(placing.liquid_kg.p95[16] <= placing.liquid_kg.p95[0]);
    }
}

/// A pot that stands in the oven is not lifted over the boil (100 °C here) by model error, only by running dry.
#[test]
fn model_error_does_not_lift_a_pot_over_the_boil() {
    let liquid = |temperature_share| {
        let model_error = ModelError { temperature_share, ..ModelError::default() };
        let options = FallOptions { model_error, ..options(16) };
        fall(&oven(), &day(), SHUT_S, 4.0 * HOUR_S, &options).unwrap().members.placings[0].liquid_c.clone()
    };
    let (bare, wide) = (liquid(0.0), liquid(0.3));
    assert_ne!(bare, wide);
    for (bare_c, wide_c) in bare.by_time().flatten().zip(wide.by_time().flatten()) {
        let dry = *bare_c > 105.0;
        assert!(dry || *wide_c <= bare_c.max(100.0), "{wide_c} °C for {bare_c}");
    }
}

/// What the error adds to a member's probe is, over 256 members, 2.5 % of its height above the outdoor air (12 °C
/// here) at every time, and nothing on average, within three sampling errors (3/√256 of σ, and 3/√512 relative).
#[test]
fn model_error_widens_the_band_as_it_says() {
    let none = FallOptions { model_error: ModelError::NONE, ..options(256) };
    let at = |options: &FallOptions| fall(&oven(), &day(), SHUT_S, 6.0 * HOUR_S, options).unwrap();
    let (bare, with) = (at(&none), at(&options(256)));
    let times = bare.members.probe_c.by_time().zip(with.members.probe_c.by_time());
    for (bare, with) in times {
        let share = |i: usize| (with[i] - bare[i]) / (bare[i] - 12.0);
        let mean = (0..256).map(share).sum::<f64>() / 256.0;
        let sd = ((0..256).map(|i| share(i).powi(2)).sum::<f64>() / 256.0).sqrt();
        assert!(mean.abs() < 0.1875 * 0.025, "{mean}");
        assert!((sd / 0.025 - 1.0).abs() < 0.133, "{sd}");
    }
    let width = |band: &Band| band.p95.iter().zip(&band.p05).map(|(h, l)| h - l).sum::<f64>();
    assert!(width(&with.ahead.probe_c) > width(&bare.ahead.probe_c));
    assert!(width(&with.ahead.store_kwh) > width(&bare.ahead.store_kwh));
}

/// Share of members inside a window, against a count over the members by hand.
#[test]
fn chances_are_counts_of_members() {
    let fall = fall_at_shutting(32);
    let share = fall.members.probe_c.share_inside(140.0, 200.0);
    let by_hand = |t: usize| {
        let member = |m: usize| fall.members.probe_c.member(m).nth(t).unwrap();
        (0..32).filter(|&m| (140.0..=200.0).contains(&member(m))).count() as f64 / 32.0
    };
    for (t, share) in share.iter().enumerate() {
        assert!((share - by_hand(t)).abs() < 1e-12);
    }
}

fn line(balance: &[LineBand], line: Line) -> LineBand {
    *balance.iter().find(|band| band.line == line).unwrap()
}

/// On one member the lines close: wood equals the sum of all others, within 1e-6 of the wood.
#[test]
fn the_balance_closes() {
    let fall = fall_at_shutting(1);
    for balance in [&fall.balance_at, &fall.balance_end] {
        assert_eq!(balance.len(), Line::ALL.len());
        let wood = line(balance, Line::Wood).p50_kwh;
        let spent: f64 = balance.iter().filter(|b| b.line != Line::Wood).map(|b| b.p50_kwh).sum();
        assert!((wood - spent).abs() < 1e-6 * wood, "{wood} {spent}");
    }
}

/// 15 kg of wood at 16 % water: net calorific value 18.7 × 0.84 − 2.443 × 0.16 MJ/kg (ISO 17225-1 form, from memory).
#[test]
fn the_balance_starts_from_the_wood() {
    let fall = fall_at_shutting(64);
    let expected_kwh = 15.0 * (18.7 * 0.84 - 2.443 * 0.16) / 3.6;
    let wood = line(&fall.balance_at, Line::Wood);
    assert!((wood.p50_kwh / expected_kwh - 1.0).abs() < 0.03, "{wood:?} {expected_kwh}");
    let sigma = (wood.p95_kwh / wood.p05_kwh).ln() / (2.0 * 1.645);
    assert!((sigma - 0.0767).abs() < 0.012, "{sigma}");
}

#[test]
fn a_forecast_repeats_and_follows_its_seed() {
    let once = fall_at_shutting(8);
    assert_eq!(once.ahead.probe_c, fall_at_shutting(8).ahead.probe_c);
    assert_eq!(once.balance_end, fall_at_shutting(8).balance_end);
    let other = FallOptions { seed: 2, ..options(8) };
    let other = fall(&oven(), &day(), SHUT_S, 8.0 * HOUR_S, &other).unwrap();
    assert_ne!(once.ahead.probe_c, other.ahead.probe_c);
}

#[test]
fn a_forecast_does_not_depend_on_threads() {
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| fall_at_shutting(12))
    };
    let (one, two) = (on(1), on(2));
    let bits = |fall: &Fall| -> Vec<u64> {
        let series = [&fall.members.probe_c, &fall.members.store_kwh, &fall.members.placings[1].core_c];
        series.iter().flat_map(|s| s.by_time().flatten()).map(|v| v.to_bits()).collect()
    };
    assert_eq!(bits(&one), bits(&two));
    assert_eq!(one.balance_end, two.balance_end);
}

/// Members given by hand go the same way as members drawn: [`fall`] is [`fall_of`] on the prior's.
#[test]
fn a_fall_of_the_priors_members_is_the_fall() {
    let ensemble = Ensemble::draw(&Prior::for_day(&oven(), &day()), 8, 1).unwrap();
    let of = fall_of(&ensemble, &oven(), &day(), SHUT_S, 8.0 * HOUR_S, &options(3)).unwrap();
    assert_eq!(of.ahead.crown_c, fall_at_shutting(8).ahead.crown_c);
}

/// What happens after the horizon does not touch the forecast.
#[test]
fn later_events_do_not_matter() {
    let mut later = day();
    later.events.push(Event { at_s: 20.0 * HOUR_S, action: Action::TakeOut(1) });
    let at = |drive: &Drive| fall(&oven(), drive, SHUT_S, 8.0 * HOUR_S, &options(4)).unwrap();
    assert_eq!(at(&later).ahead.probe_c, at(&day()).ahead.probe_c);
}

#[test]
fn bad_times_and_options_are_refused_with_their_limits() {
    let at = |at_s: f64, horizon_s: f64, options: &FallOptions| match fall(&oven(), &day(), at_s, horizon_s, options) {
        Err(LearnError::OutOfRange { what, .. }) => what,
        other => panic!("{other:?}"),
    };
    let good = options(4);
    assert_eq!(at(-1.0, HOUR_S, &good), "time of the forecast (s)");
    assert_eq!(at(f64::NAN, HOUR_S, &good), "time of the forecast (s)");
    assert_eq!(at(HOUR_S, 0.0, &good), "horizon (s)");
    assert_eq!(at(HOUR_S, f64::INFINITY, &good), "horizon (s)");
    let step = |output_step_s| FallOptions { output_step_s, ..options(4) };
    assert_eq!(at(HOUR_S, HOUR_S, &step(0.0)), "output step (s)");
    assert_eq!(at(HOUR_S, HOUR_S, &step(f64::NAN)), "output step (s)");
    let past = FallOptions { past_step_s: -5.0, ..options(4) };
    assert_eq!(at(HOUR_S, HOUR_S, &past), "output step of the past (s)");
    assert_eq!(at(HOUR_S, HOUR_S, &options(0)), "number of members");
    let tolerance = FallOptions { tolerance_k: 0.0, ..options(4) };
    assert_eq!(at(HOUR_S, HOUR_S, &tolerance), "temperature tolerance (K)");
    let wild = ModelError { correlation_s: -1.0, ..ModelError::default() };
    let wild = FallOptions { model_error: wild, ..options(4) };
    assert_eq!(at(HOUR_S, HOUR_S, &wild), "correlation time of the model error (s)");
}
