//! Edits: the sole way to change a project.

use std::sync::Arc;

use super::{
    CanvasPoint, Device, DeviceId, EditError, IDS_END, Id, KeptOrder, Kind, Knob, Lead, LeadId, Limits, MainsSupply,
    NoteEdit, Position, PowerEdit, Project, Rig, RowWidth, Sound, SoundEdit, Switch, SwitchSetting, TestPoint, Variant,
    VariantId, edit_power, edit_rig, edit_sounds, new_long_name, note, too_many,
};
use crate::units::Turn;

/// A change of a project. New things bring their ids with them, so that doing
/// an edit again gives the same project, or placeholders ([`super::placeholder`]),
/// for which the project's next ids are put when the edit is done.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    /// Several edits as one; all of them or none.
    Batch(Vec<Edit>),
    /// Another title.
    SetTitle(String),
    /// Another text of notes.
    SetNotes(String),
    /// One more variant, at the end.
    AddVariant(Arc<Variant>),
    /// A variant goes.
    RemoveVariant(VariantId),
    /// A variant gets another name.
    RenameVariant {
        /// Which.
        variant: VariantId,
        /// The name.
        name: String,
    },
    /// A device joins a rig, with no lead yet.
    AddDevice {
        /// To which rig.
        variant: VariantId,
        /// The device.
        device: Box<Device>,
        /// Where its symbol stands, if not where the drawing puts it.
        place: Option<CanvasPoint>,
    },
    /// A device is plugged in between the two ends of a lead. The long lead
    /// stays with the off-board jack; a new patch lead joins the floor units.
    Insert {
        /// In which rig.
        variant: VariantId,
        /// The lead that it interrupts.
        lead: LeadId,
        /// The device.
        device: Box<Device>,
        /// The lead that is new; its ends are set by the edit.
        patch: Box<Lead>,
    },
    /// A device goes, and the gap is closed with the lead that was plugged into
    /// an off-board jack, or else with the one before it.
    RemoveDevice {
        /// From which rig.
        variant: VariantId,
        /// The device.
        device: DeviceId,
    },
    /// A device is unplugged, the gap closed, and plugged in on another lead;
    /// the lead that came free goes with it.
    Move {
        /// In which rig.
        variant: VariantId,
        /// The device.
        device: DeviceId,
        /// The lead that it then interrupts.
        onto: LeadId,
    },
    /// A device that stands loose is plugged in on a lead.
    Plug {
        /// In which rig.
        variant: VariantId,
        /// The device; it has no lead at its input and output.
        device: DeviceId,
        /// The lead that it then interrupts.
        onto: LeadId,
        /// The lead that is new; its ends are set by the edit.
        patch: Box<Lead>,
    },
    /// Two devices trade places: each is plugged in where the other was, the leads
    /// staying where they are.
    TradePlaces {
        /// In which rig.
        variant: VariantId,
        /// One of them.
        one: DeviceId,
        /// The other.
        other: DeviceId,
    },
    /// A device is as given from now on; its id says which.
    SetDevice {
        /// In which rig.
        variant: VariantId,
        /// The device.
        device: Box<Device>,
    },
    /// What a device is to the signal is as given from now on; its name, its
    /// price and what it takes to work stay.
    SetKind {
        /// In which rig.
        variant: VariantId,
        /// The device.
        device: DeviceId,
        /// What it is.
        kind: Box<Kind>,
    },
    /// A device stays on in every state, or doesn't any more.
    StayOn {
        /// In which rig.
        variant: VariantId,
        /// The device.
        device: DeviceId,
        /// Whether it stays on.
        stays_on: bool,
    },
    /// One more lead.
    AddLead {
        /// In which rig.
        variant: VariantId,
        /// The lead.
        lead: Box<Lead>,
    },
    /// A lead is as given from now on; its id says which.
    SetLead {
        /// In which rig.
        variant: VariantId,
        /// The lead.
        lead: Box<Lead>,
    },
    /// A lead goes.
    RemoveLead {
        /// From which rig.
        variant: VariantId,
        /// The lead.
        lead: LeadId,
    },
    /// A symbol stands somewhere else, or (`None`) where the drawing puts it.
    Place {
        /// In which rig.
        variant: VariantId,
        /// Whose symbol.
        device: DeviceId,
        /// Where.
        place: Option<CanvasPoint>,
    },
    /// A switch is set, in all variants that have it.
    Switch(SwitchSetting),
    /// A control is turned, in all variants that have it.
    Turn {
        /// Which.
        knob: Knob,
        /// To where.
        to: Turn,
    },
    /// The rows of the drawing have a width of their own, or (`None`) what suits the window.
    SetRowWidth {
        /// In which rig.
        variant: VariantId,
        /// How wide.
        width: Option<RowWidth>,
    },
    /// The test point is put somewhere, or taken away.
    SetTestPoint(Option<TestPoint>),
    /// Do something to the sounds.
    Sound(SoundEdit),
    /// Set from where on findings speak.
    SetLimits(Box<Limits>),
    /// Say on which mains it is played, at home and on tour.
    SetMains(Box<MainsSupply>),
    /// Keep two units in their order, or no longer.
    KeepOrder {
        /// In which variant.
        variant: VariantId,
        /// Which two.
        order: KeptOrder,
        /// Whether it is kept.
        kept: bool,
    },
    /// Do something to a variant's notes.
    Note {
        /// In which variant.
        variant: VariantId,
        /// What.
        edit: NoteEdit,
    },
    /// Do something to what feeds a rig.
    Power {
        /// In which rig.
        variant: VariantId,
        /// What.
        edit: PowerEdit,
    },
}

