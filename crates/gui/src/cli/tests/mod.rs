//! The command line as it is met, with writers in memory and files in a folder
//! that goes away.

mod answers;
mod asking;
mod comparing;
mod files;
mod instruments;
mod kept;
mod out;
mod power;
mod switches;

use std::ffi::OsString;
use std::path::PathBuf;
use std::sync::Arc;

use rigwright_core::file;
use rigwright_core::rig::{Lead, Project, Rig};
use tempfile::TempDir;

use super::{Outcome, run};

/// What came of a call: what is left to do, the output, the error output.
type Came = (Outcome, String, String);

fn call(args: &[&str]) -> Came {
    let args: Vec<OsString> = args.iter().map(OsString::from).collect();
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let outcome = run(&args, &mut out, &mut err);
    (outcome, String::from_utf8(out).unwrap(), String::from_utf8(err).unwrap())
}

/// The output of a call that goes well.
fn fine(args: &[&str]) -> String {
    let (outcome, out, err) = call(args);
    assert_eq!((outcome, err.as_str()), (Outcome::Exit(0), ""), "{args:?}");
    out
}

/// The one sentence of a call that is refused.
fn refused(args: &[&str]) -> String {
    let (outcome, out, err) = call(args);
    assert_eq!((outcome, out.as_str()), (Outcome::Exit(2), ""), "{args:?}");
    assert_eq!(err.lines().count(), 1, "{err}");
    err.trim_end().to_owned()
}

/// A folder with files in it, for as long as a test runs.
struct Desk {
    folder: TempDir,
}

impl Desk {
    fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn put(&self, name: &str, bytes: impl AsRef<[u8]>) -> String {
        let path = self.path(name);
        std::fs::write(&path, bytes).unwrap();
        path.to_str().unwrap().to_owned()
    }

    fn save(&self, project: &Project) -> String {
        self.put("rig.ron", file::write(project).unwrap())
    }
}

/// A guitar, a lead and an amp.
fn plain() -> Project {
    file::blank().unwrap()
}

fn rig_mut(project: &mut Project) -> &mut Rig {
    Arc::make_mut(&mut Arc::make_mut(&mut project.variants[0]).rig)
}

fn first_lead(project: &Project) -> &Lead {
    &project.variants[0].rig.leads[0]
}
