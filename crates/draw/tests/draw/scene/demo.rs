//! The forecast of the built-in demo day at 09:25, as the command line computed it: 193 times, seven placings, six windows.
//! Kept as rounded figures so that sizes and layouts are measured on a real day.

use ovenfall_draw::fall::{FallPicture, PlacingLane, ReadingMark, Trace};
use ovenfall_draw::{Bands, Clock, Span, Suits, Window};

const FIGURES: &str = include_str!("demo_day.csv");

/// A column of the file; holes are not a number.
fn column(name: &str) -> Vec<f64> {
    let mut lines = FIGURES.lines();
    let at = lines.next().unwrap().split(',').position(|head| head == name).unwrap();
    lines.map(|line| line.split(',').nth(at).unwrap().parse().unwrap_or(f64::NAN)).collect()
}

fn bands(name: &str) -> Bands {
    let quantile = |q: &str| column(&format!("{name}_{q}"));
    Bands {
        p05: quantile("p05"),
        p25: quantile("p25"),
        p50: quantile("p50"),
        p75: quantile("p75"),
        p95: quantile("p95"),
    }
}

fn lane(times_min: &[f64], name: &str, in_min: f64, out_min: f64, (low, high): (f64, f64)) -> PlacingLane {
    let core = |value: f64| times_min.iter().map(|t| if *t < in_min { f64::NAN } else { value }).collect();
    let middle = f64::midpoint(low, high);
    let core_c = Bands { p05: core(low), p25: core(middle), p50: core(middle), p75: core(middle), p95: core(high) };
    PlacingLane { name: name.to_owned(), in_min, out_min: Some(out_min), core_c: Some(core_c) }
}

fn placings(times_min: &[f64]) -> Vec<PlacingLane> {
    let lane = |name, in_min, out_min, core| lane(times_min, name, in_min, out_min, core);
    vec![
        lane("flatbreads", 18.0, 24.0, (58.4, 75.5)),
        lane("first tin loaf", 161.0, 210.0, (77.9, 92.3)),
        lane("second tin loaf", 162.0, 211.0, (77.1, 91.8)),
        lane("lamb shoulder", 362.0, 672.0, (90.6, 96.9)),
        lane("chickpeas", 363.0, 673.0, (100.3, 100.5)),
        lane("quinces", 364.0, 611.0, (100.2, 100.4)),
        lane("rice pudding", 502.0, 674.0, (100.1, 100.4)),
    ]
}

fn window(dish: &str, (low_c, high_c): (f64, f64), judged_by: Trace, spans: [&[(f64, f64)]; 3]) -> Window {
    let [nine_in_ten, even, possible] = spans
        .map(|spans| spans.iter().map(|(from_min, to_min)| Span { from_min: *from_min, to_min: *to_min }).collect());
    Window { dish: dish.to_owned(), low_c, high_c, judged_by, reads_right: Suits { nine_in_ten, even, possible } }
}

fn windows() -> Vec<Window> {
    let probe = Trace::Probe;
    vec![
        window("flatbreads", (300.0, 380.0), Trace::Floor, [&[(0.0, 15.2)], &[(0.0, 17.4)], &[(0.0, 20.1)]]),
        window(
            "tin loaf",
            (180.0, 230.0),
            probe,
            [&[(164.7, 205.5)], &[(138.1, 207.5)], &[(135.3, 209.7), (335.6, 359.4)]],
        ),
        window(
            "quinces",
            (110.0, 170.0),
            probe,
            [&[(374.5, 720.0)], &[(372.5, 720.0)], &[(185.7, 194.3), (336.0, 720.0)]],
        ),
        window("lamb shoulder", (100.0, 150.0), probe, [&[(493.0, 720.0)], &[(373.4, 720.0)], &[(360.9, 720.0)]]),
        window("chickpeas", (105.0, 150.0), probe, [&[(493.0, 720.0)], &[(373.4, 720.0)], &[(362.4, 720.0)]]),
        window("rice pudding", (120.0, 150.0), probe, [&[(494.2, 601.5)], &[(373.4, 720.0)], &[(370.3, 720.0)]]),
    ]
}

/// The picture of the demo day.
pub fn day() -> FallPicture {
    let times_min = column("min");
    let reading = |at_min: f64, value_c: f64, what: Trace| ReadingMark { at_min, value_c, what };
    FallPicture {
        title: "Slipway Bakehouse, Saturday 13 June, 09:25".to_owned(),
        clock: Clock {
            now_of_day_min: 565.0,
            weekday_monday0: Some(5),
            zone: "Europe/London".to_owned(),
            change: None,
        },
        probe_c: bands("probe"),
        gas_c: bands("gas"),
        floor_c: bands("floor"),
        crown_c: bands("crown"),
        store_kwh: bands("store"),
        store_above_c: 100.0,
        placings: placings(&times_min),
        readings: vec![
            reading(-63.0, 412.0, Trace::Floor),
            reading(-63.0, 418.0, Trace::Crown),
            reading(0.0, 288.0, Trace::Probe),
        ],
        windows: windows(),
        times_min,
    }
}
