//! Eight neighbouring frequencies side by side: one cache line, and loops that
//! a compiler turns into the processor's arithmetic on several numbers at once.

use std::array::from_fn;

use crate::network::{ChainRow, SeenAdmittance, Spectrum};

/// How many frequencies are worked on together.
pub const LANES: usize = 8;

/// Levels closer than this are equal, and the simpler state names them.
pub const EQUAL_DB: f64 = 1e-11;
/// The same as a part of a ratio: ln 10 / 10 times as much.
pub const EQUAL: f64 = EQUAL_DB * 0.23;

/// A number at each of them.
pub type Lanes = [f64; LANES];

/// Lane by lane.
#[inline]
pub fn product(a: &Lanes, b: &Lanes) -> Lanes {
    from_fn(|l| a[l] * b[l])
}

/// What is new where it is greater, and else the old. A plain comparison is one
/// instruction, and never takes what is no number.
#[inline]
pub fn greater(new: &Lanes, old: &Lanes) -> Lanes {
    from_fn(|l| if new[l] > old[l] { new[l] } else { old[l] })
}

/// What is new where it is less, and else the old.
#[inline]
pub fn lesser(new: &Lanes, old: &Lanes) -> Lanes {
    from_fn(|l| if new[l] < old[l] { new[l] } else { old[l] })
}

/// The greatest and the least of some numbers above zero: infinite where there are none.
#[derive(Debug, Clone, Copy)]
pub struct Range {
    /// The greatest at each frequency.
    pub high: Lanes,
    /// The least.
    pub low: Lanes,
}

impl Range {
    /// Of no number.
    pub const NONE: Self = Self { high: [f64::NEG_INFINITY; LANES], low: [f64::INFINITY; LANES] };

    /// Takes a number in, if it is one.
    #[inline]
    pub fn take(&mut self, number: &Lanes) {
        self.high = greater(number, &self.high);
        self.low = lesser(number, &self.low);
    }

    /// Takes in all of another range.
    #[inline]
    pub fn take_in(&mut self, other: &Self) {
        self.high = greater(&other.high, &self.high);
        self.low = lesser(&other.low, &self.low);
    }

    /// Each number times the same.
    #[inline]
    pub fn times(&self, factor: &Lanes) -> Self {
        Self { high: product(&self.high, factor), low: product(&self.low, factor) }
    }

    /// Each number times each of another range.
    #[inline]
    pub fn and(&self, other: &Self) -> Self {
        Self { high: product(&self.high, &other.high), low: product(&self.low, &other.low) }
    }

    /// Whether there is any number: at all frequencies or at none.
    #[inline]
    pub fn is_any(&self) -> bool {
        self.high[0] > f64::NEG_INFINITY
    }
}

/// How many blocks of them so many frequencies fill; the last may be filled up.
pub fn blocks(points: usize) -> usize {
    // No frequency at all is a block too, of which nothing is read.
    points.div_ceil(LANES).max(1)
}

/// Where a curve is highest, or with a negative sign lowest, by index. Of equal
/// points the lowest frequency, so that rounding doesn't choose it.
pub fn furthest_point(db: &[f64], sign: f64) -> usize {
    (1..db.len()).fold(0, |at, next| if sign * (db[next] - db[at]) > EQUAL_DB { next } else { at })
}

/// The gains of some losses, one by one.
pub fn invert(losses: &[Lanes], gains: &mut [Lanes]) {
    for (gain, loss) in gains.iter_mut().zip(losses) {
        for lane in 0..LANES {
            gain[lane] = 1.0 / loss[lane];
        }
    }
}

/// A ratio of squared magnitudes in dB. The logarithm to base 2 is the quickest.
pub fn decibels(ratio: f64) -> f64 {
    ratio.log2() * (10.0 * std::f64::consts::LOG10_2)
}

/// The numbers of a block; past the end the last one again.
fn lanes(values: &[f64], block: usize) -> Lanes {
    let rest = values.get(block * LANES..).unwrap_or_default();
    let last = rest.last().copied().unwrap_or(0.0);
    rest.first_chunk().copied().unwrap_or_else(|| from_fn(|lane| rest.get(lane).copied().unwrap_or(last)))
}

/// Some numbers, block by block.
pub fn in_lanes(numbers: &[f64]) -> Vec<Lanes> {
    (0..blocks(numbers.len())).map(|block| lanes(numbers, block)).collect()
}

