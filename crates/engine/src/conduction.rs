//! A layered column: transient conduction through a wall, floor, door or lump of food.
//!
//! # Equation
//! A(x) ρ c(T) ∂T/∂t = ∂/∂x (A(x) k(T) ∂T/∂x), x the depth under the hot face, A(x) the area at that depth over the hot
//! face's: 1 (plane), 1 ± x/r (cylinder), (1 ± x/r)² (sphere, r the radius of the hot face).
//!
//! Finite volumes with nodes on the faces and on every joint between layers, so that the first node *is* the surface and
//! a stretch between two nodes is of one material. A node's volume reaches half-way to its neighbours and may hold two
//! materials. State: enthalpy per hot-face area H = aT + bT²/2, J/m² over 0 °C, so C = a + bT = √(a² + 2bH) and
//! T = 2H/(a + C). The flow between two nodes is the exact steady one, g (Θ(T_i) − Θ(T_j)) with the Kirchhoff integral Θ
//! and g = 1/∫A⁻¹dx.
//!
//! # Validity
//! One-dimensional heat flow, perfect contact between layers, no moisture. Second order in the spacing.
//!
//! # Source
//! Patankar, Numerical Heat Transfer and Fluid Flow (finite volumes); Carslaw & Jaeger (Kirchhoff transform).

use crate::pack::Real;

/// How the area grows with depth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Metric {
    /// Flat wall.
    Plane,
    /// Barrel, radius of the hot face in m; negative when the depth runs towards the axis.
    Cylinder(f64),
    /// Sphere, radius of the hot face in m; negative when the depth runs towards the centre.
    Sphere(f64),
}

impl Metric {
    /// Area at depth `x_m` over that of the hot face.
    #[must_use]
    pub fn area_ratio(self, x_m: f64) -> f64 {
        match self {
            Self::Plane => 1.0,
            Self::Cylinder(r) => (1.0 + x_m / r).max(0.0),
            Self::Sphere(r) => (1.0 + x_m / r).max(0.0) * (1.0 + x_m / r).max(0.0),
        }
    }

    /// Volume between two depths over the hot face's area, m.
    #[must_use]
    pub fn volume_m(self, from_m: f64, to_m: f64) -> f64 {
        match self {
            Self::Plane => to_m - from_m,
            Self::Cylinder(r) => {
                0.5 * r * ((1.0 + to_m / r) * (1.0 + to_m / r) - (1.0 + from_m / r) * (1.0 + from_m / r))
            }
            Self::Sphere(r) => {
                let cube = |x: f64| (1.0 + x / r) * (1.0 + x / r) * (1.0 + x / r);
                r / 3.0 * (cube(to_m) - cube(from_m))
            }
        }
    }

    /// Geometric conductance between two depths per hot-face area, 1/m.
    #[must_use]
    pub fn conductance_per_m(self, from_m: f64, to_m: f64) -> f64 {
        // Towards an axis or a centre temperature goes as r², for which the area half-way is exact to second order and
        // the steady form is not.
        match self {
            Self::Plane => 1.0 / (to_m - from_m),
            Self::Cylinder(r) if r > 0.0 => 1.0 / (r * libm::log((1.0 + to_m / r) / (1.0 + from_m / r))),
            Self::Sphere(r) if r > 0.0 => 1.0 / (r * (1.0 / (1.0 + from_m / r) - 1.0 / (1.0 + to_m / r))),
            Self::Cylinder(_) | Self::Sphere(_) => self.area_ratio(0.5 * (from_m + to_m)) / (to_m - from_m),
        }
    }
}

/// One layer for the grid: material properties already scaled for the member.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slab {
    /// Thickness, m.
    pub thickness_m: f64,
    /// k0, k1, k2 of k(t) in °C, W/(m K).
    pub conductivity_w_mk: [f64; 3],
    /// c0, c1 of ρc(t) in °C, J/(m³ K).
    pub capacity_j_m3k: [f64; 2],
}

