//! Two sides, two amps and selectors in both looks, against the pictures that are kept.

use std::sync::Arc;

use egui::vec2;
use rigwright_core::file;
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{DeviceId, Jack, JackRef, Lead, LeadId, Polarity, Project, Rig, Variant, VariantId};
use rigwright_core::units::Metres;

use crate::pictures::both;
use crate::window::{Setup, Window};

/// From where to where a lead goes, devices counted from 0, and its length in m.
type Joined = ((usize, Jack), (usize, Jack), f64);

/// A rig of parts of the catalogue under these names, joined by leads of a length in m.
pub fn rig(parts: &[(&str, &str)], leads: &[Joined]) -> Rig {
    let device = |(at, (part, name)): (usize, &(&str, &str))| {
        let mut device = catalogue().part(part).expect("a part").device(DeviceId(at as u64 + 1));
        device.name = (*name).to_owned();
        device
    };
    let lead = |(at, (from, to, metres)): (usize, &Joined)| {
        let long = *metres > 1.0;
        let cable = catalogue().cable(if long { "everyday-guitar-lead" } else { "patch-lead" }).expect("a lead");
        let jack = |(at, jack): (usize, Jack)| JackRef::new(DeviceId(at as u64 + 1), jack);
        let (from, to, length) = (jack(*from), jack(*to), Metres::of(*metres));
        Lead { id: LeadId(at as u64 + 100), from, to, length, cable: cable.cable.clone() }
    };
    Rig {
        devices: parts.iter().enumerate().map(device).collect(),
        leads: leads.iter().enumerate().map(lead).collect(),
        feeds: Vec::new(),
    }
}

pub fn setup(name: &str, rig: Rig) -> Setup {
    let variant = Variant::of(VariantId(200), name, rig);
    let project = Project { title: name.to_owned(), ..Project::around(Arc::new(variant), 201) };
    let text = file::write(&project).expect("a file");
    Setup { size: [1280.0, 1000.0], ..Setup::file("/rigs/stereo.ron", text) }
}

/// A guitar, a drive, three stereo units, two amps.
pub fn two_amps() -> Rig {
    let parts = [
        ("single-coil-guitar", "Guitar"),
        ("mild-drive", "Mild drive"),
        ("stereo-chorus", "Stereo chorus"),
        ("stereo-delay", "Stereo delay"),
        ("stereo-reverb", "Stereo reverb"),
        ("valve-amp", "Amp left"),
        ("valve-amp", "Amp right"),
    ];
    use Jack::{In, Out, SecondIn, SecondOut};
    let leads = [
        ((0, Out), (1, In), 6.0),
        ((1, Out), (2, In), 0.15),
        ((2, Out), (3, In), 0.15),
        ((2, SecondOut), (3, SecondIn), 0.15),
        ((3, Out), (4, In), 0.15),
        ((3, SecondOut), (4, SecondIn), 0.15),
        ((4, Out), (5, In), 3.0),
        ((4, SecondOut), (6, In), 9.0),
    ];
    rig(&parts, &leads)
}

#[test]
fn two_amps_with_stereo_from_the_middle() {
    let setup = || {
        let mut rig = two_amps();
        let chorus = rig.devices[2].kind.pedal_mut().and_then(|pedal| pedal.stereo.as_mut()).expect("two sides");
        chorus.right = Polarity::Inverted;
        setup("Two amps", rig)
    };
    both("two-amps", setup, |window: &mut Window| {
        window.click("Switch of Stereo delay");
        window.click("Findings");
        window.click("where the level is taken");
        window.click("the others beside it");
    });
}

#[test]
fn a_stereo_unit_that_is_selected() {
    let setup = || Setup { size: [1024.0, 1300.0], ..setup("Two amps", two_amps()) };
    both("stereo-selected", setup, |window| window.click_device("Stereo reverb"));
}

#[test]
fn selectors_and_a_parallel_loop() {
    let setup = || {
        use Jack::{In, Out, Return, SecondIn, SecondOut, Send};
        let parts = [
            ("single-coil-guitar", "Guitar"),
            ("vintage-humbucker-guitar", "Second guitar"),
            ("instrument-selector", "Which guitar"),
            ("aby-box", "Which amp"),
            ("valve-amp-parallel-loop", "Amp left"),
            ("valve-amp", "Amp right"),
            ("stereo-delay", "Delay"),
        ];
        let leads = [
            ((0, Out), (2, In), 6.0),
            ((1, Out), (2, SecondIn), 6.0),
            ((2, Out), (3, In), 0.3),
            ((3, Out), (4, In), 3.0),
            ((3, SecondOut), (5, In), 3.0),
            ((4, Send(1)), (6, In), 3.0),
            ((6, Out), (4, Return(1)), 3.0),
        ];
        setup("Selectors", rig(&parts, &leads))
    };
    both("selectors", setup, |window| {
        window.click("Switch of Which amp");
        let at = window.device("Amp left").rect().center() + vec2(10.0, 0.0);
        window.click_at(at);
    });
}
