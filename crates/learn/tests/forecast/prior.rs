//! Spreads, the way from coordinates to parameters and back, and what an ensemble makes of the prior.

use crate::day::{day, firebrick, oven};
use ovenfall_engine::drive::Drive;
use ovenfall_engine::parameters::Parameters;
use ovenfall_learn::prior::{Kind, Row};
use ovenfall_learn::{DIMENSION, Ensemble, LearnError, PRIOR, Prior};
use proptest::prelude::*;

fn row(name: &str) -> (usize, &'static Row) {
    PRIOR.iter().enumerate().find(|(_, row)| row.name == name).unwrap()
}

fn sigma(prior: &Prior, name: &str) -> f64 {
    prior.sigmas()[row(name).0]
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-12 * (1.0 + b.abs())
}

/// Every field of the engine's parameters has one row, under its own name: the debug form lists the fields.
#[test]
fn every_parameter_has_one_row() {
    let text = format!("{:?}", Parameters::default());
    let fields: Vec<&str> = text
        .trim_start_matches("Parameters {")
        .split(',')
        .filter_map(|field| Some(field.split_once(':')?.0.trim()))
        .collect();
    let rows: Vec<&str> = PRIOR.iter().map(|row| row.name).collect();
    assert_eq!(fields.len(), DIMENSION);
    for field in &fields {
        assert_eq!(rows.iter().filter(|name| *name == field).count(), 1, "{field}");
    }
}

/// Each row writes the field it reads, and no other.
#[test]
fn a_coordinate_moves_its_own_parameter_only() {
    let prior = Prior::new(&oven());
    for (d, row) in PRIOR.iter().enumerate() {
        let mut z = vec![0.0; DIMENSION];
        z[d] = 1.0;
        let moved = prior.parameters(&z).unwrap();
        for other in &PRIOR {
            let same = close(other.read(&moved), other.median());
            assert_eq!(same, other.name != row.name, "{} by {}", other.name, row.name);
        }
    }
}

#[test]
fn the_median_is_the_oven_as_described() {
    let parameters = Prior::new(&oven()).parameters(&vec![0.0; DIMENSION]).unwrap();
    for row in &PRIOR {
        assert!(close(row.read(&parameters), row.median()), "{}", row.name);
    }
}

/// The description's own spreads lead: sizes 3, 3 and 6 %; dense layers 76 mm at 4 % and 64 mm at 5 %.
#[test]
fn stated_spreads_take_the_place_of_the_rows() {
    let mut oven = oven();
    let prior = Prior::new(&oven);
    assert!(close(sigma(&prior, "size"), 0.04));
    assert!(close(sigma(&prior, "dense_thickness"), (76.0 * 0.04 + 64.0 * 0.05) / 140.0));
    assert!(close(sigma(&prior, "gap_area"), 0.47));
    assert!(close(sigma(&prior, "ambient_offset_k"), 4.0));
    assert!(close(sigma(&prior, "dome_conductivity"), 0.15));
    oven.dome[0].material.conductivity_rel_sigma = 0.22;
    let prior = Prior::new(&oven);
    assert!(close(sigma(&prior, "dome_conductivity"), 0.22));
    assert!(close(sigma(&prior, "floor_conductivity"), 0.15));
}

/// Layers of a part are weighed by their thermal resistance: 10 mm of the same brick at 30 % beside 76 mm at 22 %.
#[test]
fn conductivity_of_layers_is_weighed_by_resistance() {
    let mut oven = oven();
    oven.dome[0].material.conductivity_rel_sigma = 0.22;
    let mut second = oven.dome[0].clone();
    second.material.conductivity_rel_sigma = 0.30;
    second.thickness_m.value = 0.010;
    oven.dome.insert(1, second);
    assert_eq!(oven.dome[1].material.name, firebrick().name);
    let expected = (76.0 * 0.22 + 10.0 * 0.30) / 86.0;
    assert!(close(sigma(&Prior::new(&oven), "dome_conductivity"), expected));
}

/// Six equal feeds: 4 % a feed leaves 4/√6 % beside the common 7.5 %; a temperature read on the day narrows ambient.
#[test]
fn a_day_states_spreads_of_its_own() {
    let mut drive = day();
    let prior = Prior::for_day(&oven(), &drive);
    assert!(close(sigma(&prior, "wood_energy"), (0.075_f64.powi(2) + 0.04_f64.powi(2) / 6.0).sqrt()));
    assert!(close(sigma(&prior, "start_offset_k"), 4.0));
    assert!(close(sigma(&prior, "ambient_offset_k"), 4.0));
    drive.ambient_c = Some(9.0);
    assert!(close(sigma(&Prior::for_day(&oven(), &drive), "ambient_offset_k"), 1.5));
    let unknown = Prior::for_day(&oven(), &Drive::default());
    assert!(close(sigma(&unknown, "wood_energy"), row("wood_energy").1.sigma));
}

