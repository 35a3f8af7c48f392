//! What undo gives back, and when a document is dirty.

use rigwright_core::file;
use rigwright_core::rig::{CanvasPoint, DeviceId, Lead, LeadId, VariantId, placeholder};

use super::*;

/// A guitar, a lead and an amp.
pub fn blank() -> Project {
    file::blank().unwrap()
}

fn titled(title: &str) -> Change {
    Change::new(format!("title {title}"), Edit::SetTitle(title.to_owned()))
}

fn title(document: &Document) -> &str {
    &document.project().title
}

fn first(project: &Project) -> (VariantId, DeviceId) {
    (project.variants[0].id, project.variants[0].rig.devices[0].id)
}

fn moved(project: &Project, x: f64) -> Change {
    let (variant, device) = first(project);
    Change::new("move", Edit::Place { variant, device, place: Some(CanvasPoint { x, y: 0.0 }) })
}

#[test]
fn undo_gives_back_the_very_snapshot_and_redo_too() {
    let mut document = Document::new(blank());
    let before = Arc::clone(document.project());
    document.push(titled("a")).unwrap();
    document.push(titled("b")).unwrap();
    let after = Arc::clone(document.project());
    assert_eq!((document.undo_name(), document.redo_name()), (Some("title b"), None));
    assert!(document.undo() && document.undo() && !document.undo());
    assert!(Arc::ptr_eq(document.project(), &before));
    assert!(!document.can_undo() && document.can_redo());
    assert!(document.redo() && document.redo() && !document.redo());
    assert!(Arc::ptr_eq(document.project(), &after));
}

#[test]
fn what_an_edit_leaves_alone_is_shared() {
    let mut document = Document::new(blank());
    let rig = Arc::clone(&document.project().variants[0].rig);
    let change = moved(document.project(), 5.0);
    document.push(change).unwrap();
    assert!(Arc::ptr_eq(&document.project().variants[0].rig, &rig));
}

#[test]
fn a_change_that_changes_nothing_is_no_step_and_keeps_redo() {
    let mut document = Document::new(blank());
    document.push(titled("a")).unwrap();
    document.push(titled("b")).unwrap();
    document.undo();
    document.push(titled("a")).unwrap();
    assert_eq!((document.undo_name(), document.redo_name()), (Some("title a"), Some("title b")));
    document.push(titled("c")).unwrap();
    assert!(!document.can_redo());
}

#[test]
fn an_error_leaves_everything_as_it_was() {
    let mut document = Document::new(blank());
    let before = Arc::clone(document.project());
    let edit = Edit::Batch(vec![
        Edit::SetTitle("half done".to_owned()),
        Edit::RenameVariant { variant: VariantId(u64::MAX), name: String::new() },
    ]);
    assert!(document.push(Change::new("wrong", edit)).is_err());
    assert!(Arc::ptr_eq(document.project(), &before));
    assert!(!document.can_undo() && !document.is_dirty());
}

#[test]
fn a_gesture_is_one_step() {
    let mut document = Document::new(blank());
    let before = Arc::clone(document.project());
    for frame in 1..=50 {
        let change = moved(document.project(), f64::from(frame)).in_gesture(Gesture(7));
        document.push(change).unwrap();
    }
    document.end_gesture();
    let change = moved(document.project(), 99.0).in_gesture(Gesture(7));
    document.push(change).unwrap();
    document.undo();
    let (_, device) = first(&before);
    assert_eq!(document.project().variants[0].places[&device].x, 50.0, "the key was used again, for another drag");
    document.undo();
    assert!(Arc::ptr_eq(document.project(), &before));
    assert!(!document.can_undo());
}

#[test]
fn another_key_or_none_begins_another_step() {
    let mut document = Document::new(blank());
    for (title, gesture) in [("a", Some(1)), ("b", Some(1)), ("c", Some(2)), ("d", None), ("e", None)] {
        let change = titled(title);
        let change = if let Some(key) = gesture { change.in_gesture(Gesture(key)) } else { change };
        document.push(change).unwrap();
    }
    let mut seen = Vec::new();
    while document.undo() {
        seen.push(title(&document).to_owned());
    }
    assert_eq!(seen[..3], ["d", "c", "b"]);
    assert_eq!(seen.len(), 4);
}

#[test]
fn a_gesture_that_ends_where_it_began_is_no_step() {
    let mut document = Document::new(blank());
    document.push(titled("a")).unwrap();
    let before = Arc::clone(document.project());
    for name in ["ab", "abc", "a"] {
        document.push(titled(name).in_gesture(Gesture(1))).unwrap();
    }
    document.end_gesture();
    assert!(Arc::ptr_eq(document.project(), &before));
    assert_eq!(document.undo_name(), Some("title a"));
    document.undo();
    assert!(!document.can_undo());
}

