//! Days that never were: an oven drawn from the prior, a cook's readings of it, and what was true.
//!
//! The truth is one member: drawn by a seed of its own, never moved (one member has nothing to learn from), and asked by the
//! same code what each reading should show. So it is drawn exactly as conditioning assumes, model error and instruments
//! included. Each reading then gets an error with the spread that conditioning gives it. The spread is that of the true value, as
//! the circumstances have it.

use jiff::{SignedDuration, Timestamp};
use ovenfall_engine::description::OvenDescription;
use ovenfall_engine::drive::Drive;
use ovenfall_learn::condition::{Precision, condition_with};
use ovenfall_learn::observation::{Circumstances, above_k};
use ovenfall_learn::random::{self, Purpose};
use ovenfall_learn::{
    ConditionOptions, Conditioned, Fall, FallOptions, Known, LearnError, ModelError, Observation, condition,
    fall_conditioned, observations,
};
use ovenfall_record::day::Day;
use ovenfall_record::day_file::read_day;
use ovenfall_record::oven_file::read_oven;
use ovenfall_record::pots_file::read_pots;
use rand_pcg::Pcg64;
use std::fmt::Write;
use std::ops::Range;

pub const HOUR_S: f64 = 3600.0;
pub const MINUTE_S: f64 = 60.0;

/// Ovens as people described them: three sizes, light and heavy, one of them new.
pub const OVENS: [(&str, &str); 4] = [
    ("bakehouse", include_str!("../../../../data/demo/oven.toml")),
    ("small", include_str!("../../../../data/days/A1/oven.toml")),
    ("medium", include_str!("../../../../data/days/B1/oven.toml")),
    ("new", include_str!("../../../../data/days/E1/oven.toml")),
];

/// Three pots that fit together into the smallest of the ovens.
const POTS: &str = include_str!("pots.toml");
pub const DISHES: [&str; 3] = ["stew", "pulses", "pudding"];

/// One thing done or read, s after lighting.
#[derive(Debug, Clone)]
pub struct Line {
    pub at_s: f64,
    /// Kind, what, value, unit: columns of the day file.
    pub cells: [String; 4],
}

/// A line in which something was done.
pub fn done(at_s: f64, kind: &str, what: &str, value: f64, unit: &str) -> Line {
    let value = if value > 0.0 { format!("{value}") } else { String::new() };
    Line { at_s, cells: [kind.into(), what.into(), value, unit.into()] }
}

/// A line in which something was read; its value is put in later.
pub fn read(at_s: f64, kind: &str, what: &str) -> Line {
    Line { at_s, cells: [kind.into(), what.into(), String::new(), "C".into()] }
}

impl Line {
    fn is_reading(&self) -> bool {
        ["probe", "spot", "masonry", "liquid", "core"].contains(&self.cells[0].as_str())
    }
}

fn moment(at_s: f64) -> Timestamp {
    let lit: Timestamp = "2026-05-02T06:00:00Z".parse().unwrap();
    lit + SignedDuration::from_secs_f64(at_s.round())
}

/// The day file of lines, every reading at the value `value_c` has for its number.
fn day_of(lines: &[Line], value_c: impl Fn(usize) -> f64) -> Day {
    let mut text = String::from("# ovenfall day 1\nid,at,written,kind,what,value,unit,note,strikes\n");
    let mut number = 0;
    for (i, line) in lines.iter().enumerate() {
        let [kind, what, value, unit] = &line.cells;
        let at = moment(line.at_s);
        let value = if line.is_reading() {
            number += 1;
            format!("{:.9}", value_c(number - 1))
        } else {
            value.clone()
        };
        writeln!(text, "{},{at},{at},{kind},{what},{value},{unit},,", i + 1).unwrap();
    }
    read_day("synthetic.csv", &text).unwrap_or_else(|problems| panic!("{problems:#?}\n{text}"))
}

/// How readings err, in units of their spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Errors {
    /// As the spread says.
    Normal,
    /// Student's t with four degrees of freedom: one in nine is beyond two spreads, one in a hundred beyond four and a half.
    Heavy,
}

impl Errors {
    fn drawn(self, generator: &mut Pcg64) -> f64 {
        let normal = random::standard_normal(generator);
        match self {
            Self::Normal => normal,
            Self::Heavy => {
                let chi_square = -2.0 * (random::uniform(generator) * random::uniform(generator)).ln();
                normal / (chi_square / 4.0).sqrt()
            }
        }
    }
}

/// A day as written down, with readings still to be made.
#[derive(Debug, Clone)]
pub struct Scene {
    pub oven: OvenDescription,
    pub infrared_setting: f64,
    pub drive: Drive,
    pub ambient_c: f64,
    pub at_s: f64,
    pub ahead_s: f64,
    pub errors: Errors,
    setting_known: bool,
    lines: Vec<Line>,
    start: Timestamp,
}

