//! Volume at half turn; where the tone joins; treble bleeds.

use rigwright_core::cascade::level_at;
use rigwright_core::network::Ladder;
use rigwright_core::rig::{
    ActiveSource, Control, Instrument, Interface, Kind, Pot, Taper, ToneOrder, Treadle, TrebleBleed,
};
use rigwright_core::units::{Farads, Ohms, Ratio, Turn};

use crate::printed::{agrees, near};
use crate::rigs::{HB, bare_cable, chain, db, farads, input, ohms, response, straight, turned};

const HALF: Turn = Turn::of(0.5);

fn pot(taper: Taper) -> Pot {
    Pot::of(Ohms::of(500e3), taper)
}

/// An ideal source, the pot at half turn, 500 pF and a load.
fn ladder(pot: Pot, load: Option<f64>) -> Ladder {
    let (above, below) = pot.split(HALF);
    let mut ladder = Ladder::new();
    ladder.series(ohms(above.get()));
    ladder.shunt(ohms(below.get()));
    ladder.shunt(farads(500e-12));
    if let Some(load) = load {
        ladder.shunt(ohms(load));
    }
    ladder
}

fn laws() -> [(Taper, &'static str, &'static str); 3] {
    [
        (Taper::Linear, "125.0", "2546"),
        (Taper::TwoSegments { half: Turn::of(0.15) }, "63.75", "4993"),
        (Taper::Exponential { half: Turn::of(0.10) }, "45.00", "7074"),
    ]
}

/// R_s = α(1−α)R, −3 dB at 1/(2πR_sC) [S: volume-half]. The 15 % law is printed
/// once; both of its tapers meet it at half turn.
#[test]
fn where_the_treble_goes() {
    let fifteen = Taper::Exponential { half: Turn::of(0.15) };
    let all = laws().into_iter().chain([(fifteen, "63.75", "4993")]);
    for (taper, source, hz) in all {
        let (above, below) = pot(taper).split(HALF);
        let parallel = above.get() * below.get() / (above.get() + below.get());
        agrees(parallel / 1e3, source);

        let ladder = ladder(pot(taper), None);
        let level = |hz: f64| db(level_at(&ladder, ladder.rungs.len(), hz));
        let (mut low, mut high) = (100.0_f64, 100e3_f64);
        for _ in 0..100 {
            let middle = 0.5 * (low + high);
            if level(middle) > level(1e-3) - 10.0 * 2f64.log10() {
                low = middle;
            } else {
                high = middle;
            }
        }
        agrees(low, hz);
    }
}

/// [S: volume-half]: level at 15 % −16.48 dB; −17.01 into 1 MΩ.
#[test]
fn levels_at_half_turn() {
    let fifteen = pot(Taper::TwoSegments { half: Turn::of(0.15) });
    let open = ladder(fifteen, None);
    agrees(db(level_at(&open, open.rungs.len(), 1e-3)), "−16.48");
    let loaded = ladder(fifteen, Some(1e6));
    agrees(db(level_at(&loaded, loaded.rungs.len(), 1e-3)), "−17.01");
}

/// The same level through a drawn rig: an ideal source, a passive volume
/// treadle half-way, 5 m of 100 pF/m, 1 MΩ. At 0.1 Hz 500 pF don't count yet.
#[test]
fn level_through_a_treadle() {
    let source = ActiveSource::of(Instrument::Guitar, Ohms::of(0.0), Ratio::of(1.0));
    let taper = Taper::TwoSegments { half: Turn::of(0.15) };
    let treadle = Treadle::PassiveVolume { pot: pot(taper), wiring: Farads::of(0.0) };
    let rig = chain(
        vec![
            ("source", Kind::Active(source)),
            ("volume", Kind::Treadle(treadle)),
            ("desk", Kind::Interface(Interface::of(input(1e6, 0.0)))),
        ],
        &[0.0, 5.0],
        &bare_cable(),
    );
    let answer = response(&rig, &turned(2, Control::Treadle, 0.5));
    agrees(db(answer.endpoints[0].at.level_at(0.1)), "−17.01");
    // Its −3 dB point lies at 1/(2π(R_s ∥ 1 MΩ)C), seen from 200 Hz [S: corner].
    let parallel = 1.0 / (1.0 / 63.75e3 + 1e-6);
    let corner = 1.0 / (std::f64::consts::TAU * parallel * 500e-12);
    let from_200 = corner * (1.0 + 2.0 * (200.0 / corner).powi(2)).sqrt();
    near(answer.endpoints[0].at.minus3.expect("a −3 dB point").hz, from_200, 1e-3);
}

