//! What a screen reads, and what it asks for. A screen changes nothing itself.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::Arc;

use rigwright_core::advice::Advice;
use rigwright_core::diagnosis::{About, Diagnosis};
use rigwright_core::ground::GroundLoop;
use rigwright_core::response::{Response, StringComb};
use rigwright_core::rig::{
    DeviceId, JackRef, LeadId, OutletRef, Project, SoundId, SwitchRef, SwitchSetting, Variant, VariantId,
};
use rigwright_core::states::States;

use rigwright_core::power::{Allocation, AllocationQuestion, LeastAnswer, LeastQuestion, Rules};

use crate::command::Command;
use crate::state::{
    AllStates, Answers, Change, Ghost, Habits, Input, Inputs, Offer, OwnParts, PowerAnswer, Preview, PreviewedChange,
    PreviewedRig, Selected, Selection, Shown, SoundCurve, Sounds, Straight,
};

/// What a screen reads.
pub struct Facts<'a> {
    /// The project.
    pub project: &'a Arc<Project>,
    /// The variant in hand.
    pub variant: &'a Arc<Variant>,
    /// The answers that there are.
    pub answers: &'a Answers,
    /// Where everything came from, and the curves of sounds.
    pub sounds: &'a Sounds,
    /// Where levels are taken, what is compared, which sounds have curves.
    pub inputs: &'a Inputs,
    /// The guitar straight into the amp, where that is what the others are compared with.
    pub straight: &'a Straight,
    /// What is selected.
    pub selection: &'a Selection,
    /// Units that are highlighted, since what they make is pointed at.
    pub state_highlight: Option<&'a StateHighlight>,
    /// What is highlighted in the drawings, since a diagnosis about it is pointed at.
    pub looked_at: Option<&'a About>,
    /// What the pickups of the rig in hand hear of a string, where that is asked for.
    pub string_comb: Option<&'a StringComb>,
    /// The curve that a change would give which is pointed at.
    pub ghost: Option<&'a Ghost>,
    /// Why the change that is pointed at can't be done, if it can't.
    pub refused: Option<&'a str>,
    /// What the last search for something better found.
    pub advice: Option<Shown<'a, Advice>>,
    /// What the player wants of the sheet.
    pub habits: Habits,
    /// Keys of the parts that were put into a rig of late, the last one first.
    pub used_parts: &'a [String],
    /// The parts of the player's own, and with them the catalogue's.
    pub own_parts: &'a OwnParts,
    /// What the rig's power amounts to.
    pub power: PowerFacts<'a>,
}

/// What a screen reads of power.
#[derive(Default)]
pub struct PowerFacts<'a> {
    /// Loads, voltages, problems, loops; only where somebody wants to know.
    pub answer: Option<Shown<'a, PowerAnswer>>,
    /// The ground loop whose way is highlighted until it is hidden again.
    pub loop_shown: Option<&'a GroundLoop>,
    /// The best allocation that was found last, and what was asked.
    pub allocation: Option<(&'a AllocationQuestion, Shown<'a, Allocation>)>,
    /// The least supplies that were found last, and what was asked.
    pub least: Option<(&'a LeastQuestion, Shown<'a, LeastAnswer>)>,
    /// That allocation as a change.
    pub best_offer: Option<&'a Offer>,
    /// Those supplies as a change.
    pub least_offer: Option<&'a Offer>,
    /// The change that is looked at, if one is.
    pub change_looked_at: Option<&'a PreviewedChange>,
    /// What it would make of the rig, where that is worked out.
    pub previewed: Option<&'a PreviewedRig>,
    /// How far the search for the best allocation is, from 0 to 1, while there is one.
    pub seeking: Option<f64>,
    /// The same of the search for the least supplies.
    pub seeking_least: Option<f64>,
    /// How far the answer is, from 0 to 1, while it is being worked out.
    pub progress: Option<f64>,
    /// Whether that was called off.
    pub called_off: bool,
    /// Whether the work on the answer died.
    pub died: bool,
    /// That of the search for the best allocation.
    pub seeking_died: bool,
    /// That of the search for the least supplies.
    pub seeking_least_died: bool,
}

impl Facts<'_> {
    /// The answer for the variant in hand.
    #[must_use]
    pub fn response(&self) -> Option<&Arc<Response>> {
        self.answers.get(self.variant.id)
    }

    /// All footswitch states of a variant where its curve is taken; the last
    /// answer, if the next is still being worked out.
    #[must_use]
    pub fn states(&self, variant: VariantId) -> Option<&'_ Arc<AllStates>> {
        self.answers.states(variant).map(|shown| shown.answer)
    }

    /// Whether those are of the rig before its last change.
    #[must_use]
    pub fn states_are_old(&self, variant: VariantId) -> bool {
        self.answers.states(variant).is_some_and(|shown| shown.old)
    }

    /// The states of the variant in hand, if there are any.
    #[must_use]
    pub fn all(&self) -> Option<&'_ States> {
        self.states(self.variant.id)?.as_ref().as_ref().ok()
    }

    /// The curves of the sounds that are shown, on the variant in hand.
    #[must_use]
    pub fn sound_curves(&self) -> &[SoundCurve] {
        self.sounds.curves()
    }

    /// The ground loop that is pointed at, or else the one that is highlighted until it is hidden.
    #[must_use]
    pub fn highlighted_loop(&self) -> Option<&GroundLoop> {
        let answer = self.power.answer.as_ref()?.answer;
        let pointed = self.looked_at.and_then(|about| answer.loops.get(*about.loops.first()?));
        pointed.or(self.power.loop_shown)
    }

    /// The leads and devices that are highlighted on the drawing of the signal: those of a
    /// ground loop, and those that a diagnosis is about which is pointed at. Where
    /// it tells a state, its units are highlighted as of that state instead.
    #[must_use]
    pub fn highlighted(&self) -> (BTreeSet<LeadId>, BTreeSet<DeviceId>) {
        let (mut leads, mut devices) = (BTreeSet::new(), BTreeSet::new());
        if let Some(shown) = self.power.loop_shown {
            leads.extend(shown.leads());
            devices.extend(shown.devices());
        }
        if let Some(about) = self.looked_at {
            leads.extend(about.leads.iter().copied());
            devices.extend(about.devices.iter().copied().filter(|_| about.among.is_none()));
        }
        (leads, devices)
    }

    /// Which of the project's variants is in hand.
    #[must_use]
    pub fn index(&self) -> usize {
        self.project.variants.iter().position(|variant| variant.id == self.variant.id).unwrap_or(0)
    }
}

