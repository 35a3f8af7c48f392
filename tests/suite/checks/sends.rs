//! Sends and returns against hand-worked sums, and what is drawn wrong in them.

use rigwright_core::rig::{
    Amp, Device, DeviceId, EffectsLoop, Jack, JackRef, Kind, Lead, LeadId, LineLevel, MultiEffects, Rig, State,
    problems,
};
use rigwright_core::units::{Decibels, Farads, Metres, Ohms, Seconds};

use crate::rigs::{SC, amp, bare_cable, buffer, chain, db, device, input, response, stage};

fn lead(id: u64, from: (u64, Jack), to: (u64, Jack)) -> Lead {
    let at = |(id, jack)| JackRef::new(DeviceId(id), jack);
    Lead { id: LeadId(id), from: at(from), to: at(to), length: Metres::of(0.0), cable: bare_cable() }
}

fn way() -> EffectsLoop {
    EffectsLoop::of(Ohms::of(0.0), input(1e6, 0.0))
}

fn amp_with(way: EffectsLoop) -> Kind {
    let Kind::Amp(plain) = amp(1e6, 0.0) else { unreachable!() };
    Kind::Amp(Amp { effects_loop: Some(way), ..plain })
}

/// A guitar (1) into an amp (2), a buffer (3) in its loop.
fn rig(way: EffectsLoop) -> Rig {
    let mut rig = chain(vec![("guitar", Kind::Guitar(SC.guitar())), ("amp", amp_with(way))], &[5.0], &bare_cable());
    rig.devices.push(device(3, "buffer", buffer(1e6, 0.0)));
    rig.leads.push(lead(20, (2, Jack::Send(1)), (3, Jack::In)));
    rig.leads.push(lead(21, (3, Jack::Out), (2, Jack::Return(1))));
    rig
}

/// The level into the power stage, relative to the send.
fn power_stage(rig: &Rig, hz: f64) -> f64 {
    let response = response(rig, &State::default());
    let end = response.endpoints.iter().find(|end| end.jack.jack == Jack::PowerStage).expect("the power stage");
    db(end.at.level_at(hz))
}

/// Two alike ways 2 ms apart: 6.02 dB at 500 Hz, nothing at 250 and 750 [S: comb].
#[test]
fn dry_and_two_milliseconds_cancel_where_they_must() {
    let late = EffectsLoop { dry: Some(Decibels::of(0.0)), back_latency: Seconds::of(2e-3), ..way() };
    let rig = rig(late);
    assert!((power_stage(&rig, 500.0) - 6.0206).abs() < 1e-4);
    let response = response(&rig, &State::default());
    let end = response.endpoints.iter().find(|end| end.jack.jack == Jack::PowerStage).expect("the power stage");
    for hz in [250.0, 750.0] {
        let level = end.at.level_at(hz).decibels();
        assert!(level.is_none_or(|db| db < 6.0206 - 60.0), "{level:?} at {hz} Hz");
    }
    assert!(end.at.nulls_hz.iter().zip([250.0, 750.0, 1250.0]).all(|(own, hz)| (own / hz - 1.0).abs() < 1e-6));
}

/// 1 + ½ is 3.52 dB [S: sums], and half of it alone −6.02.
#[test]
fn dry_and_wet_add_up_at_their_levels() {
    let half = Decibels::of(-6.0206);
    let both = EffectsLoop { dry: Some(half), ..way() };
    assert!((power_stage(&rig(both), 1000.0) - 3.5218).abs() < 1e-4);
    // A loop that a switch has out is passed by, whatever its levels are.
    let out = EffectsLoop { dry: Some(half), back_level: half, has_switch: true, ..way() };
    assert!(power_stage(&rig(out), 1000.0).abs() < 1e-9);
}

/// A send at −10 dBV into a return for +4 dBu: 11.78 dB quieter [S: levels].
#[test]
fn a_return_made_for_another_level_gives_less() {
    let levels = EffectsLoop {
        dry: Some(Decibels::of(-200.0)),
        send_gives: Some(LineLevel::MinusTen),
        back_expects: Some(LineLevel::PlusFour),
        ..way()
    };
    assert!((power_stage(&rig(levels), 1000.0) + 11.7815).abs() < 1e-4);
}

