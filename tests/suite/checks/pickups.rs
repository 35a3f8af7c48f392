//! Guitars of several pickups against hand-worked coils, pots and selectors.

use rigwright_core::network::{
    Branch, Driven, JACK, MOST_NODES, Rung, SourceBuilder, SourceNetwork, Winding, ZERO_VOLTS,
};
use rigwright_core::plan::plan;
use rigwright_core::response::{Heard, Request, Response, string_comb};
use rigwright_core::rig::{
    Control, DeviceId, Guitar, Instrument, Jack, JackRef, JoinedPickup, Kind, OtherPickup, OwnControls, OwnVolumes,
    PickupPlace, PickupWiring, Position, Pot, PushPull, Rig, SelectorPosition, Stage, State, SwitchKey, SwitchRef,
    Taper, problems,
};
use rigwright_core::units::{Decibels, Farads, Henries, Hertz, Metres, Ohms, Turn};

use crate::generator::{healthy, with_pickups};
use crate::rigs::{HB, SC, amp, bare_cable, chain, response, stage};

const GUITAR: DeviceId = DeviceId(1);

/// Two coils of 2.5 H each, no resistance, 100 pF across each, sharing a part of their fields.
fn two_coils(in_series: bool, part: f64) -> SourceNetwork {
    let mut net = SourceBuilder::new();
    let middle = if in_series { net.node() } else { ZERO_VOLTS };
    let ends = if in_series { [[ZERO_VOLTS, middle], [middle, JACK]] } else { [[ZERO_VOLTS, JACK]; 2] };
    let windings = ends.map(|ends| {
        net.branch(ends[0], ends[1], Branch::Capacitor(Farads::of(100e-12)));
        net.winding(Winding {
            ends,
            resistance: Ohms::of(0.0),
            inductance: Henries::of(2.5),
            loss: None,
            emf: 1.0,
            pickup: 0,
        })
    });
    net.couple(windings[0], windings[1], part);
    net.branch(ZERO_VOLTS, JACK, Branch::Capacitor(Farads::of(450e-12)));
    match net.finish() {
        Driven::By(network) => network,
        other => panic!("{other:?}"),
    }
}

/// Where the impedance turns from a coil's to a capacitor's, in Hz.
fn resonance(network: &SourceNetwork) -> f64 {
    let (mut low, mut high): (f64, f64) = (1e3, 2e4);
    for _ in 0..60 {
        let middle = (low * high).sqrt();
        let is_coil = network.thevenin_at(std::f64::consts::TAU * middle).1.im > 0.0;
        *(if is_coil { &mut low } else { &mut high }) = middle;
    }
    low
}

/// 2L(1 + k) and half the winding in series, L(1 + k)/2 and twice of it side by side, 450 pF
/// behind them [S: two-coils].
#[test]
fn two_coils_in_series_and_side_by_side_resonate_where_they_should() {
    for (in_series, part, hz) in [(true, 0.0, 3183.0), (false, 0.0, 5584.0), (true, 0.2, 2906.0), (false, 0.2, 5097.0)]
    {
        let found = resonance(&two_coils(in_series, part));
        assert!((found - hz).abs() < 0.6, "series {in_series}, {part}: {found} Hz against {hz}");
    }
}

fn pot(taper: Taper) -> Pot {
    Pot::of(Ohms::of(500e3), taper)
}

fn own(name: &str, volume: Option<Pot>) -> OwnControls {
    OwnControls { name: name.to_owned(), volume, ..OwnControls::default() }
}

fn position(pickups: &[u8]) -> SelectorPosition {
    let pickups = pickups.iter().map(|pickup| JoinedPickup::of(*pickup)).collect();
    SelectorPosition { name: String::new(), pickups, in_series: false }
}

/// Two humbuckers, three positions; volumes of their own or none.
fn two_pickups(volume: Option<Pot>, own_volumes: OwnVolumes) -> Guitar {
    let mut wiring = PickupWiring::of("bridge");
    wiring.first = own("bridge", volume);
    wiring.others = vec![OtherPickup { pickup: HB.pickup(), own: own("neck", volume) }];
    wiring.selector = vec![position(&[1]), position(&[1, 2]), position(&[2])];
    wiring.own_volumes = own_volumes;
    Guitar { pickup_wiring: Some(Box::new(wiring)), ..Guitar::of(Instrument::Guitar, HB.pickup()) }
}

fn rig(guitar: Guitar, ohms: f64, farads: f64) -> Rig {
    chain(vec![("guitar", Kind::Guitar(guitar)), ("amp", amp(ohms, farads))], &[0.0], &bare_cable())
}

