//! What can be done by a menu or a key: one enum that gives the words, the
//! tooltip and the keys; in `pressed` the one place where keys are matched.

mod pressed;

use egui::{Key, KeyboardShortcut, ModifierNames, Modifiers};

use crate::export::Exported;
use crate::state::Scale;

/// Something that a menu, a button or a key does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Command {
    /// A rig with nothing but a guitar and an amp.
    New,
    /// The page of rigs to start from.
    Starts,
    /// The rig that ships with the program.
    OpenDemo,
    /// A file, by the desktop's dialog.
    Open,
    /// A file, by typing where it is.
    OpenByPath,
    /// The file in hand.
    Save,
    /// Another file, by the desktop's dialog.
    SaveAs,
    /// Another file, by typing where it goes.
    SaveByPath,
    /// A picture or a table, to a file.
    SaveExport(Exported),
    /// A picture or a table, to the clipboard.
    CopyExport(Exported),
    /// A picture to the clipboard, as the text of an SVG.
    CopyAsSvg(Exported),
    /// One step back.
    Undo,
    /// One step forth.
    Redo,
    /// What is selected goes to the clipboard, as a text.
    Copy,
    /// The same, and out of the rig.
    Cut,
    /// What is on the clipboard comes into the rig.
    Paste,
    /// What is selected once more.
    Duplicate,
    /// Everything is selected.
    SelectAll,
    /// The selection goes on along the signal, or to another row.
    Walk(Way),
    /// The selected symbols a little to one side.
    Nudge(Way),
    /// A note on the sheet.
    AddNote,
    /// What the sheet says of what is selected is typed over.
    TypeOver,
    /// What is selected goes.
    Delete,
    /// The footswitch of what is selected.
    ToggleSwitch,
    /// A device on the selected lead.
    Insert,
    /// What is selected becomes a part of the player's own.
    KeepPart,
    /// The player's own parts, to a file.
    SaveOwnParts,
    /// Parts of a file, to the player's own.
    TakeInParts,
    /// One more variant, like the one in hand.
    CopyVariant,
    /// A test point on the selected lead.
    TestPoint,
    /// No test point.
    RemoveTestPoint,
    /// The drawing larger.
    ZoomIn,
    /// The drawing smaller.
    ZoomOut,
    /// The drawing as large as the window.
    Fit,
    /// What is selected as large as the window.
    FitSelected,
    /// Dragging on empty paper selects, or moves the sheet.
    DragOnPaper,
    /// The dots of the paper, or none.
    Dots,
    /// Every symbol where the drawing puts it.
    Tidy,
    /// The signal's screen.
    ShowChain,
    /// The screen of supplies.
    ShowPower,
    /// What is selected is pulled off its supply lead.
    Unplug,
    /// What is selected goes to the outlet before.
    OutletBefore,
    /// What is selected goes to the next outlet.
    OutletBehind,
    /// Units without a feed count as fed, or not.
    Feeding,
    /// The page of cautions.
    Cautions,
    /// A rig that ships with the program: few units on one daisy lead.
    OpenDaisy,
    /// Another: many units on a modular supply.
    OpenModular,
    /// Another: one multi-effects unit.
    OpenMultiEffects,
    /// Anything, by a few letters of its name.
    Find,
    /// The same list, help first.
    Help,
    /// All of the window as large as this.
    Scale(Scale),
    /// All of the window larger.
    ScaleLarger,
    /// All of the window smaller.
    ScaleSmaller,
    /// The other look.
    DarkLight,
    /// The look that the desktop has, also when that changes.
    DesktopLook,
    /// Nothing glides or blinks, or as usual again.
    LessMovement,
    /// The end.
    CloseWindow,
}

/// One of four ways on the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Way {
    /// Against the signal.
    Left,
    /// With the signal.
    Right,
    /// To the row above.
    Up,
    /// To the row below.
    Down,
}

