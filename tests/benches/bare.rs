//! The bare arithmetic that an answer about all states can't do without, over
//! arrays in the processor's first cache, with nothing to look up and nothing kept.

use std::array::from_fn;
use std::hint::black_box;

use rigwright_core::states::Counted;
use rigwright_tests::Dice;

/// So many frequencies go through a loop at a time.
const POINTS: usize = 256;

type Array = [f64; POINTS];

/// So many of the greatest and of the least are kept in the processor's registers.
const LANES: usize = 8;

/// Numbers near 1, so that no product leaves the range and no branch is always taken.
fn numbers(seed: u64) -> Array {
    let mut dice = Dice::new(seed);
    from_fn(|_| 0.75 + 0.5 * dice.unit())
}

/// The arrays that the loops run over.
pub struct Bare {
    row: [Array; 4],
    port: [Array; 8],
    load: [Array; 2],
    loss: Array,
    gain: Array,
    best: [Array; 4],
}

impl Bare {
    pub fn new() -> Self {
        let mut seed = 0;
        let mut next = || {
            seed += 1;
            numbers(seed)
        };
        Self {
            row: from_fn(|_| next()),
            port: from_fn(|_| next()),
            load: from_fn(|_| next()),
            loss: next(),
            gain: next(),
            best: from_fn(|_| next()),
        }
    }

    /// A row carried through a two-port, |A + B·Y|² and its inverse, and for each
    /// edge one product and one comparison: so many times at one frequency.
    pub fn stretches(&mut self, steps: u64) {
        for _ in 0..steps.div_ceil(POINTS as u64) {
            self.carry();
            self.end();
            self.edges();
            black_box(&mut *self);
        }
    }

    #[inline(never)]
    fn carry(&mut self) {
        let [ar, ai, br, bi] = &mut self.row;
        let [p, q, r, s, t, u, v, w] = &self.port;
        for i in 0..POINTS {
            let (a, b, c, d) = (ar[i], ai[i], br[i], bi[i]);
            // A quarter, so that the row stays in range.
            ar[i] = 0.25 * (a * p[i] - b * q[i] + c * t[i] - d * u[i]);
            ai[i] = 0.25 * (a * q[i] + b * p[i] + c * u[i] + d * t[i]);
            br[i] = 0.25 * (a * r[i] - b * s[i] + c * v[i] - d * w[i]);
            bi[i] = 0.25 * (a * s[i] + b * r[i] + c * w[i] + d * v[i]);
        }
    }

    #[inline(never)]
    fn end(&mut self) {
        let [ar, ai, br, bi] = &self.row;
        let [yr, yi] = &self.load;
        for i in 0..POINTS {
            let re = ar[i] + br[i] * yr[i] - bi[i] * yi[i];
            let im = ai[i] + br[i] * yi[i] + bi[i] * yr[i];
            self.loss[i] = re * re + im * im;
            self.gain[i] = 1.0 / self.loss[i];
        }
    }

    #[inline(never)]
    fn edges(&mut self) {
        let [low, high, from_low, from_high] = &mut self.best;
        for i in 0..POINTS {
            let (new_low, new_high) = (from_low[i] * self.gain[i], from_high[i] * self.gain[i]);
            low[i] = if new_low < low[i] { new_low } else { low[i] };
            high[i] = if new_high > high[i] { new_high } else { high[i] };
        }
    }

    /// One product, and it compared with the greatest and the least so far.
    pub fn contexts(&mut self, steps: u64) {
        let (mut low, mut high) = ([f64::INFINITY; LANES], [0.0; LANES]);
        for _ in 0..steps.div_ceil(POINTS as u64) {
            (low, high) = black_box(&*self).context(low, high);
        }
        black_box((low, high));
    }

    #[inline(never)]
    fn context(&self, mut low: [f64; LANES], mut high: [f64; LANES]) -> ([f64; LANES], [f64; LANES]) {
        let (gains, losses) = (self.gain.as_chunks::<LANES>().0, self.loss.as_chunks::<LANES>().0);
        for (gain, loss) in gains.iter().zip(losses) {
            let ratio: [f64; LANES] = from_fn(|i| gain[i] * loss[i]);
            low = from_fn(|i| if ratio[i] < low[i] { ratio[i] } else { low[i] });
            high = from_fn(|i| if ratio[i] > high[i] { ratio[i] } else { high[i] });
        }
        (low, high)
    }

    /// So many logarithms.
    pub fn logarithms(&mut self, steps: u64) {
        for _ in 0..steps.div_ceil(POINTS as u64) {
            for (db, ratio) in self.best[0].iter_mut().zip(&self.load[0]) {
                *db = 10.0 * ratio.log10();
            }
            black_box(&mut *self);
        }
    }

    /// All of it, as often as was counted.
    pub fn all(&mut self, counted: Counted) {
        self.stretches(counted.stretch_steps);
        self.contexts(counted.context_steps);
        self.logarithms(counted.logarithms);
    }
}