#[test]
fn undo_in_the_middle_of_a_gesture_takes_all_of_it_back() {
    let mut document = Document::new(blank());
    let before = Arc::clone(document.project());
    document.push(titled("a").in_gesture(Gesture(1))).unwrap();
    document.push(titled("b").in_gesture(Gesture(1))).unwrap();
    document.undo();
    assert!(Arc::ptr_eq(document.project(), &before));
    document.push(titled("c").in_gesture(Gesture(1))).unwrap();
    document.undo();
    assert!(Arc::ptr_eq(document.project(), &before), "going on with it is another step");
}

#[test]
fn undoing_back_to_what_is_saved_is_clean() {
    let mut document = Document::new(blank());
    assert!(!document.is_dirty() && document.path().is_none());
    document.push(titled("a")).unwrap();
    assert!(document.is_dirty());
    document.undo();
    assert!(!document.is_dirty());
    document.redo();
    let written = Arc::clone(document.project());
    document.push(titled("b")).unwrap();
    document.mark_saved(written, PathBuf::from("tour.ron"), Stamp::of(b"a"));
    assert!(document.is_dirty(), "b came while a was written");
    assert_eq!(document.path(), Some(Path::new("tour.ron")));
    document.undo();
    assert!(!document.is_dirty());
    document.undo();
    assert!(document.is_dirty());
    document.push(titled("a")).unwrap();
    assert!(!document.is_dirty(), "the same again, if by another way");
}

#[test]
fn an_opened_document_knows_its_file() {
    let document = Document::opened(blank(), PathBuf::from("tour.ron"), Stamp::of(b"a"));
    assert_eq!(document.path(), Some(Path::new("tour.ron")));
    assert_eq!(document.stamp(), Some(Stamp::of(b"a")));
    assert!(!document.is_dirty() && !document.can_undo());
}

#[test]
fn no_id_comes_twice_also_after_undo() {
    let mut document = Document::new(blank());
    let lead = document.project().variants[0].rig.leads[0].clone();
    let variant = document.project().variants[0].id;
    let mut seen = vec![];
    for _ in 0..3 {
        let id = document.fresh_id();
        let lead = Box::new(Lead { id: rigwright_core::rig::LeadId(id), ..lead.clone() });
        document.push(Change::new("lead", Edit::AddLead { variant, lead })).unwrap();
        seen.push(id);
        seen.push(document.fresh_id());
        document.undo();
    }
    let lead = Box::new(Lead { id: rigwright_core::rig::LeadId(1000), ..lead });
    document.push(Change::new("lead", Edit::AddLead { variant, lead })).unwrap();
    document.undo();
    seen.push(document.fresh_id());
    assert_eq!(*seen.last().unwrap(), 1001, "an id that came from elsewhere counts");
    assert!(seen.windows(2).all(|pair| pair[0] < pair[1]));
    assert!(seen[0] >= document.project().next_id);
}

/// What is looked at before it is done is, byte for byte, what is done then; and
/// done again after an undo it gets other ids, since none comes twice.
#[test]
fn what_is_previewed_is_what_is_done() {
    let mut document = Document::new(blank());
    let lead = document.project().variants[0].rig.leads[0].clone();
    let (variant, device) = first(document.project());
    let mut unit = document.project().variants[0].rig.device(device).unwrap().clone();
    unit.id = DeviceId(placeholder(0));
    unit.kind = rigwright_core::parts::catalogue().part("buffer").unwrap().kind.clone();
    let patch = Box::new(Lead { id: LeadId(placeholder(1)), ..lead.clone() });
    let edit = Edit::Insert { variant, lead: lead.id, device: Box::new(unit), patch };
    let mut ids = Vec::new();
    for _ in 0..2 {
        let previewed = apply(document.project(), &document.resolved(&edit)).unwrap();
        document.push(Change::new("insert", edit.clone())).unwrap();
        assert_eq!(file::write(document.project()).unwrap(), file::write(&previewed).unwrap());
        ids.extend(previewed.variants[0].rig.devices.last().map(|device| device.id));
        assert!(document.undo());
    }
    assert!(ids.len() == 2 && ids[0] < ids[1], "{ids:?}");
}

#[test]
fn five_hundred_steps_are_kept() {
    let mut document = Document::new(blank());
    for i in 0..510 {
        document.push(titled(&i.to_string())).unwrap();
    }
    let steps = std::iter::from_fn(|| document.undo().then_some(())).count();
    assert_eq!(steps, 500);
    assert_eq!(title(&document), "9");
}

#[test]
fn a_document_whose_file_is_gone_is_in_none_until_it_is_back() {
    let stamp = Stamp::of(b"a");
    let mut document = Document::opened(blank(), PathBuf::from("tour.ron"), stamp);
    document.mark_gone();
    assert!(document.is_dirty());
    document.push(titled("a")).unwrap();
    document.undo();
    assert!(document.is_dirty(), "undone to what was saved, it is in no file either");
    document.seen(stamp);
    assert!(!document.is_dirty());
    document.mark_gone();
    let written = Arc::clone(document.project());
    document.mark_saved(written, PathBuf::from("tour.ron"), stamp);
    assert!(!document.is_dirty());
}
