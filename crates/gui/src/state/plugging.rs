//! What plugging in, joining and changing places is as a change of a rig: the edit under
//! its name, with placeholders for what is new. Nothing is done here.

use rigwright_core::parts::{Part, catalogue};
use rigwright_core::rig::{
    CanvasPoint, Device, DeviceId, Edit, Id, Jack, JackRef, Lead, LeadId, Note, Project, RowWidth, Variant,
    device_name, free_name, jack_name, own_key_of, place_name, placeholder,
};
use rigwright_core::units::counted;

use super::{Change, Selected, noting, several};

/// Everyday leads by their keys in the catalogue.
const PATCH: &str = "patch-lead";
const LONG: &str = "everyday-guitar-lead";

/// Which plug of a lead is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Plug {
    /// The one in an output.
    AtOutput,
    /// The one in an input.
    AtInput,
}

impl Plug {
    /// The jack that it is in.
    #[must_use]
    pub fn jack(self, lead: &Lead) -> JackRef {
        match self {
            Self::AtOutput => lead.from,
            Self::AtInput => lead.to,
        }
    }

    /// The plug at the lead's other end.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::AtOutput => Self::AtInput,
            Self::AtInput => Self::AtOutput,
        }
    }
}

/// "Guitar and Tuner": the two devices that a lead joins.
#[must_use]
pub fn ends(variant: &Variant, lead: LeadId) -> String {
    let rig = &variant.rig;
    let found = rig.lead(lead);
    found.map_or_else(String::new, |lead| format!("{} and {}", place_name(rig, lead.from), place_name(rig, lead.to)))
}

/// A device made from a part, under a name that the rig doesn't have yet.
fn new_device(variant: &Variant, part: &Part) -> Device {
    let mut device = part.device(DeviceId(placeholder(0)));
    let taken = |name: &str| variant.rig.devices.iter().any(|device| device.name == name);
    device.name = free_name(&part.name, taken);
    device
}

/// A lead between two jacks: a patch lead, or a long one where `off_board`.
fn new_lead(id: LeadId, from: JackRef, to: JackRef, off_board: bool) -> Option<Lead> {
    let part = catalogue().cable(if off_board { LONG } else { PATCH })?;
    Some(Lead { id, from, to, length: part.default_length, cable: part.cable.clone() })
}

/// A patch lead between two jacks; `number` is its placeholder's.
#[must_use]
pub fn patch_between(number: Id, from: JackRef, to: JackRef) -> Option<Lead> {
    new_lead(LeadId(placeholder(number)), from, to, false)
}

/// The patch lead of an edit that sets the ends itself.
fn patch(number: u64) -> Option<Box<Lead>> {
    let nowhere = JackRef::new(DeviceId(placeholder(0)), Jack::In);
    new_lead(LeadId(placeholder(number)), nowhere, nowhere, false).map(Box::new)
}

fn is_off_board(variant: &Variant, jack: JackRef) -> bool {
    variant.rig.device(jack.device).is_some_and(Device::is_off_board)
}

/// The keys of parts, the catalogue's or own ones, that an edit of a project puts into a rig: of new
/// devices, and of those that take another part's place.
#[must_use]
pub fn put_in(project: &Project, edit: &Edit) -> Vec<String> {
    let device = match edit {
        Edit::Batch(edits) => return edits.iter().flat_map(|edit| put_in(project, edit)).collect(),
        Edit::AddDevice { device, .. } | Edit::Insert { device, .. } => Some(device),
        Edit::SetDevice { variant, device } => {
            let before = project.variant(*variant).and_then(|variant| variant.rig.device(device.id));
            Some(device).filter(|device| before.is_some_and(|before| before.part != device.part))
        }
        _ => None,
    };
    let is_part = |key: &str| own_key_of(key).is_some() || catalogue().part(key).is_some();
    let known = device.filter(|device| is_part(&device.part));
    known.into_iter().map(|device| device.part.clone()).collect()
}

/// A new part plugged in on a lead.
#[must_use]
pub fn insert(variant: &Variant, lead: LeadId, part: &Part) -> Option<Change> {
    let device = new_device(variant, part);
    let step = format!("insert {}", device.name);
    let select = Selected::Device(device.id);
    let edit = Edit::Insert { variant: variant.id, lead, device: Box::new(device), patch: patch(1)? };
    Some(Change::new(step, edit).selecting(select))
}

/// A new part on the sheet, joined to nothing, where the drawing puts it or at a place.
#[must_use]
pub fn add(variant: &Variant, part: &Part, place: Option<(CanvasPoint, RowWidth)>) -> Change {
    let device = new_device(variant, part);
    let (step, select) = (format!("add {}", device.name), Selected::Device(device.id));
    let edit = |place| Edit::AddDevice { variant: variant.id, device: Box::new(device), place };
    let edit = match place {
        Some((place, rows)) => with_rows(variant, edit(Some(place)), rows),
        None => edit(None),
    };
    Change::new(step, edit).selecting(select)
}