const NONE: Modifiers = Modifiers::NONE;
const SHIFT: Modifiers = Modifiers::SHIFT;
const CTRL: Modifiers = Modifiers::COMMAND;
const CTRL_SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };

/// Every key; the first one of a command is the one that is shown.
const KEYS: &[(Command, Modifiers, Key)] = &[
    (Command::New, CTRL, Key::N),
    (Command::Open, CTRL, Key::O),
    (Command::OpenByPath, CTRL_SHIFT, Key::O),
    (Command::Save, CTRL, Key::S),
    (Command::SaveAs, CTRL_SHIFT, Key::S),
    (Command::Undo, CTRL, Key::Z),
    (Command::Redo, CTRL_SHIFT, Key::Z),
    (Command::Redo, CTRL, Key::Y),
    (Command::Copy, CTRL, Key::C),
    (Command::Cut, CTRL, Key::X),
    (Command::Paste, CTRL, Key::V),
    (Command::Duplicate, CTRL, Key::D),
    (Command::SelectAll, CTRL, Key::A),
    (Command::Walk(Way::Left), NONE, Key::ArrowLeft),
    (Command::Walk(Way::Right), NONE, Key::ArrowRight),
    (Command::Walk(Way::Up), NONE, Key::ArrowUp),
    (Command::Walk(Way::Down), NONE, Key::ArrowDown),
    (Command::Nudge(Way::Left), SHIFT, Key::ArrowLeft),
    (Command::Nudge(Way::Right), SHIFT, Key::ArrowRight),
    (Command::Nudge(Way::Up), SHIFT, Key::ArrowUp),
    (Command::Nudge(Way::Down), SHIFT, Key::ArrowDown),
    (Command::AddNote, NONE, Key::N),
    (Command::TypeOver, NONE, Key::F2),
    (Command::Delete, NONE, Key::Delete),
    (Command::Delete, NONE, Key::Backspace),
    (Command::ToggleSwitch, NONE, Key::Space),
    (Command::Insert, NONE, Key::I),
    (Command::CopyVariant, CTRL_SHIFT, Key::D),
    (Command::TestPoint, NONE, Key::T),
    (Command::RemoveTestPoint, SHIFT, Key::T),
    (Command::ZoomIn, NONE, Key::Plus),
    (Command::ZoomIn, NONE, Key::Equals),
    (Command::ZoomOut, NONE, Key::Minus),
    (Command::Fit, NONE, Key::F),
    (Command::FitSelected, SHIFT, Key::F),
    (Command::Tidy, NONE, Key::L),
    (Command::ShowChain, CTRL, Key::Num1),
    (Command::ShowPower, CTRL, Key::Num2),
    (Command::Unplug, NONE, Key::U),
    (Command::OutletBefore, NONE, Key::PageUp),
    (Command::OutletBehind, NONE, Key::PageDown),
    (Command::Feeding, NONE, Key::E),
    (Command::Find, CTRL, Key::K),
    (Command::Find, CTRL, Key::F),
    (Command::Help, NONE, Key::F1),
    (Command::ScaleLarger, CTRL, Key::Plus),
    (Command::ScaleLarger, CTRL, Key::Equals),
    (Command::ScaleSmaller, CTRL, Key::Minus),
    (Command::Scale(Scale::Percent100), CTRL, Key::Num0),
    (Command::CloseWindow, CTRL, Key::Q),
    (Command::CloseWindow, CTRL, Key::W),
];

impl Command {
    /// All that takes something out of the program, as a menu has it.
    pub const EXPORTS: [Self; 16] = [
        Self::SaveExport(Exported::Drawing),
        Self::CopyExport(Exported::Drawing),
        Self::CopyAsSvg(Exported::Drawing),
        Self::SaveExport(Exported::Plot),
        Self::CopyExport(Exported::Plot),
        Self::CopyAsSvg(Exported::Plot),
        Self::SaveExport(Exported::Power),
        Self::CopyExport(Exported::Power),
        Self::CopyAsSvg(Exported::Power),
        Self::SaveExport(Exported::Curves),
        Self::CopyExport(Exported::Curves),
        Self::SaveExport(Exported::Parts),
        Self::CopyExport(Exported::Parts),
        Self::SaveExport(Exported::Card),
        Self::CopyExport(Exported::Card),
        Self::CopyAsSvg(Exported::Card),
    ];

