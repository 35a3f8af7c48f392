//! How long allocating and searching the catalogue take: `cargo bench -p rigwright-tests --bench power`.
//!
//! `one_supply`: 24 units over the sixteen outlets of one supply, with daisy
//! leads and pairs allowed, to the best and its proof, and with what stands in
//! the way where not all can be fed. `whole_catalogue`: eighteen units that want
//! five different things, the least supplies for them of all in the catalogue,
//! with one plug on a lead and with up to five. It says what was proved.

use std::sync::Arc;

use divan::{Bencher, black_box};
use rigwright_core::power::{Allocation, AllocationQuestion, Least, LeastQuestion, Rules, allocate, check, least};
use rigwright_core::rig::Rig;
use rigwright_core::watch::Unwatched;

mod loads;

use loads::{Load, Sockets};

fn main() {
    for (sockets, load) in SUPPLIES {
        let found = allocated(&loads::sixteen_outlets(sockets, load), 5);
        let conflict = found.conflict.as_ref();
        println!(
            "one supply, {sockets:?}, {load:?}: {} of 24 fed, proved {}; conflict of {:?}, proved {:?}",
            24 - found.unfed.len(),
            found.proved,
            conflict.map(|conflict| conflict.units.len()),
            conflict.map(|conflict| conflict.proved),
        );
    }
    for (what, most_plugs) in CATALOGUE {
        let answer = least(&question(what, most_plugs), &Unwatched).expect("nobody stops it");
        println!(
            "whole catalogue, {}, up to {most_plugs} plugs a lead: proved {}, {:.0} of money, {} boxes, {} mains plugs, {:.4} m²",
            what.name(),
            answer.proved,
            answer.totals.money.get(),
            answer.totals.boxes,
            answer.totals.mains_plugs,
            answer.totals.board_area,
        );
    }
    divan::main();
}

const SUPPLIES: [(Sockets, Load); 4] = [
    (Sockets::Isolated, Load::Fits),
    (Sockets::Grouped, Load::Fits),
    (Sockets::Isolated, Load::TooMuch),
    (Sockets::Grouped, Load::TooMuch),
];

const CATALOGUE: [(Least, u8); 8] = [
    (Least::Money, 1),
    (Least::Money, 5),
    (Least::Boxes, 1),
    (Least::Boxes, 5),
    (Least::MainsPlugs, 1),
    (Least::MainsPlugs, 5),
    (Least::BoardArea, 1),
    (Least::BoardArea, 5),
];

fn rules(most_plugs: u8) -> Rules {
    Rules { most_plugs, ..Rules::default() }
}

fn allocated(rig: &Rig, most_plugs: u8) -> Allocation {
    let question = AllocationQuestion { rig: Arc::new(rig.clone()), rules: rules(most_plugs) };
    allocate(&question, &Unwatched).expect("nobody stops it")
}

fn question(what: Least, most_plugs: u8) -> LeastQuestion {
    LeastQuestion {
        rig: Arc::new(loads::hard_case()),
        rules: rules(most_plugs),
        least: what,
        keep: false,
        batteries: false,
        parts: None,
    }
}

/// 24 units over sixteen outlets.
#[divan::bench(args = SUPPLIES, sample_count = 20)]
fn one_supply(bencher: Bencher<'_, '_>, case: (Sockets, Load)) {
    let rig = Arc::new(loads::sixteen_outlets(case.0, case.1));
    let question = AllocationQuestion { rig, rules: rules(5) };
    bencher.bench_local(|| allocate(black_box(&question), &Unwatched));
}

/// The least supplies for eighteen units.
#[divan::bench(args = CATALOGUE, sample_count = 3, sample_size = 1)]
fn whole_catalogue(bencher: Bencher<'_, '_>, case: (Least, u8)) {
    let question = question(case.0, case.1);
    bencher.bench_local(|| least(black_box(&question), &Unwatched));
}

/// The drawn allocation of the hard case, as the window checks it at each edit.
#[divan::bench]
fn drawn(bencher: Bencher<'_, '_>) {
    let rig = loads::sixteen_outlets(Sockets::Grouped, Load::Fits);
    let headroom = Default::default();
    bencher.bench_local(|| check(black_box(&rig), &headroom));
}
