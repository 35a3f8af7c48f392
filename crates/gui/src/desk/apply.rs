//! Doing what a screen, a menu or a key asked for.

use std::sync::Arc;

use egui::{Context, ViewportCommand};
use rigwright_core::rig::{
    Device, DeviceId, Edit, Feeding, SoundEdit, Switch, SwitchSetting, TestPoint, Variant, VariantId, apply,
    fitting_name, free_name,
};
use rigwright_core::units::Turn;

use super::Desk;
use super::bars::Notice;
use super::files::Then;
use crate::command::Command;
use crate::state::{Amendment, Change, Preview, Scale, Selected, Selection, Theme, plugging};
use crate::theme;
use crate::views::finder::Finder;
use crate::views::{Intent, OwnAsk, PUT_TEST_POINT, Purpose, Subject, TAKE_TEST_POINT_AWAY};

impl Desk {
    pub(super) fn apply(&mut self, intent: Intent, ctx: &Context) {
        match intent {
            Intent::Change(change) => self.push(change),
            Intent::EndGesture => self.document.end_gesture(),
            Intent::Select(item) => self.selection = Selection::of(item),
            Intent::SelectToo(item) => self.selection.toggle(item),
            Intent::SelectAll(items) => self.selection = Selection::of_all(items),
            Intent::Command(command) => self.command(command, ctx),
            Intent::Show(variant) => self.showing = variant,
            Intent::Replace { device, part } => self.replace(device, &part),
            Intent::OpenPicker(purpose) => self.open_picker(purpose),
            Intent::AskOwnPart(ask) => self.ask_own_part(ask),
            Intent::Find(item) => self.find(item),
            Intent::ShowDiagnosis(told) => self.show_diagnosis(&told),
            Intent::InsertPart(part) => self.insert_part(&part),
            Intent::OpenFile(path) => self.leave_for(Then::Open(path)),
            Intent::Adopt { set, select } => self.adopt(&set, select),
            Intent::Input(input) => self.inputs.set(input),
            Intent::Toggle(device) => self.toggle(device),
            Intent::Recall(sound) => self.recall(sound),
            Intent::KeepSound(name) => self.keep_sound(name),
            // It is seen to where the frame ends.
            Intent::Point(_) => {}
            Intent::Take(preview) => self.push(Change::new(preview.words, preview.edit)),
            Intent::TakeAsVariant(preview) => self.take_as_variant(preview),
            Intent::CallOff => {
                self.answers.call_off(self.showing);
                self.power_answers.call_off();
            }
            Intent::WantAgain => {
                self.answers.want_again(self.showing);
                self.power_answers.want_again();
            }
            Intent::Seek => self.seek(),
            Intent::StopSeeking => self.answers.stop_seeking(),
            Intent::PlugIn { device, outlet } => self.plug_in(device, outlet),
            Intent::SeekAllocation(rules) => self.seek_allocation(*rules),
            Intent::SeekLeast(question) => self.power_answers.seek_least(&question, &*self.host),
            Intent::LookAt(change) => self.look_at(change.map(|change| *change)),
            Intent::StopSeekingPower => self.power_answers.stop_seeking(),
            Intent::ShowLoop(shown) => self.loop_shown = shown.map(|shown| *shown),
        }
    }

    /// Does a change, or says why it can't be done.
    pub(super) fn push(&mut self, change: Change) {
        let free = self.document.first_free();
        let select: Vec<Selected> = change.select.iter().map(|item| item.resolved(free)).collect();
        let put_in = plugging::put_in(self.document.project(), &change.edit);
        match self.document.push(change) {
            Ok(()) => {
                if !select.is_empty() {
                    self.selection = Selection::of_all(select);
                }
                if put_in.last().is_some_and(|part| self.settings.used_parts.first() != Some(part)) {
                    self.amend(Amendment::PutIn(put_in));
                }
            }
            Err(error) => self.notice = Some(Notice::trouble(format!("That can't be done: {error}."))),
        }
    }