    /// All others, as a menu has them.
    const OTHERS: [Self; 65] = [
        Self::New,
        Self::Starts,
        Self::OpenDemo,
        Self::Open,
        Self::OpenByPath,
        Self::Save,
        Self::SaveAs,
        Self::SaveByPath,
        Self::CloseWindow,
        Self::Undo,
        Self::Redo,
        Self::Copy,
        Self::Cut,
        Self::Paste,
        Self::Duplicate,
        Self::SelectAll,
        Self::Walk(Way::Left),
        Self::Walk(Way::Right),
        Self::Walk(Way::Up),
        Self::Walk(Way::Down),
        Self::Nudge(Way::Left),
        Self::Nudge(Way::Right),
        Self::Nudge(Way::Up),
        Self::Nudge(Way::Down),
        Self::AddNote,
        Self::TypeOver,
        Self::Delete,
        Self::ToggleSwitch,
        Self::Insert,
        Self::KeepPart,
        Self::SaveOwnParts,
        Self::TakeInParts,
        Self::TestPoint,
        Self::RemoveTestPoint,
        Self::CopyVariant,
        Self::ZoomIn,
        Self::ZoomOut,
        Self::Fit,
        Self::FitSelected,
        Self::DragOnPaper,
        Self::Dots,
        Self::Tidy,
        Self::ShowChain,
        Self::ShowPower,
        Self::Unplug,
        Self::OutletBefore,
        Self::OutletBehind,
        Self::Feeding,
        Self::Cautions,
        Self::OpenDaisy,
        Self::OpenModular,
        Self::OpenMultiEffects,
        Self::DarkLight,
        Self::DesktopLook,
        Self::LessMovement,
        Self::ScaleLarger,
        Self::ScaleSmaller,
        Self::Scale(Scale::Percent75),
        Self::Scale(Scale::Percent100),
        Self::Scale(Scale::Percent125),
        Self::Scale(Scale::Percent150),
        Self::Scale(Scale::Percent175),
        Self::Scale(Scale::Percent200),
        Self::Find,
        Self::Help,
    ];

    /// All of them.
    pub const ALL: [Self; Self::OTHERS.len() + Self::EXPORTS.len()] = {
        let mut all = [Self::New; Self::OTHERS.len() + Self::EXPORTS.len()];
        let mut at = 0;
        while at < all.len() {
            all[at] = if at < Self::OTHERS.len() { Self::OTHERS[at] } else { Self::EXPORTS[at - Self::OTHERS.len()] };
            at += 1;
        }
        all
    };