fn set(key: SwitchKey, to: u8) -> State {
    let mut state = State::default();
    state.positions.insert(SwitchRef { device: GUITAR, key }, Position(to));
    state
}

fn turned(mut state: State, control: Control, to: f64) -> State {
    state.turned.insert(rigwright_core::rig::Knob { device: GUITAR, control }, Turn::of(to));
    state
}

fn level(answer: &Response, hz: f64) -> Option<f64> {
    answer.endpoints[0].at.level_at(hz).decibels()
}

fn decibels(ratio: f64) -> f64 {
    20.0 * ratio.log10()
}

/// With the wipers joined a volume at 0 is a short for both; with the pickups at the wipers
/// it is one for its own pickup alone.
#[test]
fn one_volume_at_nothing_silences_both_or_one() {
    let both = set(SwitchKey::Pickups, 1);
    let joined = rig(two_pickups(Some(pot(Taper::Linear)), OwnVolumes::WipersJoined), 1e6, 450e-12);
    assert!(problems(&joined).is_empty());
    assert!(level(&response(&joined, &both), 1000.0).is_some());
    let closed = turned(both.clone(), Control::VolumeOf(2), 0.0);
    assert_eq!(level(&response(&joined, &closed), 1000.0), None, "the neck's wiper is at 0 V");
    let apart = rig(two_pickups(Some(pot(Taper::Linear)), OwnVolumes::PickupsOnWipers), 1e6, 450e-12);
    let alone = level(&response(&apart, &closed), 200.0).expect("the bridge pickup sounds");
    // Its 8 kΩ before its own 500 kΩ, the neck's track and the amp's 1 MΩ: 200 kΩ [S: nodal], and by 4.5 H
    // and 570 pF 0.4 % more at 200 Hz.
    assert!((alone - decibels(200.0 / 208.0)).abs() < 0.05, "{alone}");
}

/// Two pickups alike side by side have half of one's inductance, so that the peak isn't where either has it, nor between.
#[test]
fn the_middle_position_is_not_the_mean_of_the_two() {
    let guitar = two_pickups(None, OwnVolumes::WipersJoined);
    let rig = rig(Guitar { volume: Some(pot(Taper::Linear)), ..guitar }, 1e6, 450e-12);
    let peak = |to: u8| response(&rig, &set(SwitchKey::Pickups, to)).endpoints[0].at.peak.as_ref().unwrap().hz;
    let (bridge, both, neck) = (peak(0), peak(1), peak(2));
    assert_eq!(bridge, neck, "they are alike");
    // f₀ by L/2 and 2·120 + 450 pF against L and 120 + 450 pF [S: two-coils]: √(2·570/690).
    assert!((both / bridge - (2.0_f64 * 570.0 / 690.0).sqrt()).abs() < 0.03, "{both} against {bridge}");
}

/// Half of a humbucker is one of two coils in series: half the EMF behind half of everything.
#[test]
fn one_coil_of_a_humbucker_gives_half_of_it() {
    let mut guitar = two_pickups(None, OwnVolumes::WipersJoined);
    guitar.pickup_wiring.as_mut().unwrap().push_pulls = vec![PushPull::Half { pickup: 1 }];
    let rig = rig(guitar, 1e9, 0.0);
    let pushed = level(&response(&rig, &State::default()), 200.0).unwrap();
    let pulled = level(&response(&rig, &set(SwitchKey::PushPull(1), 1)), 200.0).unwrap();
    assert!((pushed - pulled - decibels(2.0)).abs() < 1e-3, "{pushed} and {pulled}");
}

/// Two alike and of opposite sign leave nothing; in series they are 6 dB more than one.
#[test]
fn what_is_turned_over_cancels_and_what_is_in_series_adds() {
    let mut guitar = two_pickups(None, OwnVolumes::WipersJoined);
    let pulls = vec![PushPull::TurnOver { pickup: 2 }, PushPull::InSeries];
    guitar.pickup_wiring.as_mut().unwrap().push_pulls = pulls;
    let rig = rig(guitar, 1e9, 0.0);
    let with = |keys: &[SwitchKey]| {
        let mut state = set(SwitchKey::Pickups, 1);
        state.positions.extend(keys.iter().map(|key| (SwitchRef { device: GUITAR, key: *key }, Position(1))));
        level(&response(&rig, &state), 200.0)
    };
    let (turned, series) = (SwitchKey::PushPull(1), SwitchKey::PushPull(2));
    assert_eq!(with(&[turned]), None);
    assert_eq!(with(&[turned, series]), None);
    let (one, two) = (with(&[]).unwrap(), with(&[series]).unwrap());
    assert!((two - one - decibels(2.0)).abs() < 0.02, "{one} and {two}");
}