/// A new part joined to a free output by a lead of its own.
#[must_use]
pub fn add_behind(variant: &Variant, output: JackRef, part: &Part) -> Option<Change> {
    let device = new_device(variant, part);
    let input = JackRef::new(device.id, Jack::In);
    let off_board = is_off_board(variant, output) || device.is_off_board();
    let lead = new_lead(LeadId(placeholder(1)), output, input, off_board)?;
    let (step, select) = (format!("add {}", device.name), Selected::Device(device.id));
    let edit = Edit::Batch(vec![
        Edit::AddDevice { variant: variant.id, device: Box::new(device), place: None },
        Edit::AddLead { variant: variant.id, lead: Box::new(lead) },
    ]);
    Some(Change::new(step, edit).selecting(select))
}

/// A device brought to a lead: unplugged where it is and plugged in there, or only
/// plugged in where it stands loose.
#[must_use]
pub fn bring(variant: &Variant, device: DeviceId, onto: LeadId) -> Option<Change> {
    let rig = &variant.rig;
    let name = device_name(rig, device);
    let own = [JackRef::new(device, Jack::In), JackRef::new(device, Jack::Out)];
    if rig.leads.iter().any(|lead| own.contains(&lead.from) || own.contains(&lead.to)) {
        let step = format!("move {name} between {}", ends(variant, onto));
        return Some(Change::new(step, Edit::Move { variant: variant.id, device, onto }));
    }
    let edit = Edit::Plug { variant: variant.id, device, onto, patch: patch(0)? };
    Some(Change::new(format!("plug {name} in"), edit))
}

/// Two devices each where the other was.
#[must_use]
pub fn trade_places(variant: &Variant, one: DeviceId, other: DeviceId) -> Change {
    let rig = &variant.rig;
    let step = format!("let {} and {} trade places", device_name(rig, one), device_name(rig, other));
    Change::new(step, Edit::TradePlaces { variant: variant.id, one, other })
}

/// A symbol at a place of the sheet, the rig being as it was. From then on the other
/// symbols keep to rows of the width that they have now, whatever the window's shape.
#[must_use]
pub fn stand(variant: &Variant, device: DeviceId, place: CanvasPoint, rows: RowWidth) -> Change {
    let step = format!("move the symbol of {}", device_name(&variant.rig, device));
    let edit = Edit::Place { variant: variant.id, device, place: Some(place) };
    Change::new(step, with_rows(variant, edit, rows))
}

/// Symbols at places of the sheet, as [`stand`] puts one, and notes as they are given.
#[must_use]
pub fn stand_all(
    variant: &Variant,
    places: &[(DeviceId, CanvasPoint)],
    notes: Vec<Note>,
    rows: RowWidth,
) -> Option<Change> {
    let (symbols, leaves) = (places.len(), notes.len());
    let stand = (symbols > 0).then(|| with_rows(variant, several::stand(variant, places), rows));
    let put = notes.into_iter().map(|note| noting::put(variant, note, "").edit);
    let edits: Vec<Edit> = stand.into_iter().chain(put).collect();
    let name = match (symbols, leaves) {
        (0, 0) => return None,
        (0, 1) => "move a note".to_owned(),
        (0, leaves) => format!("move {} notes", counted(leaves)),
        (1, 0) => "move a symbol".to_owned(),
        (symbols, 0) => format!("move {} symbols", counted(symbols)),
        _ => format!("move {} things", counted(symbols + leaves)),
    };
    Some(Change::new(name, Edit::Batch(edits)))
}

/// An edit that puts a symbol somewhere, with the width of the rows if none is kept.
fn with_rows(variant: &Variant, edit: Edit, rows: RowWidth) -> Edit {
    if variant.row_width.is_some() {
        return edit;
    }
    Edit::Batch(vec![Edit::SetRowWidth { variant: variant.id, width: Some(rows) }, edit])
}

/// Every symbol where the drawing puts it.
#[must_use]
pub fn tidy(variant: &Variant) -> Change {
    let edits = variant.places.keys().map(|&device| Edit::Place { variant: variant.id, device, place: None });
    let rows = Edit::SetRowWidth { variant: variant.id, width: None };
    Change::new("tidy the drawing", Edit::Batch(edits.chain([rows]).collect()))
}

/// A new lead between an output and an input; longer where one of them is off the board.
#[must_use]
pub fn join(variant: &Variant, from: JackRef, to: JackRef) -> Option<Change> {
    let off_board = is_off_board(variant, from) || is_off_board(variant, to);
    let lead = new_lead(LeadId(placeholder(0)), from, to, off_board)?;
    let select = Selected::Lead(lead.id);
    let edit = Edit::AddLead { variant: variant.id, lead: Box::new(lead) };
    Some(Change::new("plug a lead in", edit).selecting(select))
}

/// One plug of a lead into another jack; none if there is no such lead.
#[must_use]
pub fn replug(variant: &Variant, lead: LeadId, plug: Plug, jack: JackRef) -> Option<Change> {
    let mut lead = variant.rig.lead(lead)?.clone();
    match plug {
        Plug::AtOutput => lead.from = jack,
        Plug::AtInput => lead.to = jack,
    }
    let step = format!("plug a lead into {}", jack_name(&variant.rig, jack));
    let select = Selected::Lead(lead.id);
    Some(Change::new(step, Edit::SetLead { variant: variant.id, lead: Box::new(lead) }).selecting(select))
}

/// A lead pulled out of both its jacks.
#[must_use]
pub fn unplug(variant: &Variant, lead: LeadId) -> Change {
    Change::new("unplug a lead", Edit::RemoveLead { variant: variant.id, lead })
}