/// How finely layers are cut. Spacings depend on the *described* layers only, so that all members share one topology.
#[derive(Debug, Clone, PartialEq)]
pub struct Cuts {
    /// For each layer, the share of its thickness of each stretch; each list sums to 1.
    pub shares: Vec<Vec<f64>>,
}

/// Growth of the spacing away from the hot face.
const GROWTH: f64 = 1.25;
/// First spacing under the hot face, m.
const FIRST_SPACING_M: f64 = 0.002;
/// Stretches in a deeper layer.
const DEEP_STRETCHES: usize = 5;
/// A layer thinner than this, or thin and well conducting, is one stretch, m.
const THIN_M: f64 = 0.006;

impl Cuts {
    /// The production grid: geometric under the hot face, even in deeper layers. `refine` multiplies the number of
    /// stretches (1 in production).
    #[must_use]
    pub fn production(slabs: &[Slab], refine: usize) -> Self {
        let mut shares = Vec::with_capacity(slabs.len());
        let mut graded = false;
        for slab in slabs {
            if slab.thickness_m < THIN_M {
                shares.push(vec![1.0 / refine as f64; refine]);
            } else if graded {
                // A thick deep layer of good conductivity still holds heat that matters: cut by thickness.
                let by_thickness = (slab.thickness_m / 0.03).ceil() as usize;
                let n = DEEP_STRETCHES.max(by_thickness.min(10)) * refine;
                shares.push(vec![1.0 / n as f64; n]);
            } else {
                graded = true;
                shares.push(graded_shares(slab.thickness_m, refine));
            }
        }
        Self { shares }
    }

    /// Even cuts, for studies of convergence.
    #[must_use]
    pub fn even(layers: usize, stretches: usize) -> Self {
        Self { shares: vec![vec![1.0 / stretches as f64; stretches]; layers] }
    }

    /// Number of nodes of a column cut so.
    #[must_use]
    pub fn nodes(&self) -> usize {
        1 + self.shares.iter().map(Vec::len).sum::<usize>()
    }
}

fn graded_shares(thickness_m: f64, refine: usize) -> Vec<f64> {
    let mut spacings = Vec::new();
    let (mut spacing, mut total) = (FIRST_SPACING_M.min(thickness_m / 4.0), 0.0);
    while total < thickness_m {
        spacings.push(spacing);
        total += spacing;
        spacing *= GROWTH;
    }
    spacings.iter().flat_map(|s| std::iter::repeat_n(s / total / refine as f64, refine)).collect()
}

/// A column of one member.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Depth of each node, m.
    pub depth_m: Vec<f64>,
    /// a and b of each node's heat capacity a + bT per hot-face area, J/(m² K) and J/(m² K²).
    pub capacity: Vec<[f64; 2]>,
    /// g k0, g k1/2, g k2/3 of each stretch, per hot-face area.
    pub conductance: Vec<[f64; 3]>,
    /// Area of the cold face over that of the hot face.
    pub cold_face_ratio: f64,
}

impl Column {
    /// Lays the grid through the layers, hot face first.
    #[must_use]
    pub fn new(metric: Metric, slabs: &[Slab], cuts: &Cuts) -> Self {
        let mut depth_m = vec![0.0];
        let mut of_slab = Vec::new();
        let mut start = 0.0;
        for (i, (slab, shares)) in slabs.iter().zip(&cuts.shares).enumerate() {
            let mut done = 0.0;
            for share in shares {
                done += share;
                depth_m.push(start + slab.thickness_m * done);
                of_slab.push(i);
            }
            start += slab.thickness_m;
            if let Some(last) = depth_m.last_mut() {
                *last = start;
            }
        }
        let mut capacity = vec![[0.0; 2]; depth_m.len()];
        let mut conductance = Vec::with_capacity(of_slab.len());
        for (j, &s) in of_slab.iter().enumerate() {
            let (from, to) = (depth_m[j], depth_m[j + 1]);
            let middle = 0.5 * (from + to);
            let slab = &slabs[s];
            for (node, volume) in [(j, metric.volume_m(from, middle)), (j + 1, metric.volume_m(middle, to))] {
                capacity[node][0] += slab.capacity_j_m3k[0] * volume;
                capacity[node][1] += slab.capacity_j_m3k[1] * volume;
            }
            let g = metric.conductance_per_m(from, to);
            let [k0, k1, k2] = slab.conductivity_w_mk;
            conductance.push([g * k0, g * k1 / 2.0, g * k2 / 3.0]);
        }
        Self { cold_face_ratio: metric.area_ratio(start), depth_m, capacity, conductance }
    }