fn multi_effects(id: u64, way: EffectsLoop) -> Device {
    let unit = MultiEffects { effects_loop: Some(way), ..MultiEffects::of(stage(1e6, 100.0), Farads::of(0.0)) };
    device(id, "unit", Kind::MultiEffects(unit))
}

/// A guitar (1) before a unit (2), whose loop an amp's preamplifier (3) is in; both joined by three leads.
fn four_leads() -> Rig {
    Rig {
        devices: vec![
            device(1, "guitar", Kind::Guitar(SC.guitar())),
            multi_effects(2, way()),
            device(3, "amp", amp_with(way())),
        ],
        leads: vec![
            lead(10, (1, Jack::Out), (2, Jack::In)),
            lead(11, (2, Jack::Send(1)), (3, Jack::In)),
            lead(12, (3, Jack::Send(1)), (2, Jack::Return(1))),
            lead(13, (2, Jack::Out), (3, Jack::Return(1))),
        ],
        feeds: Vec::new(),
    }
}

#[test]
fn four_leads_are_no_circle_and_a_circle_is_named() {
    let rig = four_leads();
    assert_eq!(problems(&rig).iter().map(ToString::to_string).collect::<Vec<_>>(), Vec::<String>::new());
    let ends: Vec<JackRef> = response(&rig, &State::default()).endpoints.iter().map(|end| end.jack).collect();
    assert_eq!(ends, [Jack::In, Jack::Return(1)].map(|jack| JackRef::new(DeviceId(3), jack)));
    // The unit's output into its own return, by way of a buffer.
    let mut round = four_leads();
    round.leads.truncate(2);
    round.devices.push(device(4, "buffer", buffer(1e6, 100.0)));
    round.leads.push(lead(14, (2, Jack::Out), (4, Jack::In)));
    round.leads.push(lead(15, (4, Jack::Out), (2, Jack::Return(1))));
    let told: Vec<String> = problems(&round).iter().map(ToString::to_string).collect();
    assert!(told.iter().any(|words| words == "the signal goes round in a circle: buffer, unit"), "{told:?}");
}

/// The same where a switch has the loop out at rest: some state closes it.
#[test]
fn a_circle_that_a_switch_can_close_is_one() {
    let mut round = four_leads();
    round.devices[1] = multi_effects(2, EffectsLoop { has_switch: true, ..way() });
    round.leads.truncate(1);
    round.leads.push(lead(14, (2, Jack::Out), (2, Jack::Return(1))));
    assert!(problems(&round).iter().any(|problem| problem.rule() == "circle"));
}

#[test]
fn a_send_without_a_return_is_told_and_the_unit_still_sounds() {
    let mut rig = four_leads();
    rig.devices[2] = device(3, "buffer", buffer(1e6, 100.0));
    rig.devices.push(device(4, "amp", amp(1e6, 0.0)));
    rig.leads = vec![
        lead(10, (1, Jack::Out), (2, Jack::In)),
        lead(11, (2, Jack::Send(1)), (3, Jack::In)),
        lead(12, (2, Jack::Out), (4, Jack::In)),
    ];
    let told: Vec<String> = problems(&rig).iter().map(ToString::to_string).collect();
    assert_eq!(
        told,
        ["what leaves by the send of unit doesn't come back by its return: unit sounds as if nothing were in its loop"]
    );
    let answer = response(&rig, &State::default());
    assert!(db(answer.endpoints[0].at.level_at(1000.0)).abs() < 1.0);
}

/// Two instruments into one mixer: what both come by leads on to the amp for each.
#[test]
fn a_second_signal_ends_where_the_first_does() {
    use rigwright_core::rig::Polarity;
    let mut rig = crate::rigs::mixed(Vec::new(), Vec::new(), [Polarity::Same; 2]);
    let mixer = rig.devices.iter().find(|device| matches!(device.kind, Kind::Mixer(_))).expect("a mixer").id;
    let second = JackRef::new(mixer, Jack::SecondIn);
    rig.leads.retain(|lead| lead.to != second);
    rig.devices.push(device(50, "other guitar", Kind::Guitar(SC.guitar())));
    rig.leads.push(Lead { to: second, ..lead(51, (50, Jack::Out), (50, Jack::In)) });
    assert!(problems(&rig).iter().all(|problem| problem.rule() != "ends-nowhere"), "{:?}", problems(&rig));
}