/// What was true: the member that stands for it, and what each reading should have shown.
pub struct Truth {
    pub member: Conditioned,
    pub exact_c: Vec<f64>,
}

impl Scene {
    /// A day of an oven file, asked about at `at_s` for `ahead_s`. Lines must be in order of time.
    pub fn new(oven: &str, lines: Vec<Line>, at_s: f64, ahead_s: f64) -> Self {
        let file = read_oven("oven.toml", oven).unwrap();
        let pots = read_pots("pots.toml", POTS).unwrap();
        let day = day_of(&lines, |_| 100.0);
        let driven = ovenfall_record::drive::drive(&day, &pots, moment(at_s), ahead_s).unwrap();
        assert!(driven.left_out.is_empty(), "{:?}", driven.left_out);
        Self {
            infrared_setting: file.infrared_setting,
            setting_known: file.sheet.infrared_emissivity.is_some(),
            ambient_c: driven.drive.ambient_c.unwrap_or(file.description.ambient_c),
            oven: file.description,
            errors: Errors::Normal,
            drive: driven.drive,
            at_s,
            ahead_s,
            lines,
            start: driven.start,
        }
    }

    fn observations(&self, value_c: impl Fn(usize) -> f64) -> Vec<Observation> {
        let day = day_of(&self.lines, value_c);
        observations(&day, &self.drive, self.start, moment(self.at_s), self.ambient_c, None)
    }

    /// The readings to be made, without their values.
    pub fn blank(&self) -> Vec<Observation> {
        self.observations(|_| 100.0)
    }

    fn known(&self, observations: Vec<Observation>) -> Known<'_> {
        Known {
            oven: &self.oven,
            drive: &self.drive,
            at_s: self.at_s,
            observations,
            infrared_setting: self.setting_known.then_some(self.infrared_setting),
            ambient_c: self.ambient_c,
        }
    }

    pub fn conditioned(
        &self,
        observations: Vec<Observation>,
        members: usize,
        seed: u64,
    ) -> Result<Conditioned, LearnError> {
        condition(&self.known(observations), &self.options(members, seed))
    }

    fn options(&self, members: usize, seed: u64) -> ConditionOptions {
        ConditionOptions { members, seed, model_error: ModelError::default(), end_s: self.at_s + self.ahead_s }
    }

    /// The truth drawn by `seed`; the engine may refuse it (a chamber drawn too small), as it may refuse members.
    pub fn truth(&self, seed: u64) -> Result<Truth, LearnError> {
        let options = self.options(1, seed);
        let exact = Precision { tolerance_k: 0.02, run_for_residuals: true };
        let member = condition_with(&self.known(self.blank()), &options, &exact)?;
        let exact_c = member.residuals.iter().map(|residual| residual.predicted_c).collect();
        Ok(Truth { member, exact_c })
    }

    /// What the cook read: each reading with an error of the spread that conditioning gives it, a wider one upwards where
    /// flames or embers make a spot read high. Both halves of such an error have the same density at 0.
    pub fn readings(&self, exact_c: &[f64], seed: u64) -> Vec<Observation> {
        let mut all = self.blank();
        let numbers = self.numbers(&all);
        let of_number = |number: usize| numbers.iter().position(|n| *n == number).map_or(100.0, |i| exact_c[i]);
        let sigmas: Vec<f64> = self.observations(of_number).iter().map(|o| o.sigma_k).collect();
        for (i, (o, sigma_k)) in all.iter_mut().zip(sigmas).enumerate() {
            let generator = &mut random::generator(seed, Purpose::Readings, i);
            let (error, side) = (self.errors.drawn(generator).abs(), random::uniform(generator));
            let circumstances = Circumstances::at(&self.drive, o.at_s);
            let up_k = sigma_k.hypot(above_k(o.target, exact_c[i], self.ambient_c, circumstances));
            let upwards = side < up_k / (up_k + sigma_k);
            o.value_c = exact_c[i] + error * if upwards { up_k } else { -sigma_k };
            o.sigma_k = sigma_k;
        }
        all
    }

    /// For each observation the number of the reading it was made of. (Every stretch of the probe holds one reading.)
    fn numbers(&self, observations: &[Observation]) -> Vec<usize> {
        let readings = self.lines.iter().enumerate().filter(|(_, line)| line.is_reading());
        let ids: Vec<String> = readings.map(|(i, _)| (i + 1).to_string()).collect();
        let number = |o: &Observation| {
            assert_eq!(o.ids.len(), 1, "one reading an observation");
            ids.iter().position(|id| *id == o.ids[0]).unwrap()
        };
        observations.iter().map(number).collect()
    }

    /// What given members say from the hour asked about on, each hour.
    pub fn fall(&self, members: &Conditioned, seed: u64) -> Result<Fall, LearnError> {
        let options = FallOptions {
            seed,
            output_step_s: HOUR_S,
            past_step_s: self.at_s,
            tolerance_k: 0.1,
            ..FallOptions::default()
        };
        fall_conditioned(members, &self.oven, &self.drive, self.at_s, self.ahead_s, &options)
    }
}

