//! A look at the file in hand every few seconds, on a thread of its own: a
//! drive that doesn't answer holds up nothing else, and while nothing is
//! watched, or nothing changes, the window isn't woken.

use std::fs;
use std::io::ErrorKind;
use std::path::Path;
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::thread;
use std::time::Duration;

use rigwright_core::file::MAX_BYTES;

use super::queue::Queue;
use super::stamp::{self, Stamp};
use super::{Event, Now, Watched};

/// Between two looks.
const EVERY: Duration = Duration::from_secs(3);

/// The thread's end of a line: what to watch from now on.
pub struct Watch(Option<Sender<Option<Watched>>>);

impl Watch {
    /// Says through `queue` when what is watched changes.
    pub fn new(queue: Queue) -> Self {
        Self::looking_every(EVERY, queue)
    }

    fn looking_every(every: Duration, queue: Queue) -> Self {
        let (sender, orders) = mpsc::channel();
        let thread = thread::Builder::new().name("watch".to_owned()).spawn(move || watch(every, &orders, &queue));
        // Without it, a file that changed is found out when it is saved.
        Self(thread.is_ok().then_some(sender))
    }

    /// Watches this from now on, or nothing.
    pub fn set(&self, watched: Option<Watched>) {
        if let Some(sender) = &self.0 {
            // A thread that ended watches nothing, and saving looks all the same.
            let _ = sender.send(watched);
        }
    }
}

fn watch(every: Duration, orders: &Receiver<Option<Watched>>, queue: &Queue) {
    let mut looker: Option<Looker> = None;
    loop {
        let order = match looker {
            Some(_) => orders.recv_timeout(every),
            None => orders.recv().map_err(|_| RecvTimeoutError::Disconnected),
        };
        match order {
            Ok(watched) => looker = watched.map(Looker::new),
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => return,
        }
        if let Some(looker) = &mut looker
            && let Some(now) = looker.look()
        {
            let Watched { path, stamp } = looker.watched.clone();
            queue.push(Event::Elsewhere { path, since: stamp, now });
        }
    }
}

/// A file that is watched, and what is known of it.
struct Looker {
    watched: Watched,
    /// As it was when it was last looked at; none if it was gone.
    known: Option<Stamp>,
}

impl Looker {
    fn new(watched: Watched) -> Self {
        Self { known: Some(watched.stamp), watched }
    }

    /// What has become of it, if that is news.
    fn look(&mut self) -> Option<Now> {
        let path: &Path = &self.watched.path;
        let about = match fs::metadata(path) {
            Ok(about) => about,
            Err(error) if error.kind() == ErrorKind::NotFound => return self.known.take().map(|_| Now::Gone),
            // A drive that doesn't answer says nothing of the file.
            Err(_) => return None,
        };
        if !about.is_file() || self.known.is_some_and(|known| known.looks_like(&about)) {
            return None;
        }
        let (bytes, stamp) = stamp::seen_whole(path).ok()?;
        let before = self.known.replace(stamp);
        let news = before.is_none_or(|before| before.content != stamp.content);
        (news && bytes.len() <= MAX_BYTES).then_some(Now::Other { bytes, stamp })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::PathBuf;
    use std::sync::Arc;
    use std::time::Instant;

    fn watched(path: PathBuf, bytes: &[u8]) -> Watched {
        Watched { path, stamp: Stamp::of(bytes) }
    }

    #[test]
    fn each_change_is_news_once() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("pub.ron");
        fs::write(&path, "one").unwrap();
        let mut looker = Looker::new(watched(path.clone(), b"one"));
        assert_eq!(looker.look(), None, "read once, since its time wasn't known, and the same");
        fs::write(&path, "two!").unwrap();
        assert!(matches!(looker.look(), Some(Now::Other { bytes, .. }) if bytes == b"two!"));
        assert_eq!(looker.look(), None);
        // Written anew with the same content: another time, and no news.
        let again = fs::File::options().write(true).open(&path).unwrap();
        again.set_modified(std::time::SystemTime::UNIX_EPOCH).unwrap();
        assert_eq!(looker.look(), None);
        fs::remove_file(&path).unwrap();
        assert_eq!(looker.look(), Some(Now::Gone));
        assert_eq!(looker.look(), None);
        fs::write(&path, "two!").unwrap();
        assert!(matches!(looker.look(), Some(Now::Other { .. })), "back again");
    }

    #[test]
    fn the_window_is_woken_by_a_change_and_by_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("pub.ron");
        fs::write(&path, "one").unwrap();
        let (woken, wakes) = mpsc::channel();
        let waker = move || {
            let _ = woken.send(());
        };
        let queue = Queue::new(Arc::new(waker));
        let watch = Watch::looking_every(Duration::from_millis(1), queue.clone());
        watch.set(Some(watched(path.clone(), b"one")));
        assert!(wakes.recv_timeout(Duration::from_millis(100)).is_err(), "nothing changed");
        super::super::disk::write(&path, "two").unwrap();
        wakes.recv_timeout(Duration::from_secs(60)).unwrap();
        let events = queue.drain();
        assert!(matches!(&events[..], [Event::Elsewhere { now: Now::Other { bytes, .. }, .. }] if bytes == b"two"));
        watch.set(None);
        let begun = Instant::now();
        fs::write(&path, "three").unwrap();
        while begun.elapsed() < Duration::from_millis(100) {
            // An order may come in the middle of a look; after it there is none.
            let _ = wakes.recv_timeout(Duration::from_millis(100));
        }
        queue.drain();
        fs::write(&path, "four").unwrap();
        assert!(wakes.recv_timeout(Duration::from_millis(100)).is_err(), "nothing is watched");
    }
}