impl Edit {
    /// The same edit done to another variant, wherever it is done to `from`.
    #[must_use]
    pub fn on_variant(&self, from: VariantId, to: VariantId) -> Self {
        let mut edit = self.clone();
        edit.turn_to(from, to);
        edit
    }

    fn turn_to(&mut self, from: VariantId, to: VariantId) {
        match self {
            Self::Batch(edits) => edits.iter_mut().for_each(|edit| edit.turn_to(from, to)),
            Self::RenameVariant { variant, .. }
            | Self::AddDevice { variant, .. }
            | Self::Insert { variant, .. }
            | Self::RemoveDevice { variant, .. }
            | Self::Move { variant, .. }
            | Self::Plug { variant, .. }
            | Self::TradePlaces { variant, .. }
            | Self::SetDevice { variant, .. }
            | Self::SetKind { variant, .. }
            | Self::StayOn { variant, .. }
            | Self::AddLead { variant, .. }
            | Self::SetLead { variant, .. }
            | Self::RemoveLead { variant, .. }
            | Self::Place { variant, .. }
            | Self::SetRowWidth { variant, .. }
            | Self::KeepOrder { variant, .. }
            | Self::Note { variant, .. }
            | Self::Power { variant, .. }
            | Self::Sound(SoundEdit::MakeIn { variant, .. } | SoundEdit::Recall { variant, .. }) => {
                if *variant == from {
                    *variant = to;
                }
            }
            Self::SetTitle(_)
            | Self::SetNotes(_)
            | Self::AddVariant(_)
            | Self::RemoveVariant(_)
            | Self::Switch(_)
            | Self::Turn { .. }
            | Self::SetTestPoint(_)
            | Self::Sound(_)
            | Self::SetLimits(_)
            | Self::SetMains(_) => {}
        }
    }
}

/// The project after an edit. Errors leave nothing half done: the old project is untouched.
pub fn apply(project: &Project, edit: &Edit) -> Result<Project, EditError> {
    let mut next = project.clone();
    match edit.has_placeholders() {
        true => change(&mut next, &edit.resolved(project.next_id))?,
        false => change(&mut next, edit)?,
    }
    // What can be drawn can be opened again.
    if let Some(what) = too_many(&next) {
        return Err(EditError::TooMany(what));
    }
    match new_long_name(project, &next) {
        Some(what) => Err(EditError::NameTooLong(what)),
        None => Ok(next),
    }
}

fn change(project: &mut Project, edit: &Edit) -> Result<(), EditError> {
    change_one(project, edit)?;
    // A test point whose lead is in no rig any more is none.
    let gone = |point: &TestPoint| project.variants.iter().all(|variant| variant.rig.lead(point.lead).is_none());
    if project.test_point.as_ref().is_some_and(gone) {
        project.test_point = None;
    }
    Ok(())
}

