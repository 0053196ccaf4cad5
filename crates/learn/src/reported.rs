//! Members' values as they are reported: with the model error, and what the door was read by.
//!
//! # Equation
//! See [`crate::model_error`]: T' = T + σ e(t) (T − T_ambient), in a pot never across the boil; Q' = Q exp(σ_Q e_Q(t)).
//!
//! # Validity
//! Runs of one ensemble; a member's error is its own whatever the times asked for.
//!
//! # Source
//! As [`crate::model_error`].

use crate::ensemble::{LANES, PackHistory, Run};
use crate::model_error::{ModelError, Paths, boiling_c, held_by_boil_k};
use crate::random::Purpose;
use crate::series::{PlacingVisible, Series, Visible};
use ovenfall_engine::description::OvenDescription;
use ovenfall_engine::drive::{Action, Drive};
use ovenfall_engine::pack::Lane;
use std::ops::Range;

/// Members' values as they are reported: with the model error.
pub(crate) struct Reported<'a> {
    run: &'a Run,
    names: Vec<&'a str>,
    times_s: &'a [f64],
    /// Outdoor temperature at each output time, °C.
    ambient_c: Vec<f64>,
    boiling_c: f64,
    error: ModelError,
    temperature: Paths,
    store: Paths,
}

impl<'a> Reported<'a> {
    /// `seed` draws the model error where `innovations` does not give it.
    pub(crate) fn new(
        run: &'a Run,
        innovations: Option<&[Vec<f64>]>,
        (oven, drive): (&OvenDescription, &'a Drive),
        times_s: &'a [f64],
        (error, seed): (ModelError, u64),
    ) -> Self {
        let paths = |purpose| Paths::new(seed, purpose, &run.used, times_s, error.correlation_s);
        let temperature = match innovations {
            Some(all) => {
                let of_used: Vec<&[f64]> = run.used.iter().filter_map(|&j| all.get(j).map(Vec::as_slice)).collect();
                Paths::of_innovations(&of_used, times_s, error.correlation_s)
            }
            None => paths(Purpose::TemperatureError),
        };
        Self {
            run,
            names: drive.placings.iter().map(|placing| placing.name.as_str()).collect(),
            times_s,
            ambient_c: times_s.iter().map(|&t_s| ambient_at_c(oven, drive, t_s)).collect(),
            boiling_c: boiling_c(oven.altitude_m),
            error,
            temperature,
            store: paths(Purpose::StoreError),
        }
    }

    /// Change of a member's temperature, K.
    fn change_k(&self, t: usize, member: usize, t_c: f64) -> f64 {
        let share = self.error.temperature_share * self.temperature.at(t, member);
        share * (t_c - self.ambient_c[t])
    }

    fn temperature(&self, times: &Range<usize>, of: impl Fn(&PackHistory) -> &[Lane<LANES>]) -> Series {
        let first = times.start;
        let series = self.run.series(times.clone(), of);
        series.map(|t, member, t_c| t_c + self.change_k(first + t, member, t_c))
    }

    fn in_pot(&self, times: &Range<usize>, of: impl Fn(&PackHistory) -> &[Lane<LANES>]) -> Series {
        let first = times.start;
        self.run.series(times.clone(), of).map(|t, member, t_c| {
            let change_k = self.change_k(first + t, member, t_c);
            t_c + held_by_boil_k(change_k, t_c, self.boiling_c)
        })
    }

    fn store(&self, times: &Range<usize>) -> Series {
        let first = times.start;
        self.run.series(times.clone(), |history| &history.store_kwh).map(|t, member, kwh| {
            let e = self.store.at(first + t, member);
            kwh * libm::exp(self.error.store_share * e)
        })
    }

    fn placing(&self, index: usize, name: &str, times: &Range<usize>) -> PlacingVisible<Series> {
        let core_c = self.in_pot(times, |history| &history.placings[index].core_c);
        PlacingVisible {
            name: name.to_owned(),
            liquid_kg: self.run.series(times.clone(), |history| &history.placings[index].liquid_kg),
            liquid_c: self.in_pot(times, |history| &history.placings[index].liquid_c),
            valid_share: core_c.valid_share(),
            core_c,
        }
    }

    /// Everything visible over the output times in `times`.
    pub(crate) fn visible(&self, times: Range<usize>) -> Visible<Series> {
        let placings = self.names.iter().enumerate();
        Visible {
            times_s: self.times_s[times.clone()].to_vec(),
            probe_c: self.temperature(&times, |history| &history.probe_c),
            gas_c: self.temperature(&times, |history| &history.gas_c),
            floor_c: self.temperature(&times, |history| &history.floor_c),
            crown_c: self.temperature(&times, |history| &history.crown_c),
            store_kwh: self.store(&times),
            placings: placings.map(|(i, name)| self.placing(i, name, &times)).collect(),
        }
    }
}

/// The outdoor temperature at a time, as the day or else the description has it, °C.
pub(crate) fn ambient_at_c(oven: &OvenDescription, drive: &Drive, t_s: f64) -> f64 {
    let said = drive.events.iter().filter(|event| event.at_s <= t_s).rev();
    let last = said.filter_map(|event| match event.action {
        Action::Ambient(t_c) => Some(t_c),
        _ => None,
    });
    last.into_iter().next().or(drive.ambient_c).unwrap_or(oven.ambient_c)
}