/// A position that joins nothing is silent and told; the others are answered.
#[test]
fn a_position_without_a_pickup_is_a_sentence() {
    let mut guitar = two_pickups(None, OwnVolumes::WipersJoined);
    guitar.pickup_wiring.as_mut().unwrap().selector[1] = position(&[]);
    let rig = rig(guitar, 1e6, 450e-12);
    let said: Vec<String> = problems(&rig).iter().map(ToString::to_string).collect();
    let words =
        "the selector’s “position 2” of guitar joins no pickup: nothing comes through while the selector stands there";
    assert_eq!(said, [words]);
    assert_eq!(level(&response(&rig, &set(SwitchKey::Pickups, 1)), 1000.0), None);
    assert!(level(&response(&rig, &set(SwitchKey::Pickups, 2)), 1000.0).is_some());
}

/// The pots of both load both: four of 500 kΩ and 1 MΩ before 4 kΩ, against two and 1 MΩ before 8 kΩ.
#[test]
fn both_volumes_load_both_pickups() {
    let mut guitar = two_pickups(Some(pot(Taper::Linear)), OwnVolumes::WipersJoined);
    guitar.pickup.eddy_loss = None;
    let rig = rig(guitar, 1e6, 0.0);
    let at = |to: u8| level(&response(&rig, &set(SwitchKey::Pickups, to)), 20.0).unwrap();
    // 500 kΩ ∥ 1 MΩ = 333.3 kΩ; 250 kΩ ∥ 1 MΩ = 200 kΩ [S: nodal].
    assert!((at(0) - decibels(333.333 / 341.333)).abs() < 1e-3, "{}", at(0));
    assert!((at(1) - decibels(200.0 / 204.0)).abs() < 1e-3, "{}", at(1));
}

/// At full turn a cut track loads nothing: 8 kΩ into 1 MΩ alone.
#[test]
fn a_pot_whose_track_is_cut_loads_nothing_at_the_full_end() {
    let volume = Some(Pot { no_load: true, ..pot(Taper::Linear) });
    let rig = rig(Guitar { volume, ..Guitar::of(Instrument::Guitar, HB.pickup()) }, 1e6, 0.0);
    let full = level(&response(&rig, &State::default()), 20.0).unwrap();
    assert!((full - decibels(1000.0 / 1008.0)).abs() < 1e-3, "{full}");
    let less = level(&response(&rig, &turned(State::default(), Control::Volume, 0.999)), 20.0).unwrap();
    assert!((less - decibels(0.999 * 333.0 / 341.5)).abs() < 0.02, "{less}");
}

/// A blend in its middle leaves both full up; at an end one alone, the other a short behind its track.
#[test]
fn a_blend_goes_from_one_pickup_to_the_other() {
    let mut guitar = two_pickups(None, OwnVolumes::WipersJoined);
    let wiring = guitar.pickup_wiring.as_mut().unwrap();
    (wiring.selector, wiring.blend) = (Vec::new(), Some(pot(Taper::Linear)));
    wiring.others[0].pickup = SC.pickup();
    let rig = rig(guitar, 1e9, 0.0);
    let at = |to: f64| level(&response(&rig, &turned(State::default(), Control::Blend, to)), 20.0).unwrap();
    // 8 kΩ before its own 500 kΩ and the other one's: 250 kΩ; 6 kΩ likewise.
    assert!((at(0.0) - decibels(250.0 / 258.0)).abs() < 1e-3, "{}", at(0.0));
    assert!((at(1.0) - decibels(250.0 / 256.0)).abs() < 1e-3, "{}", at(1.0));
    let middle = level(&response(&rig, &State::default()), 20.0).unwrap();
    let source = 8.0 * 6.0 / 14.0;
    assert!((middle - decibels(250.0 / (250.0 + source))).abs() < 1e-3, "{middle}");
}

/// Behind a preamplifier 100 kΩ of load are 1 kΩ's matter, whatever the pickups are.
#[test]
fn a_preamplifier_drives_what_is_behind_it() {
    let mut guitar = two_pickups(None, OwnVolumes::WipersJoined);
    let level_db = Decibels::of(3.0);
    guitar.pickup_wiring.as_mut().unwrap().preamplifier = Some(Stage { level: level_db, ..stage(1e6, 1e3) });
    let rig = rig(guitar, 100e3, 0.0);
    let found = level(&response(&rig, &State::default()), 20.0).unwrap();
    assert!((found - (decibels(1000.0 / 1008.0) + 3.0 + decibels(100.0 / 101.0))).abs() < 1e-3, "{found}");
}