/// What a part of the catalogue is wanted for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// To be plugged in on a lead.
    Lead(LeadId),
    /// To be joined to a free output.
    Behind(JackRef),
    /// To be put on the sheet.
    Sheet,
    /// To feed others: a supply, a module, a battery.
    Supply,
    /// To take the place of a device.
    Replace(DeviceId),
}

/// What is to be done with a part of the player's own; own parts go by their keys.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OwnAsk {
    /// A device is to be kept as one.
    Keep(DeviceId),
    /// It is to have another name.
    Rename(String),
    /// It costs something else.
    SetPrice(String),
    /// It is to go.
    Remove(String),
}

/// A state that is pointed at, to be shown on the drawing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StateHighlight {
    /// The switches that are moved in it; all others are at their defaults.
    pub set: Vec<SwitchSetting>,
    /// The switch it is about, if it is about one.
    pub subject: Option<SwitchRef>,
}

/// What the pointer rests on. A screen says so in each frame while it lasts.
#[derive(Debug, Clone, PartialEq)]
pub enum Pointed {
    /// What some state makes: its units light up.
    State(StateHighlight),
    /// A unit: the curve with its switch the other way is shown.
    Unit(DeviceId),
    /// A change: the curve it would give is shown.
    Change(Preview),
    /// A change that is being typed, or that the keyboard has come to: its curve is shown
    /// wherever the pointer rests meanwhile.
    Typed(Preview),
    /// A diagnosis: what it is about lights up.
    About(Box<About>),
}

/// What a screen asks for.
#[derive(Debug, Clone, PartialEq)]
pub enum Intent {
    /// Change the project.
    Change(Change),
    /// A gesture is over: the next change is another step.
    EndGesture,
    /// Select something, or nothing.
    Select(Option<Selected>),
    /// Select one thing more, or leave one that is selected out.
    SelectToo(Selected),
    /// Select several.
    SelectAll(Vec<Selected>),
    /// Do what a key or a menu does.
    Command(Command),
    /// Take another variant in hand.
    Show(VariantId),
    /// Make a device into another part of the catalogue; its leads stay.
    Replace {
        /// The device.
        device: DeviceId,
        /// The part's key.
        part: String,
    },
    /// Open the catalogue.
    OpenPicker(Purpose),
    /// Ask about a part of the player's own.
    AskOwnPart(OwnAsk),
    /// Select something, and show where it is.
    Find(Selected),
    /// Show a diagnosis in its list.
    ShowDiagnosis(Box<Diagnosis>),
    /// Plug a new part of the catalogue in: on the selected lead where it has a way through,
    /// or else onto its screen's sheet.
    InsertPart(String),
    /// Open a file.
    OpenFile(PathBuf),
    /// Set exactly these footswitches of the rig in hand, all others at their defaults.
    Adopt {
        /// Where they then stand.
        set: Vec<SwitchSetting>,
        /// What is looked at then, if anything.
        select: Option<DeviceId>,
    },
    /// Ask something else of the analyses.
    Input(Input),
    /// Flip the switch of a device.
    Toggle(DeviceId),
    /// Set all switches and controls as a sound has them.
    Recall(SoundId),
    /// Keep how everything stands under a name.
    KeepSound(String),
    /// Show what the pointer rests on, as long as it does.
    Point(Pointed),
    /// Do what a finding or a search offers, to the variant in hand.
    Take(Preview),
    /// The same to a new variant, made from the one in hand.
    TakeAsVariant(Preview),
    /// Call off what is being worked out for the rig in hand.
    CallOff,
    /// Work out after all what was called off.
    WantAgain,
    /// Search for what would be better.
    Seek,
    /// Call the search off.
    StopSeeking,
    /// Plug a device in at an outlet.
    PlugIn {
        /// The device.
        device: DeviceId,
        /// The outlet.
        outlet: OutletRef,
    },
    /// Look for the best allocation by these rules.
    SeekAllocation(Box<Rules>),
    /// Look for the least supplies of the catalogue.
    SeekLeast(Box<LeastQuestion>),
    /// Look at what a change of power would make of the rig, or at the rig as it is.
    LookAt(Option<Box<PreviewedChange>>),
    /// Call such a search off.
    StopSeekingPower,
    /// Light the way of a ground loop until it is hidden, or hide it.
    ShowLoop(Option<Box<GroundLoop>>),
}
