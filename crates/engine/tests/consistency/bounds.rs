//! Second law and monotony: shut and unfired, an empty oven only falls; nothing is hotter than what heats it.

use crate::sample;
use ovenfall_engine::drive::{Action, Door, Drive};
use ovenfall_engine::history::History;
use ovenfall_engine::pack::Lane;
use ovenfall_engine::parameters::Parameters;
use ovenfall_engine::simulate::{Options, simulate};

fn run(drive: &Drive, member: Parameters) -> History<Lane<1>> {
    simulate(&sample::oven(), &[member], drive, &Options::every(0.0, drive.end_s, 300.0)).unwrap()
}

fn shut_empty() -> Drive {
    let mut drive = sample::day();
    drive.events.truncate(9);
    drive.events.push(sample::at(185.0, Action::Door(Door::Shut)));
    drive
}

#[test]
fn store_never_rises_shut_and_unfired() {
    let h = run(&shut_empty(), Parameters { embers_left: 1e-6, ..Parameters::default() });
    let shut = h.times_s.iter().position(|t| *t >= 186.0 * 60.0).unwrap();
    for w in h.store_kwh[shut..].windows(2) {
        assert!(w[1].0[0] <= w[0].0[0] + 1e-9, "{w:?}");
    }
}

#[test]
fn nothing_shines_out_of_a_shut_mouth() {
    use ovenfall_engine::ledger::Account;
    let mut drive = sample::day();
    drive.events.truncate(7);
    drive.events.push(sample::at(150.0, Action::Door(Door::Shut)));
    let h = run(&drive, Parameters::default());
    let out = |i: usize| h.ledgers[i].accounts_j[Account::MouthRadiation as usize].0[0];
    let shut = h.times_s.iter().position(|t| *t >= 151.0 * 60.0).unwrap();
    assert!(out(shut) > 1e5);
    assert!((out(h.times_s.len() - 1) - out(shut)).abs() < 1e-6 * out(shut));
}

#[test]
fn gas_and_probe_lie_between_the_surfaces_and_the_outside() {
    let h = run(&shut_empty(), Parameters::default());
    let late = h.times_s.iter().position(|t| *t >= 240.0 * 60.0).unwrap();
    for i in late..h.times_s.len() {
        let hottest = h.floor_c[i].0[0].max(h.crown_c[i].0[0]).max(h.fire_side_c[i].0[0]);
        assert!(h.gas_c[i].0[0] < hottest && h.gas_c[i].0[0] > 14.0);
        assert!(h.probe_c[i].0[0] < hottest && h.probe_c[i].0[0] > h.gas_c[i].0[0]);
    }
}

#[test]
fn a_cold_oven_left_alone_stays_cold() {
    let drive = Drive { end_s: 36_000.0, ..Drive::default() };
    let h = run(&drive, Parameters::default());
    assert!(h.probe_c.iter().chain(&h.crown_c).all(|t| (t.0[0] - 14.0).abs() < 1e-6));
}

#[test]
fn more_wood_more_heat_and_a_tighter_door_keeps_it() {
    let end = |member| {
        let h = run(&shut_empty(), member);
        (h.store_kwh[h.times_s.len() / 2].0[0], h.probe_c.last().unwrap().0[0])
    };
    let base = end(Parameters::default());
    let wood = end(Parameters { wood_energy: 1.1, ..Parameters::default() });
    let tight = end(Parameters { gap_area: 0.5, ..Parameters::default() });
    assert!(wood.0 > base.0 && wood.1 > base.1);
    assert!(tight.1 > base.1);
}

#[test]
fn contents_never_pass_the_boil_while_there_is_liquid() {
    let h = run(&sample::day(), Parameters::default());
    for p in &h.placings {
        for (t, kg) in p.liquid_c.iter().zip(&p.liquid_kg) {
            assert!(t.0[0].is_nan() || kg.0[0] < 0.1 || t.0[0] < 103.0, "{} °C with {} kg", t.0[0], kg.0[0]);
        }
    }
}

#[test]
fn water_boils_sooner_on_a_mountain() {
    let hottest = |altitude_m: f64| {
        let mut oven = sample::oven();
        oven.altitude_m = altitude_m;
        let drive = sample::day();
        let h = simulate(&oven, &[Parameters::default()], &drive, &Options::every(0.0, 30_000.0, 300.0)).unwrap();
        h.placings[2].liquid_c.iter().map(|t| t.0[0]).filter(|t| t.is_finite()).fold(0.0, f64::max)
    };
    let fall = hottest(0.0) - hottest(1500.0);
    assert!((4.0..6.0).contains(&fall), "{fall}");
}

#[test]
fn depths_lie_between_hot_face_and_what_is_deeper() {
    use ovenfall_engine::simulate::Depth;
    use ovenfall_engine::state::Part;
    let depths = [0.0, 0.02, 0.05, 0.075].map(|depth_m| Depth { part: Part::Crown, depth_m }).to_vec();
    let drive = shut_empty();
    let options = Options { depths, ..Options::every(0.0, 9_000.0, 1500.0) };
    let h = simulate(&sample::oven(), &[Parameters::default()], &drive, &options).unwrap();
    for i in 1..h.times_s.len() {
        assert!((h.depths_c[0][i].0[0] - h.crown_c[i].0[0]).abs() < 1e-9);
        // Fired, heat flows in: it is the cooler the deeper.
        for pair in h.depths_c.windows(2) {
            assert!(pair[0][i].0[0] > pair[1][i].0[0], "{} s", h.times_s[i]);
        }
    }
}
