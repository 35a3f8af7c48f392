//! Who gets on with whom on one 0 V: what is likely noisy there, and by how much.

use super::question::{Rules, Weight};
use crate::parts::{Group, catalogue};
use crate::rig::{Apart, Device, Kind, Need, Splitter, Stage, Treadle};

/// Drives, fuzzes and compressors on one 0 V from which on it is likely noisy, less one. [practice, S: shared-noise]
pub const MOST_STAGES: u16 = 2;

/// Gain of units on one 0 V that can be on together, past which it is likely
/// noisy: about 40 dB, here in tenths. [practice, S: shared-noise]
pub const MOST_GAIN: u32 = 400;

/// A unit as the others on its 0 V know it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Guest {
    /// Whether it has a clock.
    pub digital: bool,
    /// From whom it would rather be apart.
    pub apart: Apart,
    /// Whether it is a drive, a fuzz or a compressor: it amplifies what comes in by its 0 V.
    pub stage: bool,
    /// Its level while on where that is above 0 dB, in tenths of a dB.
    pub gain: u32,
}

impl Guest {
    /// A unit as it is.
    pub fn of(device: &Device, need: &Need) -> Self {
        let part = catalogue().part(&device.part);
        let stage = part.is_some_and(|part| match part.group {
            Group::Drives | Group::Fuzz => true,
            Group::Dynamics => part.key.contains("compressor"),
            _ => false,
        });
        let level = path(&device.kind).map_or(0.0, |stage| stage.level.get());
        Self { digital: need.digital, apart: need.apart, stage, gain: (level.max(0.0) * 10.0).round() as u32 }
    }

    /// The same, without the wishes that the rules say are nothing.
    pub fn under(self, rules: &Rules) -> Self {
        let apart = if rules.keep_apart == Weight::Nothing { Apart::Nobody } else { self.apart };
        let gains = rules.few_gains != Weight::Nothing;
        Self { apart, stage: self.stage && gains, gain: if gains { self.gain } else { 0 }, ..self }
    }

    /// Whether it counts among those that amplify.
    pub fn amplifies(&self) -> bool {
        self.stage || self.gain > 0
    }
}

/// What a device is to the signal while it is on, if it has a level of its own.
fn path(kind: &Kind) -> Option<Stage> {
    match kind {
        Kind::Buffer(buffer) => Some(buffer.stage),
        Kind::Treadle(Treadle::BufferedVolume { stage, .. }) | Kind::Splitter(Splitter::Buffered { stage, .. }) => {
            Some(*stage)
        }
        Kind::Wireless(wireless) => Some(wireless.stage),
        Kind::Switcher(switcher) => switcher.input.or(switcher.output),
        kind => kind.pedal().map(|pedal| pedal.on),
    }
}

/// All units on one 0 V, counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Company {
    pub digital: u16,
    pub analogue: u16,
    /// Digital units that want no analogue one here.
    pub digital_apart: u16,
    /// Analogue units that want no digital one here.
    pub analogue_apart: u16,
    /// Units that want nobody here.
    pub everybody: u16,
    /// Drives, fuzzes and compressors.
    pub stages: u16,
    /// Units with a level above 0 dB.
    pub louder: u16,
    /// Their levels together, in tenths of a dB.
    pub gain: u32,
}

impl Company {
    /// One unit more.
    pub fn join(&mut self, guest: &Guest) {
        let (kind, apart) = match guest.digital {
            true => (&mut self.digital, &mut self.digital_apart),
            false => (&mut self.analogue, &mut self.analogue_apart),
        };
        *kind += 1;
        *apart += u16::from(guest.apart == Apart::OtherKind);
        self.everybody += u16::from(guest.apart == Apart::Everybody);
        self.stages += u16::from(guest.stage);
        self.louder += u16::from(guest.gain > 0);
        self.gain += guest.gain;
    }

    /// One unit less, of those that are there.
    pub fn leave(&mut self, guest: &Guest) {
        let one = Self::default().with(guest);
        self.digital -= one.digital;
        self.analogue -= one.analogue;
        self.digital_apart -= one.digital_apart;
        self.analogue_apart -= one.analogue_apart;
        self.everybody -= one.everybody;
        self.stages -= one.stages;
        self.louder -= one.louder;
        self.gain -= one.gain;
    }

    /// With one unit more.
    pub fn with(mut self, guest: &Guest) -> Self {
        self.join(guest);
        self
    }

    /// How many there are.
    pub fn units(&self) -> u16 {
        self.digital + self.analogue
    }

