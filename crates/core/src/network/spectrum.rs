//! A complex number at each frequency, as a structure of arrays.

use num_complex::Complex64;

/// Complex values over a sweep: real parts and imaginary parts apart, so that
/// the inner loops run over plain arrays.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Spectrum {
    /// Real parts.
    pub re: Vec<f64>,
    /// Imaginary parts, as many.
    pub im: Vec<f64>,
}

impl Spectrum {
    /// `len` times `value`.
    #[must_use]
    pub fn constant(value: Complex64, len: usize) -> Self {
        Self { re: vec![value.re; len], im: vec![value.im; len] }
    }

    /// One value for each ω (rad/s).
    #[must_use]
    pub fn from_fn(omega: &[f64], mut value: impl FnMut(f64) -> Complex64) -> Self {
        let mut out = Self { re: Vec::with_capacity(omega.len()), im: Vec::with_capacity(omega.len()) };
        for &w in omega {
            let z = value(w);
            out.re.push(z.re);
            out.im.push(z.im);
        }
        out
    }

    /// How many frequencies.
    #[must_use]
    pub fn len(&self) -> usize {
        self.re.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.re.is_empty()
    }

    /// self += other.
    pub fn add(&mut self, other: &Self) {
        for (x, y) in self.re.iter_mut().zip(&other.re) {
            *x += y;
        }
        for (x, y) in self.im.iter_mut().zip(&other.im) {
            *x += y;
        }
    }

    /// self += factor · other, for a real factor.
    pub fn add_scaled(&mut self, other: &Self, factor: f64) {
        for (x, y) in self.re.iter_mut().zip(&other.re) {
            *x += factor * y;
        }
        for (x, y) in self.im.iter_mut().zip(&other.im) {
            *x += factor * y;
        }
    }

    /// self += j·x·other, for a real x at each frequency.
    pub fn add_rotated(&mut self, other: &Self, x: impl Iterator<Item = f64>) {
        let mine = self.re.iter_mut().zip(self.im.iter_mut());
        let theirs = other.re.iter().zip(&other.im);
        for (((re, im), (ore, oim)), x) in mine.zip(theirs).zip(x) {
            *re -= x * oim;
            *im += x * ore;
        }
    }

    /// The value at a frequency's index.
    #[must_use]
    pub fn at(&self, at: usize) -> Complex64 {
        Complex64::new(self.re[at], self.im[at])
    }

    /// self · other, elementwise.
    #[must_use]
    pub fn times(&self, other: &Self) -> Self {
        let mut product = Self::constant(Complex64::new(0.0, 0.0), self.len());
        product.add_product(self, other);
        product
    }

    /// self over a value at each frequency's index.
    #[must_use]
    pub fn over(&self, by: impl Fn(usize) -> Complex64) -> Self {
        let mut quotient = self.clone();
        for (at, (re, im)) in quotient.re.iter_mut().zip(quotient.im.iter_mut()).enumerate() {
            let value = Complex64::new(*re, *im) / by(at);
            (*re, *im) = (value.re, value.im);
        }
        quotient
    }

    /// self += a · b, elementwise.
    pub fn add_product(&mut self, a: &Self, b: &Self) {
        let mine = self.re.iter_mut().zip(self.im.iter_mut());
        let left = a.re.iter().zip(&a.im);
        let right = b.re.iter().zip(&b.im);
        for (((re, im), (ar, ai)), (br, bi)) in mine.zip(left).zip(right) {
            *re += ar * br - ai * bi;
            *im += ar * bi + ai * br;
        }
    }
}