/// The losses of some gains, block by block.
pub fn losses(gains: &[f64]) -> Vec<Lanes> {
    in_lanes(&gains.iter().map(|gain| 1.0 / gain).collect::<Vec<f64>>())
}

/// A complex number at each frequency of a block.
#[derive(Debug, Clone, Copy)]
pub struct Complex {
    re: Lanes,
    im: Lanes,
}

impl Complex {
    const NONE: Self = Self { re: [f64::NAN; LANES], im: [f64::NAN; LANES] };

    fn of(spectrum: &Spectrum, block: usize) -> Self {
        Self { re: lanes(&spectrum.re, block), im: lanes(&spectrum.im, block) }
    }

    /// What is seen onward, in S, block by block. A short is no number, and
    /// makes what it touches none.
    pub fn onward(seen: &SeenAdmittance, points: usize) -> Vec<Self> {
        let zero = Self { re: [0.0; LANES], im: [0.0; LANES] };
        (0..blocks(points))
            .map(|block| match seen {
                SeenAdmittance::Open => zero,
                SeenAdmittance::Short => Self::NONE,
                SeenAdmittance::Admittance(y) => Self::of(y, block),
            })
            .collect()
    }
}

/// A row (A, B), carried outward: E = A·V + B·I. A silent one is no number.
#[derive(Debug, Clone, Copy)]
pub struct RowLanes {
    a: Complex,
    b: Complex,
}

impl RowLanes {
    /// A block of a row over a sweep.
    pub fn of(row: &ChainRow, block: usize) -> Self {
        if row.silent {
            return Self { a: Complex::NONE, b: Complex::NONE };
        }
        Self { a: Complex::of(&row.a, block), b: Complex::of(&row.b, block) }
    }

    /// Hangs an admittance on it: A += B·Y.
    pub fn hang(&mut self, y: &Complex) {
        let Self { a, b } = self;
        a.re = from_fn(|l| a.re[l] + b.re[l] * y.re[l] - b.im[l] * y.im[l]);
        a.im = from_fn(|l| a.im[l] + b.re[l] * y.im[l] + b.im[l] * y.re[l]);
    }

    /// |E/V|² with an admittance hung on it.
    #[inline]
    pub fn loss(&self, y: &Complex) -> Lanes {
        from_fn(|l| {
            let re = self.a.re[l] + self.b.re[l] * y.re[l] - self.b.im[l] * y.im[l];
            let im = self.a.im[l] + self.b.re[l] * y.im[l] + self.b.im[l] * y.re[l];
            re * re + im * im
        })
    }

    /// The least and the greatest |E/V|² with an admittance hung on it that lies
    /// within a radius of one.
    pub fn losses_within(&self, y: &Complex, radius: &Lanes) -> (Lanes, Lanes) {
        let middle = self.loss(y);
        let away = |l: usize| self.b.re[l].hypot(self.b.im[l]) * radius[l];
        let low = |l: usize| (middle[l].sqrt() - away(l)).max(0.0);
        let high = |l: usize| middle[l].sqrt() + away(l);
        (from_fn(|l| low(l) * low(l)), from_fn(|l| high(l) * high(l)))
    }

    /// The same row, carried on through a two-port.
    #[inline]
    pub fn carried(&self, port: &Port) -> Self {
        let mut row = *self;
        row.carry(port);
        row
    }

    /// Carries it on through a two-port.
    #[inline]
    pub fn carry(&mut self, Port { first, second }: &Port) {
        let Self { a, b } = self;
        for l in 0..LANES {
            let (ar, ai, br, bi) = (a.re[l], a.im[l], b.re[l], b.im[l]);
            a.re[l] = ar * first.a.re[l] - ai * first.a.im[l] + br * second.a.re[l] - bi * second.a.im[l];
            a.im[l] = ar * first.a.im[l] + ai * first.a.re[l] + br * second.a.im[l] + bi * second.a.re[l];
            b.re[l] = ar * first.b.re[l] - ai * first.b.im[l] + br * second.b.re[l] - bi * second.b.im[l];
            b.im[l] = ar * first.b.im[l] + ai * first.b.re[l] + br * second.b.im[l] + bi * second.b.re[l];
        }
    }
}

/// A chain matrix, by its rows.
#[derive(Debug, Clone, Copy)]
pub struct Port {
    /// What becomes of the row (1, 0).
    pub first: RowLanes,
    /// What becomes of the row (0, 1).
    pub second: RowLanes,
}