fn change_one(project: &mut Project, edit: &Edit) -> Result<(), EditError> {
    match edit {
        Edit::Batch(edits) => edits.iter().try_for_each(|edit| change(project, edit)),
        Edit::SetTitle(title) => {
            project.title.clone_from(title);
            Ok(())
        }
        Edit::SetNotes(notes) => {
            project.notes.clone_from(notes);
            Ok(())
        }
        Edit::AddVariant(variant) => {
            if project.variant(variant.id).is_some() {
                return Err(EditError::IdTaken(variant.id.0));
            }
            variant.ids().try_for_each(|id| use_id(project, id))?;
            let mut variant = Arc::clone(variant);
            if !variant.is_on_canvas() {
                Arc::make_mut(&mut variant).bring_onto_canvas();
            }
            project.variants.push(variant);
            Ok(())
        }
        Edit::RemoveVariant(id) => {
            if project.variants.len() == 1 {
                return Err(EditError::LastVariant);
            }
            let at = project.variants.iter().position(|variant| variant.id == *id);
            let gone = project.variants.remove(at.ok_or(EditError::NoVariant(*id))?);
            gone.rig.devices.iter().for_each(|device| forget(project, device.id));
            project.sounds.iter_mut().for_each(|sound| drop(sound.made_in.remove(id)));
            Ok(())
        }
        Edit::RenameVariant { variant, name } => {
            variant_mut(project, *variant)?.name.clone_from(name);
            Ok(())
        }
        Edit::AddDevice { variant, device, place } => {
            use_id(project, device.id.0)?;
            let variant = variant_mut(project, *variant)?;
            edit_rig::add_device(rig_mut(variant), (**device).clone())?;
            if let Some(place) = place {
                variant.places.insert(device.id, place.on_canvas());
            }
            Ok(())
        }
        Edit::Insert { variant, lead, device, patch } => {
            use_id(project, device.id.0.max(patch.id.0))?;
            let rig = rig_mut(variant_mut(project, *variant)?);
            edit_rig::insert(rig, *lead, (**device).clone(), (**patch).clone())
        }
        Edit::RemoveDevice { variant, device } => {
            let in_hand = project.test_point;
            let variant = variant_mut(project, *variant)?;
            let healed = edit_rig::remove_device(rig_mut(variant), *device)?;
            edit_power::remove_device(rig_mut(variant), *device);
            variant.places.remove(device);
            variant.kept_orders.retain(|order| order.before != *device && order.behind != *device);
            forget(project, *device);
            // A test point on a lead that went stands on the lead that closed the gap.
            if let (Some(point), Some(kept)) = (in_hand, healed.kept)
                && healed.gone.contains(&point.lead)
                && project.variants.iter().all(|v| v.rig.lead(point.lead).is_none())
            {
                project.test_point = Some(TestPoint { lead: kept, ..point });
            }
            Ok(())
        }
        Edit::Move { variant, device, onto } => {
            let variant = variant_mut(project, *variant)?;
            edit_rig::move_device(rig_mut(variant), *device, *onto)?;
            // Dropped on a lead, it stands where the drawing puts it.
            variant.places.remove(device);
            Ok(())
        }
        Edit::Plug { variant, device, onto, patch } => {
            use_id(project, patch.id.0)?;
            let variant = variant_mut(project, *variant)?;
            edit_rig::plug(rig_mut(variant), *device, *onto, (**patch).clone())?;
            variant.places.remove(device);
            Ok(())
        }
        Edit::TradePlaces { variant, one, other } => {
            let variant = variant_mut(project, *variant)?;
            edit_rig::trade_places(rig_mut(variant), *one, *other)?;
            let places = [*one, *other].map(|device| variant.places.remove(&device));
            for (device, place) in [*other, *one].into_iter().zip(places) {
                variant.places.extend(place.map(|place| (device, place)));
            }
            Ok(())
        }
        Edit::SetDevice { variant, device } => {
            let rig = rig_mut(variant_mut(project, *variant)?);
            let slot = rig.devices.iter_mut().find(|d| d.id == device.id).ok_or(EditError::NoDevice(device.id))?;
            slot.clone_from(device);
            Ok(())
        }
        Edit::SetKind { variant, device, kind } => {
            let rig = rig_mut(variant_mut(project, *variant)?);
            let slot = rig.devices.iter_mut().find(|d| d.id == *device).ok_or(EditError::NoDevice(*device))?;
            slot.kind.clone_from(kind);
            Ok(())
        }
        Edit::StayOn { variant, device, stays_on } => {
            let rig = rig_mut(variant_mut(project, *variant)?);
            let slot = rig.devices.iter_mut().find(|d| d.id == *device).ok_or(EditError::NoDevice(*device))?;
            slot.stays_on = *stays_on;
            Ok(())
        }
        Edit::AddLead { variant, lead } => {
            use_id(project, lead.id.0)?;
            let rig = rig_mut(variant_mut(project, *variant)?);
            if rig.lead(lead.id).is_some() {
                return Err(EditError::IdTaken(lead.id.0));
            }
            rig.leads.push((**lead).clone());
            Ok(())
        }
        Edit::SetLead { variant, lead } => {
            let rig = rig_mut(variant_mut(project, *variant)?);
            let slot = rig.leads.iter_mut().find(|l| l.id == lead.id).ok_or(EditError::NoLead(lead.id))?;
            slot.clone_from(lead);
            Ok(())
        }
        Edit::RemoveLead { variant, lead } => {
            let rig = rig_mut(variant_mut(project, *variant)?);
            let before = rig.leads.len();
            rig.leads.retain(|l| l.id != *lead);
            if rig.leads.len() == before { Err(EditError::NoLead(*lead)) } else { Ok(()) }
        }
        Edit::Place { variant, device, place } => {
            let variant = variant_mut(project, *variant)?;
            if variant.rig.device(*device).is_none() {
                return Err(EditError::NoDevice(*device));
            }
            match place {
                Some(place) => variant.places.insert(*device, place.on_canvas()),
                None => variant.places.remove(device),
            };
            Ok(())
        }
        Edit::SetRowWidth { variant, width } => {
            variant_mut(project, *variant)?.row_width = *width;
            Ok(())
        }
        Edit::Note { variant, edit } => {
            if let NoteEdit::Put(note) = edit {
                use_id(project, note.id.0)?;
            }
            note::change(variant_mut(project, *variant)?, edit)
        }
        Edit::Switch(setting) => set_switch(project, *setting),
        Edit::Turn { knob, to } => {
            known_device(project, knob.device)?;
            // At rest is what isn't listed, so that a file has one way to say it.
            if *to == knob.control.at_rest() {
                project.state.turned.remove(knob);
            } else {
                project.state.turned.insert(*knob, *to);
            }
            Ok(())
        }
        Edit::SetTestPoint(point) => {
            if let Some(point) = point
                && project.variants.iter().all(|v| v.rig.lead(point.lead).is_none())
            {
                return Err(EditError::NoLead(point.lead));
            }
            project.test_point = *point;
            Ok(())
        }
        Edit::Sound(edit) => edit_sounds::change(project, edit),
        Edit::SetLimits(limits) => {
            project.limits = **limits;
            Ok(())
        }
        Edit::SetMains(mains) => {
            project.mains.clone_from(mains);
            Ok(())
        }
        Edit::KeepOrder { variant, order, kept } => {
            if order.before == order.behind {
                return Err(EditError::OneUnitTwice);
            }
            let variant = variant_mut(project, *variant)?;
            for device in [order.before, order.behind] {
                variant.rig.device(device).ok_or(EditError::NoDevice(device))?;
            }
            if *kept {
                // The other way round can't be kept at once.
                variant.kept_orders.remove(&KeptOrder { before: order.behind, behind: order.before });
                variant.kept_orders.insert(*order);
            } else {
                variant.kept_orders.remove(order);
            }
            Ok(())
        }
        Edit::Power { variant, edit } => {
            if let Some(id) = edit.new_id() {
                use_id(project, id)?;
            }
            edit_power::change(rig_mut(variant_mut(project, *variant)?), edit)
        }
    }
}