    fn command(&mut self, command: Command, ctx: &Context) {
        use Command::{CloseWindow, CopyAsSvg, CopyExport, Find, Help, Save, SaveAs, SaveByPath, SaveExport, Starts};
        // These want to have what is being typed, or would take the keyboard from it.
        let needs_all = matches!(
            command,
            Save | SaveAs
                | SaveByPath
                | CloseWindow
                | Find
                | Help
                | Starts
                | SaveExport(_)
                | CopyExport(_)
                | CopyAsSvg(_)
        );
        if needs_all && ctx.text_edit_focused() {
            // The field hands over when it loses the focus, in the frame to come.
            ctx.memory_mut(|memory| memory.focused().into_iter().for_each(|id| memory.surrender_focus(id)));
            self.after_focus = Some(command);
            ctx.request_repaint();
            return;
        }
        let of_the_chain = matches!(
            command,
            Command::AddNote | Command::ToggleSwitch | Command::TestPoint | Command::RemoveTestPoint | Command::Tidy
        );
        if of_the_chain && self.screen().subject() != Subject::Signal {
            // Nothing is changed where it can't be seen.
            return;
        }
        match command {
            Command::New => self.leave_for(Then::New),
            Command::Starts => self.open_starts(),
            Command::OpenDemo => self.leave_for(Then::Demo),
            Command::Open => self.leave_for(Then::Pick),
            Command::OpenByPath => self.leave_for(Then::TypePath),
            Command::Save => self.save(),
            Command::SaveAs => self.save_as(),
            Command::SaveByPath => self.type_save_path(),
            Command::SaveExport(what) => self.save_export(what),
            Command::CopyExport(what) => self.copy_export(what),
            Command::CopyAsSvg(what) => self.copy_as_svg(what),
            Command::Undo => {
                self.document.undo();
            }
            Command::Redo => {
                self.document.redo();
            }
            // On the screen of supplies a unit is only unplugged: the signal stays as it is.
            Command::Delete if self.screen().subject() == Subject::Supplies && !self.supply_is_selected() => {
                self.unplug()
            }
            Command::Copy => self.copy(ctx),
            Command::Cut => self.cut(ctx),
            // The desktop hands over what is on the clipboard as if its key had been pressed.
            Command::Paste => ctx.send_viewport_cmd(ViewportCommand::RequestPaste),
            Command::Duplicate => self.duplicate(),
            Command::SelectAll => self.select_all(),
            Command::Walk(way) => self.walk(way),
            Command::Nudge(way) => self.nudge(way),
            Command::AddNote => self.add_note(),
            Command::TypeOver => self.screen_mut().type_over(),
            Command::Delete => self.take_out(),
            Command::ToggleSwitch => self.toggle_selected(),
            Command::Insert => {
                let purpose = self.showing().map(|variant| self.screen().insertion(&self.selection, variant));
                purpose.into_iter().for_each(|purpose| self.open_picker(purpose));
            }
            Command::KeepPart => {
                let device = self.selection.device();
                device.into_iter().for_each(|device| self.ask_own_part(OwnAsk::Keep(device)));
            }
            Command::SaveOwnParts => self.save_own_parts(),
            Command::TakeInParts => self.ask_for_own_parts(),
            Command::CopyVariant => self.copy_variant(),
            Command::TestPoint => {
                if let Some(lead) = self.selection.lead() {
                    let point = TestPoint { lead, along: Turn::of(0.5) };
                    self.push(Change::new(PUT_TEST_POINT, Edit::SetTestPoint(Some(point))));
                } else {
                    self.notice = Some(Notice::word("Select a lead first; the test point goes there."));
                }
            }
            Command::RemoveTestPoint => self.push(Change::new(TAKE_TEST_POINT_AWAY, Edit::SetTestPoint(None))),
            Command::ZoomIn => self.zoom(1.25),
            Command::ZoomOut => self.zoom(0.8),
            Command::Fit => self.screen_mut().fit(),
            Command::FitSelected => {
                let selection = self.selection.clone();
                self.screen_mut().fit_selected(&selection);
            }
            Command::DragOnPaper => self.amend(Amendment::PaperMoves(!self.settings.habits.paper_moves)),
            Command::Dots => self.amend(Amendment::Dots(!self.settings.habits.dots)),
            Command::Tidy => {
                if let Some(variant) = self.showing().cloned() {
                    self.push(plugging::tidy(&variant));
                }
            }
            Command::ShowChain | Command::ShowPower => self.show_screen(command),
            Command::Unplug => self.unplug(),
            Command::OutletBefore | Command::OutletBehind => self.other_outlet(command),
            Command::Feeding => {
                let other = match self.answers.fed.feeding() {
                    Feeding::AllFed => Feeding::AsDrawn,
                    Feeding::AsDrawn => Feeding::AllFed,
                };
                self.answers.fed.set_feeding(other);
            }
            Command::Cautions => self.cautions = true,
            Command::OpenDaisy => self.leave_for(Then::Daisy),
            Command::OpenModular => self.leave_for(Then::Modular),
            Command::OpenMultiEffects => self.leave_for(Then::MultiEffects),
            Command::DarkLight => {
                let dark = ctx.theme() == egui::Theme::Dark;
                self.amend(Amendment::Look(if dark { Theme::Light } else { Theme::Dark }));
                self.choose_look(ctx);
            }
            Command::DesktopLook => {
                self.amend(Amendment::Look(Theme::System));
                self.choose_look(ctx);
            }
            Command::LessMovement => {
                self.amend(Amendment::LessMovement(!self.settings.less_movement));
                theme::set_movement(ctx, self.settings.less_movement);
            }
            Command::Find => {
                self.look_at_own_parts();
                self.finder = Some(Finder::open(false));
            }
            Command::Help => self.finder = Some(Finder::open(true)),
            Command::Scale(scale) => self.scale(Some(scale), ctx),
            Command::ScaleLarger => self.scale(Scale::above(self.settings.zoom), ctx),
            Command::ScaleSmaller => self.scale(Scale::below(self.settings.zoom), ctx),
            Command::CloseWindow => ctx.send_viewport_cmd(ViewportCommand::Close),
        }
    }