    /// Enthalpy per hot-face area of node `j` at `t_c`, J/m².
    #[must_use]
    pub fn enthalpy_j_m2(&self, j: usize, t_c: f64) -> f64 {
        let [a, b] = self.capacity[j];
        t_c * (a + 0.5 * b * t_c)
    }
}

/// A column of a pack: the same grid for every member, numbers side by side.
#[derive(Debug, Clone)]
pub struct PackedColumn<R> {
    /// Capacity coefficients of the nodes.
    pub a: Vec<R>,
    /// Capacity slopes of the nodes.
    pub b: Vec<R>,
    /// Conductance coefficients of the stretches.
    pub g: Vec<[R; 3]>,
    /// Area of the cold face over that of the hot face.
    pub cold_face_ratio: R,
}

/// Temperature and heat capacity of a store from its enthalpy: T = 2H/(a + C), C = √(a² + 2bH).
#[inline(always)]
pub fn temperature_and_capacity<R: Real>(h: R, a: R, b: R) -> (R, R) {
    let c = (a * a + b * h * 2.0).sqrt();
    (h * 2.0 / (a + c), c)
}

/// Flow between two nodes per hot-face area from `warm` to `cool`, W/m²: exact Kirchhoff difference without cancellation.
#[inline(always)]
fn flow<R: Real>(g: &[R; 3], warm: R, cool: R) -> R {
    let sum = warm + cool;
    (warm - cool) * (g[0] + g[1] * sum + g[2] * (sum * sum - warm * cool))
}

/// Derivative of a flow in one of its end temperatures, g k(T).
#[inline(always)]
fn flow_slope<R: Real>(g: &[R; 3], t: R) -> R {
    g[0] + t * (g[1] * 2.0 + g[2] * t * 3.0)
}

impl<R: Real> PackedColumn<R> {
    /// Packs one column a lane.
    #[must_use]
    pub fn pack(columns: &[&Column]) -> Self {
        let lane = |i: usize| columns[i.min(columns.len() - 1)];
        let first = lane(0);
        Self {
            a: (0..first.capacity.len()).map(|j| R::from_lanes(|l| lane(l).capacity[j][0])).collect(),
            b: (0..first.capacity.len()).map(|j| R::from_lanes(|l| lane(l).capacity[j][1])).collect(),
            g: (0..first.conductance.len())
                .map(|j| std::array::from_fn(|p| R::from_lanes(|l| lane(l).conductance[j][p])))
                .collect(),
            cold_face_ratio: R::from_lanes(|l| lane(l).cold_face_ratio),
        }
    }

    /// Number of nodes.
    #[must_use]
    pub fn len(&self) -> usize {
        self.a.len()
    }

    /// Whether the column has no nodes; it always has at least two.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.a.is_empty()
    }

    /// Conduction part of dH/dt of every node; returns the temperatures of the hot and the cold face, °C.
    #[inline]
    pub fn rates(&self, h: &[R], rate: &mut [R]) -> (R, R) {
        let n = self.len();
        let (h, rate, a, b) = (&h[..n], &mut rate[..n], &self.a[..n], &self.b[..n]);
        let (hot, _) = temperature_and_capacity(h[0], a[0], b[0]);
        let mut here = hot;
        let mut arriving = R::splat(0.0);
        for j in 0..n - 1 {
            let (next, _) = temperature_and_capacity(h[j + 1], a[j + 1], b[j + 1]);
            let q = flow(&self.g[j], here, next);
            rate[j] = arriving - q;
            arriving = q;
            here = next;
        }
        rate[n - 1] = arriving;
        (hot, here)
    }

    /// Derivatives of each stretch's flow in the enthalpies of its two ends.
    #[must_use]
    pub fn slopes(&self, h: &[R]) -> Vec<[R; 2]> {
        let end = |j: usize, g: &[R; 3]| {
            let (t, c) = temperature_and_capacity(h[j], self.a[j], self.b[j]);
            flow_slope(g, t) / c
        };
        self.g.iter().enumerate().map(|(j, g)| [end(j, g), -end(j + 1, g)]).collect()
    }

    /// Temperature of node `j`, °C.
    #[inline]
    pub fn temperature_c(&self, h: &[R], j: usize) -> R {
        temperature_and_capacity(h[j], self.a[j], self.b[j]).0
    }
}

