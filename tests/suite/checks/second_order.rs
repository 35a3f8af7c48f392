//! Pickup, load and lead as a network of second order.
//!
//! Source of all values: [S: second-order], the tone capacitor taken as a short.

use rigwright_core::cascade::{LineCache, level_at, row_through};
use rigwright_core::network::{Ladder, Sweep};

use crate::printed::{agrees, near};
use crate::rigs::{HB, HO, Reference, SC, WS, coil, db, farads, ohms};

/// One row of the table, as printed.
struct Printed {
    load: &'static str,
    bare_hz: &'static str,
    lead_hz: &'static str,
    q: &'static str,
    peak_hz: &'static str,
    peak_db: &'static str,
    dc_db: &'static str,
    minus3_hz: &'static str,
}

fn ladder(guitar: Reference, lead: f64) -> Ladder {
    let mut ladder = coil(guitar);
    ladder.shunt(farads(guitar.winding));
    ladder.shunt(ohms(guitar.pots)); // the tone pot, its capacitor a short
    ladder.shunt(ohms(guitar.pots)); // the volume pot
    ladder.shunt(farads(lead));
    ladder.shunt(ohms(1e6));
    ladder
}

/// The coil with a capacitance and no other load: its f = 1/(2π√(LC)).
fn unloaded(guitar: Reference, lead: f64) -> Ladder {
    let mut ladder = coil(guitar);
    ladder.shunt(farads(guitar.winding));
    ladder.shunt(farads(lead));
    ladder
}

/// Where E/V is purely imaginary: the natural frequency, f_w of a loaded coil.
fn natural_hz(ladder: &Ladder) -> f64 {
    let real = |hz: f64| {
        let mut cache = LineCache::new(Sweep::at(&[hz]));
        row_through(&ladder.rungs, &mut cache).a.re[0]
    };
    crossing(100.0, 100_000.0, real)
}

/// Where a function changes its sign, by halving.
fn crossing(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let sign = f(low) > 0.0;
    assert_ne!(sign, f(high) > 0.0, "no change of sign between {low} and {high}");
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if (f(middle) > 0.0) == sign { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

fn check(guitar: Reference, printed: &Printed) {
    let whole = ladder(guitar, 450e-12);
    let level = |hz: f64| db(level_at(&whole, whole.rungs.len(), hz));
    let dc = level(1e-3);
    agrees(dc, printed.dc_db);
    agrees((2.0 / guitar.pots + 1e-6).recip() / 1e3, printed.load);

    agrees(natural_hz(&unloaded(guitar, 0.0)), printed.bare_hz);
    agrees(natural_hz(&unloaded(guitar, 450e-12)), printed.lead_hz);
    // At f_w the level stands Q above the level at direct current.
    let natural = natural_hz(&whole);
    agrees(10f64.powf((level(natural) - dc) / 20.0), printed.q);

    // The peak by halving on the slope, apart from the program's own search.
    let slope = |hz: f64| level(hz * (1.0 + 1e-5)) - level(hz * (1.0 - 1e-5));
    let peak = crossing(200.0, 20_000.0, slope);
    agrees(peak, printed.peak_hz);
    agrees(level(peak) - dc, printed.peak_db);

    let half_power = dc - 10.0 * 2f64.log10();
    agrees(crossing(peak, 20_000.0, |hz| level(hz) - half_power), printed.minus3_hz);
}

#[test]
fn single_coil() {
    check(
        SC,
        &Printed {
            load: "111.1",
            bare_hz: "10066",
            lead_hz: "4292",
            q: "1.476",
            peak_hz: "3868",
            peak_db: "3.909",
            dc_db: "−0.4568",
            minus3_hz: "6282",
        },
    );
}

#[test]
fn humbucker() {
    check(
        HB,
        &Printed {
            load: "200",
            bare_hz: "6849",
            lead_hz: "3143",
            q: "1.909",
            peak_hz: "2977",
            peak_db: "5.923",
            dc_db: "−0.3407",
            minus3_hz: "4736",
        },
    );
}

#[test]
fn high_output() {
    check(
        HO,
        &Printed {
            load: "200",
            bare_hz: "4594",
            lead_hz: "2297",
            q: "1.481",
            peak_hz: "2088",
            peak_db: "3.935",
            dc_db: "−0.5877",
            minus3_hz: "3390",
        },
    );
}

#[test]
fn wide_single_coil() {
    check(
        WS,
        &Printed {
            load: "200",
            bare_hz: "5952",
            lead_hz: "2638",
            q: "1.664",
            peak_hz: "2435",
            peak_db: "4.833",
            dc_db: "−0.3407",
            minus3_hz: "3910",
        },
    );
}

/// The formulas of [S: second-order] themselves, worked here in full precision.
#[test]
fn formulas() {
    for guitar in [SC, HB, HO, WS] {
        let c = guitar.winding + 450e-12;
        let (r, l) = (guitar.ohms, guitar.henries);
        let load = (2.0 / guitar.pots + 1e-6).recip();
        let natural = ((1.0 + r / load) / (l * c)).sqrt() / std::f64::consts::TAU;
        let q = (l * c * (1.0 + r / load)).sqrt() / (l / load + r * c);
        let peak_db = 20.0 * (q / (1.0 - 1.0 / (4.0 * q * q)).sqrt()).log10();

        let whole = ladder(guitar, 450e-12);
        near(natural_hz(&whole), natural, 1e-6 * natural);
        let level = |hz: f64| db(level_at(&whole, whole.rungs.len(), hz));
        let peak_hz = natural * (1.0 - 1.0 / (2.0 * q * q)).sqrt();
        near(level(peak_hz) - level(1e-3), peak_db, 1e-9);
    }
}
