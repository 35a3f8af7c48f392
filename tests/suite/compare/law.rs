//! What must hold of any comparison by the laws of circuits.

use rigwright_core::compare::Against;
use rigwright_core::rig::{Guitar, Kind, Rig, State, VariantId};

use super::{FIRST, compared, difference_at, project};
use crate::printed::{agrees, near};
use crate::rigs::{HB, Reference, SC, amp, bare_cable, chain};

/// Coil and winding alone, next to no resistance, into next to no load: its
/// peak is where coil and capacitance resonate.
fn lossless(reference: Reference) -> Guitar {
    let mut guitar = Reference { ohms: 6.0, ..reference }.guitar();
    guitar.volume = None;
    guitar.tone = None;
    guitar
}

fn plain(reference: Reference, metres: f64) -> Rig {
    chain(vec![("guitar", Kind::Guitar(lossless(reference))), ("amp", amp(1e9, 0.0))], &[metres], &bare_cable())
}

/// [S: lead-length]: f₂/f₁ = √(C₁/C₂), 100 pF/m, 3, 6, 9, 12 m.
#[test]
fn four_leads_side_by_side() {
    let printed = [(SC, ["5033", "3805", "3183", "2792"]), (HB, ["3661", "2796", "2349", "2065"])];
    for (guitar, row) in printed {
        let metres = [3.0, 6.0, 9.0, 12.0];
        let project = project(metres.map(|metres| plain(guitar, metres)).to_vec());
        let comparison = compared(&project, &State::default(), FIRST);
        let peaks: Vec<f64> =
            comparison.variants.iter().map(|one| one.row.figures.as_ref().unwrap().peak.expect("a peak").hz).collect();
        let capacitance = |metres: f64| guitar.winding + metres * 100e-12;
        for ((peak, printed), metres) in peaks.iter().zip(row).zip(metres) {
            agrees(*peak, printed);
            let law = (capacitance(3.0) / capacitance(metres)).sqrt();
            // With Q over a thousand the peak is the resonance, to 1/4Q².
            near(peak / peaks[0], law, 1e-6);
        }
        // Far below the resonance nothing differs; far above it all that
        // differs is the capacitance: 20 log C₁/C₂. [S: second-order]
        let above = 1e5;
        for (at, metres) in metres.into_iter().enumerate() {
            near(difference_at(&comparison, at, 20.0).unwrap(), 0.0, 1e-3);
            let omega2 = (std::f64::consts::TAU * above).powi(2) * guitar.henries;
            let roll_off = |metres: f64| 20.0 * (omega2 * capacitance(metres) - 1.0).log10();
            near(difference_at(&comparison, at, above).unwrap(), roll_off(3.0) - roll_off(metres), 1e-4);
        }
    }
}

/// A difference turned round is its negative, and goes through a third rig.
#[test]
fn differences_add_up() {
    let project = project(vec![plain(SC, 3.0), plain(HB, 6.0), plain(SC, 12.0)]);
    let against = |id| compared(&project, &State::default(), Against::Variant(VariantId(id)));
    let (first, second) = (against(901), against(902));
    for hz in [82.0, 1e3, 2.5e3, 4e3, 15e3] {
        near(difference_at(&first, 0, hz).unwrap(), 0.0, 0.0);
        let (there, back) = (difference_at(&first, 1, hz).unwrap(), difference_at(&second, 0, hz).unwrap());
        near(there, -back, 1e-12);
        let through = difference_at(&second, 2, hz).unwrap() + there;
        near(difference_at(&first, 2, hz).unwrap(), through, 1e-12);
    }
}
