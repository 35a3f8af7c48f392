//! A loop switcher as the signal sees it: a rail, and at each loop a choice of ways.

use super::build::{Builder, Leaving, Point};
use super::kinds::{isolate, pass};
use super::{Alternative, Behaviour, Station};
use crate::network::{Branch, Ladder};
use crate::rig::{Device, Jack, JackRef, LoopContact, MOST_LOOPS, Position, Stage, Switcher, WithoutPower};
use crate::units::{Farads, Level};

impl Builder<'_> {
    /// The station at one of a switcher's inputs, or at a point of its rail.
    ///
    /// Loop k lies between the points behind k − 1 and behind k loops. While it is
    /// out, a contact joins the two; while it is in, one joins its send to the
    /// first and another its return to the second.
    pub fn switcher_station(
        &self,
        device: &Device,
        switcher: &Switcher,
        point: Point,
    ) -> Option<(Station, Vec<Leaving>)> {
        let before_buffer = switcher.loops_before_buffer();
        let rail = |loops| match loops > 0 && loops == before_buffer {
            true => Leaving::Contact(Point::RailBuffer(device.id)),
            false => Leaving::Contact(Point::Rail(device.id, loops)),
        };
        let passing = || Alternative::always(pass(Ladder::new(), false));
        let silent_without_power = switcher.without_power != WithoutPower::Passes;
        let stage = |buffer: &Option<Stage>| {
            let with_power =
                buffer.as_ref().map_or_else(passing, |stage| Alternative::always(isolate(stage, Level::Decibels(0.0))));
            let silent = |stage: &Stage| Alternative::always(isolate(stage, Level::Silent));
            let without = buffer.as_ref().filter(|_| silent_without_power).map_or_else(passing, silent);
            (with_power, without)
        };
        let station = |jack: Jack, wiring: Farads, (alternative, unpowered): (Alternative, Alternative)| {
            Station::new(JackRef::new(device.id, jack), wiring, vec![alternative], Some(unpowered))
        };
        let nothing = Farads::of(0.0);
        match point {
            Point::Input(JackRef { jack: Jack::In, .. }) => {
                let at_jack = switcher.input.filter(|_| before_buffer == 0);
                let mut ends = stage(&at_jack);
                // Its contacts, wherever they stay without power, are cut off from the input.
                if silent_without_power && at_jack.is_none() {
                    ends.1 = Alternative::always(Behaviour::End { load: Branch::Open });
                }
                Some((station(Jack::In, switcher.wiring, ends), vec![rail(0)]))
            }
            Point::Input(JackRef { jack: Jack::Return(number), .. }) if switcher.all_loops().any(|n| n == number) => {
                let open = || Alternative::always(Behaviour::End { load: Branch::Open });
                let back = station(Jack::Return(number), nothing, (open(), open()));
                let back = self.by_contact(back, device, number, &|is_in| if is_in { passing() } else { open() })?;
                Some((back, vec![rail(number)]))
            }
            Point::RailBuffer(_) => {
                let buffer = station(Jack::Send(before_buffer + 1), nothing, stage(&switcher.input));
                Some((buffer, vec![Leaving::Contact(Point::Rail(device.id, before_buffer))]))
            }
            Point::Rail(_, loops) if loops == switcher.loops.min(MOST_LOOPS) => {
                let out = Leaving::Jack(JackRef::new(device.id, Jack::Out));
                Some((station(Jack::Out, nothing, stage(&switcher.output)), vec![out]))
            }
            Point::Rail(_, loops) => {
                let to = |out: usize| Alternative { out: Some(out), ..passing() };
                let (past, into) = (0, 1);
                let fork = station(Jack::Send(loops + 1), switcher.contacts, (to(past), to(past)));
                let fork = self.by_contact(fork, device, loops + 1, &|is_in| to(if is_in { into } else { past }))?;
                let send = Leaving::Jack(JackRef::new(device.id, Jack::Send(loops + 1)));
                Some((fork, vec![rail(loops + 1), send]))
            }
            Point::Input(_) | Point::Sum(_) | Point::Inside(..) | Point::Stereo(..) => None,
        }
    }

    /// A station that is one thing while a loop is in, and another while it is out.
    pub fn by_contact(
        &self,
        mut station: Station,
        device: &Device,
        number: u8,
        what: &dyn Fn(bool) -> Alternative,
    ) -> Option<Station> {
        match self.contact(device, number)? {
            LoopContact::Fixed(is_in) => station.alternatives = vec![what(is_in)],
            LoopContact::Switched { switch, positions } => {
                let at = |(to, is_in): &(Position, bool)| Alternative { position: Some(*to), ..what(*is_in) };
                station.alternatives = positions.iter().map(at).collect();
                station.switch = Some(switch);
            }
        }
        Some(self.held(station))
    }

    /// What puts a loop in. An empty one never is: with no plug in either, the
    /// jacks' own contacts join send and return. [common practice, no source]
    pub fn contact(&self, device: &Device, number: u8) -> Option<LoopContact> {
        let at = |jack| JackRef::new(device.id, jack);
        let is_empty =
            !self.leads.contains_key(&at(Jack::Send(number))) && !self.ends.contains(&at(Jack::Return(number)));
        if is_empty { Some(LoopContact::Fixed(false)) } else { device.loop_contact(number) }
    }
}
