//! Same bits: one lane replaying a pack's steps, lane by lane. (Independence of threads is tested where threads are: in `learn`.)

use crate::sample;
use ovenfall_engine::history::History;
use ovenfall_engine::pack::Lane;
use ovenfall_engine::parameters::Parameters;
use ovenfall_engine::simulate::{Options, simulate};

fn members() -> [Parameters; 4] {
    [0.9, 1.0, 1.1, 1.25].map(|f| Parameters {
        dome_conductivity: f,
        wood_energy: 2.0 - f,
        gap_area: f * f,
        ambient_offset_k: 4.0 * (f - 1.0),
        ..Parameters::default()
    })
}

fn bits<const L: usize>(h: &History<Lane<L>>, lane: usize) -> Vec<u64> {
    h.probe_c
        .iter()
        .chain(&h.gas_c)
        .chain(&h.store_kwh)
        .chain(h.placings.iter().flat_map(|p| p.core_c.iter().chain(&p.liquid_kg)))
        .map(|x| x.0[lane].to_bits())
        .collect()
}

#[test]
fn one_lane_replays_a_pack_bit_for_bit() {
    let options = Options::every(0.0, 86_400.0, 900.0);
    let pack = simulate(&sample::oven(), &members(), &sample::day(), &options).unwrap();
    for (lane, member) in members().into_iter().enumerate() {
        let replay = Options { replay_steps_s: Some(pack.steps_s.clone()), ..options.clone() };
        let alone = simulate(&sample::oven(), &[member], &sample::day(), &replay).unwrap();
        assert_eq!(bits(&alone, 0), bits(&pack, lane), "lane {lane}");
    }
}