/// What stands at its default in every variant isn't listed, so that a file has
/// one way to say it. What no variant has any more can be taken from the list.
fn set_switch(project: &mut Project, SwitchSetting { switch, to }: SwitchSetting) -> Result<(), EditError> {
    known_device(project, switch.device)?;
    let devices = project.variants.iter().filter_map(|variant| variant.rig.device(switch.device));
    let switches: Vec<Switch> = devices.filter_map(|device| device.switch(switch.key)).collect();
    let is_usual = match switches.as_slice() {
        [] => to == Position::OFF,
        found => found.iter().all(|switch| switch.default == to),
    };
    if is_usual {
        project.state.positions.remove(&switch);
        return Ok(());
    }
    if switches.iter().all(|switch| usize::from(to.0) >= switch.positions) {
        return Err(EditError::NoPosition(switch, to));
    }
    project.state.positions.insert(switch, to);
    Ok(())
}

/// A device that no variant has any more leaves no trace in the state or in
/// sounds; a sound still asks for a device that another variant has.
fn forget(project: &mut Project, device: DeviceId) {
    if known_device(project, device).is_ok() {
        return;
    }
    for state in project.sounds.iter_mut().flat_map(Sound::states_mut).chain([&mut project.state]) {
        state.positions.retain(|switch, _| switch.device != device);
        state.turned.retain(|knob, _| knob.device != device);
    }
}

/// `next_id` stays above every id that ever came in.
pub(super) fn use_id(project: &mut Project, id: Id) -> Result<(), EditError> {
    if id >= IDS_END {
        return Err(EditError::NoIdLeft);
    }
    project.next_id = project.next_id.max(id + 1);
    Ok(())
}

pub(super) fn known_device(project: &Project, id: DeviceId) -> Result<(), EditError> {
    let known = project.variants.iter().any(|variant| variant.rig.device(id).is_some());
    if known { Ok(()) } else { Err(EditError::NoDevice(id)) }
}

fn variant_mut(project: &mut Project, id: VariantId) -> Result<&mut Variant, EditError> {
    project.variants.iter_mut().find(|variant| variant.id == id).map(Arc::make_mut).ok_or(EditError::NoVariant(id))
}

fn rig_mut(variant: &mut Variant) -> &mut Rig {
    Arc::make_mut(&mut variant.rig)
}
