//! A made-up evening at a harbour-side bakehouse: shut at 17:20 at 330 °C, down to 110 °C by five in the morning.
//! The numbers are shaped like a fall (a quick and a slow exponential), not computed from an oven.

pub mod demo;
pub mod oven;
pub mod past_day;
pub mod walls;

use ovenfall_draw::fall::{FallPicture, PlacingLane, ReadingMark, Trace};
use ovenfall_draw::ledger::{LedgerPicture, LedgerRow};
use ovenfall_draw::{Bands, Clock, Span, Suits, Window};

pub fn bands(times_min: &[f64], middle: impl Fn(f64) -> f64, sigma: impl Fn(f64) -> f64) -> Bands {
    let at = |z: f64| times_min.iter().map(|t| middle(*t) + z * sigma(*t)).collect();
    Bands { p05: at(-1.645), p25: at(-0.674), p50: at(0.0), p75: at(0.674), p95: at(1.645) }
}

fn probe_c(t_min: f64) -> f64 {
    let t = t_min + 60.0;
    105.0 + 95.0 * (-t / 60.0).exp() + 130.0 * (-t / 420.0).exp() - 14.0 / (1.0 + (-(t - 130.0) / 12.0).exp())
}

fn core(times_min: &[f64], from_min: f64, to_min: f64, tau_min: f64) -> Bands {
    let inside = |t: f64| if t < from_min || t > to_min { f64::NAN } else { t - from_min };
    bands(times_min, |t| 97.0 - 77.0 * (-inside(t) / tau_min).exp(), |t| 0.2 + 3.0 * (-inside(t) / tau_min).exp())
}

fn placings(times_min: &[f64]) -> Vec<PlacingLane> {
    let lane = |name: &str, in_min: f64, out_min: Option<f64>, tau: f64| PlacingLane {
        name: name.to_owned(),
        in_min,
        out_min,
        core_c: Some(core(times_min, in_min, out_min.unwrap_or(1e9), tau)),
    };
    vec![
        lane("two tin loaves", -35.0, Some(15.0), 12.0),
        lane("lamb shoulder", 60.0, Some(400.0), 95.0),
        lane("chickpeas", 70.0, None, 120.0),
    ]
}

fn windows() -> Vec<Window> {
    let window = |dish: &str, (low_c, high_c): (f64, f64), judged_by: Trace, ends: [(f64, f64); 3]| {
        let [nine_in_ten, even, possible] =
            ends.map(|(from_min, to_min)| if from_min < to_min { vec![Span { from_min, to_min }] } else { Vec::new() });
        let reads_right = Suits { nine_in_ten, even, possible };
        Window { dish: dish.to_owned(), low_c, high_c, judged_by, reads_right }
    };
    const NEVER: (f64, f64) = (0.0, 0.0);
    vec![
        window("flatbreads", (300.0, 380.0), Trace::Floor, [NEVER, NEVER, NEVER]),
        window("lamb shoulder", (170.0, 240.0), Trace::Probe, [(35.0, 160.0), (20.0, 190.0), (5.0, 230.0)]),
        window("rice pudding", (120.0, 150.0), Trace::Probe, [(420.0, 560.0), (370.0, 650.0), (300.0, 720.0)]),
    ]
}

pub fn evening() -> FallPicture {
    let times_min: Vec<f64> = (-6..=72).map(|i| f64::from(i) * 10.0).collect();
    let sigma = |t: f64| 3.0 + 9.0 * ((t + 60.0) / 780.0).max(0.0).sqrt();
    let around = |by: f64| bands(&times_min, |t| probe_c(t) + by * (-(t + 60.0) / 200.0).exp(), sigma);
    let reading = |at_min: f64, value_c: f64, what: Trace| ReadingMark { at_min, value_c, what };
    FallPicture {
        title: "Harbour bakehouse, Saturday firing".to_owned(),
        clock: Clock {
            now_of_day_min: 18.0 * 60.0 + 20.0,
            weekday_monday0: Some(5),
            zone: "UTC+01:00".to_owned(),
            change: None,
        },
        probe_c: around(0.0),
        gas_c: around(-6.0),
        floor_c: around(24.0),
        crown_c: around(-12.0),
        store_kwh: bands(&times_min, |t| 52.0 * (-(t + 60.0) / 520.0).exp(), |t| 2.0 + 0.001 * t),
        store_above_c: 100.0,
        placings: placings(&times_min),
        readings: vec![
            reading(-55.0, 343.0, Trace::Floor),
            reading(-52.0, 322.0, Trace::Crown),
            reading(-30.0, 282.0, Trace::Probe),
            reading(-2.0, 252.0, Trace::Probe),
        ],
        windows: windows(),
        times_min,
    }
}

pub fn heat() -> LedgerPicture {
    let row = |label: &str, energy_kwh: f64| LedgerRow { label: label.to_owned(), energy_kwh };
    LedgerPicture {
        title: "Where the heat went".to_owned(),
        source: "31 kg of wood, 128 kWh".to_owned(),
        rows: vec![
            row("still in the masonry", 46.3),
            row("out of the mouth with warm gas", 38.9),
            row("unburnt, and up the flue", 12.8),
            row("through the dome", 9.4),
            row("through the floor", 4.1),
            row("radiated out of the mouth", 11.7),
            row("steam and damp", 3.2),
            row("into the food", 2.1),
            row("door and air", -0.9),
            row("embers raked out", 0.4),
        ],
    }
}
