//! Which effect a device makes: what is said of it, or else of the part that it was made from.

use super::shipped_part;
use crate::rig::{Device, Effect, Kind};

/// A pedal's kind of effect; none for other devices, and where nobody says.
#[must_use]
pub fn effect(device: &Device) -> Option<Effect> {
    let Kind::Pedal(_) = device.kind else { return None };
    device.effect.or_else(|| shipped_part(&device.part)?.effect)
}

#[cfg(test)]
mod tests {
    use super::super::catalogue;
    use super::*;
    use crate::rig::DeviceId;

    fn device(part: &str) -> Device {
        catalogue().part(part).unwrap().device(DeviceId(1))
    }

    #[test]
    fn what_is_said_goes_before_what_the_part_says() {
        let made = device("phaser");
        assert_eq!((made.effect, effect(&made)), (Some(Effect::Phaser), Some(Effect::Phaser)));
        let older = Device { effect: None, ..made.clone() };
        assert_eq!(effect(&older), Some(Effect::Phaser), "as files had it before the field");
        let other = Device { effect: Some(Effect::Flanger), ..made.clone() };
        assert_eq!(effect(&other), Some(Effect::Flanger));
        let nowhere = Device { part: String::new(), ..older };
        assert_eq!(effect(&nowhere), None);
        // What waits for a pedal again is no effect of what it is now.
        let buffer = Device { kind: device("buffer").kind, ..made };
        assert_eq!(effect(&buffer), None);
    }

    #[test]
    fn every_pedal_of_the_catalogue_says_its_effect_and_nothing_else_does() {
        let mut pedals = 0;
        for part in &catalogue().parts {
            assert_eq!(part.effect.is_some(), matches!(part.kind, Kind::Pedal(_)), "{}", part.key);
            pedals += usize::from(part.effect.is_some());
        }
        assert!(pedals > 30, "{pedals}");
        let lacks = |effect: &Effect| catalogue().parts.iter().all(|part| part.effect != Some(*effect));
        let lacking: Vec<Effect> = Effect::ALL.into_iter().filter(lacks).collect();
        assert_eq!(lacking, [Effect::Other], "each effect is some part's");
    }
}
