//! What instruments read: the chamber probe and the infra-red thermometer. Air, probe and spot are three different numbers.
//!
//! # Equation
//! Probe, a bare sheath of diameter D with a lag: (ρc D/4) dT_p/dt = h (T_gas − T_p) + ε σ (Σ w_i T_i⁴ − T_p⁴),
//! h = Nu k/D; w_i are the shares of its view. Infra-red, band 8–14 µm with signal S(T) = 1/(exp(c₂/(A T + B)) − 1):
//! e_set S(read) + (1 − e_set) S(T_comp) = e S(T) + (1 − e) S(T_refl), T_comp the reading's compensation (taken at 20 °C).
//!
//! # Validity
//! Probe: sheaths of 1–12 mm, evenly lit; Nu 2.2 for slow air around a thin cylinder. Infra-red: −50 to 1000 °C, band
//! approximation within 0.05 K of the exact integral.
//!
//! # Source
//! Sakuma & Hattori form as in ASTM E2847 (number from memory); A, B for 8–14 µm computed from the band's centre and
//! width. Nu: Morgan's correlation at Ra ≈ 100 (from memory). Sheath ρc ≈ 3.0 MJ/(m³ K): steel around magnesia, judgement.

const SECOND_RADIATION_UM_K: f64 = 14_387.77;
const BAND_A_UM: f64 = 9.3636;
const BAND_B_UM_K: f64 = 178.36;
const PROBE_NUSSELT: f64 = 2.2;
/// Conductivity of air near 200 °C, W/(m K).
const AIR_CONDUCTIVITY_W_MK: f64 = 0.038;
const SHEATH_CAPACITY_J_M3K: f64 = 3.0e6;
/// Temperature the instrument takes its own surroundings to be, °C.
const COMPENSATION_C: f64 = 20.0;

fn signal(t_k: f64) -> f64 {
    1.0 / (libm::exp(SECOND_RADIATION_UM_K / (BAND_A_UM * t_k + BAND_B_UM_K)) - 1.0)
}

fn temperature_k(signal: f64) -> f64 {
    (SECOND_RADIATION_UM_K / libm::log(1.0 + 1.0 / signal) - BAND_B_UM_K) / BAND_A_UM
}

/// What an infra-red thermometer shows, °C, for a surface at `surface_c` with band emissivity `emissivity` that reflects
/// surroundings at `reflected_c`, when it is set to `setting`.
#[must_use]
pub fn infrared_reading_c(surface_c: f64, emissivity: f64, reflected_c: f64, setting: f64) -> f64 {
    let seen = emissivity * signal(surface_c + 273.15) + (1.0 - emissivity) * signal(reflected_c + 273.15);
    let own = (1.0 - setting) * signal(COMPENSATION_C + 273.15);
    temperature_k(((seen - own) / setting).max(1e-12)) - 273.15
}

/// Film coefficient of a sheath of `diameter_m`, W/(m² K).
#[must_use]
pub fn probe_film_w_m2k(diameter_m: f64) -> f64 {
    PROBE_NUSSELT * AIR_CONDUCTIVITY_W_MK / diameter_m
}

/// Heat capacity of a sheath per surface, J/(m² K).
#[must_use]
pub fn probe_capacity_j_m2k(diameter_m: f64) -> f64 {
    0.25 * SHEATH_CAPACITY_J_M3K * diameter_m
}
