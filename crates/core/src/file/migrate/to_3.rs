//! Version 3 brought power, and in it a device of which nothing is said is one
//! of which nobody had said. A file before that couldn't say it even of what
//! takes nothing.

use crate::file::schema::{Device, DirectBox, Kind, Power, Project, Splitter, Treadle};

/// What is passive takes nothing.
pub fn step(mut project: Project) -> Project {
    for device in project.variants.iter_mut().flat_map(|variant| &mut variant.devices) {
        if is_passive(device) {
            device.power = Some(Power::Nothing);
        }
    }
    project
}

fn is_passive(device: &Device) -> bool {
    matches!(
        device.kind,
        Kind::Guitar(_)
            | Kind::Treadle(Treadle::PassiveVolume { .. })
            | Kind::Splitter(Splitter::Passive { .. })
            | Kind::DirectBox(DirectBox::Transformer { .. })
    )
}
