//! The root of a function of one variable: where exactly a curve comes to a value
//! between the points of a grid.

/// Where `f` is zero between `low` and `high`, to `tolerance`, given that its
/// signs differ there. False position with the Illinois step [textbook:
/// Dahlquist and Björck], never outside the bracket; at most 202 values of `f`.
pub fn root(low: f64, high: f64, tolerance: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut a, mut b) = (low, high);
    let (mut fa, mut fb) = (f(a), f(b));
    let mut side = 0_i8;
    for _ in 0..200 {
        if fa == 0.0 || (b - a).abs() <= tolerance {
            return if fb == 0.0 { b } else { a };
        }
        if fb == 0.0 {
            return b;
        }
        let guess = (a * fb - b * fa) / (fb - fa);
        let x = if guess > a.min(b) && guess < a.max(b) { guess } else { 0.5 * (a + b) };
        let fx = f(x);
        if (fx > 0.0) == (fb > 0.0) {
            if (b - x).abs() <= tolerance * 0.5 && side == -1 {
                return x;
            }
            (b, fb) = (x, fx);
            if side == -1 {
                fa *= 0.5;
            }
            side = -1;
        } else {
            if (x - a).abs() <= tolerance * 0.5 && side == 1 {
                return x;
            }
            (a, fa) = (x, fx);
            if side == 1 {
                fb *= 0.5;
            }
            side = 1;
        }
    }
    0.5 * (a + b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_root_is_found() {
        assert!((root(0.0, 2.0, 1e-12, |x| x * x - 2.0) - 2.0_f64.sqrt()).abs() < 1e-11);
        assert!((root(0.0, 100.0, 1e-9, |x| (-x).exp() - 0.5) - 2.0_f64.ln()).abs() < 1e-8);
        assert_eq!(root(0.0, 1.0, 1e-9, |x| x - 1.0), 1.0);
    }
}
