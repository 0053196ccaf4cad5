//! Branches: a day that forks is the same day, each branch on its own; and what may be asked of the store.

use crate::sample;
use ovenfall_engine::appraisal::{Faces, assembled, kept_for_ever_j};
use ovenfall_engine::drive::{Action, Door, Drive, Event};
use ovenfall_engine::error::EngineError;
use ovenfall_engine::history::History;
use ovenfall_engine::pack::Lane;
use ovenfall_engine::parameters::Parameters;
use ovenfall_engine::simulate::{Branch, Options, Shoot, Trunk, branches, simulate, trunks};

fn one() -> [Parameters; 1] {
    [Parameters::default()]
}

/// The events of the sample day from a time on, as a branch.
fn rest(day: &Drive, fork_s: f64) -> Branch {
    Branch {
        events: day.events.iter().filter(|event| event.at_s >= fork_s).copied().collect(),
        end_s: day.end_s,
        output_times_s: Options::every(fork_s + 600.0, day.end_s, 1800.0).output_times_s,
    }
}

/// A fork costs a restart of the step control and nothing else: within the tolerance it is the day run at once.
#[test]
fn a_branch_is_the_day_that_never_forked() {
    let day = sample::day();
    // At an event's own time the day restarts there anyhow: the same bits. Between events: within the tolerance.
    let at_event_s = day.events[day.events.len() / 2].at_s;
    for (fork_s, allowed_k) in [(at_event_s, 0.0), (at_event_s + 777.0, 0.1)] {
        let branch = rest(&day, fork_s);
        let options = Options { output_times_s: branch.output_times_s.clone(), ..Options::default() };
        let whole = simulate(&sample::oven(), &one(), &day, &options).unwrap();
        let forked = branches(&sample::oven(), &one(), &day, fork_s, &[branch], &options).unwrap().remove(0).unwrap();
        assert_eq!(whole.times_s, forked.times_s);
        for (a, b) in whole.probe_c.iter().zip(&forked.probe_c) {
            assert!((a.0[0] - b.0[0]).abs() <= allowed_k, "{fork_s}: {} {}", a.0[0], b.0[0]);
        }
        let (a, b) = (whole.ledgers.last().unwrap(), forked.ledgers.last().unwrap());
        let scale_j = a.wood_j.0[0].abs();
        assert!((a.masonry_change_j.0[0] - b.masonry_change_j.0[0]).abs() <= 1e-4 * scale_j + allowed_k);
    }
}

/// Branches do not see each other: the answer is the same alone, after others, and twice.
#[test]
fn branches_do_not_touch_each_other() {
    let day = sample::day();
    let fork_s = day.events[day.events.len() / 2].at_s;
    let (going_on, mut open) = (rest(&day, fork_s), rest(&day, fork_s));
    open.events = vec![Event { at_s: fork_s + 60.0, action: Action::Door(Door::Open) }];
    let options = Options::default();
    let all = [going_on.clone(), open, going_on.clone()];
    let together = branches(&sample::oven(), &one(), &day, fork_s, &all, &options).unwrap();
    let alone = branches(&sample::oven(), &one(), &day, fork_s, &[going_on], &options).unwrap();
    let bits = |h: &Result<History<Lane<1>>, EngineError>| -> Vec<u64> {
        let h = h.as_ref().unwrap();
        h.probe_c.iter().chain(&h.store_kwh).map(|x| x.0[0].to_bits()).collect()
    };
    assert_eq!(bits(&together[0]), bits(&together[2]));
    assert_eq!(bits(&together[0]), bits(&alone[0]));
    let last_c = |i: usize| together[i].as_ref().unwrap().probe_c.last().unwrap().0[0];
    assert!(last_c(1) < last_c(0), "an open mouth loses heat");
}

/// What is wrong with one branch stands in its place; the others are computed.
#[test]
fn a_bad_branch_spoils_no_other() {
    let day = sample::day();
    let fork_s = day.events[day.events.len() / 2].at_s;
    let mut early = rest(&day, fork_s);
    early.events.insert(0, Event { at_s: fork_s - 1.0, action: Action::RakeOut });
    let ended = Branch { end_s: fork_s, ..rest(&day, fork_s) };
    let all = [early, rest(&day, fork_s), ended];
    let got = branches(&sample::oven(), &one(), &day, fork_s, &all, &Options::default()).unwrap();
    assert!(matches!(got[0], Err(EngineError::TimeRunsBackwards { index: 0, .. })));
    assert!(got[1].is_ok());
    assert!(matches!(got[2], Err(EngineError::OutOfRange { .. })));
}

