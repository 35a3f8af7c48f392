//! Levels far outside what a number can hold when they are multiplied up:
//! 64 units that each change the level by 200 dB.

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::rig::{Bypass, DeviceId, Jack, JackRef, Kind, Pedal, Stage};
use rigwright_core::states::{Question, Target, explore};
use rigwright_core::units::{Decibels, Farads};

use super::brute::{in_state, question};
use crate::rigs::{HB, amp, chain, devices, real_cable, stage};

/// A row of units, each with a set level in dB and a way of being off.
fn row(units: &[(f64, Bypass)]) -> Question {
    let unit = |(level, bypass): &(f64, Bypass)| {
        let on = Stage { level: Decibels::of(*level), ..stage(1e6, 1e3) };
        let pedal = Pedal::of(*bypass, on, stage(1e6, 500.0), Farads::of(20e-12));
        ("unit", Kind::Pedal(pedal))
    };
    let mut kinds = vec![("guitar", Kind::Guitar(HB.guitar()))];
    kinds.extend(units.iter().map(unit));
    kinds.push(("amp", amp(1e6, 100e-12)));
    let metres: Vec<f64> = (0..kinds.len() - 1).map(|at| [0.3, 0.2, 1.5][at % 3]).collect();
    let last = kinds.len() as u64;
    question(chain(kinds, &metres, &real_cable()), Target::Endpoint(JackRef::new(DeviceId(last), Jack::In)))
}

/// With just these on the lowest level is reached, with just those the highest
/// (a unit's 200 dB outweigh what any loading does [S: by-hand]), and one state
/// by itself has the same level.
fn check(question: &Question, lowest: &[u64], highest: &[u64]) {
    // Eleven points: a block of eight and a part of one.
    let mut line_cache = LineCache::new(Sweep::logarithmic(20.0, 20_000.0, 11));
    let states = explore(question, &mut line_cache).expect("a sound");
    for (on, levels, low) in [(lowest, states.lowest_db(), true), (highest, states.highest_db(), false)] {
        let on: Vec<DeviceId> = on.iter().copied().map(DeviceId).collect();
        let alone = in_state(question, &on, &mut line_cache).expect("a sound");
        for (at, (ours, alone)) in levels.iter().zip(&alone).enumerate() {
            assert_eq!(
                devices(&if low { states.lowest_state(at) } else { states.highest_state(at) }),
                on,
                "point {at}"
            );
            assert!((ours - alone).abs() <= 1e-9, "{ours} dB against {alone} dB at point {at}");
        }
    }
}

#[test]
fn sixty_four_units_that_take_200_decibels_each() {
    let all: Vec<u64> = (2..66).collect();
    for bypass in [Bypass::True, Bypass::Buffered] {
        check(&row(&[(-200.0, bypass); 64]), &all, &[]);
        check(&row(&[(200.0, bypass); 64]), &[], &all);
    }
}

/// The running level goes out of range one way and comes back, and the edge is
/// not where it was farthest out.
#[test]
fn down_and_up_again() {
    for bypass in [Bypass::True, Bypass::Buffered, Bypass::AlwaysLoading] {
        let (down, up) = ([(-200.0, bypass); 32], [(200.0, bypass); 32]);
        let (first, second): (Vec<u64>, Vec<u64>) = ((2..34).collect(), (34..66).collect());
        check(&row(&[down, up].concat()), &first, &second);
        check(&row(&[up, down].concat()), &second, &first);
    }
}
