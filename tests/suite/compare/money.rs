//! What the demo's second rig costs, added up by hand.

use rigwright_core::compare::Against;
use rigwright_core::file;
use rigwright_core::parts::catalogue;
use rigwright_core::rig::State;

use super::compared;

/// The second rig is the first with a buffer and a patch lead more. Prices of
/// the catalogue are invented.
#[test]
fn the_demos_buffer_and_its_patch_lead() {
    let demo = file::demo().unwrap();
    let comparison = compared(&demo, &State::default(), Against::Variant(demo.variants[0].id));
    assert_eq!(comparison.variants[0].row.cost.told("€"), "nothing added");
    let cost = &comparison.variants[1].row.cost;
    let (first, second) = (&demo.variants[0].rig, &demo.variants[1].rig);
    let new: Vec<_> = second.devices.iter().filter(|device| first.device(device.id).is_none()).collect();
    assert_eq!(new.len(), 1);
    assert_eq!(cost.added.devices, [new[0].id]);
    assert_eq!(cost.added.leads.len(), 1);
    let lead = second.lead(cost.added.leads[0]).unwrap();
    let patch = catalogue().cable("patch-lead").unwrap();
    assert_eq!(lead.cable.name, patch.name);
    let by_hand = new[0].body.price.get() + lead.length.get() * patch.price_per_metre.get() + patch.price_plugs.get();
    assert_eq!(cost.added.price, by_hand);
    assert!(cost.left_out.is_empty());
}

/// Against the guitar straight into the amp everything on the floor is added:
/// the sum of all prices but the guitar's, its lead's and the amp's.
#[test]
fn the_whole_board_against_no_board() {
    let demo = file::demo().unwrap();
    let comparison = compared(&demo, &State::default(), Against::Straight);
    let rig = &demo.variants[0].rig;
    let all: f64 = rig.devices.iter().map(|device| device.body.price.get()).sum();
    let cables = &catalogue().cables;
    let leads: f64 = rig
        .leads
        .iter()
        .map(|lead| cables.iter().find(|part| part.name == lead.cable.name).unwrap().price(lead.length).get())
        .sum();
    let guitar = rig.devices.iter().find(|device| device.kind.noun() == "guitar").unwrap();
    let amp = rig.devices.iter().find(|device| device.kind.noun() == "amp").unwrap();
    let own = rig.leads.iter().find(|lead| lead.from.device == guitar.id).unwrap();
    let own = cables.iter().find(|part| part.name == own.cable.name).unwrap().price(own.length).get();
    let cost = &comparison.variants[0].row.cost;
    let by_hand = all + leads - guitar.body.price.get() - amp.body.price.get() - own;
    assert!((cost.added.price - by_hand).abs() < 1e-6, "{} against {by_hand}", cost.added.price);
    assert!(cost.left_out.is_empty());
    assert_eq!(cost.added.leads.len(), rig.leads.len() - 1);
}
