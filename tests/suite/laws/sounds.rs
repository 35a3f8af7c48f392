//! Laws of sounds, kept orders and units that stay on.

use std::sync::Arc;

use proptest::prelude::*;
use rigwright_core::file;
use rigwright_core::rig::{
    Edit, EditError, KeptOrder, Position, Project, Sound, SoundEdit, SoundId, State, SwitchKey, SwitchRef, Variant,
    VariantId, apply, numbered_sounds,
};

use super::cases;
use super::rigs::{project, rig_of};
use crate::generator::{healthy, sound};

/// A project with sounds of the same rig in other states; their ids follow the project's.
fn with_sounds(seed: u64, size: usize, many: u64) -> Project {
    let mut at = project(&healthy(seed, size));
    for i in 0..many {
        let mut state = at.state.clone();
        let chosen = rig_of(&at).devices.iter().map(|device| device.id).filter(|id| (id.0 + i) % 2 == 0);
        state.positions = chosen.map(|id| (SwitchRef::bypass(id), Position::ON)).collect();
        let kept = sound(at.next_id, &format!("sound {i}"), state);
        at = apply(&at, &Edit::Sound(SoundEdit::Add(Box::new(kept)))).unwrap();
    }
    at
}

fn order(project: &Project) -> Vec<SoundId> {
    project.sounds.iter().map(|sound| sound.id).collect()
}

proptest! {
    #![proptest_config(cases(100))]

    /// A sound that was kept brings back just the state that was kept, and nothing else.
    #[test]
    fn what_was_kept_comes_back(seed: u64, size in 1_usize..12) {
        let before = project(&healthy(seed, size));
        let id = SoundId(before.next_id);
        let kept = Sound { notes: "gain at 3".into(), ..sound(id.0, "verse", before.state.clone()) };
        let with = apply(&before, &Edit::Sound(SoundEdit::Add(Box::new(kept.clone())))).unwrap();
        prop_assert_eq!(&with.sounds, &vec![kept]);
        prop_assert_eq!(&with.variants, &before.variants);
        let other = Project { state: State::default(), ..with.clone() };
        let back = apply(&other, &Edit::Sound(SoundEdit::Recall { sound: id, variant: before.variants[0].id })).unwrap();
        prop_assert!(back == with);
    }

    /// Moving a sound is taking it out and putting it in again; past the end is the end.
    #[test]
    fn a_moved_sound_stands_where_it_was_put(seed: u64, many in 1_u64..6, which: prop::sample::Index, to in 0_usize..8) {
        let before = with_sounds(seed, 4, many);
        let mut ids = order(&before);
        let from = which.index(ids.len());
        let moved = ids.remove(from);
        let after = apply(&before, &Edit::Sound(SoundEdit::Move { sound: moved, to })).unwrap();
        ids.insert(to.min(ids.len()), moved);
        prop_assert_eq!(order(&after), ids);
        let back = apply(&after, &Edit::Sound(SoundEdit::Move { sound: moved, to: from })).unwrap();
        prop_assert!(back == before);
    }

    /// The last device of an id takes its switch and controls along, out of the
    /// state and out of every sound; one that another variant has takes nothing.
    #[test]
    fn what_is_gone_is_asked_for_by_no_sound(seed: u64, size in 2_usize..10, which: prop::sample::Index) {
        let before = with_sounds(seed, size, 3);
        let rig = rig_of(&before);
        let gone = rig.devices[which.index(rig.devices.len())].id;
        let variant = before.variants[0].id;
        let remove = Edit::RemoveDevice { variant, device: gone };
        let after = apply(&before, &remove).unwrap();
        for (old, new) in before.sounds.iter().zip(&after.sounds) {
            let mut expected = old.state.clone();
            expected.positions.retain(|switch, _| switch.device != gone);
            expected.turned.retain(|knob, _| knob.device != gone);
            prop_assert_eq!(&new.state, &expected);
        }
        prop_assert!(after.state.positions.keys().all(|switch| switch.device != gone));

        let copy = Variant { id: VariantId(before.next_id), ..(*before.variants[0]).clone() };
        let twice = apply(&before, &Edit::AddVariant(Arc::new(copy))).unwrap();
        let after = apply(&twice, &remove).unwrap();
        prop_assert_eq!(&after.sounds, &before.sounds);
        prop_assert_eq!(&after.state, &before.state);
        // And gone with the variant that had it.
        let last = apply(&after, &Edit::RemoveVariant(VariantId(before.next_id))).unwrap();
        prop_assert!(last.sounds.iter().all(|sound| sound.state.positions.keys().all(|switch| switch.device != gone)));
    }

    /// An order and its opposite are never kept at once, and letting go of one that
    /// isn't kept is nothing.
    #[test]
    fn an_order_is_kept_one_way(seed: u64, size in 3_usize..10) {
        let before = project(&healthy(seed, size));
        let variant = before.variants[0].id;
        let devices = &rig_of(&before).devices;
        prop_assume!(devices.len() >= 2);
        let one_way = KeptOrder { before: devices[0].id, behind: devices[1].id };
        let other_way = KeptOrder { before: one_way.behind, behind: one_way.before };
        let keep = |order, kept| Edit::KeepOrder { variant, order, kept };
        let kept = apply(&before, &keep(one_way, true)).unwrap();
        prop_assert!(apply(&kept, &keep(one_way, true)).unwrap() == kept);
        let turned = apply(&kept, &keep(other_way, true)).unwrap();
        prop_assert_eq!(turned.variants[0].kept_orders.iter().collect::<Vec<_>>(), vec![&other_way]);
        prop_assert!(apply(&turned, &keep(other_way, false)).unwrap() == before);
        prop_assert!(apply(&before, &keep(one_way, false)).unwrap() == before);
        let itself = KeptOrder { before: one_way.before, behind: one_way.before };
        prop_assert_eq!(apply(&before, &keep(itself, true)), Err(EditError::OneUnitTwice));
    }
}