/// [S: tone-and-bleed]: HB, α 0.15, dB at 1, 3, 5 kHz.
#[test]
fn tone_order_and_treble_bleed() {
    let bleed_parallel = TrebleBleed::Parallel { capacitance: Farads::of(1e-9), resistance: Ohms::of(150e3) };
    let bleed_series = TrebleBleed::Series { capacitance: Farads::of(680e-12), resistance: Ohms::of(130e3) };
    let cases = [
        (ToneOrder::OnInput, None, ["−17.27", "−17.16", "−17.22"]),
        (ToneOrder::OnWiper, None, ["−18.06", "−17.29", "−15.14"]),
        (ToneOrder::OnInput, Some(bleed_parallel), ["−7.128", "−3.487", "−8.587"]),
        (ToneOrder::OnInput, Some(bleed_series), ["−11.13", "−8.547", "−11.21"]),
    ];
    for (order, bleed, printed) in cases {
        let mut guitar = HB.guitar();
        let taper = Taper::TwoSegments { half: Turn::of(0.15) };
        guitar.volume = Some(pot(taper));
        guitar.tone = guitar.tone.map(|tone| rigwright_core::rig::Tone { order, ..tone });
        guitar.treble_bleed = bleed;
        let answer = response(&straight(guitar, 4.5), &turned(1, Control::Volume, 0.5));
        for (hz, printed) in [1e3, 3e3, 5e3].into_iter().zip(printed) {
            agrees(db(answer.endpoints[0].at.level_at(hz)), printed);
        }
    }
}

/// [S: taper]: at three quarters of a turn 0.4014 (15 %) and 0.3250 (10 %);
/// two segments 0.30x, then 0.15 + 1.70(x − ½).
#[test]
fn tapers_at_part_of_a_turn() {
    let exponential = |half: f64, x: f64| Taper::Exponential { half: Turn::of(half) }.part_below(Turn::of(x));
    agrees(exponential(0.15, 0.75), "0.4014");
    agrees(exponential(0.10, 0.75), "0.3250");
    let two = Taper::TwoSegments { half: Turn::of(0.15) };
    near(two.part_below(Turn::of(0.3)), 0.30 * 0.3, 1e-12);
    near(two.part_below(Turn::of(0.8)), 0.15 + 1.70 * 0.3, 1e-12);
}

/// [S: volume-pedal]: half-way into 600 pF 250 kΩ fall from 4.2 kHz, 25 kΩ from 42 kHz.
#[test]
fn volume_pedals_half_way() {
    for (whole, printed) in [(250e3, "4.2"), (25e3, "42")] {
        let pot = Pot::of(Ohms::of(whole), Taper::Linear);
        let (above, below) = pot.split(HALF);
        let mut ladder = Ladder::new();
        ladder.series(ohms(above.get()));
        ladder.shunt(ohms(below.get()));
        ladder.shunt(farads(600e-12));
        // A quarter of the pot and the capacitance.
        let corner = 1.0 / (std::f64::consts::TAU * whole / 4.0 * 600e-12);
        agrees(corner / 1e3, printed);
        let level = |hz: f64| db(level_at(&ladder, ladder.rungs.len(), hz));
        near(level(corner) - level(1e-3), -10.0 * 2f64.log10(), 1e-9);
    }
}