    /// What the menu says.
    #[must_use]
    pub fn text(self) -> &'static str {
        match self {
            Self::New => "New rig",
            Self::Starts => "Start from…",
            Self::OpenDemo => "Open the demo",
            Self::Open => "Open…",
            Self::OpenByPath => "Open by typing its path…",
            Self::Save => "Save",
            Self::SaveAs => "Save as…",
            Self::SaveByPath => "Save by typing a path…",
            Self::SaveExport(Exported::Drawing) => "Save a picture of the drawing…",
            Self::CopyExport(Exported::Drawing) => "Copy a picture of the drawing",
            Self::SaveExport(Exported::Plot) => "Save a picture of the plot…",
            Self::CopyExport(Exported::Plot) => "Copy a picture of the plot",
            Self::SaveExport(Exported::Power) => "Save a picture of the power diagram…",
            Self::CopyExport(Exported::Power) => "Copy a picture of the power diagram",
            Self::SaveExport(Exported::Curves) => "Save the curves as a table…",
            Self::CopyExport(Exported::Curves) => "Copy the curves as a table",
            Self::SaveExport(Exported::Parts) => "Save the parts list…",
            Self::CopyExport(Exported::Parts) => "Copy the parts list",
            Self::SaveExport(Exported::Card) => "Save a sheet of keys and signs…",
            Self::CopyExport(Exported::Card) => "Copy the sheet of keys and signs",
            Self::CopyAsSvg(Exported::Card) => "Copy the sheet of keys and signs as SVG",
            Self::CopyAsSvg(Exported::Drawing) => "Copy the drawing as SVG",
            Self::CopyAsSvg(Exported::Plot) => "Copy the plot as SVG",
            Self::CopyAsSvg(_) => "Copy the power diagram as SVG",
            Self::Undo => "Undo",
            Self::Redo => "Redo",
            Self::Copy => "Copy",
            Self::Cut => "Cut",
            Self::Paste => "Paste",
            Self::Duplicate => "Duplicate",
            Self::SelectAll => "Select everything",
            Self::Walk(Way::Left) => "Select what is before",
            Self::Walk(Way::Right) => "Select what is behind",
            Self::Walk(Way::Up) => "Select what is above",
            Self::Walk(Way::Down) => "Select what is below",
            Self::Nudge(Way::Left) => "Nudge to the left",
            Self::Nudge(Way::Right) => "Nudge to the right",
            Self::Nudge(Way::Up) => "Nudge up",
            Self::Nudge(Way::Down) => "Nudge down",
            Self::AddNote => "Add a note",
            Self::TypeOver => "Type over its label",
            Self::Delete => "Take out",
            Self::ToggleSwitch => "Step on the switch",
            Self::Insert => "Insert a part…",
            Self::KeepPart => "Keep as my own part…",
            Self::SaveOwnParts => "Save my own parts…",
            Self::TakeInParts => "Take in parts from a file…",
            Self::CopyVariant => "New variant from this one",
            Self::TestPoint => "Put a test point here",
            Self::RemoveTestPoint => "Remove the test point",
            Self::ZoomIn => "Zoom in",
            Self::ZoomOut => "Zoom out",
            Self::Fit => "Fit the rig to the window",
            Self::FitSelected => "Zoom to what is selected",
            Self::DragOnPaper => "Dragging on paper moves the sheet",
            Self::Dots => "Dots on the paper",
            Self::Tidy => "Tidy the drawing",
            Self::ShowChain => "Chain",
            Self::ShowPower => "Power",
            Self::Unplug => "Unplug from its supply",
            Self::OutletBefore => "To the outlet before",
            Self::OutletBehind => "To the next outlet",
            Self::Feeding => "As if all were fed, or as drawn",
            Self::Cautions => "Cautions…",
            Self::OpenDaisy => "A few units on a daisy lead",
            Self::OpenModular => "A large board on a modular supply",
            Self::OpenMultiEffects => "One multi-effects unit",
            Self::DarkLight => "Dark or light",
            Self::DesktopLook => "Look as the desktop",
            Self::LessMovement => "Less movement",
            Self::Find => "Find anything…",
            Self::Help => "Help…",
            Self::ScaleLarger => "Everything larger",
            Self::ScaleSmaller => "Everything smaller",
            Self::Scale(scale) => scale.words(),
            Self::CloseWindow => "Close",
        }
    }

    /// What a list of commands says: the menu's words without what they leave open.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::ShowChain => "Show the Chain screen",
            Self::ShowPower => "Show the Power screen",
            Self::Starts => "Start from another rig",
            Self::OpenDaisy => "Open an invented rig: a few units on a daisy lead",
            Self::OpenModular => "Open an invented rig: a large board on a modular supply",
            Self::OpenMultiEffects => "Open an invented rig: one multi-effects unit",
            other => other.text().trim_end_matches('…'),
        }
    }

    /// What it does, in a sentence.
    #[must_use]
    pub fn tooltip(self) -> &'static str {
        match self {
            Self::New => "Starts with a guitar and an amp and one lead between them.",
            Self::Starts => "Shows the rigs that there are to start from, each with a small picture.",
            Self::OpenDemo => "Opens the rig that comes with the program, to look around in.",
            Self::Open => "Opens a rig from a file.",
            Self::OpenByPath => "Opens a rig by its path, on a desktop that has no file dialog.",
            Self::Save => "Writes the rig to its file.",
            Self::SaveAs => "Writes the rig to another file and goes on with that one.",
            Self::SaveByPath => "Writes the rig to a path that you type, on a desktop that has no file dialog.",
            Self::SaveExport(Exported::Drawing) => "Writes the whole drawing of this rig to an SVG or a PNG file.",
            Self::CopyExport(Exported::Drawing) => "Puts the whole drawing of this rig on the clipboard, as an image.",
            Self::SaveExport(Exported::Plot) => "Writes the level plot, as it is shown, to an SVG or a PNG file.",
            Self::CopyExport(Exported::Plot) => "Puts the level plot, as it is shown, on the clipboard as an image.",
            Self::SaveExport(Exported::Power) => "Writes all rails of this rig to an SVG or a PNG file.",
            Self::CopyExport(Exported::Power) => "Puts all rails of this rig on the clipboard, as an image.",
            Self::SaveExport(Exported::Curves) => {
                "Writes the levels of the rigs that are shown, and between which all their states lie, to a CSV file."
            }
            Self::CopyExport(Exported::Curves) => {
                "Puts the levels of the rigs that are shown on the clipboard, as comma-separated values."
            }
            Self::SaveExport(Exported::Parts) => "Writes what this rig is made of, and what that costs, to a CSV file.",
            Self::CopyExport(Exported::Parts) => {
                "Puts what this rig is made of on the clipboard, as comma-separated values."
            }
            Self::SaveExport(Exported::Card) => {
                "Writes what keys do and what signs mean, on one sheet to pin up, to an SVG or a PNG file."
            }
            Self::CopyExport(Exported::Card) => "Puts what keys do and what signs mean on the clipboard, as an image.",
            Self::CopyAsSvg(_) => "Puts the picture on the clipboard as the text of an SVG, for a drawing program.",
            Self::Undo => "Takes the last change back.",
            Self::Redo => "Does again what was taken back last.",
            Self::Copy => {
                "Puts the selected devices, with what is plugged between them, and notes on the clipboard as text."
            }
            Self::Cut => "Puts the selected devices and notes on the clipboard as text, and takes them out of the rig.",
            Self::Paste => "Puts in what was copied, from this rig or another: into the selected lead, or else loose.",
            Self::Duplicate => {
                "Puts the selected devices in once more, loose, with what is plugged between them, and notes."
            }
            Self::SelectAll => "Selects all devices, leads and notes of this rig.",
            Self::Walk(Way::Left) => "Goes back along the signal: to the lead before the selected device, and on.",
            Self::Walk(Way::Right) => "Goes on along the signal: to the lead behind the selected device, and on.",
            Self::Walk(Way::Up) => "Selects the device that is nearest above.",
            Self::Walk(Way::Down) => "Selects the device that is nearest below.",
            Self::Nudge(Way::Left) => "Moves the selected symbols a little to the left.",
            Self::Nudge(Way::Right) => "Moves the selected symbols a little to the right.",
            Self::Nudge(Way::Up) => "Moves the selected symbols up a little.",
            Self::Nudge(Way::Down) => "Moves the selected symbols down a little.",
            Self::AddNote => "Puts a note on the sheet: words for you alone, with an arrow if you like.",
            Self::TypeOver => "Types over a unit's name, a lead's length or a note's words where they stand.",
            Self::Delete => "Takes the selected devices out and closes the gaps, or unplugs the selected leads.",
            Self::ToggleSwitch => "Steps on the switch of what is selected; several units go on or off together.",
            Self::KeepPart => "Keeps the selected device as a part of your own, with all its numbers.",
            Self::SaveOwnParts => "Writes your own parts to a file, for another machine or another player.",
            Self::TakeInParts => "Adds the parts of such a file to your own; none of yours is changed.",
            Self::Insert => "Plugs a part in on the selected lead, or behind the selected device.",
            Self::CopyVariant => "Copies this rig, so that you can change the copy and compare the two.",
            Self::TestPoint => "Shows the level at the selected lead instead of at the end of the rig.",
            Self::RemoveTestPoint => "Shows the level at the end of the rig again.",
            Self::ZoomIn => "Draws the rig larger.",
            Self::ZoomOut => "Draws the rig smaller.",
            Self::Fit => "Shows all of the rig.",
            Self::FitSelected => "Shows what is selected as large as the window has room for.",
            Self::DragOnPaper => {
                "On: dragging on empty paper moves the sheet, with Shift selects. Off: the other way round. The middle \
                 button, or Space held down, always moves the sheet."
            }
            Self::Dots => "Shows the dots of the paper, or none.",
            Self::Tidy => "Lays the rig out anew in the order of the signal; symbols that you placed go back.",
            Self::ShowChain => "Shows the signal's way and what it does to the tone.",
            Self::ShowPower => "Shows supplies, outlets and what they feed.",
            Self::Unplug => "Pulls the supply lead of the selected unit.",
            Self::OutletBefore => "Plugs the selected unit in at the outlet before the one that feeds it.",
            Self::OutletBehind => "Plugs the selected unit in at the outlet after the one that feeds it.",
            Self::Feeding => {
                "Shows the tone as if every unit had power, or as drawn: a unit without a feed may be silent."
            }
            Self::Cautions => "What can hurt you or your rig: mains, valve amps, batteries, ears.",
            Self::OpenDaisy => "Opens an invented rig: a few units that share one adaptor.",
            Self::OpenModular => "Opens an invented rig: a large board whose supply is made of modules.",
            Self::OpenMultiEffects => {
                "Opens an invented rig: a multi-effects unit straight to the desk, and before an amp by four leads."
            }
            Self::DarkLight => "Changes between the dark look and the light one.",
            Self::DesktopLook => "Takes the dark look or the light one as the desktop has it, also when that changes.",
            Self::LessMovement => {
                "Lists scroll at once instead of gliding, and no text cursor blinks; once more, and all is as before."
            }
            Self::Find => "One list of all commands, devices, findings, parts and help: type a few letters of any.",
            Self::Help => "How to draw, keys, symbols and terms, in the list that finds anything.",
            Self::ScaleLarger => "Shows all of the window larger, letters and all.",
            Self::ScaleSmaller => "Shows all of the window smaller, letters and all.",
            Self::Scale(Scale::Percent100) => "Shows all of the window as large as the desktop has it.",
            Self::Scale(_) => "Shows all of the window in this size.",
            Self::CloseWindow => "Closes the window; asks first if something isn't saved.",
        }
    }

    /// The key in words, "Ctrl+Shift+Z": in letters that every typeface has.
    #[must_use]
    pub fn shortcut_text(self) -> Option<String> {
        self.keys().into_iter().next()
    }

    /// All its keys in words, the one that is shown first.
    #[must_use]
    pub fn keys(self) -> Vec<String> {
        let is_mac = cfg!(target_os = "macos");
        let words = |modifiers: &Modifiers, key: &Key| {
            KeyboardShortcut::new(*modifiers, *key).format(&ModifierNames::NAMES, is_mac)
        };
        let own = KEYS.iter().filter(|(command, ..)| *command == self);
        own.map(|(_, modifiers, key)| words(modifiers, key)).collect()
    }
}

#[cfg(test)]
#[path = "command_tests.rs"]
mod tests;
