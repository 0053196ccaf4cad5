"""A long Markov chain on a cooling slab: the posterior that the ensemble smoother is compared with.

The problem. A slab of thickness L = 0.10 m, closed on both faces, loses heat over its volume to air at 20 C. At time 0 it
is 400 K above the air down to a soak depth s and at the air's temperature below. With diffusivity a = k/C and loss rate
g = G/C its face at time t is

    T(0, t) = 20 + exp(-g t) * (b_0 + sum_{n=1..60} b_n exp(-(n pi/L)^2 a t)),
    b_0 = 400 s/L,   b_n = 400 * 2 sin(n pi s/L)/(n pi)

which is exact (Fourier cosine series). Heat in store per area is 400 C s exp(-g t). Unknowns, from independent standard
normal coordinates z:

    k = 1.0 exp(0.25 z1)        W/(m K)
    C = 2.0e6 exp(0.15 z2)      J/(m3 K)
    s = L (0.05 + 0.90/(1 + exp(0.4 - 0.9 z3)))   m
    G = 25 exp(0.30 z4)         W/(m3 K)

Readings of the face at 0.5, 1, 2, 4 and 8 h with normal errors of 5 K. They are made here from
z = (0.9, -0.7, 0.8, -0.8) and errors of (0.6, -1.1, 0.3, 0.9, -0.5) sigma, and rounded to 0.1 C.

    pip install emcee numpy
    python long_chain.py > long_chain.txt
"""

import sys

import emcee
import numpy as np

L_M = 0.10
AIR_C = 20.0
HOT_K = 400.0
TERMS = np.arange(1, 61)
HOURS = np.array([0.5, 1.0, 2.0, 4.0, 8.0])
SIGMA_K = 5.0
LATER_H = 16.0
TRUE_Z = np.array([0.9, -0.7, 0.8, -0.8])
ERRORS = np.array([0.6, -1.1, 0.3, 0.9, -0.5])
WALKERS, STEPS, BURN_IN, SEED = 64, 60_000, 5_000, 20_260


def slab(z):
    """Conductivity, capacity, soak depth, loss of rows of coordinates."""
    k = 1.0 * np.exp(0.25 * z[:, 0])
    c = 2.0e6 * np.exp(0.15 * z[:, 1])
    s = L_M * (0.05 + 0.90 / (1.0 + np.exp(0.4 - 0.9 * z[:, 2])))
    g = 25.0 * np.exp(0.30 * z[:, 3])
    return k, c, s, g


def face_c(z, hours):
    """Face temperature, one row for each row of z."""
    k, c, s, g = slab(z)
    t_s = 3600.0 * hours
    n_pi = TERMS * np.pi
    b = HOT_K * 2.0 * np.sin(n_pi * (s / L_M)[:, None]) / n_pi
    rate = (n_pi / L_M) ** 2 * (k / c)[:, None]
    series = np.einsum("wn,wnt->wt", b, np.exp(-rate[:, :, None] * t_s))
    return AIR_C + np.exp(-(g / c)[:, None] * t_s) * (HOT_K * (s / L_M)[:, None] + series)


def store_kwh_m2(z, hour):
    """Heat in store over the air's temperature, per area of face."""
    _, c, s, g = slab(z)
    return HOT_K * c * s * np.exp(-g / c * 3600.0 * hour) / 3.6e6


def line(name, values):
    q = np.quantile(values, [0.05, 0.25, 0.5, 0.75, 0.95])
    numbers = [values.mean(), values.std(), *q]
    print(name, *(f"{x:.6g}" for x in numbers))


def main():
    readings_c = np.round(face_c(TRUE_Z[None], HOURS)[0] + SIGMA_K * ERRORS, 1)

    def log_posterior(z):
        off = (face_c(z, HOURS) - readings_c) / SIGMA_K
        return -0.5 * (z**2).sum(axis=1) - 0.5 * (off**2).sum(axis=1)

    rng = np.random.default_rng(SEED)
    np.random.seed(SEED)
    start = rng.standard_normal((WALKERS, 4)) * 0.3
    sampler = emcee.EnsembleSampler(WALKERS, 4, log_posterior, vectorize=True)
    sampler.run_mcmc(start, STEPS)
    tau = sampler.get_autocorr_time(discard=BURN_IN)
    chain = sampler.get_chain(discard=BURN_IN)
    halves = [part.reshape(-1, 4).mean(axis=0) for part in np.array_split(chain, 2)]
    z = chain[::10].reshape(-1, 4)

    print("# Written by long_chain.py; do not edit. Columns of sampled quantities: mean sd p05 p25 p50 p75 p95.")
    print(f"# Python {sys.version.split()[0]}, emcee {emcee.__version__}, numpy {np.__version__}, seed {SEED}")
    print(f"# {WALKERS} walkers of {STEPS} steps, the first {BURN_IN} left out; acceptance", end=" ")
    print(f"{sampler.acceptance_fraction.mean():.3f}")
    print("# autocorrelation times of z1..z4, steps:", *(f"{t:.1f}" for t in tau))
    draws = WALKERS * (STEPS - BURN_IN) / tau.max()
    print(f"# independent draws, at least: {draws:.0f}; means of the two halves differ by at most", end=" ")
    print(f"{np.max(np.abs(halves[0] - halves[1])):.4f}")
    print("hours", *HOURS)
    print("sigma_k", SIGMA_K)
    print("readings_c", *readings_c)
    print("face_c_at_true_z", *(f"{x:.9f}" for x in face_c(TRUE_Z[None], HOURS)[0]))
    for i in range(4):
        line(f"z{i + 1}", z[:, i])
    line("store_8h_kwh_m2", store_kwh_m2(z, 8.0))
    line("face_16h_c", face_c(z, np.array([LATER_H]))[:, 0])


main()