    fn open_picker(&mut self, purpose: Purpose) {
        self.look_at_own_parts();
        self.screen_mut().open_picker(purpose);
    }

    fn zoom(&mut self, factor: f32) {
        self.screen_mut().zoom(factor);
    }

    pub(super) fn toggle(&mut self, device: DeviceId) {
        // The one of the rig in hand: in another it may stay on.
        let Some(found) = self.showing().and_then(|variant| variant.rig.device(device)) else { return };
        if let Some(setting) = found.stepped_on(&self.document.project().state) {
            let to = found.position_name(setting.switch.key, setting.to);
            self.push(Change::new(format!("switch {} {to}", found.name), Edit::Switch(setting)));
        }
    }

    /// All footswitches of the rig in hand as a state has them, in one step.
    fn adopt(&mut self, set: &[SwitchSetting], select: Option<DeviceId>) {
        let Some(variant) = self.showing().cloned() else { return };
        let state = &self.document.project().state;
        let switches = variant.rig.devices.iter().flat_map(Device::all_switches).filter(Switch::varies);
        let wanted = |switch: &Switch| {
            let listed = set.iter().find(|setting| setting.switch == switch.id);
            SwitchSetting { switch: switch.id, to: listed.map_or(switch.default, |setting| setting.to) }
        };
        let edits: Vec<Edit> = switches
            .map(|switch| (wanted(&switch), state.position(&switch)))
            .filter(|(wanted, stands)| wanted.to != *stands)
            .map(|(wanted, _)| Edit::Switch(wanted))
            .collect();
        if !edits.is_empty() {
            self.push(Change::new("set all switches", Edit::Batch(edits)));
        }
        if let Some(device) = select {
            self.selection = Selection::of(Some(Selected::Device(device)));
        }
    }