/// The factorised column for one step: everything under the hot face eliminated to a relation at the hot face.
#[derive(Debug, Clone)]
pub struct Elimination<R> {
    /// 1/diagonal after elimination, from the cold end.
    inverse: Vec<R>,
    /// Entry of row j in column j − 1.
    lower: Vec<R>,
    /// Multiplier of row j when it is taken from row j − 1.
    multiplier: Vec<R>,
    /// 1/C of every node.
    pub inverse_capacity: Vec<R>,
}

impl<R: Real> Elimination<R> {
    /// Room for a column of `n` nodes.
    #[must_use]
    pub fn new(n: usize) -> Self {
        let zero = vec![R::splat(0.0); n];
        Self { inverse: zero.clone(), lower: zero.clone(), multiplier: zero.clone(), inverse_capacity: zero }
    }

    /// Factorises W = shift − J of the column at state `h`. `cold_slope` is the derivative of the cold face's loss in its
    /// temperature, per hot-face area. Returns the diagonal at the hot face after elimination.
    #[inline]
    pub fn factorise(&mut self, column: &PackedColumn<R>, h: &[R], shift: R, cold_slope: R) -> R {
        let n = column.len();
        let one = R::splat(1.0);
        let (h, a, b) = (&h[..n], &column.a[..n], &column.b[..n]);
        for j in 0..n {
            let (t, c) = temperature_and_capacity(h[j], a[j], b[j]);
            self.inverse_capacity[j] = one / c;
            // The temperature waits where the sweep, coming from the cold face, leaves the inverse once it is used.
            self.inverse[j] = t;
        }
        // Sweep from the cold face; `diagonal` is that of row j once everything under it is gone.
        let mut diagonal = shift + cold_slope * self.inverse_capacity[n - 1];
        for j in (1..n).rev() {
            let g = &column.g[j - 1];
            let above = flow_slope(g, self.inverse[j - 1]) * self.inverse_capacity[j - 1];
            let here = flow_slope(g, self.inverse[j]) * self.inverse_capacity[j];
            let inverse = one / (diagonal + here);
            self.inverse[j] = inverse;
            self.lower[j] = -above;
            // Row j − 1 has −here in column j; taking row j away leaves its diagonal:
            self.multiplier[j] = here * inverse;
            diagonal = shift + above - self.multiplier[j] * above;
        }
        diagonal
    }

    /// Forward sweep of a right-hand side from the cold face to the hot face; `r[0]` is then ready for the dense system.
    #[inline]
    pub fn forward(&self, r: &mut [R]) {
        let n = self.inverse.len();
        // What was just made stays in a register: a chain of additions must not wait for memory.
        let (r, multiplier) = (&mut r[..n], &self.multiplier[..n]);
        let mut below = r[n - 1];
        for j in (1..n).rev() {
            below = r[j - 1] + multiplier[j] * below;
            r[j - 1] = below;
        }
    }

    /// Back-substitution once `r[0]` holds the solution at the hot face.
    #[inline]
    pub fn backward(&self, r: &mut [R]) {
        let n = self.inverse.len();
        let (r, lower, inverse) = (&mut r[..n], &self.lower[..n], &self.inverse[..n]);
        let mut above = r[0];
        for j in 1..n {
            above = (r[j] - lower[j] * above) * inverse[j];
            r[j] = above;
        }
    }
}
