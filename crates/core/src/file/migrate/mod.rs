//! Steps from one version to the next, where one and the same text came to mean
//! something else.
//!
//! A field that is only new needs none: it has its default. A step is a
//! function from a file of version N to one of N + 1, knows the file's structs
//! and never the rig's, and never changes once it is out; a test keeps its
//! hash. Where it is about something that the schema no longer has, it brings a
//! copy of what that was.

mod to_3;
mod to_4;

use super::schema::Project;

/// A file of version `from` as one of today.
pub fn up(mut project: Project, from: u32) -> Project {
    if from < 3 {
        project = to_3::step(project);
    }
    if from < 4 {
        project = to_4::step(project);
    }
    project
}