/// A string of 647.7 mm and 82.4069 Hz, coils that hear one point of it.
fn heard(millimetres: f64, apart: Option<f64>) -> Heard {
    let mut pickup = SC.pickup();
    pickup.place = Some(PickupPlace {
        from_bridge: Metres::of(millimetres / 1e3),
        width: Metres::of(0.0),
        coils_apart: apart.map(|apart| Metres::of(apart / 1e3)),
    });
    let guitar = Guitar { scale: Some(Metres::of(0.6477)), ..Guitar::of(Instrument::Guitar, pickup) };
    Heard::of(&guitar, JoinedPickup::of(1), Hertz::of(82.4069)).unwrap()
}

/// Nulls where a pickup stands on a node of a harmonic, of one coil and of two [S: string-comb].
#[test]
fn a_pickup_hears_no_harmonic_that_has_its_node_there() {
    for (millimetres, nulls) in [(161.925, [329.6, 659.3]), (160.0, [333.6, 667.2]), (40.0, [1334.0, 2669.0])] {
        for hz in nulls {
            // It turns from one sign to the other within a tenth of a percent.
            let near = [0.999, 1.001].map(|part| heard(millimetres, None).at(hz * part));
            assert!(near[0] * near[1] < 0.0, "{millimetres} mm at {hz} Hz: {near:?}");
        }
    }
    let two = [2960.0, 2970.0].map(|hz| heard(100.0, Some(18.0)).at(hz));
    assert!(two[0] * two[1] < 0.0, "{two:?}");
    // The signed terms first, then the magnitude.
    let at = |millimetres: f64| heard(millimetres, None).at(6.0 * 82.4069);
    let (near, far) = (at(40.0), at(160.0));
    assert!((((near + far) / 2.0).abs() - 0.040).abs() < 5e-4, "{near} {far}");
    assert!((((near - far) / 2.0).abs() - 0.958).abs() < 5e-4, "{near} {far}");
}

/// What an amp hears of two pickups is what each hears, by how much of it comes there.
#[test]
fn the_comb_of_two_pickups_is_the_sum_of_what_they_hear() {
    let mut guitar = two_pickups(None, OwnVolumes::WipersJoined);
    let place = |from_bridge: f64| {
        Some(PickupPlace { from_bridge: Metres::of(from_bridge), width: Metres::of(0.0), coils_apart: None })
    };
    guitar.pickup.place = place(0.04);
    guitar.pickup_wiring.as_mut().unwrap().others[0].pickup.place = place(0.16);
    guitar.scale = Some(Metres::of(0.6477));
    let rig = rig(guitar, 1e6, 450e-12);
    let request = |to: u8| Request {
        rig: std::sync::Arc::new(rig.clone()),
        state: set(SwitchKey::Pickups, to),
        test_point: None,
        unfed: Default::default(),
    };
    let open = Hertz::of(82.4069);
    let end = JackRef::new(DeviceId(2), Jack::In);
    let comb = |to: u8| string_comb(&request(to), end, open).unwrap();
    for (to, placed) in [(0, vec![40.0]), (1, vec![40.0, 160.0]), (2, vec![160.0])] {
        let comb = comb(to);
        let flat = response(&rig, &set(SwitchKey::Pickups, to));
        for (hz, level) in comb.hz.iter().zip(&comb.levels).skip(5).step_by(37) {
            // Both alike, so that each gives half of what arrives.
            let part = placed.iter().map(|at| heard(*at, None).at(*hz)).sum::<f64>() / placed.len() as f64;
            let expected = flat.endpoints[0].at.level_at(*hz).decibels().unwrap() + decibels(part.abs());
            let found = level.decibels().unwrap_or(-200.0);
            // Between the points of the plot's own grid the level is a straight line's.
            assert!((found - expected).abs() < 0.02 || expected < -60.0, "{to}, {hz} Hz: {found} and {expected}");
        }
    }
    let bare = string_comb(
        &Request { rig: std::sync::Arc::new(crate::rigs::straight(SC.guitar(), 0.0)), ..request(0) },
        end,
        open,
    );
    assert_eq!(bare, None, "nobody says where its pickup stands");
}

/// Whatever is joined, the network stays as small as it is said to be.
#[test]
fn no_guitar_has_more_nodes_than_it_may() {
    let mut most = 0;
    for seed in 0..300 {
        let case = with_pickups(healthy(seed, 3), seed);
        for start in &plan(&case.rig, &case.state).starts {
            if let Some(Rung::Source(network)) = start.source.rungs.first() {
                most = most.max(network.nodes());
            }
        }
    }
    assert!((5..=MOST_NODES).contains(&most), "{most} nodes");
}