/// Two sounds under one id can't be, and what isn't there can't be changed.
#[test]
fn a_sound_that_is_not_there_is_told() {
    let with = with_sounds(1, 4, 2);
    let first = with.sounds[0].clone();
    let twice = apply(&with, &Edit::Sound(SoundEdit::Add(Box::new(first.clone()))));
    assert_eq!(twice, Err(EditError::IdTaken(first.id.0)));
    let nobody = SoundId(with.next_id);
    for edit in [
        SoundEdit::Recall { sound: nobody, variant: VariantId(1) },
        SoundEdit::Remove(nobody),
        SoundEdit::Move { sound: nobody, to: 0 },
        SoundEdit::Set(Box::new(Sound { id: nobody, ..first })),
    ] {
        let told = apply(&with, &Edit::Sound(edit)).unwrap_err();
        assert_eq!(told, EditError::NoSound(nobody));
        assert_eq!(told.to_string(), format!("there is no sound {} in this project", nobody.0));
    }
}

/// Each patch that no sound calls becomes one under its number, and then none is left.
#[test]
fn patches_become_sounds_under_their_numbers() {
    let mut project = file::multi_effects().expect("it is shipped");
    // The first one calls the first patch.
    project.sounds.truncate(1);
    let variant = Arc::clone(&project.variants[0]);
    let unit = variant.rig.devices.iter().find(|device| device.calls().is_some()).expect("it has patches");
    let sounds = numbered_sounds(&project, &variant, unit);
    let names: Vec<&str> = sounds.iter().map(|sound| sound.name.as_str()).collect();
    assert_eq!(names, ["2 rhythm", "3 lead"]);
    let switch = unit.switch(SwitchKey::Patch).expect("a switch");
    for (sound, to) in sounds.iter().zip([1, 2]) {
        assert_eq!(sound.realise(&variant).state.position(&switch), Position(to));
    }
    let adds = sounds.into_iter().map(|sound| Edit::Sound(SoundEdit::Add(Box::new(sound))));
    let after = apply(&project, &Edit::Batch(adds.collect()).resolved(project.next_id)).expect("there is room");
    assert!(numbered_sounds(&after, &variant, unit).is_empty());
}