#[test]
fn spreads_that_are_no_numbers_count_as_not_said() {
    let mut oven = oven();
    oven.mouth.gap_m2.rel_sigma = f64::NAN;
    oven.ambient_sigma_k = -1.0;
    let prior = Prior::new(&oven);
    assert!(close(sigma(&prior, "gap_area"), row("gap_area").1.sigma));
    assert!(close(sigma(&prior, "ambient_offset_k"), row("ambient_offset_k").1.sigma));
}

proptest! {
    /// Coordinates → parameters → coordinates, out to four sigma; and the parameters are ones the engine accepts.
    #[test]
    fn coordinates_come_back(z in prop::collection::vec(-4.0..4.0_f64, DIMENSION)) {
        let prior = Prior::new(&oven());
        let parameters = prior.parameters(&z).unwrap();
        for row in &PRIOR {
            let value = row.read(&parameters);
            match row.kind {
                Kind::LogNormal => prop_assert!(value > 0.0, "{}", row.name),
                Kind::Normal => prop_assert!(value.is_finite(), "{}", row.name),
                Kind::Share { low, high } => {
                    prop_assert!(low < value && value < high, "{}", row.name);
                }
            }
        }
        let back = prior.coordinates(&parameters).unwrap();
        for ((row, z), back) in PRIOR.iter().zip(&z).zip(&back) {
            prop_assert!((z - back).abs() < 1e-9, "{}: {z} {back}", row.name);
        }
    }
}

#[test]
fn what_the_prior_cannot_reach_is_refused() {
    let prior = Prior::new(&oven());
    let found = prior.parameters(&[0.0; 3]);
    assert_eq!(found, Err(LearnError::Coordinates { expected: DIMENSION, found: 3 }));
    let over = Parameters { char_share: 1.0, ..Parameters::default() };
    let refused = prior.coordinates(&over);
    assert_eq!(refused, Err(LearnError::OutsidePrior { parameter: "char_share", value: 1.0 }));
    let negative = Parameters { gap_area: -1.0, ..Parameters::default() };
    assert!(prior.coordinates(&negative).is_err());
}

/// A quantity stated exactly is fixed, and the way back still works.
#[test]
fn a_spread_of_zero_fixes_the_parameter() {
    let mut oven = oven();
    oven.mouth.gap_m2.rel_sigma = 0.0;
    let prior = Prior::new(&oven);
    let parameters = prior.parameters(&vec![2.0; DIMENSION]).unwrap();
    assert!(close(parameters.gap_area, 1.0));
    assert!(close(prior.coordinates(&parameters).unwrap()[row("gap_area").0], 0.0));
    let moved = Parameters { gap_area: 1.2, ..parameters };
    assert!(prior.coordinates(&moved).is_err());
}

fn mean_and_sd(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    (mean, (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / n).sqrt())
}

/// 256 members have the prior's mean and spread in every row: of logarithms for factors, of the values for offsets,
/// and for shares of what the slope at the median says. Within strata the mean is all but fixed; the spread varies by
/// 1.3 % from the eight members in the outermost ones, so 4 % is three sigma. (Plain draws: 6 % of σ and 4.4 %.)
#[test]
fn drawn_members_have_the_mean_and_spread_of_the_prior() {
    let prior = Prior::for_day(&oven(), &day());
    let ensemble = Ensemble::draw(&prior, 256, 20).unwrap();
    for (row, &sigma) in PRIOR.iter().zip(prior.sigmas()) {
        let on_scale = |value: f64| match row.kind {
            Kind::LogNormal => (value / row.median()).ln(),
            Kind::Normal => value - row.median(),
            Kind::Share { low, high } => {
                let width = high - low;
                let logit = |v: f64| ((v - low) / (high - v)).ln();
                let share = (row.median() - low) / width;
                (logit(value) - logit(row.median())) * width * share * (1.0 - share)
            }
        };
        let drawn: Vec<f64> = ensemble.parameters.iter().map(|p| on_scale(row.read(p))).collect();
        let (mean, sd) = mean_and_sd(&drawn);
        assert!(mean.abs() < 0.01 * sigma, "{}: mean {mean}", row.name);
        assert!((sd / sigma - 1.0).abs() < 0.04, "{}: sd {sd} of {sigma}", row.name);
    }
}

/// Near its median a share spreads as its row says: emissivity 0.90 ± 0.04, never 0.99.
#[test]
fn emissivity_stays_below_its_limit() {
    let prior = Prior::new(&oven());
    let ensemble = Ensemble::draw(&prior, 1024, 3).unwrap();
    let drawn: Vec<f64> = ensemble.parameters.iter().map(|p| p.chamber_emissivity).collect();
    let (mean, sd) = mean_and_sd(&drawn);
    assert!((mean - 0.90).abs() < 0.01 && (sd - 0.04).abs() < 0.006, "{mean} ± {sd}");
    assert!(drawn.iter().all(|e| (0.6..0.99).contains(e)));
}
