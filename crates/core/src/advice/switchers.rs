//! A loop switcher for units that stand in a row: each in a loop of its own, where it stays
//! on, or several in one loop where there are more units than loops.

use std::sync::Arc;

use super::signal_path::{MovableUnits, SignalPath};
use super::trial::{Idea, Trial, Weighed};
use super::{go_on, patch};
use crate::parts::{CablePart, Group, Part, catalogue};
use crate::rig::{
    DeviceId, Edit, Id, Jack, JackRef, Kind, Lead, LeadId, Power, Rig, Switcher, Treadle, Variant, free_names,
};
use crate::units::{counted, engineering};
use crate::watch::{Part as Share, Stopped, Watch};

/// For fewer units nobody buys one. [common practice, no source]
const LEAST_UNITS: usize = 3;

/// The least switcher without buffers and the least with them, for the longest row of units
/// with footswitches.
pub fn search(trial: &mut Trial<'_>, path: &SignalPath, watch: &dyn Watch) -> Result<Vec<Weighed>, Stopped> {
    let variant = Arc::clone(&trial.question.variant);
    let rows = path.movable_rows(&variant.rig, trial.question.target);
    let stretches = rows.iter().flat_map(|row| stretches(&variant.rig, row));
    let longest = stretches.reduce(|longest, one| if one.units.len() > longest.units.len() { one } else { longest });
    let Some(row) = longest.filter(|row| row.units.len() >= LEAST_UNITS) else { return Ok(Vec::new()) };
    let mut found = Vec::new();
    for (buffered, from) in [(false, 0.0), (true, 0.5)] {
        let watch = Share { whole: watch, from, to: from + 0.5 };
        go_on(&watch, 0.0)?;
        if let Some(idea) = idea(trial, &variant, &row, buffered) {
            found.extend(trial.weigh(idea, &watch)?);
        }
    }
    Ok(found)
}

/// What a new switcher does besides, if a rig has one that another had not.
pub fn besides(before: &Rig, after: &Rig) -> Option<String> {
    let mut new = after.devices.iter().filter(|device| before.device(device.id).is_none());
    let switcher = new.find(|device| matches!(device.kind, Kind::Switcher(_)))?;
    let way = match &switcher.power {
        Power::Low(need) => need.ways.first(),
        _ => None,
    };
    let takes = way.map_or_else(String::new, |way| {
        let (current, volts) = (engineering(way.running.get(), "A", 3), engineering(way.least.get(), "V", 3));
        format!(" It takes {current} at {volts}.")
    });
    Some(format!(
        "A loop that is out takes its units and their leads off the signal, so a dead one is found by switching loops \
         out.{takes}"
    ))
}

/// Units of a row that follow one another and whose footswitches a loop can stand for: a
/// tuner that mutes stays out, and so does what has no footswitch.
fn stretches(rig: &Rig, row: &MovableUnits) -> Vec<MovableUnits> {
    let fits = |unit: &DeviceId| {
        let is_pedal = |kind: &Kind| matches!(kind, Kind::Pedal(_) | Kind::Treadle(Treadle::Wah { .. }));
        rig.device(*unit).is_some_and(|device| device.has_switch() && is_pedal(&device.kind))
    };
    let mut found: Vec<MovableUnits> = Vec::new();
    let mut goes_on = false;
    for (unit, leads) in row.units.iter().zip(row.leads.windows(2)) {
        let fits = fits(unit);
        if fits && !goes_on {
            found.push(MovableUnits { units: Vec::new(), leads: vec![leads[0]] });
        }
        if let Some(stretch) = found.last_mut().filter(|_| fits) {
            stretch.units.push(*unit);
            stretch.leads.push(leads[1]);
        }
        goes_on = fits;
    }
    found
}

/// The least switcher of the catalogue that has loops for so many units, or else the largest.
fn part_for(units: usize, buffered: bool) -> Option<(&'static Part, &'static Switcher)> {
    let all = catalogue().parts.iter().filter(|part| part.group == Group::Switching);
    let switchers = all.filter_map(|part| match &part.kind {
        Kind::Switcher(switcher) if switcher.input.is_some() == buffered => Some((part, switcher)),
        _ => None,
    });
    switchers.min_by_key(|(_, switcher)| {
        let loops = usize::from(switcher.loops);
        if loops >= units { (false, loops) } else { (true, usize::MAX - loops) }
    })
}

