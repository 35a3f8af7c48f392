//! An edit that was thought of before other things took the ids it was to bring in.

use super::{Device, DeviceId, Edit, Id, JackRef, Lead, LeadId};

impl Edit {
    /// The same edit with its ids from `from` on counted from `to` instead, for
    /// an edit whose new things were numbered from `from`. None of an edit that
    /// is about more than one rig's devices and leads.
    #[must_use]
    pub fn renumbered(&self, from: Id, to: Id) -> Option<Self> {
        let ids = Ids { from, to };
        Some(match self {
            Self::Batch(edits) => {
                Self::Batch(edits.iter().map(|edit| edit.renumbered(from, to)).collect::<Option<_>>()?)
            }
            Self::Insert { variant, lead, device, patch } => Self::Insert {
                variant: *variant,
                lead: ids.lead(*lead)?,
                device: ids.whole_device(device)?,
                patch: ids.whole_lead(patch)?,
            },
            Self::RemoveDevice { variant, device } => {
                Self::RemoveDevice { variant: *variant, device: ids.device(*device)? }
            }
            Self::Move { variant, device, onto } => {
                Self::Move { variant: *variant, device: ids.device(*device)?, onto: ids.lead(*onto)? }
            }
            Self::SetDevice { variant, device } => {
                Self::SetDevice { variant: *variant, device: ids.whole_device(device)? }
            }
            Self::SetKind { variant, device, kind } => {
                Self::SetKind { variant: *variant, device: ids.device(*device)?, kind: kind.clone() }
            }
            Self::SetLead { variant, lead } => Self::SetLead { variant: *variant, lead: ids.whole_lead(lead)? },
            _ => return None,
        })
    }
}

/// From where on ids are counted from somewhere else.
#[derive(Clone, Copy)]
struct Ids {
    from: Id,
    to: Id,
}

impl Ids {
    fn id(self, id: Id) -> Option<Id> {
        if id < self.from { Some(id) } else { self.to.checked_add(id - self.from) }
    }

    fn device(self, device: DeviceId) -> Option<DeviceId> {
        self.id(device.0).map(DeviceId)
    }

    fn lead(self, lead: LeadId) -> Option<LeadId> {
        self.id(lead.0).map(LeadId)
    }

    fn whole_device(self, device: &Device) -> Option<Box<Device>> {
        Some(Box::new(Device { id: self.device(device.id)?, ..device.clone() }))
    }

    fn whole_lead(self, lead: &Lead) -> Option<Box<Lead>> {
        let end = |end: JackRef| Some(JackRef { device: self.device(end.device)?, ..end });
        let (from, to) = (end(lead.from)?, end(lead.to)?);
        Some(Box::new(Lead { id: self.lead(lead.id)?, from, to, ..lead.clone() }))
    }
}