/// Heat above a temperature falls with it, and above 100 °C it is the heat in store.
#[test]
fn store_above_any_temperature() {
    let day = sample::day();
    let store_above_c = vec![60.0, 100.0, 150.0, 250.0];
    let options = Options { store_above_c, ..Options::every(0.0, day.end_s, 1800.0) };
    let h = simulate(&sample::oven(), &one(), &day, &options).unwrap();
    for i in 0..h.times_s.len() {
        let above: Vec<f64> = h.store_above_kwh.iter().map(|series| series[i].0[0]).collect();
        assert!((above[1] - h.store_kwh[i].0[0]).abs() < 1e-12);
        assert!(above.windows(2).all(|pair| pair[0] >= pair[1]), "{above:?}");
    }
}

/// An oven fired for hours never holds more than it would if kept at its faces' temperatures for ever; while it is
/// being heated it holds less. (Falling, faces cool first, and it may hold a little more.)
#[test]
fn a_heated_oven_holds_less_than_one_kept_hot() {
    let day = sample::day();
    let h = simulate(&sample::oven(), &one(), &day, &Options::every(600.0, 5_400.0, 600.0)).unwrap();
    let model = assembled(&sample::oven(), &one()[0]).unwrap();
    for i in 0..h.times_s.len() {
        let faces =
            Faces { floor_c: h.floor_c[i].0[0], crown_c: h.crown_c[i].0[0], fire_side_c: h.fire_side_c[i].0[0] };
        let (held, kept) = (h.store_kwh[i].0[0] * 3.6e6, kept_for_ever_j(&model, faces, 100.0));
        assert!(held <= kept, "{} s: {held} {kept}", h.times_s[i]);
        assert!(kept_for_ever_j(&model, faces, 60.0) >= kept);
    }
}

/// A shoot is the branch with the trunk's events before it, and a trunk is a branch, whatever leaves it.
#[test]
fn a_shoot_goes_on_where_it_leaves_its_trunk() {
    let day = sample::day();
    let fork_s = day.events[day.events.len() / 2].at_s;
    let trunk = rest(&day, fork_s);
    let leaves_s = fork_s + 0.5 * (day.end_s - fork_s);
    let opened = |from: &Branch| {
        let mut events: Vec<Event> = from.events.iter().filter(|event| event.at_s >= leaves_s).copied().collect();
        events.insert(0, Event { at_s: leaves_s, action: Action::Door(Door::Open) });
        let output_times_s = from.output_times_s.iter().filter(|t_s| **t_s >= leaves_s).copied().collect();
        Branch { events, output_times_s, ..from.clone() }
    };
    let shoot = Shoot { leaves_s, branch: opened(&trunk) };
    let mut whole = shoot.branch.clone();
    whole.events = trunk.events.iter().filter(|event| event.at_s < leaves_s).chain(&whole.events).copied().collect();
    let options = Options::default();
    let (oven, shoots) = (sample::oven(), vec![shoot.clone(), shoot]);
    let grown = [Trunk { branch: trunk.clone(), shoots }, Trunk { branch: trunk.clone(), shoots: Vec::new() }];
    let came = trunks(&oven, &one(), &day, fork_s, &grown, &options).unwrap();
    let came: Vec<History<Lane<1>>> = came.into_iter().map(Result::unwrap).collect();
    let apart = branches(&oven, &one(), &day, fork_s, &[trunk, whole], &options).unwrap();
    let apart: Vec<History<Lane<1>>> = apart.into_iter().map(Result::unwrap).collect();
    let furthest_k = |a: &History<Lane<1>>, b: &History<Lane<1>>| {
        assert_eq!(a.times_s, b.times_s);
        a.probe_c.iter().zip(&b.probe_c).map(|(a, b)| (a.0[0] - b.0[0]).abs()).fold(0.0, f64::max)
    };
    assert_eq!(came.len(), 4);
    assert!(furthest_k(&came[0], &apart[0]) < 0.1 && furthest_k(&came[1], &apart[1]) < 0.1);
    assert!(furthest_k(&came[1], &came[2]) <= 0.0, "twice the same");
    assert!(furthest_k(&came[3], &apart[0]) <= 0.0, "nothing leaves it: the branch to the bit");
}

/// A shoot that leaves before the fork, or off a trunk that cannot go on, has an error of its own place.
#[test]
fn a_shoot_that_cannot_leave_says_so() {
    let day = sample::day();
    let fork_s = day.events[day.events.len() / 2].at_s;
    let shoot = |leaves_s: f64| Shoot { leaves_s, branch: rest(&day, leaves_s) };
    let early = Trunk { branch: rest(&day, fork_s), shoots: vec![shoot(fork_s - 1.0), shoot(fork_s + 1.0)] };
    let came = trunks(&sample::oven(), &one(), &day, fork_s, &[early], &Options::default()).unwrap();
    assert_eq!(came.len(), 3);
    assert!(came.iter().all(|one| matches!(one, Err(EngineError::OutOfRange { .. }))));
}
