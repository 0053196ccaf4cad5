//! Roots of the transcendental equations of exact solutions.

/// The first `count` sign changes of a continuous function from `from` on, found on a grid of `spacing` and then halved
/// to rounding. Jumps from plus to minus infinity must have been multiplied away.
pub fn first_roots(count: usize, from: f64, spacing: f64, f: impl Fn(f64) -> f64) -> Vec<f64> {
    let mut roots = Vec::with_capacity(count);
    let mut x = from;
    while roots.len() < count {
        if f(x) * f(x + spacing) <= 0.0 {
            roots.push(halve(x, x + spacing, &f));
        }
        x += spacing;
    }
    roots
}

fn halve(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if f(low) * f(middle) <= 0.0 {
            high = middle;
        } else {
            low = middle;
        }
    }
    0.5 * (low + high)
}

#[test]
fn roots_of_a_known_function() {
    let roots = first_roots(3, 0.1, 0.01, f64::sin);
    for (root, n) in roots.iter().zip([1.0, 2.0, 3.0]) {
        assert!((root - n * std::f64::consts::PI).abs() < 1e-12);
    }
}
