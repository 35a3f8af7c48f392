//! What there is to see, hear and find in the window, and on the machine's disk.

use std::path::Path;

use egui::accesskit::Role;
use egui::{Rect, Shape};
use egui_kittest::Node;
use egui_kittest::kittest::NodeT;

use super::Window;

impl Window {
    /// The names of all that has one, and all text, as they are read out.
    pub fn texts(&self) -> Vec<String> {
        let read = |node: Node<'_>| {
            let (label, value) = (node.accesskit_node().label(), node.accesskit_node().value());
            let value = value.filter(|value| label.as_ref() != Some(value));
            [label, value]
        };
        // A text's parts say again what the text has said.
        let whole = |node: &Node<'_>| node.accesskit_node().role() != Role::TextRun;
        self.harness.root().children_recursive().filter(whole).flat_map(read).flatten().collect()
    }

    /// The texts that begin like this, in their order on the screen.
    pub fn texts_from(&self, start: &str) -> Vec<String> {
        self.texts().into_iter().filter(|text| text.starts_with(start)).collect()
    }

    /// Whether it is said somewhere, at the beginning of a sentence or in it.
    pub fn says(&self, part: &str) -> bool {
        self.texts().iter().any(|text| text.to_lowercase().contains(&part.to_lowercase()))
    }

    #[track_caller]
    pub fn assert_says(&self, part: &str) {
        assert!(self.says(part), "“{part}” is nowhere in {:#?}", self.texts());
    }

    /// All text that is painted, whoever can read it out.
    pub fn painted(&self) -> Vec<String> {
        fn gather(shape: &Shape, found: &mut Vec<String>) {
            match shape {
                Shape::Text(text) => found.push(text.galley.text().to_owned()),
                Shape::Vec(shapes) => shapes.iter().for_each(|shape| gather(shape, found)),
                _ => {}
            }
        }
        let mut found = Vec::new();
        self.harness.output().shapes.iter().for_each(|clipped| gather(&clipped.shape, &mut found));
        found
    }

    /// All that can be used and whose name begins like this.
    pub fn all_from(&self, start: &str) -> Vec<Node<'_>> {
        self.nodes(&|name| name.starts_with(start))
    }

    fn nodes(&self, fits: &dyn Fn(&str) -> bool) -> Vec<Node<'_>> {
        let nodes = self.harness.root().children_recursive();
        let named = |node: &Node<'_>| {
            let node = node.accesskit_node();
            node.role() != Role::Label && node.label().is_some_and(|name| fits(&name))
        };
        nodes.filter(named).collect()
    }

    /// Whether something that can be used has just this name.
    pub fn has(&self, name: &str) -> bool {
        !self.nodes(&|other| other == name).is_empty()
    }

    /// The name of what has the keyboard.
    pub fn focused(&self) -> Option<String> {
        let mut nodes = self.harness.root().children_recursive();
        nodes.find(|node| node.is_focused()).and_then(|node| node.accesskit_node().label())
    }

    /// Where what has the keyboard is.
    #[track_caller]
    pub fn named_focus(&self) -> Rect {
        let mut nodes = self.harness.root().children_recursive();
        nodes.find(|node| node.is_focused()).unwrap().rect()
    }

    /// What has this name; a question stands before what it covers.
    #[track_caller]
    pub fn named(&self, name: &str) -> Node<'_> {
        let found = self.nodes(&|other| other == name).pop();
        found.unwrap_or_else(|| panic!("nothing is named “{name}” in {:#?}", self.texts()))
    }

    /// The one thing whose name begins like this.
    #[track_caller]
    pub fn from(&self, start: &str) -> Node<'_> {
        let mut found = self.all_from(start);
        assert_eq!(found.len(), 1, "named “{start}…”: {:?} in {:#?}", found, self.texts());
        found.remove(0)
    }

    /// The symbol of a device.
    #[track_caller]
    pub fn device(&self, name: &str) -> Node<'_> {
        let start = format!("{name}, ");
        let mut found = self.nodes(&|name| name.starts_with(&start) && name.contains(" of "));
        assert_eq!(found.len(), 1, "devices named “{name}”: {found:?} in {:#?}", self.texts());
        found.remove(0)
    }

    /// The slider of a knob; the field beside it has the same name.
    #[track_caller]
    pub fn slider(&self, name: &str) -> Node<'_> {
        let mut found = self.nodes(&|other| other == name);
        found.retain(|node| node.accesskit_node().role() == Role::Slider);
        assert_eq!(found.len(), 1, "sliders named “{name}”: {found:?} in {:#?}", self.texts());
        found.remove(0)
    }

    /// The lists that have something chosen, or ask for it.
    pub fn lists(&self, shown: &str) -> Vec<Node<'_>> {
        let mut found: Vec<_> = self.harness.root().children_recursive().collect();
        found.retain(|node| node.accesskit_node().role() == Role::ComboBox);
        found.retain(|node| node.value().is_some_and(|value| value.starts_with(shown)));
        found
    }

    /// The one list of those.
    #[track_caller]
    pub fn list(&self, shown: &str) -> Node<'_> {
        let mut found = self.lists(shown);
        assert_eq!(found.len(), 1, "lists that show “{shown}”: {found:?} in {:#?}", self.texts());
        found.remove(0)
    }

    /// The lead between two devices.
    #[track_caller]
    pub fn lead(&self, from: &str, to: &str) -> Node<'_> {
        self.from(&format!("Lead from {from} to {to}, "))
    }

    /// What a field holds.
    #[track_caller]
    pub fn value(&self, field: &str) -> String {
        self.named(field).value().unwrap_or_default()
    }

    /// A file of the machine, as text.
    pub fn file(&self, path: impl AsRef<Path>) -> Option<String> {
        self.host.file(path).map(|bytes| String::from_utf8(bytes).unwrap())
    }

    /// The sheet with the drawing.
    pub fn sheet(&self) -> Rect {
        self.named("Sheet with the rig as a circuit drawing").rect()
    }
}
