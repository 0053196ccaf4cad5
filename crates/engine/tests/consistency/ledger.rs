//! The ledger closes on random ovens and days, and every value stays finite and between its sources.

use crate::sample;
use ovenfall_engine::description::{Form, OvenDescription, Quantity};
use ovenfall_engine::drive::{Action, Door, Drive, Event};
use ovenfall_engine::parameters::Parameters;
use ovenfall_engine::simulate::{Options, simulate};
use proptest::prelude::*;

fn ovens() -> impl Strategy<Value = OvenDescription> {
    (0.5..1.4_f64, 0.35..0.6_f64, 0.03..0.2_f64, 0.0..0.15_f64, 0.03..0.12_f64, any::<bool>(), 0.0..2500.0_f64)
        .prop_map(|(diameter, rise, brick, blanket, floor, vault, altitude_m)| {
            let mut oven = sample::oven();
            oven.form = if vault {
                Form::Vault {
                    width_m: Quantity::stated(diameter, 0.05),
                    length_m: Quantity::stated(1.4 * diameter, 0.05),
                    rise_m: Quantity::stated(rise * diameter, 0.05),
                }
            } else {
                Form::Dome {
                    inner_diameter_m: Quantity::stated(diameter, 0.05),
                    rise_m: Quantity::stated(rise * diameter, 0.05),
                }
            };
            oven.mouth.height_m = Quantity::stated(0.6 * rise * diameter, 0.05);
            oven.mouth.width_m = Quantity::stated(0.4 * diameter, 0.05);
            oven.dome = vec![sample::layer(sample::firebrick(), brick)];
            if blanket > 0.01 {
                oven.dome.push(sample::layer(sample::blanket(), blanket));
            }
            oven.floor[0].thickness_m.value = floor;
            oven.altitude_m = altitude_m;
            oven
        })
}

fn action() -> impl Strategy<Value = Action> {
    prop_oneof![
        4 => (0.3..4.0_f64).prop_map(sample::wood),
        1 => Just(Action::EmbersSpread),
        1 => Just(Action::RakeOut),
        2 => Just(Action::Door(Door::Shut)),
        2 => Just(Action::Door(Door::Open)),
        1 => (0.05..0.5_f64).prop_map(|s| Action::Door(Door::Ajar(s))),
        1 => (0.0..0.4_f64).prop_map(|water_kg| Action::Swab { water_kg }),
        1 => (-10.0..35.0_f64).prop_map(Action::Ambient),
        4 => (0_usize..3).prop_map(Action::Place),
        3 => (0_usize..3).prop_map(Action::TakeOut),
        1 => (0_usize..3, 0.1..1.5_f64)
            .prop_map(|(placing, mass_kg)| Action::TopUp { placing, mass_kg, temperature_c: 98.0 }),
    ]
}

/// A legal day: actions on placings that make no sense at their time are dropped.
fn days() -> impl Strategy<Value = Drive> {
    (
        prop::collection::vec((0.0..90.0_f64, action()), 3..16),
        (0.1..4.0_f64, 0.0..3.0_f64, any::<bool>(), 2.0..95.0_f64),
    )
        .prop_map(|(steps, (liquid, solid, lid, start))| {
            let mut drive = sample::day();
            for p in &mut drive.placings {
                p.pot.diameter_m = 0.18;
            }
            drive.placings[0] = sample::pot("any", liquid, solid, lid, start);
            drive.placings[0].pot.diameter_m = 0.2;
            let (mut t, mut inside, mut events) = (0.0, [false; 3], vec![sample::at(0.0, sample::wood(2.0))]);
            for (minutes, action) in steps {
                t += 60.0 * minutes;
                let legal = match action {
                    Action::Place(i) => !std::mem::replace(&mut inside[i], true),
                    Action::TakeOut(i) => std::mem::replace(&mut inside[i], false),
                    Action::TopUp { placing, .. } => inside[placing],
                    _ => true,
                };
                if legal {
                    events.push(Event { at_s: t, action });
                }
            }
            drive.events = events;
            drive.end_s = t + 4.0 * 3600.0;
            drive
        })
}

fn check(oven: &OvenDescription, drive: &Drive, wood: f64) -> Result<(), TestCaseError> {
    let member = Parameters { wood_energy: wood, ..Parameters::default() };
    let history = simulate(oven, &[member], drive, &Options::every(0.0, drive.end_s, 1200.0))
        .map_err(|e| TestCaseError::fail(e.to_string()))?;
    for (i, ledger) in history.ledgers.iter().enumerate() {
        let relative = ledger.residual_j().0[0].abs() / ledger.throughput_j().0[0].max(1e6);
        prop_assert!(relative < 1e-6, "residual {relative:e} at {} s", history.times_s[i]);
        // Air limits the fire, so nothing gets hotter than a flame.
        for t in [history.probe_c[i], history.gas_c[i], history.floor_c[i], history.crown_c[i]] {
            prop_assert!(t.0[0] > -60.0 && t.0[0] < 2000.0, "{} °C at {} s", t.0[0], history.times_s[i]);
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn closes_on_random_ovens_and_days(oven in ovens(), drive in days(), wood in 0.7..1.3_f64) {
        check(&oven, &drive, wood)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 10_000, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    #[ignore = "slow tier: ten thousand ovens and days"]
    fn closes_on_ten_thousand_ovens_and_days(oven in ovens(), drive in days(), wood in 0.7..1.3_f64) {
        check(&oven, &drive, wood)?;
    }
}

/// At the coarsest tolerance in use four different members step together, each dragged along by the most demanding.
fn check_coarse(oven: &OvenDescription, drive: &Drive, spread: f64) -> Result<(), TestCaseError> {
    let member = |f: f64| Parameters { evaporation: f, wood_energy: 2.0 - f, pot_contact: f, ..Parameters::default() };
    let members = [1.0 - spread, 1.0 - 0.3 * spread, 1.0 + 0.3 * spread, 1.0 + spread].map(member);
    let options = Options { tolerance_k: 0.5, ..Options::every(0.0, drive.end_s, 1200.0) };
    let history = simulate(oven, &members, drive, &options).map_err(|e| TestCaseError::fail(e.to_string()))?;
    for probe_c in &history.probe_c {
        prop_assert!(probe_c.0.iter().all(|t| *t > -60.0 && *t < 2000.0), "{:?}", probe_c.0);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn packs_run_at_a_coarse_tolerance(oven in ovens(), drive in days(), spread in 0.0..0.6_f64) {
        check_coarse(&oven, &drive, spread)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 10_000, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    #[ignore = "slow tier: ten thousand packs"]
    fn ten_thousand_packs_run_at_a_coarse_tolerance(oven in ovens(), drive in days(), spread in 0.0..0.6_f64) {
        check_coarse(&oven, &drive, spread)?;
    }
}
