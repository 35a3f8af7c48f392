//! The maximum of a smooth function of one variable: where exactly a peak lies
//! between the points of a grid.

/// Where `f` is greatest between `low` and `high`, and its value there: (x, f(x)), x to
/// `tolerance`, if `f` has one maximum there. Golden sections, sped up by parabolas
/// (Brent's method [textbook: Brent 1973, chapter 5]); at most 101 values of `f`.
pub fn maximum(low: f64, high: f64, tolerance: f64, f: impl Fn(f64) -> f64) -> (f64, f64) {
    const GOLDEN: f64 = 0.381_966_011_250_105;
    let (mut a, mut b) = (low, high);
    let mut x = a + GOLDEN * (b - a);
    let (mut w, mut v) = (x, x);
    let mut fx = f(x);
    let (mut fw, mut fv) = (fx, fx);
    let (mut step, mut before_last) = (0.0_f64, 0.0_f64);
    for _ in 0..100 {
        let middle = 0.5 * (a + b);
        if (x - middle).abs() <= 2.0 * tolerance - 0.5 * (b - a) {
            break;
        }
        let mut golden = true;
        if before_last.abs() > tolerance {
            let r = (x - w) * (fx - fv);
            let q = (x - v) * (fx - fw);
            let mut p = (x - v) * q - (x - w) * r;
            let mut q = 2.0 * (q - r);
            if q > 0.0 {
                p = -p;
            }
            q = q.abs();
            if p.abs() < (0.5 * q * before_last).abs() && p > q * (a - x) && p < q * (b - x) {
                before_last = step;
                step = p / q;
                let u = x + step;
                if u - a < 2.0 * tolerance || b - u < 2.0 * tolerance {
                    step = if x < middle { tolerance } else { -tolerance };
                }
                golden = false;
            }
        }
        if golden {
            before_last = if x < middle { b - x } else { a - x };
            step = GOLDEN * before_last;
        }
        let u = if step.abs() >= tolerance { x + step } else { x + tolerance.copysign(step) };
        let fu = f(u);
        if fu >= fx {
            if u < x {
                b = x
            } else {
                a = x
            }
            (v, fv, w, fw, x, fx) = (w, fw, x, fx, u, fu);
        } else {
            if u < x {
                a = u
            } else {
                b = u
            }
            if fu >= fw || w == x {
                (v, fv, w, fw) = (w, fw, u, fu);
            } else if fu >= fv || v == x || v == w {
                (v, fv) = (u, fu);
            }
        }
    }
    (x, fx)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_maximum_is_found() {
        // sin has its maximum at π/2.
        let (x, fx) = maximum(0.0, 3.0, 1e-8, f64::sin);
        assert!((x - std::f64::consts::FRAC_PI_2).abs() < 1e-7);
        assert!((fx - 1.0).abs() < 1e-14);
        // A lopsided one: x·e^(−x) at 1.
        let (x, _) = maximum(0.0, 20.0, 1e-8, |x| x * (-x).exp());
        assert!((x - 1.0).abs() < 1e-6);
    }
}
