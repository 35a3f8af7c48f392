//! How a voltage between two earths divides around the loop that they close.
//!
//! What stands across a lead's screen stands in series with the signal in that
//! lead, for an unbalanced input can't tell the two apart. Cut at one end, the
//! screen has all of it. [Kirchhoff; H. W. Ott, Noise Reduction Techniques in
//! Electronic Systems, ch. 3; memory]

use super::{GroundNode, Link};
use crate::rig::{Lead, LeadId, Rig};

/// The earth conductors between two socket outlets, in Ω. Some 10-30 m of 1.5 or 2.5 mm². [memory, S: shared-earth]
const EARTH_PATH: f64 = 0.3;
/// The screen's part of a lead's loop resistance; the rest is the core's. [memory, S: shared-earth]
const SCREEN_PART: f64 = 0.25;

/// A piece of a closed path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Piece {
    /// It conducts; its resistance in Ω.
    Joined(f64),
    /// It is open at one end.
    Cut,
}

/// What stands across each piece of one closed path in which there is a voltage.
/// None where that isn't settled by resistances: two cuts, or no resistance at all.
pub fn across(emf: f64, pieces: &[Piece]) -> Option<Vec<f64>> {
    let ohms = |piece: &Piece| if let Piece::Joined(ohms) = piece { *ohms } else { 0.0 };
    match pieces.iter().filter(|piece| **piece == Piece::Cut).count() {
        0 => {
            let all: f64 = pieces.iter().map(ohms).sum();
            (all > 0.0).then(|| pieces.iter().map(|piece| emf * ohms(piece) / all).collect())
        }
        // No current flows, so all of it stands at the cut.
        1 => Some(pieces.iter().map(|piece| if *piece == Piece::Cut { emf } else { 0.0 }).collect()),
        _ => None,
    }
}

/// A lead's screen, in Ω.
fn screen(lead: &Lead) -> f64 {
    SCREEN_PART * lead.cable.resistance.get() * lead.length.get()
}

/// Of each lead of a loop by two earths its part of the voltage between them, the largest first.
pub fn shares(rig: &Rig, steps: &[(GroundNode, Link)]) -> Vec<(LeadId, f64)> {
    let leads = steps.iter().filter_map(|(_, link)| if let Link::Screen(lead) = link { rig.lead(*lead) } else { None });
    let leads: Vec<&Lead> = leads.collect();
    let pieces: Vec<Piece> =
        leads.iter().map(|lead| Piece::Joined(screen(lead))).chain([Piece::Joined(EARTH_PATH)]).collect();
    let parts = across(1.0, &pieces).unwrap_or_default();
    let mut found: Vec<(LeadId, f64)> = leads.iter().zip(parts).map(|(lead, part)| (lead.id, part)).collect();
    found.sort_by(|a, b| b.1.total_cmp(&a.1));
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// [S: shared-earth]: screens of 0.18 and 0.27 Ω, an earth
    /// path of 0.3 Ω, 50 mV between the earths. Joined, the amps get 12 and 18 mV; with
    /// the first one's screen cut 50 and 0.
    #[test]
    fn screens_between_two_earths() {
        let millivolts = |pieces: &[Piece]| -> Vec<f64> {
            across(50e-3, pieces).unwrap().iter().map(|volts| (volts * 1e9).round() / 1e6).collect()
        };
        let joined = millivolts(&[Piece::Joined(0.18), Piece::Joined(0.27), Piece::Joined(0.3)]);
        assert_eq!(joined, [12.0, 18.0, 20.0]);
        let cut = millivolts(&[Piece::Cut, Piece::Joined(0.27), Piece::Joined(0.3)]);
        assert_eq!(cut, [50.0, 0.0, 0.0]);
    }

    #[test]
    fn what_resistances_dont_settle_has_no_answer() {
        assert_eq!(across(1.0, &[Piece::Cut, Piece::Cut]), None);
        assert_eq!(across(1.0, &[Piece::Joined(0.0)]), None);
    }
}
