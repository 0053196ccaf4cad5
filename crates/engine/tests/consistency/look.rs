use crate::sample;
use ovenfall_engine::{pack::Lane, parameters::Parameters, simulate::{Options, simulate}};
#[test]
fn look() {
    let o = Options::every(0.0, 86400.0, 1800.0);
    let d = sample::day();
    let t0 = std::time::Instant::now();
    let h = simulate(&sample::oven(), &[Parameters::default(); 4], &d, &o).unwrap();
    println!("{:?} {:?}", t0.elapsed(), h.effort);
    let t0 = std::time::Instant::now();
    let _ = simulate(&sample::oven(), &[Parameters::default(); 1], &d, &o).unwrap();
    println!("L1 {:?}", t0.elapsed());
    for i in 0..h.times_s.len() {
        let l: &Lane<4> = &h.probe_c[i];
        let g = &h.ledgers[i];
        println!("{:6.0} probe {:6.1} gas {:6.1} floor {:6.1} crown {:6.1} side {:6.1} store {:5.2} res {:.1e} | {:?}", h.times_s[i]/60., l.0[0], h.gas_c[i].0[0], h.floor_c[i].0[0], h.crown_c[i].0[0], h.fire_side_c[i].0[0], h.store_kwh[i].0[0], g.residual_j().0[0]/g.throughput_j().0[0].max(1.), h.placings.iter().map(|p| format!("{:.2} {:.0} {:.0}", p.liquid_kg[i].0[0], p.liquid_c[i].0[0], p.core_c[i].0[0])).collect::<Vec<_>>());
    }
    let g = h.ledgers.last().unwrap();
    println!("{:?} wood {:.1} emb {:.1} mas {:.1} kWh", g.accounts_j.map(|a| (a.0[0]/3.6e4).round()/100.), g.wood_j.0[0]/3.6e6, g.embers_out_j.0[0]/3.6e6, g.masonry_change_j.0[0]/3.6e6);
}
