//! The menu at the upper left: all commands, in groups, and the files that were open of late.

use std::collections::BTreeMap;

use egui::{Button, ScrollArea, TextWrapMode, Ui};

use super::Desk;
use crate::command::{Command, Way};
use crate::state::{Scale, Settings, Theme};
use crate::views::Intent;

/// What a menu's frame takes of the window's height, above and below together.
const AROUND_MENU: f32 = 16.0;

/// The menu of all commands.
pub fn ui(desk: &mut Desk, ui: &mut Ui) {
    let impossible = desk.impossible();
    let (settings, asked) = (&desk.settings, &mut desk.intents);
    ui.menu_button("Rig", |ui| {
        // In a low window the menu scrolls: all of it can be got at.
        let room = ui.ctx().content_rect().height() - AROUND_MENU;
        let area = ScrollArea::vertical().max_height(room).min_scrolled_height(room);
        area.show(ui, |ui| {
            ui.style_mut().wrap_mode = Some(TextWrapMode::Extend);
            menu_entries(ui, &impossible, settings, asked);
        });
    });
}

fn menu_entries(
    ui: &mut Ui,
    impossible: &BTreeMap<Command, &'static str>,
    settings: &Settings,
    asked: &mut Vec<Intent>,
) {
    for (i, (name, group)) in GROUPS.into_iter().enumerate() {
        if name.is_empty() {
            if i > 0 {
                ui.separator();
            }
            entries(ui, group, impossible, settings, asked);
        } else {
            ui.menu_button(name, |ui| entries(ui, group, impossible, settings, asked));
        }
    }
    if !settings.recent.is_empty() {
        ui.separator();
        for path in &settings.recent {
            let name =
                path.file_name().map_or_else(|| path.display().to_string(), |n| n.to_string_lossy().into_owned());
            if ui.button(format!("Open {name}")).on_hover_text(path.display().to_string()).clicked() {
                asked.push(Intent::OpenFile(path.clone()));
                ui.close();
            }
        }
    }
}

/// The menu: commands in groups. What has a name is a menu of its own.
const GROUPS: [(&str, &[Command]); 14] = [
    ("", &[Command::New, Command::Starts, Command::Open, Command::OpenByPath]),
    ("", &[Command::Save, Command::SaveAs, Command::SaveByPath]),
    ("Export", &Command::EXPORTS),
    ("", &[Command::Undo, Command::Redo]),
    (
        "Edit",
        &[
            Command::Copy,
            Command::Cut,
            Command::Paste,
            Command::Duplicate,
            Command::TypeOver,
            Command::ToggleSwitch,
            Command::Delete,
        ],
    ),
    (
        "Select and nudge",
        &[
            Command::SelectAll,
            Command::Walk(Way::Left),
            Command::Walk(Way::Right),
            Command::Walk(Way::Up),
            Command::Walk(Way::Down),
            Command::Nudge(Way::Left),
            Command::Nudge(Way::Right),
            Command::Nudge(Way::Up),
            Command::Nudge(Way::Down),
        ],
    ),
    (
        "",
        &[
            Command::Insert,
            Command::AddNote,
            Command::CopyVariant,
            Command::TestPoint,
            Command::RemoveTestPoint,
            Command::Tidy,
        ],
    ),
    ("My own parts", &[Command::KeepPart, Command::SaveOwnParts, Command::TakeInParts]),
    ("Supply of the selected unit", &[Command::Unplug, Command::OutletBefore, Command::OutletBehind]),
    (
        "Sheet",
        &[Command::ZoomIn, Command::ZoomOut, Command::Fit, Command::FitSelected, Command::DragOnPaper, Command::Dots],
    ),
    (
        "Scale and look",
        &[
            Command::ScaleLarger,
            Command::ScaleSmaller,
            Command::Scale(Scale::Percent75),
            Command::Scale(Scale::Percent100),
            Command::Scale(Scale::Percent125),
            Command::Scale(Scale::Percent150),
            Command::Scale(Scale::Percent175),
            Command::Scale(Scale::Percent200),
            Command::DarkLight,
            Command::DesktopLook,
            Command::LessMovement,
        ],
    ),
    ("", &[Command::Find, Command::Help, Command::Cautions, Command::Feeding]),
    ("", &[Command::OpenDemo, Command::CloseWindow]),
    ("Other invented rigs", &[Command::OpenDaisy, Command::OpenModular, Command::OpenMultiEffects]),
];

/// Whether what a command chooses is chosen already.
fn is_on(command: Command, settings: &Settings) -> bool {
    match command {
        Command::Scale(scale) => scale.is(settings.zoom),
        Command::DesktopLook => settings.theme == Theme::System,
        Command::LessMovement => settings.less_movement,
        Command::DragOnPaper => settings.habits.paper_moves,
        Command::Dots => settings.habits.dots,
        _ => false,
    }
}

fn entries(
    ui: &mut Ui,
    commands: &[Command],
    impossible: &BTreeMap<Command, &'static str>,
    settings: &Settings,
    asked: &mut Vec<Intent>,
) {
    for &command in commands {
        let is_on = is_on(command, settings);
        let mut button = Button::new(command.text()).selected(is_on);
        if let Some(keys) = command.shortcut_text() {
            button = button.shortcut_text(keys);
        }
        let why_not = impossible.get(&command).copied();
        let entry = ui.add_enabled(why_not.is_none(), button).on_hover_text(command.tooltip());
        if entry.on_disabled_hover_text(why_not.unwrap_or_default()).clicked() {
            asked.push(Intent::Command(command));
            ui.close();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_is_in_the_menu_but_those_with_a_place_of_their_own() {
        let listed: Vec<Command> = GROUPS.iter().flat_map(|(_, commands)| commands.iter().copied()).collect();
        let own = [Command::ShowChain, Command::ShowPower];
        for command in Command::ALL {
            let count = listed.iter().filter(|other| **other == command).count();
            assert_eq!(count, usize::from(!own.contains(&command)), "{command:?}");
        }
    }
}