    /// Another part in a device's place. A name that was the old part's own
    /// becomes the new one's; a name that the player gave stays.
    fn replace(&mut self, id: DeviceId, part: &str) {
        let Some(variant) = self.showing().cloned() else { return };
        let (Some(old), Some(part)) = (variant.rig.device(id), self.own_parts.part(part)) else { return };
        let was_default = self.own_parts.part(&old.part).is_some_and(|part| part.name == old.name);
        let mut device = part.device(id);
        device.name = if was_default {
            free_name(&part.name, |name| has_name(&variant, name, Some(id)))
        } else {
            old.name.clone()
        };
        device.switches.clone_from(&old.switches);
        device.stays_on = old.stays_on && device.kind.pedal().is_some();
        let step = format!("put another part in the place of {}", old.name);
        self.push(Change::new(step, Edit::SetDevice { variant: variant.id, device: Box::new(device) }));
    }

    fn copy_variant(&mut self) {
        let Some(variant) = self.showing().cloned() else {
            return;
        };
        let id = VariantId(self.document.fresh_id());
        let name = self.next_name(&variant.name);
        let copy = Variant { id, name, ..(*variant).clone() };
        self.push(Change::new("new variant", self.added(copy, variant.id)));
        self.showing = id;
    }

    /// A new variant that makes each sound as the one does of which it is a copy.
    fn added(&self, copy: Variant, of: VariantId) -> Edit {
        let variant = copy.id;
        let own = self.document.project().sounds.iter().filter_map(|sound| {
            let state = Some(Box::new(sound.made_in.get(&of)?.clone()));
            Some(Edit::Sound(SoundEdit::MakeIn { sound: sound.id, variant, state }))
        });
        let own: Vec<Edit> = own.collect();
        let add = Edit::AddVariant(Arc::new(copy));
        if own.is_empty() { add } else { Edit::Batch(std::iter::once(add).chain(own).collect()) }
    }

    /// A change done to a new variant, which is named after it.
    fn take_as_variant(&mut self, preview: Preview) {
        let Some(variant) = self.showing().cloned() else { return };
        if let Err(error) = apply(self.document.project(), &preview.edit) {
            self.notice = Some(Notice::trouble(format!("That can't be done: {error}.")));
            return;
        }
        let id = VariantId(self.document.fresh_id());
        let wanted = fitting_name(&preview.words, "");
        let taken = self.document.project().variants.iter().any(|variant| variant.name == wanted);
        let name = if taken { self.next_name(&wanted) } else { wanted };
        let copy = Variant { id, name, ..(*variant).clone() };
        let edit = preview.edit.on_variant(variant.id, id);
        let both = Edit::Batch(vec![self.added(copy, variant.id), edit]);
        self.push(Change::new(format!("new variant: {}", preview.words), both));
        self.showing = id;
    }

    fn seek(&mut self) {
        if let Some(question) = self.advice_question() {
            self.answers.seek(&question, &*self.host);
        }
    }

    /// "tour 2" after "tour", "tour 3" after that.
    fn next_name(&self, name: &str) -> String {
        let taken = |name: &str| self.document.project().variants.iter().any(|v| v.name == name);
        // A copy of a copy counts on, instead of growing a tail.
        let stem = match name.rsplit_once(' ') {
            Some((stem, number)) if number.parse::<u32>().is_ok() => stem,
            _ => name,
        };
        let mut numbered = (2..).map(|number| fitting_name(stem, &format!(" {number}")));
        numbered.find(|name| !taken(name)).unwrap_or_else(|| name.to_owned())
    }
}

/// Whether a device of the rig has a name, but for one.
fn has_name(variant: &Variant, name: &str, but: Option<DeviceId>) -> bool {
    variant.rig.devices.iter().any(|device| device.name == name && Some(device.id) != but)
}
