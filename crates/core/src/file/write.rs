//! Project to text, proved by reading it again.

use std::borrow::Cow;
use std::sync::Arc;

use ron::ser::PrettyConfig;

use super::schema::{self, Stored};
use super::{MAX_BYTES, WriteError, layout, parse, read};
use crate::rig::Project;

/// The text of a project's file: one text for one project, with a newline at
/// its end. It is read again before it is handed out, and is the same project
/// then: whoever replaces a file by it loses nothing.
pub fn write(project: &Project) -> Result<String, WriteError> {
    let project = tidy(project);
    proved(text(&project)?, &project)
}

fn text(project: &Project) -> Result<String, WriteError> {
    // The line breaks are fixed, so that a file has the same bytes on every system.
    let config = PrettyConfig::new().struct_names(false).new_line("\n");
    let pretty = parse::options().to_string_pretty(&schema::Project::store(project), config);
    Ok(layout::fold(&pretty.map_err(|error| WriteError::NoText(error.to_string()))?))
}

/// The text, if it is that project's.
pub(super) fn proved(text: String, project: &Project) -> Result<String, WriteError> {
    if text.len() > MAX_BYTES {
        return Err(WriteError::TooLarge { bytes: text.len() });
    }
    match read(text.as_bytes()) {
        Ok(again) if again == *project => Ok(text),
        Ok(_) => Err(WriteError::ReadsOtherwise),
        Err(error) => Err(WriteError::NotReadable(error)),
    }
}

/// A project that no edits made may have symbols where none is found again, and
/// a next id that isn't above all others. Reading mends both, so writing does too.
fn tidy(project: &Project) -> Cow<'_, Project> {
    let next_id = project.next_id.max(project.first_free());
    let untidy = next_id != project.next_id || project.variants.iter().any(|variant| !variant.is_on_canvas());
    if !untidy {
        return Cow::Borrowed(project);
    }
    let mut project = Project { next_id, ..project.clone() };
    for variant in project.variants.iter_mut().map(Arc::make_mut) {
        variant.bring_onto_canvas();
    }
    Cow::Owned(project)
}