/// Numbers drawn one after the other.
pub struct Dice(Pcg64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(random::generator(seed, Purpose::Members, usize::MAX))
    }

    pub fn unit(&mut self) -> f64 {
        random::uniform(&mut self.0)
    }

    fn between(&mut self, range: Range<f64>) -> f64 {
        range.start + self.unit() * (range.end - range.start)
    }

    fn count(&mut self, range: Range<usize>) -> usize {
        range.start + (self.unit() * range.len() as f64) as usize
    }

    fn chance(&mut self, p: f64) -> bool {
        self.unit() < p
    }
}

fn round_of_spots(lines: &mut Vec<Line>, at_s: f64, dice: &mut Dice) {
    let spots = ["floor centre", "crown", "floor back", "fire side", "far side", "back wall", "floor front"];
    let asked = dice.count(3..8);
    lines.extend(spots.iter().take(asked).map(|spot| read(at_s, "spot", spot)));
}

/// Diameter of the chamber, m, as described.
fn size_m(oven: &str) -> f64 {
    use ovenfall_engine::description::Form;
    match read_oven("oven.toml", oven).unwrap().description.form {
        Form::Dome { inner_diameter_m, .. } => inner_diameter_m.value,
        Form::Vault { width_m, .. } => width_m.value,
    }
}

/// A sensible day drawn by `seed`: fire, rake-out, evening-out, up to three pots, and the hour of the question some time
/// after the door was shut. `ahead_s` is how far ahead the question looks.
pub fn scene(seed: u64, ahead_s: f64) -> Scene {
    let dice = &mut Dice::new(seed);
    let oven = OVENS[dice.count(0..OVENS.len())].1;
    let mut lines = vec![done(0.0, "outdoor", "", dice.between(5.0..22.0).round(), "C")];
    // A feed fills the fire's place: about three kilograms in a chamber of a metre.
    let feed_kg = dice.between(2.2..3.6) * size_m(oven).powi(2);
    let (feeds, apart_s) = (dice.count(3..8), dice.between(18.0..28.0).round() * MINUTE_S);
    for k in 0..feeds {
        let kg = (feed_kg * dice.between(0.85..1.15) * 100.0).round() / 100.0;
        lines.push(done(k as f64 * apart_s, "wood on", "", kg, "kg"));
    }
    let burnt_s = feeds as f64 * apart_s;
    round_of_spots(&mut lines, burnt_s, dice);
    let raked_s = burnt_s + dice.between(10.0..30.0).round() * MINUTE_S;
    lines.push(done(raked_s, "raked out", "", 0.0, ""));
    let evened_s = raked_s + 300.0;
    lines.push(done(evened_s, "door", "shut", 0.0, ""));
    let opened_s = evened_s + dice.between(20.0..45.0).round() * MINUTE_S;
    lines.push(read(opened_s - 120.0, "probe", ""));
    lines.push(done(opened_s, "door", "open", 0.0, ""));
    round_of_spots(&mut lines, opened_s + 60.0, dice);
    let pots = dice.count(0..4);
    lines.extend((0..pots).map(|k| done(opened_s + 120.0 + 30.0 * k as f64, "placed", DISHES[k], 0.0, "")));
    let shut_s = opened_s + 240.0;
    lines.push(done(shut_s, "door", "shut", 0.0, ""));
    let at_s = shut_s + dice.between(30.0..150.0).round() * MINUTE_S;
    after_shutting(&mut lines, shut_s, at_s, pots, dice);
    lines.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    Scene::new(oven, lines, at_s, ahead_s)
}

/// The probe each ten minutes; on some days a thermocouple in the dome, a probe in the first pot.
fn after_shutting(lines: &mut Vec<Line>, shut_s: f64, at_s: f64, pots: usize, dice: &mut Dice) {
    let every = |from_s: f64, step_s: f64| {
        (0..).map(move |k| from_s + f64::from(k) * step_s).take_while(move |t_s| *t_s <= at_s)
    };
    lines.extend(every(shut_s + 900.0, 600.0).map(|t_s| read(t_s, "probe", "")));
    if dice.chance(0.3) {
        lines.extend(every(1800.0, 1200.0).map(|t_s| read(t_s, "masonry", "dome 25 mm")));
    }
    if pots > 0 && dice.chance(0.4) {
        lines.extend(every(shut_s + 1800.0, 1800.0).map(|t_s| read(t_s, "liquid", DISHES[0])));
    }
}
