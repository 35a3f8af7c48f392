//! Two sides and two amps: what is told of them.

use rigwright_core::diagnosis::Severity;
use rigwright_core::findings::rules;
use rigwright_core::rig::{Alone, Amp, Bypass, Channel, DeviceId, Jack, JackRef, Kind, Polarity, Rig, Stereo};
use rigwright_core::units::Seconds;

use super::{of, only, project, remedied};
use crate::checks::stereo::{lead, summed, unit};
use crate::rigs::{amp, device};

/// A source, a unit with left and right out, an amp (3) on the right and one (4) on the left.
fn two_amps(bypass: Bypass, stereo: Stereo) -> Rig {
    let mut rig = summed(stereo, false);
    rig.devices[1] = device(2, "unit", unit(bypass, stereo));
    rig.devices[2] = device(3, "right amp", amp(1e9, 0.0));
    rig.leads.truncate(1);
    rig.leads.extend([lead(11, (2, Jack::Out), (4, Jack::In)), lead(12, (2, Jack::SecondOut), (3, Jack::In))]);
    rig
}

fn pedal(rig: &mut Rig) -> &mut rigwright_core::rig::Pedal {
    rig.devices[1].kind.pedal_mut().expect("a pedal")
}

fn amp_of(rig: &mut Rig, at: usize) -> &mut Amp {
    match &mut rig.devices[at].kind {
        Kind::Amp(amp) => amp,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_right_side_that_is_turned_over_sets_two_amps_against_each_other() {
    let stereo = Stereo { right: Polarity::Inverted, ..Stereo::ALIKE };
    let before = project(two_amps(Bypass::Buffered, stereo));
    let finding = only(&before, rules::ENDS_AGAINST);
    assert_eq!(
        finding.text,
        "With unit on, amp and right amp are against each other: alike and equally loud they leave nothing where they \
         could make up 6 dB more."
    );
    assert_eq!(finding.severity, Severity::Act);
    assert!(finding.remedies.is_empty(), "off they push together: no wire mends both");
    // Both amps alike, and both sides the same or a thing of chance.
    for right in [Polarity::Same, Polarity::Uncorrelated] {
        let project = project(two_amps(Bypass::Buffered, Stereo { right, ..Stereo::ALIKE }));
        assert!(of(&project, rules::ENDS_AGAINST).is_empty(), "{right:?}");
    }
}

#[test]
fn an_amp_that_pulls_is_set_right_at_its_loudspeaker() {
    let mut rig = two_amps(Bypass::Buffered, Stereo::ALIKE);
    amp_of(&mut rig, 2).polarity = Polarity::Inverted;
    let before = project(rig);
    let finding = only(&before, rules::ENDS_AGAINST);
    assert!(finding.text.starts_with("amp and right amp are against each other"), "{}", finding.text);
    let fix = &finding.remedies[0];
    assert!(fix.words.starts_with("Swap the two wires at the loudspeaker of"), "{}", fix.words);
    assert!(fix.words.ends_with("the amp switched off and unplugged"), "{}", fix.words);
    assert!(of(&remedied(&before, fix), rules::ENDS_AGAINST).is_empty());
}

#[test]
fn a_channel_that_pulls_is_told_and_no_wire_mends_it() {
    let mut rig = two_amps(Bypass::Buffered, Stereo::ALIKE);
    let lead = Channel { polarity: Polarity::Inverted, ..Channel::named("lead") };
    amp_of(&mut rig, 2).channels = vec![Channel::named("clean"), lead];
    let before = project(rig);
    let finding = only(&before, rules::ENDS_AGAINST);
    assert!(finding.remedies.is_empty(), "{:?}", finding.remedies);
    let among = finding.about.among.expect("a state");
    assert_eq!(among.len(), 1);
    assert_eq!((among[0].switch.device, among[0].to.0), (DeviceId(3), 1));
}

/// 2 ms: 343 m/s · 2 ms = 0.69 m, first null at 250 Hz [S: two-ways].
#[test]
fn a_side_that_comes_later_is_told_as_a_distance() {
    let stereo = Stereo { right_latency: Seconds::of(2e-3), ..Stereo::ALIKE };
    let finding = only(&project(two_amps(Bypass::Buffered, stereo)), rules::ENDS_APART);
    assert_eq!(
        finding.text,
        "With unit on, right amp comes 2 ms after amp, as if it stood 0.69 m farther away: heard alike they cancel first \
         at 250 Hz."
    );
    // 1 m is 2.915 ms, and the first null 171.5 Hz.
    let metre = Stereo { right_latency: Seconds::of(1.0 / 343.0), ..Stereo::ALIKE };
    let finding = only(&project(two_amps(Bypass::Buffered, metre)), rules::ENDS_APART);
    assert!(finding.text.contains("1.00 m") && finding.text.ends_with("171.5 Hz."), "{}", finding.text);
}

#[test]
fn of_what_nobody_says_both_answers_are_told() {
    // One way alone has no sign that matters.
    let mut rig = two_amps(Bypass::Buffered, Stereo::ALIKE);
    pedal(&mut rig).on.polarity = Polarity::Unknown;
    assert!(of(&project(rig), rules::POLARITY_UNKNOWN).is_empty());
    let unknown = Stereo { right: Polarity::Unknown, ..Stereo::ALIKE };
    let before = project(two_amps(Bypass::Buffered, unknown));
    let finding = only(&before, rules::POLARITY_UNKNOWN);
    assert_eq!(
        finding.text,
        "With unit on, nobody says whether unit turns the signal over: amp and right amp make up 6 dB together, or \
         leave nothing."
    );
    let words: Vec<&str> = finding.remedies.iter().map(|fix| fix.words.as_str()).collect();
    assert_eq!(words, ["It doesn’t: unit has same polarity", "It does: unit has inverted polarity"]);
    let [same, turned] = [0, 1].map(|at| remedied(&before, &finding.remedies[at]));
    assert!(of(&same, rules::ENDS_AGAINST).is_empty() && of(&same, rules::POLARITY_UNKNOWN).is_empty());
    assert_eq!(of(&turned, rules::ENDS_AGAINST).len(), 1);
    // In a mixer: 1 + 1 and 1 − 1 [S: sums].
    let finding = only(&project(summed(unknown, false)), rules::POLARITY_UNKNOWN);
    assert_eq!(
        finding.text,
        "Nobody says whether unit turns the signal over while it is on: at 1 kHz there is +6.0 dB if it doesn’t, and \
         silence if it does."
    );
}

#[test]
fn a_side_that_leads_nowhere_is_told() {
    let alone = |stereo: Stereo| {
        let mut rig = two_amps(Bypass::Buffered, stereo);
        rig.leads.pop();
        rig.devices.remove(2);
        project(rig)
    };
    let uncorrelated = Stereo { right: Polarity::Uncorrelated, ..Stereo::ALIKE };
    let finding = only(&alone(uncorrelated), rules::SIDE_OPEN);
    assert_eq!(finding.text, "Only 1 of the 2 sides of unit goes on: what it gives on the right is heard nowhere.");
    // Of two alike nothing is lost, and one output may give both.
    assert!(of(&alone(Stereo::ALIKE), rules::SIDE_OPEN).is_empty());
    assert!(of(&alone(Stereo { alone: Alone::Both, ..uncorrelated }), rules::SIDE_OPEN).is_empty());
    // Both turned over and in one: nothing.
    let against = alone(Stereo { alone: Alone::Both, right: Polarity::Inverted, ..Stereo::ALIKE });
    let finding = only(&against, rules::WAYS_CANCEL);
    assert!(finding.text.starts_with("With unit on, two ways to amp are against each other"), "{}", finding.text);
}

#[test]
fn a_side_that_falls_silent_with_the_unit_off_is_told() {
    let mut rig = two_amps(Bypass::True, Stereo::ALIKE);
    pedal(&mut rig).selectable = vec![Bypass::True, Bypass::Buffered];
    let before = project(rig);
    let finding = only(&before, rules::SIDE_SILENT);
    assert_eq!(finding.text, "With unit off only 1 of its 2 sides goes on: nothing comes to right amp.");
    let fix = &finding.remedies[0];
    assert_eq!(fix.words, "Set unit to buffered bypass: both sides go on");
    assert!(of(&remedied(&before, fix), rules::SIDE_SILENT).is_empty());
    assert!(of(&project(two_amps(Bypass::Buffered, Stereo::ALIKE)), rules::SIDE_SILENT).is_empty());
    // With something in its second input too, each side has a bypass of its own.
    let mut both = two_amps(Bypass::True, Stereo { second_in: true, ..Stereo::ALIKE });
    both.devices.push(device(5, "splitter", unit(Bypass::Buffered, Stereo::ALIKE)));
    both.leads[0].to = JackRef::new(DeviceId(5), Jack::In);
    both.leads.extend([lead(20, (5, Jack::Out), (2, Jack::In)), lead(21, (5, Jack::SecondOut), (2, Jack::SecondIn))]);
    assert!(of(&project(both), rules::SIDE_SILENT).is_empty());
}
