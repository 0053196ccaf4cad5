//! Drawing and running members.

use crate::day::{HOUR_S, day, oven};
use ovenfall_engine::drive::{Action, Drive, Event};
use ovenfall_engine::error::EngineError;
use ovenfall_engine::parameters::Parameters;
use ovenfall_engine::simulate::{Options, simulate};
use ovenfall_learn::{Ensemble, LearnError, Prior, Run};

fn draw(members: usize, seed: u64) -> Ensemble {
    Ensemble::draw(&Prior::for_day(&oven(), &day()), members, seed).unwrap()
}

fn options() -> Options {
    Options { output_times_s: (0..=12).map(|h| f64::from(h) * HOUR_S).collect(), ..Options::default() }
}

fn short_day() -> Drive {
    Drive { end_s: 12.0 * HOUR_S, ..day() }
}

fn run(ensemble: &Ensemble) -> Run {
    ensemble.run(&oven(), &short_day(), &options()).unwrap()
}

#[test]
fn a_seed_gives_the_same_members_and_another_others() {
    assert_eq!(draw(40, 9), draw(40, 9));
    assert_ne!(draw(40, 9).members, draw(40, 10).members);
    assert_eq!(draw(40, 9).parameters[..], draw(200, 9).parameters[..40]);
}

#[test]
fn no_members_and_too_many_are_refused() {
    let prior = Prior::new(&oven());
    for members in [0, 4097] {
        let drawn = Ensemble::draw(&prior, members, 1);
        assert!(matches!(drawn, Err(LearnError::OutOfRange { what: "number of members", .. })));
    }
}

/// Ten members fill two packs and half of a third: member 9 also rides in its last two lanes, and is not counted there.
#[test]
fn the_last_pack_is_padded_with_the_last_member() {
    let ensemble = draw(10, 4);
    let run = run(&ensemble);
    assert_eq!(run.used, (0..10).collect::<Vec<_>>());
    let last = run.histories().last().unwrap();
    for lanes in &last.probe_c {
        assert_eq!(lanes.0[1].to_bits(), lanes.0[2].to_bits());
        assert_eq!(lanes.0[1].to_bits(), lanes.0[3].to_bits());
    }
    let probe = run.series(0..13, |history| &history.probe_c);
    assert_eq!((probe.members(), probe.times()), (10, 13));
}

/// A pack's lanes are the members in order: each agrees with its member alone, within the step control of both.
#[test]
fn lanes_are_members() {
    let ensemble = draw(6, 8);
    let probe = run(&ensemble).series(0..13, |history| &history.probe_c);
    for (member, parameters) in ensemble.parameters.iter().enumerate() {
        let alone = simulate::<1>(&oven(), &[*parameters], &short_day(), &options()).unwrap();
        for (packed, alone) in probe.member(member).zip(&alone.probe_c) {
            assert!((packed - alone.0[0]).abs() < 1.0, "member {member}: {packed} {alone:?}");
        }
    }
}

fn on_threads(threads: usize, ensemble: &Ensemble) -> Run {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
    pool.install(|| run(ensemble))
}

#[test]
fn one_thread_and_two_give_the_same_bits() {
    let ensemble = draw(18, 6);
    let bits = |run: &Run| -> Vec<u64> {
        let probe = run.series(0..13, |history| &history.probe_c);
        let store = run.series(0..13, |history| &history.store_kwh);
        let all = probe.by_time().chain(store.by_time()).flatten();
        all.map(|v| v.to_bits()).collect()
    };
    let (one, two) = (on_threads(1, &ensemble), on_threads(2, &ensemble));
    assert_eq!(bits(&one), bits(&two));
}

/// What the engine refuses for every member comes back with the first member's index and the reason.
#[test]
fn a_day_the_engine_refuses_names_the_reason() {
    let mut drive = short_day();
    drive.events.push(Event { at_s: 11.0 * HOUR_S, action: Action::TakeOut(0) });
    drive.events.push(Event { at_s: 11.5 * HOUR_S, action: Action::TakeOut(0) });
    let refused = draw(8, 1).run(&oven(), &drive, &options());
    let Err(LearnError::Member { index: 0, refused: 8, members: 8, source }) = refused else {
        panic!("{refused:?}");
    };
    assert!(matches!(source, EngineError::PlacingState { placing: 0, .. }), "{source:?}");
}

/// One member the engine cannot accept among forty is left out, counted, and moves no other.
#[test]
fn a_refused_member_is_left_out() {
    let good = draw(40, 2);
    let mut bad = good.clone();
    bad.parameters[17] = Parameters { dense_capacity: -1.0, ..Parameters::default() };
    let without = run(&bad);
    assert_eq!(without.refused.len(), 1);
    assert_eq!(without.refused[0].index, 17);
    assert_eq!(without.used.len(), 39);
    let of = |run: &Run| run.series(0..13, |history| &history.probe_c);
    let (all, rest) = (of(&run(&good)), of(&without));
    let same = |a: usize, b: usize| all.member(a).zip(rest.member(b)).all(|(x, y)| x.to_bits() == y.to_bits());
    assert!(same(15, 15), "another pack");
    assert!(same(20, 19), "a pack further on");
}

fn with_pots_of(diameter_m: f64) -> Drive {
    let mut drive = short_day();
    for placing in &mut drive.placings {
        placing.pot.diameter_m = diameter_m;
    }
    drive
}

/// Two pots of 0.52 m just go into the oven as described (0.8 m); members more than one and a half sigma smaller could
/// not have held them. Those are left out, and none other.
#[test]
fn members_too_small_for_the_pots_contradict_the_day() {
    let ensemble = draw(64, 3);
    let run = ensemble.run(&oven(), &with_pots_of(0.52), &options()).unwrap();
    assert!((1..=6).contains(&run.refused.len()), "{:?}", run.refused);
    let size = |i: usize| ensemble.parameters[i].size;
    let largest_refused = run.refused.iter().map(|r| size(r.index)).fold(0.0, f64::max);
    let smallest_used = run.used.iter().map(|&i| size(i)).fold(f64::INFINITY, f64::min);
    assert!(largest_refused < smallest_used, "{largest_refused} {smallest_used}");
    assert!(run.refused.iter().all(|r| matches!(r.reason, EngineError::FloorFull { .. })));
    let probe = run.series(0..13, |history| &history.probe_c);
    assert_eq!(probe.members(), 64 - run.refused.len());
    assert!(probe.by_time().flatten().all(|t_c| t_c.is_finite()));
}

/// Pots that most members could not have held: the answer is why.
#[test]
fn pots_that_do_not_fit_are_refused() {
    let refused = draw(12, 3).run(&oven(), &with_pots_of(0.75), &options());
    let Err(LearnError::Member { source, .. }) = refused else { panic!("{refused:?}") };
    assert!(matches!(source, EngineError::FloorFull { .. }), "{source:?}");
}
