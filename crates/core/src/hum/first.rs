//! What is asked before anything else, for much of what hums is no loop.

use crate::rig::{Device, Guitar, Instrument, Kind, Power, Rig, Treadle};

/// The question that comes first, and what its answers mean. [common practice, no source]
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct First {
    /// "Does it hum with the guitar's volume at 0?"
    pub question: String,
    /// What hums without being a loop, one sentence each.
    pub no_loops: Vec<String>,
}

/// What to ask first of a rig.
#[must_use]
pub fn first(rig: &Rig) -> First {
    let bass = |device: &Device| {
        matches!(&device.kind, Kind::Guitar(Guitar { instrument, .. }) if *instrument == Instrument::Bass)
            || matches!(&device.kind, Kind::Active(source) if source.instrument == Instrument::Bass)
    };
    let mut instruments =
        rig.devices.iter().filter(|device| matches!(device.kind, Kind::Guitar(_) | Kind::Active(_))).peekable();
    let noun = if instruments.peek().is_some() && instruments.all(bass) { "bass" } else { "guitar" };
    let mut no_loops = vec![format!(
        "If it stops, it comes in at the {noun}: single coils take in the field of transformers and dimmers. Turn, or \
         step away from them."
    )];
    let wah = rig.devices.iter().find(|device| matches!(device.kind, Kind::Treadle(Treadle::Wah { .. })));
    if let Some(wah) = wah {
        let on_mains = |device: &&Device| device.kind.supply().is_some() && matches!(device.power, Power::Mains(_));
        let supply = rig.devices.iter().find(on_mains).map_or("a supply", |supply| supply.name.as_str());
        let wah = &wah.name;
        no_loops
            .push(format!("If it hums only with {wah} on, its coil takes in the field of {supply}: move them apart."));
    }
    no_loops.push(
        "If one lead brings it, loudly, that lead's screen is open: turn the amp down and swap the leads one by one."
            .to_owned(),
    );
    First { question: format!("Does it hum with the {noun}'s volume at 0?"), no_loops }
}
