//! What instruments would show of every member of a run: the step from computed temperatures to readings.
//!
//! # Equation
//! A computed temperature T becomes T' = T + σ e (T − T_ambient) with the member's model error e ([`crate::model_error`];
//! in a pot held by the boil). The chamber probe shows T' plus its offset; an infra-red thermometer sees the patch, off by
//! what this spot is off all day ([`crate::instrument`]), with the band emissivity below and the rest of the chamber reflected.
//!
//! # Validity
//! Emissivity hardly matters in a chamber: what a patch does not emit it reflects from walls nearly as hot. Between bare hot
//! brick (0.90) and soot (0.95 and more) a spot 40 K hotter than the walls reads 2 K higher, which is within the error of
//! a spot. Flames and embers in view are another matter: see [`crate::observation::above_k`].
//!
//! # Source
//! Band emissivity of brick in 8–14 µm 0.90 ± 0.05, soot 0.95 to 0.97 (emissivity tables of infra-red camera manuals; the
//! value between them is judgement).

use crate::condition::{Conditioned, Known};
use crate::ensemble::{LANES, PackHistory, Run};
use crate::instrument::Instruments;
use crate::model_error::{ModelError, Paths, boiling_c, held_by_boil_k};
use crate::observation::Target;
use ovenfall_engine::observe::infrared_reading_c;
use ovenfall_engine::pack::Lane;
use ovenfall_engine::simulate::{Depth, Options};
use ovenfall_record::reading::Spot;

/// Emissivity of hot masonry in the band of infra-red thermometers.
const BAND_EMISSIVITY: f64 = 0.92;
/// What an infra-red thermometer is set to when nobody says.
const USUAL_SETTING: f64 = 0.95;

/// What a member knows beside the oven's parameters.
#[derive(Debug, Clone, Copy)]
pub struct Hidden<'a> {
    /// Coordinates of its instruments.
    pub instruments: &'a [f64],
    /// Innovations of its model error.
    pub innovations: &'a [f64],
    /// Offset of its chamber probe, K.
    pub probe_offset_k: f64,
}

/// Predicts readings of every member that ran.
#[derive(Debug)]
pub struct Operator<'a> {
    known: &'a Known<'a>,
    run: &'a Run,
    depths: &'a [Depth],
    hidden: Vec<Hidden<'a>>,
    paths: Paths,
    share: f64,
}

impl<'a> Operator<'a> {
    /// An operator for a run with `outputs`, of members whose hidden part `of` tells by index.
    #[must_use]
    pub fn new(
        known: &'a Known<'a>,
        run: &'a Run,
        outputs: &'a Options,
        of: impl Fn(usize) -> Hidden<'a>,
        error: ModelError,
    ) -> Self {
        let hidden: Vec<Hidden<'a>> = run.used.iter().map(|&member| of(member)).collect();
        let innovations: Vec<&[f64]> = hidden.iter().map(|hidden| hidden.innovations).collect();
        let paths = Paths::of_innovations(&innovations, &outputs.output_times_s, error.correlation_s);
        Self { known, run, depths: &outputs.depths, hidden, paths, share: error.temperature_share }
    }

    /// What `target` shows at output time number `t`, °C, one value for each member of [`Run::used`] in order; not a number
    /// where there is nothing to read (a pot outside, a depth that was not asked for, a time beyond the last).
    #[must_use]
    pub fn shown_c(&self, t: usize, target: Target) -> Vec<f64> {
        let mut place = 0;
        self.run.each(|history, lane| {
            let e = self.share * self.paths.at(t, place);
            let hidden = &self.hidden[place];
            place += 1;
            self.of_member(history, lane, t, target, e, hidden)
        })
    }

    fn of_member(&self, h: &PackHistory, lane: usize, t: usize, target: Target, e: f64, hidden: &Hidden<'_>) -> f64 {
        let ambient_c = self.known.ambient_c;
        let wrong = |t_c: f64| t_c + e * (t_c - ambient_c);
        let boiling_c = boiling_c(self.known.oven.altitude_m);
        let pot = |t_c: f64| t_c + held_by_boil_k(e * (t_c - ambient_c), t_c, boiling_c);
        let of = |series: &[Lane<LANES>]| series.get(t).map_or(f64::NAN, |lanes| lanes.0[lane]);
        let instruments = Instruments::new(hidden.instruments, self.known.infrared_setting.is_some());
        let placing = |i: usize| h.placings.get(i);
        match target {
            Target::Probe => wrong(of(&h.probe_c)) + hidden.probe_offset_k,
            Target::Spot(spot) => {
                let (floor, crown) = (of(&h.floor_c), of(&h.crown_c));
                let patch = match spot {
                    Spot::FloorBack | Spot::FloorCentre | Spot::FloorFront => floor,
                    Spot::Crown | Spot::BackWall | Spot::FarSide => crown,
                    Spot::FireSide => of(&h.fire_side_c),
                };
                let around = wrong(0.5 * (floor + crown));
                let setting = self.known.infrared_setting.unwrap_or(USUAL_SETTING);
                spot_c(spot, wrong(patch), around, ambient_c, setting, &instruments)
            }
            Target::Masonry { part, depth_m } => {
                let index = self.depths.iter().position(|depth| *depth == Depth { part, depth_m });
                index.and_then(|i| h.depths_c.get(i)).map_or(f64::NAN, |series| wrong(of(series)))
            }
            Target::Liquid(i) => placing(i).map_or(f64::NAN, |p| pot(of(&p.liquid_c))),
            Target::Core(i) => placing(i).map_or(f64::NAN, |p| pot(of(&p.core_c))),
            Target::Hand => wrong(of(&h.probe_c)) + instruments.hand_k(),
        }
    }
}

fn spot_c(spot: Spot, patch_c: f64, around_c: f64, ambient_c: f64, setting: f64, instruments: &Instruments<'_>) -> f64 {
    let surface_c = patch_c + instruments.spot_k(spot, patch_c - ambient_c);
    instruments.shown_c(infrared_reading_c(surface_c, BAND_EMISSIVITY, around_c, setting))
}

/// What `target` would show at output time number `t` of a run of conditioned members with `outputs`, °C: one value for each
/// member of [`Run::used`], without the error of the reading itself ([`crate::observation::sigma_k`]).
#[must_use]
pub fn predicted(
    run: &Run,
    outputs: &Options,
    known: &Known<'_>,
    conditioned: &Conditioned,
    error: ModelError,
    (t, target): (usize, Target),
) -> Vec<f64> {
    let of = |member: usize| Hidden {
        instruments: conditioned.instruments.get(member).map_or(&[], Vec::as_slice),
        innovations: conditioned.innovations.get(member).map_or(&[], Vec::as_slice),
        probe_offset_k: conditioned.ensemble.parameters.get(member).map_or(0.0, |p| p.probe_offset_k),
    };
    Operator::new(known, run, outputs, of, error).shown_c(t, target)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Soot or bare brick: a spot 40 K over its surroundings, read with the usual setting.
    #[test]
    fn soot_hardly_changes_a_spot_in_a_chamber() {
        let read = |emissivity| infrared_reading_c(340.0, emissivity, 300.0, USUAL_SETTING);
        let off_k = read(0.96) - read(0.90);
        assert!(off_k > 0.0 && off_k < 3.0, "{off_k}");
    }
}
