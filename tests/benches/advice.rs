//! How long a search for something better takes: `cargo bench -p rigwright-tests --bench advice`.
//!
//! A rig is a guitar, units one behind another and an amp, with real leads of
//! different lengths between; 256 points; the cache holds the leads' two-ports,
//! as it does while a player edits. `Plain`: all true bypass and alike, the
//! most stretches that such a rig can have. `Mixed`: units of the catalogue, a
//! buffered one here and there, some that can be set to another bypass, a
//! low-impedance fuzz.

use std::sync::Arc;

use divan::{Bencher, black_box};
use rigwright_core::advice::{AdviceQuestion, Wishes, advise};
use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{DeviceId, Jack, JackRef, Kind, State, Variant, VariantId};
use rigwright_core::states::Target;
use rigwright_core::units::Metres;
use rigwright_core::watch::Unwatched;

#[path = "../suite/rigs.rs"]
#[allow(dead_code, reason = "shared with the checks, which use more of it")]
mod rigs;

fn main() {
    divan::main();
}

const SIZES: [usize; 4] = [8, 16, 32, 64];

const MIXED: [&str; 12] = [
    "tuner-true-bypass",
    "compressor",
    "wah",
    "low-impedance-fuzz",
    "mild-drive",
    "hard-clipping-distortion",
    "octave-divider",
    "phaser",
    "chorus",
    "tremolo",
    "compact-digital-delay",
    "spring-reverb",
];

#[derive(Debug, Clone, Copy)]
enum Units {
    Plain,
    Mixed,
}

/// Nothing may be changed.
const NOTHING: Wishes =
    Wishes { buffers: 0, bypass: false, leads: false, shortest_lead: Metres::of(3.0), order: false, switcher: false };

fn question(units: usize, what: Units, wishes: Wishes) -> AdviceQuestion {
    let unit = |at: usize| match what {
        Units::Plain => ("unit", rigs::true_bypass(20e-12)),
        Units::Mixed => {
            let part = catalogue().part(MIXED[at % MIXED.len()]).expect("the catalogue has it");
            (part.name.as_str(), part.kind.clone())
        }
    };
    let mut kinds = vec![("guitar", Kind::Guitar(rigs::SC.guitar()))];
    kinds.extend((0..units).map(unit));
    kinds.push(("amp", rigs::amp(1e6, 100e-12)));
    let mut metres: Vec<f64> = (0..=units).map(|at| 0.15 + 0.01 * at as f64).collect();
    metres[0] = 5.0;
    metres[units] = 6.0;
    let mut rig = rigs::chain(kinds, &metres, &rigs::real_cable());
    for device in &mut rig.devices {
        let part = catalogue().parts.iter().find(|part| part.name == device.name);
        device.part = part.map_or_else(String::new, |part| part.key.clone());
    }
    let variant = Variant {
        id: VariantId(5000),
        name: "bench".into(),
        rig: Arc::new(rig),
        places: Default::default(),
        row_width: None,
        kept_orders: Default::default(),
        notes: Vec::new(),
    };
    AdviceQuestion {
        variant: Arc::new(variant),
        controls: State::default(),
        target: Target::Endpoint(JackRef::new(DeviceId(units as u64 + 2), Jack::In)),
        wishes,
        limits: Default::default(),
    }
}

fn search(bencher: Bencher<'_, '_>, units: usize, what: Units, wishes: Wishes) {
    let question = question(units, what, wishes);
    let mut cache = LineCache::new(Sweep::audio());
    bencher.bench_local(|| advise(black_box(&question), &mut cache, &Unwatched));
}

/// One buffer at every place.
#[divan::bench(args = SIZES, sample_count = 10)]
fn one_buffer(bencher: Bencher<'_, '_>, units: usize) {
    search(bencher, units, Units::Plain, Wishes { buffers: 1, ..NOTHING });
}

/// One buffer and two at every pair of places.
#[divan::bench(args = SIZES, sample_count = 10)]
fn two_buffers(bencher: Bencher<'_, '_>, units: usize) {
    search(bencher, units, Units::Plain, Wishes { buffers: 2, ..NOTHING });
}

/// Other settings of bypass, other leads.
#[divan::bench(args = SIZES, sample_count = 10)]
fn bypass_and_leads(bencher: Bencher<'_, '_>, units: usize) {
    search(bencher, units, Units::Mixed, Wishes { bypass: true, leads: true, ..NOTHING });
}

/// Units in another order.
#[divan::bench(args = SIZES, sample_count = 10)]
fn order_plain(bencher: Bencher<'_, '_>, units: usize) {
    search(bencher, units, Units::Plain, Wishes { order: true, ..NOTHING });
}

/// The same of mixed units.
#[divan::bench(args = SIZES, sample_count = 10)]
fn order_mixed(bencher: Bencher<'_, '_>, units: usize) {
    search(bencher, units, Units::Mixed, Wishes { order: true, ..NOTHING });
}

/// Everything that is tried by default.
#[divan::bench(args = SIZES, sample_count = 10)]
fn all_plain(bencher: Bencher<'_, '_>, units: usize) {
    search(bencher, units, Units::Plain, Wishes::default());
}

/// The same of mixed units.
#[divan::bench(args = SIZES, sample_count = 10)]
fn all_mixed(bencher: Bencher<'_, '_>, units: usize) {
    search(bencher, units, Units::Mixed, Wishes::default());
}
