//! The desktop's file dialogs: made on the main thread, waited for on another.

use std::future::Future;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use rfd::{AsyncFileDialog, FileHandle};

use super::queue::Queue;
use super::{EXTENSION, Event, paths};

/// Nobody closes a dialog faster. A desktop without dialogs answers in some 15 ms,
/// and in the same way as a person who closes one.
const FASTEST_PERSON: Duration = Duration::from_millis(300);

/// The dialogs; one at a time.
pub struct Dialogs {
    queue: Queue,
    open: Arc<AtomicBool>,
}

impl Dialogs {
    pub fn new(queue: Queue) -> Self {
        Self { queue, open: Arc::default() }
    }

    pub fn pick_open(&self) {
        self.ask(|| dialog().set_title("Open a rig").pick_file(), Event::PickedOpen);
    }

    /// `suggested` is a name, or a whole path to begin in its folder.
    pub fn pick_save(&self, suggested: &str) {
        let picked = |path| Event::PickedSave(paths::with_extension(path, Path::exists));
        self.ask(|| beginning_at(dialog(), suggested).set_title("Save the rig").save_file(), picked);
    }

    /// The same for a picture or a table, whose name ends in one of these.
    pub fn pick_export(&self, suggested: &str, endings: &'static [&'static str]) {
        let picked = move |path| Event::PickedExport(paths::with_ending(path, endings, Path::exists));
        let mut dialog = AsyncFileDialog::new();
        for ending in endings {
            dialog = dialog.add_filter(ending.to_uppercase(), &[*ending]);
        }
        self.ask(|| beginning_at(dialog, suggested).set_title("Export").save_file(), picked);
    }

    fn ask<F>(&self, make: impl FnOnce() -> F, picked: impl FnOnce(PathBuf) -> Event + Send + 'static)
    where
        F: Future<Output = Option<FileHandle>> + Send + 'static,
    {
        // A second dialog over the first would only confuse; the first one's answer is still to come.
        if self.open.swap(true, Ordering::AcqRel) {
            return;
        }
        let begun = Instant::now();
        let answer = make();
        let (queue, open) = (self.queue.clone(), Arc::clone(&self.open));
        let waiting = thread::Builder::new().name("dialog".to_owned()).spawn(move || {
            let answer = pollster::block_on(answer);
            let event = match answer {
                Some(file) => picked(file.path().to_path_buf()),
                None => unanswered(begun.elapsed()),
            };
            open.store(false, Ordering::Release);
            queue.push(event);
        });
        if waiting.is_err() {
            self.open.store(false, Ordering::Release);
            self.queue.push(Event::NoDialogHere);
        }
    }
}

fn dialog() -> AsyncFileDialog {
    AsyncFileDialog::new().add_filter("Rigwright rig", &[EXTENSION])
}

fn beginning_at(dialog: AsyncFileDialog, suggested: &str) -> AsyncFileDialog {
    let path = Path::new(suggested);
    match (path.parent(), path.file_name().and_then(|name| name.to_str())) {
        (Some(folder), Some(name)) if folder.is_absolute() => dialog.set_directory(folder).set_file_name(name),
        _ => dialog.set_file_name(suggested),
    }
}

fn unanswered(after: Duration) -> Event {
    if after < FASTEST_PERSON { Event::NoDialogHere } else { Event::PickCancelled }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_answer_faster_than_a_person_is_no_dialog() {
        assert_eq!(unanswered(Duration::from_millis(15)), Event::NoDialogHere);
        assert_eq!(unanswered(Duration::from_millis(299)), Event::NoDialogHere);
        assert_eq!(unanswered(Duration::from_millis(300)), Event::PickCancelled);
    }
}