fn idea(trial: &mut Trial<'_>, variant: &Arc<Variant>, row: &MovableUnits, buffered: bool) -> Option<Idea> {
    let rig = &variant.rig;
    let (part, switcher) = part_for(row.units.len(), buffered)?;
    let patch = patch()?;
    let each = row.units.len().div_ceil(usize::from(switcher.loops.max(1)));
    let loops: Vec<&[DeviceId]> = row.units.chunks(each).collect();
    let mut device = part.device(DeviceId(trial.first_free()));
    device.name = free_names(&part.name, |name| rig.carriers().any(|other| other.name == name)).next()?;
    if let Kind::Switcher(switcher) = &mut device.kind {
        // A fuzz that wants to see the guitar stands before the buffer, and all before the fuzz.
        let limits = &trial.question.limits;
        let is_fuzz = |unit: &DeviceId| rig.device(*unit).is_some_and(|device| device.is_low_fuzz(limits));
        let last = loops.iter().rposition(|units| units.iter().any(is_fuzz)).map_or(0, |at| at + 1);
        switcher.before_buffer = u8::try_from(last).unwrap_or(0);
    }
    let (switcher, next) = (device.id, trial.first_free() + 1);
    let mut plugging = Plugging { variant, switcher, patch, next, edits: Vec::new() };
    plugging.edits.push(Edit::AddDevice { variant: variant.id, device: Box::new(device), place: None });
    plugging.plug(row, &loops)?;
    let stay_on = row.units.iter().map(|unit| Edit::StayOn { variant: variant.id, device: *unit, stays_on: true });
    plugging.edits.extend(stay_on);
    let edit = Edit::Batch(plugging.edits);
    let variant = trial.edited(variant, &edit)?;
    let buffers = if buffered { "with buffers" } else { "without buffers" };
    let words = format!("Put {} units into the loops of a loop switcher {buffers}", counted(row.units.len()));
    Some(Idea { words, edit, variant, steps: row.units.len() })
}

/// Edits that plug units into loops.
struct Plugging<'a> {
    variant: &'a Variant,
    switcher: DeviceId,
    patch: &'static CablePart,
    next: Id,
    edits: Vec<Edit>,
}

impl Plugging<'_> {
    /// The leads between the units stay, and lead from the sends; a patch lead goes from
    /// each loop's last unit to its return.
    fn plug(&mut self, row: &MovableUnits, loops: &[&[DeviceId]]) -> Option<()> {
        let own = |jack| JackRef::new(self.switcher, jack);
        let (into, out_of) = (*row.leads.first()?, *row.leads.last()?);
        let mut set = vec![Lead { to: own(Jack::In), ..self.lead(into)?.clone() }];
        set.push(Lead { from: own(Jack::Out), ..self.lead(out_of)?.clone() });
        let (mut new, mut done) = (Vec::new(), 0);
        for (units, number) in loops.iter().zip(1_u8..) {
            let (first, last) = (*units.first()?, *units.last()?);
            let send = own(Jack::Send(number));
            if number == 1 {
                new.push((send, JackRef::new(first, Jack::In)));
            } else {
                set.push(Lead { from: send, ..self.lead(*row.leads.get(done)?)?.clone() });
            }
            new.push((JackRef::new(last, Jack::Out), own(Jack::Return(number))));
            done += units.len();
        }
        let variant = self.variant.id;
        self.edits.extend(set.into_iter().map(|lead| Edit::SetLead { variant, lead: Box::new(lead) }));
        for (from, to) in new {
            let (length, cable) = (self.patch.default_length, self.patch.cable.clone());
            let lead = Lead { id: LeadId(self.next), from, to, length, cable };
            self.next += 1;
            self.edits.push(Edit::AddLead { variant, lead: Box::new(lead) });
        }
        Some(())
    }

    fn lead(&self, id: LeadId) -> Option<&Lead> {
        self.variant.rig.lead(id)
    }
}
