//! Who gets on with whom on one 0 V: what is likely noisy there, and by how much.

use rigwright_search::assignment::mix::{Avoids, Colour, Ease, Member};

use super::question::{Rules, Weight};
use crate::parts::{Group, shipped_part};
use crate::rig::{Apart, Device, Kind, Need, Splitter, Stage, Treadle};

/// Drives, fuzzes and compressors on one 0 V from which on it is likely noisy, less one. [practice, S: shared-noise]
const MOST_STAGES: u8 = 2;

/// Gain of units on one 0 V that can be on together, past which it is likely
/// noisy: about 40 dB, here in tenths. [practice, S: shared-noise]
const MOST_GAIN: u16 = 400;

/// What goes together on one 0 V without being likely noisy, gain in tenths of a dB.
pub const EASE: Ease = Ease { marked: MOST_STAGES, weight: MOST_GAIN };

/// A unit as the others on its 0 V know it: digital ones are of the second colour, drives, fuzzes and
/// compressors are marked, since they amplify what comes in by their 0 V, and the weight is the level while
/// on where that is above 0 dB, in tenths of a dB.
pub fn member(device: &Device, need: &Need) -> Member {
    let part = shipped_part(&device.part);
    let marked = part.is_some_and(|part| match part.group {
        Group::Drives | Group::Fuzz => true,
        Group::Dynamics => part.key.contains("compressor"),
        _ => false,
    });
    let level = path(&device.kind).map_or(0.0, |stage| stage.level.get());
    let avoids = match need.apart {
        Apart::Nobody => Avoids::Nobody,
        Apart::OtherKind => Avoids::OtherColour,
        Apart::Everybody => Avoids::Everybody,
    };
    let colour = if need.digital { Colour::Second } else { Colour::First };
    Member { colour, avoids, marked, weight: (level.max(0.0) * 10.0).round() as u32 }
}

/// The same, without the wishes that the rules say are nothing.
pub fn under(member: Member, rules: &Rules) -> Member {
    let avoids = if rules.keep_apart == Weight::Nothing { Avoids::Nobody } else { member.avoids };
    let gains = rules.few_gains != Weight::Nothing;
    Member { avoids, marked: member.marked && gains, weight: if gains { member.weight } else { 0 }, ..member }
}

/// What a device is to the signal while it is on, if it has a level of its own.
fn path(kind: &Kind) -> Option<Stage> {
    match kind {
        Kind::Buffer(buffer) => Some(buffer.stage),
        Kind::Treadle(Treadle::BufferedVolume { stage, .. }) | Kind::Splitter(Splitter::Buffered { stage, .. }) => {
            Some(*stage)
        }
        Kind::Wireless(wireless) => Some(wireless.stage),
        Kind::MultiEffects(unit) => Some(unit.stage),
        Kind::Selector(selector) => selector.buffer().copied(),
        Kind::Switcher(switcher) => switcher.input.or(switcher.output),
        kind => kind.pedal().map(|pedal| pedal.on),
    }
}

#[cfg(test)]
mod tests {
    use rigwright_search::assignment::mix::Mix;

    use super::*;
    use crate::parts::catalogue;

    /// Three or more drives, fuzzes or compressors, or more than about 40 dB together. [S: shared-noise]
    #[test]
    fn the_third_drive_and_the_forty_first_decibel_are_noisy() {
        let noise =
            |members: &[Member]| members.iter().fold(Mix::default(), |mix, member| mix.with(member)).conflicts(&EASE);
        let drive = Member { marked: true, ..Member::default() };
        assert_eq!(noise(&[drive, drive]), 0);
        assert_eq!(noise(&[drive, drive, drive]), 1);
        let louder = |tenths| Member { weight: tenths, ..Member::default() };
        assert_eq!(noise(&[louder(200), louder(200)]), 0);
        assert_eq!(noise(&[louder(200), louder(201)]), 1);
    }

    #[test]
    fn a_unit_is_what_its_part_and_its_need_say() {
        let clocked = Need { digital: true, apart: Apart::OtherKind, ..Need::default() };
        let part = |key: &str| catalogue().part(key).unwrap().device(crate::rig::DeviceId(1));
        let drive = member(&part("mild-drive"), &clocked);
        assert_eq!((drive.colour, drive.avoids, drive.marked), (Colour::Second, Avoids::OtherColour, true));
        assert!(member(&part("compressor"), &clocked).marked);
        let plain = member(&part("compact-digital-delay"), &Need { apart: Apart::Everybody, ..Need::default() });
        assert_eq!((plain.colour, plain.avoids, plain.marked), (Colour::First, Avoids::Everybody, false));
        let nothing = Rules { keep_apart: Weight::Nothing, few_gains: Weight::Nothing, ..Rules::default() };
        assert_eq!(under(drive, &nothing), Member { colour: Colour::Second, ..Member::default() });
        assert_eq!(under(drive, &Rules::default()), drive);
    }
}