    /// Units that share this 0 V with one that should be apart: both count, whichever of them asks for it.
    pub fn disturbed(&self) -> u32 {
        if self.everybody > 0 && self.units() > 1 {
            return u32::from(self.units());
        }
        if self.digital == 0 || self.analogue == 0 {
            return 0;
        }
        let digital = if self.analogue_apart > 0 { self.digital } else { self.digital_apart };
        let analogue = if self.digital_apart > 0 { self.analogue } else { self.analogue_apart };
        u32::from(digital) + u32::from(analogue)
    }

    /// Whether what can be on together here has more gain than is quiet.
    pub fn is_loud(&self) -> bool {
        self.gain > MOST_GAIN && self.louder > 1
    }

    /// Drives, fuzzes and compressors beyond the second; at least one where there is too much gain.
    pub fn crowded(&self) -> u32 {
        u32::from(self.stages.saturating_sub(MOST_STAGES)).max(u32::from(self.is_loud()))
    }

    /// How noisy it is likely to be.
    pub fn noise(&self) -> u32 {
        self.disturbed() + self.crowded()
    }

    /// What a unit more adds at least, whoever comes after it.
    pub fn own_noise(&self, guest: &Guest) -> u32 {
        let (others, apart) = match guest.digital {
            true => (self.analogue, self.analogue_apart),
            false => (self.digital, self.digital_apart),
        };
        let minded = self.everybody > 0 || (others > 0 && (apart > 0 || guest.apart == Apart::OtherKind));
        let minds = guest.apart == Apart::Everybody && self.units() > 0;
        // Too much gain may have been counted for it already.
        let crowds = guest.stage && (self.stages > MOST_STAGES || (self.stages == MOST_STAGES && !self.is_loud()));
        u32::from(minded || minds) + u32::from(crowds)
    }
}

#[cfg(test)]
mod tests {
    use rigwright_tests::Dice;

    use super::*;

    const ANALOGUE: Guest = Guest { digital: false, apart: Apart::Nobody, stage: false, gain: 0 };
    const CLOCKED: Guest = Guest { digital: true, apart: Apart::OtherKind, ..ANALOGUE };
    const DRIVE: Guest = Guest { stage: true, ..ANALOGUE };

    fn all(guests: &[Guest]) -> Company {
        guests.iter().fold(Company::default(), |company, guest| company.with(guest))
    }

    #[test]
    fn both_sides_of_a_wish_are_disturbed() {
        assert_eq!(all(&[CLOCKED, CLOCKED]).noise(), 0);
        assert_eq!(all(&[CLOCKED, ANALOGUE, ANALOGUE]).noise(), 3);
        // A digital unit that doesn't mind hears nothing of the analogue ones.
        let easy = Guest { apart: Apart::Nobody, ..CLOCKED };
        assert_eq!(all(&[easy, ANALOGUE]).noise(), 0);
        assert_eq!(all(&[easy, CLOCKED, ANALOGUE]).noise(), 2);
        assert_eq!(all(&[Guest { apart: Apart::Everybody, ..ANALOGUE }, ANALOGUE, easy]).noise(), 3);
    }

    /// Three or more drives, fuzzes or compressors, or more than about 40 dB together. [S: shared-noise]
    #[test]
    fn the_third_drive_and_the_forty_first_decibel_are_noisy() {
        assert_eq!(all(&[DRIVE, DRIVE]).noise(), 0);
        assert_eq!(all(&[DRIVE, DRIVE, DRIVE]).noise(), 1);
        assert_eq!(all(&[DRIVE; 5]).noise(), 3);
        let louder = |tenths| Guest { gain: tenths, ..ANALOGUE };
        assert_eq!(all(&[louder(200), louder(200)]).noise(), 0);
        assert_eq!(all(&[louder(200), louder(201)]).noise(), 1);
        assert_eq!(all(&[louder(600)]).noise(), 0, "one unit by itself is together with nobody");
        assert_eq!(all(&[louder(300), Guest { gain: 200, ..DRIVE }, DRIVE, DRIVE]).noise(), 1);
    }

    /// The bound of the search: what each adds at least, all together, is never more than there is in the end.
    #[test]
    fn what_each_adds_at_least_is_never_too_much() {
        let kinds = [
            ANALOGUE,
            CLOCKED,
            DRIVE,
            Guest { gain: 250, ..DRIVE },
            Guest { apart: Apart::Everybody, ..ANALOGUE },
            Guest { apart: Apart::OtherKind, ..DRIVE },
            Guest { apart: Apart::Nobody, ..CLOCKED },
        ];
        let mut dice = Dice::new(1);
        let mut pick = || dice.pick(&kinds);
        for _ in 0..2000 {
            let first = all(&[pick(), pick(), pick()]);
            let rest = [pick(), pick(), pick()];
            let least: u32 = rest.iter().map(|guest| first.own_noise(guest)).sum();
            let after = rest.iter().fold(first, |company, guest| company.with(guest));
            assert!(first.noise() + least <= after.noise(), "{first:?} {rest:?}");
        }
    }
}
