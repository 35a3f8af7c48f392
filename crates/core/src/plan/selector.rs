//! A selector as the signal sees it: a choice of ways out, or of ways in that come together behind it.

use super::build::{Builder, Leaving, Point};
use super::kinds::{isolate, pass};
use super::{Alternative, Behaviour, Station};
use crate::network::{Branch, Ladder};
use crate::rig::{Device, Jack, JackRef, Position, Selector, SwitchKey};
use crate::units::{Farads, Level};

impl Builder<'_> {
    /// The station at one of a selector's inputs, or where two inputs come together.
    pub fn selector_station(
        &self,
        device: &Device,
        selector: &Selector,
        point: Point,
    ) -> Option<(Station, Vec<Leaving>)> {
        let jack = |jack| Leaving::Jack(JackRef::new(device.id, jack));
        let joined = || match selector.buffer() {
            Some(stage) => isolate(stage, Level::Decibels(0.0)),
            None => pass(Ladder::new(), false),
        };
        // A mechanical switch stays where it is, and without a buffer nothing needs power.
        let silent = || selector.buffer().map(|stage| Alternative::always(isolate(stage, Level::Silent)));
        let station = |jack: Jack, wiring: Farads, alternatives: Vec<Alternative>, unpowered: Option<Alternative>| {
            let switch = device.switch(SwitchKey::Selector).filter(|_| alternatives.len() > 1);
            let station = Station::new(JackRef::new(device.id, jack), wiring, alternatives, unpowered);
            self.held(Station { switch, ..station })
        };
        match (selector, point) {
            (Selector::Outputs { both, wiring, .. }, Point::Input(JackRef { jack: Jack::In, .. })) => {
                let to = |position: Position, out: Option<usize>| Alternative {
                    position: Some(position),
                    behaviour: joined(),
                    out,
                };
                let mut all = vec![to(Selector::FIRST, Some(0)), to(Selector::SECOND, Some(1))];
                all.extend(both.then(|| to(Selector::BOTH, None)));
                Some((station(Jack::In, *wiring, all, silent()), vec![jack(Jack::Out), jack(Jack::SecondOut)]))
            }
            (Selector::Inputs { wiring, .. }, Point::Input(JackRef { jack: input, .. })) => {
                let own = match input {
                    Jack::In => Selector::FIRST,
                    Jack::SecondIn => Selector::SECOND,
                    _ => return None,
                };
                let at = |position: Position| Alternative {
                    position: Some(position),
                    behaviour: match position == own {
                        true => pass(Ladder::new(), false),
                        false => Behaviour::End { load: Branch::Open },
                    },
                    out: None,
                };
                let all = vec![at(Selector::FIRST), at(Selector::SECOND)];
                let sum = Leaving::Contact(Point::Sum(device.id));
                Some((station(input, *wiring, all, None), vec![sum]))
            }
            (Selector::Inputs { .. }, Point::Sum(_)) => {
                let behind = station(Jack::Out, Farads::of(0.0), vec![Alternative::always(joined())], silent());
                Some((behind, vec![jack(Jack::Out)]))
            }
            _ => None,
        }
    }
}
